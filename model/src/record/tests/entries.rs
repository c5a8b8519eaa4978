//! What is entered: stages, places, hours.

use super::*;

#[test]
fn a_stage_goes_back_and_says_what_is_no_longer_kept() {
    let fitted = set(&nothing(), "web", Stage::Fitted, &[("length", "6 1/8 in")]);
    let made = fitted.parts.get("web").unwrap();
    assert!(made.made_to.get("pin fs").is_some() && made.fitted.is_some());
    let (document, now) = built(&fitted);
    let back = |stage| {
        let piece = Piece {
            part: "web",
            stage,
            on: "2026-10-09",
            sizes: &[],
        };
        fitted.with_stage(&piece, Some((&document, &now)))
    };
    let cut = back(Stage::Cut);
    assert_eq!(
        cut.told,
        ["`web` goes back: it is cut now, and was fitted. No longer kept: where it was fitted."]
    );
    let made = cut.record.parts.get("web").unwrap();
    assert!(made.fitted.is_none() && made.made_to.get("pin fs").is_none());
    assert!(made.made_to.get("length").is_some() && made.sizes.get("length").is_some());
    assert_eq!(made.since.value, "2026-10-09");
    let anew = back(Stage::NotStarted);
    assert!(
        anew.told[0].contains("its sizes as made"),
        "{:?}",
        anew.told
    );
    let made = anew.record.parts.get("web").unwrap();
    assert!(made.sizes.is_empty() && made.made_to.is_empty());
}

#[test]
fn what_is_loose_is_fitted_nowhere() {
    let loose = MODEL.replace(r#""web starts": Flush("web.fwd", "frame.aft"),"#, "");
    let loose = loose.replace(r#"at: (bl: 0, wl: 8)"#, r#"at: (bl: 0)"#);
    let loose = loose.replace(
        r#""datum": Flush"#,
        r#""web high": Flush("web.bottom", "datum.waterline"), "datum": Flush"#,
    );
    let plan: Document = read(&loose).unwrap();
    let now = layout(&plan);
    let piece = Piece {
        part: "web",
        stage: Stage::Fitted,
        on: "2026-10-03",
        sizes: &[],
    };
    let made = nothing().with_stage(&piece, Some((&plan, &now))).record;
    let placed = made.with_place("web", (&plan, &now));
    assert!(placed.told[0].contains("still loose"), "{:?}", placed.told);
    assert!(placed.record.parts.get("web").unwrap().fitted.is_none());
}

#[test]
fn hours_are_those_of_parts_and_of_the_whole() {
    let note = |part: Option<&str>, hours: Option<f64>| Note {
        on: "2026-10-03".into(),
        part: part.map(Text::from),
        text: "worked".into(),
        hours: hours.map(Spanned::unplaced),
    };
    let record = nothing()
        .with_note(note(Some("frame"), Some(1.5)))
        .record
        .with_note(note(Some("frame"), Some(2.0)))
        .record
        .with_note(note(None, Some(0.25)))
        .record
        .with_note(note(Some("rib L"), None))
        .record;
    assert_eq!(record.progress().of("frame").hours, 3.5);
    assert_eq!(record.hours(), 3.75);
    assert_eq!(
        record.progress().of("rib L"),
        crate::record::Made::default()
    );
}

/// The same again changes nothing; another day is another day.
#[test]
fn the_same_stage_again() {
    let cut = set(&nothing(), "web", Stage::Cut, &[("length", "6 1/8 in")]);
    let (document, now) = built(&cut);
    let again = |on| {
        let piece = Piece {
            part: "web",
            stage: Stage::Cut,
            on,
            sizes: &[],
        };
        cut.with_stage(&piece, Some((&document, &now)))
    };
    assert_eq!(again("2026-10-03").record, cut);
    let later = again("2026-10-05");
    assert_eq!(
        later.record.parts.get("web").unwrap().since.value,
        "2026-10-05"
    );
    assert!(
        later.told[0].contains("since 2026-10-05 now"),
        "{:?}",
        later.told
    );
    assert!(Built::of(&plan(), &again("yesterday").record).is_err());
}

#[test]
fn no_hours_are_none() {
    assert_eq!(nothing().hours().to_bits(), 0.0_f64.to_bits());
}
