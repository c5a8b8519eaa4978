//! The loop: two long rails, straight through every frame, tie all bays into one block.
//!
//! Frames and formers stand on the lower rail and reach up to the upper one, so that each has a cant to be found. Rods and packers
//! between their webs carry the station of the one to the next: it depends on cants and heights, these on the slopes of the rails,
//! and the slopes on the last frame, of which waterline and cant are stated. Ten parts a bay: frame, former, two rods, two packers,
//! longerons on both sides, a floor and a rib. Of some thirty unknowns fourteen belong to the loop.
//!
//! The generator lays the bays out by itself, in inches, to find heights of frames at which the cants come out as it wants them.

use std::f64::consts::TAU;
use std::fmt::Write;
use std::ops::Range;

use super::{Draft, Every, Laid, chain};

/// How much the rails rise per length.
const RISE: f64 = 0.02;
/// By how much of the height between them at the first frame the rails come nearer to each other, if that is no more than they rise.
const TAPER: f64 = 0.3;
/// What a bay is long, nearly.
const BAY: f64 = 11.3;
const THICKNESS: f64 = 0.032;
const FLANGE: f64 = 0.625;
const ROD: f64 = 5.25;
const ROD_DIAMETER: f64 = 0.5;
const PACKER: f64 = 0.1875;
const GAP: f64 = 0.0625;

/// A straight edge in the middle plane: waterline by station.
#[derive(Clone, Copy)]
struct Edge {
    at_zero: f64,
    rise: f64,
}

impl Edge {
    fn at(self, station: f64) -> f64 {
        self.at_zero + self.rise * station
    }

    /// The waterline so far above it, square to it.
    fn above(self, by: f64) -> Edge {
        Edge {
            at_zero: self.at_zero + by * self.rise.hypot(1.0),
            rise: self.rise,
        }
    }

    fn pitch_deg(self) -> f64 {
        -self.rise.atan().to_degrees()
    }
}

/// A frame as it stands: the forward lower corner of its web, and its cant in radians.
#[derive(Clone, Copy)]
struct Stand {
    fs: f64,
    wl: f64,
    cant: f64,
}

/// The edges that frames stand between, and how far above the lower one the rods lie.
struct Rails {
    lower: Edge,
    upper: Edge,
    rod: f64,
}

impl Rails {
    /// The frame whose forward face is `GAP` behind a packer, which a rod carries that is `GAP` behind the web of another one.
    fn next(&self, before: Stand, cant: f64) -> Stand {
        // the axis of the rod: its middle lies on a line above the rail, its end before the web
        let axis = self.lower.above(self.rod + ROD_DIAMETER / 2.0);
        let (sin, cos) = before.cant.sin_cos();
        let due = THICKNESS + GAP + before.fs * cos - before.wl * sin;
        let fs = (due + sin * axis.at(ROD / 2.0)) / (cos - sin * axis.rise);
        let wl = axis.at(fs + ROD / 2.0);
        // the middle of the bottom lies on the rail, half a flange behind the corner
        let (sin, cos) = cant.sin_cos();
        let (aft, half) = (fs + ROD + PACKER, FLANGE / 2.0);
        let due = aft * cos - wl * sin + GAP + half;
        let middle = (due + sin * self.lower.at_zero) / (cos - sin * self.lower.rise);
        Stand {
            fs: middle - half * cos,
            wl: self.lower.at(middle) + half * sin,
            cant,
        }
    }

    /// Height of a frame that reaches the upper edge.
    fn height(&self, frame: Stand) -> f64 {
        let (sin, cos) = frame.cant.sin_cos();
        let middle = frame.fs + FLANGE / 2.0 * cos;
        (self.upper.at(middle) - self.lower.at(middle)) / (cos - self.upper.rise * sin)
    }
}

