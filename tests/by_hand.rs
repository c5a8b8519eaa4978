//! Small models whose answers anybody can work out with a pencil: distances between lines, what is square to a line, spacers
//! whose place is stated, and must-fits that are relations.

use crate::model_text::{assembled, document, layout, part, place, solved};
use strongback_model::fit::{Fit, FitVerdict};

const INCH: f64 = 25.4;

const FRAME: &str = r#""f": Frame(thickness: "0.032 in", flange: "3/4 in", flanges: Aft, width: "36 in", height: "20 in", at: (fs: 0, bl: 0, wl: 0)),"#;

fn fit(body: &str) -> Fit {
    let document = document("Inch", body);
    let assembly = assembled(&document);
    let solved = solved(&assembly);
    assert!(solved.layout().is_sound(), "{:#?}", solved.layout().loose);
    solved.fits().remove(0)
}

fn measured(fit: &Fit) -> f64 {
    fit.worst().unwrap().value / INCH
}

fn tube(name: &str, at: &str) -> String {
    format!(r#""{name}": Tube(runs: FwdAft, length: 4, diameter: 1, wall: "0.05 in", {at}),"#)
}

#[test]
fn parallel_tubes_are_spaced_across() {
    let (a, u) = (
        tube("a", "at: (fs: 0, bl: 5, wl: 5)"),
        tube("u", "at: (fs: 3, bl: 5, wl: Find(near: 9))"),
    );
    let found = layout(&document(
        "Inch",
        &format!(
            r#"parts: {{ {FRAME} {a} {u} }}, relations: {{ "b": Spaced(from: "a.axis", to: "u.axis", by: 3) }}"#
        ),
    ));
    let wl = place(&found, "u", "axis")[2] / INCH;
    assert!((wl - 8.0).abs() < 1e-9, "{wl}");
    let beside = tube("u", "at: (fs: 30, bl: 8, wl: 9)");
    let distance = fit(&format!(
        r#"parts: {{ {FRAME} {a} {beside} }}, must_fit: {{ "m": Between(from: "a.axis", to: "u.axis", at_most: 5) }}"#
    ));
    assert!((measured(&distance) - 5.0).abs() < 1e-9, "{distance:?}");
    // counted upwards only, and downwards
    for (side, up) in [("Up", 4.0), ("Down", -4.0)] {
        let distance = fit(&format!(
            r#"parts: {{ {FRAME} {a} {beside} }}, must_fit: {{ "m": Between(from: "a.axis", to: "u.axis", toward: {side}, at_most: 5) }}"#
        ));
        assert!((measured(&distance) - up).abs() < 1e-9, "{distance:?}");
    }
}

#[test]
fn a_distance_is_the_same_from_either_end() {
    let post = r#""post": Tube(runs: UpDown, length: 10, diameter: 1, wall: "0.05 in", at: (fs: 3, bl: 0, wl: 0)),"#;
    for (from, to, sign) in [
        ("f.web_fwd", "post.axis", 1.0),
        ("post.axis", "f.web_fwd", -1.0),
    ] {
        let distance = fit(&format!(
            r#"parts: {{ {FRAME} {post} }}, must_fit: {{ "m": Between(from: "{from}", to: "{to}", at_most: 9) }}"#
        ));
        assert!(
            (measured(&distance) - sign * 3.0).abs() < 1e-9,
            "{distance:?}"
        );
    }
}

/// A fore-and-aft tube stands square to a web that lies across, and runs parallel to the top of the frame.
#[test]
fn a_tube_is_square_to_the_web_that_it_goes_through() {
    let tube = tube("u", "at: (fs: 0, bl: 5, wl: 5), turn: (pitch: Find)");
    for relation in [
        r#"Square("u.axis", "f.web_fwd")"#,
        r#"Parallel("f.top", "u.axis")"#,
    ] {
        let found = layout(&document(
            "Inch",
            &format!(r#"parts: {{ {FRAME} {tube} }}, relations: {{ "b": {relation} }}"#),
        ));
        assert!(found.is_sound(), "{relation}");
        assert!(part(&found, "u").turn_deg[1].abs() < 1e-9, "{relation}");
    }
    let held = tube.replace("pitch: Find", r#"pitch: "2 deg""#);
    for (relation, off) in [
        (r#"Square("u.axis", "f.web_fwd")"#, 2.0),
        (r#"Parallel("u.axis", "f.web_fwd")"#, 88.0),
    ] {
        let found = fit(&format!(
            r#"parts: {{ {FRAME} {held} }}, must_fit: {{ "m": {relation} }}"#
        ));
        assert_eq!(found.verdict, FitVerdict::Misses);
        let value = found.worst().unwrap().value.abs();
        assert!((value - off).abs() < 1e-9, "{relation}: {found:?}");
    }
}

/// A spacer sits at the middle of what it carries unless its own place is stated; that never moves the part.
#[test]
fn a_spacer_with_a_place_of_its_own_moves_nothing() {
    let spar = r#""spar": Plate(lies: Across, thickness: "0.050 in", width: "30 in", height: "6 in", at: (bl: 0)),"#;
    let relations = r#""joint": BoltedBehind(part: "spar", to: "f.web_aft", through: ["pad"]),
        "spar low": Spaced(from: "f.bottom", to: "spar.bottom", by: "2 in"),"#;
    for (at, more, wl) in [
        ("", "", 5.0),
        (", at: (bl: 0, wl: 3)", "", 3.0),
        (
            "",
            r#""pad up": Spaced(from: "spar.bottom", to: "pad.axis", by: "1 in"),"#,
            3.0,
        ),
    ] {
        let found = layout(&document(
            "Inch",
            &format!(
                r#"parts: {{ {FRAME} {spar} "pad": Spacer(lies: Across, thickness: "3/16 in", diameter: "1 in"{at}), }},
                   relations: {{ {relations} {more} }}"#
            ),
        ));
        assert!(
            found.is_sound(),
            "{at} {more}: {:#?} {:#?}",
            found.at_odds,
            found.loose
        );
        let bottom = place(&found, "spar", "bottom")[2] / INCH;
        assert!((bottom - 2.0).abs() < 1e-9, "{at} {more}: {bottom}");
        let pad = place(&found, "pad", "axis");
        assert!((pad[2] / INCH - wl).abs() < 1e-9, "{at} {more}: {pad:?}");
        let web = place(&found, "spar", "fwd")[0] / INCH;
        assert!((web - (0.032 + 0.1875)).abs() < 1e-9, "{web}");
    }
}

/// Off the middle by the distance from the middle, not by the difference of the two gaps.
#[test]
fn what_is_centred_misses_by_its_distance_from_the_middle() {
    let spacer = |wl: f64| {
        format!(
            r#""b": Spacer(lies: Across, thickness: "1/4 in", diameter: 1, at: (fs: 1, bl: 0, wl: {wl:?})),"#
        )
    };
    let centred = r#"Centred(what: "b.axis", between: ("f.bottom", "f.top"))"#;
    for (wl, off) in [(10.0, 0.0), (7.0, -3.0)] {
        let found = fit(&format!(
            r#"parts: {{ {FRAME} {} }}, must_fit: {{ "m": {centred} }}"#,
            spacer(wl)
        ));
        assert!((measured(&found) - off).abs() < 1e-9, "{found:?}");
        assert_eq!(found.holds(), off == 0.0);
    }
    let found = layout(&document(
        "Inch",
        &format!(
            r#"parts: {{ {FRAME} {} }}, relations: {{ "c": {centred} }}"#,
            spacer(7.0)
        ),
    ));
    assert!((found.at_odds[0].miss / INCH + 3.0).abs() < 1e-9);
}

#[test]
fn a_row_is_measured_without_a_stated_distance() {
    let frames = |last: f64| {
        [("g", 10.0), ("h", last)].map(|(name, fs)| {
            FRAME
                .replace(r#""f""#, &format!(r#""{name}""#))
                .replace("fs: 0", &format!("fs: {fs:?}"))
        })
    };
    for (last, off) in [(20.0, 0.0), (21.0, -0.5)] {
        let [g, h] = frames(last);
        let found = fit(&format!(
            r#"parts: {{ {FRAME} {g} {h} }}, must_fit: {{ "m": EvenlySpaced(faces: ["f.web_fwd", "g.web_fwd", "h.web_fwd"]) }}"#
        ));
        assert!((measured(&found) - off).abs() < 1e-9, "{found:?}");
        assert_eq!(found.holds(), off == 0.0);
    }
}

/// Two figures for one distance, 1/32 in apart: the less trusted one is spare if its own tolerance covers that.
#[test]
fn a_tolerance_of_its_own_makes_a_statement_agree() {
    for (within, spare) in [("1/16 in", 1), ("1/64 in", 0)] {
        let g = FRAME.replace(r#""f""#, r#""g""#).replace("fs: 0, ", "");
        let found = layout(&document(
            "Inch",
            &format!(
                r#"parts: {{ {FRAME} {g} }}, relations: {{ "one": Spaced(from: "f.web_fwd", to: "g.web_fwd", by: 20),
                    "two": (is: Spaced(from: "f.web_fwd", to: "g.web_fwd", by: "20 1/32 in"), within: "{within}") }}"#
            ),
        ));
        assert_eq!((found.spare.len(), found.at_odds.len()), (spare, 1 - spare));
        if let [one] = &found.spare[..] {
            assert!((one.off.abs() / INCH - 1.0 / 32.0).abs() < 1e-9, "{one:?}");
        }
    }
}

/// A hole is cut out of the web, and a tube is round.
#[test]
fn clearances_of_holes_and_tubes() {
    let frame = FRAME.replace("fs: 0", "fs: 10").replace(
        "at: (",
        r#"holes: {"rod": (bl: "2 in", wl: "10 in", diameter: "1 1/4 in")}, at: ("#,
    );
    let rod = r#""rod": Tube(runs: FwdAft, length: 20, diameter: "3/4 in", wall: "0.05 in", at: (fs: 0, bl: 2, wl: 10)),"#;
    let through = fit(&format!(
        r#"parts: {{ {frame} {rod} }}, must_fit: {{ "m": Clear(between: ("rod", "f"), at_least: "1/16 in") }}"#
    ));
    // flats within the hole and outside the rod: never more than there is, and hardly less
    let there_is = 0.5 * (1.25 - 0.75);
    let value = measured(&through);
    assert!(value <= there_is && value > there_is - 0.003, "{value}");
    let (a, b) = (
        tube("a", "at: (fs: 0, bl: 5, wl: 5)").replace("diameter: 1", "diameter: 2"),
        tube("b", "at: (fs: 0, bl: 8, wl: 9)").replace("diameter: 1", "diameter: 2"),
    );
    let apart = fit(&format!(
        r#"parts: {{ {a} {b} }}, must_fit: {{ "m": Clear(between: ("a", "b"), at_least: 1) }}"#
    ));
    let value = measured(&apart);
    assert!(value <= 3.0 && value > 2.99, "{value}");
}

/// A must-fit beside a contradiction is disputed if the other figure would change it, and not otherwise.
#[test]
fn a_must_fit_over_a_contradiction_is_disputed() {
    let g = FRAME.replace(r#""f""#, r#""g""#).replace("fs: 0, ", "");
    let document = document(
        "Inch",
        &format!(
            r#"parts: {{ {FRAME} {g} }}, relations: {{ "one": Spaced(from: "f.web_fwd", to: "g.web_fwd", by: 20),
                "two": Spaced(from: "f.web_fwd", to: "g.web_fwd", by: 24) }},
               must_fit: {{ "room": Between(from: "f.web_fwd", to: "g.web_fwd", at_most: 21),
                "level": Flush("f.bottom", "g.bottom"), "clear": Clear(between: ("f", "g"), at_least: 1) }}"#
        ),
    );
    let assembly = assembled(&document);
    let disputed: Vec<usize> = solved(&assembly)
        .fits()
        .iter()
        .map(|fit| fit.disputed.len())
        .collect();
    assert_eq!(disputed, [1, 0, 1]);
}

/// An angle keeps a tolerance that is stated as a length when the far corners of the metal do: a plate of 40 by 40 in, canted
/// by 0.04 degrees, is 20 √2 in × tan 0.04° = 0.0197 in off at its corners, which is more than 1/64 in; one of 4 by 4 in isn't.
#[test]
fn a_leaning_plate_misses_where_its_corners_do() {
    for (size, fits) in [(40, false), (4, true)] {
        let document = document(
            "Inch",
            &format!(
                r#"parts: {{
                    "a": Plate(lies: Across, thickness: "0.032 in", width: 60, height: 60, at: (fs: 0, bl: 0, wl: 0)),
                    "b": Plate(lies: Across, thickness: "0.032 in", width: {size}, height: {size}, at: (fs: 1, bl: 0, wl: 0), turn: (pitch: "0.04 deg")),
                }},
                must_fit: {{ "flush": (is: Parallel("b.fwd", "a.aft"), within: "1/64 in") }}"#
            ),
        );
        let assembly = assembled(&document);
        let fit = &solved(&assembly).fits()[0];
        assert_eq!(fit.holds(), fits, "{fit:#?}");
        let over = fit.measures[0].over_mm.unwrap() / 25.4;
        assert!(
            (over - f64::from(size) / 2.0_f64.sqrt()).abs() < 0.01 * f64::from(size),
            "{over}"
        );
    }
}
