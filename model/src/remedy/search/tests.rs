//! The search against plain enumeration.

#![allow(clippy::unwrap_used)]
use super::*;
use crate::remedy::candidates::How;
use crate::remedy::workshop::Scale;
use proptest::prelude::*;

fn candidate(now: f64, range: [f64; 2]) -> Candidate {
    Candidate {
        how: How::Figure,
        name: String::new(),
        scale: Scale::Rule,
        now,
        range,
        vars: Default::default(),
        rows: Vec::new(),
    }
}

proptest! {
    /// Against plain enumeration of all marks of a rule.
    #[test]
    fn two_settings_are_found_whenever_there_are_any(
        values in prop::array::uniform3(-2.0..2.0_f64),
        rates in prop::array::uniform3(prop::array::uniform2(-1.0..1.0_f64)),
        within in 0.1..0.6_f64,
    ) {
        let candidates = [candidate(10.0, [8.5, 11.5]), candidate(0.1, [-1.5, 1.5])];
        let rows: Vec<Row> = values.iter().zip(rates).map(|(value, rates)| Row {
            value: *value,
            least: -within,
            most: within,
            spare: false,
            fit: None,
            rates: rates.to_vec(),
        }).collect();
        let search = Search { rows: &rows, candidates: &candidates, unit: Unit::Inch };
        let all = |at: usize| candidates[at].settings(Unit::Inch, candidates[at].range);
        // the least moves at which rows that miss take up a tenth of their room, or more, or all of it
        let least = |share: f64| {
            let rows: Vec<Row> = rows.iter().map(|row| row.within(share)).collect();
            let mut best = f64::INFINITY;
            for a in all(0) {
                for b in all(1) {
                    let kept = rows.iter().all(|row| {
                        let value = row.value + row.rates[0] * (a - 10.0) + row.rates[1] * (b - 0.1);
                        row.beyond(value) <= ROUNDING_MM
                    });
                    if kept {
                        best = best.min((a - 10.0).abs() + (b - 0.1).abs());
                    }
                }
            }
            best
        };
        let first = SHARES.into_iter().find(|share| least(*share).is_finite());
        let best = first.map(least);
        if search.misses_without(&[0, 1]) {
            prop_assert_eq!(best, None);
            return Ok(());
        }
        let best = best.unwrap_or(f64::INFINITY);
        match search.reach(&[0, 1]) {
            Reach::Cures(Cures { round, plain }) => {
                let effort = |a: f64, b: f64| (a - 10.0).abs() + (b - 0.1).abs();
                let moved = effort(plain[0], plain[1]);
                prop_assert!((moved - best).abs() < 1e-9, "{moved} for {best}");
                // no rounder one keeps the limits for no more effort
                let fineness = |a, b| search.fineness(&[0, 1], &[a, b]);
                let share = rounding(first.unwrap_or(1.0), 1.0);
                let rows: Vec<Row> = rows.iter().map(|row| row.within(share)).collect();
                let mut roundest = u32::MAX;
                for a in all(0) {
                    for b in all(1) {
                        let kept = rows.iter().all(|row| {
                            let value = row.value + row.rates[0] * (a - 10.0) + row.rates[1] * (b - 0.1);
                            row.beyond(value) <= ROUNDING_MM
                        });
                        if kept && effort(a, b) <= best + 1e-9 {
                            roundest = roundest.min(fineness(a, b));
                        }
                    }
                }
                prop_assert_eq!(fineness(round[0], round[1]), roundest);
                prop_assert!(effort(round[0], round[1]) <= best + 2e-7);
            }
            _ => prop_assert!(best.is_infinite(), "not found: {best}"),
        }
    }
}
