//! One difference of a part's make as text: what it was and is, what it asks for, and why.

use strongback_model::quantity::Unit;
use strongback_model::record::Stage;
use strongback_model::recut::{Cut, MakeChange, Serves, Step, Verdict, Why};
use strongback_model::shift::MOVED_MM;
use strongback_model::words::{Axis, Side};

use super::figures;

/// A step of a part in one line. Of a part that is made anew only that is explained: the rest no longer matters.
pub(super) fn told(step: &Step, part: Verdict, stage: Stage, unit: Unit) -> String {
    let mut text = change(&step.change, unit);
    if let Some(at) = ends(step, unit) {
        text.push_str(&format!(", {at}"));
    }
    if part == Verdict::MakeAnew && step.verdict != part {
        return text;
    }
    let turned = matches!(step.verdict, Verdict::TurnRound | Verdict::ChangeSides);
    if turned && stage >= Stage::Drilled {
        text.push_str(", its holes too");
    }
    let moves = matches!(step.change, MakeChange::HolesMove { .. });
    if let (true, Some(Why::WithinFit { fit_mm })) = (moves, &step.why) {
        let fit = figures::length(*fit_mm, unit);
        text.push_str(&format!(
            "; less than the fit of {fit}: try the bolts before anything is drilled"
        ));
    } else if let Some(why) = step.why.as_ref().map(|why| why_so(why, unit)) {
        text.push_str(&format!("; {why}"));
    } else if step.verdict == Verdict::Redrill && moves {
        text.push_str("; the old holes stay in it");
    }
    text
}

fn change(change: &MakeChange, unit: Unit) -> String {
    let show = |mm: f64| figures::length(mm, unit);
    let was = |size: &str, from: f64, to: f64, by: String| {
        format!("{size} {}, was {}: {by}", show(to), show(from))
    };
    match change {
        MakeChange::New => "it is not in the plan".to_owned(),
        MakeChange::Gone => "it is left out".to_owned(),
        MakeChange::OtherKind { from, to } => format!("it is a {to}, was a {from}"),
        MakeChange::Longer {
            size,
            by_mm,
            from_mm,
            to_mm,
        } => was(size, *from_mm, *to_mm, format!("{} more", show(*by_mm))),
        MakeChange::Shorter {
            size,
            by_mm,
            from_mm,
            to_mm,
        } => was(size, *from_mm, *to_mm, format!("{} less", show(*by_mm))),
        MakeChange::OtherStock {
            size,
            from_mm,
            to_mm,
        } => format!(
            "other stock: {size} {}, was {}",
            show(*to_mm),
            show(*from_mm)
        ),
        MakeChange::OtherSide {
            choice,
            from,
            to,
            serves,
            ..
        } => {
            let serves = match serves {
                Serves::Nowhere => "",
                Serves::TurnedRound => "; the same turned round",
                Serves::OtherHand => ", and serves on the other side",
            };
            format!("{choice} {to}, was {from}{serves}")
        }
        MakeChange::OtherShape {
            size,
            angle,
            from,
            to,
        } => {
            let show = |value: f64| figures::value(value, *angle, unit);
            match (from, to) {
                (Some(from), Some(to)) => format!("{size} {}, was {}", show(*to), show(*from)),
                (None, Some(to)) => format!("{size} {}, which it had not", show(*to)),
                (Some(from), None) => format!("no {size}, which was {}", show(*from)),
                (None, None) => size.clone(),
            }
        }
        MakeChange::HolesMove { holes, by_mm, .. } => {
            let ways: Vec<String> = (0..3)
                .filter(|axis| by_mm[*axis].abs() > MOVED_MM)
                .map(|axis| figures::way(by_mm[axis], axis, unit))
                .collect();
            format!("holes of `{holes}` move {} on the part", ways.join(" and "))
        }
        MakeChange::NewHoles { holes, .. } => format!("holes of `{holes}`, where it had none"),
        MakeChange::HoleSize {
            hole,
            from_mm,
            to_mm,
        } => format!("hole `{hole}` {}, was {}", show(*to_mm), show(*from_mm)),
    }
}

/// The ends at which metal comes off or is missing; where it is all at one end, only that end.
fn ends(step: &Step, unit: Unit) -> Option<String> {
    let at = |cut: &Cut| format!("its {}", end(cut.at));
    match &step.cuts[..] {
        [] if step.verdict == Verdict::Trim => {
            Some("at which end can't be told: compare both with the drawing".to_owned())
        }
        [] => None,
        [only] => Some(format!("at {}", at(only))),
        several => {
            let each: Vec<String> = several
                .iter()
                .map(|cut| format!("{} at {}", figures::length(cut.by_mm, unit), at(cut)))
                .collect();
            Some(each.join(" and "))
        }
    }
}

fn end(side: Side) -> &'static str {
    match (side.axis(), side) {
        (Axis::Station, Side::Fwd) => "fwd end",
        (Axis::Station, _) => "aft end",
        (Axis::ButtockLine, Side::Left) => "left end",
        (Axis::ButtockLine, _) => "right end",
        (Axis::Waterline, Side::Down) => "lower end",
        (Axis::Waterline, _) => "upper end",
    }
}

fn why_so(why: &Why, unit: Unit) -> String {
    let show = |mm: f64| figures::length(mm, unit);
    match why {
        Why::BentThere => "it can't be trimmed there".to_owned(),
        Why::HolesInPiece { holes } => {
            format!(
                "holes of `{holes}` lie in the piece that would come off, or too near the new edge"
            )
        }
        Why::OtherSection => "another section".to_owned(),
        Why::Handed => "a bend can't be bent back, and turned round it is another part".to_owned(),
        Why::Drilled => "but it is drilled, and its holes would lie on the other hand".to_owned(),
        Why::HolesNotStated => {
            "but it is drilled, and where its holes are isn't stated: they may lie on the other hand"
                .to_owned()
        }
        Why::OldHole {
            apart_mm,
            needed_mm,
        } => format!(
            "an old hole is in the way, {} off where {} are needed; or ask the designer",
            show(*apart_mm),
            show(*needed_mm)
        ),
        Why::NoDiameter => {
            "the bolts' size isn't stated: look whether the old holes are in the way".to_owned()
        }
        Why::OrMissing { at, by_mm } => format!(
            "the old holes stay in it; kept in use, they would leave {} missing at its {}",
            show(*by_mm),
            end(*at)
        ),
        Why::NotDrilled => "not drilled yet, so nothing is lost".to_owned(),
        Why::BoltsGoIn { slack_mm } => format!(
            "the bolts go in all the same, up to {} off",
            show(*slack_mm)
        ),
        Why::WithinFit { fit_mm } => format!(
            "less than the fit of {}: try it in its place before cutting",
            show(*fit_mm)
        ),
    }
}
