//! Another root of a block tried as a layout: the starts that a builder would state for it are put into the document, and that is
//! solved. In: a document with its solution, and the state at the other root. Out: the other layout with what differs, in
//! millimetres and degrees; nothing where metal can't have it, something else gives way, or the start leads back.

use strongback_solver::{State, Tolerances, Var};

use super::{Figure, OtherFigure, OtherLayout, Start};
use crate::assembly::{AssembledPart, Solved, assemble};
use crate::change;
use crate::document::Document;
use crate::layout::{Layout, angles_of};
use crate::quantity::{Angle, Length, format};
use crate::source::{Given, Text};

/// A solution beside which another one was found.
pub(super) struct Beside<'a> {
    pub(super) document: &'a Document,
    pub(super) solved: &'a Solved<'a>,
    pub(super) layout: &'a Layout,
    pub(super) figures: &'a [Figure],
}

impl Beside<'_> {
    /// Whether a state is worth a trial: nothing is turned so far that it looks like another thing, and metal can have the sizes
    /// that are found otherwise.
    pub(super) fn may_be(&self, unknowns: &[Var], state: &State) -> bool {
        let assembly = self.solved.assembly;
        let found = self.solved.solution.state();
        let apart = assembly.system.apart(unknowns, found, state);
        let is_concerned = |part: &&AssembledPart| {
            let mut figures = self.figures.iter();
            figures.any(|figure| figure.part.as_deref() == Some(part.name.as_str()))
        };
        let parts = assembly.parts.iter().filter(is_concerned);
        let mut sizes = parts.flat_map(|part| &part.sizes);
        apart.turn < Tolerances::default().near_turn
            && sizes.all(|size| {
                let value = assembly.system.form_at(&size.resolved.form, state);
                size.broken_limit(value).is_none()
            })
    }

    /// The layout that another root of a block leads to, with the fewest starts that do; none if no layout keeps all that is
    /// kept now.
    pub(super) fn tried(&self, unknowns: &[Var], state: &State) -> Option<OtherLayout> {
        let mut starts: Vec<(f64, Start, Given)> = unknowns
            .iter()
            .zip(self.figures)
            .filter_map(|(var, figure)| self.start(*var, figure, state))
            .filter(|start| self.with_starts(std::slice::from_ref(start)).is_some())
            .collect();
        starts.sort_by(|a, b| b.0.total_cmp(&a.0));
        // one start is the easiest to state, all of them the surest
        let one = starts.get(..1).and_then(|first| self.from(first));
        one.or_else(|| starts.get(1).and_then(|_| self.from(&starts)))
    }

    /// The start that leads an unknown to its value in a state, with how far that is from the one found; none where it is the
    /// same.
    fn start(&self, var: Var, figure: &Figure, state: &State) -> Option<(f64, Start, Given)> {
        let assembly = self.solved.assembly;
        let system = &assembly.system;
        let length = system.reference_length();
        let found = self.solved.solution.state();
        let (value, by) = match self.solved.solution.tangent(var) {
            Some((body, component)) => {
                let [old, new] =
                    [found, state].map(|state| angles_of(&system.rotation_at(body, state)));
                let part = figure.part.as_deref().unwrap_or_default();
                let mirrored = self.solved.is_mirrored(part, &figure.what);
                let value = new[component] * if mirrored { -1.0 } else { 1.0 };
                (value, (new[component] - old[component]).to_radians())
            }
            None if figure.angle => {
                let by = state.value(var) - found.value(var);
                (state.value(var).to_degrees(), by)
            }
            None => {
                let value = state.value(var);
                (value, (value - found.value(var)) / length)
            }
        };
        let by = by.abs();
        if by <= Tolerances::default().distinct {
            return None;
        }
        let near = if figure.angle {
            format::angle(Angle::from_degrees(value - 360.0 * (value / 360.0).round()))
        } else {
            format::length(Length::from_mm(value), assembly.unit, format::Style::Short)
        };
        let name = match &figure.part {
            Some(part) => format!("{}.{}", self.entry(part), figure.what),
            None => figure.what.clone(),
        };
        let stated = format!("Find(near: {near:?})");
        let given = Given::Find {
            near: Some(Box::new(Given::unplaced(&near))),
            span: 0..0,
        };
        Some((by, Start { name, stated }, given))
    }

    /// The entry of the file that makes a part: of two that one entry makes, the name without its hand.
    fn entry<'n>(&self, part: &'n str) -> &'n str {
        if self.document.parts.get(part).is_some() {
            return part;
        }
        let stem = part.strip_suffix(" L").or_else(|| part.strip_suffix(" R"));
        stem.unwrap_or(part)
    }

    /// The document with some starts stated; none where one of them has no name of its own, as a figure within a statement.
    fn with_starts(&self, starts: &[(f64, Start, Given)]) -> Option<Document> {
        let mut document = self.document.clone();
        for (_, start, given) in starts {
            change::set(&mut document, &Text::unplaced(start.name.clone()), given).ok()?;
        }
        Some(document)
    }

    /// The layout that some starts lead to, if it is another one that keeps all that is kept now.
    fn from(&self, starts: &[(f64, Start, Given)]) -> Option<OtherLayout> {
        let document = self.with_starts(starts)?;
        let assembly = assemble(&document).ok()?;
        let other = assembly.solve().ok()?.layout();
        let length = self.solved.assembly.system.reference_length();
        if !keeps(&other, self.layout) {
            return None;
        }
        let tolerances = Tolerances::default();
        let mut figures: Vec<(f64, OtherFigure)> = Vec::new();
        let mut parts: Vec<String> = Vec::new();
        for figure in self.figures {
            let (old, new) = (figure.value_in(self.layout)?, figure.value_in(&other)?);
            let difference = if figure.angle {
                (new - old) - 360.0 * ((new - old) / 360.0).round()
            } else {
                new - old
            };
            let share = if figure.angle {
                difference.to_radians().abs()
            } else {
                difference.abs() / length
            };
            if share <= tolerances.distinct {
                continue;
            }
            parts.extend(figure.part.clone().filter(|part| !parts.contains(part)));
            let told = OtherFigure {
                name: figure.told(),
                angle: figure.angle,
                found: old,
                other: new,
                difference,
                drawn: figure.drawn,
            };
            figures.push((share, told));
        }
        // a start may lead back, or elsewhere than to the root that it was taken from
        let is_near = |(share, figure): &(f64, OtherFigure)| {
            *share
                < if figure.angle {
                    tolerances.near_turn
                } else {
                    1.0
                }
        };
        if figures.is_empty() || !figures.iter().all(is_near) {
            return None;
        }
        figures.sort_by(|a, b| b.1.angle.cmp(&a.1.angle).then(b.0.total_cmp(&a.0)));
        let away = |value: fn(&OtherFigure) -> f64| -> f64 {
            let squares = figures.iter().map(|(_, figure)| {
                let by = value(figure) - figure.drawn;
                let share = if figure.angle {
                    by.to_radians()
                } else {
                    by / length
                };
                share * share
            });
            squares.sum()
        };
        Some(OtherLayout {
            parts,
            is_farther: away(|figure| figure.found) <= away(|figure| figure.other),
            figures: figures.into_iter().map(|(_, figure)| figure).collect(),
            starts: starts.iter().map(|(_, start, _)| start.clone()).collect(),
        })
    }
}

/// Whether a layout keeps all statements that another one keeps, and leaves no more loose.
fn keeps(other: &Layout, as_now: &Layout) -> bool {
    let odd = |layout: &Layout, name: &str| layout.at_odds.iter().any(|one| one.statement == name);
    let waits =
        |layout: &Layout, name: &str| layout.waiting.iter().any(|one| one.statement == name);
    other.loose.len() <= as_now.loose.len()
        && (other.at_odds.iter()).all(|one| odd(as_now, &one.statement))
        && (other.waiting.iter()).all(|one| waits(as_now, &one.statement))
}
