//! Bent longerons against published bend allowances and setbacks.
//!
//! Sources: FAA-H-8083-31 (2012), Aviation Maintenance Technician Handbook, Airframe, vol. 1, ch. 4, "Bending a U-Channel" and
//! "Using a Formula to Calculate the Setback" (given sizes, flats and setback read there; total developed width computed with
//! its Formula 2, BA = (0.01743 R + 0.0078 T) N; the book's printed total, 3.74, from memory); sheetmetalworkbook.com/90bends.htm
//! (its allowance 0.085 and its blank 2.973, read there); FAA AC 43.13-1B, table 4-7, p. 4-15 (setback numbers K, read there).

use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::layout::{Layout, PlacedPart};
use strongback_model::source::read;

fn layout(longeron: &str, more: &str) -> Layout {
    let text = format!(
        r#"(format: 1, title: "one", unit: Inch, fit: "1/32 in", parts: {{ "longeron": {longeron},
            "frame": Plate(lies: Across, thickness: "0.032 in", width: 90, height: 90, at: (fs: 30, bl: 0, wl: 0)) }},
            relations: {{ {more} }})"#
    );
    let document: Document = read(&text).unwrap();
    let assembly = assemble(&document).unwrap();
    let layout = assembly.solve().unwrap().layout();
    assert!(layout.is_sound());
    layout
}

/// A longeron whose second leg leads away from all bends: a strip with a flange, bent toward the left.
fn strip(thickness: &str, radius: &str, angle: &str, flats: &[f64]) -> PlacedPart {
    let bend = format!(r#", Bend(toward: Left, by: "{angle} deg", radius: "{radius} in"), "#);
    let path: Vec<String> = flats
        .iter()
        .map(|flat| format!("Straight({flat:?})"))
        .collect();
    let longeron = format!(
        r#"Longeron(runs: FwdAft, legs: (down: 1, right: "1/2 in"), thickness: "{thickness} in", path: [{}], at: (fs: 0, bl: 0, wl: 0))"#,
        path.join(&bend)
    );
    layout(&longeron, "").part("longeron").unwrap().clone()
}

fn developed(part: &PlacedPart) -> f64 {
    part.size("developed length").unwrap().value / 25.4
}

#[test]
fn the_handbooks_channel() {
    // MLD 1.00, 2.00, 1.00 less a setback of 0.2 for each bend: flats 0.8, 1.6, 0.8
    let part = strip("0.040", "0.16", "90", &[0.8, 1.6, 0.8]);
    let width = developed(&part);
    assert!(
        (width - 3.758).abs() < 0.002,
        "computed by Formula 2: {width}"
    );
    assert!((width - 3.74).abs() < 0.03, "printed, from memory: {width}");
    assert!(width < 4.00, "the check the book gives");
}

#[test]
fn the_work_books_four_legs() {
    // outside legs 0.740, 0.420, 1.050, 1.000; setback 0.050 + 0.032 at each bend
    let setback = 0.082;
    let flats = [
        0.740 - setback,
        0.420 - 2.0 * setback,
        1.050 - 2.0 * setback,
        1.000 - setback,
    ];
    let blank = developed(&strip("0.050", "0.032", "90", &flats));
    assert!((blank - 2.973).abs() < 0.0015, "{blank}");
    let allowance = (blank - flats.iter().sum::<f64>()) / 3.0;
    assert!((allowance - 0.085).abs() < 0.0005, "{allowance}");
    assert!(
        (2.0 * setback - allowance - 0.079).abs() < 0.0005,
        "bend deduction"
    );
}

/// The outside faces of two straights meet a setback K (R + T) beyond their tangent lines.
#[test]
fn setbacks_of_the_table() {
    for (angle, k, last_digit) in [
        ("30", 0.2679, 1e-4),
        ("45", 0.4142, 1e-4),
        ("60", 0.5773, 1e-4),
        ("90", 1.000, 1e-9),
        ("120", 1.732, 1e-3),
        ("135", 2.414, 1e-3),
        ("150", 3.732, 1e-3),
    ] {
        let part = strip("0.040", "0.16", angle, &[5.0, 5.0]);
        // the convex side is the inside of the leg that leads down; its trace in plan, from each straight
        let trace = |number: usize| {
            let face = part.feature(&format!("inside_right_{number}")).unwrap();
            (face.at_mm, face.direction.unwrap())
        };
        let ((p, n), (q, m)) = (trace(1), trace(2));
        // both lines in plan: n·x = n·p, m·x = m·q
        let (c, d) = (n[0] * p[0] + n[1] * p[1], m[0] * q[0] + m[1] * q[1]);
        let determinant = n[0] * m[1] - n[1] * m[0];
        let meet = (c * m[1] - d * n[1]) / determinant;
        let setback = (meet / 25.4 - 5.0) / (0.040 + 0.16);
        assert!((setback - k).abs() <= last_digit, "{angle}: {setback}");
    }
}

/// A longeron bent inwards with the taper: its leg leads into the bend, and two frames find its last straight.
#[test]
fn a_side_and_a_plan_bend_reach_a_frame() {
    let longeron = r#"Longeron(runs: FwdAft, legs: (down: 1, left: 1), thickness: "1/8 in", at: (fs: 0, bl: 20, wl: 10), path: [
        Straight(12), Bend(toward: Left, by: "6 deg", radius: 3), Straight(10), Bend(toward: Up, by: "4 deg", radius: 2), Straight(Find(near: 5))])"#;
    let layout = layout(
        longeron,
        r#""ends": Reaches(end: "longeron.aft_end", face: "frame.fwd")"#,
    );
    let part = layout.part("longeron").unwrap();
    let end = part.feature("aft_end").unwrap();
    assert!((end.at_mm[0] / 25.4 - 30.0).abs() < 1e-9);
    let (yaw, rise) = (6f64.to_radians(), 4f64.to_radians());
    let way = end.direction.unwrap();
    for (is, should) in
        way.iter()
            .zip([yaw.cos() * rise.cos(), -yaw.sin() * rise.cos(), rise.sin()])
    {
        assert!((is - should).abs() < 1e-12, "{way:?}");
    }
    // each straight goes on where the bend before it ends: tangent lines lie on the faces of both straights
    for bend in 1..=2 {
        for (name, number) in [("start", bend), ("end", bend + 1)] {
            let line = part.feature(&format!("bend_{bend}_{name}")).unwrap();
            // bent toward the left: the leg that leads down is bent flat, its outside looks right; then the other one's, up
            let outside = if bend == 1 { "right" } else { "top" };
            let face = part.feature(&format!("{outside}_{number}")).unwrap();
            let (at, middle, normal) = (line.at_mm, face.at_mm, face.direction.unwrap());
            let off: f64 = (0..3).map(|i| normal[i] * (at[i] - middle[i])).sum();
            assert!(off.abs() < 1e-9, "bend {bend} {name}: {off}");
        }
    }
    assert!(part.size("developed length").unwrap().found);
}

