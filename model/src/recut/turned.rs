//! Drilled parts whose flange is turned: the holes that they have are compared with those that they are to have, by hand. Lengths in
//! inches.
#![allow(clippy::unwrap_used, clippy::panic)]

use super::tests::progress;
use super::*;
use crate::assembly::assemble;
use crate::change::Change;
use crate::document::Document;
use crate::record::Stage;
use crate::shift::shift;
use crate::source::read;

/// A bulkhead as wide to the left as to the right, and a doubler riveted to its aft face.
fn bulkhead(doubler_at: &str, rows: &str, holes: &str) -> Document {
    let text = format!(
        r#"(format: 1, title: "last bulkhead", unit: Inch, fit: "1/32 in",
        parts: {{
            "bulkhead": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Fwd, at: (bl: 0, wl: 0), outline: [(-5, 0), (5, 0), (4, 13), (-4, 13)], holes: {{{holes}}}),
            "doubler": Plate(lies: Across, thickness: "0.063 in", width: 7, height: 5, at: (bl: "{doubler_at}")),
        }}, relations: {{
            "bulkhead at datum": Flush("bulkhead.web_fwd", "datum.station"),
            "doubler on": BoltedBehind(part: "doubler", to: "bulkhead.web_aft", with: MS20470AD4, rows: [{rows}]),
            "doubler low": Spaced(from: "bulkhead.bottom", to: "doubler.bottom", by: "1/2 in"),
        }})"#
    );
    read(&text).unwrap()
}

fn reversed(document: &Document, stage: Stage) -> PartVerdict {
    let changes: Vec<Change> = read(r#"[Reverse("bulkhead")]"#).unwrap();
    let changed = document.with_changes(&changes).unwrap();
    let (plan, then) = (assemble(document).unwrap(), assemble(&changed).unwrap());
    let (plan, then) = (plan.solve().unwrap(), then.solve().unwrap());
    let (old, new) = (plan.layout(), then.layout());
    assert!(old.is_sound() && new.is_sound(), "{:?}", old.loose);
    let shift = shift(&old, &new);
    let joints = [plan.bought(), then.bought()];
    let [was, is] = [&old, &new].map(Standing::from);
    let was = Standing {
        joints: &joints[0],
        ..was
    };
    let is = Standing {
        joints: &joints[1],
        ..is
    };
    let all = verdicts(was, is, &shift, &progress("bulkhead", stage));
    all.of("bulkhead").unwrap().clone()
}

const LEFT: &str = r#"(beside: "doubler.left", by: "3/8 in", ends: "3/8 in", pitch: "1 in")"#;
const RIGHT: &str = r#"(beside: "doubler.right", by: "3/8 in", ends: "3/8 in", pitch: "1 in")"#;

/// The doubler is 7 wide about buttock line 0, so that its rows stand at 3 1/8 left and right, and turned about the upright they change
/// places. With one row, or with the doubler 1/4 aside, a hole at 3 1/8 would come to lie where none is wanted.
#[test]
fn a_pattern_that_falls_on_itself_is_turned_with_the_part() {
    let both = format!("{LEFT}, {RIGHT}");
    let turned = reversed(&bulkhead("0 in", &both, ""), Stage::Drilled);
    assert_eq!(turned.verdict, Verdict::TurnRound, "{turned:#?}");
    assert_eq!(turned.steps.len(), 1);
    assert!(turned.hours_lost == 0.0 && turned.stock.is_empty());
    for (at, rows) in [("0 in", LEFT), ("1/4 in", &both)] {
        let anew = reversed(&bulkhead(at, rows, ""), Stage::Drilled);
        assert_eq!(
            (anew.verdict, &anew.steps[0].why),
            (Verdict::MakeAnew, &Some(Why::Drilled)),
            "{at}, {rows}"
        );
        // while it isn't drilled it serves
        let turned = reversed(&bulkhead(at, rows, ""), Stage::Cut);
        assert_eq!(turned.verdict, Verdict::TurnRound);
    }
}

/// Two more holes of the bulkhead itself, 3 left and right: alike if they are as wide, and not if one is 1/4 and the other one 3/8.
#[test]
fn holes_as_wide_as_one_another_change_places() {
    let both = format!("{LEFT}, {RIGHT}");
    let pair = |right: &str| {
        let holes = format!(
            r#""left": (bl: -3, wl: 10, diameter: "1/4 in"), "right": (bl: 3, wl: 10, diameter: "{right}")"#
        );
        reversed(&bulkhead("0 in", &both, &holes), Stage::Drilled).verdict
    };
    assert_eq!(pair("1/4 in"), Verdict::TurnRound);
    assert_eq!(pair("3/8 in"), Verdict::MakeAnew);
}

/// Four rivets, and nobody says where.
#[test]
fn where_no_row_is_stated_it_can_t_be_told() {
    let text = bulkhead("0 in", LEFT, "");
    let changes = r#"[Replace("doubler on", BoltedBehind(part: "doubler", to: "bulkhead.web_aft", with: MS20470AD4, count: 4))]"#;
    let bare = text
        .with_changes(&read::<Vec<Change>>(changes).unwrap())
        .unwrap();
    let anew = reversed(&bare, Stage::Drilled);
    assert_eq!(
        (anew.verdict, &anew.steps[0].why),
        (Verdict::MakeAnew, &Some(Why::HolesNotStated))
    );
}
