//! What a deviation asks of parts that are made otherwise than the plan, by hand. Lengths in inches.

use super::*;
use crate::record::{Departs, Departure, ToBe};
use crate::recut::{MakeChange, Verdict, Verdicts, verdicts};
use crate::shift::shift;

/// The verdicts on a deviation on the plan with what was adopted, made parts as they are.
fn asked(record: &Record, changes: &str) -> Verdicts {
    let built = Built::of(&plan(), record).unwrap();
    let changes: Vec<crate::change::Change> = read(changes).unwrap();
    let then = built.adopted.with_changes(&changes).unwrap();
    let plan = layout(&built.adopted);
    let to_be = ToBe {
        record,
        plan: &plan,
    };
    let old = layout(&built.document);
    let new = layout(&to_be.with(&then, &layout(&then)));
    verdicts(&old, &new, &shift(&old, &new), &record.progress())
}

/// A frame of 0.050 where the plan has 0.040, which a deviation moves: it is asked nothing else.
#[test]
fn a_gauge_that_is_otherwise_already_is_not_asked() {
    let made = set(
        &nothing(),
        "frame",
        Stage::Cut,
        &[("thickness", "0.050 in")],
    );
    let all = asked(&made, r#"[Set("bay", "21 in")]"#);
    assert!(all.of("frame").is_none(), "{:#?}", all.of("frame"));
    assert!(all.only_moved.contains(&"frame".to_owned()));
    assert_eq!(all.totals.make_anew, 0);
    // one that asks for 0.050 asks nothing of it either, and one that asks for 0.063 does
    let swap = |thickness: &str| {
        let all = asked(
            &made,
            &format!(r#"[Swap(part: "frame", thickness: "{thickness}")]"#),
        );
        all.of("frame").map(|frame| frame.verdict)
    };
    assert_eq!(swap("0.050 in"), None);
    assert_eq!(swap("0.063 in"), Some(Verdict::MakeAnew));
}

/// A rail was made 20 1/4 long where 20 are found. A deviation of the rear bay doesn't touch it. One of its own bay, 21, has it 3/4
/// short of that, since it is 20 1/4; and the other rail, made as planned, 1.
#[test]
fn a_found_length_is_asked_only_where_it_changes() {
    let made = set(&nothing(), "rail R", Stage::Cut, &[("length", "20 1/4 in")]);
    let made = set(&made, "rail L", Stage::Cut, &[]);
    let all = asked(&made, r#"[Set("rear bay", "16 in")]"#);
    assert!(all.parts.is_empty(), "{:#?}", all.parts);
    let all = asked(&made, r#"[Set("bay", "21 in")]"#);
    let longer = |rail: &str| {
        let steps = &all.of(rail).unwrap().steps;
        let by = steps.iter().find_map(|step| match step.change {
            MakeChange::Longer { by_mm, .. } => Some(by_mm),
            _ => None,
        });
        by.unwrap()
    };
    assert!(near(longer("rail R"), 0.75) && near(longer("rail L"), 1.0));
}

/// What was adopted after a part was made is not asked again by the next deviation, nor is a fitted part moved by one that leaves it.
#[test]
fn what_was_adopted_and_what_is_fitted_is_not_asked_again() {
    let made = set(&nothing(), "rib L", Stage::Drilled, &[]);
    let made = set(&made, "frame", Stage::Fitted, &[]);
    let adopted = adopt(&adopt(&made, "higher ribs"), "longer bay");
    let all = asked(&adopted, r#"[Set("rear bay", "16 in")]"#);
    assert!(
        all.parts.is_empty() && all.refit.is_empty(),
        "{:#?}",
        all.parts
    );
    // the same bay again: the frame, fitted at 20, has to go from there to 22
    let all = asked(&adopted, r#"[Set("bay", "22 in")]"#);
    let frame = all.of("frame").unwrap();
    assert!(near(frame.moves_mm[0], 2.0), "{frame:#?}");

    let built = Built::of(&plan(), &adopted).unwrap();
    let told = Departure::all(
        &layout(&built.adopted),
        &layout(&built.document),
        &adopted.progress(),
    );
    let rib: Vec<&Departure> = told.iter().filter(|one| one.part == "rib L").collect();
    let [
        Departure {
            what,
            is: Departs::Size { made, plan, .. },
            ..
        },
    ] = rib[..]
    else {
        panic!("{told:#?}")
    };
    assert!(what == "height" && near(*made, 4.0) && near(*plan, 5.0));
}
