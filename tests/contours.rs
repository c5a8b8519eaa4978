//! Contours, skins and `OnContour` in a model, against closed forms: a fuselage with flat sides that taper, and a round tail cone.
//!
//! Sources: distances from planes, circles and cones by elementary geometry; how far a spline through points of a circle is off,
//! see surfaces.rs (Hall and Meyer 1976, from memory). Half sections from the bottom to the top:
//! common practice, no source.

use std::fmt::Write as _;

use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::fit::Fit;
use strongback_model::layout::Layout;
use strongback_model::source::{Fault, read};

/// Flat sides that toe in from 20 in at station 0 to 15 in at station 50, and lean out by 1 in 10.
const FLAT: &str = r#""side": (sections: {
    "front": (fs: 0, points: [("front line", 0), ("front line + 1 in", 10), ("front line + 2 in", 20)]),
    "rear": (fs: 50, points: [("front line - 5 in", 0), ("front line - 4 in", 10), ("front line - 3 in", 20)]) })"#;

fn document(contours: &str, parts: &str, relations: &str, must_fit: &str) -> Document {
    let text = format!(
        r#"(format: 1, title: "one", unit: Inch, fit: "1/32 in", dimensions: {{ "front line": (is: "20 in") }},
            contours: {{ {contours} }}, parts: {{ {parts} }}, relations: {{ {relations} }}, must_fit: {{ {must_fit} }})"#
    );
    read(&text).unwrap()
}

fn solved(document: &Document) -> (Layout, Vec<Fit>) {
    let assembly = assemble(document).unwrap();
    let solved = assembly.solve().unwrap();
    (solved.layout(), solved.fits())
}

fn fault(document: &Document) -> Fault {
    let fault = match assemble(document) {
        Err(faults) => faults[0].clone(),
        Ok(assembly) => assembly.solve().err().unwrap(),
    };
    assert!(fault.span().is_some(), "{}", fault.message);
    fault
}

