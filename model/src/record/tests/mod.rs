//! Records worked by hand. All lengths in inches unless they say otherwise; 1 in = 25.4 mm.
#![allow(clippy::unwrap_used, clippy::panic)]

mod entries;
mod shared;
mod text;
mod to_be;

use super::{Adopted, Beside, Built, Note, Piece, Record, Stage, Trouble};
use crate::assembly::assemble;
use crate::document::Document;
use crate::layout::Layout;
use crate::measurement::Measurement;
use crate::quantity::Unit;
use crate::source::{Code, Fault, Given, Spanned, Text, read};

/// A firewall with its aft face at station 0, a frame 20 in aft of it and one 15 in aft of that; rails from the first to the
/// second, whose length is found; ribs on both sides, as long and as high as dimensions that they share say.
const MODEL: &str = r#"(format: 1, title: "Bays", unit: Inch, fit: "1/32 in",
    dimensions: {"bay": "20 in", "rear bay": "15 in", "rib height": "4 in"},
    parts: {
        "firewall": Plate(lies: Across, thickness: "0.040 in", width: 30, height: 20, at: (bl: 0, wl: 0)),
        "frame": Plate(lies: Across, thickness: "0.040 in", width: 30, height: 20, at: (bl: 0, wl: 0)),
        "rear frame": Plate(lies: Across, thickness: "0.040 in", width: 30, height: 20, at: (bl: 0, wl: 0)),
        "rail": Bar(runs: FwdAft, length: Find, depth: 1, breadth: 1, at: (bl: 10, wl: 5), sides: Both),
        "rib": Plate(lies: FwdAft, thickness: "0.025 in", length: "6 in", height: "rib height", at: (bl: 3, wl: 8), sides: Both),
        "web": Plate(lies: FwdAft, thickness: "0.025 in", length: "6 in", height: "rib height", at: (bl: 0, wl: 8), holes: {"pin": (fs: 1, wl: 2, diameter: "1/4 in")}),
    },
    relations: {
        "datum": Flush("firewall.aft", "datum.station"),
        "front": Spaced(from: "firewall.aft", to: "frame.fwd", by: "bay"),
        "rear": Spaced(from: "frame.fwd", to: "rear frame.fwd", by: "rear bay"),
        "rail starts": Flush("rail.fwd_end", "firewall.aft"),
        "rail ends": Flush("rail.aft_end", "frame.fwd"),
        "rib starts": Flush("rib.fwd", "frame.aft"),
        "web starts": Flush("web.fwd", "frame.aft"),
    },
    measurements: {"whole": (from: "firewall.aft", to: "rear frame.fwd", is: "35 in", uncertainty: "1/32 in")},
    deviations: {
        "longer bay": (changes: [Set("bay", "21 in")]),
        "no ribs": (changes: [Drop("rib")]),
        "higher ribs": (changes: [Set("rib.height", "5 in")]),
    },
)"#;

fn plan() -> Document {
    read(MODEL).unwrap()
}

fn layout(document: &Document) -> Layout {
    assemble(document).unwrap().solve().unwrap().layout()
}

/// The document as built, with its layout.
fn built(record: &Record) -> (Document, Layout) {
    let document = Built::of(&plan(), record).unwrap().document;
    let layout = layout(&document);
    (document, layout)
}

/// Enters a stage as the command does.
fn set(record: &Record, part: &str, stage: Stage, sizes: &[(&str, &str)]) -> Record {
    let sizes: Vec<(String, Given)> = sizes
        .iter()
        .map(|(name, figure)| ((*name).to_owned(), Given::unplaced(figure)))
        .collect();
    let piece = Piece {
        part,
        stage,
        on: "2026-10-03",
        sizes: &sizes,
    };
    let (document, now) = built(record);
    let made = record.with_stage(&piece, Some((&document, &now))).record;
    if stage == Stage::Fitted {
        let (document, now) = built(&made);
        made.with_place(part, (&document, &now)).record
    } else {
        made
    }
}

