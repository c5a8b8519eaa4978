//! Random chains: without an error nothing is suspect, and a blunder in one observation is named.

use std::fmt::Write;

use proptest::prelude::*;

use super::reconciled;
use crate::reconcile::Reconciled;

/// A row of bays and distances measured between its frames.
#[derive(Clone, Debug)]
struct Chain {
    bays: Vec<(f64, f64)>,
    measured: Vec<(usize, usize, f64)>,
}

impl Chain {
    /// The answer, with an error added to one observation: a measurement, or after these a bay of the plan.
    fn told(&self, at: Option<(usize, f64)>) -> Reconciled {
        let truth: Vec<f64> = self.bays.iter().map(|(bay, _)| *bay).collect();
        let error = |observation: usize| {
            at.filter(|(at, _)| *at == observation)
                .map_or(0.0, |(_, by)| by)
        };
        let (mut dimensions, mut parts, mut relations, mut measurements) =
            (String::new(), String::new(), String::new(), String::new());
        for i in 0..=self.bays.len() {
            let fs = if i == 0 { "fs: 0, " } else { "" };
            write!(
                parts,
                r#""f{i}": Custom(planes: {{"web": (looks: Fwd)}}, at: ({fs}bl: 0, wl: 0)),"#
            )
            .unwrap();
        }
        for (i, (bay, deviation)) in self.bays.iter().enumerate() {
            let bay = bay + error(self.measured.len() + i);
            write!(
                dimensions,
                r#""bay{i}": (is: {bay:.12}, within: {}),"#,
                3.0 * deviation
            )
            .unwrap();
            write!(
                relations,
                r#""r{i}": Spaced(from: "f{i}.web", to: "f{}.web", by: "bay{i}"),"#,
                i + 1
            )
            .unwrap();
        }
        for (i, (from, to, deviation)) in self.measured.iter().enumerate() {
            let is = truth[*from..*to].iter().sum::<f64>() + error(i);
            write!(
                measurements,
                r#""m{i}": (from: "f{from}.web", to: "f{to}.web", is: {is:.12}, uncertainty: {deviation}),"#
            )
            .unwrap();
        }
        reconciled(
            &dimensions,
            &format!("parts: {{{parts}}}, relations: {{{relations}}}"),
            &measurements,
        )
    }
}

fn chains() -> impl Strategy<Value = Chain> {
    let bay = (300.0..600.0_f64, 0.1..1.0_f64);
    prop::collection::vec(bay, 2..6).prop_flat_map(|bays| {
        let n = bays.len();
        let ends = (0..n, 0..n, 0.1..1.0_f64);
        let span = ends.prop_map(|(a, b, deviation)| (a.min(b), a.max(b) + 1, deviation));
        prop::collection::vec(span, 1..7).prop_map(move |measured| Chain {
            bays: bays.clone(),
            measured,
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn without_errors_nothing_is_suspect(chain in chains()) {
        let told = chain.told(None);
        prop_assert!(told.suspects.is_empty(), "{told:?}");
        prop_assert_eq!(told.parts_shifted, 0);
        let checked: f64 = told.measurements.iter().filter_map(|one| one.redundancy).sum::<f64>()
            + told.figures.iter().map(|one| one.redundancy).sum::<f64>();
        prop_assert!((checked - chain.measured.len() as f64).abs() < 1e-9);
    }

    /// A blunder of ten standard deviations and more, in a measurement or in the plan, is named where a third of it shows.
    #[test]
    fn a_blunder_is_named(chain in chains(), at in any::<prop::sample::Index>(), size in 10.0..40.0_f64, short: bool) {
        let at = at.index(chain.measured.len() + chain.bays.len());
        let plain = chain.told(None);
        let (name, redundancy, deviation) = match at.checked_sub(chain.measured.len()) {
            None => (format!("m{at}"), plain.measurements[at].redundancy.unwrap(), chain.measured[at].2),
            Some(bay) => {
                let name = format!("bay{bay}");
                let figure = plain.figures.iter().find(|figure| figure.name == name);
                (name, figure.map_or(0.0, |figure| figure.redundancy), chain.bays[bay].1)
            }
        };
        prop_assume!(redundancy > 0.3);
        let error = deviation * if short { -size } else { size };
        let told = chain.told(Some((at, error)));
        prop_assert_eq!(told.suspects.len(), 1, "{:?}", told.suspects);
        let one = told.suspects[0].one_of.iter().find(|one| one.name == name);
        prop_assert!(one.is_some(), "{name} is not among {:?}", told.suspects);
        let one = one.unwrap();
        prop_assert!((one.says - one.would_have_to_say - error).abs() < 1e-6);
        prop_assert!(!told.is_well());
        // what is named besides it explains the data about as well
        for other in &told.suspects[0].one_of {
            prop_assert!(one.normalised.powi(2) - other.normalised.powi(2) < 3.85);
        }
        prop_assert!(told.suspects[0].one_of[0].normalised.powi(2) - one.normalised.powi(2) < 1e-3);
    }
}
