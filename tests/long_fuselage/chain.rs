//! The chain: each bay hangs on the one before, so that it is solved bay by bay.
//!
//! Ten parts a bay: a frame, rails and upper longerons on both sides (the longerons with a pitch to be found), a floor, ribs on
//! both sides, a packer and a rod.

use std::fmt::Write;

use super::{Draft, Every};

/// From frame to frame, in inches.
pub(super) const SPACING: f64 = 11.25;

/// The first frame, at the datum.
pub(super) fn first(draft: &mut Draft) -> std::fmt::Result {
    writeln!(
        draft.relations,
        r#"        "first frame": Flush("frame 0.web_fwd", "datum.station"),"#
    )?;
    frame(&mut draft.parts, 0)
}

/// Bay `k`, from frame `k` to the next one.
pub(super) fn bay(draft: &mut Draft, k: usize, every: Every) -> std::fmt::Result {
    frame(&mut draft.parts, k + 1)?;
    within(draft, k)?;
    let next = k + 1;
    let relations = &mut draft.relations;
    if every.is_loose(k) {
        draft.planted.freedoms += 1;
    } else {
        writeln!(
            relations,
            r#"        "rod {k} ends": Reaches(end: "rod {k}.aft_end", face: "frame {next}.fwd"),"#
        )?;
    }
    if k % 2 == 1 {
        draft.planted.spare += 1;
        writeln!(
            relations,
            r#"        "check {k}": Spaced(from: "frame {}.web_fwd", to: "frame {next}.web_fwd", by: "{SPACING} in * 2"),"#,
            k - 1
        )?;
    }
    if every.is_at_odds(k) {
        draft.planted.at_odds.push(format!("second figure {k}"));
        writeln!(
            relations,
            r#"        "second figure {k}": (is: Spaced(from: "frame {k}.web_fwd", to: "frame {next}.web_fwd", by: "{SPACING} in + 1/8 in"), trust: Doubtful),"#
        )?;
    }
    Ok(())
}

/// Height of a frame in inches: each a little lower than the one before, down to a sixth.
pub(super) fn height(k: usize) -> f64 {
    20.0 * taper(k) + 4.0
}

fn taper(k: usize) -> f64 {
    1.0 / (1.0 + k as f64 / 200.0)
}

fn frame(parts: &mut String, k: usize) -> std::fmt::Result {
    writeln!(
        parts,
        r#"        "frame {k}": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, width: "{:.4} in", height: "{:.4} in", at: (bl: 0, wl: 0)),"#,
        30.0 * taper(k) + 4.0,
        height(k)
    )
}

fn within(draft: &mut Draft, k: usize) -> std::fmt::Result {
    let next = k + 1;
    writeln!(
        draft.parts,
        r#"        "rail {k}": Angle(runs: FwdAft, length: Find, legs: (down: "1 in", left: "1 in"), thickness: "1/8 in", sides: Both),
        "longeron {k}": Bar(runs: FwdAft, length: Find, depth: "3/4 in", breadth: "3/4 in", turn: (pitch: Find), sides: Both),
        "floor {k}": Plate(lies: Flat, thickness: "0.025 in", length: Find, width: "20 in", at: (bl: 0)),
        "rib {k}": Rib(thickness: "0.025 in", flange: "5/8 in", flanges: Right, length: Find, height: "2 in", sides: Both),
        "packer {k}": Spacer(lies: Flat, thickness: Find, diameter: "1 in"),
        "rod {k}": Tube(runs: FwdAft, length: Find, diameter: "3/4 in", wall: "0.049 in", at: (bl: "1 in", wl: "8 in")),"#
    )?;
    writeln!(
        draft.relations,
        r#"        "frame {next}": Spaced(from: "frame {k}.web_fwd", to: "frame {next}.web_fwd", by: "{SPACING} in"),
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
