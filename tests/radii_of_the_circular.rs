//! Least bend radii of AC 43.13-1B.
//!
//! Source: FAA AC 43.13-1B, table 4-6, recommended radii for 90-degree bends in aluminum alloys: all of it from memory; second-hand are
//! 2024-T3 at 0.064, 3 to 5 t, and the row of 6061-T6. The greater end of each range is taken.

use strongback_model::trade::Known;
use strongback_model::trade::bending::radii::Table;

#[test]
fn rows_of_the_table() {
    let radii = Table::RepairCircular.radii();
    assert_eq!(radii.source.known, Known::FromMemory);
    for (alloy, thickness, times) in [
        ("2024-T3", 0.064, 5.0),
        ("2024-T3", 0.032, 4.0),
        ("6061-T6", 0.016, 1.0),
        ("6061-T6", 0.032, 1.5),
        ("6061-T6", 0.182, 4.0),
        ("7075-T6", 0.258, 10.0),
    ] {
        let is = radii.least(alloy, thickness * 25.4).map(|mm| mm / 25.4);
        assert!(
            is.is_some_and(|is| (is - times * thickness).abs() < 1e-12),
            "{alloy} {thickness}: {is:?}"
        );
    }
}
