//! An invented fuselage for tests: forty parts, from a firewall to a tail post, in inches; and variants of it.

use strongback_model::layout::*;
use strongback_model::quantity::Unit;
use strongback_model::words::Axis;

/// A layout without parts.
pub(super) fn empty() -> Layout {
    Layout {
        title: "Teasel fuselage".to_owned(),
        datum: Some("the forward face of the firewall".to_owned()),
        unit: Unit::Inch,
        fit_mm: 0.79375,
        stock: Vec::new(),
        parts: Vec::new(),
        found: Vec::new(),
        joints: Vec::new(),
        loose: Vec::new(),
        at_odds: Vec::new(),
        waiting: Vec::new(),
        spare: Vec::new(),
        dimensions: Vec::new(),
        doubts: Vec::new(),
        solution: Solution {
            unknowns: 0,
            rows: 0,
            rank: 0,
            freedoms: 0,
            blocks: 0,
            largest_block: 0,
            iterations: 0,
            largest_residual_mm: 0.0,
            milliseconds: 0.0,
        },
    }
}

/// A part without features or metal.
pub(super) fn bare(name: &str, origin_mm: [f64; 3]) -> PlacedPart {
    PlacedPart {
        name: name.to_owned(),
        kind: "Custom".to_owned(),
        alloy: None,
        origin_mm,
        turn_deg: [0.0; 3],
        rotation: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
        settled: true,
        is_spacer: false,
        features: Vec::new(),
        solids: Vec::new(),
        sizes: Vec::new(),
        choices: Vec::new(),
        holes: Vec::new(),
        stock: Vec::new(),
        extent_mm: [0, 1, 2].map(|i| [origin_mm[i], origin_mm[i]]),
        over_all_mm: [0.0; 3],
        stands_across: false,
    }
}

/// A face square to the fuselage.
pub(super) fn face(name: &str, station: f64) -> PlacedFeature {
    PlacedFeature {
        name: name.to_owned(),
        shape: FeatureShape::Face,
        at_mm: [station, 0.0, 0.0],
        direction: Some([-1.0, 0.0, 0.0]),
        axis: Some(Axis::Station),
    }
}

/// A prism over four corners.
pub(super) fn prism(outline_mm: Vec<[f64; 3]>, sweep_mm: [f64; 3]) -> PlacedSolid {
    PlacedSolid {
        outline_mm,
        openings_mm: Vec::new(),
        sweep_mm,
    }
}

fn across(station: f64, [left, right]: [f64; 2], [low, high]: [f64; 2]) -> Vec<[f64; 3]> {
    vec![
        [station, left, low],
        [station, right, low],
        [station, right, high],
        [station, left, high],
    ]
}

/// Half width, lowest and highest of the fuselage at a station, inches.
fn section(station: f64) -> [f64; 3] {
    let aft = ((station - 70.0) / 100.0).max(0.0);
    [20.0 - 17.0 * aft, 0.0 + 9.0 * aft, 30.0 - 12.0 * aft]
}

/// A frame with a flange, its web at a station in inches.
pub(super) fn frame(name: &str, station: f64) -> PlacedPart {
    let [half, low, high] = section(station).map(|x| x * 25.4);
    let at = station * 25.4;
    let mut part = bare(name, [at, 0.0, low]);
    let mut web = prism(across(at, [-half, half], [low, high]), [0.8, 0.0, 0.0]);
    let inner = across(at, [-0.7 * half, 0.7 * half], [low + 80.0, high - 60.0]);
    web.openings_mm.push(inner);
    part.solids = vec![
        web,
        prism(
            across(at, [-half, half], [high - 0.8, high]),
            [16.0, 0.0, 0.0],
        ),
        prism(
            across(at, [-half, half], [low, low + 0.8]),
            [16.0, 0.0, 0.0],
        ),
        prism(
            across(at, [-half, -half + 0.8], [low, high]),
            [16.0, 0.0, 0.0],
        ),
        prism(
            across(at, [half - 0.8, half], [low, high]),
            [16.0, 0.0, 0.0],
        ),
    ];
    part.features = vec![
        face("web_fwd", at),
        face("web_aft", at + 0.8),
        face("flange_edge", at + 16.0),
    ];
    part
}

/// An angle from one point to another, inches.
fn rail(name: &str, from: [f64; 3], to: [f64; 3]) -> PlacedPart {
    let [from, to] = [from, to].map(|p| p.map(|x| x * 25.4));
    let sweep = [0, 1, 2].map(|i| to[i] - from[i]);
    let inwards = -from[1].signum();
    let corner = |bl: f64, wl: f64| [from[0], from[1] + inwards * bl, from[2] + wl];
    let mut part = bare(name, from);
    let outline = [
        (0.0, 0.0),
        (19.0, 0.0),
        (19.0, 3.2),
        (3.2, 3.2),
        (3.2, 19.0),
        (0.0, 19.0),
    ];
    part.solids = vec![prism(
        outline.map(|(bl, wl)| corner(bl, wl)).to_vec(),
        sweep,
    )];
    part.features = vec![face("fwd", from[0]), face("aft", to[0])];
    part
}

