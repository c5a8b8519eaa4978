//! The heads and tails of joints, for a must-fit that wants room round them. In: the name of a joint's statement. Out: its layers and
//! rows, as they were noted; or what it doesn't say of its fasteners.

use std::collections::BTreeSet;

use super::{Hand, Recipe};
use crate::must_fit::Body;
use crate::relation::names::unknown;
use crate::source::{Code, Fault, Text};

/// What a joint doesn't say of its fasteners.
#[derive(Clone, Copy, Debug)]
enum Lacks {
    Rows,
    Bolts,
    Both,
}

impl Recipe<'_> {
    /// The heads and tails of a statement's joints, which have to have rows: of this hand's where the statement makes one for each.
    pub(crate) fn heads_of(&self, name: &Text) -> Result<Body, Fault> {
        let bolted = self.assembly.joints.iter().map(|joint| {
            let ends = [joint.part, joint.to].into_iter();
            let parts: Vec<usize> = ends.chain(joint.spacers.iter().copied()).collect();
            let lacks = match (joint.bolts.is_some(), joint.rows.is_empty()) {
                (true, _) => Lacks::Rows,
                (false, false) => Lacks::Bolts,
                (false, true) => Lacks::Both,
            };
            let placed = joint.bolts.is_some() && !joint.rows.is_empty();
            (
                joint.statement.as_str(),
                parts,
                placed.then_some(&joint.rows),
                lacks,
            )
        });
        let seams = self.assembly.seams.iter().map(|seam| {
            let parts = seam.layers.iter().map(|layer| layer.part).collect();
            let placed = (!seam.rows.is_empty()).then_some(&seam.rows);
            (seam.statement.as_str(), parts, placed, Lacks::Rows)
        });
        let all: Vec<(&str, Vec<usize>, Option<_>, Lacks)> = bolted.chain(seams).collect();
        let [left, right] = [" L", " R"].map(|hand| format!("{}{hand}", name.value));
        let wanted: Vec<&str> = match self.hand {
            Hand::Mirrored => vec![&left],
            Hand::AsWritten if self.statement.ends_with(" R") => vec![&right],
            Hand::AsWritten => vec![&left, &right],
        };
        let exact = all.iter().any(|(known, ..)| *known == name.value);
        let wanted = if exact {
            vec![name.value.as_str()]
        } else {
            wanted
        };
        let found: Vec<_> = all
            .iter()
            .filter(|(known, ..)| wanted.contains(known))
            .collect();
        if found.is_empty() {
            return Err(unknown(
                "joint",
                name,
                &name.value,
                all.iter().map(|(known, ..)| *known),
            ));
        }
        if let Some((_, _, _, lacks)) = found.iter().find(|(_, _, placed, _)| placed.is_none()) {
            let (message, help) = match lacks {
                Lacks::Rows => (
                    "doesn't say where its fasteners are",
                    "state `rows` of that joint",
                ),
                Lacks::Bolts => (
                    "doesn't say which fasteners it has",
                    "state `with` of that joint",
                ),
                Lacks::Both => (
                    "doesn't say where its fasteners are, and which",
                    "state `with` and `rows` of that joint",
                ),
            };
            return Err(
                Fault::error(Code::WrongFeature, format!("`{}` {message}", name.value))
                    .at(name.span.clone(), "")
                    .help(help),
            );
        }
        let parts = found
            .iter()
            .flat_map(|(_, parts, ..)| parts.iter().copied());
        let parts: BTreeSet<usize> = parts.collect();
        let names = found.iter().map(|(known, ..)| (*known).to_owned());
        let rows = found.iter().filter_map(|(_, _, rows, _)| *rows).flatten();
        let figures = rows.flat_map(|row| [&row.by, &row.ends].into_iter().chain(&row.pitch));
        Ok(Body {
            name: format!("fasteners of {}", name.value),
            parts: parts.into_iter().collect(),
            heads_of: names.collect(),
            figures: figures.cloned().collect(),
        })
    }
}
