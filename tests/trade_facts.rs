//! Facts of the trade, stated as small models whose answers follow by hand.
//!
//! Unless a source is named beside it, a fact is common practice, no source; the figures are sums of the stated ones.

use crate::model_text::{document, layout, part, place};
use strongback_model::change::Change;
use strongback_model::document::Document;
use strongback_model::layout::Layout;
use strongback_model::source;

const INCH: f64 = 25.4;
/// Rounding of sums of figures of some hundred millimetres.
const ROUNDING: f64 = 1e-9;

fn changed(document: &Document, change: &str) -> Document {
    let change: Change = source::read(change).unwrap_or_else(|fault| panic!("{fault:?}"));
    document
        .with_changes(&[change])
        .unwrap_or_else(|fault| panic!("{fault:?}"))
}

#[track_caller]
fn assert_close(found: f64, expected: f64) {
    assert!(
        (found - expected).abs() < ROUNDING,
        "{found} for {expected}"
    );
}

#[track_caller]
fn assert_sound(layout: &Layout) {
    assert!(
        layout.is_sound(),
        "at odds {:#?}, loose {:#?}",
        layout.at_odds,
        layout.loose
    );
}

fn station(layout: &Layout, part: &str, face: &str) -> f64 {
    place(layout, part, face)[0]
}

fn size(layout: &Layout, name: &str, size: &str) -> f64 {
    part(layout, name).size(size).unwrap().value
}

/// A frame whose flange edge stays at 20 in; a rail runs up to its foremost metal and a skin stiffener on from its aftmost.
fn edge_held() -> Document {
    document(
        "Inch",
        r#"parts: {
            "firewall": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in", at: (fs: "-0.032 in", bl: 0, wl: 0)),
            "frame": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, radius: "1/8 in", width: "30 in", height: "20 in", at: (bl: 0, wl: 0)),
            "rail": Angle(runs: FwdAft, length: Find, legs: (down: "1 in", right: "1 in"), thickness: "1/8 in", at: (bl: 0, wl: "4 in")),
            "aft frame": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in", at: (fs: "40 in", bl: 0, wl: 0)),
            "aft rail": Angle(runs: FwdAft, length: Find, legs: (down: "1 in", right: "1 in"), thickness: "1/8 in", at: (bl: 0, wl: "8 in")),
        },
        relations: {
            "edge": Spaced(from: "datum.station", to: "frame.flange_edge", by: "20 in"),
            "rail starts": Reaches(end: "rail.fwd_end", face: "firewall.aft"),
            "rail ends": Reaches(end: "rail.aft_end", face: "frame.fwd"),
            "aft rail starts": Reaches(end: "aft rail.fwd_end", face: "frame.aft"),
            "aft rail ends": Reaches(end: "aft rail.aft_end", face: "aft frame.fwd"),
        },"#,
    )
}

