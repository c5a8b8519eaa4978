//! A figure of the file that can be set by its name: a dimension, a size, a stated coordinate or turn. In: a variable. Out: the
//! name, and all variables that the figure gives: of each hand.

use std::collections::BTreeSet;

use strongback_solver::{Status, Var};

use crate::assembly::{Assembly, Figure};
use crate::document::{Document, Trust};
use crate::words::{Sides, without_hand};

/// A figure that can be set.
pub(crate) struct Settable {
    /// As it is told: `bay`, `rail length`.
    pub(crate) told: String,
    /// As it is set: `bay`, `rail.length`.
    pub(crate) name: String,
    /// What it is a figure of.
    pub(crate) figure: Figure,
    /// The entry of the part that it is of.
    pub(crate) part: Option<String>,
    pub(crate) trust: Trust,
    /// Its variables: of each hand.
    pub(crate) vars: BTreeSet<Var>,
    /// Where it stands in the file.
    pub(crate) at: usize,
    /// Whether it is one of metal that is made.
    pub(crate) made: bool,
}

/// The two parts that one entry on both sides makes.
pub(crate) fn both_hands(name: &str) -> Vec<String> {
    vec![format!("{name} L"), format!("{name} R")]
}

/// The figure that a variable gives; none for a figure of a relation, which goes with its relation.
pub(crate) fn settable(document: &Document, assembly: &Assembly, var: Var) -> Option<Settable> {
    let label = assembly.quantities.label(var)?;
    if label.origin.figure == Figure::Dimension {
        document.dimensions.get(&label.text)?;
        return Some(Settable {
            told: label.text.clone(),
            name: label.text.clone(),
            figure: Figure::Dimension,
            part: None,
            trust: label.origin.trust,
            vars: BTreeSet::from([var]),
            at: label.origin.span.start,
            made: false,
        });
    }
    let stem = [Some(label.text.as_str()), without_hand(&label.text)]
        .into_iter()
        .flatten()
        .find(|name| document.parts.get(name).is_some())?;
    let part = assembly
        .names
        .get_index_of(label.text.as_str())
        .and_then(|at| assembly.parts.get(at))?;
    let mut sizes = part.sizes.iter();
    let figure = match sizes.find(|size| size.name == label.detail) {
        Some(size) => Figure::Size(size.role),
        None => {
            let mut axes = crate::words::Axis::ALL.iter();
            let coordinate = axes.any(|axis| axis.short() == label.detail)
                || part.turns.iter().any(|(turn, _)| *turn == label.detail);
            coordinate.then_some(Figure::Place)?
        }
    };
    // a figure of both hands is one figure of the file
    let hands = match document.parts.get(stem)?.kind().common().sides {
        Sides::AsWritten => vec![stem.to_owned()],
        Sides::Both => both_hands(stem),
    };
    let is_made = |hand: &String| document.made.contains(&format!("{hand}.{}", label.detail));
    let made = hands.iter().any(is_made);
    let vars = assembly
        .quantities
        .labels()
        .filter(|(var, other)| {
            other.detail == label.detail
                && hands.contains(&other.text)
                && assembly.system.get(*var).status == Status::Given
        })
        .map(|(var, _)| var)
        .collect();
    Some(Settable {
        told: format!("{stem} {}", label.detail),
        name: format!("{stem}.{}", label.detail),
        figure,
        part: Some(stem.to_owned()),
        trust: label.origin.trust,
        vars,
        at: label.origin.span.start,
        made,
    })
}
