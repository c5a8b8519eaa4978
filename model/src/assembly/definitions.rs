//! Dimensions and sizes, understood in an order in which each follows what it uses.

use indexmap::IndexMap;
use indexmap::map::Entry;

use super::parts::Expanded;
use super::{AssembledDimension, Assembly, Figure, Label, Origin};
use crate::document::{Document, Trust};
use crate::part::Role;
use crate::quantity::{self, Kind, Unit};
use crate::source::{Code, Fault, Given, Spanned, Text};

/// A named quantity that waits for its turn.
struct Definition {
    name: String,
    given: Given,
    kind: Option<Kind>,
    role: Option<Role>,
    label: Label,
}

/// Notes a sheet that a statement names, and finds fault with one that is not listed.
pub(super) type Sheets<'a> = dyn Fn(Option<&Text>, &mut Vec<Fault>) -> Option<String> + 'a;

/// Enters all dimensions and sizes into the assembly's quantities.
pub(super) fn define(
    assembly: &mut Assembly,
    document: &Document,
    parts: &[Expanded<'_>],
    sheets: &Sheets<'_>,
    faults: &mut Vec<Fault>,
) {
    let mut list = Vec::new();
    for entry in document.dimensions.iter() {
        let remarks = &entry.value.remarks;
        let within = remarks.within.as_ref().and_then(|given| {
            assembly
                .tolerance_of(given)
                .map_err(|fault| faults.push(fault))
                .ok()
        });
        list.push(Definition {
            name: entry.name.value.clone(),
            given: entry.value.is.clone(),
            kind: None,
            role: None,
            label: Label {
                text: entry.name.value.clone(),
                detail: String::new(),
                origin: Origin {
                    span: entry.value.is.span(),
                    sheet: sheets(remarks.sheet.as_ref(), faults),
                    within,
                    trust: remarks.trusted(),
                    because: remarks.reason(),
                    figure: Figure::Dimension,
                },
            },
        });
    }
    for part in parts {
        let sheet = sheets(part.part.kind().common().sheet, faults);
        let mut copy = part.part.clone();
        let mut visit = |name: String, role: Role, given: &mut Given| {
            let full = format!("{}.{name}", part.name);
            let figure = if document.made.contains(&full) {
                Figure::Made
            } else {
                Figure::Size(role)
            };
            list.push(Definition {
                name: full,
                given: given.clone(),
                kind: Some(match role {
                    Role::Angle | Role::Bend => Kind::Angle,
                    Role::Gauge | Role::Extent | Role::Radius | Role::Coordinate => Kind::Length,
                }),
                role: Some(role),
                label: Label {
                    text: part.name.clone(),
                    detail: name,
                    origin: Origin {
                        span: given.span(),
                        sheet: sheet.clone(),
                        within: None,
                        trust: Trust::Plain,
                        because: None,
                        figure,
                    },
                },
            });
        };
        copy.kind_mut().visit_sizes(&mut visit);
        super::parts::visit_holes(&mut copy, &mut visit);
    }
    let before = faults.len();
    distinct(&list, faults);
    if faults.len() == before {
        enter_in_order(assembly, &list, faults);
    }
}

/// Finds fault with a name that a dimension and a size, or two sizes, have in common: an expression could
/// mean either.
fn distinct(list: &[Definition], faults: &mut Vec<Fault>) {
    let mut seen: IndexMap<&str, &Definition> = IndexMap::new();
    for definition in list {
        match seen.entry(&definition.name) {
            Entry::Vacant(place) => {
                place.insert(definition);
            }
            Entry::Occupied(first) => faults.push(
                Fault::error(
                    Code::Twice,
                    format!("two figures are called `{}`", definition.name),
                )
                .at(definition.label.origin.span.clone(), "")
                .also(first.get().label.origin.span.clone(), "the other one")
                .help("a size goes by PART.SIZE: give the dimension, the part or the hole another name"),
            ),
        }
    }
}

fn enter_in_order(assembly: &mut Assembly, list: &[Definition], faults: &mut Vec<Fault>) {
    let uses: Vec<(&str, Vec<String>)> = list
        .iter()
        .map(|definition| (definition.name.as_str(), names_in(&definition.given)))
        .collect();
    let order = match quantity::order(&uses) {
        Ok(order) => order,
        Err(circle) => {
            let mut fault = Fault::error(Code::Circular, circle.to_string());
            for (at, name) in circle.names.iter().enumerate() {
                if let Some(definition) = list.iter().find(|d| d.name == *name) {
                    let span = definition.given.span();
                    fault = if at == 0 {
                        fault.at(span, "")
                    } else {
                        fault.also(span, format!("`{name}`"))
                    };
                }
            }
            faults.push(fault.help("give one of them as a figure, or as `Find`"));
            return;
        }
    };
    // what rests on a figure that could not be understood is not told as a fault of its own
    let mut failed: Vec<&str> = Vec::new();
    for at in order {
        let definition = &list[at];
        if uses[at]
            .1
            .iter()
            .any(|name| failed.contains(&name.as_str()))
        {
            failed.push(&definition.name);
            continue;
        }
        let kind = definition
            .kind
            .unwrap_or_else(|| assembly.quantities.kind_of(&definition.given));
        if let Some(fault) = tolerance_of_another_kind(definition, kind) {
            faults.push(fault);
        }
        let given = with_start(definition, assembly.unit);
        let Assembly {
            system, quantities, ..
        } = &mut *assembly;
        match quantities.resolve(system, &given, kind, definition.label.clone()) {
            Ok(resolved) => {
                if let Some(fault) = check(definition, resolved.value, resolved.find) {
                    faults.push(fault);
                }
                if definition.role.is_none() {
                    assembly.dimensions.push(AssembledDimension {
                        name: definition.name.clone(),
                        kind,
                        resolved: resolved.clone(),
                    });
                }
                assembly
                    .quantities
                    .define(definition.name.clone(), kind, resolved);
            }
            Err(fault) => {
                failed.push(&definition.name);
                faults.push(fault);
            }
        }
    }
}

/// A length's tolerance that is an angle, or the other way round.
fn tolerance_of_another_kind(definition: &Definition, kind: Kind) -> Option<Fault> {
    let (_, within) = definition.label.origin.within?;
    let (is, wanted) = match (kind, within) {
        (Kind::Length, Kind::Angle) => ("a length", "a length"),
        (Kind::Angle, Kind::Length) => ("an angle", "an angle, as in `within: \"1/2 deg\"`"),
        _ => return None,
    };
    Some(
        Fault::error(
            Code::BadQuantity,
            format!("`{}` is {is}, and its tolerance isn't", definition.name),
        )
        .at(definition.label.origin.span.clone(), "")
        .help(format!("state its `within` as {wanted}")),
    )
}

/// A size or a dimension that is to be found starts as one that metal can have: at nothing, a leg would be narrower than its
/// own thickness and an edge would have no direction.
fn with_start(definition: &Definition, unit: Unit) -> Given {
    /// Wider than any bend, shorter than most parts.
    const EXTENT_MM: f64 = 100.0;
    /// A common sheet.
    const GAUGE_MM: f64 = 1.0;
    let start = match (definition.role, &definition.given) {
        (Some(Role::Extent) | None, Given::Find { near: None, .. }) => EXTENT_MM,
        (Some(Role::Gauge | Role::Radius), Given::Find { near: None, .. }) => GAUGE_MM,
        _ => return definition.given.clone(),
    };
    let span = definition.given.span();
    Given::Find {
        near: Some(Box::new(Given::Number(Spanned::new(
            start / unit.mm(),
            span.clone(),
        )))),
        span,
    }
}

/// The names that a figure is told by.
pub(crate) fn names_in(given: &Given) -> Vec<String> {
    match given {
        Given::Text(text) => quantity::parse(&text.value).map_or_else(
            |_| Vec::new(),
            |tree| {
                quantity::names(&tree)
                    .into_iter()
                    .map(|(name, _)| name.to_owned())
                    .collect()
            },
        ),
        Given::Number(_) | Given::Find { .. } => Vec::new(),
    }
}

fn check(definition: &Definition, value: f64, find: bool) -> Option<Fault> {
    let role = definition.role?;
    /// Millimetres; what is less can't be cut, drilled or measured.
    const LEAST_MM: f64 = 1e-3;
    let wrong = match role {
        Role::Bend if find => "has to be stated: a bend's angle can't be found",
        _ if find => return None,
        Role::Gauge | Role::Extent if value <= 0.0 => "has to be greater than zero",
        Role::Gauge | Role::Extent if value < LEAST_MM => {
            "is less than a thousandth of a millimetre"
        }
        Role::Radius if value < 0.0 => "can't be less than zero",
        _ => return None,
    };
    Some(
        Fault::error(
            Code::BadSize,
            format!("`{}` {wrong}", definition.label.told()),
        )
        .at(definition.given.span(), ""),
    )
}
