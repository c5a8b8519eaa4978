//! Dimensions and sizes, understood in an order in which each follows what it uses.

use super::parts::Expanded;
use super::{Assembly, Label, Origin};
use crate::document::{Document, Trust};
use crate::part::Role;
use crate::quantity::{self, Kind};
use crate::source::{Code, Fault, Given, Text};

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
            assembly.tolerance(given).map_err(|fault| faults.push(fault)).ok()
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
                    trust: remarks.trust,
                },
            },
        });
    }
    for part in parts {
        let sheet = sheets(part.part.kind().common().sheet, faults);
        let mut copy = part.part.clone();
        let mut visit = |name: String, role: Role, given: &mut Given| {
            list.push(Definition {
                name: format!("{}.{name}", part.name),
                given: given.clone(),
                kind: Some(match role {
                    Role::Angle => Kind::Angle,
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
                    },
                },
            });
        };
        copy.kind_mut().visit_sizes(&mut visit);
        super::parts::visit_holes(&mut copy, &mut visit);
    }
    enter_in_order(assembly, &list, faults);
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
    for at in order {
        let definition = &list[at];
        let kind = definition.kind.unwrap_or_else(|| kind_of(&definition.given));
        let Assembly {
            system, quantities, ..
        } = &mut *assembly;
        match quantities.resolve(system, &definition.given, kind, definition.label.clone()) {
            Ok(resolved) => {
                if let Some(fault) = check(definition, resolved.value, resolved.find) {
                    faults.push(fault);
                }
                quantities.define(definition.name.clone(), kind, resolved);
            }
            Err(fault) => faults.push(fault),
        }
    }
}

fn names_in(given: &Given) -> Vec<String> {
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

/// A figure is an angle when it says so by its unit, and a length otherwise.
pub(super) fn kind_of(given: &Given) -> Kind {
    match given {
        Given::Text(text) if text.value.contains("deg") || text.value.contains('°') || text.value.contains("rad") => {
            Kind::Angle
        }
        _ => Kind::Length,
    }
}

fn check(definition: &Definition, value: f64, find: bool) -> Option<Fault> {
    let role = definition.role?;
    let wrong = match role {
        _ if find => return None,
        Role::Gauge | Role::Extent if value <= 0.0 => "has to be greater than zero",
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
