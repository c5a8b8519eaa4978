//! `why` as text.

use strongback_model::quantity::Unit;
use strongback_model::why::{Chain, LeadsTo, Leg};
use strongback_model::words::Axis;

use super::figures;
use super::table::{Stands, table, wrapped};
use crate::command::WhyAnswer;

/// The whole answer.
pub fn text(answer: &WhyAnswer, width: usize) -> String {
    let (chain, unit) = (&answer.chain, answer.unit);
    let mut text = wrapped(&head(chain, unit), width, 0);
    if let (Some(datum), Axis::Station) = (&answer.datum, chain.axis) {
        text.push_str(&wrapped(&format!("Counted from {datum}."), width, 0));
    }
    text.push('\n');
    if chain
        .legs
        .iter()
        .all(|leg| leg.adds_mm == 0.0 && !leg.angle)
    {
        text.push_str(&stated(chain, unit, width));
    } else {
        text.push_str(&legs(chain, unit, width));
    }
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
    text
}

/// Where it lies; where that is not settled, this first, lest a figure be taken for an answer.
fn head(chain: &Chain, unit: Unit) -> String {
    let coordinate = match chain.axis {
        Axis::Station => "station",
        Axis::ButtockLine => "buttock line",
        Axis::Waterline => "waterline",
    };
    let who = match chain.leads_to {
        LeadsTo::Face | LeadsTo::Point => chain.feature.clone(),
        LeadsTo::Middle => format!("The middle of {}", chain.feature),
    };
    let place = format!("{coordinate} {}", figures::length(chain.value_mm, unit));
    if chain.loose.is_empty() {
        return match chain.leads_to {
            LeadsTo::Face | LeadsTo::Point => format!("{who} lies at {place}."),
            LeadsTo::Middle => format!("{who} lies at {place}; the rest of it lies elsewhere."),
        };
    }
    format!(
        "Not settled: {who} depends on {}, which nothing locates. It lies at {place} only where the search ended.",
        chain.loose.join("; ")
    )
}

/// A coordinate that is nought because it is stated so.
fn stated(chain: &Chain, unit: Unit, width: usize) -> String {
    let told = chain.legs.iter().map(|leg| {
        let sheet = leg
            .sheet
            .as_ref()
            .map_or_else(String::new, |sheet| format!(" ({sheet})"));
        let figure = figures::value(leg.value, leg.angle, unit);
        format!("{} {figure}{sheet}", leg.name)
    });
    let told: Vec<String> = told.collect();
    if told.is_empty() {
        return "No figure adds to it: it lies at the datum itself.\n\n".to_owned();
    }
    wrapped(&format!("Stated: {}.", told.join("; ")), width, 2) + "\n"
}

fn legs(chain: &Chain, unit: Unit, width: usize) -> String {
    let mut sum = 0.0;
    let mut left_out = 0;
    let mut rows = Vec::new();
    for leg in &chain.legs {
        sum += leg.adds_mm;
        let Some(times) = times(leg, unit) else {
            left_out += 1;
            continue;
        };
        let adds = if leg.angle {
            "turns it".to_owned()
        } else {
            figures::signed_column(leg.adds_mm, unit)
        };
        rows.push(vec![
            leg.name.clone(),
            figures::value(leg.value, leg.angle, unit),
            times,
            adds,
            figures::column(sum, unit),
            leg.sheet.clone().unwrap_or_default(),
        ]);
    }
    let symbol = unit.symbol();
    let mut text = table(
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
    );
    if left_out > 0 {
        let told = format!(
            "Left out: {} that carry next to nothing.",
            figures::count(left_out, "figure", "figures")
        );
        text.push_str(&wrapped(
            &told.replace("figure that carry", "figure that carries"),
            width,
            2,
        ));
        text.push('\n');
    }
    text
}

/// How often a figure is counted, as a sum: `+1`, `-0.5`; of an angle, how far a degree of it moves the face. Nothing
/// where all of it would be shown as nought.
fn times(leg: &Leg, unit: Unit) -> Option<String> {
    if leg.angle {
        let per_degree = leg.factor / unit.mm();
        let shown = decimals(per_degree)?;
        return Some(format!("{shown} {}/deg", unit.symbol()));
    }
    match decimals(leg.factor) {
        None if leg.adds_mm.abs() < figures::SHOWN_MM => None,
        None => Some(format!("{:+.1e}", leg.factor)),
        shown => shown,
    }
}

/// At most four decimals, with the sign; none if they are all noughts.
fn decimals(factor: f64) -> Option<String> {
    let text = format!("{factor:+.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    (text.len() > 1 && text != "+0" && text != "-0").then(|| text.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn leg(value: f64, angle: bool, factor: f64) -> Leg {
        Leg {
            name: "bay".to_owned(),
            value,
            angle,
            factor,
            adds_mm: if angle { 0.0 } else { value * factor },
            sheet: None,
        }
    }

    fn chain(legs: Vec<Leg>) -> Chain {
        Chain {
            feature: "rail.aft".to_owned(),
            axis: Axis::Station,
            leads_to: LeadsTo::Face,
            value_mm: legs.iter().map(|leg| leg.adds_mm).sum(),
            legs,
            rest_mm: 0.0,
            through: Vec::new(),
            loose: Vec::new(),
        }
    }

    fn shown(chain: Chain) -> String {
        let (unit, datum) = (Unit::Inch, Some("the firewall".to_owned()));
        text(&WhyAnswer { unit, datum, chain }, 100)
    }

    #[test]
    fn factors_are_short_and_in_the_unit_of_the_file() {
        for (factor, angle, told) in [
            (1.0, false, Some("+1")),
            (-0.5, false, Some("-0.5")),
            (0.33333, false, Some("+0.3333")),
            (25.4, true, Some("+1 in/deg")),
            (1e-6, true, None),
            (-1e-9, false, None),
        ] {
            assert_eq!(
                times(&leg(30.0, angle, factor), Unit::Inch).as_deref(),
                told
            );
        }
        // a tiny share of a huge figure still shows
        assert!(times(&leg(1e6, false, 1e-5), Unit::Inch).is_some());
    }

    #[test]
    fn rows_of_noughts_are_counted_and_not_shown() {
        let told = shown(chain(vec![leg(254.0, false, 1.0), leg(3.0, false, -1e-9)]));
        assert!(told.contains("Left out: 1 figure that carries"), "{told}");
        assert!(!told.contains("0.0000"), "{told}");
    }

    #[test]
    fn a_coordinate_stated_as_nought_is_told_in_words() {
        let mut at_nought = chain(vec![leg(0.0, false, 1.0)]);
        at_nought.axis = Axis::ButtockLine;
        let told = shown(at_nought);
        assert!(told.contains("Stated: bay 0 in."), "{told}");
        assert!(!told.contains("Counted from"), "{told}");
    }

    #[test]
    fn what_is_loose_is_told_first_and_a_middle_is_called_one() {
        let mut loose = chain(vec![leg(254.0, false, 1.0)]);
        loose.loose = vec!["rail fs".to_owned()];
        assert!(shown(loose).starts_with("Not settled: "));
        let mut middle = chain(vec![leg(254.0, false, 1.0)]);
        middle.leads_to = LeadsTo::Middle;
        assert!(shown(middle).starts_with("The middle of rail.aft lies at station 10 in;"));
    }
}