#[test]
fn a_pair_is_mirrored() {
    let longeron = r#"Longeron(runs: FwdAft, legs: (down: 1, left: 1), thickness: "1/8 in", sides: Both, at: (fs: 0, bl: 20, wl: 10),
        path: [Straight(12), Bend(toward: Left, by: "6 deg", radius: 3), Straight(10)])"#;
    let layout = layout(longeron, "");
    let [left, right] = ["longeron L", "longeron R"].map(|name| layout.part(name).unwrap());
    for (one, other) in [
        ("left_2", "right_2"),
        ("inside_right_2", "inside_left_2"),
        ("aft_end", "aft_end"),
    ] {
        let (a, b) = (left.feature(one).unwrap(), right.feature(other).unwrap());
        for (axis, sense) in [(0, 1.0), (1, -1.0), (2, 1.0)] {
            assert!(
                (a.at_mm[axis] - sense * b.at_mm[axis]).abs() < 1e-9,
                "{one}"
            );
        }
    }
    assert_eq!(developed(left), developed(right));
}

#[test]
fn paths_that_make_no_longeron_are_refused() {
    let refused = |legs: &str, path: &str| {
        let text = format!(
            r#"(format: 1, title: "one", unit: Inch, fit: "1/32 in", dimensions: {{"joggle": (is: Find(near: "5 deg"))}}, parts: {{
                "longeron": Longeron(runs: FwdAft, legs: ({legs}), thickness: "1/8 in", path: [{path}], at: (fs: 0, bl: 0, wl: 0)) }})"#
        );
        let document: Document = read(&text).unwrap();
        let faults = assemble(&document).unwrap_err();
        assert!(faults[0].span().is_some());
        faults[0].message.clone()
    };
    let legs = "down: 1, left: 1";
    for (legs, path, wanted) in [
        (legs, "", "ends with a straight"),
        (legs, "Straight(3), Straight(4)", "without a bend"),
        (
            legs,
            r#"Bend(toward: Left, by: "5 deg", radius: 3), Straight(3)"#,
            "between two straights",
        ),
        (
            legs,
            r#"Straight(3), Bend(toward: Left, by: "5 deg", radius: 3)"#,
            "ends with a straight",
        ),
        (
            legs,
            r#"Straight(3), Bend(toward: Aft, by: "5 deg", radius: 3), Straight(3)"#,
            "runs along that axis",
        ),
        (
            legs,
            r#"Straight(3), Bend(toward: Left, by: "190 deg", radius: 3), Straight(3)"#,
            "between 0 and 180",
        ),
        (
            legs,
            r#"Straight(3), Bend(toward: Left, by: "-5 deg", radius: 3), Straight(3)"#,
            "between 0 and 180",
        ),
        (
            legs,
            r#"Straight(3), Bend(toward: Left, by: "5 deg", radius: "1/8 in"), Straight(3)"#,
            "beyond the centre",
        ),
        (
            legs,
            "Straight(3), Bend(toward: Left, by: Find, radius: 3), Straight(3)",
            "has to be stated",
        ),
        (
            legs,
            "Straight(3), Bend(toward: Left, by: \"joggle\", radius: 3), Straight(3)",
            "has to be stated",
        ),
        (
            legs,
            r#"Straight(-3), Bend(toward: Left, by: "5 deg", radius: 3), Straight(3)"#,
            "greater than zero",
        ),
        ("down: 1", "Straight(3)", "has two legs"),
    ] {
        let told = refused(legs, path);
        assert!(told.contains(wanted), "{path}: {told}");
    }
}
