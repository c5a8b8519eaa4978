//! Joints against FAA AC 43.13-1B (8 Sep 1998, Chg 1 27 Sep 2001), chapter 4. The mark beside each value says how it is known.

use crate::model_text::{assembled, document, solved};
use strongback_model::joint::{JointReport, Purchase, What};
use strongback_model::trade::fastener::Fastener;
use strongback_model::trade::rivets;
use strongback_model::trade::{Known, gauges};

const INCH: f64 = 25.4;

/// A splice: a strap over the butt of two sheets of clad 2024, 10 in wide; of one side of it two rows.
fn splice(rows: &str) -> JointReport {
    let body = format!(
        r#"parts: {{
            "sheet": Plate(lies: Flat, thickness: "0.032 in", length: "6 in", width: "10 in", at: (fs: 0, bl: 0, wl: "-0.032 in")),
            "strap": Plate(lies: Flat, thickness: "0.032 in", length: "2 in", width: "10 in", at: (fs: "4 in", bl: 0, wl: 0)),
        }},
        relations: {{ "splice": Seam(layers: ["strap", "sheet"], heads: Up, with: MS20470AD4, rows: [{rows}]) }},"#
    );
    let assembly = assembled(&document("Inch", &body));
    solved(&assembly)
        .joint_reports()
        .into_iter()
        .next()
        .unwrap()
}

/// Par. 4-58g, p. 4-27 (read): T 0.032, 3 T = 0.096, 1/8 in rivets are used; table 4-10 (p. 4-38, read) has 4.9 an inch, of which note c
/// allows 75 per cent: 3.7; over 10 in 37 rivets, in two rows 19 each. At the least spacing of fig. 4-5(A), 4 D, 40 would go in.
#[test]
fn the_splice_of_paragraph_4_58() {
    let three_times = 3.0 * 0.032;
    let sizes = Fastener::ALL.iter().filter(|fastener| fastener.is_rivet());
    let chosen = sizes
        .filter(|fastener| fastener.diameter_mm() >= three_times * INCH)
        .min_by(|a, b| a.diameter_mm().total_cmp(&b.diameter_mm()));
    assert_eq!(chosen, Some(&Fastener::MS20470AD4));
    // rounded to a tenth, as it is printed
    let an_inch = (4.9_f64 * 0.75 * 10.0).round() / 10.0;
    let wanted = (an_inch * 10.0).round() as usize;
    assert_eq!((an_inch, wanted), (3.7, 37));
    let each = wanted.div_ceil(2);
    assert_eq!(each, 19);

    let rows = |how: &str| {
        let row = |by: &str| format!(r#"(beside: "strap.fwd", by: "{by}", ends: "1/4 in", {how})"#);
        format!("{}, {}", row("1/4 in"), row("5/8 in"))
    };
    let stated = splice(&rows("count: 19"));
    assert_eq!(stated.joint.count, Some(2 * each));
    assert!(stated.is_well(), "{:#?}", stated.findings);
    let diameter = |finding: &&strongback_model::joint::Finding| finding.what == What::Diameter;
    assert_eq!(stated.findings.iter().find(diameter), None);
    let most = splice(&rows(r#"pitch: "1/2 in""#));
    assert_eq!(most.joint.count, Some(40));
    assert!(most.is_well(), "{:#?}", most.findings);
    assert_eq!(
        most.rows.iter().map(|row| row.count).collect::<Vec<_>>(),
        [20, 20]
    );
}

/// Par. 4-57c as a builder's glossary quotes it (second-hand): edge 2 D, pitch 3 D: of a 1/8 rivet 0.250 and 0.375.
#[test]
fn edge_and_pitch_of_an_eighth() {
    let d = Fastener::MS20470AD4.diameter_mm();
    assert_eq!(rivets::EDGE_LEAST.source.known, Known::SecondHand);
    assert!((rivets::EDGE_LEAST.times * d - 0.250 * INCH).abs() < 1e-9);
    assert!((rivets::PITCH_LEAST.times * d - 0.375 * INCH).abs() < 1e-9);
    let row = |by: &str, ends: &str, pitch: &str| {
        splice(&format!(
            r#"(beside: "strap.fwd", by: "{by}", ends: "{ends}", pitch: "{pitch}")"#
        ))
    };
    assert!(row("0.250 in", "0.250 in", "0.375 in").is_well());
    let edge = row("0.249 in", "0.250 in", "0.375 in");
    assert!(
        edge.findings
            .iter()
            .any(|finding| finding.what == What::Edge && finding.violates)
    );
    // 9 1/2 in in spaces of 0.37: 25, of 0.38 each; so stated by its count
    let close = splice(r#"(beside: "strap.fwd", by: "1/4 in", ends: "1/4 in", count: 27)"#);
    assert!(
        close
            .findings
            .iter()
            .any(|finding| finding.what == What::Pitch && finding.violates)
    );
}

/// Par. 4-57a(4), p. 4-16 (read): MS20470AD4-3.5 is a size; 7/32 (computed).
#[test]
fn half_sizes_are_bought() {
    let choice = rivets::choose(0.125, 0.032).unwrap();
    assert_eq!(
        (choice.chosen.dash().as_str(), choice.chosen.inches()),
        ("3.5", 0.21875)
    );
    let thin = splice(r#"(beside: "strap.fwd", by: "1/4 in", ends: "1/4 in", count: 9)"#);
    let Some(Purchase::Rivet(rivet)) = thin.buy else {
        panic!()
    };
    assert_eq!(rivet.code, "MS20470AD4-4");
}

/// Tables 4-10 and 4-11 (read) have older gauges; each has a nearest one in use (computed).
#[test]
fn older_gauges() {
    let pairs = [
        (0.051, 0.050),
        (0.064, 0.063),
        (0.081, 0.080),
        (0.091, 0.090),
        (0.102, 0.100),
        (0.128, 0.125),
    ];
    for (older, now) in pairs {
        assert_eq!(gauges::nearest(older), now);
        assert!(gauges::OLDER.contains(&(older, now)));
    }
}