/// The bays of a range, from a frame that stands upright; those before it are a chain.
pub(super) fn bays(draft: &mut Draft, bays: Range<usize>, every: Every) -> std::fmt::Result {
    let (first, last) = (bays.start, bays.end);
    if first == last {
        return Ok(());
    }
    let height = chain::height(first);
    let lower = Edge {
        at_zero: -RISE * FLANGE / 2.0,
        rise: RISE,
    };
    let nearer = (TAPER * height / (BAY * bays.len() as f64)).min(RISE);
    let upper = Edge {
        at_zero: height - (RISE - nearer) * FLANGE / 2.0,
        rise: RISE - nearer,
    };
    let rod = height / 4.0;
    let rails = Rails { lower, upper, rod };
    if first == 0 {
        writeln!(
            draft.parts,
            r#"        "frame 0": Frame(thickness: "{THICKNESS} in", flange: "{FLANGE} in", flanges: Aft, width: "16 in", height: "{height:.4} in", at: (bl: 0, wl: 0), cut_for: ["lower rail", "upper rail"]),"#
        )?;
        writeln!(
            draft.relations,
            r#"        "first frame": Flush("frame 0.web_fwd", "datum.station"),"#
        )?;
    }
    long_rails(draft, &rails, first, last)?;
    let begins = chain::SPACING * first as f64;
    let mut stand = Stand {
        fs: 0.0,
        wl: 0.0,
        cant: 0.0,
    };
    for k in bays {
        // cants of ten to fourteen degrees
        let cant = |halves: usize| (12.0 + 2.0 * (TAU * halves as f64 / 11.0).sin()).to_radians();
        let former = rails.next(stand, cant(2 * k + 1));
        let next = rails.next(former, cant(2 * k + 2));
        let names = [k, k + 1].map(|at| format!("frame {at}"));
        let middle = format!("former {k}");
        let place = if k + 1 == last {
            Place::Stated(next)
        } else {
            Place::Found
        };
        let notched = format!(r#", "longeron {k}""#);
        frame(draft, &middle, rails.height(former), Place::Found, &notched)?;
        frame(draft, &names[1], rails.height(next), place, "")?;
        series(draft, &format!("fwd rod {k}"), rod, [&names[0], &middle])?;
        series(draft, &format!("aft rod {k}"), rod, [&middle, &names[1]])?;
        for (name, stand) in [(middle, former), (names[1].clone(), next)] {
            draft.planted.laid.push(Laid {
                frame: name,
                at: [begins + stand.fs, stand.wl],
                cant: stand.cant.to_degrees(),
            });
        }
        hanging_on(draft, k, every)?;
        amiss(draft, k, rod, every)?;
        stand = next;
    }
    Ok(())
}

/// What is stated of where a frame stands, besides buttock line 0.
enum Place {
    Found,
    /// Its waterline and its cant.
    Stated(Stand),
}

/// A frame that stands on the lower rail and reaches the upper one, dressed for both and notched for what is named.
fn frame(
    draft: &mut Draft,
    name: &str,
    height: f64,
    place: Place,
    notched: &str,
) -> std::fmt::Result {
    let stated = match place {
        Place::Found => r#"at: (bl: 0), turn: (pitch: Find(near: "12 deg"))"#.to_owned(),
        Place::Stated(Stand { wl, cant, .. }) => format!(
            r#"at: (bl: 0, wl: "{wl:.4} in"), turn: (pitch: "{:.4} deg")"#,
            cant.to_degrees()
        ),
    };
    writeln!(
        draft.parts,
        r#"        "{name}": Frame(thickness: "{THICKNESS} in", flange: "{FLANGE} in", flanges: Aft, width: "16 in", height: "{height:.4} in", {stated}, cut_for: ["lower rail", "upper rail"{notched}]),"#
    )?;
    stands(draft, name)
}

/// The two rails from the first frame to the last one.
fn long_rails(draft: &mut Draft, rails: &Rails, first: usize, last: usize) -> std::fmt::Result {
    for (rail, edge) in [("lower", rails.lower), ("upper", rails.upper)] {
        writeln!(
            draft.parts,
            r#"        "{rail} rail": Bar(runs: FwdAft, length: Find, depth: "3/4 in", breadth: "3/4 in", at: (bl: 0), turn: (pitch: Find(near: "{:.4} deg"))),"#,
            edge.pitch_deg()
        )?;
        writeln!(
            draft.relations,
            r#"        "{rail} rail starts": Reaches(end: "{rail} rail.fwd_end", face: "frame {first}.web_fwd"),
        "{rail} rail ends": Reaches(end: "{rail} rail.aft_end", face: "frame {last}.web_aft"),"#
        )?;
    }
    stands(draft, &format!("frame {first}"))
}

/// A frame stands on the lower rail and reaches the upper one.
fn stands(draft: &mut Draft, frame: &str) -> std::fmt::Result {
    writeln!(
        draft.relations,
        r#"        "{frame} on rail": Touches("{frame}.bottom", "lower rail.top"),
        "{frame} under rail": Touches("{frame}.top", "upper rail.bottom"),"#
    )
}

/// A rod, and a packer on its aft end, from the web of one frame to that of the next.
fn series(draft: &mut Draft, rod: &str, height: f64, [from, to]: [&str; 2]) -> std::fmt::Result {
    let packer = format!("{rod} packer");
    writeln!(
        draft.parts,
        r#"        "{rod}": Tube(runs: FwdAft, length: "{ROD} in", diameter: "{ROD_DIAMETER} in", wall: "0.049 in", at: (bl: 0)),
        "{packer}": Spacer(lies: Across, thickness: "{PACKER} in", diameter: "{ROD_DIAMETER} in", at: (bl: 0)),"#
    )?;
    writeln!(
        draft.relations,
        r#"        "{rod} starts": Reaches(end: "{rod}.fwd_end", face: "{from}.web_aft", short_by: "{GAP} in"),
        "{rod} height": Reaches(end: "{rod}.bottom", face: "lower rail.top", short_by: "{height:.4} in"),
        "{packer} on rod": Against("{packer}.fwd", "{rod}.aft_end"),
        "{packer} middle": Centred(what: "{packer}.axis", between: ("{rod}.bottom", "{rod}.top")),
        "{to} at packer": Reaches(end: "{packer}.aft", face: "{to}.web_fwd", short_by: "{GAP} in"),"#
    )
}

/// Parts that hang on the loop and carry nothing of it.
fn hanging_on(draft: &mut Draft, k: usize, every: Every) -> std::fmt::Result {
    let next = k + 1;
    writeln!(
        draft.parts,
        r#"        "longeron {k}": Bar(runs: FwdAft, length: Find, depth: "1/2 in", breadth: "1/2 in", sides: Both),
        "floor {k}": Plate(lies: Flat, thickness: "0.025 in", length: Find, width: "6 in", at: (bl: 0)),
        "rib {k}": Rib(thickness: "0.025 in", flange: "5/8 in", flanges: Right, length: Find, height: "1 in"),"#
    )?;
    writeln!(
        draft.relations,
        r#"        "longeron {k} starts": Reaches(end: "longeron {k}.fwd_end", face: "frame {k}.web_aft", short_by: "1/16 in"),
        "longeron {k} ends": Reaches(end: "longeron {k}.aft_end", face: "frame {next}.web_fwd", short_by: "1/16 in"),
        "longeron {k} height": Reaches(end: "longeron {k}.bottom", face: "lower rail.top", short_by: "3/4 in"),
        "longeron {k} apart": Spaced(from: "datum.buttock_line", to: "longeron {k}.axis", by: "half width / 3"),
        "floor {k} starts": Reaches(end: "floor {k}.fwd", face: "frame {k}.web_aft", short_by: "1/16 in"),
        "floor {k} ends": Reaches(end: "floor {k}.aft", face: "former {k}.web_fwd", short_by: "1/16 in"),
        "floor {k} height": Reaches(end: "floor {k}.bottom", face: "lower rail.top", short_by: "1/2 in"),
        "rib {k} starts": Reaches(end: "rib {k}.fwd", face: "former {k}.web_aft", short_by: "1/8 in"),
        "rib {k} apart": Spaced(from: "datum.buttock_line", to: "rib {k}.web_left", by: "half width / 6"),
        "rib {k} height": Reaches(end: "rib {k}.bottom", face: "lower rail.top", short_by: "1/2 in"),"#
    )?;
    if every.is_loose(k) {
        draft.planted.freedoms += 1;
        return Ok(());
    }
    writeln!(
        draft.relations,
        r#"        "rib {k} ends": Reaches(end: "rib {k}.aft", face: "frame {next}.web_fwd", short_by: "1/8 in"),"#
    )
}

/// Statements that follow from others: every fourth bay one that is affine, and one that isn't; and a figure that contradicts them.
fn amiss(draft: &mut Draft, k: usize, height: f64, every: Every) -> std::fmt::Result {
    let relations = &mut draft.relations;
    let over_all = format!("{height:.4} in + 3/4 in");
    match k % 4 {
        1 => writeln!(
            relations,
            r#"        "check {k}": Spaced(from: "fwd rod {k}.fwd_end", to: "fwd rod {k} packer.aft", by: "{ROD} in + {PACKER} in"),"#
        )?,
        3 => writeln!(
            relations,
            r#"        "check {k}": Reaches(end: "aft rod {k}.bottom", face: "lower rail.bottom", short_by: "{over_all}"),"#
        )?,
        _ => {}
    }
    draft.planted.spare += k % 2;
    if every.is_at_odds(k) {
        draft.planted.at_odds.push(format!("second figure {k}"));
        writeln!(
            relations,
            r#"        "second figure {k}": (is: Reaches(end: "fwd rod {k}.bottom", face: "lower rail.bottom", short_by: "{over_all} + 1/8 in"), trust: Doubtful),"#
        )?;
    }
    Ok(())
}
