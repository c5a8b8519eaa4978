//! Chains whose adjustment can be worked out by hand, and in `chains` random ones with a blunder in them.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod chains;

use super::*;
use crate::assembly::assemble;
use crate::document::Document;
use crate::source::read;

/// Points in a row, each a bay aft of the one before.
const PARTS: &str = r#"parts: {
    "a": Custom(points: {"o": ()}, planes: {"face": (looks: Aft)}, at: (fs: 0, bl: 0, wl: 0)),
    "b": Custom(points: {"o": ()}, planes: {"face": (looks: Aft)}, at: (bl: 0, wl: 0)),
    "c": Custom(points: {"o": ()}, planes: {"face": (looks: Aft)}, at: (bl: 0, wl: 0)),
}, relations: {
    "first": Spaced(from: "a.face", to: "b.face", by: "bay"),
    "second": (is: Spaced(from: "b.face", to: "c.face", by: 20), within: 0.3),
}"#;

fn reconciled(dimensions: &str, rest: &str, measurements: &str) -> Reconciled {
    let text = format!(
        "(format: 1, title: \"row\", unit: Millimetre, fit: 1, dimensions: {{{dimensions}}}, {rest}, measurements: {{{measurements}}})"
    );
    let document: Document = read(&text).unwrap_or_else(|fault| panic!("{fault:?}"));
    let assembly = assemble(&document).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let solved = assembly.solve().unwrap();
    solved.reconcile().unwrap()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

/// Two bays of 10 and 20 within 0.3, so of standard deviation 0.1 each; the whole measured as 30.3 ± 0.1. The misclosure of 0.3
/// has variance 0.03, and each of the three takes a third of it.
#[test]
fn a_misclosure_is_shared_out_by_the_variances() {
    for measurement in [
        r#"from: "a.face", to: "c.face""#,
        // a tape reads the same from either end
        r#"from: "c.o", to: "a.face""#,
        r#"from: "a.o", to: "c.o""#,
        r#"from: "a.o", to: "c.face", toward: Aft"#,
    ] {
        let told = reconciled(
            r#""bay": (is: 10, within: 0.3, sheet: "S1")"#,
            PARTS,
            &format!(r#""whole": ({measurement}, is: 30.3, uncertainty: 0.1, on: "2026-10-03")"#),
        );
        let whole = &told.measurements[0];
        assert_eq!(whole.verdict, Verdict::Agrees, "{measurement}");
        assert!(
            near(whole.plan, 30.0) && near(whole.measured, 30.3),
            "{measurement}: {whole:?}"
        );
        assert!(near(whole.adjusted.unwrap(), 30.2));
        assert!(near(whole.residual.unwrap(), -0.1));
        assert!(near(whole.redundancy.unwrap(), 1.0 / 3.0));
        assert!(near(whole.normalised.unwrap(), -0.3 / 0.03_f64.sqrt()));
        assert!(near(whole.deviation.unwrap(), 0.1 * (2.0_f64 / 3.0).sqrt()));
        assert!(near(whole.detectable.unwrap(), 4.13 * 0.1 * 3.0_f64.sqrt()));
        assert_eq!(told.degrees_of_freedom, 1);
        assert!(near(told.sigma0.unwrap(), 3.0_f64.sqrt()));
        assert_eq!(told.exact, Vec::<String>::new());
        let names: Vec<&str> = told.figures.iter().map(|one| one.name.as_str()).collect();
        assert_eq!(names, ["bay", "second by"]);
        for (figure, after) in told.figures.iter().zip([10.1, 20.1]) {
            assert!(near(figure.after, after), "{figure:?}");
            assert!(near(figure.redundancy, 1.0 / 3.0));
        }
        assert_eq!(told.figures[0].sheet.as_deref(), Some("S1"));
        assert_eq!(told.adjustment, Ended::Settled { solves: 1 });
        assert_eq!(told.parts_shifted, 2);
        assert!(told.shifts[0].face.starts_with("c.") && near(told.shifts[0].shift_mm[0], 0.2));
        assert!(told.is_well() && told.next.is_empty());
    }
}

/// One measurement over a chain: what is wrong, it or a bay, nothing tells.
#[test]
fn one_loop_names_all_of_its_members() {
    let told = reconciled(
        r#""bay": (is: 10, within: 0.3)"#,
        PARTS,
        r#""whole": (from: "a.face", to: "c.face", is: 32, uncertainty: 0.1)"#,
    );
    let names: Vec<&str> = told.suspects[0]
        .one_of
        .iter()
        .map(|one| one.name.as_str())
        .collect();
    assert_eq!(names, ["whole", "bay", "second by"]);
    let from = vec!["bay".to_owned(), "second by".to_owned()];
    assert_eq!(told.measurements[0].verdict, Verdict::Undecided { from });
    for (one, would) in told.suspects[0].one_of.iter().zip([30.0, 12.0, 22.0]) {
        assert!(near(one.would_have_to_say, would), "{one:?}");
    }
    // the measurement is set aside, and the plan stays as it is
    assert_eq!(told.parts_shifted, 0);
    let purposes = told
        .next
        .iter()
        .map(|step| step.purpose == Purpose::TellApart);
    assert!(purposes.eq([true; 3]));
    let between = told.next[1].between.clone().unwrap();
    assert_eq!(between, ["a.face".to_owned(), "b.face".to_owned()]);
    assert!(!told.is_well());
}

/// A second measurement tells which: the bay is drawn wrong, and the whole agrees once it is set aside.
#[test]
fn an_erratum_of_the_drawing_is_named() {
    let told = reconciled(
        r#""bay": (is: 10, within: 0.3)"#,
        PARTS,
        r#""whole": (from: "a.face", to: "c.face", is: 32, uncertainty: 0.1),
           "first bay": (from: "a.face", to: "b.face", is: 12, uncertainty: 0.1)"#,
    );
    assert_eq!(told.suspects.len(), 1);
    let [only] = &told.suspects[0].one_of[..] else {
        panic!("{:?}", told.suspects);
    };
    assert_eq!(
        (only.kind, only.name.as_str()),
        (CandidateKind::Figure, "bay")
    );
    assert!(near(only.says, 10.0) && near(only.would_have_to_say, 12.0));
    assert!(
        told.measurements
            .iter()
            .all(|one| one.verdict == Verdict::Agrees)
    );
    assert!(told.figures[0].set_aside && near(told.figures[0].after, 12.0));
    assert!(near(told.figures[1].after, 20.0));
    // it was measured by itself already
    assert_eq!(told.next, Vec::new());
}

/// And if it is the tape that was misread, that is named.
#[test]
fn a_misread_tape_is_named() {
    let told = reconciled(
        r#""bay": (is: 10, within: 0.3)"#,
        PARTS,
        r#""whole": (from: "a.face", to: "c.face", is: 30, uncertainty: 0.1),
           "first bay": (from: "a.face", to: "b.face", is: 12, uncertainty: 0.1),
           "second bay": (from: "b.face", to: "c.face", is: 20, uncertainty: 0.1)"#,
    );
    assert_eq!(told.measurements[1].verdict, Verdict::Suspect);
    assert!(near(told.suspects[0].one_of[0].would_have_to_say, 10.0));
    assert_eq!(told.parts_shifted, 0);
    let step = &told.next[0];
    assert_eq!(
        (step.measure.as_str(), step.kind),
        ("first bay", CandidateKind::Measurement)
    );
}

/// Where only exact figures lead, the measurement is judged by itself.
#[test]
fn against_exact_figures_a_measurement_stands_alone() {
    for (is, verdict) in [(10.3, Verdict::Agrees), (10.4, Verdict::Suspect)] {
        let told = reconciled(
            r#""bay": 10"#,
            PARTS,
            &format!(r#""first bay": (from: "a.face", to: "b.face", is: {is}, uncertainty: 0.1)"#),
        );
        let first = &told.measurements[0];
        assert_eq!(first.verdict, verdict);
        assert!(near(first.redundancy.unwrap(), 1.0));
        assert!(near(first.normalised.unwrap(), (10.0 - is) / 0.1));
        assert_eq!(told.exact, ["bay"]);
        assert!(told.figures.is_empty());
    }
}

#[test]
fn a_loose_plan_checks_next_to_nothing() {
    let told = reconciled(
        r#""bay": (is: 10, within: 30)"#,
        PARTS,
        r#""first bay": (from: "a.face", to: "b.face", is: 12, uncertainty: 0.1)"#,
    );
    assert_eq!(told.measurements[0].verdict, Verdict::Unchecked);
    assert!(told.is_well());
    // the bay was measured by itself already: only a second reading checks the first
    let measurement = "first bay".to_owned();
    assert_eq!(told.next[0].purpose, Purpose::Check { measurement });
    let step = &told.next[0];
    assert_eq!(
        (step.measure.as_str(), step.kind),
        ("first bay", CandidateKind::Measurement)
    );
    let told = reconciled(
        r#""bay": (is: 10, within: 30)"#,
        PARTS,
        r#""whole": (from: "a.face", to: "c.face", is: 32, uncertainty: 0.1)"#,
    );
    let step = &told.next[0];
    assert_eq!(
        (step.measure.as_str(), step.kind),
        ("bay", CandidateKind::Figure)
    );
}

/// A figure that is held exact may be what is wrong, unless another measurement speaks for it.
#[test]
fn exact_figures_behind_a_suspect_are_told() {
    let whole = r#""whole": (from: "a.face", to: "c.face", is: 32, uncertainty: 0.1)"#;
    let parts = PARTS.replace(", within: 0.3)", ")");
    let alone = reconciled(r#""bay": 10"#, &parts, whole);
    let exact = ["bay", "second by"];
    assert_eq!(alone.measurements[0].exact, exact);
    assert_eq!(alone.suspects[0].one_of[0].exact, exact);
    let beside = format!(
        r#"{whole}, "first bay": (from: "a.face", to: "b.face", is: 10, uncertainty: 0.1)"#
    );
    let told = reconciled(r#""bay": 10"#, &parts, &beside);
    assert_eq!(told.measurements[0].exact, exact);
    assert_eq!(told.suspects[0].one_of[0].exact, ["second by"]);
    // by no more than can be believed: three bays of 10 and 20 can't be off by 80
    let far = whole.replace("32", "110");
    let told = reconciled(r#""bay": 10"#, &parts, &far);
    assert_eq!(told.suspects[0].one_of[0].exact, Vec::<String>::new());
}

/// A bay, and twice the bay: the whole, 60 too long, makes the bay 20 too short, by no more than can be believed of 10 mm (an inch).
/// Then the first bay misses by 20, and the second by 40: against that speaks a deviation of less than 1 / 3.29 of them.
#[test]
fn an_exact_figure_explains_by_its_rate() {
    let parts = PARTS.replace("by: 20), within: 0.3)", r#"by: "2 * bay"))"#);
    for (beside, explains) in [
        ("", true),
        (
            r#""b": (from: "a.face", to: "b.face", is: 10, uncertainty: 8)"#,
            true,
        ),
        (
            r#""b": (from: "a.face", to: "b.face", is: 10, uncertainty: 5)"#,
            false,
        ),
        (
            r#""b": (from: "b.face", to: "c.face", is: 20, uncertainty: 12.3)"#,
            true,
        ),
        (
            r#""b": (from: "b.face", to: "c.face", is: 20, uncertainty: 10)"#,
            false,
        ),
        // misses by 30 the other way already, which 40 turns into 10
        (
            r#""b": (from: "b.face", to: "c.face", is: 50, uncertainty: 10)"#,
            true,
        ),
    ] {
        let whole = r#""whole": (from: "a.face", to: "c.face", is: 90, uncertainty: 0.1)"#;
        let told = reconciled(r#""bay": 10"#, &parts, &format!("{whole}, {beside}"));
        let expected: &[&str] = if explains { &["bay"] } else { &[] };
        assert_eq!(told.suspects[0].one_of[0].name, "whole");
        assert_eq!(told.suspects[0].one_of[0].exact, expected, "{beside}");
    }
}

#[test]
fn what_is_loose_is_not_compared() {
    let told = reconciled(
        "",
        r#"parts: {
            "a": Custom(planes: {"face": (looks: Aft)}, at: (fs: 0, bl: 0, wl: 0)),
            "c": Custom(planes: {"face": (looks: Aft)}, at: (bl: 0, wl: 0)),
        }, relations: { "upright": Parallel("a.face", "c.face"), "on the level": Square("c.face", "datum.waterline") }"#,
        r#""whole": (from: "a.face", to: "c.face", is: 30, uncertainty: 0.1)"#,
    );
    let loose = vec!["c fs".to_owned()];
    assert_eq!(told.measurements[0].verdict, Verdict::Open { loose });
    assert_eq!(told.measurements[0].adjusted, None);
    assert!(!told.is_well());
}

/// A rod of length 13 within 0.9 to a rail 5 up: its foot stands √(169 − 25) = 12 away. The reach is measured as 12.6 ± 0.3,
/// of the same weight. The adjusted layout is a true solution, so that the rod is √(x² + 25) of the adjusted reach x.
#[test]
fn an_adjusted_layout_is_a_layout() {
    let told = reconciled(
        r#""rod": (is: 13, within: 0.9)"#,
        r#"parts: {
            "foot": Custom(points: {"o": ()}, at: (fs: 0, bl: 0, wl: 0)),
            "head": Custom(points: {"o": ()}, at: (fs: Find(near: 11), bl: 0, wl: 5)),
        }, relations: { "rod": Spaced(from: "foot.o", to: "head.o", by: "rod") }"#,
        r#""reach": (from: "foot.o", to: "head.o", toward: Aft, is: 12.6, uncertainty: 0.3)"#,
    );
    assert!(matches!(told.adjustment, Ended::Settled { solves } if solves > 1));
    let reach = told.measurements[0].adjusted.unwrap();
    let rod = told.figures[0].after;
    assert!(near(rod, (reach * reach + 25.0).sqrt()), "{rod} {reach}");
    assert!(near(told.shifts[0].shift_mm[0], reach - 12.0));
    // at the minimum of (rod − 13)²/0.09 + (reach − 12.6)²/0.09: (rod − 13) = (12.6 − reach) · d reach / d rod
    assert!((rod - 13.0 - (12.6 - reach) * rod / reach).abs() < 1e-6);
}

#[test]
fn a_size_and_an_angle_can_be_measured() {
    let told = reconciled(
        r#""lean": (is: "3 deg", within: "0.3 deg"), "edge": (is: 30, within: 0.3)"#,
        r#"parts: {
            "plate": Plate(lies: Across, thickness: 1, width: "edge", height: 20, at: (fs: 0, bl: 0, wl: 0), turn: (pitch: "lean")),
        }"#,
        r#""width": (size: "plate.width", is: 30.2, uncertainty: 0.1),
           "slope": (size: "lean", is: "3.2 deg", uncertainty: "0.1 deg")"#,
    );
    let [width, slope] = &told.measurements[..] else {
        panic!();
    };
    assert!(near(width.adjusted.unwrap(), 30.1) && !width.angle);
    assert!(
        near(slope.adjusted.unwrap(), 3.1) && slope.angle,
        "{slope:?}"
    );
    assert!(near(slope.plan, 3.0) && near(slope.uncertainty, 0.1));
    let lean = told.figures.iter().find(|one| one.name == "lean").unwrap();
    assert!(near(lean.after, 3.1) && near(lean.deviation_before, 0.1));
}

/// One reading of a pair would count twice, and outvote another: it has to say of which it is. Across both hands it counts once.
#[test]
fn one_reading_of_a_pair_says_of_which() {
    let rest = r#"parts: { "clip": Custom(points: {"o": ()}, at: (fs: 0, bl: "half", wl: 0), sides: Both) }"#;
    let half = r#""half": (is: 10, within: 0.3)"#;
    let told = reconciled(
        half,
        rest,
        r#""right": (from: "datum.buttock_line", to: "clip R.o", toward: Right, is: 10.2, uncertainty: 0.1),
           "left": (from: "datum.buttock_line", to: "clip L.o", toward: Right, is: -10, uncertainty: 0.1),
           "across": (from: "clip L.o", to: "clip R.o", is: 20.2, uncertainty: 0.2)"#,
    );
    let plans: Vec<f64> = told.measurements.iter().map(|one| one.plan).collect();
    assert!(
        plans
            .iter()
            .zip([10.0, -10.0, 20.0])
            .all(|(a, b)| near(*a, b))
    );
    // four observations of one figure, of one weight: 10, 10.2, 10 and 20.2 / 2
    assert!(near(told.figures[0].after, 10.075), "{:?}", told.figures);
    for one_sided in [
        r#"from: "datum.buttock_line", to: "clip.o""#,
        r#"from: "clip L.o", to: "clip.o""#,
    ] {
        let text = format!(
            r#"(format: 1, title: "row", unit: Millimetre, fit: 1, dimensions: {{{half}}}, {rest},
               measurements: {{"tape": ({one_sided}, is: 10, uncertainty: 0.1)}})"#
        );
        let document: Document = read(&text).unwrap();
        let faults = assemble(&document).unwrap_err();
        assert_eq!(faults.len(), 1, "{faults:#?}");
        let place = faults[0].span().unwrap();
        assert_eq!(&text[place], r#""clip.o""#);
        let help = faults[0].help.as_deref().unwrap();
        assert!(help.contains("`clip R.o` or `clip L.o`"), "{help}");
    }
}

/// A bay written as `base / 2 + 1` is 11, and not 1: a third of what is missing goes to each of the bay, the second bay and the
/// measurement.
#[test]
fn a_figure_written_as_a_sum_is_told_whole() {
    let told = reconciled(
        r#""base": 20, "bay": (is: "base / 2 + 1 mm", within: 0.3)"#,
        PARTS,
        r#""whole": (from: "a.face", to: "c.face", is: 31.3, uncertainty: 0.1)"#,
    );
    let bay = told.figures.iter().find(|one| one.name == "bay").unwrap();
    assert!(near(bay.before, 11.0) && near(bay.after, 11.1), "{bay:?}");
}
