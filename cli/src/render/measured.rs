//! `measured` as text: the verdict, measurements and figures as tables, suspects, and what to measure next.

use strongback_model::quantity::Unit;
use strongback_model::reconcile::{Compared, Corrected, Ended, Reconciled, Verdict};

use super::figures;
use super::suspicions::{self, list};
use super::table::{Stands, table, wrapped};
use crate::command::MeasuredAnswer;

pub use suspicions::verdict;

/// At most so many corrected figures are shown.
const FIGURES: usize = 12;

/// At most so many shifted faces are shown.
const FACES: usize = 3;

/// How to state a measurement, for a model that has none.
const HOW: &str = "State each under `measurements`, as in

    measurements: {
        \"firewall to rear frame\": (from: \"firewall.aft\", to: \"rear frame.web_fwd\", is: \"79 1/2 in\", uncertainty: \"1/32 in\"),
    },

`uncertainty` is one standard deviation: in two cases out of three a measurement is no further off.
";

/// The whole answer.
pub fn text(answer: &MeasuredAnswer, width: usize) -> String {
    let (told, unit) = (&answer.reconciled, answer.unit);
    let mut text = wrapped(&answer.verdict, width, 0);
    if told.measurements.is_empty() {
        text.push_str(HOW);
        return text;
    }
    text.push('\n');
    text.push_str(&measurements(told, unit, width));
    text.push_str(&suspicions::text(told, unit, width));
    text.push_str(&figures_table(told, unit, width));
    text.push_str(&adjusted_layout(told, unit, width));
    text.push_str(&suspicions::next(told, width));
    text.push_str(&wrapped(&answer.caution, width, 0));
    text
}

fn measurements(told: &Reconciled, unit: Unit, width: usize) -> String {
    let [read, plan, adjusted, off, finds] =
        ["read", "plan", "adjusted", "off", "finds"].map(|head| in_unit(head, unit));
    let mut text = table(
        &[
            ("measurement", Stands::Left),
            ("", Stands::Left),
            (&read, Stands::Right),
            (&plan, Stands::Right),
            (&adjusted, Stands::Right),
            (&off, Stands::Right),
            ("times", Stands::Right),
            ("checked", Stands::Right),
            (&finds, Stands::Right),
        ],
        told.measurements.iter().map(|one| row(one, unit)),
        width,
    );
    text.push_str(&wrapped(
        &format!(
            "read: as measured. off: that less adjusted. times: that over its own standard deviation; beyond {} is a suspect, as one in a thousand \
             sound ones would be. checked: the share of a blunder that would show. finds: the least blunder that is found in \
             80 of 100 cases.",
            told.critical
        ),
        width,
        0,
    ));
    if let Some(sigma0) = told.sigma0 {
        let spare = figures::count(told.degrees_of_freedom, "observation", "observations");
        text.push_str(&wrapped(
            &format!(
                "Over all, residuals are {sigma0:.2} times what uncertainties and tolerances let expect (from {spare} more than \
                 needed; about 1 is usual, much more says that they are stated too small)."
            ),
            width,
            0,
        ));
    }
    text.push_str(&remarks(told, width));
    text.push('\n');
    text
}

/// What measurements rest on that is not as it should be, said once of all of which it is true.
fn remarks(told: &Reconciled, width: usize) -> String {
    let mut remarks: Vec<(String, Vec<&str>)> = Vec::new();
    for one in &told.measurements {
        let Some(remark) = rests_on(one) else {
            continue;
        };
        match remarks.iter_mut().find(|(known, _)| *known == remark) {
            Some((_, names)) => names.push(&one.name),
            None => remarks.push((remark, vec![&one.name])),
        }
    }
    remarks
        .iter()
        .map(|(remark, names)| wrapped(&format!("{remark}: {}.", names.join(", ")), width, 2))
        .collect()
}

fn rests_on(one: &Compared) -> Option<String> {
    match &one.verdict {
        Verdict::Open { loose } if loose.is_empty() => Some(
            "Resting on something loose, so that the plan's figure only shows where that stands now"
                .to_owned(),
        ),
        Verdict::Open { loose } => Some(format!(
            "Resting on {}, which nothing settles, so that the plan's figure only shows where that stands now",
            list(loose)
        )),
        _ if !one.disputed.is_empty() => Some(format!(
            "Resting on figures that contradict each other ({}; `strongback odds` tells)",
            list(&one.disputed)
        )),
        _ => None,
    }
}

fn row(one: &Compared, unit: Unit) -> Vec<String> {
    let show = |value: f64| column(value, one.angle, unit);
    let maybe = |value: Option<f64>| value.map_or_else(String::new, show);
    vec![
        one.name.clone(),
        word(&one.verdict).to_owned(),
        show(one.measured),
        show(one.plan),
        maybe(one.adjusted),
        one.residual
            .map_or_else(String::new, |by| change(-by, one.angle, unit)),
        one.normalised.map_or_else(String::new, times),
        one.redundancy.map_or_else(String::new, share),
        maybe(one.detectable),
    ]
}

fn word(verdict: &Verdict) -> &'static str {
    match verdict {
        Verdict::Agrees => "agrees",
        Verdict::Suspect => "SUSPECT",
        Verdict::Undecided { .. } => "UNDECIDED",
        Verdict::Unchecked => "unchecked",
        Verdict::Open { .. } => "OPEN",
    }
}

