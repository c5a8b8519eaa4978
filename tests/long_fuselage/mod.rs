//! A generated fuselage of any number of bays, as a model file: for benches and for laws that need size.
//!
//! Ten parts a bay: a frame, rails and upper longerons on both sides (the longerons with a pitch to be
//! found), a floor, ribs on both sides, a packer and a rod. Some thirty unknowns a bay; two statements in
//! a hundred are spare, and every fiftieth bay has a figure that contradicts the others.

use std::fmt::Write;

/// What is planted in a generated fuselage.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Planted {
    /// Statements that follow from others and agree.
    pub spare: usize,
    /// Statements that don't agree.
    pub at_odds: usize,
    /// Ways left to move.
    pub freedoms: usize,
}

/// How often something is amiss.
#[derive(Clone, Copy, Debug)]
pub struct Every {
    /// Of so many bays one has a figure that contradicts the others.
    pub at_odds: usize,
    /// Of so many bays one has a rod of which nothing says how long it is.
    pub loose: usize,
}

/// The model text of `bays` bays that are all settled, and what is planted in it.
#[allow(dead_code, reason = "not every user needs it")]
pub fn model(bays: usize) -> (String, Planted) {
    model_with(
        bays,
        Every {
            at_odds: 50,
            loose: usize::MAX,
        },
    )
}

/// The model text of `bays` bays, and what is planted in it.
pub fn model_with(bays: usize, every: Every) -> (String, Planted) {
    let mut parts = String::new();
    let mut relations = String::new();
    let mut planted = Planted::default();
    // writing into a String can't fail
    let _ = frame(&mut parts, 0);
    for k in 0..bays {
        let _ = frame(&mut parts, k + 1);
        let _ = bay(&mut parts, &mut relations, k);
        if k % every.loose == every.loose / 2 {
            planted.freedoms += 1;
        } else {
            let _ = writeln!(
                relations,
                r#"        "rod {k} ends": Reaches(end: "rod {k}.aft_end", face: "frame {}.fwd"),"#,
                k + 1
            );
        }
        if k % 2 == 1 {
            planted.spare += 1;
            let _ = writeln!(
                relations,
                r#"        "check {k}": Spaced(from: "frame {}.web_fwd", to: "frame {}.web_fwd", by: "bay * 2"),"#,
                k - 1,
                k + 1
            );
        }
        if k % every.at_odds == every.at_odds / 2 {
            planted.at_odds += 1;
            let _ = writeln!(
                relations,
                r#"        "second figure {k}": (is: Spaced(from: "frame {k}.web_fwd", to: "frame {}.web_fwd", by: "bay + 1/8 in"), trust: Doubtful),"#,
                k + 1
            );
        }
    }
    let text = format!(
        r#"(
    format: 1,
    title: "Teasel, {bays} bays",
    unit: Inch,
    fit: "1/32 in",
    dimensions: {{ "bay": "11 1/4 in", "half width": "15 in", "rail height": "3 in" }},
    parts: {{
{parts}    }},
    relations: {{
        "first frame": Flush("frame 0.web_fwd", "datum.station"),
{relations}    }},
)
"#
    );
    (text, planted)
}

fn frame(parts: &mut String, k: usize) -> std::fmt::Result {
    // each frame a little narrower and lower than the one before, down to a third
    let taper = 1.0 / (1.0 + k as f64 / 200.0);
    writeln!(
        parts,
        r#"        "frame {k}": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, width: "{:.4} in", height: "{:.4} in", at: (bl: 0, wl: 0)),"#,
        30.0 * taper + 4.0,
        20.0 * taper + 4.0
    )
}

fn bay(parts: &mut String, relations: &mut String, k: usize) -> std::fmt::Result {
    let next = k + 1;
    writeln!(
        parts,
        r#"        "rail {k}": Angle(runs: FwdAft, length: Find, legs: (down: "1 in", left: "1 in"), thickness: "1/8 in", sides: Both),
        "longeron {k}": Bar(runs: FwdAft, length: Find, depth: "3/4 in", breadth: "3/4 in", turn: (pitch: Find), sides: Both),
        "floor {k}": Plate(lies: Flat, thickness: "0.025 in", length: Find, width: "20 in", at: (bl: 0)),
        "rib {k}": Rib(thickness: "0.025 in", flange: "5/8 in", flanges: Right, length: Find, height: "2 in", sides: Both),
        "packer {k}": Spacer(lies: Flat, thickness: Find, diameter: "1 in"),
        "rod {k}": Tube(runs: FwdAft, length: Find, diameter: "3/4 in", wall: "0.049 in", at: (bl: "1 in", wl: "8 in")),"#
    )?;
    writeln!(
        relations,
        r#"        "frame {next}": Spaced(from: "frame {k}.web_fwd", to: "frame {next}.web_fwd", by: "bay"),
        "rail {k} starts": Reaches(end: "rail {k}.fwd_end", face: "frame {k}.web_aft"),
        "rail {k} ends": Reaches(end: "rail {k}.aft_end", face: "frame {next}.web_fwd", short_by: "1/16 in"),
        "rail {k} height": Spaced(from: "datum.waterline", to: "rail {k}.top", by: "rail height"),
        "rail {k} apart": Spaced(from: "datum.buttock_line", to: "rail {k}.right", by: "half width / 2"),
        "longeron {k} starts": Reaches(end: "longeron {k}.fwd_end", face: "frame {k}.web_aft"),
        "longeron {k} ends": Reaches(end: "longeron {k}.aft_end", face: "frame {next}.web_fwd"),
        "longeron {k} at start": Touches("longeron {k}.fwd_end", "frame {k}.top"),
        "longeron {k} at end": Touches("longeron {k}.aft_end", "frame {next}.top"),
        "longeron {k} apart": Spaced(from: "datum.buttock_line", to: "longeron {k}.axis", by: "half width / 3"),
        "floor {k} on rail": Against("floor {k}.bottom", "rail {k} R.top"),
        "floor {k} starts": Reaches(end: "floor {k}.fwd", face: "frame {k}.aft"),
        "floor {k} ends": Reaches(end: "floor {k}.aft", face: "frame {next}.web_fwd"),
        "rib {k} starts": Reaches(end: "rib {k}.fwd", face: "frame {k}.aft"),
        "rib {k} ends": Reaches(end: "rib {k}.aft", face: "frame {next}.fwd"),
        "rib {k} apart": Spaced(from: "datum.buttock_line", to: "rib {k}.web_left", by: "half width / 2"),
        "rib {k} height": Spaced(from: "datum.waterline", to: "rib {k}.top", by: "rail height - 1/8 in - 0.05 in"),
        "packer {k}": BoltedTo(part: "rail {k} R.inside_bottom", to: "rib {k} R.top", side: Up, through: ["packer {k}"]),
        "rod {k} starts": Reaches(end: "rod {k}.fwd_end", face: "frame {k}.fwd"),"#
    )
}
