//! Who brings how much of a spread, and what the linear estimate is worth, in words. In: the shares of a measure and its check
//! against the true equations. Out: a table and two sentences.

use strongback_model::quantity::Unit;
use strongback_model::stack::{Fails, Share, StackedMeasure};

use super::decimal::Decimal;
use super::figures::{self, count};
use super::table::{Stands, table};

/// Shares below this, in per cent, are told together.
const SMALL: f64 = 0.5;

/// What each figure brings, as a table.
pub(super) fn shares(list: &[Share], decimal: Decimal, unit: Unit, width: usize) -> String {
    let (shown, rest): (Vec<&Share>, Vec<&Share>) =
        list.iter().partition(|share| share.of_variance >= SMALL);
    let mut rows: Vec<Vec<String>> = shown
        .iter()
        .map(|share| {
            let own = Decimal::for_spread(share.within, share.angle, unit);
            vec![
                share.name.clone(),
                share.figure.map_or_else(
                    || "contact".to_owned(),
                    |figure| figures::value(figure, share.angle, unit),
                ),
                format!(
                    "{}{}",
                    if share.general { "*" } else { "" },
                    own.both_sides(share.within)
                ),
                share.rate.map_or_else(String::new, |rate| {
                    rate_told(rate, share.angle, decimal, unit)
                }),
                decimal.told(share.adds),
                format!("{:.1} %", share.of_worst_case),
                format!("{:.1} %", share.of_variance),
                share.sheet.clone().unwrap_or_default(),
            ]
        })
        .collect();
    if !rest.is_empty() {
        let sum = |of: fn(&Share) -> f64| rest.iter().map(|share| of(share)).sum::<f64>();
        rows.push(vec![
            count(rest.len(), "other", "others"),
            String::new(),
            String::new(),
            String::new(),
            decimal.told(sum(|share| share.adds)),
            format!("{:.1} %", sum(|share| share.of_worst_case)),
            format!("{:.1} %", sum(|share| share.of_variance)),
            String::new(),
        ]);
    }
    let mut text = table(
        &[
            ("figure", Stands::Left),
            ("", Stands::Right),
            ("tolerance", Stands::Right),
            ("rate", Stands::Right),
            ("adds", Stands::Right),
            ("of worst case", Stands::Right),
            ("of variance", Stands::Right),
            ("sheet", Stands::Left),
        ],
        rows,
        width,
    );
    if shown.iter().any(|share| share.general) {
        text.push_str("* the file's own tolerance, since it states none.\n");
    }
    text
}

/// `+1`, `-0.414 deg/in`: how far the measure moves for each unit of the figure, in the file's units.
fn rate_told(rate: f64, angle: bool, decimal: Decimal, unit: Unit) -> String {
    let of_measure = if decimal.symbol == "deg" {
        1.0
    } else {
        decimal.per_unit
    };
    match (decimal.symbol, angle) {
        ("deg", true) => format!("{rate:+.3}"),
        ("deg", false) => format!("{:+.3} deg/{}", rate * unit.mm(), unit.symbol()),
        (symbol, true) => format!("{:+.4} {symbol}/deg", rate / of_measure),
        (_, false) => format!("{rate:+.3}"),
    }
}

/// Which figure to hold tightest, in words.
pub(super) fn tightest(list: &[Share]) -> String {
    /// Figures that bring less than this of the greatest share are no rivals of it.
    const RIVAL: f64 = 0.9;
    let Some(first) = list.first() else {
        return String::new();
    };
    let rivals = list
        .iter()
        .filter(|share| share.of_variance >= RIVAL * first.of_variance)
        .count();
    match rivals {
        1 => {
            let next = list.get(1).map_or_else(String::new, |next| {
                format!(" Next is `{}` with {:.0} %.", next.name, next.of_variance)
            });
            format!(
                "Hold `{}` tightest: it brings {:.0} % of the variance.{next}",
                first.name, first.of_variance
            )
        }
        n => format!(
            "No figure stands out: {n} bring about as much as each other, {:.0} % of the variance each.",
            first.of_variance
        ),
    }
}

/// Whether the linear figures can be trusted.
pub(super) fn linear(measure: &StackedMeasure, decimal: Decimal) -> String {
    let Some(check) = &measure.linear else {
        return String::new();
    };
    if check.fails.is_empty() {
        return "Worst case and root of the sum of squares are linear; the true equations agree within 5 %."
            .to_owned();
    }
    let told = check.fails.iter().map(|fails| match fails {
        Fails::Mean => {
            let shift = decimal.told(check.mean_shift.unwrap_or(0.0));
            format!("the samples' mean lies {shift} from the plan's value")
        }
        Fails::Spread => format!("the samples spread {:.2} times as far", check.spread_ratio),
        Fails::Corners => {
            let ratio = check.corner_ratio.unwrap_or(1.0);
            format!("at a corner it goes {ratio:.2} times as far")
        }
    });
    let told: Vec<String> = told.collect();
    format!(
        "The linear estimate is off by more than 5 % here: {}. Go by the true equations.",
        told.join(", ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rates_are_in_the_units_of_the_file() {
        // half a degree a millimetre is 12.7 degrees an inch
        let turn = |unit| rate_told(0.5, false, Decimal::for_spread(1.0, true, unit), unit);
        assert_eq!(turn(Unit::Inch), "+12.700 deg/in");
        assert_eq!(turn(Unit::Millimetre), "+0.500 deg/mm");
        let length = |unit| rate_told(25.4, true, Decimal::for_spread(1.0, false, unit), unit);
        assert_eq!(length(Unit::Inch), "+1.0000 in/deg");
        assert_eq!(length(Unit::Millimetre), "+25.4000 mm/deg");
    }
}