fn column(value: f64, angle: bool, unit: Unit) -> String {
    if angle {
        figures::angle(value)
    } else {
        figures::column(value, unit)
    }
}

fn change(by: f64, angle: bool, unit: Unit) -> String {
    if angle {
        figures::turn(by)
    } else {
        figures::signed_column(by, unit)
    }
}

fn times(normalised: f64) -> String {
    format!("{:.1}", normalised.abs())
}

fn share(redundancy: f64) -> String {
    format!("{:.0} %", 100.0 * redundancy)
}

/// The figures of the plan that the measurements correct, the most surprising first.
fn figures_table(told: &Reconciled, unit: Unit, width: usize) -> String {
    let is_shown = |one: &Corrected| {
        let least = if one.angle {
            figures::SHOWN_DEG
        } else {
            figures::SHOWN_MM
        };
        (one.after - one.before).abs() >= least
    };
    let mut changed: Vec<&Corrected> = told.figures.iter().filter(|one| is_shown(one)).collect();
    let size = |one: &Corrected| one.normalised.unwrap_or_default().abs();
    // equal but for rounding: in the order of the file
    changed.sort_by(|a, b| {
        let place = |one: &Corrected| (size(one) * 1e6).round();
        place(b).total_cmp(&place(a))
    });
    let mut text = String::new();
    let left_out = changed.len().saturating_sub(FIGURES);
    changed.truncate(FIGURES);
    if !changed.is_empty() {
        let [plan, adjusted, by] = ["plan", "adjusted", "by"].map(|head| in_unit(head, unit));
        text.push_str(&table(
            &[
                ("figure of the plan", Stands::Left),
                (&plan, Stands::Right),
                (&adjusted, Stands::Right),
                (&by, Stands::Right),
                ("times", Stands::Right),
                ("checked", Stands::Right),
                ("sheet", Stands::Left),
            ],
            changed.iter().map(|one| figure_row(one, unit)),
            width,
        ));
    }
    if left_out > 0 {
        text.push_str(&format!("{left_out} more change.\n\n"));
    }
    if !told.figures.is_empty() {
        let counts = "A figure's tolerance (`within`) counts as three standard deviations (common practice, no source).";
        text.push_str(&wrapped(counts, width, 2));
        if told.exact.is_empty() {
            text.push('\n');
        }
    }
    if !told.exact.is_empty() {
        let held = format!(
            "Held exact, since no tolerance is stated (`within`): {}. What is wrong with one of these shows as a suspect \
             measurement; with a tolerance beside it, it is weighed too.",
            list(&told.exact)
        );
        text.push_str(&wrapped(&held, width, 2));
        text.push('\n');
    }
    text
}

fn figure_row(one: &Corrected, unit: Unit) -> Vec<String> {
    let name = if one.set_aside {
        format!("{}, set aside", one.name)
    } else {
        one.name.clone()
    };
    vec![
        name,
        column(one.before, one.angle, unit),
        column(one.after, one.angle, unit),
        change(one.after - one.before, one.angle, unit),
        one.normalised.map_or_else(String::new, times),
        share(one.redundancy),
        one.sheet.clone().unwrap_or_default(),
    ]
}

fn adjusted_layout(told: &Reconciled, unit: Unit, width: usize) -> String {
    let mut text = String::new();
    if let Ended::Estimated { why } = &told.adjustment {
        let remark = format!(
            "No layout was solved with the adjusted figures, which are estimates only: {why}."
        );
        text.push_str(&wrapped(&remark, width, 2));
    }
    let least = least_told(told);
    let mut small = false;
    let faces: Vec<String> = told
        .shifts
        .iter()
        .take(FACES)
        .filter_map(|face| {
            let by = |axis: &usize| face.shift_mm[*axis].abs();
            let axis = (0..3).max_by(|a, b| by(a).total_cmp(&by(b)))?;
            let way = figures::way(face.shift_mm[axis], axis, unit);
            small |= (figures::SHOWN_MM..least).contains(&by(&axis));
            (by(&axis) >= least).then(|| format!("{} {way}", face.face))
        })
        .collect();
    let parts = figures::count(told.parts_shifted, "part shifts", "parts shift");
    let remark = match (faces.is_empty(), &told.adjustment) {
        (true, Ended::Estimated { .. }) => return text + "\n",
        (true, Ended::Settled { .. }) if small => format!(
            "With the adjusted figures {parts} against the plan, by less than the tape can tell ({}).",
            figures::length(least, unit)
        ),
        (true, Ended::Settled { .. }) => {
            "With the adjusted figures every part stays where the plan has it.".to_owned()
        }
        (false, _) => format!(
            "With the adjusted figures {parts} against the plan, most of all {}.",
            faces.join("; ")
        ),
    };
    text.push_str(&wrapped(&remark, width, 2));
    text.push('\n');
    text
}

/// Shifts below this, in millimetres, are no news: the least uncertainty of the lengths that were measured.
fn least_told(told: &Reconciled) -> f64 {
    let lengths = told
        .measurements
        .iter()
        .filter(|one| !one.angle && one.adjusted.is_some());
    let least = lengths.map(|one| one.uncertainty).reduce(f64::min);
    least.unwrap_or_default().max(figures::SHOWN_MM)
}

/// The head of a column of lengths, with the unit under it; an angle in it says its own.
fn in_unit(head: &str, unit: Unit) -> String {
    format!("{head}\n{}", unit.symbol())
}