/// A box between two corners, inches.
fn block(name: &str, low: [f64; 3], high: [f64; 3]) -> PlacedPart {
    let [low, high] = [low, high].map(|p| p.map(|x| x * 25.4));
    let mut part = bare(name, low);
    let outline = across(low[0], [low[1], high[1]], [low[2], high[2]]);
    part.solids = vec![prism(outline, [high[0] - low[0], 0.0, 0.0])];
    part.features = vec![face("fwd", low[0])];
    part
}

/// The fuselage; everything from the rear spar frame aft moves by `shift_in` inches, the seat back by half of it.
pub(super) fn fuselage(shift_in: f64) -> Layout {
    let mut layout = empty();
    let s = shift_in;
    let mut parts = vec![
        frame("firewall", 0.0),
        frame("panel frame", 21.5),
        frame("front spar frame", 40.0),
        frame("seat front former", 49.0),
        frame("seat back frame", 58.0 + 0.5 * s),
        frame("rear spar frame", 66.0 + s),
        frame("baggage bulkhead", 79.0 + s),
        frame("former 8", 93.0 + s),
        frame("former 9", 106.0 + s),
        frame("former 10", 119.0 + s),
        frame("former 11", 132.0 + s),
        frame("fin spar frame", 147.0 + s),
        frame("tail post", 158.0 + s),
    ];
    for (side, sign) in [("left", -1.0), ("right", 1.0)] {
        let y = |station: f64| sign * section(station)[0];
        let up = |station: f64| section(station)[2] - 0.8;
        parts.push(rail(
            &format!("{side} upper longeron fwd"),
            [0.1, y(0.0), 29.0],
            [70.0, y(70.0), 29.0],
        ));
        parts.push(rail(
            &format!("{side} upper longeron aft"),
            [70.2 + s, y(70.0), up(70.0)],
            [157.0 + s, y(157.0), up(157.0)],
        ));
        parts.push(rail(
            &format!("{side} lower longeron fwd"),
            [0.1, y(0.0), 0.2],
            [70.0, y(70.0), 0.2],
        ));
        parts.push(rail(
            &format!("{side} lower longeron aft"),
            [70.2 + s, y(70.0), 0.2],
            [157.0 + s, y(157.0), section(157.0)[1]],
        ));
        parts.push(rail(
            &format!("{side} stringer"),
            [40.5, y(40.0), 15.0],
            [146.0, y(146.0), 14.0],
        ));
        parts.push(block(
            &format!("{side} engine mount angle"),
            [-1.5, sign * 17.0 - 1.0, 24.0],
            [0.0, sign * 17.0 + 1.0, 27.0],
        ));
        parts.push(block(
            &format!("{side} gear fitting"),
            [38.0, sign * 18.0 - 1.2, 1.0],
            [42.5, sign * 18.0 + 1.2, 5.0],
        ));
        parts.push(block(
            &format!("{side} seat rail"),
            [50.0, sign * 9.0 - 0.5, 6.0],
            [57.5 + 0.5 * s, sign * 9.0 + 0.5, 7.0],
        ));
        parts.push(block(
            &format!("{side} rear spar fitting"),
            [64.2 + s, sign * 18.0 - 1.0, 3.0],
            [66.0 + s, sign * 18.0 + 1.0, 7.0],
        ));
        let mut skin = bare(&format!("{side} side skin"), [0.0, y(0.0) * 25.4, 0.0]);
        let corner = |station: f64, wl: f64| [station, y(station), wl].map(|x| x * 25.4);
        let outline = vec![
            corner(0.0, 0.0),
            corner(70.0, 0.0),
            corner(158.0 + s, section(158.0)[1]),
            corner(158.0 + s, section(158.0)[2]),
            corner(70.0, 30.0),
            corner(0.0, 30.0),
        ];
        skin.solids = vec![prism(outline, [0.0, sign * 0.6, 0.0])];
        parts.push(skin);
    }
    parts.push(block("floor fwd", [21.6, -19.0, 3.0], [39.9, 19.0, 3.06]));
    parts.push(block("floor aft", [40.1, -19.0, 3.0], [57.9, 19.0, 3.06]));
    parts.push(block("tunnel", [2.0, -3.0, 3.1], [48.0, 3.0, 9.0]));
    parts.push(block(
        "battery box",
        [82.0 + s, -5.0, 6.0],
        [89.0 + s, 5.0, 14.0],
    ));
    parts.push(block(
        "flap torque tube bracket",
        [70.0 + s, 4.0, 10.0],
        [72.0 + s, 6.0, 13.0],
    ));
    parts.push(block(
        "elevator bellcrank",
        [112.0 + s, -1.0, 9.0],
        [115.0 + s, 1.0, 13.0],
    ));
    parts.push(block(
        "tail wheel mount",
        [154.0 + s, -1.5, 8.0],
        [158.0 + s, 1.5, 10.0],
    ));
    layout.parts = parts;
    layout
}
