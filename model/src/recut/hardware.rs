//! What a change means for the hardware of joints. In: the joints of two layouts, measured. Out: of each joint whose fastener, washers,
//! spacers or packing are others, what it had and what it takes. What to buy is found in `joint`: here it is only compared.

use schemars::JsonSchema;
use serde::Serialize;

use super::makeup::WORKED_MM;
use crate::joint::{Bought, Purchase};

/// A joint whose hardware changes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct HardwareChange {
    /// The statement that makes it.
    pub joint: String,
    /// In which of the layouts it is.
    pub presence: crate::shift::Presence,
    /// How many fasteners it has then, if it is stated or follows from a row; before, where it is no longer there.
    pub count: Option<usize>,
    /// Layers that a fastener misses then, so that nothing is chosen for it.
    pub outside: Vec<String>,
    /// The fastener before and then, where it is another one or its washers are.
    pub fasteners: Option<FastenerChange>,
    /// Spacers and packing between the outer layers that are new or of another thickness; none of a joint that is gone.
    pub between: Vec<BetweenChange>,
}

/// A fastener with its washers before and then.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FastenerChange {
    /// What was bought; none where nothing fits, or none is stated.
    pub from: Option<Purchase>,
    /// What is to buy then.
    pub to: Option<Purchase>,
}

/// Something between the outer layers of a joint.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BetweenChange {
    /// The spacer; none for packing that is no part of the model.
    pub part: Option<String>,
    /// The two layers that packing lies between.
    pub layers: Option<[String; 2]>,
    /// How thick it was, in millimetres; none if it is new.
    pub from_mm: Option<f64>,
    /// How thick it is then; none if it is no longer there.
    pub to_mm: Option<f64>,
}

/// The joints whose hardware is other than before, in the order of the file; those that are gone come last.
pub(super) fn changes(old: &[Bought], new: &[Bought]) -> Vec<HardwareChange> {
    let named = |list: &'_ [Bought], name: &str| {
        let at = list.iter().position(|one| one.joint.statement == name);
        at.and_then(|at| list.get(at).cloned())
    };
    let there = new.iter().filter_map(|after| {
        let before = named(old, &after.joint.statement);
        change(before.as_ref(), Some(after))
    });
    let gone = old
        .iter()
        .filter(|before| named(new, &before.joint.statement).is_none());
    let gone = gone.filter_map(|before| change(Some(before), None));
    there.chain(gone).collect()
}

fn change(before: Option<&Bought>, after: Option<&Bought>) -> Option<HardwareChange> {
    use crate::shift::Presence;
    let one = after.or(before)?;
    let buys = [before, after].map(|one| one.and_then(|one| one.buy.as_ref()));
    let same = match buys {
        [Some(before), Some(after)] => is_same(before, after),
        [before, after] => before.is_none() && after.is_none(),
    };
    let [from, to] = buys.map(|buy| buy.cloned());
    let fasteners = (!same).then_some(FastenerChange { from, to });
    // what goes with a joint that is gone is told as a part, if it is one
    let between = after.map_or_else(Vec::new, |after| between(before, Some(after)));
    (fasteners.is_some() || !between.is_empty()).then(|| HardwareChange {
        joint: one.joint.statement.clone(),
        presence: match (before, after) {
            (None, _) => Presence::Added,
            (_, None) => Presence::Dropped,
            _ => Presence::Both,
        },
        count: one.joint.count,
        outside: after.map(|after| after.outside.clone()).unwrap_or_default(),
        fasteners,
        between,
    })
}

/// Whether two purchases are the same things in the shop, whatever they have left over.
fn is_same(before: &Purchase, after: &Purchase) -> bool {
    match (before, after) {
        (Purchase::Bolt(a), Purchase::Bolt(b)) => a.code == b.code && a.washers == b.washers,
        (Purchase::Rivet(a), Purchase::Rivet(b)) => a.code == b.code,
        _ => false,
    }
}

/// What lies between the outer layers, by what it is known by.
fn inner(joint: Option<&Bought>) -> Vec<BetweenChange> {
    let Some(joint) = joint else {
        return Vec::new();
    };
    let one = |part, layers, thickness_mm| BetweenChange {
        part,
        layers,
        from_mm: None,
        to_mm: Some(thickness_mm),
    };
    let layers = match &joint.joint.layers[..] {
        [_, inner @ .., _] => inner,
        _ => &[],
    };
    let layers = layers
        .iter()
        .filter_map(|layer| Some(one(Some(layer.part.clone()), None, layer.thickness_mm?)));
    let packing = joint
        .packing
        .iter()
        .map(|packing| one(None, Some(packing.between.clone()), packing.thickness_mm));
    layers.chain(packing).collect()
}

