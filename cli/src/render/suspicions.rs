//! What looks like a blunder, in words: the verdict in one line, each suspect with what it would have to say, and what to
//! measure next.

use strongback_model::quantity::Unit;
use strongback_model::reconcile::{
    Candidate, CandidateKind, NextStep, Purpose, Reconciled, Suspicion, Verdict,
};

use super::figures::{self, count};
use super::table::wrapped;

/// At most so many of a group are named.
const NAMED: usize = 6;

/// Whether everything agrees; and if not, what doesn't.
pub fn verdict(told: &Reconciled, unit: Unit) -> String {
    let all = told.measurements.len();
    if all == 0 {
        return "The model states no measurements.".to_owned();
    }
    let of = |is: fn(&Verdict) -> bool| {
        told.measurements
            .iter()
            .filter(|one| is(&one.verdict))
            .count()
    };
    let agree = of(|verdict| *verdict == Verdict::Agrees);
    let verb = if agree == 1 { "agrees" } else { "agree" };
    let mut clauses = vec![match (agree, all) {
        (1, 1) => "The measurement agrees with the plan".to_owned(),
        (a, b) if a == b => format!("All {all} measurements agree with the plan"),
        (0, _) => format!(
            "None of {} is known to agree with the plan",
            count(all, "measurement", "measurements")
        ),
        _ => format!("{agree} of {all} measurements {verb} with the plan"),
    }];
    clauses.extend(
        told.suspects
            .iter()
            .filter_map(|suspect| clause(suspect, unit)),
    );
    let unchecked = of(|verdict| *verdict == Verdict::Unchecked);
    if unchecked > 0 {
        let is = if unchecked == 1 { "is" } else { "are" };
        clauses.push(format!("{unchecked} {is} checked by next to nothing"));
    }
    let open = of(|verdict| matches!(verdict, Verdict::Open { .. }));
    if open > 0 {
        let rests = if open == 1 { "it rests" } else { "they rest" };
        clauses.push(format!(
            "{open} can't be compared, since {rests} on something loose"
        ));
    }
    clauses.join("; ") + "."
}

/// The likeliest of a group in a few words.
fn clause(suspect: &Suspicion, unit: Unit) -> Option<String> {
    let (first, others) = suspect.one_of.split_first()?;
    let says = match first.kind {
        CandidateKind::Measurement => {
            let by = first.says - first.would_have_to_say;
            let way = match (first.angle, by > 0.0) {
                (true, true) => "too wide",
                (true, false) => "too narrow",
                (false, true) => "too long",
                (false, false) => "too short",
            };
            format!(
                "`{}` reads about {} {way}",
                first.name,
                rough(by.abs(), first.angle, unit)
            )
        }
        CandidateKind::Figure => format!(
            "`{}` says {} and would have to be about {}",
            first.name,
            figures::value(first.says, first.angle, unit),
            rough(first.would_have_to_say, first.angle, unit)
        ),
    };
    Some(match others {
        [] => says,
        [one] => format!("{says}, unless `{}` is wrong", one.name),
        [a, b] => format!("{says}, unless `{}` or `{}` is wrong", a.name, b.name),
        many => format!("{says}, unless one of {} others is wrong", many.len()),
    })
}

/// A figure as it is said: to the nearest sixteenth of an inch, or half a millimetre, where it is more than that.
fn rough(value: f64, angle: bool, unit: Unit) -> String {
    if angle {
        return figures::angle(value);
    }
    let step = match unit {
        Unit::Inch | Unit::Foot => 25.4 / 16.0,
        Unit::Millimetre | Unit::Centimetre | Unit::Metre => 0.5,
    };
    let rounded = (value / step).round() * step;
    figures::length(if rounded == 0.0 { value } else { rounded }, unit)
}

/// An item of a list.
fn indented(item: &str, width: usize) -> String {
    format!("  {}", wrapped(item, width.saturating_sub(2), 4))
}

/// Each suspect with what it would have to say.
pub(super) fn text(suspects: &[Suspicion], unit: Unit, width: usize) -> String {
    let mut text = String::new();
    for suspect in suspects {
        match &suspect.one_of[..] {
            [] => {}
            [only] => {
                let told = format!("Suspect: {}.", candidate(only, unit));
                text.push_str(&wrapped(&told, width, 2));
            }
            several => {
                text.push_str(&wrapped(
                    "Suspect: one of these, and nothing measured so far tells which. The first was set aside.",
                    width,
                    2,
                ));
                for one in several.iter().take(NAMED) {
                    text.push_str(&indented(&candidate(one, unit), width));
                }
                if several.len() > NAMED {
                    text.push_str(&format!("  and {} more\n", several.len() - NAMED));
                }
            }
        }
    }
    if !suspects.is_empty() {
        text.push('\n');
    }
    text
}

fn candidate(one: &Candidate, unit: Unit) -> String {
    let show = |value: f64| figures::value(value, one.angle, unit);
    let sheet = one
        .sheet
        .as_ref()
        .map_or_else(String::new, |sheet| format!(" ({sheet})"));
    let (reads, would) = match one.kind {
        CandidateKind::Measurement => ("reads".to_owned(), "would have to read"),
        CandidateKind::Figure => (format!("of the plan{sheet} says"), "would have to be"),
    };
    format!(
        "`{}` {reads} {} and {would} {}",
        one.name,
        show(one.says),
        show(one.would_have_to_say)
    )
}

/// What to measure next.
pub(super) fn next(told: &Reconciled, width: usize) -> String {
    if told.next.is_empty() {
        return String::new();
    }
    let mut text = "To do next:\n".to_owned();
    for step in told.next.iter().take(NAMED) {
        text.push_str(&indented(&told_step(step), width));
    }
    if told.next.len() > NAMED {
        text.push_str(&format!("  and {} more\n", told.next.len() - NAMED));
    }
    if told.suspects.len() > 1 {
        text.push_str(&wrapped(
            "Blunders hide behind each other: mend the surest one in the model, and ask again before the others are believed.",
            width,
            0,
        ));
    }
    let candidates = || told.suspects.iter().flat_map(|suspect| &suspect.one_of);
    if candidates().any(|one| one.kind == CandidateKind::Figure) {
        text.push_str(&wrapped(
            "A figure that turns out to be wrong on its sheet is a question for the designer before it is changed in the model.",
            width,
            0,
        ));
    }
    text.push('\n');
    text
}

fn told_step(step: &NextStep) -> String {
    let what = match (step.kind, &step.between) {
        (CandidateKind::Measurement, _) => format!(
            "measure `{}` again, by other means if there are any",
            step.measure
        ),
        (CandidateKind::Figure, None) => format!("measure `{}` by itself", step.measure),
        (CandidateKind::Figure, Some([from, to])) => {
            format!("measure `{}` by itself, from {from} to {to}", step.measure)
        }
    };
    match &step.purpose {
        Purpose::Confirm | Purpose::TellApart => what,
        Purpose::Check { measurement } => format!("{what}: it would check `{measurement}`"),
    }
}

/// Names in a row, the first few of many.
pub(super) fn list(names: &[String]) -> String {
    let shown: Vec<&str> = names.iter().take(NAMED).map(String::as_str).collect();
    let more = names.len().saturating_sub(NAMED);
    if more > 0 {
        format!("{} and {more} more", shown.join(", "))
    } else {
        shown.join(", ")
    }
}
