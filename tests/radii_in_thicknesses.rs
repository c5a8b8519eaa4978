//! Least bend radii in multiples of the thickness.
//!
//! Source: a mill's aluminium handbook, page VII-78, January 2005, table 3-1, recommended minimum bend radii for 90 degree cold bends
//! (read); its 6061 rows from bjg-design.com/designbook/shbend.htm (read).

use strongback_model::trade::Known;
use strongback_model::trade::bending::radii::Table;

#[test]
fn rows_of_the_table() {
    let radii = Table::Multiples.radii();
    assert_eq!(radii.source.known, Known::Read);
    for (alloy, thickness, times) in [
        ("2024-T3", 1.0 / 16.0, 4.0),
        ("6061-T6", 1.0 / 16.0, 1.5),
        ("2024-T3", 1.0 / 32.0, 3.0),
        ("2024-T4", 1.0 / 8.0, 5.0),
        ("2024-O", 1.0 / 16.0, 0.0),
        ("5052-H34", 1.0 / 4.0, 2.5),
        ("6061-T4", 1.0 / 2.0, 4.0),
        // sold for 1/16 and 1/32: 0.252 and 0.096
        ("2024-T3", 0.063, 4.0),
        ("2024-T3", 0.032, 3.0),
    ] {
        let is = radii.least(alloy, thickness * 25.4).map(|mm| mm / 25.4);
        assert!(
            is.is_some_and(|is| (is - times * thickness).abs() < 1e-12),
            "{alloy} {thickness}: {is:?}"
        );
    }
}
