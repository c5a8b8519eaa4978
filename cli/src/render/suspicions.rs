//! What looks like a blunder, in words: the verdict in one line, each suspect with what it would have to say and what may be
//! wrong in its place, and what to measure next.

use strongback_model::quantity::Unit;
use strongback_model::reconcile::{
    Candidate, CandidateKind, Compared, Instead, NextStep, Purpose, Reconciled, Suspicion, Verdict,
};

use super::figures::{self, count};
use super::table::{indented, wrapped};

/// At most so many of a group are named.
const NAMED: usize = 6;

/// Whether everything agrees; and if not, what doesn't. `recorded` measurements stand in the build record, which was not asked.
pub fn verdict(told: &Reconciled, recorded: usize, unit: Unit) -> String {
    let all = told.measurements.len();
    if all == 0 && recorded > 0 {
        let has = count(recorded, "measurement", "measurements");
        return format!(
            "The model states no measurements; its build record has {has}: ask with --as-built."
        );
    }
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
    let (figures, readings): (Vec<&Suspicion>, Vec<&Suspicion>) =
        told.suspects.iter().partition(|suspect| {
            let first = suspect.one_of.first();
            first.is_some_and(|first| first.kind == CandidateKind::Figure)
        });
    let agrees = agreement(agree, all, !figures.is_empty());
    let figures: Vec<String> = figures
        .into_iter()
        .filter_map(|suspect| clause(suspect, told, unit))
        .collect();
    let mut clauses = vec![match &figures[..] {
        [] => agrees,
        figures => format!("{agrees}: {}", figures.join("; ")),
    }];
    let readings = readings.into_iter();
    clauses.extend(readings.filter_map(|suspect| clause(suspect, told, unit)));
    let said = clauses.join("; ");
    clauses.extend(told.measurements.iter().filter_map(|one| {
        let instead = instead(one.otherwise.first().map(|other| &other.instead)?);
        let known = said.contains(&instead);
        (!known).then(|| format!("`{}` agrees if {instead}", one.name))
    }));
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

/// How many agree, and with what: once a figure of the plan is set aside, with each other.
fn agreement(agree: usize, all: usize, set_aside: bool) -> String {
    let with = match (set_aside, agree) {
        (false, _) => "the plan",
        (true, 0 | 1) => "the plan once it is corrected",
        (true, _) => "each other and not with the plan",
    };
    match (agree, all) {
        (1, 1) => format!("The measurement agrees with {with}"),
        (2, 2) => format!("Both measurements agree with {with}"),
        (a, b) if a == b => format!("All {all} measurements agree with {with}"),
        (0, _) => format!(
            "None of {} is known to agree with the plan",
            count(all, "measurement", "measurements")
        ),
        (1, _) => format!("1 of {all} measurements agrees with {with}"),
        _ => format!("{agree} of {all} measurements agree with {with}"),
    }
}

/// The likeliest of a group in a few words, and what else may be wrong.
fn clause(suspect: &Suspicion, told: &Reconciled, unit: Unit) -> Option<String> {
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
    let mut unless: Vec<String> = match others {
        [] => Vec::new(),
        [one] => vec![format!("`{}` is wrong", one.name)],
        [a, b] => vec![format!("`{}` or `{}` is wrong", a.name, b.name)],
        many => vec![format!("one of {} others is wrong", many.len())],
    };
    unless.extend(exact(&first.exact));
    if first.kind == CandidateKind::Measurement {
        let compared = told.measurements.iter();
        let its = compared.filter(|one| one.name == first.name);
        unless.extend(
            its.flat_map(|one| &one.otherwise)
                .map(|other| instead(&other.instead)),
        );
    }
    Some(match &unless[..] {
        [] => says,
        unless => format!("{says}, unless {}", unless.join(", or ")),
    })
}

/// Figures held exact, one of which may be wrong.
fn exact(names: &[String]) -> Option<String> {
    Some(match names {
        [] => return None,
        [one] => format!("`{one}` (held exact, states no tolerance) is wrong"),
        [a, b] => format!("`{a}` or `{b}` (held exact, no tolerance stated) is wrong"),
        many => format!(
            "one of {} figures held exact (no tolerance stated) is wrong",
            many.len()
        ),
    })
}

/// What would have to be otherwise.
fn instead(instead: &Instead) -> String {
    match instead {
        Instead::Holds { statement } => format!("`{statement}`, which gave way, is right"),
        Instead::ReadAs { statement, reading } => {
            format!("`{statement}` is read `{reading}`")
        }
    }
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

/// Each suspect with what it would have to say, and what the measurements agree with that don't agree with the plan.
pub(super) fn text(told: &Reconciled, unit: Unit, width: usize) -> String {
    let mut text = String::new();
    for suspect in &told.suspects {
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
    for one in &told.measurements {
        text.push_str(&otherwise(one, told.measurements.len(), width));
    }
    if told.untried > 0 {
        let more = count(
            told.untried,
            "more statement or reading",
            "more statements and readings",
        );
        let is = if told.untried == 1 { "was" } else { "were" };
        let told = format!("{more} that may explain a measurement {is} not tried.");
        text.push_str(&wrapped(&told, width, 2));
    }
    if !text.is_empty() {
        text.push('\n');
    }
    text
}

/// What a measurement agrees with that doesn't agree with the plan.
fn otherwise(one: &Compared, all: usize, width: usize) -> String {
    let mut text = String::new();
    for other in &one.otherwise {
        let agrees = match &other.instead {
            Instead::Holds { statement } => format!(
                "`{}` agrees with `{statement}`, which gave way: if that is right, say so with `trust: Measured` beside it, or \
                 `trust: Doubtful` beside what it contradicts.",
                one.name
            ),
            Instead::ReadAs { statement, reading } => format!(
                "`{}` agrees when `{statement}` is read `{reading}`: if that is right, `--take \"{statement}={reading}\"` takes \
                 it so.",
                one.name
            ),
        };
        let told = format!(
            "{agrees} Measurements that agree with the plan as it stands: then {} of {all}, now {}.",
            other.agreeing, other.agreeing_now
        );
        text.push_str(&wrapped(&told, width, 2));
    }
    text
}

fn candidate(one: &Candidate, unit: Unit) -> String {
    let show = |value: f64| figures::value(value, one.angle, unit);
    let sheet = figures::sheet(one.sheet.as_deref());
    let (reads, would) = match one.kind {
        CandidateKind::Measurement => ("reads".to_owned(), "would have to read"),
        CandidateKind::Figure => (format!("of the plan{sheet} says"), "would have to be"),
    };
    let unless = exact(&one.exact).map_or_else(String::new, |wrong| format!(", unless {wrong}"));
    format!(
        "`{}` {reads} {} and {would} {}{unless}",
        one.name,
        show(one.says),
        show(one.would_have_to_say)
    )
}

/// What to measure next.
pub(super) fn next(told: &Reconciled, width: usize) -> String {
    let mut text = String::new();
    if !told.next.is_empty() {
        text.push_str("To do next:\n");
    }
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
    if !text.is_empty() {
        text.push('\n');
    }
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
        Purpose::Check { .. } if step.kind == CandidateKind::Measurement => {
            format!("{what}: next to nothing else checks it")
        }
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
