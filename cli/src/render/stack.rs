//! `stack` as text: how often, then the figures, then who brings how much, then the samples as bars.

use std::collections::BTreeSet;

use strongback_model::quantity::Unit;
use strongback_model::stack::{Spread, Stack, StackVerdict, StackedMeasure};

use super::decimal::Decimal;
use super::figures::count;
use super::fit::remark;
use super::stack_bars::bars;
use super::stack_shares::{linear, shares, tightest};
use super::stack_verdict::{figures_meant, meanings, meanings_of_one, share_of_builds, word};
use super::table::{Stands, table, wrapped};
use crate::command::StackAnswer;

pub use super::stack_verdict::verdict;

/// The whole answer.
pub fn text(answer: &StackAnswer, width: usize) -> String {
    let mut text = wrapped(&answer.verdict, width, 0);
    text.push('\n');
    if !answer.named {
        text.push_str(&all(answer, width));
    } else {
        for meaning in meanings_of_one(&answer.stacks) {
            text.push_str(&wrapped(meaning, width, 0));
            text.push('\n');
        }
        for stack in &answer.stacks {
            text.push_str(&one(answer, stack, width));
        }
        let measures = answer.stacks.iter().flat_map(|stack| &stack.measures);
        let meant = figures_meant(measures);
        if !meant.is_empty() {
            text.push_str(&wrapped(&meant, width, 0));
            text.push('\n');
        }
    }
    if let Some(written) = &answer.written {
        text.push_str(&wrapped(
            &format!("{written} is written: the samples as a picture."),
            width,
            0,
        ));
        text.push('\n');
    }
    if let Some(stack) = answer.stacks.iter().find(|stack| stack.chance.is_some()) {
        text.push_str(&wrapped(&assumed(stack), width, 0));
        text.push('\n');
    }
    text.push_str(&wrapped(&answer.caution, width, 0));
    text
}

/// What the samples take for granted.
fn assumed(stack: &Stack) -> String {
    let spread = match stack.spread {
        Spread::Normal => {
            "normally, with three standard deviations to its tolerance (common practice, no source), so that 0.27 % of the \
             samples of a figure lie beyond it"
        }
        Spread::Uniform => "evenly over its tolerance",
    };
    format!(
        "Assumed: each figure is off by itself, about its stated value, {spread}. Seed {}.",
        stack.seed
    )
}

/// All must-fits in one table.
fn all(answer: &StackAnswer, width: usize) -> String {
    if answer.stacks.is_empty() {
        return String::new();
    }
    let rows = answer.stacks.iter().map(|stack| {
        let mut row = vec![stack.name.clone(), word(stack)];
        match stack.worst() {
            None => row.resize(7, String::new()),
            Some(measure) => {
                let decimal = Decimal::of(measure, answer.unit);
                row.push(
                    stack
                        .chance
                        .as_ref()
                        .map_or_else(String::new, share_of_builds),
                );
                row.push(decimal.told(measure.nominal));
                row.push(wanted(measure, decimal));
                if stack.varies() {
                    row.push(decimal.both_sides(measure.worst_case));
                    row.push(decimal.both_sides(measure.rss));
                } else {
                    row.resize(7, String::new());
                }
            }
        }
        row
    });
    let mut text = table(
        &[
            ("must-fit", Stands::Left),
            ("", Stands::Left),
            ("in builds", Stands::Right),
            ("as drawn", Stands::Right),
            ("wanted", Stands::Left),
            ("worst case", Stands::Right),
            ("RSS", Stands::Right),
        ],
        rows,
        width,
    );
    for stack in &answer.stacks {
        if let Some(told) = stack.remark.as_ref().map(remark) {
            text.push_str(&wrapped(&format!("{}: {told}.", stack.name), width, 2));
        }
    }
    for meaning in meanings(&answer.stacks) {
        text.push_str(&wrapped(meaning, width, 0));
    }
    let still = |one: &&Stack| is_stacked(one) && !one.varies();
    let still = answer.stacks.iter().filter(still).count();
    if still > 0 {
        let told = format!(
            "Behind {} nothing states a tolerance.{}",
            count(still, "must-fit", "must-fits"),
            advice(answer)
        );
        text.push_str(&wrapped(&told, width, 0));
    }
    let exact: BTreeSet<&str> = answer
        .stacks
        .iter()
        .flat_map(|one| &one.held)
        .map(String::as_str)
        .collect();
    if !exact.is_empty() {
        let exact: Vec<&str> = exact.into_iter().collect();
        text.push_str(&wrapped(&held(&exact), width, 0));
    }
    text.push_str(&wrapped(
        "RSS: root of the sum of squares. `strongback stack MODEL MUST_FIT` tells what brings how much of it.",
        width,
        0,
    ));
    text.push('\n');
    text
}

/// Whether there is something to stack at all.
fn is_stacked(stack: &Stack) -> bool {
    !matches!(stack.verdict, StackVerdict::Open | StackVerdict::Unmeasured)
}