fn nothing() -> Record {
    Record::new(Unit::Inch)
}

fn near(mm: f64, inches: f64) -> bool {
    (mm - inches * 25.4).abs() < 1e-6
}

fn station(layout: &Layout, part: &str, face: &str) -> f64 {
    let part = layout.part(part).unwrap();
    part.feature(face).unwrap().at_mm[0]
}

fn size(layout: &Layout, part: &str, size: &str) -> f64 {
    layout.part(part).unwrap().size(size).unwrap().value
}

fn adopt(record: &Record, name: &str) -> Record {
    let adopted = Adopted {
        on: "2026-10-04".into(),
        because: None,
    };
    record.with_adopted(name, adopted).unwrap().record
}

#[test]
fn a_record_of_nothing_is_the_plan() {
    let (document, as_built) = built(&nothing());
    assert_eq!(document.title.value, "Bays, as built");
    let planned = layout(&plan());
    assert_eq!(as_built.parts, planned.parts);
}

/// Where the plan's bay grows by 1 in to 21 in, a rail that was cut at 20 in stays at 20 in and falls short by 1 in; the one
/// that is not cut yet becomes 21 in long.
#[test]
fn a_part_that_is_cut_keeps_its_sizes() {
    let cut = set(&nothing(), "rail L", Stage::Cut, &[]);
    let (_, as_built) = built(&adopt(&cut, "longer bay"));
    assert!(near(station(&as_built, "frame", "fwd"), 21.0));
    assert!(near(size(&as_built, "rail L", "length"), 20.0));
    assert!(near(size(&as_built, "rail R", "length"), 21.0));
    let odd: Vec<(&str, f64)> = as_built
        .at_odds
        .iter()
        .map(|odd| (odd.statement.as_str(), odd.miss.abs()))
        .collect();
    assert_eq!(odd.len(), 1, "{odd:?}");
    assert!(odd[0].0 == "rail ends L" && near(odd[0].1, 1.0), "{odd:?}");
}

/// `rib height` is 4 in of three parts; one of them was made 3 7/8 in high.
#[test]
fn a_made_size_is_that_of_its_part_alone() {
    let made = set(&nothing(), "rib L", Stage::Cut, &[("height", "3 7/8 in")]);
    let (_, as_built) = built(&made);
    assert!(near(size(&as_built, "rib L", "height"), 3.875));
    assert!(near(size(&as_built, "rib R", "height"), 4.0));
    assert!(near(size(&as_built, "web", "height"), 4.0));
    // it is the mirror image of a right-hand one: 3 in left of the middle
    assert!(near(as_built.part("rib L").unwrap().origin_mm[1], -3.0));
    assert!(as_built.is_sound());
}

/// A change that names the size makes the part anew, whichever hand; one of the shared dimension doesn't.
#[test]
fn a_deviation_on_top_of_what_is_built() {
    let made = set(&nothing(), "rib L", Stage::Cut, &[("height", "3 7/8 in")]);
    let (document, _) = built(&made);
    let named = layout(&document.with_deviation("higher ribs").unwrap());
    for rib in ["rib L", "rib R"] {
        assert!(near(size(&named, rib, "height"), 5.0), "{rib}");
    }
    let change = crate::change::Change::set_typed("rib height=4 1/2 in").unwrap();
    let shared = layout(&document.with_changes(&[change]).unwrap());
    assert!(near(size(&shared, "rib L", "height"), 3.875));
    assert!(near(size(&shared, "rib R", "height"), 4.5));
}

