//! What a change means for the hardware of joints, as text.

use strongback_model::joint::Purchase;
use strongback_model::quantity::Unit;
use strongback_model::recut::{BetweenChange, FastenerChange, HardwareChange};
use strongback_model::shift::Presence;

use super::table::wrapped;
use super::{figures, joints};

/// A line for each joint whose fastener, spacers or packing are others.
pub(super) fn text(list: &[HardwareChange], unit: Unit, width: usize) -> String {
    if list.is_empty() {
        return String::new();
    }
    let mut text = String::new();
    for one in list {
        let fasteners = one.fasteners.iter().map(|change| fasteners(change, one));
        let between = one.between.iter().map(|change| between(change, unit));
        let told: Vec<String> = fasteners.chain(between).collect();
        let told = format!("At `{}`: {}.", one.joint, told.join("; "));
        text.push_str(&wrapped(&told, width, 2));
    }
    text.push_str(&wrapped(joints::BY_GEOMETRY, width, 0));
    text.push('\n');
    text
}

fn fasteners(change: &FastenerChange, of: &HardwareChange) -> String {
    let what = |buy: &Purchase| match buy {
        Purchase::Bolt(_) => "bolts",
        Purchase::Rivet(_) => "rivets",
    };
    let count = of.count;
    let count = count.map_or_else(String::new, |count| format!(", {count} of them"));
    match (&change.from, &change.to) {
        (Some(from), Some(to)) => {
            format!(
                "{} to buy: {} → {}{count}",
                what(to),
                shown(from),
                shown(to)
            )
        }
        (None, Some(to)) => format!("{} to buy: {}{count}", what(to), shown(to)),
        (Some(from), None) if of.presence == Presence::Dropped => {
            format!("no longer needed: {}{count}", shown(from))
        }
        (_, None) if !of.outside.is_empty() => format!(
            "a fastener lies outside of {}, so that none is chosen: see `strongback joints`",
            of.outside.join(" and ")
        ),
        (Some(from), None) => format!("nothing in the tables holds it, was {}", shown(from)),
        (None, None) => String::new(),
    }
}

fn shown(buy: &Purchase) -> String {
    match buy {
        Purchase::Bolt(bolt) if bolt.washers.is_empty() => bolt.code.clone(),
        Purchase::Bolt(bolt) => format!("{} with {}", bolt.code, joints::washers(&bolt.washers)),
        Purchase::Rivet(rivet) => rivet.code.clone(),
    }
}

fn between(change: &BetweenChange, unit: Unit) -> String {
    let show = |mm: f64| figures::length(mm, unit);
    let what = match (&change.part, &change.layers) {
        (Some(part), _) => part.clone(),
        (None, Some([one, other])) => format!("packing between {one} and {other}"),
        (None, None) => "packing".to_owned(),
    };
    match (change.from_mm, change.to_mm) {
        (Some(from), Some(to)) => format!("{what} {} thick, was {}", show(to), show(from)),
        (None, Some(to)) => format!("new: {what}, {} thick", show(to)),
        (Some(from), None) => format!("no {what} any more, which was {} thick", show(from)),
        (None, None) => what,
    }
}
