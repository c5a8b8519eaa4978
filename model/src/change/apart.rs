//! What a relation brings together, set further apart.

use serde::Deserialize;

use super::{ChangeKind, cannot};
use crate::document::Document;
use crate::source::{Code, Fault, Given, Text};

/// A relation holds with its two things so much further apart.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Apart(pub Text, pub Given);

impl Apart {
    /// One that stands in no file.
    pub(crate) fn unplaced(relation: &str, by: &str) -> Apart {
        Apart(Text::unplaced(relation.to_owned()), Given::unplaced(by))
    }
}

impl ChangeKind for Apart {
    fn says(&self) -> &'static str {
        "What a relation brings together lies so much further apart, along the normal of the face or the line that it measures \
         along; nearer, if the figure is negative: packing in a joint, a bracket set along its slot. It is counted from what \
         the relation itself states."
    }

    fn make(&self, document: &mut Document) -> Result<(), Fault> {
        let name = &self.0;
        if let Some(stated) = document.relations.get_mut(&name.value) {
            stated.remarks.apart = Some(self.1.clone());
            return Ok(());
        }
        let stem = crate::words::without_hand(&name.value);
        if let Some(stem) = stem.filter(|stem| document.relations.get(stem).is_some()) {
            let message = format!(
                "`{}` is one of a pair that one statement makes, and can't be set alone",
                name.value
            );
            return Err(cannot(name, message).help(format!("name `{stem}` to set both")));
        }
        Err(Fault {
            code: Code::UnknownName,
            ..crate::relation::unknown("relation", name, &name.value, document.relations.names())
        })
    }

    fn told(&self) -> String {
        format!("{} apart by {}", self.0.value, self.1.told())
    }

    fn sets(&self, _document: &Document) -> Option<String> {
        Some(format!("{} apart", self.0.value))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::assembly::assemble;
    use crate::change::Change;
    use crate::source::read;

    const MODEL: &str = r#"(format: 1, title: "x", unit: Inch, fit: "1/32 in",
        parts: {
            "frame": Plate(lies: Across, thickness: "1/8 in", width: "30 in", height: "20 in", at: (fs: 10, bl: 0, wl: 0)),
            "ahead": Plate(lies: Across, thickness: "1/8 in", width: "3 in", height: "2 in", at: (bl: 0, wl: 0)),
            "behind": Plate(lies: Across, thickness: "1/8 in", width: "3 in", height: "2 in", at: (bl: 0, wl: 0)),
            "clip": Plate(lies: FwdAft, thickness: "1/8 in", length: "3 in", height: "2 in", at: (fs: 0, wl: 0), sides: Both),
        },
        relations: {
            "on the front": Against("ahead.aft", "frame.fwd"),
            "on the back": BoltedBehind(part: "behind", to: "frame"),
            "clip out": Spaced(from: "datum.buttock_line", to: "clip.left", by: "9 in"),
            "square": Parallel("ahead.fwd", "behind.fwd"),
        })"#;

    /// Where the middle of a face lies along an axis, in inches, with one relation set a sixteenth further apart.
    fn lies(relation: &str, feature: &str, axis: usize) -> f64 {
        let document: Document = read(MODEL).unwrap();
        let changed = document
            .with_changes(&[Change::apart(relation, "1/16 in")])
            .unwrap();
        let assembly = assemble(&changed).unwrap();
        let layout = assembly.solve().unwrap().layout();
        let (part, face) = feature.rsplit_once('.').unwrap();
        let part = layout.part(part).unwrap();
        let face = part.features.iter().find(|one| one.name == face).unwrap();
        face.at_mm[axis] / 25.4
    }

    #[test]
    fn what_touches_lies_apart_on_either_side() {
        // the frame goes from 10 to 10 1/8
        assert!((lies("on the front", "ahead.aft", 0) - (10.0 - 0.0625)).abs() < 1e-9);
        assert!((lies("on the back", "behind.fwd", 0) - (10.125 + 0.0625)).abs() < 1e-9);
        assert!((lies("on the back", "ahead.aft", 0) - 10.0).abs() < 1e-9);
    }

    #[test]
    fn a_distance_of_both_hands_grows_on_both() {
        assert!((lies("clip out", "clip R.left", 1) - 9.0625).abs() < 1e-9);
        assert!((lies("clip out", "clip L.right", 1) + 9.0625).abs() < 1e-9);
    }

    #[test]
    fn what_has_no_length_or_is_one_of_a_pair_is_refused() {
        let document: Document = read(MODEL).unwrap();
        let refused = |relation: &str| {
            let changed = document.with_changes(&[Change::apart(relation, "1/16 in")]);
            match changed {
                Err(fault) => fault.message,
                Ok(changed) => assemble(&changed).unwrap_err()[0].message.clone(),
            }
        };
        assert_eq!(
            refused("square"),
            "`square` brings nothing together along a length"
        );
        assert!(refused("clip out L").contains("one of a pair"));
        assert!(refused("on the frnt").contains("on the frnt"));
    }
}
