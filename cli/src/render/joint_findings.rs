//! What was found about a joint, in sentences.

use strongback_model::joint::{Finding, JointReport, Spot, What};
use strongback_model::quantity::Unit;

use super::figures;

/// One sentence, with where it is so and the source of the rule.
pub(super) fn told(finding: &Finding, report: &JointReport, unit: Unit) -> String {
    let mark = if finding.violates {
        "AMISS: "
    } else {
        "note: "
    };
    let source = finding.source.map_or_else(String::new, |source| {
        format!(" [{}; {}]", source.name, source.known.words())
    });
    format!(
        "{mark}{}{}{source}",
        what(finding, report, unit),
        place(finding, unit)
    )
}

fn what(finding: &Finding, report: &JointReport, unit: Unit) -> String {
    let part = finding.part.as_deref().unwrap_or("");
    let other = finding.other.as_deref().unwrap_or("");
    let value = finding.places.first().map_or(0.0, |spot| spot.value_mm);
    let shown = figures::length(value, unit);
    let wanted = finding
        .wanted_mm
        .map_or_else(String::new, |mm| figures::length(mm, unit));
    let times = finding.diameters.map_or_else(String::new, |times| {
        format!(" ({} D)", figures::hundredths(times))
    });
    match finding.what {
        What::Gap => format!("{part} and {other} don't touch: {shown} between them"),
        What::Overlap => format!(
            "{part} and {other} lie in one another by {}",
            figures::length(-value, unit)
        ),
        What::NoMetal => format!("{part} has no metal there that touches the stack"),
        What::Uneven => {
            format!("{part} is {shown} thick there, and {wanted} elsewhere in this joint")
        }
        What::Row if wanted.is_empty() => {
            format!("the row beside {other} has no metal in common to lie on")
        }
        What::Row => format!(
            "the row beside {other} has no room: the metal in common is {wanted} shorter than its ends keep free"
        ),
        What::Count => format!("the rows have {other} fasteners that the joint states"),
        What::Edge if value < 0.0 => format!(
            "a fastener lies {} outside of the metal of {part}; {wanted}{times} inside are wanted",
            figures::length(-value, unit)
        ),
        What::Edge => format!("edge distance in {part} {shown}, at least {wanted}{times} wanted"),
        What::EdgeSlim => format!("edge distance in {part} {shown}; {wanted}{times} is better"),
        What::EdgeWide => format!("edge distance {shown}, at most {wanted}{times} is usual"),
        What::Pitch => format!("pitch {shown}, at least {wanted}{times} wanted"),
        What::PitchStrict => format!("pitch {shown}; a stricter opinion wants {wanted}{times}"),
        What::PitchWide => format!("pitch {shown}, at most {wanted}{times} is usual"),
        What::OtherJoint => {
            format!("{shown} from a fastener of {other} in {part}, at least {wanted}{times} wanted")
        }
        What::Seat => format!(
            "the {other} doesn't sit flat on {part}: {shown} to its bend or leg, {wanted} wanted"
        ),
        What::OtherMetal => {
            format!("{part} lies against the stack: these holes go through it too ({shown})")
        }
        What::Diameter => {
            let d = report.joint.diameter_mm.unwrap_or_default();
            let word = if finding.wanted_mm.is_some_and(|mm| mm > d) {
                "at least"
            } else {
                "at most"
            };
            format!(
                "a diameter of {} is unusual for the thickest sheet: {word} {wanted}",
                figures::length(d, unit)
            )
        }
        What::NoSize => "nothing in the tables holds so much metal".to_owned(),
        What::Loose => format!("{part} is loose: all figures only show where it stands now"),
    }
}

fn place(finding: &Finding, unit: Unit) -> String {
    let Some(Spot { at_mm, .. }) = finding.places.first() else {
        return String::new();
    };
    let coordinates: Vec<String> = ["fs", "bl", "wl"]
        .iter()
        .zip(at_mm)
        .map(|(axis, mm)| format!("{axis} {}", figures::column(*mm, unit)))
        .collect();
    let more = match finding.places.len() {
        0 | 1 => String::new(),
        n => format!(" and {} more", n - 1),
    };
    format!(", at {}{more}", coordinates.join(", "))
}
