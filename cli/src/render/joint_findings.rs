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
        What::NoMetal => format!("{part} {}", missing(finding, &wanted)),
        What::Uneven => {
            format!("{part} is {shown} thick there, and {wanted} elsewhere in this joint")
        }
        What::Row if wanted.is_empty() => format!(
            "the row beside {other} has no metal in common to lie on{}",
            limited(report, other, unit)
        ),
        What::Row => format!(
            "the row beside {other} has no room: the metal in common is {wanted} shorter than its ends keep free{}",
            limited(report, other, unit)
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
            format!(
                "{part} lies against the stack and is not among its layers: these holes go through it too ({shown}); name it"
            )
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
        What::Hollow => format!(
            "{part} is a tube, and measured as if it were solid: what keeps its walls apart under the fastener, and how near to its sides \
             that may go, is for the designer"
        ),
        What::Loose => format!("{part} is loose: all figures only show where it stands now"),
    }
}

/// That a layer has no metal at the fasteners, where the stack lies on it instead, and what would be right.
fn missing(finding: &Finding, off: &str) -> String {
    let none = "has no metal there that touches the stack";
    match (&finding.on, &finding.other) {
        (Some(on), Some(face)) => format!(
            "{none}: the stack lies in the plane of `{on}`, and where the fasteners go its metal is at `{face}`, {off} off: name that \
             face, or move the joint"
        ),
        (None, Some(face)) => format!(
            "{none}: where the fasteners go its metal is at `{face}`, {off} off: name that face, or move the joint"
        ),
        (_, None) if off.is_empty() => none.to_owned(),
        (_, None) => format!(
            "{none}: its nearest lies {off} to the side; say where the fasteners go, by a row, by `at`, or by the place of a spacer"
        ),
    }
}

/// Which layers end the metal of a row, and how much of each lies along it.
fn limited(report: &JointReport, beside: &str, unit: Unit) -> String {
    let rows = report.rows.iter().filter(|row| row.beside == beside);
    let Some(row) = rows.into_iter().find(|row| !row.limits.is_empty()) else {
        return String::new();
    };
    let limits: Vec<String> = row
        .limits
        .iter()
        .map(|limit| {
            format!(
                "{} of {}",
                figures::length(limit.along_mm, unit),
                limit.part
            )
        })
        .collect();
    let verb = if limits.len() == 1 {
        "limits it"
    } else {
        "limit it"
    };
    format!(
        "; {} along the row {verb}, and its ends keep {} free",
        limits.join(" and "),
        figures::length(row.ends_mm, unit)
    )
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
