//! Laws of stack-ups: what varies and what doesn't, samples against the theory of sums, what can't be stacked.

use std::fmt::Write;

use crate::stacked::{PLAIN, measure, rate, stacks};
use approx::assert_abs_diff_eq as assert_near;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use strongback_model::stack::{Sampling, Spread, StackVerdict};

/// Few samples, for tests that look at linear figures only.
const FEW: Sampling = Sampling {
    samples: 200,
    ..PLAIN
};

/// Two bulkheads, the second of which stands a bay behind the first.
fn bay(head: &str, spacing: &str, must_fit: &str) -> String {
    format!(
        r#"{head}
        parts: {{
            "wall": Plate(lies: Across, thickness: "skin", width: 500, height: "tall", at: (fs: 7, bl: 0, wl: 0)),
            "frame": Plate(lies: Across, thickness: "skin", width: 500, height: 400, at: (bl: 0, wl: 0)),
        }},
        relations: {{ "spacing": {spacing} }},
        must_fit: {{ "room": {must_fit} }},"#
    )
}

const DIMENSIONS: &str =
    r#"dimensions: { "bay": (is: 300, within: 0.5), "skin": 0.8, "tall": 400, "lean": "2 deg" },"#;
const SPACED: &str = r#"Spaced(from: "wall.aft", to: "frame.fwd", by: "bay")"#;
const ROOM: &str = r#"Between(from: "wall.aft", to: "frame.fwd", at_least: 299)"#;
const WHOLE: &str = r#"Between(from: "datum.station", to: "frame.aft", at_least: 299)"#;

fn names(measure: &strongback_model::stack::StackedMeasure) -> Vec<&str> {
    measure
        .shares
        .iter()
        .map(|share| share.name.as_str())
        .collect()
}

#[test]
fn a_contact_with_a_tolerance_is_off_by_it() {
    let flush = r#"(is: Flush("frame.fwd", "wall.aft"), within: 0.2)"#;
    let room = measure("Millimetre", &bay(DIMENSIONS, flush, ROOM), "room", FEW);
    assert_near!(room.worst_case, 0.2, epsilon = 1e-9);
    assert_eq!(
        (names(&room), room.shares[0].figure),
        (vec!["spacing"], None)
    );
    // without one it is exact
    let flush = r#"Flush("frame.fwd", "wall.aft")"#;
    let room = measure("Millimetre", &bay(DIMENSIONS, flush, ROOM), "room", FEW);
    assert!(room.shares.is_empty() && room.worst_case == 0.0 && room.linear.is_none());
    assert_eq!(room.sampled.unwrap().sd, 0.0);
}

#[test]
fn a_relation_by_a_dimension_has_a_tolerance_beside_the_dimensions() {
    let spacing = format!("(is: {SPACED}, within: 0.2)");
    let room = measure("Millimetre", &bay(DIMENSIONS, &spacing, ROOM), "room", FEW);
    assert_eq!(names(&room), ["bay", "spacing"]);
    assert_near!(room.worst_case, 0.7, epsilon = 1e-9);
}

/// A contact's sense: what it is off by moves the measure as moving the part does.
#[test]
fn a_contact_that_is_off_moves_what_stands_on_it() {
    let body = r#"dimensions: { "lift": (is: 3, within: 0.1) },
        parts: {
            "a": Custom(planes: {"top": (looks: Up)}, at: (fs: 0, bl: 0, wl: 0)),
            "b": Custom(planes: {"bottom": (looks: Down), "top": (looks: Up, at: (wl: "lift"))}, at: (fs: 0, bl: 0)),
            "c": Custom(planes: {"bottom": (looks: Down)}, at: (fs: 0, bl: 0)),
        },
        relations: {
            "b on a": (is: Against("b.bottom", "a.top"), within: 0.2),
            "c on b": (is: Touches("c.bottom", "b.top"), within: 0.3),
        },
        must_fit: { "height": Between(from: "a.top", to: "c.bottom", at_most: 4) },"#;
    let height = measure("Millimetre", body, "height", PLAIN);
    assert_near!(height.worst_case, 0.6, epsilon = 1e-9);
    assert_near!(height.rss, 0.14_f64.sqrt(), epsilon = 1e-9);
    assert_near!(
        height.sampled.unwrap().sd,
        0.14_f64.sqrt() / 3.0,
        epsilon = 0.003
    );
    let [least, greatest] = height.corners.unwrap();
    assert_near!(greatest - least, 1.2, epsilon = 1e-9);
}

