//! What two documents state differently of places: parts that are put or turned elsewhere, relations that are there in one
//! only. In: the plan's document and a deviation's. Out: names, from which a shift can start.

use std::fmt::Debug;

use crate::document::Document;
use crate::part::Part;
use crate::source::Entries;
use crate::words::{Sides, without_hand};

/// What is stated differently, by name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Restated {
    /// Parts whose stated coordinates or turns are others; both names of a part on both sides.
    pub parts: Vec<String>,
    /// Relations that are left out.
    pub gone: Vec<String>,
    /// Relations that are new, or stand in the place of others of their name.
    pub new: Vec<NewRelation>,
}

/// A relation that is stated otherwise than before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewRelation {
    /// Its name.
    pub name: String,
    /// The part that is left out, when it says nothing else than before but for that.
    pub without: Option<String>,
    /// Which of several readings it is now, when one was taken.
    pub reading: Option<String>,
}

/// Compares two documents.
pub fn restated(old: &Document, new: &Document) -> Restated {
    let mut result = Restated::default();
    for entry in new.parts.iter() {
        let name = &entry.name.value;
        if old
            .parts
            .get(name)
            .is_some_and(|before| moved(before, &entry.value))
        {
            match entry.value.kind().common().sides {
                Sides::AsWritten => result.parts.push(name.clone()),
                Sides::Both => result
                    .parts
                    .extend([format!("{name} L"), format!("{name} R")]),
            }
        }
    }
    result.gone = missing(&old.relations, &new.relations);
    let dropped = missing(&old.parts, &new.parts);
    for entry in new.relations.iter() {
        let name = &entry.name.value;
        let before = old.relations.get(name);
        if before.map(written) != Some(written(&entry.value)) {
            let shortened = |part: &&String| {
                before.is_some_and(|before| {
                    let mut before = before.clone();
                    while before.is.kind_mut().leave_out(part) {}
                    written(&before) == written(&entry.value)
                })
            };
            result.new.push(NewRelation {
                name: name.clone(),
                without: dropped.iter().find(shortened).cloned(),
                reading: entry
                    .value
                    .remarks
                    .reading
                    .as_ref()
                    .map(|text| text.value.clone()),
            });
        }
    }
    result
}

fn moved(old: &Part, new: &Part) -> bool {
    let (old, new) = (old.kind().common(), new.kind().common());
    let place = |at: &crate::part::At| (at.fs.clone(), at.bl.clone(), at.wl.clone());
    place(old.at) != place(new.at) || old.turn.named() != new.turn.named()
}

fn missing<T>(old: &Entries<T>, new: &Entries<T>) -> Vec<String> {
    let gone = old.names().filter(|name| new.get(name).is_none());
    gone.map(str::to_owned).collect()
}

/// All that a statement says, its places in the file included: equal for copies of one statement only.
fn written(statement: &impl Debug) -> String {
    format!("{statement:?}")
}

impl Restated {
    /// A new relation by the name of a statement, which may be that of one hand.
    pub(crate) fn new_relation(&self, statement: &str) -> Option<&NewRelation> {
        let stem = without_hand(statement);
        self.new
            .iter()
            .find(|new| new.name == statement || Some(new.name.as_str()) == stem)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::change::Change;
    use crate::source::read;

    const MODEL: &str = r#"(format: 1, title: "x", unit: Inch, fit: "1/32 in",
        dimensions: {"bay": "20 in"},
        parts: {
            "frame": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in", at: (fs: 0, bl: 0, wl: 0)),
            "clip": Plate(lies: Across, thickness: "0.032 in", width: "1 in", height: "1 in", at: (bl: 9, wl: 0), sides: Both),
        },
        relations: {"clip on frame": Spaced(from: "frame.aft", to: "clip.fwd", by: "bay")})"#;

    fn after(changes: &str) -> Restated {
        let document: Document = read(MODEL).unwrap();
        let changes: Vec<Change> = read(changes).unwrap();
        restated(&document, &document.with_changes(&changes).unwrap())
    }

    #[test]
    fn places_that_are_stated_otherwise_are_told() {
        assert_eq!(after("[]"), Restated::default());
        assert_eq!(
            after(r#"[Set("bay", "21 in"), Set("frame.width", "31 in")]"#),
            Restated::default()
        );
        assert_eq!(after(r#"[Set("frame.fs", "1 in")]"#).parts, ["frame"]);
        assert_eq!(
            after(r#"[Set("clip.wl", "1 in")]"#).parts,
            ["clip L", "clip R"]
        );
        assert_eq!(after(r#"[Set("frame.pitch", "1 deg")]"#).parts, ["frame"]);
    }

    #[test]
    fn relations_that_come_and_go_are_told() {
        assert_eq!(after(r#"[Drop("clip on frame")]"#).gone, ["clip on frame"]);
        let replaced = after(r#"[Replace("clip on frame", Flush("clip.fwd", "frame.aft"))]"#);
        assert_eq!(replaced.new[0].without, None);
        assert_eq!(
            replaced.new_relation("clip on frame R").unwrap().name,
            "clip on frame"
        );
    }
}
