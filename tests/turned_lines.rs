//! Lines and faces turned about each of the three axes: a turn that one statement gives is found, whichever axis it is about.
//! The answer is the stated angle itself.

use crate::model_text::{assembled, document, part};
use strongback_model::layout::{Layout, PlacedPart};

const AXES: [&str; 3] = ["Station", "ButtockLine", "Waterline"];
const TURNS: [&str; 3] = ["roll", "pitch", "yaw"];

/// A guide turned by a stated angle and a follower whose turn is found from one statement between lines of the two.
#[test]
fn a_line_parallel_to_a_turned_one_turns_with_it() {
    let mut wrong = Vec::new();
    for (axis, turn) in TURNS.into_iter().enumerate() {
        for along in AXES
            .into_iter()
            .enumerate()
            .filter(|(at, _)| *at != axis)
            .map(|(_, along)| along)
        {
            for degrees in [5.0, -5.0, 0.0, 30.0] {
                for near in [0.0, 1.0, -2.0, 20.0] {
                    for relation in [
                        "Parallel(\"follower.line\", \"guide.line\")",
                        "Parallel(\"guide.line\", \"follower.line\")",
                    ] {
                        let document = document(
                            "Inch",
                            &format!(
                                r#"parts: {{
                                    "guide": Custom(lines: {{"line": (along: {along})}}, at: (fs: 0, bl: 0, wl: 0), turn: ({turn}: "{degrees} deg")),
                                    "follower": Custom(lines: {{"line": (along: {along})}}, at: (fs: 9, bl: 8, wl: 7), turn: ({turn}: Find(near: "{near} deg"))),
                                }}, relations: {{"parallel": {relation}}},"#
                            ),
                        );
                        let assembly = assembled(&document);
                        let told = match assembly.solve() {
                            Err(fault) => format!("{fault:?}"),
                            Ok(solved) => {
                                let layout = solved.layout();
                                let found = part(&layout, "follower").turn_deg[axis];
                                if layout.is_sound() && (found - degrees).abs() < 1e-8 {
                                    continue;
                                }
                                format!(
                                    "{found}, at odds {:?}, loose {:?}",
                                    layout.at_odds, layout.loose
                                )
                            }
                        };
                        wrong.push(format!("{turn} {degrees} of a line along {along} from {near}, {relation}: {told}"));
                    }
                }
            }
        }
    }
    none_wrong(&wrong);
}

/// A follower with one point held and another point of it on the line of a turned guide: two rows, one turn and two places.
#[test]
fn a_part_in_line_with_a_turned_one_turns_with_it() {
    let mut wrong = Vec::new();
    for (axis, turn) in TURNS.into_iter().enumerate() {
        for (at, along) in AXES.into_iter().enumerate().filter(|(at, _)| *at != axis) {
            for degrees in [5.0, -5.0, 0.0, 30.0] {
                for near in [0.0, 1.0, -2.0, 20.0] {
                    // the follower's origin is held along the line only
                    let short = ["fs", "bl", "wl"][at];
                    let document = document(
                        "Inch",
                        &format!(
                            r#"parts: {{
                                "guide": Custom(lines: {{"line": (along: {along})}}, at: (fs: 0, bl: 0, wl: 0), turn: ({turn}: "{degrees} deg")),
                                "follower": Custom(lines: {{"line": (along: {along})}}, at: ({short}: 12), turn: ({turn}: Find(near: "{near} deg"))),
                            }}, relations: {{"in line": InLine(["guide.line", "follower.line"])}},"#
                        ),
                    );
                    let assembly = assembled(&document);
                    let told = match assembly.solve() {
                        Err(fault) => format!("{fault:?}"),
                        Ok(solved) => {
                            let layout = solved.layout();
                            let follower = part(&layout, "follower");
                            let line = part(&layout, "guide")
                                .feature("line")
                                .unwrap()
                                .direction
                                .unwrap();
                            let along_line: f64 =
                                (0..3).map(|i| line[i] * follower.origin_mm[i]).sum();
                            let off: f64 = (0..3)
                                .map(|i| (follower.origin_mm[i] - along_line * line[i]).powi(2))
                                .sum::<f64>()
                                .sqrt();
                            if layout.is_sound()
                                && (follower.turn_deg[axis] - degrees).abs() < 1e-8
                                && off < 1e-8
                            {
                                continue;
                            }
                            told_of(&layout, follower)
                        }
                    };
                    wrong.push(format!(
                        "{turn} {degrees} of a line along {along} from {near}: {told}"
                    ));
                }
            }
        }
    }
    none_wrong(&wrong);
}

/// Faces spaced from a canted one: the face follows the cant, about each axis.
#[test]
fn a_face_spaced_from_a_canted_one_cants_with_it() {
    let mut wrong = Vec::new();
    for (axis, turn) in TURNS.into_iter().enumerate() {
        for (at, side) in ["Aft", "Right", "Up"]
            .into_iter()
            .enumerate()
            .filter(|(at, _)| *at != axis)
        {
            for degrees in [5.0, -5.0, 0.0, 30.0] {
                for near in [0.0, 1.0, -2.0, 20.0] {
                    let others: String = (0..3)
                        .filter(|other| *other != at)
                        .map(|other| format!("{}: 3, ", ["fs", "bl", "wl"][other]))
                        .collect();
                    let document = document(
                        "Inch",
                        &format!(
                            r#"parts: {{
                                "guide": Custom(planes: {{"face": (looks: {side})}}, at: (fs: 0, bl: 0, wl: 0), turn: ({turn}: "{degrees} deg")),
                                "follower": Custom(planes: {{"face": (looks: {side})}}, at: ({others}), turn: ({turn}: Find(near: "{near} deg"))),
                            }}, relations: {{"spaced": Spaced(from: "guide.face", to: "follower.face", by: "10 in")}},"#
                        ),
                    );
                    let assembly = assembled(&document);
                    let told = match assembly.solve() {
                        Err(fault) => format!("{fault:?}"),
                        Ok(solved) => {
                            let layout = solved.layout();
                            let follower = part(&layout, "follower");
                            let normal = part(&layout, "guide")
                                .feature("face")
                                .unwrap()
                                .direction
                                .unwrap();
                            let apart: f64 =
                                (0..3).map(|i| normal[i] * follower.origin_mm[i]).sum();
                            if layout.is_sound()
                                && (follower.turn_deg[axis] - degrees).abs() < 1e-8
                                && (apart - 254.0).abs() < 1e-8
                            {
                                continue;
                            }
                            told_of(&layout, follower)
                        }
                    };
                    wrong.push(format!(
                        "{turn} {degrees} of a face that looks {side} from {near}: {told}"
                    ));
                }
            }
        }
    }
    none_wrong(&wrong);
}

/// Where a part came to lie, and what the layout says of it.
fn told_of(layout: &Layout, part: &PlacedPart) -> String {
    format!(
        "{:?} {:?}, at odds {:?}, loose {:?}",
        part.turn_deg, part.origin_mm, layout.at_odds, layout.loose
    )
}

fn none_wrong(wrong: &[String]) {
    assert!(
        wrong.is_empty(),
        "{} wrong, such as {:#?}",
        wrong.len(),
        &wrong[..wrong.len().min(6)]
    );
}
