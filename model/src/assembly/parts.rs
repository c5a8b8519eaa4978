//! Parts as bodies: the left and the right one of two, positions, turns, shapes.

use std::sync::Arc;

use indexmap::IndexMap;
use strongback_solver::{Affine, Equation, Measure, Status, Surface, Turn};

use super::{
    AssembledPart, AssembledSize, AssembledStatement, Assembly, DATUM, Figure, Label, Origin,
    Resolved, STATED_POSITION,
};
use crate::document::{Document, Trust};
use crate::part::{Feature, Part, Role, Shape, Sizes};
use crate::quantity::Kind;
use crate::relation::{Built, Hand, Standing};
use crate::source::{Code, Fault, Given};
use crate::words::{Axis, Side, Sides};

/// A part of the document, or one of the two that an entry stands for.
pub(crate) struct Expanded<'d> {
    pub(crate) name: String,
    pub(crate) part: &'d Part,
    pub(crate) hand: Hand,
    pub(crate) span: std::ops::Range<usize>,
}

/// One entry for each part: two for those that are on both sides.
pub(crate) fn expand(document: &Document) -> Vec<Expanded<'_>> {
    let mut list = Vec::new();
    for entry in document.parts.iter() {
        let name = &entry.name.value;
        let mut push = |name: String, hand| {
            list.push(Expanded {
                part: document.hands.get(&name).unwrap_or(&entry.value),
                name,
                hand,
                span: entry.name.span.clone(),
            });
        };
        match entry.value.kind().common().sides {
            Sides::AsWritten => push(name.clone(), Hand::AsWritten),
            Sides::Both => {
                push(format!("{name} L"), Hand::Mirrored);
                push(format!("{name} R"), Hand::AsWritten);
            }
        }
    }
    list
}

/// Visits the quantities of a part's holes, as `NAME fs` and so on.
pub(crate) fn visit_holes(part: &mut Part, f: &mut dyn FnMut(String, Role, &mut Given)) {
    let holes = part.kind_mut().common_mut().holes;
    let names: Vec<String> = holes.names().map(str::to_owned).collect();
    for (name, hole) in names.iter().zip(holes.values_mut()) {
        for (axis, coordinate) in hole.coordinates() {
            if let Some(given) = coordinate {
                f(format!("{name} {}", axis.short()), Role::Coordinate, given);
            }
        }
        if let Some(given) = &mut hole.diameter {
            f(format!("{name} diameter"), Role::Extent, given);
        }
    }
}

