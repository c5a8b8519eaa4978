//! `remedy` as text: at most a page of cures, the cheapest first.

use strongback_model::quantity::{Length, Unit, format};
use strongback_model::remedy::{Nearest, Remedies, Remedy, Step, StepKind};

use super::table::{Stands, table, wrapped};
use super::{figures, recut};
use crate::command::RemedyAnswer;

/// The verdict in one line.
pub fn verdict(remedies: &Remedies) -> String {
    if remedies.miss.is_empty() {
        return match &remedies.open[..] {
            [] => "Every must-fit comes true: there is nothing to mend.".to_owned(),
            open => format!(
                "Nothing misses; {} on something loose: settle that first (`loose`).",
                figures::count(open.len(), "must-fit rests", "must-fits rest")
            ),
        };
    }
    let miss = figures::count(remedies.miss.len(), "must-fit misses", "must-fits miss");
    match remedies.remedies.len() {
        0 => format!("{miss}: no remedy of up to three changes was found."),
        n => format!(
            "{miss}: {}, the cheapest first.",
            figures::count(n, "remedy", "remedies")
        ),
    }
}

/// The whole answer.
pub fn text(answer: &RemedyAnswer, width: usize) -> String {
    let (remedies, unit) = (&answer.remedies, answer.unit);
    let mut text = wrapped(&answer.verdict, width, 0);
    if remedies.miss.is_empty() {
        return text;
    }
    let missing = format!("What misses: {}.", remedies.miss.join("; "));
    text.push_str(&wrapped(&missing, width, 2));
    if !answer.adopted.is_empty() {
        let told = format!("Adopted, and part of it: {}.", answer.adopted.join(", "));
        text.push_str(&wrapped(&told, width, 2));
    }
    text.push('\n');
    if !remedies.remedies.is_empty() {
        let rows = remedies.remedies.iter().enumerate().map(|(at, remedy)| {
            vec![
                (at + 1).to_string(),
                changes(&remedy.steps, unit),
                cost(remedy),
                left(remedy, unit),
            ]
        });
        text.push_str(&table(
            &[
                ("", Stands::Right),
                ("change", Stands::Left),
                ("costs", Stands::Left),
                ("left at the tightest", Stands::Left),
            ],
            rows,
            width,
        ));
    }
    match &remedies.nearest {
        Some(nearest) => {
            text.push_str(&wrapped(&comes_nearest(nearest, unit), width, 2));
            text.push('\n');
        }
        None if remedies.remedies.is_empty() => {
            text.push_str(&wrapped(
                "Nothing near a cure was found: what misses may rest on something that none of these changes.",
                width,
                2,
            ));
            text.push('\n');
        }
        None => {}
    }
    text.push_str(&wrapped(&searched(remedies), width, 2));
    text.push('\n');
    if let Some(next) = &answer.next {
        // to be copied: no line is broken
        text.push_str(&format!("To see what the first one shifts:\n  {next}\n\n"));
    }
    text.push_str(&wrapped(&answer.caution, width, 0));
    text
}

fn changes(steps: &[Step], unit: Unit) -> String {
    let told: Vec<String> = steps.iter().map(|step| change(step, unit)).collect();
    told.join("; ")
}

fn change(step: &Step, unit: Unit) -> String {
    let shown = |value: Option<f64>| {
        value.map_or_else(String::new, |value| {
            if step.angle {
                return figures::angle(value);
            }
            let style = if step.layers_in.is_empty() {
                format::Style::Short
            } else {
                format::Style::Decimal
            };
            format::length(Length::from_mm(value), unit, style)
        })
    };
    let (name, from, to) = (&step.name, shown(step.from), shown(step.to));
    let layers = match &step.layers_in[..] {
        [] | [_] => String::new(),
        several => {
            let several: Vec<String> = several.iter().map(|gauge| format!("{gauge:.3}")).collect();
            format!(" ({})", several.join(" + "))
        }
    };
    match step.kind {
        StepKind::Adjust if step.apart => {
            format!("set {name} {to} apart within its slot, now {from}")
        }
        StepKind::Adjust => format!("set {name} to {to} within its slot, now {from}"),
        StepKind::Pack if step.from == Some(0.0) => format!("pack {name} with {to}{layers}"),
        StepKind::Pack => format!("pack {name} with {to}{layers} instead of {from}"),
        StepKind::Spacer => format!("{name} {to}{layers} instead of {from}"),
        StepKind::Set => format!("{name} {to} instead of {from}"),
        StepKind::Take => format!(
            "read {name} as {}",
            step.reading.as_deref().unwrap_or_default()
        ),
    }
}

fn cost(remedy: &Remedy) -> String {
    let price = &remedy.price;
    let totals = &price.totals;
    let mut told: Vec<String> = price
        .made
        .iter()
        .map(|part| format!("{}: {}", part.part, recut::words(part)))
        .collect();
    if told.is_empty() {
        told.push("nothing that is made".to_owned());
    }
    if totals.hours_lost > 0.0 {
        told.push(format!("{} lost", figures::hours(totals.hours_lost)));
    }
    if totals.hours_at_stake > 0.0 {
        told.push(format!(
            "{} at stake",
            figures::hours(totals.hours_at_stake)
        ));
    }
    if totals.not_started > 0 {
        told.push(figures::count(
            totals.not_started,
            "part not started gets other figures",
            "parts not started get other figures",
        ));
    }
    if remedy.clashes > 0 {
        told.push(figures::count(
            remedy.clashes,
            "clash stays",
            "clashes stay",
        ));
    }
    if remedy.at_odds > 0 {
        let odd = figures::count(remedy.at_odds, "statement stays", "statements stay");
        told.push(format!("{odd} at odds"));
    }
    told.join("; ")
}

fn left(remedy: &Remedy, unit: Unit) -> String {
    remedy
        .tightest
        .as_ref()
        .map_or_else(String::new, |tightest| {
            let margin = figures::value(tightest.margin, tightest.angle, unit);
            format!("{margin} at {}", tightest.must_fit)
        })
}

fn comes_nearest(nearest: &Nearest, unit: Unit) -> String {
    let miss = figures::value(nearest.miss, nearest.angle, unit);
    format!(
        "Nearest comes: {}; {} then still misses by {miss}.",
        changes(&nearest.steps, unit),
        nearest.must_fit
    )
}

fn searched(remedies: &Remedies) -> String {
    let solved = figures::count(remedies.solved, "set", "sets");
    let how_far = if remedies.complete {
        "all sets of up to three changes were looked at"
    } else {
        "the search was cut: there may be others"
    };
    format!(
        "{} on the must-fits; {how_far}, and {solved} solved in full. A figure is changed by at most a quarter of itself (1/4 in \
         at least, 2 in at most), to marks of a rule; an angle by up to 5 degrees; packing is up to three layers of sheet.",
        figures::count(
            remedies.possible,
            "possible change bears",
            "possible changes bear"
        ),
    )
}
