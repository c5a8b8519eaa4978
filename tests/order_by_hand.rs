//! The order of fitting of the first bay by hand, and as it is told. Inches.

use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::order::Order;
use strongback_model::record::Progress;
use strongback_model::source::read;
use strongback_model::trade::tools::Tool;
use strongback_model::words::Side;

const BAY: &str = include_str!("../demo-models/first-bay.ron");

fn order(text: &str) -> Order {
    let document: Document = read(text).unwrap_or_else(|fault| panic!("{fault:#?}"));
    let assembly = assemble(&document).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let solved = assembly.solve().unwrap();
    solved.fitting_order(&Progress::default())
}

/// The first and last rivets of the floor are 3/4 from the firewall and 13/16 from the panel frame: a gun of 1 1/2 in, 3/4 about its axis, just
/// touches the one and is clear of the other. Above the floor there are 15 in to the stiffener and more, the gun is 9 in long. Below, the bar
/// (5/16 about the axis) lies under the rail's leg, whose other leg hangs 1/2 - 1/8 = 3/8 away. So the floor can be riveted with all
/// else in, and nothing is in the way of anything.
///
/// The stiffener's bolts are 3/4 - 3/8 - 1/16 = 5/16 from its fwd leg. A wrench is 7/16 + 2 * 3/16 = 13/16 wide and meets it (13/32); a socket,
/// 7/16 + 2 * 1/16 = 9/16, doesn't (9/32). On the web's other side there is room for a wrench.
#[test]
fn the_first_bay() {
    let found = order(BAY);
    assert!(found.circle.is_none() && found.out_of_reach.is_empty());
    assert!(found.left_open.is_empty() && found.drill_first.is_empty());
    let closed: Vec<_> = found.steps.iter().flat_map(|step| &step.closes).collect();
    let way = |joint: &str| {
        let closed = closed.iter().find(|closed| closed.joint == joint).unwrap();
        let [way] = &closed.ways[..] else {
            panic!("{closed:#?}")
        };
        (way.tools.clone(), way.places)
    };
    let socket = vec![(Tool::Socket, Side::Fwd), (Tool::Wrench, Side::Aft)];
    assert_eq!(way("stiffener on frame"), (socket, 5));
    let gun = vec![(Tool::RivetGun, Side::Up), (Tool::BuckingBar, Side::Down)];
    assert_eq!(way("floor rivets L"), (gun.clone(), 20));
    assert_eq!(way("floor rivets R"), (gun, 20));
}

/// With a gun of 2 in the first rivets are too near to the firewall and the last to the frame: both go in once the floor is riveted.
#[test]
fn a_thicker_gun_makes_an_order() {
    let own =
        r#"tools: {"rivet gun": (sections: [("1/2 in", "3 in"), ("2 in", "6 in")])}, parts: {"#;
    let found = order(&BAY.replacen("parts: {", own, 1));
    let step = |part: &str| {
        let steps = found.steps.iter();
        let mut steps = steps.map(|step| step.parts.iter().any(|name| name == part));
        steps.position(|holds| holds).unwrap()
    };
    for part in ["firewall", "panel frame"] {
        assert!(step("rail R") < step(part) && step("floor") < step(part));
    }
}

/// The text, as a person reads it.
#[test]
fn as_it_is_told() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo-models/first-bay.ron");
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let words = ["strongback", "order", path].map(std::ffi::OsString::from);
    let _ = strongback::run(words, &mut out, &mut err);
    insta::assert_snapshot!(String::from_utf8(out).unwrap());
    assert!(err.is_empty());
}
