//! What a person reads when a model can't be used. In: broken models, broken files and words that mean nothing.
//! Out: for each, exit status 2, nothing on standard output, nothing written, and a message that says what is wrong,
//! where, and what would be right; the messages stand in `snapshots/`.

mod bench;
mod commands;
mod files;
mod measurements;
mod statements;

use std::fs;
use std::process::ExitCode;

use bench::Bench;

/// Two bulkheads with a rail on each side between them: nothing wrong with it.
const SOUND: &str = r#"(
    format: 1,
    title: "Two bulkheads",
    unit: Inch,
    fit: "1/32 in",
    sheets: { "S1": "side view" },
    dimensions: {
        "bay": (is: "11 1/4 in", sheet: "S1"),
        "lean": (is: "3 deg"),
    },
    parts: {
        "firewall": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in", at: (bl: 0, wl: 0)),
        "frame": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft,
            width: "30 in", height: "19 in", at: (bl: 0, wl: 0)),
        "rail": Angle(runs: FwdAft, length: Find, legs: (down: "1 in", left: "1 in"), thickness: "1/8 in",
            at: (bl: 11, wl: 4), sides: Both),
        "pin": Custom(points: {"eye": ()}, at: (fs: 5, bl: 0, wl: 10)),
    },
    relations: {
        "firewall at datum": Flush("firewall.aft", "datum.station"),
        "spacing": Spaced(from: "firewall.aft", to: "frame.web_fwd", by: "bay"),
        "rail starts": Reaches(end: "rail.fwd_end", face: "firewall.aft"),
        "rail ends": Reaches(end: "rail.aft_end", face: "frame.fwd"),
    },
    must_fit: {
        "room": Between(from: "firewall.aft", to: "frame.web_fwd", at_least: "11 in"),
    },
    deviations: {
        "forward": (why: "smooth", changes: [Reverse("frame")]),
        "longer": (changes: [Set("bay", "12 in")]),
        "no such part": (changes: [Reverse("farme")]),
        "no flange": (changes: [Reverse("firewall")]),
        "backwards": (changes: [Set("bay", "-12 in")]),
    },
)
"#;

/// The tutorial's model.
const FIRST_BAY: &str = include_str!("../demo-models/first-bay.ron");

/// Each case: what is wrong in it, and what of the sound model is written otherwise, and how.
type Cases = [(&'static str, &'static str, &'static str)];

/// The messages of all cases under each other. Each has to point at a place of the file.
fn messages(cases: &Cases) -> String {
    let mut all = String::new();
    for (what, from, to) in cases {
        assert!(
            SOUND.contains(from),
            "{what}: the sound model has no {from}"
        );
        let message = model_refused(&SOUND.replacen(from, to, 1));
        assert!(
            message.contains("model.ron:"),
            "{what}: no line is told:\n{message}"
        );
        assert!(
            message.contains('^'),
            "{what}: no place is underlined:\n{message}"
        );
        all.push_str(&format!("## {what}: {to}\n{}\n\n", message.trim_end()));
    }
    all
}

fn model_refused(text: &str) -> String {
    let bench = Bench::with(text.as_bytes());
    let message = bench.refused(&["locate", "<model.ron>"]);
    assert_eq!(
        fs::read_to_string(bench.folder.path().join("model.ron")).unwrap(),
        text
    );
    message
}

#[test]
fn the_model_that_is_broken_here_is_sound() {
    let told = Bench::with(SOUND.as_bytes()).run(&["locate", "<model.ron>"]);
    assert_eq!(told.status, ExitCode::from(0), "{}{}", told.out, told.err);
    assert_eq!(told.err, "");
}
