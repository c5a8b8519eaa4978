//! Laws that verdicts keep, whatever is changed and however far parts are made.

use proptest::prelude::*;

use super::tests::{layouts, progress};
use super::*;
use crate::record::{Made, Stage};
use crate::shift::shift;

fn any_progress() -> impl Strategy<Value = Progress> {
    let stage = prop_oneof![
        Just(Stage::NotStarted),
        Just(Stage::Cut),
        Just(Stage::Drilled),
        Just(Stage::Fitted)
    ];
    let made = (stage, 0.0..50.0).prop_map(|(stage, hours)| Made { stage, hours });
    let names = ["fore", "rear", "rail", "clip", "web", "slope", "hoop"];
    proptest::collection::vec(made, names.len()).prop_map(move |made| {
        let names = names.iter().map(|name| (*name).to_owned());
        Progress(names.zip(made).collect())
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn nothing_changed_is_as_is(progress in any_progress()) {
        let (old, ..) = layouts("[]");
        let all = verdicts(&old, &old, &shift(&old, &old), &progress);
        prop_assert!(all.parts.is_empty() && all.refit.is_empty() && all.only_moved.is_empty());
        prop_assert_eq!(all.untouched.len(), old.parts.len());
        prop_assert_eq!(all.cost(), Totals::default().cost());
    }

    #[test]
    fn what_is_not_started_costs_nothing(progress in any_progress(), second in 15.0..25.0, clip in 2.0..12.0, leg in 0.5..2.0) {
        let (old, new, shift) = layouts(&format!(r#"[Set("second", {second}), Set("clip at", {clip}), Set("leg", {leg}), Reverse("hoop")]"#));
        let all = verdicts(&old, &new, &shift, &progress);
        for part in all.parts.iter().chain(&all.refit) {
            if part.stage == Stage::NotStarted {
                prop_assert!(part.verdict == Verdict::NotStarted && part.stock.is_empty());
                prop_assert!(part.hours_lost == 0.0 && part.hours_at_stake == 0.0 && !part.take_out);
            }
            prop_assert!(part.hours_lost + part.hours_at_stake <= part.hours);
            let stays = matches!(part.verdict, Verdict::AsIs | Verdict::OfferUp);
            prop_assert_eq!(part.take_out, part.stage == Stage::Fitted && !stays);
        }
        let none = verdicts(&old, &new, &shift, &Progress::default());
        prop_assert!(none.totals.stock.is_empty() && none.totals.hours_lost == 0.0);
        prop_assert!(none.cost() <= all.cost());
        let counted = all.totals.cost().parts;
        let wrong = counted[0] + counted[1] + counted[2] + counted[4..].iter().sum::<usize>();
        prop_assert_eq!(wrong, all.parts.len());
    }

    /// What is trimmed one way is too short by the same figure, at the same end, the other way.
    #[test]
    fn there_and_back_are_the_same_figure(second in 15.0..25.0_f64, first in -3.0..3.0_f64) {
        prop_assume!((second - 20.0).abs() > 0.05 && first.abs() > 0.05);
        let (old, new, there) = layouts(&format!(r#"[Set("second", {second}), Set("first", {first})]"#));
        let cut = progress("rail", Stage::Cut);
        let one = verdicts(&old, &new, &there, &cut);
        let back = verdicts(&new, &old, &shift(&new, &old), &cut);
        let by = |all: &Verdicts| {
            let steps = all.of("rail").map(|rail| rail.steps.clone()).unwrap_or_default();
            steps.into_iter().find_map(|step| match step.change {
                MakeChange::Longer { by_mm, .. } => Some((by_mm, step)),
                MakeChange::Shorter { by_mm, .. } => Some((-by_mm, step)),
                _ => None,
            }.map(|(by, step)| (by, step.verdict, step.cuts)))
        };
        match (by(&one), by(&back)) {
            (Some((a, first, _)), Some((b, second, _))) => {
                prop_assert!((a + b).abs() < 1e-9, "{a} and {b}");
                let mut both = [first, second];
                both.sort();
                prop_assert!(both == [Verdict::Trim, Verdict::TooShort] || both == [Verdict::OfferUp; 2], "{both:?}");
            }
            (a, b) => prop_assert!(a.is_none() && b.is_none()),
        }
    }
}
