//! Another figure for a dimension, a size, a position or a turn.

use serde::Deserialize;

use super::{ChangeKind, cannot, not_one_hand};
use crate::document::Document;
use crate::source::{Code, Fault, Given, Text, nearest};
use crate::words::Axis;

/// A named quantity gets another figure.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Set(pub Text, pub Given);

impl ChangeKind for Set {
    fn says(&self) -> &'static str {
        "A dimension, a size (`PART.SIZE`), a stated coordinate (`PART.fs`, `.bl`, `.wl`) or a turn (`PART.pitch`) \
         gets another figure, or `Find`."
    }

    fn make(&self, document: &mut Document) -> Result<(), Fault> {
        set(document, &self.0, &self.1)
    }

    fn told(&self) -> String {
        format!("{} = {}", self.0.value, self.1.told())
    }

    fn sets(&self, _document: &Document) -> Option<String> {
        Some(self.0.value.clone())
    }
}

/// Gives a named quantity another figure.
///
/// # Errors
/// No quantity of that name.
pub fn set(document: &mut Document, name: &Text, to: &Given) -> Result<(), Fault> {
    if let Some(dimension) = document.dimensions.get_mut(&name.value) {
        dimension.is = to.clone();
        return Ok(());
    }
    let split = crate::relation::split_name(|part| document.parts.get(part).is_some(), &name.value)
        .map(|(part, size)| (part.to_owned(), size.to_owned()));
    let Some((part_name, size)) = split else {
        if let Some((part, _)) = name.value.rsplit_once('.') {
            not_one_hand(document, name, part)?;
        }
        return Err(unknown(document, name));
    };
    let mut found = false;
    for part in document.parts_mut(&part_name) {
        let part = part.kind_mut();
        part.visit_sizes(&mut |own, _, given| {
            if own == size {
                *given = to.clone();
                found = true;
            }
        });
        let common = part.common_mut();
        for axis in Axis::ALL {
            if axis.short() == size {
                *common.at.along_mut(axis) = Some(to.clone());
                found = true;
            }
        }
        if let Some(slot) = common.turn.named_mut(&size) {
            *slot = Some(to.clone());
            found = true;
        }
    }
    if found {
        // with another figure it is another piece of metal, which is not made yet
        let of_pair = |made: &str| {
            let (part, made_size) = made.rsplit_once('.').unwrap_or_default();
            let stem = crate::words::without_hand(part);
            made_size == size && (part == part_name || stem == Some(part_name.as_str()))
        };
        document.made.retain(|made| !of_pair(made));
        Ok(())
    } else {
        Err(unknown(document, name))
    }
}

fn unknown(document: &Document, name: &Text) -> Fault {
    if let Some(fault) = relation_meant(document, name) {
        return fault;
    }
    let mut names: Vec<String> = document.dimensions.names().map(str::to_owned).collect();
    for entry in document.parts.iter() {
        let mut copy = entry.value.clone();
        copy.kind_mut()
            .visit_sizes(&mut |size, _, _| names.push(format!("{}.{size}", entry.name.value)));
    }
    let near = nearest(&name.value, names.iter().map(String::as_str)).map(str::to_owned);
    let fault = cannot(
        name,
        format!("there is no dimension or size `{}`", name.value),
    );
    Fault {
        code: Code::UnknownName,
        ..fault
    }
    .help_if(near.map(|near| format!("the nearest is `{near}`")))
}

/// The fault of a name that is a relation's, or a relation's with a field of it: a figure of its own can't be set, a named
/// one can.
fn relation_meant(document: &Document, name: &Text) -> Option<Fault> {
    let is_relation = |name: &&str| document.relations.get(name).is_some();
    let field_of = || Some(name.value.rsplit_once('.')?.0);
    let relation = Some(name.value.as_str())
        .filter(is_relation)
        .or_else(|| field_of().filter(is_relation))?;
    let figures = dimensions_of(document, relation);
    let help = match &figures[..] {
        [] => "its own figure can't be set by name: state it as a dimension, or `Replace` the relation in a deviation"
            .to_owned(),
        [one] => format!("its figure is `{one}`: set that"),
        several => format!("its figures are: {}", several.join(", ")),
    };
    let fault = cannot(
        name,
        format!("`{relation}` is a relation, and no dimension or size"),
    );
    Some(fault.help(help))
}

/// The named dimensions that a relation's equations read of themselves, and not through the parts.
fn dimensions_of(document: &Document, relation: &str) -> Vec<String> {
    let Ok(assembly) = crate::assembly::assemble(document) else {
        return Vec::new();
    };
    let hands = [
        relation.to_owned(),
        format!("{relation} L"),
        format!("{relation} R"),
    ];
    let statement = assembly
        .statements
        .iter()
        .find(|statement| hands.contains(&statement.name));
    let mut list: Vec<String> = Vec::new();
    for (_, id) in statement.into_iter().flat_map(|one| &one.equations) {
        let Some(form) = assembly.system.get_equation(*id).figure() else {
            continue;
        };
        let labels = form.vars().filter_map(|var| assembly.quantities.label(var));
        for label in labels {
            let known = document.dimensions.get(&label.text).is_some();
            if known && !list.contains(&label.text) {
                list.push(label.text.clone());
            }
        }
    }
    list
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::change::Change;
    use crate::source::read;

    const MODEL: &str = r#"(format: 1, title: "x", unit: Inch, fit: "1/32 in",
        dimensions: {"bay": "20 in", "half width": "15 in"},
        parts: {
            "firewall": Plate(lies: Across, thickness: "0.032 in", width: "half width * 2", height: "20 in", at: (fs: 0, bl: 0, wl: 0)),
            "a": Plate(lies: Across, thickness: "0.032 in", width: "half width * 2", height: "20 in", at: (bl: 0, wl: 0)),
            "b": Plate(lies: Across, thickness: "0.032 in", width: "half width * 2", height: "20 in", at: (bl: 0, wl: 0)),
        },
        relations: {
            "by name": Spaced(from: "firewall.aft", to: "a.fwd", by: "bay"),
            "bare": Spaced(from: "a.aft", to: "b.fwd", by: "24 in"),
        })"#;

    fn refused(typed: &str) -> Fault {
        let document: Document = read(MODEL).unwrap();
        document
            .with_changes(&[Change::set_typed(typed).unwrap()])
            .unwrap_err()
    }

    #[test]
    fn a_relation_is_told_with_the_figure_that_can_be_set() {
        let fault = refused("by name=18 in");
        assert_eq!(
            fault.message,
            "`by name` is a relation, and no dimension or size"
        );
        assert_eq!(fault.help.unwrap(), "its figure is `bay`: set that");
        for typed in ["bare=20 in", "bare.by=20 in"] {
            let help = refused(typed).help.unwrap();
            assert!(
                help.starts_with("its own figure can't be set by name"),
                "{help}"
            );
        }
    }

    #[test]
    fn other_names_are_told_as_before() {
        assert_eq!(refused("bya=18 in").help.unwrap(), "the nearest is `bay`");
    }
}