/// A part in the place of one that is riveted is not riveted: it goes where the plan has it.
#[test]
fn what_takes_the_place_of_metal_is_to_be_made() {
    let fitted = set(&nothing(), "frame", Stage::Fitted, &[]);
    let (document, _) = built(&fitted);
    let changes = [
        crate::change::Change::set_typed("bay=22 in").unwrap(),
        read(r#"Replace("frame", Plate(lies: Across, thickness: "0.063 in", width: 30, height: 20, at: (bl: 0, wl: 0)))"#).unwrap(),
    ];
    let moved = layout(&document.with_changes(&changes[..1]).unwrap());
    assert!(near(station(&moved, "frame", "fwd"), 20.0));
    let replaced = layout(&document.with_changes(&changes).unwrap());
    assert!(near(station(&replaced, "frame", "fwd"), 22.0));
    assert!(replaced.is_sound());
}

/// The frame is riveted at station 20; then the plan's bay becomes 21 in. The frame stays, the rear frame stays 15 in aft of it,
/// at 35, and the statement of the bay misses by 1 in.
#[test]
fn a_fitted_part_stays_and_what_contradicts_it_gives_way() {
    let fitted = set(&nothing(), "frame", Stage::Fitted, &[]);
    let place = fitted.parts.get("frame").unwrap().fitted.unwrap();
    // the origin of a plate is the middle of its thickness or its forward face: whichever, the forward face is at 20
    assert!(near(station(&built(&fitted).1, "frame", "fwd"), 20.0));
    let changed = adopt(&fitted, "longer bay");
    let (_, as_built) = built(&changed);
    assert!(near(
        as_built.part("frame").unwrap().origin_mm[0],
        place.fs / 25.4
    ));
    assert!(near(station(&as_built, "frame", "fwd"), 20.0));
    assert!(near(station(&as_built, "rear frame", "fwd"), 35.0));
    let odd = &as_built.at_odds;
    assert_eq!(odd.len(), 1, "{odd:?}");
    assert_eq!(odd[0].statement, "front");
    assert!(near(odd[0].miss.abs(), 1.0));
    assert!(
        odd[0]
            .against
            .iter()
            .any(|one| one.name == "frame as fitted")
    );

    // beside the plan nothing has moved: the plan, without what was adopted, has the bay at 20 in
    let beside = Beside::of(&layout(&plan()), &as_built, &changed.progress());
    let frame = beside.iter().find(|one| one.part == "frame").unwrap();
    assert_eq!(frame.stage, Stage::Fitted);
    assert!(
        frame
            .origin_moved_mm
            .unwrap()
            .iter()
            .all(|mm| mm.abs() < 1e-6)
    );
}

/// The rail was made 1/4 in too long and riveted to the firewall; a frame that is not fitted yet is where the plan has it, and
/// the rail's aft end is 1/4 in aft of the plan's.
#[test]
fn the_plan_and_what_is_built_beside_each_other() {
    let made = set(
        &nothing(),
        "rail R",
        Stage::Fitted,
        &[("length", "20 1/4 in")],
    );
    let (_, as_built) = built(&made);
    let list = Beside::of(&layout(&plan()), &as_built, &made.progress());
    let rail = list.iter().find(|one| one.part == "rail R").unwrap();
    let [fwd, aft] = rail.ends_moved_mm.unwrap();
    assert!(near(fwd, 0.0) && near(aft, 0.25), "{rail:?}");
    assert!(near(rail.plan_mm.unwrap()[1], 20.0) && near(rail.built_mm.unwrap()[1], 20.25));
    let dropped = adopt(&nothing(), "no ribs");
    let list = Beside::of(&layout(&plan()), &built(&dropped).1, &dropped.progress());
    let rib = list.iter().find(|one| one.part == "rib L").unwrap();
    assert!(rib.plan_mm.is_some() && rib.built_mm.is_none() && rib.ends_moved_mm.is_none());
}

/// The left one of a pair is riveted where it lies, 3 in left of the middle, leaning; the right one is free to go elsewhere.
#[test]
fn one_of_a_pair_is_fitted_by_itself() {
    let leaning = MODEL.replace(
        r#"at: (bl: 3, wl: 8), sides: Both"#,
        r#"at: (bl: 3, wl: 8), turn: (roll: "5 deg", yaw: "2 deg"), sides: Both"#,
    );
    let leaning = leaning.replace(
        r#""rib starts": Flush("rib.fwd", "frame.aft")"#,
        r#""rib starts": LiesAt(part: "rib", fs: "bay + 1 in")"#,
    );
    let plan: Document = read(&leaning).unwrap();
    let before = layout(&plan);
    let rib = before.part("rib L").unwrap();
    let (roll, yaw) = (rib.turn_deg[0], rib.turn_deg[2]);
    assert!((roll + 5.0).abs() < 1e-9 && (yaw + 2.0).abs() < 1e-9);
    let mut record = nothing();
    let piece = Piece {
        part: "rib L",
        stage: Stage::Fitted,
        on: "2026-10-03",
        sizes: &[],
    };
    record = record.with_stage(&piece, Some((&plan, &before))).record;
    record = record.with_place("rib L", (&plan, &before)).record;
    let built = Built::of(&plan, &record).unwrap().document;
    let after = layout(
        &built
            .with_changes(&[crate::change::Change::set_typed("bay=22 in").unwrap()])
            .unwrap(),
    );
    let now = after.part("rib L").unwrap();
    for axis in 0..3 {
        assert!((now.origin_mm[axis] - rib.origin_mm[axis]).abs() < 1e-6);
        assert!((now.turn_deg[axis] - rib.turn_deg[axis]).abs() < 1e-6);
    }
    let right = after.part("rib R").unwrap();
    assert!(near(right.origin_mm[0], 23.0));
    assert!(near(now.origin_mm[0], 21.0) && near(now.origin_mm[1], -3.0));
}

#[test]
fn measurements_of_the_record_join_those_of_the_model() {
    let measurement: Measurement = read(Measurement::EXAMPLE).unwrap();
    let made = nothing().with_measurement("bay", measurement).unwrap();
    let document = match Built::of(&plan(), &made.record) {
        // the example measures to `rear frame.web_fwd`, and a plate has no web
        Err(Trouble::InRecord(faults)) => {
            assert_eq!(faults.len(), 1, "{faults:?}");
            let mut measurement: Measurement = read(Measurement::EXAMPLE).unwrap();
            measurement.to = Some("rear frame.fwd".into());
            let made = nothing().with_measurement("bay", measurement).unwrap();
            assert!(
                made.record
                    .with_measurement("bay", read(Measurement::EXAMPLE).unwrap())
                    .is_err()
            );
            Built::of(&plan(), &made.record).unwrap().document
        }
        other => panic!("{other:?}"),
    };
    let names: Vec<&str> = document.measurements.names().collect();
    assert_eq!(names, ["whole", "bay"]);
}

/// A frame is bent with its flange aft; then the plan has it forward. What is bent stays so, and its web's forward face, which is
/// what the plan places, stays at 20 in. With the flange aft the frame ends 5/8 in aft of that face.
#[test]
fn what_is_bent_stays_so() {
    let text = MODEL.replace(
        r#""frame": Plate(lies: Across, thickness: "0.040 in", width: 30, height: 20,"#,
        r#""frame": Frame(thickness: "0.040 in", flange: "5/8 in", flanges: Aft, width: 30, height: 20,"#,
    );
    let text = text.replace("frame.fwd\", by: \"bay\"", "frame.web_fwd\", by: \"bay\"");
    let text = text.replace(
        r#""no ribs":"#,
        r#""forward": (changes: [Reverse("frame")]), "a plate": (changes: [Replace("frame", Plate(lies: Across, thickness: "0.040 in", width: 30, height: 20, at: (bl: 0, wl: 0)))]), "no ribs":"#,
    );
    let plan: Document = read(&text).unwrap();
    let now = layout(&plan);
    let piece = Piece {
        part: "frame",
        stage: Stage::Cut,
        on: "2026-10-03",
        sizes: &[],
    };
    let bent = nothing().with_stage(&piece, Some((&plan, &now))).record;
    let deviated = layout(&plan.with_deviation("forward").unwrap());
    let ends = |layout: &Layout| layout.part("frame").unwrap().extent_mm[0];
    assert!(near(ends(&deviated)[0], 20.0 + 0.040 - 0.625));
    let made = Built::of(&plan, &adopt(&bent, "forward")).unwrap();
    let made = layout(&made.document);
    assert!(near(ends(&made)[0], 20.0) && near(ends(&made)[1], 20.625));
    // made as another kind of part it is another part
    let Err(Trouble::InRecord(faults)) = Built::of(&plan, &adopt(&bent, "a plate")) else {
        panic!("a frame is no plate");
    };
    assert!(
        faults[0]
            .message
            .starts_with("`frame` was made with flanges Aft"),
        "{faults:?}"
    );
}

/// The plan trusts the bay, and the datum that it counts from, as measured, and a frame was riveted elsewhere: the rivets hold.
#[test]
fn nothing_moves_what_is_riveted() {
    let fitted = set(&nothing(), "frame", Stage::Fitted, &[]);
    let text = MODEL.replace(
        r#""bay": "20 in""#,
        r#""bay": (is: "22 in", trust: Measured)"#,
    );
    let text = text.replace(
        r#""datum": Flush("firewall.aft", "datum.station")"#,
        r#""datum": (is: Flush("firewall.aft", "datum.station"), trust: Measured)"#,
    );
    let plan: Document = read(&text).unwrap();
    let as_built = layout(&Built::of(&plan, &fitted).unwrap().document);
    assert!(near(station(&as_built, "frame", "fwd"), 20.0));
    assert_eq!(as_built.at_odds.len(), 1);
    assert_eq!(as_built.at_odds[0].statement, "front");
}

/// The title block's tolerance is one of what is to be made. What is made is as it is: a rail that was cut, and where a frame is.
#[test]
fn what_is_made_has_no_tolerance() {
    use crate::assembly::Tolerances;
    let text = MODEL.replace(
        r#"fit: "1/32 in","#,
        r#"fit: "1/32 in", within: "1/64 in","#,
    );
    let plan: Document = read(&text).unwrap();
    let tolerance = |document: &Document, part: &str, size: &str| {
        let assembly = assemble(document).unwrap();
        let part = assembly.parts.iter().find(|one| one.name == part).unwrap();
        let size = part.sizes.iter().find(|one| one.name == size).unwrap();
        let var = size.resolved.form.vars().next().unwrap();
        Tolerances::of(&assembly).of_figure(var)
    };
    let planned = tolerance(&plan, "web", "length").unwrap();
    assert!(planned.general && near(planned.within, 1.0 / 64.0));
    let cut = set(&nothing(), "web", Stage::Fitted, &[]);
    let as_built = Built::of(&plan, &cut).unwrap().document;
    assert_eq!(tolerance(&as_built, "web", "length"), None);
    assert!(tolerance(&as_built, "rib R", "length").is_some());
    // with another figure it is another piece of metal, to be made yet
    let change = crate::change::Change::set_typed("web.length=7 in").unwrap();
    let anew = as_built.with_changes(&[change]).unwrap();
    assert!(tolerance(&anew, "web", "length").is_some());
    let assembly = assemble(&as_built).unwrap();
    let tolerances = Tolerances::of(&assembly);
    let varied: Vec<String> = assembly
        .quantities
        .labels()
        .filter(|(var, _)| tolerances.of_figure(*var).is_some())
        .map(|(_, label)| label.told())
        .collect();
    assert!(varied.iter().any(|name| name == "bay"), "{varied:?}");
    assert!(
        !varied.iter().any(|name| name.contains("web")),
        "{varied:?}"
    );
}
