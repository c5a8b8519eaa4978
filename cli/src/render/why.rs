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
    if let (Some(datum), Axis::Station, None) = (&answer.datum, chain.axis, &chain.from) {
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
        text.push_str(&remarks(chain, unit, width));
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

/// Where it lies, or how far from the other one; where that is not settled, this first, lest a figure be taken for an
/// answer.
fn head(chain: &Chain, unit: Unit) -> String {
    let who = named(&chain.feature, chain.leads_to);
    let place = match (&chain.from, chain.begins_at) {
        (Some(from), Some(begins_at)) => {
            let from = named(from, begins_at);
            return apart(chain, &from, &who, unit);
        }
        _ => format!(
            "{} {}",
            coordinate(chain.axis),
            figures::length(chain.value_mm, unit)
        ),
    };
    if !chain.loose.is_empty() {
        return format!(
            "Not settled: {who} depends on {}, which nothing locates. It lies at {place} only where the search ended.",
            chain.loose.join("; ")
        );
    }
    match chain.leads_to {
        LeadsTo::Face | LeadsTo::Point => format!("{who} lies at {place}."),
        LeadsTo::Middle => format!(
            "The middle of {} lies at {place}; the rest of it lies elsewhere.",
            chain.feature
        ),
    }
}

/// How far one feature lies from another, along the coordinate's axis.
fn apart(chain: &Chain, from: &str, to: &str, unit: Unit) -> String {
    let way = if chain.value_mm.abs() < figures::SHOWN_MM {
        format!("nothing, they lie at one {}", coordinate(chain.axis))
    } else {
        let way = figures::way(chain.value_mm, chain.axis.index(), unit);
        format!("{way}, along the {} axis", coordinate(chain.axis))
    };
    if !chain.loose.is_empty() {
        return format!(
            "Not settled: the way from {from} to {to} depends on {}, which nothing locates. It is {way} only where the \
             search ended.",
            chain.loose.join("; ")
        );
    }
    let middles = [Some(chain.leads_to), chain.begins_at].contains(&Some(LeadsTo::Middle));
    let elsewhere = if middles {
        "; elsewhere on them it differs"
    } else {
        ""
    };
    format!("From {from} to {to}: {way}{elsewhere}.")
}

fn coordinate(axis: Axis) -> &'static str {
    match axis {
        Axis::Station => "station",
        Axis::ButtockLine => "buttock line",
        Axis::Waterline => "waterline",
    }
}

/// A feature, or its middle.
fn named(feature: &str, leads_to: LeadsTo) -> String {
    match leads_to {
        LeadsTo::Face | LeadsTo::Point => feature.to_owned(),
        LeadsTo::Middle => format!("the middle of {feature}"),
    }
}

/// What has to be known of the factors and of the sum.
fn remarks(chain: &Chain, unit: Unit, width: usize) -> String {
    let mut text = String::new();
    if !chain.linear {
        text.push_str(&wrapped(
            "Angles take part: each factor is the rate at the layout as it stands, a linear estimate for a \
             small change; `strongback try` solves again for any change. The sum is exact.",
            width,
            2,
        ));
    }
    if chain.rest_mm.abs() >= figures::SHOWN_MM {
        let rest = figures::signed(chain.rest_mm, unit);
        let told =
            format!("Not in the sum: {rest} of what nothing locates, as the search left it.");
        text.push_str(&wrapped(&told, width, 2));
    }
    if !text.is_empty() {
        text.push('\n');
    }
    text
}

/// A coordinate that is nought because it is stated so.
fn stated(chain: &Chain, unit: Unit, width: usize) -> String {
    let told = chain.legs.iter().map(|leg| {
        let sheet = figures::sheet(leg.sheet.as_deref());
        let figure = figures::value(leg.value, leg.angle, unit);
        format!("{} {figure}{sheet}", leg.name)
    });
    let told: Vec<String> = told.collect();
    if told.is_empty() {
        return match chain.from {
            None => "No figure adds to it: it lies at the datum itself.\n\n".to_owned(),
            Some(_) => "No figure lies between them.\n\n".to_owned(),
        };
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
            set_by: None,
        }
    }

    fn chain(legs: Vec<Leg>) -> Chain {
        Chain {
            feature: "rail.aft".to_owned(),
            from: None,
            axis: Axis::Station,
            leads_to: LeadsTo::Face,
            begins_at: None,
            value_mm: legs.iter().map(|leg| leg.adds_mm).sum(),
            legs,
            rest_mm: 0.0,
            linear: true,
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

    #[test]
    fn between_two_faces_the_head_tells_the_way_and_not_a_place() {
        let mut between = chain(vec![leg(-254.0, false, 1.0)]);
        between.from = Some("rail.fwd".to_owned());
        between.begins_at = Some(LeadsTo::Face);
        let told = shown(between.clone());
        assert!(
            told.starts_with("From rail.fwd to rail.aft: 10 in fwd, along the station axis.\n\n"),
            "{told}"
        );
        between.begins_at = Some(LeadsTo::Middle);
        between.value_mm = 0.0;
        let told = shown(between.clone());
        assert!(
            told.starts_with(
                "From the middle of rail.fwd to rail.aft: nothing, they lie at one station"
            ),
            "{told}"
        );
        between.loose = vec!["rail fs".to_owned()];
        assert!(shown(between.clone()).starts_with("Not settled: the way from"));
        between.loose.clear();
        between.legs.clear();
        assert!(shown(between).contains("No figure lies between them."));
    }

    #[test]
    fn factors_that_are_rates_are_called_so_and_a_rest_is_shown() {
        let mut turned = chain(vec![leg(254.0, false, 0.9), leg(3.0, true, 0.5)]);
        turned.linear = false;
        turned.rest_mm = 12.7;
        let told = shown(turned);
        assert!(
            told.contains("Angles take part: each factor is the rate"),
            "{told}"
        );
        assert!(told.contains("Not in the sum: +1/2 in"), "{told}");
        let plain = shown(chain(vec![leg(254.0, false, 1.0)]));
        assert!(
            !plain.contains("rate") && !plain.contains("Not in the sum"),
            "{plain}"
        );
    }
}
