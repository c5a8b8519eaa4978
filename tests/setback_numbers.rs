//! Setback numbers against the table.
//!
//! Source: FAA AC 43.13-1B, table 4-7, p. 4-15 (8 September 1998), K-chart for determining setback for bends other than 90 degrees
//! (read). All of its 179 entries agree with tan(N/2) to one unit of their last digit but 86 (0.9324 for 0.9325), 159 (5.399 for
//! 5.396) and 176, a misprint 7 % low; the spot values here leave those out.

use strongback_model::trade::bending::{setback, setback_number};

const TABLE: &[(f64, f64, f64)] = &[
    (5.0, 0.0436, 1e-4),
    (10.0, 0.0874, 1e-4),
    (15.0, 0.1316, 1e-4),
    (20.0, 0.1763, 1e-4),
    (30.0, 0.2679, 1e-4),
    (40.0, 0.3639, 1e-4),
    (45.0, 0.4142, 1e-4),
    (50.0, 0.4663, 1e-4),
    (60.0, 0.5773, 1e-4),
    (70.0, 0.7002, 1e-4),
    (75.0, 0.7673, 1e-4),
    (80.0, 0.8391, 1e-4),
    (85.0, 0.9163, 1e-4),
    (90.0, 1.000, 1e-9),
    (95.0, 1.091, 1e-3),
    (100.0, 1.191, 1e-3),
    (105.0, 1.303, 1e-3),
    (110.0, 1.428, 1e-3),
    (115.0, 1.569, 1e-3),
    (120.0, 1.732, 1e-3),
    (125.0, 1.921, 1e-3),
    (130.0, 2.144, 1e-3),
    (135.0, 2.414, 1e-3),
    (140.0, 2.747, 1e-3),
    (145.0, 3.171, 1e-3),
    (150.0, 3.732, 1e-3),
    (160.0, 5.671, 1e-3),
    (170.0, 11.43, 1e-2),
    (175.0, 22.90, 1e-2),
    (179.0, 114.59, 1e-2),
];

fn number(degrees: f64) -> f64 {
    setback_number(degrees.to_radians())
}

#[test]
fn the_table() {
    for (degrees, printed, last_digit) in TABLE {
        let is = number(*degrees);
        assert!((is - printed).abs() <= *last_digit, "{degrees}: {is}");
    }
}

/// Between its neighbours 175 and 177 the number rises evenly enough that 26.63 can't be meant.
#[test]
fn the_entry_at_176_is_a_misprint() {
    let printed = 26.63;
    assert!((number(176.0) - 28.636).abs() < 1e-3, "computed");
    assert!(printed / number(176.0) < 0.94);
}

#[test]
fn a_setback_is_the_number_times_radius_and_thickness() {
    assert!((setback(60_f64.to_radians(), 0.125, 0.032) - 0.5773 * 0.157).abs() < 1e-4);
}