fn advice(answer: &StackAnswer) -> &'static str {
    if answer.general {
        ""
    } else {
        " State `within` beside a dimension, a relation or once at the top of the file."
    }
}

/// One must-fit, measure by measure.
fn one(answer: &StackAnswer, stack: &Stack, width: usize) -> String {
    let mut text = String::new();
    for measure in &stack.measures {
        text.push_str(&told(stack, measure, answer.unit, width));
    }
    if is_stacked(stack) && !stack.varies() {
        let told = format!(
            "Nothing behind it states a tolerance, so that it would come out as drawn in every build.{}",
            advice(answer)
        );
        text.push_str(&wrapped(&told, width, 0));
        text.push('\n');
    }
    if !stack.held.is_empty() {
        let names: Vec<&str> = stack.held.iter().map(String::as_str).collect();
        text.push_str(&wrapped(&held(&names), width, 0));
        text.push('\n');
    }
    text
}

fn held(names: &[&str]) -> String {
    /// More aren't listed.
    const SHOWN: usize = 8;
    let shown = names[..names.len().min(SHOWN)].join(", ");
    let more = if names.len() > SHOWN { ", …" } else { "" };
    match names.len() {
        1 => format!("Held exact, since it states no tolerance: {shown}."),
        n => format!("Held exact, since they state no tolerance, are {n} figures: {shown}{more}."),
    }
}

/// What is stacked, and what is wanted of it: `spar to spar: from … to …, 23.5938 to 23.7812 in`.
pub(crate) fn subject(stack: &Stack, measure: &StackedMeasure, decimal: Decimal) -> String {
    let wanted = wanted(measure, decimal);
    format!("{}: {}, {wanted}", stack.name, measure.what)
}

fn told(stack: &Stack, measure: &StackedMeasure, unit: Unit, width: usize) -> String {
    let decimal = Decimal::of(measure, unit);
    let head = subject(stack, measure, decimal);
    let mut text = wrapped(&format!("{head}."), width, 2);
    text.push_str(&figures_of(measure, decimal, width));
    if measure.shares.is_empty() {
        return text;
    }
    text.push_str(&shares(&measure.shares, decimal, unit, width));
    text.push_str(&wrapped(&tightest(&measure.shares), width, 0));
    text.push_str(&wrapped(&linear(measure, decimal), width, 0));
    text.push('\n');
    if let Some(sampled) = &measure.sampled {
        text.push_str(&bars(measure, &sampled.histogram, decimal, width));
        text.push('\n');
    }
    text
}

/// What will do.
pub(crate) fn wanted(measure: &StackedMeasure, decimal: Decimal) -> String {
    match (measure.least, measure.most) {
        (Some(least), Some(most)) if least == -most => format!("0 within {}", decimal.told(most)),
        (Some(least), Some(most)) => decimal.range([least, most]),
        (Some(least), None) => format!("at least {}", decimal.told(least)),
        (None, Some(most)) => format!("at most {}", decimal.told(most)),
        (None, None) => String::new(),
    }
}

fn figures_of(measure: &StackedMeasure, decimal: Decimal, width: usize) -> String {
    let mut rows = vec![vec!["as drawn".to_owned(), decimal.told(measure.nominal)]];
    let mut row = |name: &str, figure: String| rows.push(vec![name.to_owned(), figure]);
    if !measure.shares.is_empty() {
        let fits = if measure.fits_at_worst() {
            "within the limits"
        } else {
            "BEYOND the limits"
        };
        let off = decimal.both_sides(measure.worst_case);
        let range = decimal.range(measure.worst_range());
        row("worst case", format!("{off}: {range}, {fits}"));
        row(
            "root of the sum of squares",
            decimal.both_sides(measure.rss),
        );
        if let Some(corners) = measure.corners {
            row(
                "by the true equations at the corners",
                decimal.range(corners),
            );
        }
    }
    if let Some(sampled) = measure.sampled.as_ref().filter(|sampled| sampled.sd > 0.0) {
        row("mean of the samples", decimal.told(sampled.mean));
        row(
            "standard deviation",
            format!(
                "{}; skewness {:.2}",
                decimal.told(sampled.sd),
                sampled.skewness + 0.0
            ),
        );
        let [low, middle, high] = sampled.quantiles;
        row(
            "99.73 % of builds",
            format!(
                "{}, half of them below {}",
                decimal.range([low, high]),
                decimal.figure(middle)
            ),
        );
        row(
            "least and greatest",
            decimal.range([sampled.least, sampled.greatest]),
        );
        if sampled.failed > 0 {
            row(
                "not solved",
                format!("{} of the samples; they count as missing", sampled.failed),
            );
        }
    }
    let capability = [
        ("Cp", measure.capability.cp),
        ("Cpk", measure.capability.cpk),
    ];
    let capability: Vec<String> = capability
        .iter()
        .filter_map(|(name, value)| value.map(|value| format!("{name} {value:.2}")))
        .collect();
    if !capability.is_empty() {
        row("capability (ISO 22514-2)", capability.join(", "));
    }
    table(&[("", Stands::Left), ("", Stands::Left)], rows, width)
}
