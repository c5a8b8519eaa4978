//! Rivet numbers and drills against parts lists and repair manuals. The mark beside each value says how it is known.

use strongback_model::trade::Known;
use strongback_model::trade::drills::{RIVET_DRILLS, hole_of};
use strongback_model::trade::fastener::Fastener;
use strongback_model::trade::rivets::{self, Length};

/// First dash in 32nds, second in 16ths (read: TM 10-7360-209-13P, par. 5-3; parts lists): MS20470AD4-5 is 0.125 by 0.3125 (computed).
#[test]
fn numbers() {
    assert_eq!(Fastener::MS20470AD4.diameter_mm() / 25.4, 0.125);
    let length = Length { thirty_seconds: 10 };
    assert_eq!((length.dash().as_str(), length.inches()), ("5", 0.3125));
    assert_eq!(rivets::CODE.known, Known::Read);
}

/// Only the 1/8 rivet has one drill in all columns: #30, 0.1285. (Handbooks' column from memory, which is the one in use; a fighter
/// repair manual of the 1940s and TM 10-5410-221-14/1, table 4-3, read.)
#[test]
fn drills() {
    let known: Vec<Known> = RIVET_DRILLS
        .iter()
        .map(|column| column.source.known)
        .collect();
    assert_eq!(known, [Known::FromMemory, Known::Read, Known::Read]);
    for column in &RIVET_DRILLS {
        let drill = column.drills[1].unwrap();
        assert_eq!((drill.name, drill.inches), ("#30", 0.1285));
    }
    let read = [
        ("#41", 0.096),
        ("#30", 0.1285),
        ("#22", 0.157),
        ("#12", 0.189),
        ("1/4", 0.250),
    ];
    for (found, wanted) in RIVET_DRILLS[1].drills.iter().zip(read) {
        let found = found.unwrap();
        assert_eq!((found.name, found.inches), wanted);
    }
    let in_use = hole_of(Fastener::MS20426AD3).unwrap();
    assert_eq!(
        (in_use.drill.name, in_use.source.known),
        ("#40", Known::FromMemory)
    );
}

/// TM 10-5410-221-14/1, table 4-3 (read), gives holes as ranges: 0.096 to 0.100, 0.128 to 0.132, 0.160 to 0.164, 0.257 to 0.261. The
/// drills that it names lie in them.
#[test]
fn ranges() {
    let ranges = [
        Some(0.096..=0.100),
        Some(0.128..=0.132),
        Some(0.160..=0.164),
        None,
        Some(0.257..=0.261),
    ];
    for (drill, range) in RIVET_DRILLS[2].drills.iter().zip(ranges) {
        assert_eq!(drill.is_some(), range.is_some());
        if let (Some(drill), Some(range)) = (drill, range) {
            assert!(range.contains(&drill.inches), "{}", drill.name);
        }
    }
}