#[test]
fn a_bracket_comes_to_rest_on_a_flat_side() {
    let slope = (1.0_f64 + 0.1 * 0.1 + 0.1 * 0.1).sqrt();
    for (by, off) in [
        ("", 0.0),
        (r#", outside_by: "1/2 in""#, 0.5),
        (r#", inside_by: "3 in""#, -3.0),
    ] {
        let document = document(
            FLAT,
            r#""lug": Custom(points: {"eye": (bl: "1/4 in")}, sides: Both, at: (fs: 20, wl: 8))"#,
            &format!(r#""lug on skin": OnContour(point: "lug.eye", contour: "side"{by})"#),
            r#""on it": OnContour(point: "lug.eye", contour: "side")"#,
        );
        let (layout, fits) = solved(&document);
        assert!(layout.is_sound());
        // y = 20 - x / 10 + z / 10, and so far square to the plane
        let known = 20.0 - 2.0 + 0.8 + off * slope;
        for (name, sense) in [("lug R", 1.0), ("lug L", -1.0)] {
            let eye = layout.part(name).unwrap().feature("eye").unwrap();
            assert!(
                (eye.at_mm[1] / 25.4 - sense * known).abs() < 1e-9,
                "{name}: {:?}",
                eye.at_mm
            );
        }
        for fit in fits {
            assert_eq!(fit.holds(), off == 0.0);
            assert!((fit.measures[0].value.abs() / 25.4 - f64::abs(off)).abs() < 1e-9);
            let side = [(off > 0.0, "outside"), (off < 0.0, "inside")];
            let side = side.into_iter().find(|(is, _)| *is).map(|(_, side)| side);
            let told = fit.measures[0].what.split_once("too far ");
            assert_eq!(told.map(|(_, side)| side), side);
        }
    }
}

/// A round tail cone by points of circles, as a drawing would give them: the more points, the nearer to the cone.
#[test]
fn a_round_tail_cone() {
    let section = |fs: f64, radius: f64, count: u32| {
        let mut text = format!(r#""at {fs}": (fs: {fs:?}, points: ["#);
        for at in 0..=count {
            let angle = std::f64::consts::PI * f64::from(at) / f64::from(count);
            let bl = if at == 0 || at == count {
                0.0
            } else {
                radius * angle.sin()
            };
            let _ = write!(text, "({bl:?}, {:?}), ", 15.0 - radius * angle.cos());
        }
        text + "])"
    };
    let worst = |count: u32| {
        let contour = format!(
            r#""tail": (sections: {{ {}, {} }})"#,
            section(0.0, 18.0, count),
            section(60.0, 6.0, count)
        );
        let mut parts = String::new();
        let mut fits = String::new();
        // inside of the cone by 1 in, at its station 30: radius 12
        let square = (1.0_f64 + 0.04).sqrt();
        for at in 0..9 {
            let angle = 0.1 + 0.33 * f64::from(at);
            let radius = 12.0 - square;
            let (bl, wl) = (radius * angle.sin(), 15.0 - radius * angle.cos());
            let _ = write!(
                parts,
                r#""p{at}": Custom(points: {{"o": ()}}, at: (fs: 30, bl: {bl:?}, wl: {wl:?})), "#
            );
            let _ = write!(
                fits,
                r#""f{at}": OnContour(point: "p{at}.o", contour: "tail", inside_by: 1), "#
            );
        }
        let (_, fits) = solved(&document(&contour, &parts, "", &fits));
        let misses = fits.iter().map(|fit| fit.measures[0].value.abs() / 25.4);
        misses.fold(0.0, f64::max)
    };
    let bound = |count: u32| {
        2f64.sqrt() * 5.0 / 384.0 * (std::f64::consts::PI / f64::from(count)).powi(4) * 18.0
    };
    for count in [6, 12, 24] {
        let off = worst(count);
        assert!(
            off <= bound(count),
            "{count} steps: {off} in, {}",
            bound(count)
        );
    }
    assert!(worst(6) / worst(12) > 12.0);
}

#[test]
fn a_skin_follows_its_contour() {
    let document = document(
        FLAT,
        r#""skin": Skin(contour: "side", thickness: "0.04 in", from: 5, length: Find, sides: Both),
           "frame": Plate(lies: Across, thickness: "0.032 in", width: 10, height: 20, at: (fs: 40, bl: 0, wl: 0))"#,
        r#""skin ends": Reaches(end: "skin.aft", face: "frame.fwd")"#,
        r#""clear": Clear(between: ("skin R", "frame"), at_least: 1)"#,
    );
    let (layout, fits) = solved(&document);
    assert!(layout.is_sound());
    let [left, right] = ["skin L", "skin R"].map(|name| layout.part(name).unwrap());
    assert!((right.size("length").unwrap().value / 25.4 - 35.0).abs() < 1e-9);
    for skin in [left, right] {
        let ends = skin.extent_mm[0].map(|mm| mm / 25.4);
        assert!(
            (ends[0] - 5.0).abs() < 0.01 && (ends[1] - 40.0).abs() < 0.01,
            "{ends:?}"
        );
        // all corners of the outside lie on the plane, those of the inside 0.04 in within
        for solid in &skin.solids {
            for corner in &solid.outline_mm {
                let [x, y, z] = corner.map(|mm| mm / 25.4);
                assert!((y.abs() - (20.0 - 0.1 * x + 0.1 * z)).abs() < 1e-9);
            }
            let thick = solid.sweep_mm.iter().map(|c| c * c).sum::<f64>().sqrt() / 25.4;
            assert!((thick - 0.04).abs() < 1e-9);
            assert!(solid.sweep_mm[1] * solid.outline_mm[0][1] < 0.0, "inwards");
        }
    }
    assert!(
        (left.extent_mm[1][0] + right.extent_mm[1][1]).abs() < 1e-9,
        "a mirror image"
    );
    // the frame's side stands at 5 in, the inside of the skin nearest to it at its lower aft edge: 20 - 4 - 0.04 and a little
    let clear = fits[0].measures[0].value / 25.4;
    assert!((clear - (16.0 - 5.0 - 0.04)).abs() < 0.01, "{clear}");
}

#[test]
fn contours_that_make_no_surface_are_refused() {
    let section =
        |name: &str, fs: &str, points: &str| format!(r#""{name}": (fs: {fs}, points: [{points}])"#);
    let good = "(10, 0), (12, 5), (11, 10)";
    for (sections, wanted) in [
        (vec![section("a", "0", good)], "of the two sections"),
        (
            vec![section("a", "10", good), section("b", "5", good)],
            "doesn't lie aft",
        ),
        (
            vec![section("a", "10", good), section("b", "10", good)],
            "doesn't lie aft",
        ),
        (
            vec![
                section("a", "0", good),
                section("b", "5", "(10, 0), (12, 5)"),
            ],
            "has 2 points",
        ),
        (
            vec![section("a", "0", "(10, 0)"), section("b", "5", "(10, 0)")],
            "two points at least",
        ),
        (
            vec![
                section("a", "0", good),
                section("b", "5", "(10, 0), (-12, 5), (11, 10)"),
            ],
            "right-hand half",
        ),
        (
            vec![
                section("a", "0", good),
                section("b", "5", "(10, 0), (12, 9), (11, 5)"),
            ],
            "don't go one way round",
        ),
        (
            vec![
                section("a", "0", good),
                section("b", "5", "(10, 0), (10, 0), (11, 5)"),
            ],
            "the one before it again",
        ),
        (
            vec![
                section("a", "0", good),
                section("b", "5", "(1, 4), (5, 4), (11, 4)"),
            ],
            "don't go one way round",
        ),
        (
            vec![section("a", "0", good), section("b", "loose", good)],
            "there is no",
        ),
        (
            vec![section("a", "0", good), section("b", "\"loose\"", good)],
            "has to be given",
        ),
        (
            vec![section("a", "0", good), section("b", "Find", good)],
            "a figure is wanted",
        ),
    ] {
        let contour = format!(r#""side": (sections: {{ {} }})"#, sections.join(", "));
        let text = format!(
            r#"(format: 1, title: "one", unit: Inch, fit: 1, dimensions: {{"loose": (is: Find)}}, contours: {{ {contour} }}, parts: {{ "p": Custom(at: (fs: 0, bl: 0, wl: 0)) }})"#
        );
        // a bare word is refused while it is read
        let Ok(document) = read::<Document>(&text) else {
            assert!(wanted.contains("there is no"), "{text}");
            continue;
        };
        let told = fault(&document).message;
        assert!(told.contains(wanted), "{contour}: {told}");
    }
}

#[test]
fn the_order_of_points_is_the_same_either_way() {
    let turned = FLAT.replace(
        r#"("front line", 0), ("front line + 1 in", 10), ("front line + 2 in", 20)"#,
        r#"("front line + 2 in", 20), ("front line + 1 in", 10), ("front line", 0)"#,
    );
    assert_ne!(turned, FLAT);
    let place = |contours: &str| {
        let document = document(
            contours,
            r#""lug": Custom(points: {"eye": ()}, at: (fs: 20, wl: 8))"#,
            r#""on": OnContour(point: "lug.eye", contour: "side", outside_by: 2)"#,
            "",
        );
        solved(&document).0.part("lug").unwrap().origin_mm
    };
    assert_eq!(place(FLAT), place(&turned));
}

#[test]
fn statements_about_contours_that_can_not_be_are_refused() {
    let lug = r#""lug": Custom(points: {"eye": ()}, at: (fs: 20, wl: 8))"#;
    let on = |rest: &str| format!(r#""on": OnContour(point: "lug.eye", contour: "side"{rest})"#);
    let part = |part: &str| document(FLAT, part, "", "");
    for (document, wanted) in [
        (
            document(FLAT, lug, &on("").replace("side", "sides"), ""),
            "there is no contour `sides`",
        ),
        (
            document(FLAT, lug, &on(", inside_by: 1, outside_by: 2"), ""),
            "inside and outside",
        ),
        (
            document(FLAT, lug, &on(", inside_by: -1"), ""),
            "less than zero",
        ),
        (
            document(FLAT, &lug.replace("fs: 20", "fs: 70"), &on(""), ""),
            "aft of the contour",
        ),
        (
            document(FLAT, &lug.replace("fs: 20", "fs: -3"), &on(""), ""),
            "ahead of the contour",
        ),
        (
            document(FLAT, &lug.replace("wl: 8", "wl: 30"), &on(""), ""),
            "above the upper edge",
        ),
        (
            document(FLAT, &lug.replace("wl: 8", "bl: 20, wl: -9"), "", &on("")),
            "below the lower edge",
        ),
        (
            part(r#""skin": Skin(contour: "sode", thickness: "0.04 in", from: 5, length: 10)"#),
            "there is no contour `sode`",
        ),
        (
            part(r#""skin": Skin(contour: "side", thickness: "0.04 in", from: 5, length: 60)"#),
            "beyond its contour",
        ),
        (
            part(
                r#""skin": Skin(contour: "side", thickness: "0.04 in", from: 5, length: 10, at: (bl: 0))"#,
            ),
            "takes no position",
        ),
        (
            part(
                r#""skin": Skin(contour: "side", thickness: "0.04 in", from: 5, length: 10, turn: (roll: "1 deg"))"#,
            ),
            "takes no position",
        ),
    ] {
        let told = fault(&document).message;
        assert!(told.contains(wanted), "{wanted}: {told}");
    }
}