#[test]
fn reversing_a_flange_whose_edge_stays_moves_the_foremost_face_by_the_flange() {
    // Common practice, no source. With the flange f = 5/8 in over the web's outside face, the sheet t = 0.032 in and the
    // flange edge held at E = 20 in:
    //   flanges aft: the outside face of the web is its forward one, at E - f; its aft face at E - f + t.
    //   flanges fwd: the outside face of the web is its aft one, at E + f; its forward face at E + f - t.
    // So the foremost metal goes from E - f to E (the edge): + f. The aftmost goes from E to E + f: + f.
    // Both faces of the web go by (E + f - t) - (E - f) = 2f - t = 1.218 in.
    // What ends on the foremost metal grows by f; what starts at the aftmost and ends at a fixed frame shrinks by f.
    let (f, t, edge) = (0.625 * INCH, 0.032 * INCH, 20.0 * INCH);
    let plan = edge_held();
    let before = layout(&plan);
    let after = layout(&changed(&plan, r#"Reverse("frame")"#));
    assert_sound(&before);
    assert_sound(&after);
    assert_close(station(&before, "frame", "fwd"), edge - f);
    assert_close(station(&before, "frame", "aft"), edge);
    assert_close(station(&after, "frame", "fwd"), edge);
    assert_close(station(&after, "frame", "aft"), edge + f);
    let shift = |face| station(&after, "frame", face) - station(&before, "frame", face);
    assert_close(shift("fwd"), f);
    assert_close(shift("aft"), f);
    assert_close(shift("flange_edge"), 0.0);
    assert_close(shift("web_fwd"), 2.0 * f - t);
    assert_close(shift("web_aft"), 2.0 * f - t);
    assert_close(
        size(&after, "rail", "length") - size(&before, "rail", "length"),
        f,
    );
    assert_close(size(&after, "rail", "length"), edge);
    assert_close(
        size(&after, "aft rail", "length") - size(&before, "aft rail", "length"),
        -f,
    );
    assert_close(size(&after, "aft rail", "length"), 20.0 * INCH - f);
}

#[test]
fn reversing_a_flange_does_not_move_a_web_whose_station_is_stated() {
    // Trade reference, section 5: flipping a flange doesn't move the web's plane unless the station is that of the flange
    // edge (common practice, no source). The foremost metal then goes forward by f - t, the aftmost by the same.
    let (f, t) = (0.625 * INCH, 0.032 * INCH);
    let plan = changed(
        &edge_held(),
        r#"Replace("edge", Spaced(from: "datum.station", to: "frame.web_fwd", by: "20 in"))"#,
    );
    let before = layout(&plan);
    let after = layout(&changed(&plan, r#"Reverse("frame")"#));
    assert_sound(&after);
    let shift = |face| station(&after, "frame", face) - station(&before, "frame", face);
    assert_close(shift("web_fwd"), 0.0);
    assert_close(shift("web_aft"), 0.0);
    assert_close(shift("fwd"), t - f);
    assert_close(shift("aft"), t - f);
    assert_close(
        size(&after, "rail", "length") - size(&before, "rail", "length"),
        t - f,
    );
}

#[test]
fn the_foremost_metal_after_a_reversal_is_the_flange_edge() {
    let plan = edge_held();
    for (document, fwd, aft) in [
        (plan.clone(), "web_fwd", "flange_edge"),
        (
            changed(&plan, r#"Reverse("frame")"#),
            "flange_edge",
            "web_aft",
        ),
    ] {
        let layout = layout(&document);
        assert_eq!(place(&layout, "frame", "fwd"), place(&layout, "frame", fwd));
        assert_eq!(place(&layout, "frame", "aft"), place(&layout, "frame", aft));
        let frame = part(&layout, "frame");
        let looks = |face: &str| frame.feature(face).unwrap().direction.unwrap()[0];
        assert_close(looks("fwd"), -1.0);
        assert_close(looks("aft"), 1.0);
        // the metal itself reaches no further than these two faces
        let [least, most] = frame.extent_mm[0];
        assert_close(least, station(&layout, "frame", "fwd"));
        assert_close(most, station(&layout, "frame", "aft"));
    }
}

/// A frame, an angle of 3/16 in stock on its aft face at the lower bolts, and a spar behind both: below on the angle, above on
/// the frame itself or a packer on it. Bolts lie 1/2 in and 9 1/2 in up, so 9 in apart.
fn beside_an_angle(packer: &str, upright: &str, spar: &str, frame: &str) -> Document {
    document(
        "Inch",
        &format!(
            r#"parts: {{
                "frame": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in", holes: {{"upper bolt": (wl: "9 1/2 in", diameter: "3/16 in")}}, at: (bl: 0, wl: 0 {frame}),
                "angle": Angle(runs: Across, length: "30 in", legs: (up: "1 in", aft: "1 in"), thickness: "3/16 in", holes: {{"lower bolt": (bl: "15 in", wl: "1/2 in", along: Station, diameter: "3/16 in")}}, at: (bl: "-15 in", wl: 0)),
                "packer": Spacer(lies: Across, thickness: {packer}, diameter: "1 in"),
                "spar": Spar(web: "0.040 in", span: "30 in", height: "9 1/2 in", aft_caps: (leg: "3/4 in", thickness: "1/8 in"), at: (bl: 0, wl: "1/4 in" {spar}),
            }},
            relations: {{
                "angle on frame": BoltedBehind(part: "angle", to: "frame", with: AN3, count: 2),
                "spar on angle": BoltedBehind(part: "spar", to: "angle.inside_aft", at: "angle.lower bolt", with: AN3, count: 2),
                "spar on frame": BoltedBehind(part: "spar", to: "frame", through: ["packer"], at: "frame.upper bolt", with: AN3, count: 2),
                {upright}
            }},"#
        ),
    )
}

const SPAR_FOUND: &str = r#"), turn: (pitch: Find)"#;
const SPAR_HELD: &str = ")";
const FRAME_HELD: &str = r#", fs: "20 in")"#;

#[test]
fn a_frame_beside_an_angle_needs_a_packer_of_the_angles_thickness() {
    // common practice, no source: 3/16 in = 4.7625 mm; the packer is found, both parts stand upright
    let upright = r#""spar upright": Upright("spar.web_fwd"),"#;
    for (spar, upright) in [(SPAR_FOUND, upright), (SPAR_HELD, "")] {
        let layout = layout(&beside_an_angle("Find", upright, spar, FRAME_HELD));
        assert_sound(&layout);
        assert_close(size(&layout, "packer", "thickness"), 4.7625);
        assert_close(part(&layout, "spar").turn_deg[1], 0.0);
        // 20 + 0.032 + 3/16
        assert_close(station(&layout, "spar", "web_fwd"), 20.2195 * INCH);
    }
}

#[test]
fn with_its_packer_the_spar_stands_upright_and_without_it_cants() {
    // With a packer of 3/16 in nothing says that the spar is upright, and it is. Without it the spar's forward face touches
    // the angle at (x0 + t, z1) and the frame at (x0, z2): a plane turned by the pitch p about the buttock-line axis has the
    // direction (sin p, cos p) in (station, waterline), so tan p = (x0 - (x0 + t)) / (z2 - z1) = -(3/16) / 9: the top leans
    // forward by 1.1935 deg.
    let exact = -(0.1875_f64 / 9.0).atan().to_degrees();
    let plan = beside_an_angle(r#""3/16 in""#, "", SPAR_FOUND, FRAME_HELD);
    let with = layout(&plan);
    assert_sound(&with);
    assert_close(part(&with, "spar").turn_deg[1], 0.0);

    let without = layout(&changed(&plan, r#"Drop("packer")"#));
    assert_sound(&without);
    let spar = part(&without, "spar");
    assert!(
        (spar.turn_deg[1] - exact).abs() < 1e-10,
        "{:?} for {exact}",
        spar.turn_deg
    );
    assert_close(spar.turn_deg[0], 0.0);
    assert_close(spar.turn_deg[2], 0.0);
    // both contacts lie on the spar's forward face
    let face = spar.feature("web_fwd").unwrap();
    let normal = face.direction.unwrap();
    for (part, hole, face_of) in [
        ("frame", "upper bolt", "aft"),
        ("angle", "lower bolt", "inside_aft"),
    ] {
        let mut contact = place(&without, part, hole);
        contact[0] = station(&without, part, face_of);
        let gap: f64 = (0..3)
            .map(|axis| normal[axis] * (contact[axis] - face.at_mm[axis]))
            .sum();
        assert_close(gap, 0.0);
    }
    // the frame doesn't move for it
    assert_eq!(
        place(&without, "frame", "aft"),
        place(&with, "frame", "aft")
    );
}

#[test]
fn held_upright_without_its_packer_the_spar_is_at_odds_by_the_thickness() {
    // the same, but that the spar stands upright is stated by leaving no turn to find: two contacts, one station
    let plan = beside_an_angle(r#""3/16 in""#, "", SPAR_HELD, FRAME_HELD);
    assert!(layout(&plan).at_odds.is_empty());
    let without = layout(&changed(&plan, r#"Drop("packer")"#));
    let [odd] = &without.at_odds[..] else {
        panic!("{:#?}", without.at_odds)
    };
    assert_eq!(odd.statement, "spar on frame");
    assert_close(odd.miss.abs(), 4.7625);
    assert_close(station(&without, "spar", "web_fwd"), 20.2195 * INCH);
}

#[test]
fn a_wrong_packer_cants_by_the_difference() {
    // tan p = (packer - 3/16) / 9
    for (packer, inches) in [("1/8 in", 0.125), ("1/4 in", 0.25)] {
        let layout = layout(&beside_an_angle(
            &format!("{packer:?}"),
            "",
            SPAR_FOUND,
            FRAME_HELD,
        ));
        assert_sound(&layout);
        // the packer stays square: its aft face's middle touches
        let exact = ((inches - 0.1875_f64) / 9.0).atan().to_degrees();
        let found = part(&layout, "spar").turn_deg[1];
        assert!((found - exact).abs() < 1e-10, "{found} for {exact}");
    }
}

#[test]
fn legs_are_measured_over_the_outside_corner() {
    // Common practice, no source: a 1 x 3/4 x 1/8 in angle measures 1 in from the outside corner to the edge of a leg,
    // and 7/8 in along the inside of it.
    let layout = layout(&document(
        "Inch",
        r#"parts: {
            "angle": Angle(runs: FwdAft, length: "10 in", legs: (down: "1 in", right: "3/4 in"), thickness: "1/8 in", at: (fs: "5 in", bl: "2 in", wl: "30 in")),
        },"#,
    ));
    let at = |face: &str, axis: usize| place(&layout, "angle", face)[axis] / INCH;
    // the origin is the outside corner: top and left are the outside faces
    assert_close(at("top", 2), 30.0);
    assert_close(at("left", 1), 2.0);
    assert_close(at("bottom", 2), 29.0);
    assert_close(at("right", 1), 2.75);
    assert_close(at("inside_bottom", 2), 29.875);
    assert_close(at("inside_right", 1), 2.125);
    assert_close(at("inside_bottom", 2) - at("bottom", 2), 0.875);
    assert_close(at("right", 1) - at("inside_right", 1), 0.625);
    assert_close(at("fwd_end", 0), 5.0);
    assert_close(at("aft_end", 0), 15.0);
    let extent = part(&layout, "angle").extent_mm;
    for (axis, [least, most]) in [[5.0, 15.0], [2.0, 2.75], [29.0, 30.0]]
        .into_iter()
        .enumerate()
    {
        assert_close(extent[axis][0], least * INCH);
        assert_close(extent[axis][1], most * INCH);
    }
}

#[test]
fn stations_count_aft_buttock_lines_right_and_waterlines_up() {
    // HB-31 ch. 1, "Location Numbering Systems" (read): frame station 137 lies 137 in behind the zero.
    // Lofting coordinates, FS 93 / WL 100 and FS 276 / WL 101 (read, Wikipedia); their distance 183.003 in is computed:
    // sqrt(183^2 + 1^2).
    let document = document(
        "Inch",
        r#"parts: {
            "zero": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in", at: (bl: 0, wl: 0)),
            "frame": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, width: "30 in", height: "20 in", at: (bl: 0, wl: 0)),
            "points": Custom(points: {"nose": (fs: "93 in", wl: "100 in"), "tail": (fs: "276 in", wl: "101 in"), "right": (fs: "93 in", bl: "10 in", wl: "100 in")}, at: (fs: 0, bl: 0, wl: 0)),
        },
        relations: {
            "zero": Flush("zero.fwd", "datum.station"),
            "frame station": Spaced(from: "zero.fwd", to: "frame.web_fwd", by: "137 in"),
            "nose to tail": Spaced(from: "points.nose", to: "points.tail", by: Find(near: "100 in")),
            "tail to right": Spaced(from: "points.tail", to: "points.right", by: Find(near: "100 in")),
        },"#,
    );
    let layout = layout(&document);
    assert_sound(&layout);
    assert_close(station(&layout, "frame", "web_fwd") / INCH, 137.0);
    let found = |name: &str| {
        layout
            .found
            .iter()
            .find(|found| found.name.starts_with(name))
            .unwrap()
            .value
            / INCH
    };
    let distance = found("nose to tail");
    assert!((distance - 183.003).abs() < 0.0005, "{distance}");
    assert_close(distance, (183.0_f64.powi(2) + 1.0).sqrt());
    assert_close(
        found("tail to right"),
        (183.0_f64.powi(2) + 10.0_f64.powi(2) + 1.0).sqrt(),
    );
}

#[test]
fn axes_and_turns_are_right_handed() {
    // FS aft, BL right, WL up: x aft, y right, z up is the flight-mechanics frame (x forward, y right, z down; read) with two
    // axes turned round, so it is right-handed (computed). A quarter turn about each axis takes the next one to the one after.
    for (turn, from, to) in [("roll", 1, 2), ("pitch", 2, 0), ("yaw", 0, 1)] {
        let layout = layout(&document(
            "Inch",
            &format!(
                r#"parts: {{"body": Custom(points: {{"fs": (fs: 1), "bl": (bl: 1), "wl": (wl: 1)}}, at: (fs: 0, bl: 0, wl: 0), turn: ({turn}: "90 deg"))}},"#
            ),
        ));
        let name = ["fs", "bl", "wl"][from];
        let at = place(&layout, "body", name);
        for (axis, coordinate) in at.into_iter().enumerate() {
            assert_close(coordinate, if axis == to { INCH } else { 0.0 });
        }
    }
}

/// Sheets one behind the other, each against the one ahead of it.
fn stack() -> Document {
    let sheet = |name: &str, thickness: &str, at: &str| {
        format!(
            "\"{name}\": Plate(lies: Across, thickness: \"{thickness} in\", width: 10, height: 10, at: ({at}bl: 0, wl: 0)),"
        )
    };
    document(
        "Inch",
        &format!(
            "parts: {{{}{}{}{}}}, relations: {{
                \"b\": Against(\"b.fwd\", \"a.aft\"), \"c\": BoltedBehind(part: \"c\", to: \"b\"), \"d\": Flush(\"d.fwd\", \"c.aft\"),
            }},",
            sheet("a", "0.025", "fs: 10, "),
            sheet("b", "0.032", ""),
            sheet("c", "0.040", ""),
            sheet("d", "0.063", "")
        ),
    )
}

#[test]
fn other_stock_moves_what_lies_behind_by_the_difference_of_gauges() {
    // common practice, no source: 0.040 for 0.032 moves all that is stacked behind by 0.008 in, and nothing ahead
    let plan = stack();
    let before = layout(&plan);
    let after = layout(&changed(&plan, r#"Swap(part: "b", thickness: "0.040 in")"#));
    assert_sound(&after);
    for (part, face, by) in [
        ("a", "aft", 0.0),
        ("b", "fwd", 0.0),
        ("b", "aft", 0.008),
        ("c", "fwd", 0.008),
        ("c", "aft", 0.008),
        ("d", "aft", 0.008),
    ] {
        assert_close(
            (station(&after, part, face) - station(&before, part, face)) / INCH,
            by,
        );
    }
    assert_close(
        station(&before, "d", "aft") / INCH,
        10.0 + 0.025 + 0.032 + 0.040 + 0.063,
    );
}

#[test]
fn two_swaps_add_up() {
    let plan = stack();
    let after = layout(&changed(
        &changed(&plan, r#"Swap(part: "a", thickness: "0.020 in")"#),
        r#"Swap(part: "c", thickness: "0.063 in")"#,
    ));
    // -0.005 and +0.023
    assert_close(
        station(&after, "d", "fwd") / INCH,
        10.0 + 0.020 + 0.032 + 0.063,
    );
    assert_close(
        (station(&after, "d", "fwd") - station(&layout(&plan), "d", "fwd")) / INCH,
        0.018,
    );
}