fn between(before: Option<&Bought>, after: Option<&Bought>) -> Vec<BetweenChange> {
    let (old, new) = (inner(before), inner(after));
    let same = |a: &BetweenChange, b: &BetweenChange| a.part == b.part && a.layers == b.layers;
    let mut changes: Vec<BetweenChange> = new
        .iter()
        .map(|one| BetweenChange {
            from_mm: old
                .iter()
                .find(|other| same(one, other))
                .and_then(|other| other.to_mm),
            ..one.clone()
        })
        .collect();
    let gone = old
        .into_iter()
        .filter(|one| !new.iter().any(|other| same(one, other)));
    changes.extend(gone.map(|one| BetweenChange {
        from_mm: one.to_mm,
        to_mm: None,
        ..one
    }));
    let is_other = |one: &BetweenChange| match (one.from_mm, one.to_mm) {
        (Some(from), Some(to)) => (to - from).abs() > WORKED_MM,
        _ => true,
    };
    changes.retain(is_other);
    changes
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic)]
    use super::*;
    use crate::assembly::assemble;
    use crate::change::Change;
    use crate::document::Document;
    use crate::shift::Presence;
    use crate::source::read;

    /// A pad of 1/4 on a spacer of 3/16 on a leg of 1/8: a grip of 9/16, that of an AN4-10.
    const PAD: &str = r#"(format: 1, title: "pad", unit: Inch, fit: "1/32 in",
        dimensions: {"spacer": "3/16 in"},
        parts: {
            "leg": Plate(lies: Flat, thickness: "1/8 in", length: 14, width: 2, at: (fs: 0, bl: 0, wl: 0)),
            "spacer": Spacer(lies: Flat, thickness: "spacer", diameter: 1),
            "pad": Plate(lies: Flat, thickness: "1/4 in", length: 3, width: 2, at: (fs: 4, bl: 0)),
        }, relations: {
            "pad on leg": BoltedTo(part: "pad", to: "leg", side: Up, through: ["spacer"], with: AN4, count: 1),
        })"#;

    fn told(changes: &str) -> Vec<HardwareChange> {
        let document: Document = read(PAD).unwrap();
        let made: Vec<Change> = read(changes).unwrap();
        let changed = document.with_changes(&made).unwrap();
        let joints = |document: &Document| assemble(document).unwrap().solve().unwrap().bought();
        super::changes(&joints(&document), &joints(&changed))
    }

    fn codes(change: &HardwareChange) -> [Option<&str>; 2] {
        let code = |buy: &'_ Option<Purchase>| match buy {
            Some(Purchase::Bolt(bolt)) => Some(bolt.code.clone()),
            _ => None,
        };
        let change = change.fasteners.as_ref().unwrap();
        let known = ["AN4-10", "AN4-11", "AN4-7"];
        [&change.from, &change.to].map(|buy| {
            let code = code(buy)?;
            known.into_iter().find(|known| *known == code)
        })
    }

    /// Packed by 1/16 the grip is 5/8. Grips of AN4 go by eighths: -10 has 9/16, -11 11/16, which is the next one that holds it.
    #[test]
    fn packing_takes_a_longer_bolt() {
        let all = told(r#"[Apart("pad on leg", "1/16 in")]"#);
        assert_eq!(all.len(), 1, "{all:#?}");
        assert_eq!(codes(&all[0]), [Some("AN4-10"), Some("AN4-11")]);
        let [packing] = &all[0].between[..] else {
            panic!("{all:#?}")
        };
        assert!(packing.part.is_none() && packing.from_mm.is_none());
        assert!((packing.to_mm.unwrap() / 25.4 - 0.0625).abs() < 1e-9);
    }

    /// A spacer of 1/4: 5/8 again. One of 5/32 leaves 17/32: the thin washer under the nut of an AN4-10, 1/32, fills that
    /// too, and nothing else is bought.
    #[test]
    fn another_spacer_is_named() {
        let all = told(r#"[Set("spacer", "1/4 in")]"#);
        assert_eq!(codes(&all[0]), [Some("AN4-10"), Some("AN4-11")]);
        let [spacer] = &all[0].between[..] else {
            panic!("{all:#?}")
        };
        let thick = [spacer.from_mm, spacer.to_mm].map(|mm| mm.unwrap() / 25.4);
        assert_eq!(spacer.part.as_deref(), Some("spacer"));
        assert!((thick[0] - 0.1875).abs() < 1e-9 && (thick[1] - 0.25).abs() < 1e-9);
        let all = told(r#"[Set("spacer", "5/32 in")]"#);
        assert!(all[0].fasteners.is_none() && all[0].between.len() == 1);
    }

    /// A row 1/2 inside of the leg's edge, which lies 1/2 right of the middle; the pad, moved 1 3/4 left, ends 3/4 left of it.
    #[test]
    fn for_a_fastener_beside_the_metal_nothing_is_bought() {
        let rows = r#"[Replace("pad on leg", BoltedTo(part: "pad", to: "leg", side: Up, with: AN4, rows: [(beside: "leg.right", by: "1/2 in", ends: "1/2 in", count: 1)])), Drop("spacer")]"#;
        let document: Document = read(PAD).unwrap();
        let document = document
            .with_changes(&read::<Vec<Change>>(rows).unwrap())
            .unwrap();
        let aside: Vec<Change> = read(r#"[Set("pad.bl", "-1 3/4 in")]"#).unwrap();
        let joints = |document: &Document| assemble(document).unwrap().solve().unwrap().bought();
        let all = super::changes(
            &joints(&document),
            &joints(&document.with_changes(&aside).unwrap()),
        );
        assert_eq!(all.len(), 1, "{all:#?}");
        assert_eq!(all[0].outside, ["pad"]);
        assert!(
            all[0]
                .fasteners
                .as_ref()
                .is_some_and(|change| change.to.is_none())
        );
    }

    /// Without the spacer 3/8 is left, which an AN4-7, of 7/16, holds. What only moves takes nothing else.
    #[test]
    fn what_goes_out_is_told_and_what_moves_is_not() {
        let all = told(r#"[Drop("spacer")]"#);
        assert_eq!(codes(&all[0]), [Some("AN4-10"), Some("AN4-7")]);
        let spacer = &all[0].between[0];
        assert!((spacer.from_mm.unwrap() / 25.4 - 0.1875).abs() < 1e-9 && spacer.to_mm.is_none());
        assert!(told(r#"[Set("pad.fs", 5)]"#).is_empty());
        let gone = told(
            r#"[Drop("pad on leg"), Set("pad.wl", 1), Set("spacer.fs", 0), Set("spacer.bl", 0), Set("spacer.wl", 3)]"#,
        );
        assert_eq!(gone.len(), 1);
        assert_eq!(gone[0].presence, Presence::Dropped);
    }
}
