//! Figures that parts share and that metal has found. In: the plan with what was adopted, the same as built, the parts that are
//! made. Out: the figure of each dimension and size that nothing settles any more, since what found it is cut.
//!
//! Where a length is to be found for two ribs and only the first reaches what it is found from, the first one has a length of its
//! own once it is cut, and nothing is left that finds the second one's. It is as it was found in the plan: a part that is cut
//! leaves its sisters as they are.

use std::collections::{BTreeMap, BTreeSet};

use super::as_built::{figure, with_figures};
use crate::assembly::{assemble, expand, names_in, visit_holes};
use crate::document::Document;
use crate::layout::{Layout, SizeRole};
use crate::quantity::Kind;
use crate::source::Given;

/// Whose figure it is.
enum Whose {
    /// A named dimension.
    Dimension,
    /// A size, by its own name, of a part.
    Size(String, String),
}

/// Every named figure of a document, by the name that an expression uses.
type Figures = BTreeMap<String, (Whose, Given)>;

/// Gives each figure that a made part rests on, that is to be found and that nothing settles any more, its value in the plan.
pub(super) fn settle(document: &mut Document, adopted: &Document, made: &BTreeSet<&str>) {
    let figures = figures(adopted);
    let shared = shared(&figures, made);
    if shared.is_empty() {
        return;
    }
    let Some(plan) = laid_out(adopted) else {
        return;
    };
    let built = laid_out(document);
    for name in shared {
        let Some((whose, _)) = figures.get(name) else {
            continue;
        };
        if built
            .as_ref()
            .is_some_and(|built| found(built, name, whose).is_some())
        {
            continue;
        }
        let Some((value, kind)) = found(&plan, name, whose) else {
            continue;
        };
        let now = figure(value, Some(kind));
        match whose {
            Whose::Dimension => {
                if let Some(dimension) = document.dimensions.get_mut(name) {
                    dimension.is = now;
                }
            }
            Whose::Size(part, size) => {
                let mut set = |own: String, slot: &mut Given| {
                    if own == *size && matches!(slot, Given::Find { .. }) {
                        *slot = now.clone();
                    }
                };
                with_figures(document, part, &mut set);
            }
        }
    }
}

fn figures(plan: &Document) -> Figures {
    let dimensions = plan.dimensions.iter().map(|entry| {
        let is = entry.value.is.clone();
        (entry.name.value.clone(), (Whose::Dimension, is))
    });
    let mut figures: Figures = dimensions.collect();
    for one in expand(plan) {
        let mut part = one.part.clone();
        let mut note = |size: String, _, given: &mut Given| {
            let name = format!("{}.{size}", one.name);
            figures.insert(name, (Whose::Size(one.name.clone(), size), given.clone()));
        };
        part.kind_mut().visit_sizes(&mut note);
        visit_holes(&mut part, &mut note);
    }
    figures
}

/// The names of the figures to be found on which sizes of these parts rest, by way of other figures too.
fn shared<'f>(figures: &'f Figures, made: &BTreeSet<&str>) -> BTreeSet<&'f str> {
    let of_made =
        |whose: &Whose| matches!(whose, Whose::Size(part, _) if made.contains(part.as_str()));
    let of_these = figures.values().filter(|(whose, _)| of_made(whose));
    let mut asked: Vec<String> = of_these.flat_map(|(_, given)| names_in(given)).collect();
    let (mut seen, mut found) = (BTreeSet::new(), BTreeSet::new());
    while let Some(name) = asked.pop() {
        if let Some((name, (_, given))) = figures.get_key_value(&name)
            && seen.insert(name.as_str())
        {
            asked.extend(names_in(given));
            if matches!(given, Given::Find { .. }) {
                found.insert(name.as_str());
            }
        }
    }
    found
}

/// The value of a figure that a layout found, or that is a plain one there, and that something settles.
fn found(layout: &Layout, name: &str, whose: &Whose) -> Option<(f64, Kind)> {
    let (value, angle, settled) = match whose {
        Whose::Dimension => {
            let found = layout.found.iter().find(|one| one.name == name)?;
            (found.value, found.angle, found.settled)
        }
        Whose::Size(part, size) => {
            let size = layout.part(part)?.size(size)?;
            (size.value, size.role == SizeRole::Angle, size.settled)
        }
    };
    let kind = if angle { Kind::Angle } else { Kind::Length };
    settled.then_some((value, kind))
}

fn laid_out(document: &Document) -> Option<Layout> {
    let assembly = assemble(document).ok()?;
    Some(assembly.solve().ok()?.layout())
}
