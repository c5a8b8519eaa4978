//! A figure of the file that can be set by its name: a dimension, a size, a stated coordinate or turn. In: a variable. Out: the
//! name, and all variables that the figure gives: of each hand.

use std::collections::BTreeSet;

use strongback_solver::{Status, Var};

use crate::assembly::{Assembly, Figure, Label};
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

/// Which figure of the file a label tells of.
pub(crate) struct SetBy {
    /// As it is set: `bay`, `rail.length`.
    pub(crate) name: String,
    figure: Figure,
    /// The entry of the part that it is of.
    stem: Option<String>,
}

/// The figure that a label tells of, by the name with which it is set; none for a figure of a relation.
pub(crate) fn set_by(assembly: &Assembly, label: &Label) -> Option<SetBy> {
    if label.origin.figure == Figure::Dimension {
        let mut known = assembly.dimensions.iter();
        known.find(|dimension| dimension.name == label.text)?;
        return Some(SetBy {
            name: label.text.clone(),
            figure: Figure::Dimension,
            stem: None,
        });
    }
    let at = assembly.names.get_index_of(label.text.as_str())?;
    let part = assembly.parts.get(at)?;
    let stem = match part.stated.as_ref()?.kind().common().sides {
        Sides::AsWritten => label.text.as_str(),
        Sides::Both => without_hand(&label.text)?,
    };
    let figure = match part.sizes.iter().find(|size| size.name == label.detail) {
        Some(size) => Figure::Size(size.role),
        None => {
            let mut axes = crate::words::Axis::ALL.iter();
            let coordinate = axes.any(|axis| axis.short() == label.detail)
                || part.turns.iter().any(|(turn, _)| *turn == label.detail);
            coordinate.then_some(Figure::Place)?
        }
    };
    Some(SetBy {
        name: format!("{stem}.{}", label.detail),
        figure,
        stem: Some(stem.to_owned()),
    })
}

/// The figure that a variable gives; none for a figure of a relation, which goes with its relation.
pub(crate) fn settable(document: &Document, assembly: &Assembly, var: Var) -> Option<Settable> {
    let label = assembly.quantities.label(var)?;
    let SetBy { name, figure, stem } = set_by(assembly, label)?;
    let Some(stem) = stem else {
        return Some(Settable {
            told: name.clone(),
            name,
            figure,
            part: None,
            trust: label.origin.trust,
            vars: BTreeSet::from([var]),
            at: label.origin.span.start,
            made: false,
        });
    };
    // a figure of both hands is one figure of the file
    let hands = match document.parts.get(&stem)?.kind().common().sides {
        Sides::AsWritten => vec![stem.clone()],
        Sides::Both => both_hands(&stem),
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
        name,
        figure,
        part: Some(stem),
        trust: label.origin.trust,
        vars,
        at: label.origin.span.start,
        made,
    })
}
