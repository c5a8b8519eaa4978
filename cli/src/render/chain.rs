//! `why` as text.

use super::figures;
use super::table::{Stands, table, wrapped};
use crate::command::WhyAnswer;

/// The whole answer.
pub fn text(answer: &WhyAnswer, width: usize) -> String {
    let (chain, unit) = (&answer.chain, answer.unit);
    let coordinate = match chain.axis {
        strongback_model::words::Axis::Station => "station",
        strongback_model::words::Axis::ButtockLine => "buttock line",
        strongback_model::words::Axis::Waterline => "waterline",
    };
    let mut text = wrapped(
        &format!(
            "{} lies at {coordinate} {}.",
            chain.feature,
            figures::length(chain.value_mm, unit)
        ),
        width,
        0,
    );
    if let Some(datum) = &answer.datum {
        text.push_str(&wrapped(&format!("Counted from {datum}."), width, 0));
    }
    text.push('\n');
    let mut sum = 0.0;
    let rows: Vec<Vec<String>> = chain
        .legs
        .iter()
        .map(|leg| {
            sum += leg.adds_mm;
            vec![
                leg.name.clone(),
                figures::value(leg.value, leg.angle, unit),
                factor(leg.factor, leg.angle),
                if leg.angle {
                    String::new()
                } else {
                    figures::signed_column(leg.adds_mm, unit)
                },
                figures::column(sum, unit),
                leg.sheet.clone().unwrap_or_default(),
            ]
        })
        .collect();
    let symbol = unit.symbol();
    text.push_str(&table(
        &[
            ("figure", Stands::Left),
            ("is", Stands::Right),
            ("times", Stands::Right),
            (&format!("adds, {symbol}"), Stands::Right),
            (&format!("so far, {symbol}"), Stands::Right),
            ("sheet", Stands::Left),
        ],
        rows,
        width,
    ));
    if !chain.through.is_empty() {
        let through: Vec<String> = chain
            .through
            .iter()
            .map(|step| match &step.sheet {
                None => format!("{} ({})", step.statement, step.kind),
                Some(sheet) => format!("{} ({}, {sheet})", step.statement, step.kind),
            })
            .collect();
        text.push_str(&wrapped(
            &format!("Through: {}.", through.join(" → ")),
            width,
            2,
        ));
    }
    if !chain.loose.is_empty() {
        text.push_str(&wrapped(
            &format!(
                "Not settled: it also depends on {}, which nothing locates.",
                chain.loose.join("; ")
            ),
            width,
            2,
        ));
    }
    text
}

fn factor(factor: f64, angle: bool) -> String {
    if angle {
        return format!("{factor:+.4} mm/deg");
    }
    let whole = factor.round();
    if (factor - whole).abs() < 1e-9 {
        format!("{whole:+.0}")
    } else {
        format!("{factor:+.4}")
    }
}
