//! Least bend radii in inches.
//!
//! Source: bjg-design.com/designbook/shbend.htm, table in inches, no standard named there (read).

use strongback_model::trade::Known;
use strongback_model::trade::bending::radii::Table;

#[test]
fn rows_of_the_table() {
    let radii = Table::Inches.radii();
    assert_eq!(radii.source.known, Known::Read);
    for (alloy, thickness, least) in [
        ("2024-T3", 0.032, 0.125),
        ("2024-T3", 0.040, 0.188),
        ("2024-T3", 0.063, 0.250),
        ("2024-T3", 0.025, 0.094),
        ("2024-T3", 0.188, 0.875),
        ("6061-T6", 0.020, 0.063),
        ("6061-T6", 0.050, 0.156),
        ("6061-T4", 0.063, 0.125),
        ("5052-H34", 0.040, 0.094),
        ("2024-O", 0.125, 0.250),
        ("5052-H32", 0.080, 0.125),
        ("3003-O", 0.025, 0.031),
    ] {
        let is = radii.least(alloy, thickness * 25.4).map(|mm| mm / 25.4);
        assert!(
            is.is_some_and(|is| (is - least).abs() < 1e-12),
            "{alloy} {thickness}: {is:?}"
        );
    }
}
