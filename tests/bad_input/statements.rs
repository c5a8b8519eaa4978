//! What a model says that it can't mean: names, quantities, sizes and statements.

use std::process::ExitCode;

use super::bench::Bench;
use super::{SOUND, messages, model_refused};

#[test]
fn unknown_names() {
    let all = messages(&[
        (
            "part",
            r#"to: "frame.web_fwd", by"#,
            r#"to: "farme.web_fwd", by"#,
        ),
        (
            "part, of a name with a full stop",
            r#"to: "frame.web_fwd", by"#,
            r#"to: "frame no. 2.web_fwd", by"#,
        ),
        ("face", r#"face: "frame.fwd""#, r#"face: "frame.web_fdw""#),
        (
            "face that another kind has",
            r#"face: "firewall.aft""#,
            r#"face: "firewall.web_aft""#,
        ),
        (
            "whole part for a face",
            r#"face: "frame.fwd""#,
            r#"face: "frame""#,
        ),
        (
            "face of a part on both sides, one hand",
            r#"end: "rail.aft_end""#,
            r#"end: "rail X.aft_end""#,
        ),
        (
            "face by the other hand's side, of parts on both sides",
            r#"end: "rail.aft_end""#,
            r#"end: "rail.inside_right""#,
        ),
        (
            "end of a part that runs another way",
            r#"end: "rail.aft_end""#,
            r#"end: "rail.upper_end""#,
        ),
        (
            "face by another word of the trade",
            r#"face: "frame.fwd""#,
            r#"face: "frame.web_back""#,
        ),
        ("kind by another word", "Frame(", "Bulkhead("),
        ("relation by another word", "Spaced(", "Distance("),
        (
            "field that another kind has",
            "Plate(lies: Across,",
            "Plate(outline: [], lies: Across,",
        ),
        (
            "sheet of another number",
            r#"sheet: "S1""#,
            r#"sheet: "S2""#,
        ),
        (
            "fastener by its number with a length",
            r#"Reaches(end: "rail.aft_end", face: "frame.fwd")"#,
            r#"BoltedBehind(part: "frame", to: "rail", with: "MS20470AD4-5")"#,
        ),
        ("dimension", r#"by: "bay""#, r#"by: "bya""#),
        (
            "size in an expression",
            r#"by: "bay""#,
            r#"by: "bay + frame.thickness + rail.lenght""#,
        ),
        (
            "relation kind",
            r#"Reaches(end: "rail.aft_end""#,
            r#"Reach(end: "rail.aft_end""#,
        ),
        ("must-fit kind", "Between(", "Betwixt("),
        ("part kind", "Frame(", "Fraem("),
        ("change kind", "Reverse(\"frame\")", "Flip(\"frame\")"),
        (
            "field of a part",
            r#"width: "30 in", height: "19 in""#,
            r#"widht: "30 in", height: "19 in""#,
        ),
        ("field of the file", "relations: {", "relation: {"),
        ("field of a relation", r#"by: "bay""#, r#"apart: "bay""#),
        ("sheet", r#"sheet: "S1""#, r#"sheet: "S11""#),
        ("unit of the file", "unit: Inch", "unit: Inches"),
        ("word of a choice", "flanges: Aft", "flanges: Rear"),
    ]);
    insta::assert_snapshot!(all);
}

#[test]
fn quantities_that_do_not_fit() {
    let all = messages(&[
        (
            "length and angle added",
            r#"by: "bay""#,
            r#"by: "bay + lean""#,
        ),
        ("angle for a length", r#"by: "bay""#, r#"by: "lean""#),
        (
            "length for an angle",
            "at: (bl: 11, wl: 4)",
            r#"at: (bl: 11, wl: 4), turn: (yaw: "1/2 in")"#,
        ),
        ("area for a length", r#"by: "bay""#, r#"by: "bay * bay""#),
        (
            "unknown unit",
            r#"flange: "5/8 in""#,
            r#"flange: "5/8 inn""#,
        ),
        (
            "no unit like it",
            r#"flange: "5/8 in""#,
            r#"flange: "5/8 furlong""#,
        ),
        (
            "decimal comma",
            r#"flange: "5/8 in""#,
            r#"flange: "0,625 in""#,
        ),
        (
            "hyphen before a fraction",
            r#"is: "11 1/4 in""#,
            r#"is: "11-1/4 in""#,
        ),
        ("nothing after a plus", r#"by: "bay""#, r#"by: "bay +""#),
        (
            "division by zero",
            r#"flange: "5/8 in""#,
            r#"flange: "5/0 in""#,
        ),
        ("nothing at all", r#"flange: "5/8 in""#, r#"flange: """#),
        ("a name without quotes", r#"by: "bay""#, "by: bay"),
        (
            "a unit without quotes",
            r#"flange: "5/8 in""#,
            "flange: 5/8 in",
        ),
        (
            "Find where a figure is wanted",
            r#"fit: "1/32 in""#,
            "fit: Find",
        ),
        ("Find misspelt", "length: Find", "length: Fnid"),
        ("a truth", r#"flange: "5/8 in""#, "flange: true"),
        (
            "size of two kinds",
            r#"relations: {"#,
            r#"relations: { "x": SameSize("rail L.length", "lean"),"#,
        ),
    ]);
    insta::assert_snapshot!(all);
}

#[test]
fn circular_figures() {
    let all = messages(&[
        ("itself", r#"is: "11 1/4 in""#, r#"is: "bay + 1 in""#),
        (
            "two",
            r#""lean": (is: "3 deg")"#,
            r#""lean": (is: "a"), "a": (is: "lean / 2")"#,
        ),
        (
            "three",
            r#""lean": (is: "3 deg")"#,
            r#""lean": (is: "a"), "a": (is: "b"), "b": (is: "lean")"#,
        ),
    ]);
    insta::assert_snapshot!(all);
    let text = SOUND
        .replacen(r#"is: "11 1/4 in""#, r#"is: "frame.width / 2""#, 1)
        .replacen(
            r#"width: "30 in", height: "19 in""#,
            r#"width: "bay * 2", height: "19 in""#,
            1,
        );
    let all = model_refused(&text);
    insta::assert_snapshot!(all);
}

#[test]
fn sizes_that_metal_can_not_have() {
    let all = messages(&[
        ("zero", r#"flange: "5/8 in""#, "flange: 0"),
        (
            "below zero",
            r#"thickness: "1/8 in""#,
            r#"thickness: "-1/8 in""#,
        ),
        (
            "below zero by an expression",
            r#"flange: "5/8 in""#,
            r#"flange: "bay - 1 ft""#,
        ),
        ("next to nothing", r#"flange: "5/8 in""#, "flange: 1e-30"),
        ("infinite", r#"flange: "5/8 in""#, "flange: inf"),
        ("no number", r#"flange: "5/8 in""#, "flange: NaN"),
        ("beyond all numbers", r#"flange: "5/8 in""#, "flange: 1e999"),
        (
            "a thousand kilometres",
            r#"flange: "5/8 in""#,
            r#"flange: "1000000 m""#,
        ),
        ("a far position", "bl: 11", "bl: 1e300"),
        (
            "flange within its bend",
            r#"flange: "5/8 in""#,
            r#"flange: "1/4 in", radius: "1/2 in""#,
        ),
        (
            "leg within its thickness",
            r#"down: "1 in""#,
            r#"down: "1/8 in""#,
        ),
        ("tolerance of zero", r#"fit: "1/32 in""#, "fit: 0"),
        (
            "tolerance of zero for what states none",
            r#"fit: "1/32 in","#,
            r#"fit: "1/32 in", within: "0 in","#,
        ),
        (
            "a tolerance to be found",
            r#"fit: "1/32 in","#,
            r#"fit: "1/32 in", within: Find,"#,
        ),
        (
            "a tolerance of the whole file that is an angle",
            r#"fit: "1/32 in","#,
            r#"fit: "1/32 in", within: "1/4 deg","#,
        ),
        (
            "an angle's tolerance that is a length",
            r#"(is: "3 deg")"#,
            r#"(is: "3 deg", within: "1/32 in")"#,
        ),
        (
            "a length's tolerance that is an angle",
            r#"(is: "11 1/4 in", sheet"#,
            r#"(is: "11 1/4 in", within: "1 deg", sheet"#,
        ),
        (
            "gap below zero",
            r#"face: "frame.fwd""#,
            r#"face: "frame.fwd", short_by: "-1/16 in""#,
        ),
        (
            "bolts, none of them",
            "relations: {",
            r#"relations: { "x": BoltedBehind(part: "frame", to: "firewall", count: 0),"#,
        ),
        (
            "left-hand place for a part on both sides",
            "at: (bl: 11, wl: 4)",
            "at: (bl: -11, wl: 4)",
        ),
        ("found below zero", r#"by: "bay""#, r#"by: "-5 in""#),
        ("found at zero", r#"by: "bay""#, r#"by: "0 in""#),
    ]);
    insta::assert_snapshot!(all);
}

#[test]
fn names_given_twice() {
    let all = messages(&[
        ("dimensions", r#""lean": ("#, r#""bay": ("#),
        ("parts", r#""frame": Frame"#, r#""firewall": Frame"#),
        ("relations", r#""rail ends": "#, r#""rail starts": "#),
        (
            "part named as the airframe",
            r#""firewall": Plate"#,
            r#""datum": Plate"#,
        ),
        (
            "part named as one of two",
            r#""firewall": Plate"#,
            r#""rail L": Plate"#,
        ),
        (
            "statement named as one of two",
            r#""spacing": "#,
            r#""rail ends R": "#,
        ),
        (
            "dimension named as a size",
            r#""lean": ("#,
            r#""frame.flange": ("#,
        ),
        ("no name", r#""lean": ("#, r#""": ("#),
        (
            "blank at the end of a name",
            r#""lean": ("#,
            r#""lean ": ("#,
        ),
        ("field", "unit: Inch,", "unit: Inch, unit: Millimetre,"),
        (
            "face held to itself",
            r#""firewall.aft", "datum.station""#,
            r#""firewall.aft", "firewall.aft""#,
        ),
    ]);
    insta::assert_snapshot!(all);
}

#[test]
fn parts_and_statements_that_say_too_little() {
    let all = messages(&[
        (
            "part that no relation reaches",
            r#""rail": Angle"#,
            r#""packer": Spacer(lies: Across, thickness: "1/4 in", diameter: "1 in"), "rail": Angle"#,
        ),
        (
            "part on both sides that no relation reaches, one coordinate stated",
            r#""rail": Angle"#,
            r#""clip": Spacer(lies: Across, thickness: "1/4 in", diameter: "1 in", at: (bl: 3), sides: Both), "rail": Angle"#,
        ),
        ("part without a size", r#", height: "19 in""#, ""),
        (
            "angle with one leg",
            r#"down: "1 in", left: "1 in""#,
            r#"down: "1 in""#,
        ),
        (
            "angle with legs in line",
            r#"down: "1 in", left: "1 in""#,
            r#"down: "1 in", up: "1 in""#,
        ),
        (
            "must-fit that nothing fits",
            r#"at_least: "11 in""#,
            r#"at_least: "11 in", at_most: "1/2 in""#,
        ),
        ("must-fit without a limit", r#", at_least: "11 in""#, ""),
        ("relation without its distance", r#", by: "bay""#, ""),
        (
            "row of one",
            "relations: {",
            r#"relations: { "row": EvenlySpaced(faces: ["frame.fwd"]),"#,
        ),
        ("no format", "format: 1,", ""),
    ]);
    insta::assert_snapshot!(all);
    let head = r#"(format: 1, title: "Nothing yet", unit: Inch, fit: "1/32 in", parts: {})"#;
    let mut all = model_refused(head);
    all.push_str(&model_refused(&SOUND.replacen("format: 1", "format: 2", 1)));
    insta::assert_snapshot!(all);
}

#[test]
fn statements_that_nobody_can_mean() {
    let all = messages(&[
        (
            "distance to a side along which the face lies",
            r#"by: "bay""#,
            r#"by: "bay", toward: Left"#,
        ),
        (
            "faces square to each other in one plane",
            "relations: {",
            r#"relations: { "x": Flush("frame.top", "firewall.aft"),"#,
        ),
        (
            "straight distance below zero",
            r#"by: "bay""#,
            r#"by: "bay"), "x": Spaced(from: "rail L.corner", to: "rail R.corner", by: "-1 in""#,
        ),
        (
            "bolted by a face that looks away",
            "relations: {",
            r#"relations: { "x": BoltedBehind(part: "frame.web_aft", to: "firewall"),"#,
        ),
        (
            "bolted to a face that looks away",
            "relations: {",
            r#"relations: { "x": BoltedBehind(part: "frame", to: "firewall.fwd"),"#,
        ),
        (
            "bolted by a face square to the bolts",
            "relations: {",
            r#"relations: { "x": BoltedBehind(part: "frame.top", to: "firewall.aft"),"#,
        ),
        (
            "faces that look the same way against each other",
            "relations: {",
            r#"relations: { "x": Against("frame.web_aft", "firewall.aft"),"#,
        ),
        (
            "midway between faces square to each other",
            "relations: {",
            r#"relations: { "x": Centred(what: "frame.web_fwd", between: ("firewall.aft", "rail R.top")),"#,
        ),
        (
            "clear of a part without metal",
            r#""room": Between("#,
            r#""clear": Clear(between: ("pin", "frame"), at_least: "1/8 in"), "room": Between("#,
        ),
        (
            "bolted through itself",
            "relations: {",
            r#"relations: { "x": BoltedBehind(part: "rail L", to: "frame", through: ["rail L"]),"#,
        ),
        (
            "mirror image of itself",
            "relations: {",
            r#"relations: { "x": MirrorOf(part: "rail", of: "rail"),"#,
        ),
    ]);
    insta::assert_snapshot!(all);
}

#[test]
fn statements_that_can_not_hold_are_no_bad_input() {
    let text = SOUND.replacen(
        "relations: {",
        r#"relations: { "given twice": (is: Spaced(from: "firewall.aft", to: "frame.web_fwd", by: "12 in"), sheet: "S1"),"#,
        1,
    );
    let told = Bench::with(text.as_bytes()).run(&["locate", "<model.ron>"]);
    assert_eq!(told.status, ExitCode::from(1), "{}{}", told.out, told.err);
    assert_eq!(told.err, "");
    let odds: Vec<&str> = told
        .out
        .lines()
        .filter(|line| line.contains("t odds") || line.trim_start().starts_with("against"))
        .collect();
    let odds = odds.join("\n");
    insta::assert_snapshot!(odds);
}
