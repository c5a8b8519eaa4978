//! The joints of the first bay by hand, and as they are told. Inches.

use std::process::ExitCode;

use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::joint::{JointReport, Purchase, What};
use strongback_model::source::read;

const INCH: f64 = 25.4;
const BAY: &str = include_str!("../demo-models/first-bay.ron");

fn reports(document: &Document) -> Vec<JointReport> {
    let assembly = assemble(document).unwrap_or_else(|faults| panic!("{faults:#?}"));
    assembly.solve().unwrap().joint_reports()
}

fn bay() -> Vec<JointReport> {
    reports(&read(BAY).unwrap())
}

#[track_caller]
fn near(found_mm: f64, inches: f64) {
    assert!(
        (found_mm / INCH - inches).abs() < 1e-9,
        "{} for {inches}",
        found_mm / INCH
    );
}

/// The stiffener is 26 in long and begins at bl -13; its leg hangs from wl 15 to 14 1/4. Five bolts 3/8 above that edge and 1 in inside
/// of its ends: bl -12 to 12, 6 apart, wl 14 5/8. The web's forward face lies at fs 19 3/8; heads are 1/16 ahead of it.
/// The web is 30 by 20 in: its nearest edge, the upper, is at wl 20, 5 3/8 from the row; its sides at bl ±15 are 3 from the last bolts.
/// Grip 1/16 + 0.032 = 0.0945: an AN3-3 has 1/16, an AN3-4 1/8; 0.0305 is left, one thin washer (1/32).
#[test]
fn the_stiffener() {
    let report = &bay()[0];
    assert_eq!(report.joint.statement, "stiffener on frame");
    assert_eq!(report.joint.count, Some(5));
    for (place, bl) in report
        .joint
        .places_mm
        .iter()
        .zip([-12.0, -6.0, 0.0, 6.0, 12.0])
    {
        near(place[0], 19.375 - 0.0625);
        near(place[1], bl);
        near(place[2], 14.625);
    }
    near(report.grip_mm.unwrap(), 0.0945);
    near(report.edges_mm[0].unwrap(), 0.375);
    near(report.edges_mm[1].unwrap(), 3.0);
    let Some(Purchase::Bolt(bolt)) = &report.buy else {
        panic!()
    };
    assert_eq!(bolt.code, "AN3-4");
    assert_eq!(
        bolt.shorter.as_ref().map(|(code, _)| code.as_str()),
        Some("AN3-3")
    );
    assert_eq!(bolt.washers, [(1, "AN960-10L".to_owned())]);
    assert!(report.is_well(), "{:#?}", report.findings);
}

/// The rails run from fs 0 to 19 3/8 - 1/16 = 19 5/16, the floor to 19 3/8: in common 19 5/16. Less 3/4 at either end 17 13/16, which is
/// 19 spaces of 15/16: 20 rivets. The right rail's outer face is at bl 11, the row at 10 1/2; its leg ends at bl 10, 1/2 away (4 D);
/// the ends of the floor are 3/4 away (6 D), its side at bl 12 is 1 1/2 away. Grip 0.032 + 1/8 = 0.157; with 1.5 D 0.3445: between 11/32 and 3/8.
#[test]
fn the_floor() {
    for (report, side) in bay()[1..].iter().zip([-1.0, 1.0]) {
        assert_eq!(report.joint.count, Some(20));
        let rivets = report.joint.places_mm.iter().zip(0..);
        for (place, index) in rivets {
            near(place[0], 0.75 + 0.9375 * f64::from(index));
            near(place[1], 10.5 * side);
            near(place[2], 4.5 + 0.032);
        }
        near(report.grip_mm.unwrap(), 0.157);
        near(report.edges_mm[0].unwrap(), 0.75);
        near(report.edges_mm[1].unwrap(), 0.5);
        let Some(Purchase::Rivet(rivet)) = &report.buy else {
            panic!()
        };
        near(rivet.exact_mm, 0.3445);
        assert_eq!(rivet.code, "MS20470AD4-5.5");
        assert_eq!(report.hole.as_ref().unwrap().drill, "#30");
        assert!(report.is_well(), "{:#?}", report.findings);
    }
}

/// With the frame's flanges forward the stiffener meets the edge of a flange that its bolts would miss: 15 - 0.032 - 12 from the nearest
/// one for the last bolts, outside of the metal.
#[test]
fn a_flange_turned_leaves_the_bolts_without_metal() {
    let document: Document = read(BAY).unwrap();
    let turned = document.with_deviation("panel flanges forward").unwrap();
    let report = reports(&turned).swap_remove(0);
    let edge = report
        .findings
        .iter()
        .find(|finding| finding.what == What::Edge)
        .unwrap();
    assert_eq!(edge.part.as_deref(), Some("panel frame"));
    assert_eq!(edge.places.len(), 5);
    let least = edge
        .places
        .iter()
        .map(|spot| -spot.value_mm)
        .fold(f64::INFINITY, f64::min);
    near(least, 15.0 - 0.032 - 12.0);
}

fn told(args: &[&str]) -> (String, Option<u8>) {
    let model = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo-models/first-bay.ron");
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["strongback", "joints", model];
    let all = all.iter().chain(args).map(Into::into);
    let code = strongback::run(all, &mut out, &mut err);
    let status = (0..=2).find(|n| format!("{code:?}") == format!("{:?}", ExitCode::from(*n)));
    let text = String::from_utf8(out).unwrap() + &String::from_utf8(err).unwrap();
    (text.replace(model, "first-bay.ron"), status)
}

/// The picture of the floor's rivets: 15 times as large, so that the floor's 0.032 in are 12.192 mm of paper; and the same as PNG.
#[test]
fn as_it_is_drawn() {
    let folder = tempfile::TempDir::new().unwrap();
    for ending in ["svg", "png"] {
        let path = folder.path().join(format!("floor.{ending}"));
        let (_, code) = told(&["floor rivets R", "--svg", path.to_str().unwrap()]);
        assert_eq!(code, Some(0));
        let bytes = std::fs::read(&path).unwrap();
        if ending == "png" {
            assert!(bytes.starts_with(b"\x89PNG"));
            continue;
        }
        let svg = String::from_utf8(bytes).unwrap();
        assert!(
            svg.contains("scale 15 : 1") && svg.contains(r#"height="12.192""#),
            "{svg}"
        );
        insta::assert_snapshot!("joints-floor-picture", svg);
    }
}

/// Text without colours.
fn plain(text: &str) -> String {
    let mut pieces = text.split("\u{1b}[");
    let first = pieces.next().unwrap_or_default().to_owned();
    pieces.fold(first, |all, piece| {
        all + piece.split_once('m').map_or(piece, |(_, rest)| rest)
    })
}

#[test]
fn as_they_are_told() {
    for (name, args, status) in [
        ("joints-first-bay", &[][..], 0),
        (
            "joints-floor",
            &["floor rivets", "stiffener on frame"][..],
            0,
        ),
        ("joints-turned", &["--with", "panel flanges forward"][..], 1),
        ("joints-unknown", &["floor rivet"][..], 2),
        (
            "joints-picture-of-two",
            &["floor rivets", "--svg", "two.svg"][..],
            2,
        ),
    ] {
        let (text, code) = told(args);
        insta::assert_snapshot!(name, plain(&text));
        assert_eq!(code, Some(status), "{name}");
    }
}
