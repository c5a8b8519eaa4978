//! Least bend radii of an airframe maker.
//!
//! Source: an extrusion supplier's page on forming tolerances, which says that it follows an airframe maker's process specification; four gauges of it
//! (second-hand).

use strongback_model::trade::Known;
use strongback_model::trade::bending::radii::Table;

#[test]
fn rows_of_the_table() {
    let radii = Table::AirframeMaker.radii();
    assert_eq!(radii.source.known, Known::SecondHand);
    for (alloys, row) in [
        (["6061-T4", "2024-O"], [0.030, 0.030, 0.060, 0.060]),
        (["2024-T3", "6061-T6"], [0.060, 0.060, 0.090, 0.120]),
        (["7075-T6", "7075-T6"], [0.090, 0.090, 0.120, 0.160]),
    ] {
        for alloy in alloys {
            for (thickness, least) in [0.016, 0.020, 0.025, 0.032].into_iter().zip(row) {
                let is = radii.least(alloy, thickness * 25.4).map(|mm| mm / 25.4);
                assert!(is.is_some_and(|is| (is - least).abs() < 1e-12), "{alloy}");
            }
        }
    }
    assert_eq!(
        radii.least("2024-T3", 0.040 * 25.4),
        None,
        "beyond its last row"
    );
}
