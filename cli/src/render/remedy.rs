//! `remedy` as text: at most a page of cures, the cheapest first.

use strongback_model::quantity::{Length, Unit, format};
use strongback_model::remedy::{Nearest, Remedies, Remedy, Step, StepKind};

use super::table::{Stands, table, wrapped};
use super::{figures, recut};
use crate::command::RemedyAnswer;
use crate::record::Basis;

/// The verdict in one line.
pub fn verdict(remedies: &Remedies) -> String {
    if remedies.miss.is_empty() {
        let unmeasured = figures::count(remedies.unmeasured.len(), "must-fit", "must-fits");
        return match (&remedies.open[..], &remedies.unmeasured[..]) {
            ([], []) => "Every must-fit comes true: there is nothing to mend.".to_owned(),
            ([], _) => format!("Nothing misses; {unmeasured} can't be measured (`fit` tells why)."),
            (open, _) => format!(
                "Nothing misses; {} on something loose: settle that first (`loose`).",
                figures::count(open.len(), "must-fit rests", "must-fits rest")
            ),
        };
    }
    let miss = figures::count(remedies.miss.len(), "must-fit misses", "must-fits miss");
    match remedies.remedies.len() {
        0 => {
            let alone = remedies.alone.iter();
            let alone = alone.filter(|one| !one.remedies.is_empty()).count();
            let alone = match alone {
                0 => String::new(),
                n => format!(" {n} of them can be cured alone."),
            };
            let all = if remedies.miss.len() > 1 {
                " for all"
            } else {
                ""
            };
            format!("{miss}: no remedy of up to three changes was found{all}.{alone}")
        }
        1 => format!("{miss}: one remedy was found."),
        n => format!("{miss}: {n} remedies, the cheapest first."),
    }
}

/// The whole answer.
pub fn text(answer: &RemedyAnswer, width: usize) -> String {
    let (remedies, unit) = (&answer.remedies, answer.unit);
    let mut text = match &answer.basis {
        Basis::Plan => String::new(),
        basis => wrapped(&format!("Asked of {}.", basis.told()), width, 2),
    };
    text.push_str(&wrapped(&answer.verdict, width, 0));
    if remedies.miss.is_empty() {
        return text;
    }
    let missing = format!("What misses: {}.", remedies.miss.join("; "));
    text.push_str(&wrapped(&missing, width, 2));
    if answer.basis == Basis::AsBuilt && !answer.adopted.is_empty() {
        let told = format!("Adopted, and part of it: {}.", answer.adopted.join(", "));
        text.push_str(&wrapped(&told, width, 2));
    }
    if !remedies.unmeasured.is_empty() {
        let told = format!(
            "Can't be measured, and left out: {}. `strongback fit` tells why.",
            remedies.unmeasured.join("; ")
        );
        text.push_str(&wrapped(&told, width, 2));
    }
    text.push('\n');
    let alone = remedies.alone.iter().any(|one| !one.remedies.is_empty());
    if !alone {
        text.push_str(&found(
            &remedies.remedies,
            remedies.nearest.as_ref(),
            unit,
            width,
        ));
    }
    for one in remedies.alone.iter().filter(|_| alone) {
        let told = match one.remedies.is_empty() {
            true => format!(
                "{}: no remedy of up to three changes was found.",
                one.must_fit
            ),
            false => format!("{} alone, the others left as they are:", one.must_fit),
        };
        text.push_str(&format!("{}\n", wrapped(&told, width, 2)));
        text.push_str(&found(&one.remedies, one.nearest.as_ref(), unit, width));
    }
    text.push_str(&wrapped(&searched(remedies), width, 2));
    if !remedies.unnamed.is_empty() {
        text.push_str(&wrapped(&untried(&remedies.unnamed), width, 2));
    }
    text.push('\n');
    if let Some(next) = &answer.next {
        // to be copied: no line is broken
        let it = match remedies.remedies.len() {
            1 => "it",
            _ => "the first one",
        };
        text.push_str(&format!("To see what {it} shifts:\n  {next}\n\n"));
    }
    text.push_str(&wrapped(&answer.caution, width, 0));
    text
}

/// Remedies as a table; or what comes nearest.
fn found(remedies: &[Remedy], nearest: Option<&Nearest>, unit: Unit, width: usize) -> String {
    if remedies.is_empty() {
        let told = match nearest {
            Some(nearest) => comes_nearest(nearest, unit),
            None => "Nothing near a cure was found: what misses may rest on something that none of these changes."
                .to_owned(),
        };
        return format!("{}\n", wrapped(&told, width, 2));
    }
    let rows = remedies.iter().enumerate().map(|(at, remedy)| {
        vec![
            (at + 1).to_string(),
            changes(&remedy.steps, unit),
            cost(remedy),
            left(remedy, unit),
        ]
    });
    table(
        &[
            ("", Stands::Right),
            ("change", Stands::Left),
            ("costs", Stands::Left),
            ("left at the tightest", Stands::Left),
        ],
        rows,
        width,
    )
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

/// Figures that can't be tried.
fn untried(unnamed: &[String]) -> String {
    /// More aren't listed.
    const SHOWN: usize = 6;
    let shown = unnamed[..unnamed.len().min(SHOWN)].join(", ");
    let more = match unnamed.len().saturating_sub(SHOWN) {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    format!(
        "Figures without a name are not tried: name as a dimension what may change: {shown}{more}."
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