/// The title block speaks of dimensions and cut sizes, not of stock, places and zeros.
#[test]
fn the_files_own_tolerance_is_for_what_is_cut() {
    let general = format!("within: 0.1, {DIMENSIONS}");
    let whole = measure("Millimetre", &bay(&general, SPACED, WHOLE), "room", FEW);
    // the wall's place (7) and the thickness of the sheet stay as stated; the bay has its own tolerance
    assert_eq!(names(&whole), ["bay"]);
    assert!(!whole.shares[0].general);
    let height = r#"Between(from: "wall.bottom", to: "wall.top", at_least: 299)"#;
    for (from, figure) in [("tall", "tall"), ("400", "wall height")] {
        let body = bay(&general, SPACED, height)
            .replace(r#"height: "tall""#, &format!("height: \"{from} \""));
        let height = measure("Millimetre", &body, "room", FEW);
        assert_eq!((names(&height), height.worst_case), (vec![figure], 0.1));
        assert!(height.shares[0].general);
    }
    // a length's tolerance says nothing of angles, and a relation's own figure takes it
    let spacing = r#"Spaced(from: "wall.aft", to: "frame.fwd", by: 300)"#;
    let room = measure("Millimetre", &bay(&general, spacing, ROOM), "room", FEW);
    assert_eq!((names(&room), room.worst_case), (vec!["spacing"], 0.1));
}

#[test]
fn what_states_no_tolerance_is_told() {
    let stack = stacks("Millimetre", &bay(DIMENSIONS, SPACED, WHOLE), "room", FEW).remove(0);
    assert_eq!(stack.held, ["skin", "wall fs"]);
}

/// A must-fit may demand the very dimension by which a part is placed: what is demanded is the figure as stated.
#[test]
fn what_is_demanded_does_not_vary() {
    let demand = r#"(is: Spaced(from: "wall.aft", to: "frame.fwd", by: "bay"), within: 0.6)"#;
    let room = measure("Millimetre", &bay(DIMENSIONS, SPACED, demand), "room", FEW);
    assert_near!(room.nominal, 0.0, epsilon = 1e-9);
    assert_near!(room.worst_case, 0.5, epsilon = 1e-9);
    assert_near!(rate(&room, "bay"), 1.0, epsilon = 1e-9);
}

#[test]
fn what_rests_on_something_loose_is_not_stacked() {
    let none = r#"Parallel("wall.aft", "frame.fwd")"#;
    let stack = stacks("Millimetre", &bay(DIMENSIONS, none, ROOM), "room", FEW).remove(0);
    assert_eq!(stack.verdict, StackVerdict::Open);
    assert!(stack.measures.is_empty() && stack.chance.is_none());
}

#[test]
fn a_must_fit_of_both_sides_is_two() {
    let body = r#"dimensions: { "apart": (is: 100, within: 0.5) },
        parts: { "rail": Custom(planes: {"top": (looks: Up)}, lines: {"axis": (along: Station)}, at: (fs: 0, bl: "apart", wl: 0), sides: Both) },
        must_fit: { "reach": Between(from: "datum.buttock_line", to: "rail.axis", at_least: 99) },"#;
    let both = stacks("Millimetre", body, "reach", FEW);
    let names: Vec<&str> = both.iter().map(|stack| stack.name.as_str()).collect();
    assert_eq!(names, ["reach L", "reach R"]);
    assert_eq!(stacks("Millimetre", body, "reach R", FEW).len(), 1);
}

/// Boxes of metal: their distance is the figure between them, less the length of the first.
#[test]
fn a_clearance_between_metal_is_stacked_by_differences() {
    let body = r#"dimensions: { "place": (is: 30, within: 0.6), "length": (is: 10, within: 0.3) },
        parts: {
            "a": Custom(boxes: {"metal": (low: (fs: 0, bl: 0, wl: 0), high: (fs: "length", bl: 5, wl: 5))}, at: (fs: 0, bl: 0, wl: 0)),
            "b": Custom(planes: {"fwd": (looks: Fwd)}, boxes: {"metal": (low: (fs: 0, bl: 0, wl: 0), high: (fs: 4, bl: 5, wl: 5))}, at: (bl: 0, wl: 0)),
        },
        relations: { "b back": Spaced(from: "datum.station", to: "b.fwd", by: "place") },
        must_fit: { "clear": Clear(between: ("a", "b"), at_least: 19) },"#;
    let clear = measure(
        "Millimetre",
        body,
        "clear",
        Sampling {
            samples: 20_000,
            ..PLAIN
        },
    );
    assert_near!(clear.nominal, 20.0, epsilon = 1e-6);
    assert_near!(clear.worst_case, 0.9, epsilon = 1e-6);
    assert_near!(clear.rss, 0.45_f64.sqrt(), epsilon = 1e-6);
    assert_near!(rate(&clear, "length"), -1.0, epsilon = 1e-6);
    let sampled = clear.sampled.unwrap();
    assert_eq!(sampled.count, strongback_model::stack::CLEARANCE_SAMPLES);
    assert_near!(sampled.sd, 0.45_f64.sqrt() / 3.0, epsilon = 0.01);
}

/// A hole off to two sides by figures of one standard deviation σ: how far off follows Rayleigh's distribution, with the mean
/// σ √(π/2) and the share 1 − exp(−t²/2σ²) within t (Lord Rayleigh, Phil. Mag. 10, 1880, named from memory; recomputed).
#[test]
fn a_distance_without_a_sign_is_rayleighs() {
    let body = r#"dimensions: { "right": (is: "0 mm", within: 0.3), "up": (is: "0 mm", within: 0.3) },
        parts: {
            "pin": Custom(lines: {"axis": (along: Station)}, at: (fs: 0, bl: 0, wl: 0)),
            "plate": Custom(lines: {"hole": (along: Station, at: (bl: "right", wl: "up"))}, at: (fs: 0, bl: 0, wl: 0)),
        },
        must_fit: { "in line": (is: OneLine(["pin.axis", "plate.hole"]), within: 0.2) },"#;
    let off = measure("Millimetre", body, "in line", PLAIN);
    let (n, sd) = (20_000.0_f64, 0.1);
    assert!(off.unsigned && off.least.is_none() && off.corners.is_none());
    assert_near!(off.worst_case, 0.6, epsilon = 1e-9);
    let sampled = off.sampled.unwrap();
    let own_sd = sd * (2.0 - std::f64::consts::FRAC_PI_2).sqrt();
    assert_near!(
        sampled.mean,
        sd * std::f64::consts::FRAC_PI_2.sqrt(),
        epsilon = 4.0 * own_sd / n.sqrt()
    );
    let share = 1.0 - (-2.0_f64).exp();
    assert_near!(
        off.chance.share,
        share,
        epsilon = 4.0 * (share * (1.0 - share) / n).sqrt()
    );
    // the mean is not the plan's nothing, and yet the estimate holds
    assert!(off.linear.unwrap().fails.is_empty());
}

/// A crank that can't reach in every build: what can't be solved is counted and missing, not left out.
#[test]
fn builds_that_can_not_be_put_together_count_as_missing() {
    let body = r#"dimensions: { "arm": (is: 10.1, within: 0.6) },
        parts: {
            "post": Custom(points: {"top": ()}, at: (fs: 0, bl: 0, wl: 0)),
            "bar": Custom(points: {"end": ()}, at: (fs: 0, bl: Find(near: 1), wl: 10)),
        },
        relations: { "arm": Spaced(from: "post.top", to: "bar.end", by: "arm") },
        must_fit: { "side": Between(from: "post.top", to: "bar.end", toward: Right, at_least: 0) },"#;
    let stack = stacks(
        "Millimetre",
        body,
        "side",
        Sampling {
            samples: 3000,
            ..PLAIN
        },
    )
    .remove(0);
    let (chance, measure) = (stack.chance.unwrap(), &stack.measures[0]);
    let sampled = measure.sampled.as_ref().unwrap();
    // an arm shorter than 10 reaches nowhere: half a standard deviation below the mean, 30.85 % of builds
    let failed = sampled.failed as f64 / 3000.0;
    assert_near!(
        failed,
        0.3085,
        epsilon = 4.0 * (0.3085_f64 * 0.6915 / 3000.0).sqrt()
    );
    assert_eq!((chance.of, chance.fitting), (3000, sampled.count));
}

/// A chain of figures that are added or taken away.
fn chain(figures: &[(f64, f64, bool)]) -> String {
    let (mut parts, mut relations) = (String::new(), String::new());
    for (k, (figure, within, added)) in figures.iter().enumerate() {
        let from = match k {
            0 => "datum.station".to_owned(),
            k => format!("p{}.face", k - 1),
        };
        let way = if *added { "Aft" } else { "Fwd" };
        writeln!(
            parts,
            r#""p{k}": Custom(planes: {{"face": (looks: Aft)}}, at: (bl: 0, wl: 0)),"#
        )
        .unwrap();
        writeln!(relations, r#""r{k}": (is: Spaced(from: "{from}", to: "p{k}.face", by: {figure:?}, toward: {way}), within: {within:?}),"#).unwrap();
    }
    let last = figures.len() - 1;
    format!(
        r#"parts: {{ {parts} }}, relations: {{ {relations} }},
        must_fit: {{ "end": Between(from: "datum.station", to: "p{last}.face", at_least: 0) }},"#
    )
}

proptest! {
    #![proptest_config(ProptestConfig { rng_seed: RngSeed::Fixed(11), failure_persistence: None, ..ProptestConfig::with_cases(24) })]

    /// Of a sum the mean is the sum of means and the variance the sum of variances; shares are parts of a whole.
    #[test]
    fn samples_of_sums_agree_with_theory(
        figures in proptest::collection::vec((1.0..200.0_f64, 0.01..1.0_f64, any::<bool>()), 1..12),
        seed in any::<u64>(),
        uniform in any::<bool>(),
    ) {
        let spread = if uniform { Spread::Uniform } else { Spread::Normal };
        let samples = 8000;
        let end = measure("Millimetre", &chain(&figures), "end", Sampling { samples, seed, spread });
        let nominal: f64 = figures.iter().map(|(figure, _, added)| if *added { *figure } else { -figure }).sum();
        let worst: f64 = figures.iter().map(|(_, within, _)| within).sum();
        let squares: f64 = figures.iter().map(|(_, within, _)| within * within).sum();
        prop_assert!((end.nominal - nominal).abs() < 1e-9);
        prop_assert!((end.worst_case - worst).abs() < 1e-9);
        prop_assert!((end.rss - squares.sqrt()).abs() < 1e-9);
        let of = |share: fn(&strongback_model::stack::Share) -> f64| end.shares.iter().map(share).sum::<f64>();
        prop_assert!((of(|share| share.of_variance) - 100.0).abs() < 1e-9);
        prop_assert!((of(|share| share.of_worst_case) - 100.0).abs() < 1e-9);
        prop_assert!((of(|share| share.adds) - worst).abs() < 1e-9);
        let sd = squares.sqrt() / if uniform { 3.0_f64.sqrt() } else { 3.0 };
        let sampled = end.sampled.as_ref().unwrap();
        let n = samples as f64;
        prop_assert!((sampled.mean - nominal).abs() < 5.0 * sd / n.sqrt());
        prop_assert!((sampled.sd / sd - 1.0).abs() < 5.0 / (2.0 * n).sqrt());
        prop_assert!(end.linear.as_ref().unwrap().fails.is_empty());
        if uniform {
            prop_assert!(nominal - worst <= sampled.least && sampled.greatest <= nominal + worst);
        }
    }
}