/// Finds fault with two parts of one name, once ` L` and ` R` are added.
pub(super) fn distinct(parts: &[Expanded<'_>], faults: &mut Vec<Fault>) {
    let mut seen: IndexMap<&str, &Expanded<'_>> = IndexMap::new();
    for part in parts {
        if part.name == DATUM {
            faults.push(
                Fault::error(Code::Twice, "`datum` is the airframe itself")
                    .at(part.span.clone(), "")
                    .help("give the part another name"),
            );
        } else if let Some(first) = seen.insert(&part.name, part) {
            faults.push(
                Fault::error(
                    Code::Twice,
                    format!("there is another part named `{}`", part.name),
                )
                .at(part.span.clone(), "")
                .also(first.span.clone(), "the other one")
                .help("a part with `sides: Both` makes two, with ` L` and ` R` added to its name"),
            );
        }
    }
}

/// Builds all parts, the datum first.
pub(super) fn build(assembly: &mut Assembly, parts: &[Expanded<'_>], faults: &mut Vec<Fault>) {
    datum(assembly);
    for expanded in parts {
        match part(assembly, expanded) {
            Ok(part) => {
                assembly.names.insert(part.name.clone(), ());
                assembly.parts.push(part);
            }
            Err(fault) => faults.push(fault),
        }
    }
    // once all are there, so that the order of the file decides nothing
    for part in &assembly.parts {
        for size in part.sizes.iter().filter(|size| size.derived) {
            let name = format!("{}.{}", part.name, size.name);
            let resolved = size.resolved.clone();
            assembly.quantities.define(name, Kind::Length, resolved);
        }
    }
}

/// The airframe's axes as a part: its three planes.
fn datum(assembly: &mut Assembly) {
    let mut shape = Shape::default();
    for (name, side) in [
        ("station", Side::Aft),
        ("buttock_line", Side::Right),
        ("waterline", Side::Up),
    ] {
        shape.face(name, side, [(); 3].map(|()| Affine::default()));
    }
    assembly.names.insert(DATUM.to_owned(), ());
    assembly.parts.push(AssembledPart {
        name: DATUM.to_owned(),
        word: "Datum",
        span: 0..0,
        stated: None,
        body: strongback_solver::System::FIXED,
        origin: [(); 3].map(|()| Affine::default()),
        turns: Vec::new(),
        sizes: Vec::new(),
        shape,
        contour: None,
        choices: Vec::new(),
        hand: Hand::AsWritten,
        alloy: None,
        cut_for: Vec::new(),
    });
}

fn part(assembly: &mut Assembly, expanded: &Expanded<'_>) -> Result<AssembledPart, Fault> {
    let kind = expanded.part.kind();
    let contour = kind
        .contour()
        .map(|name| assembly.contour(name))
        .transpose()?;
    let (sizes, mut assembled_sizes) = sizes(assembly, expanded, contour.clone());
    let mut shape = kind.shape(&sizes)?;
    for (name, form) in kind.derived(&sizes) {
        assembled_sizes.push(derived(assembly, expanded, name, form));
    }
    let common = kind.common();
    for entry in common.holes.iter() {
        let name = &entry.name.value;
        let along = entry.value.along.or(kind.through()).ok_or_else(|| {
            Fault::error(
                Code::MissingField,
                format!("hole `{name}`: the axis that it is drilled along is not stated"),
            )
            .at(entry.name.span.clone(), "")
            .help("add `along: Station`, `ButtockLine` or `Waterline`")
        })?;
        let middle = Axis::ALL.map(|axis| sizes.form(&format!("{name} {}", axis.short())));
        shape.add(
            name,
            Feature::Line {
                middle,
                along: along.vector(),
            },
        );
    }
    if expanded.hand == Hand::Mirrored {
        shape = shape.mirrored();
    }
    let mut origin = [(); 3].map(|()| Affine::default());
    if contour.is_some() {
        stays(expanded)?;
    }
    // a part that follows a contour has the airframe's own axes
    for axis in Axis::ALL.into_iter().filter(|_| contour.is_none()) {
        let find = Given::Find {
            near: None,
            span: expanded.span.clone(),
        };
        let given = common.at.along(axis).unwrap_or(&find);
        let resolved = position(assembly, expanded, axis.short(), given, Kind::Length)?;
        let form = if resolved.find || !assembly.positions_yield {
            resolved.form
        } else {
            yielding(assembly, expanded, axis, given, resolved)
        };
        let mirrored = expanded.hand == Hand::Mirrored && axis == Axis::ButtockLine;
        if mirrored && assembly.system.form_drawn(&form) < 0.0 {
            return Err(Fault::error(
                Code::BadValue,
                "of a part on both sides the right-hand one is stated: its buttock line can't be less than zero",
            )
            .at(given.span(), "")
            .help("write the right-hand part; the left-hand one is made as its mirror image"));
        }
        origin[axis.index()] = if mirrored { form.times(-1.0) } else { form };
    }
    let (turn, turns) = turn(assembly, expanded)?;
    let body = assembly.system.body(origin.clone(), turn);
    Ok(AssembledPart {
        name: expanded.name.clone(),
        word: expanded.part.word(),
        span: expanded.span.clone(),
        stated: Some(expanded.part.clone()),
        body,
        origin,
        turns,
        sizes: assembled_sizes,
        shape,
        contour,
        choices: kind.choices(),
        hand: expanded.hand,
        alloy: None,
        cut_for: Vec::new(),
    })
}

fn sizes(
    assembly: &Assembly,
    expanded: &Expanded<'_>,
    contour: Option<Arc<Surface>>,
) -> (Sizes, Vec<AssembledSize>) {
    let mut sizes = Sizes::following(contour);
    let mut list = Vec::new();
    let mut copy = expanded.part.clone();
    let mut visit = |name: String, role: Role, given: &mut Given| {
        let full = format!("{}.{name}", expanded.name);
        if let Some(resolved) = assembly.quantities.resolved(&full) {
            sizes.insert(name.clone(), resolved.form.clone(), resolved.value);
            list.push(AssembledSize {
                name,
                role,
                resolved: resolved.clone(),
                says_find: matches!(given, Given::Find { .. }),
                derived: false,
                span: given.span(),
            });
        }
    };
    copy.kind_mut().visit_sizes(&mut visit);
    visit_holes(&mut copy, &mut visit);
    (sizes, list)
}

/// Finds fault with a position or turn of a part that lies where its contour lies.
fn stays(expanded: &Expanded<'_>) -> Result<(), Fault> {
    let common = expanded.part.kind().common();
    let places = Axis::ALL
        .into_iter()
        .filter_map(|axis| common.at.along(axis));
    let turns = common
        .turn
        .named()
        .into_iter()
        .filter_map(|(_, given)| given);
    let Some(given) = places.chain(turns).next() else {
        return Ok(());
    };
    Err(Fault::error(
        Code::BadValue,
        format!(
            "a {} lies where its contour lies, and takes no position or turn",
            expanded.part.word()
        ),
    )
    .at(given.span(), "")
    .help("leave it out"))
}

/// A length that follows from a part's sizes.
fn derived(
    assembly: &Assembly,
    expanded: &Expanded<'_>,
    name: String,
    form: Affine,
) -> AssembledSize {
    let find = form
        .vars()
        .any(|var| assembly.system.get(var).status == Status::Unknown);
    AssembledSize {
        name,
        role: Role::Extent,
        resolved: Resolved {
            value: assembly.system.form_drawn(&form),
            form,
            find,
        },
        says_find: true,
        derived: true,
        span: expanded.span.clone(),
    }
}

fn position(
    assembly: &mut Assembly,
    expanded: &Expanded<'_>,
    detail: &str,
    given: &Given,
    kind: Kind,
) -> Result<Resolved, Fault> {
    let label = label(expanded, detail, given);
    let Assembly {
        system, quantities, ..
    } = &mut *assembly;
    quantities.resolve(system, given, kind, label)
}

fn label(expanded: &Expanded<'_>, detail: &str, given: &Given) -> Label {
    let sheet = expanded.part.kind().common().sheet;
    Label {
        text: expanded.name.clone(),
        detail: detail.to_owned(),
        origin: Origin {
            span: given.span(),
            sheet: sheet.map(|sheet| sheet.value.clone()),
            within: None,
            trust: Trust::Plain,
            because: None,
            figure: Figure::Place,
        },
    }
}

/// A stated coordinate as a statement of its own: where a more trusted one contradicts it, the part goes there.
fn yielding(
    assembly: &mut Assembly,
    expanded: &Expanded<'_>,
    axis: Axis,
    given: &Given,
    stated: Resolved,
) -> Affine {
    let label = label(expanded, axis.short(), given);
    let statement = AssembledStatement {
        name: label.told(),
        word: STATED_POSITION,
        span: given.span(),
        sheet: label.origin.sheet.clone(),
        trust: label.origin.trust,
        because: None,
        reading: None,
        within: None,
        equations: Vec::new(),
        names: vec![expanded.name.clone()],
    };
    let Assembly {
        system, quantities, ..
    } = &mut *assembly;
    let found = Affine::var(quantities.unknown(system, stated.value, Kind::Length, label));
    let form = found.clone().plus(&stated.form.times(-1.0));
    let held = Built {
        what: "position".to_owned(),
        equation: Equation::Held {
            form,
            measure: Measure::Length,
        },
        standing: Standing::Stated,
    };
    assembly.enter(statement, vec![held]);
    found
}

/// Angles by name.
type NamedForms = Vec<(&'static str, Affine)>;

/// The turn of a body, and its three angles where any is stated.
fn turn(assembly: &mut Assembly, expanded: &Expanded<'_>) -> Result<(Turn, NamedForms), Fault> {
    let stated = expanded.part.kind().common().turn.named();
    if stated.iter().all(|(_, given)| given.is_none()) {
        return Ok((Turn::Square, Vec::new()));
    }
    let any_start = |given: &Option<&Given>| matches!(given, Some(Given::Find { near: None, .. }));
    if stated.iter().all(|(_, given)| any_start(given)) {
        return Ok((assembly.system.free_turn(), Vec::new()));
    }
    let mut turns = Vec::new();
    for ((name, given), axis) in stated.into_iter().zip(Axis::ALL) {
        let form = match given {
            None => Affine::default(),
            Some(given) => position(assembly, expanded, name, given, Kind::Angle)?.form,
        };
        // a mirror at buttock line 0 reverses turns about the two other axes
        let reversed = expanded.hand == Hand::Mirrored && axis != Axis::ButtockLine;
        turns.push((name, if reversed { form.times(-1.0) } else { form }));
    }
    let form = |at: usize| turns[at].1.clone();
    Ok((
        Turn::Angles {
            roll: form(0),
            pitch: form(1),
            yaw: form(2),
        },
        turns,
    ))
}
