//! Orders by hand. Inches in the texts and comments.

#![allow(clippy::unwrap_used, clippy::panic)]

use super::{LinkWhy, Order, Reason, WayOut, WhyNot, WhyOpen};
use crate::assembly::assemble;
use crate::document::Document;
use crate::record::{Made, Progress, Stage};
use crate::source::{Fault, read};
use crate::words::Side;

fn document(parts: &str, relations: &str, more: &str) -> Document {
    let text = format!(
        "(format: 1, title: \"t\", unit: Inch, fit: \"1/32 in\", parts: {{ {parts} }}, relations: {{ {relations} }}, {more})"
    );
    read(&text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn built(document: &Document, fitted: &[&str]) -> Order {
    let assembly = assemble(document).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let made = Made {
        stage: Stage::Fitted,
        hours: 0.0,
    };
    let fitted = fitted.iter().map(|name| ((*name).to_owned(), made));
    let solved = assembly.solve().unwrap();
    solved.fitting_order(&Progress(fitted.collect()))
}

fn order(document: &Document) -> Order {
    built(document, &[])
}

fn parts(order: &Order) -> Vec<Vec<&str>> {
    let steps = order.steps.iter();
    steps
        .map(|step| step.parts.iter().map(String::as_str).collect())
        .collect()
}

fn faults(document: &Document) -> Vec<Fault> {
    assemble(document).map(|_| ()).unwrap_err()
}

/// Two plates that lie flat on one another, 6 in long and 4 in wide: 0.032 over 0.050, and one rivet in the middle of the width, 3 in from
/// the fwd edge.
const PLATES: &str = r#"
    "upper": Plate(lies: Flat, thickness: "0.032 in", length: "6 in", width: "4 in", at: (fs: 0, bl: 0, wl: "0.05 in")),
    "lower": Plate(lies: Flat, thickness: "0.050 in", length: "6 in", width: "4 in", at: (fs: 0, bl: 0, wl: 0)),"#;
const RIVET: &str = r#""rivet": Seam(layers: ["upper", "lower"], heads: Up, with: MS20470AD4,
    rows: [(beside: "upper.fwd", by: "3 in", ends: "1 in", count: 1)]),"#;

/// A cover over the plates, `gap` inches above them, and the same below: 6 in long and wide, so that no handle leads out from under it.
fn covers(above: &str, below: &str) -> String {
    let cover = |name: &str, wl: &str| {
        format!(
            r#""{name}": Plate(lies: Flat, thickness: "0.032 in", length: "30 in", width: "30 in", at: (fs: -12, bl: 0, wl: "{wl}")),"#
        )
    };
    let mut text = PLATES.to_owned();
    if !above.is_empty() {
        text.push_str(&cover("lid", above));
    }
    if !below.is_empty() {
        text.push_str(&cover("tray", below));
    }
    text
}

/// The gun is 9 in long with its set: 4 in above the rivet there is room for a bar, and none below for the gun 4 in off either. With one
/// cover the gun stands on the other side; with both the rivet has to be set before one of them goes in.
#[test]
fn a_cover_goes_in_once_the_rivet_is_set() {
    let one = order(&document(&covers("4 in", ""), RIVET, ""));
    assert!(one.circle.is_none());
    let both = document(&covers("4 in", "-4 in"), RIVET, "");
    let found = order(&both);
    assert_eq!(
        parts(&found),
        [vec!["upper"], vec!["lower"], vec!["lid"], vec!["tray"]]
    );
    assert_eq!(
        found.steps[3].reasons,
        [Reason::OutOfTheWay {
            joints: vec!["rivet".to_owned()]
        }]
    );
    let tools: Vec<_> = found.steps[1].closes[0].ways[0]
        .tools
        .iter()
        .map(|(tool, side)| (tool.word(), *side))
        .collect();
    assert_eq!(
        tools,
        [("rivet gun", Side::Up), ("bucking bar", Side::Down)]
    );
}

/// The drill with its chuck is 8 in long, the angle drill 1 1/2 in: under a lid 4 in above and a tray 4 in below only the latter works.
/// With covers 1 1/4 in off neither does: the holes are drilled before.
#[test]
fn holes_are_drilled_before_a_cover_takes_the_room() {
    let late = r#"order: {"late": OpenUntil("rivet", "lid")}, tools: {"rivet gun": (sections: [("1/2 in", "1 in")])}"#;
    let found = order(&document(&covers("4 in", "-4 in"), RIVET, late));
    assert!(found.circle.is_none() && found.drill_first.is_empty());
    let near = document(&covers("1 1/4 in", "-1 1/4 in"), RIVET, late);
    let found = order(&near);
    assert_eq!(
        parts(&found),
        [vec!["upper"], vec!["lower"], vec!["lid"], vec!["tray"]]
    );
    assert!(
        found.drill_first.is_empty(),
        "the tray comes after it closes"
    );
    let later = late.replace(
        "\"late\"",
        "\"tray first\": Before(\"tray\", \"lid\"), \"late\"",
    );
    let found = order(&document(&covers("1 1/4 in", "-1 1/4 in"), RIVET, &later));
    let [first] = &found.drill_first[..] else {
        panic!("{:#?}", found.drill_first)
    };
    assert_eq!(first.before.as_deref(), Some("lid"));
    assert_eq!(first.layers, ["upper", "lower"]);
    assert_eq!((first.places, first.step, first.own), (1, Some(4), false));
    let [open] = &found.left_open[..] else {
        panic!("{:#?}", found.left_open)
    };
    assert_eq!(open.why, WhyOpen::Stated("late".to_owned()));
    assert_eq!(
        (open.step, &open.until[..]),
        (4, &["tray".to_owned(), "lid".to_owned()][1..])
    );
}

/// Both covers have to be in before the lower plate: the rivet, which closes with it, can't be set. A pull rivet needs 6 1/2 in of room.
#[test]
fn a_circle_is_told_with_its_reasons() {
    let stated = r#"order: {"tray first": (is: Before("tray", "lower"), because: "it hangs there"), "lid first": Before("lid", "lower"), "apart": Before("upper", "lower")}"#;
    let found = order(&document(&covers("4 in", "-4 in"), RIVET, stated));
    assert!(found.steps.is_empty());
    let circle = found.circle.unwrap();
    assert!(circle.smallest);
    assert_eq!(circle.parts, ["upper", "lower", "lid", "tray"]);
    let stated: Vec<_> = circle
        .links
        .iter()
        .filter_map(|link| match &link.why {
            LinkWhy::Stated {
                statement, because, ..
            } => Some((statement.as_str(), because.as_deref())),
            LinkWhy::Joint { .. } => None,
        })
        .collect();
    assert_eq!(
        stated,
        [
            ("apart", None),
            ("lid first", None),
            ("tray first", Some("it hangs there"))
        ]
    );
    let joint = circle.links.iter().find_map(|link| match &link.why {
        LinkWhy::Joint { in_the_way, .. } => Some((&link.parts[..], &in_the_way[..])),
        LinkWhy::Stated { .. } => None,
    });
    let (parts, in_the_way) = joint.unwrap();
    assert_eq!(parts, ["lower"]);
    assert_eq!(in_the_way, ["lid", "tray"]);
    assert!(
        !circle
            .ways_out
            .iter()
            .any(|out| matches!(out, WayOut::Pull { .. }))
    );
    assert!(
        circle
            .ways_out
            .contains(&WayOut::TakeBack("lid first".to_owned()))
    );
}

/// 7 in below is enough for a puller and not for a gun of 9 in.
#[test]
fn a_pull_rivet_is_a_way_out() {
    let stated =
        r#"order: {"tray first": Before("tray", "lower"), "lid first": Before("lid", "lower")}"#;
    let found = order(&document(&covers("4 in", "-7 in"), RIVET, stated));
    let circle = found.circle.unwrap();
    assert!(circle.ways_out.contains(&WayOut::Pull {
        joint: "rivet".to_owned(),
        from: Side::Down
    }));
}

/// A seam that is kept open until the second cover is in can't be set then: the statement and the seam contradict one another.
#[test]
fn kept_open_too_long() {
    let stated =
        r#"order: {"lid too": OpenUntil("rivet", "lid"), "tray too": OpenUntil("rivet", "tray")}"#;
    let found = order(&document(&covers("4 in", "-4 in"), RIVET, stated));
    let circle = found.circle.unwrap();
    let [link] = &circle.links[..] else {
        panic!("{:#?}", circle.links)
    };
    let LinkWhy::Joint { kept_open_by, .. } = &link.why else {
        panic!()
    };
    assert_eq!(kept_open_by, &["lid too", "tray too"]);
    assert_eq!(link.parts.len(), 4);
}

/// A plate on the inside of a channel's back, 0.8 in between the flanges, and one AN3 in the middle, 0.4 from either flange. A wrench is
/// 7/16 + 3/8 = 13/16 wide, and meets both. A socket, 7/16 + 1/8 = 9/16, goes in; its ratchet stands 1 1/4 off, above flanges of 1 in and
/// within ones of 9 in, where it (5/8 from the axis) meets them: the channel's own metal, so in any order. A drill's chuck (3/4) meets
/// flanges of 9 in too, but it drills from the other side.
#[test]
fn a_bolt_deep_in_a_channel_is_out_of_reach() {
    let channel = |deep: &str| {
        document(
            &format!(
                r#""channel": Channel(runs: Across, length: "30 in", web: "0.9 in", flange: "{deep}", thickness: "0.050 in", back: Fwd, web_along: Waterline, at: (fs: 0, bl: 0, wl: 0)),
                "plate": Plate(lies: Across, thickness: "0.050 in", width: "3 in", height: "0.7 in", at: (bl: "15 in", wl: "-0.35 in")),"#
            ),
            r#""bolt": BoltedBehind(part: "plate", to: "channel.web_inside", with: AN3, rows: [(beside: "plate.bottom", by: "0.35 in", ends: "1 in", count: 1)]),"#,
            "",
        )
    };
    let found = order(&channel("1 in"));
    assert!(found.out_of_reach.is_empty(), "{:#?}", found.out_of_reach);
    let closed = found.steps.iter().flat_map(|step| &step.closes).next();
    assert_eq!(
        closed.unwrap().ways[0].tools[0],
        (crate::trade::tools::Tool::Socket, Side::Aft)
    );
    let found = order(&channel("9 in"));
    let [lost] = &found.out_of_reach[..] else {
        panic!("{found:#?}")
    };
    assert_eq!(lost.in_the_way, ["channel"]);
    assert!(lost.own && found.circle.is_none());
    assert!(found.drill_first.is_empty());
}

/// What is fitted is in: with both covers fitted the rivet is out of reach, and no order is asked for that.
#[test]
fn what_is_fitted_counts() {
    let both = document(
        &covers("4 in", "-4 in"),
        RIVET,
        r#"order: {"late": Before("lower", "lid")}"#,
    );
    let found = built(&both, &["lid", "tray"]);
    assert_eq!(found.fitted, ["lid", "tray"]);
    assert_eq!(parts(&found), [["upper"], ["lower"]]);
    let [lost] = &found.out_of_reach[..] else {
        panic!("{:#?}", found.out_of_reach)
    };
    assert_eq!(lost.in_the_way, ["lid", "tray"]);
    assert!(!lost.own);
    assert_eq!(found.broken, ["late"]);
    // what is set already is not asked for again
    let found = built(&both, &["upper", "lower", "lid"]);
    assert_eq!(parts(&found), [["tray"]]);
    assert!(found.out_of_reach.is_empty() && found.steps[0].closes.is_empty());
}

#[test]
fn a_joint_without_places_is_not_looked_at() {
    let bare = RIVET.replace(
        r#"rows: [(beside: "upper.fwd", by: "3 in", ends: "1 in", count: 1)]"#,
        "count: 4",
    );
    let found = order(&document(&covers("1/4 in", "-1/4 in"), &bare, ""));
    assert!(found.circle.is_none());
    assert_eq!(found.not_looked_at[0].why, WhyNot::NoPlaces);
}

/// A rivet beside the leg of an angle. A bar 5/8 in across reaches 5/16 in to all sides when it is centred; held off the rivet's axis it
/// has only to cover the tail, 3/16 in across on a 1/8 rivet: 3/32 in from the leg.
#[test]
fn a_bucking_bar_is_held_off_centre() {
    let reached = |from_leg: f64| {
        let parts = r#"
            "upper": Plate(lies: Flat, thickness: "0.032 in", length: "6 in", width: "4 in", at: (fs: 0, bl: 0, wl: "0.05 in")),
            "lower": Angle(runs: FwdAft, length: "6 in", legs: (down: "5 in", left: "1 in"), thickness: "0.050 in", at: (fs: 0, bl: 1, wl: "0.05 in")),"#;
        let by = from_leg + 0.05;
        let rivet = format!(
            r#""rivet": Seam(layers: ["upper", "lower"], heads: Up, with: MS20470AD4, rows: [(beside: "lower.right", by: "{by} in", ends: "3 in", count: 1)]),"#
        );
        order(&document(parts, &rivet, "")).out_of_reach.is_empty()
    };
    assert_eq!(
        [0.32, 0.25, 0.1, 0.09].map(reached),
        [true, true, true, false]
    );
}

#[test]
fn what_is_stated_is_checked() {
    for (order, told, help) in [
        (
            r#""a": Before("uper", "lower")"#,
            "there is no part `uper`",
            "upper",
        ),
        (r#""a": Before("upper", "upper")"#, "before itself", ""),
        (
            r#""a": OpenUntil("rivets", "lower")"#,
            "there is no joint `rivets`",
            "rivet",
        ),
        (
            r#""a": (is: Before("upper", "lower"), within: "1 in")"#,
            "`within` is none of it",
            "because",
        ),
    ] {
        let faults = faults(&document(PLATES, RIVET, &format!("order: {{ {order} }}")));
        assert!(faults[0].message.contains(told), "{}", faults[0].message);
        assert!(faults[0].help.clone().unwrap_or_default().contains(help));
    }
    for (tool, told) in [
        (r#""dril": (sections: [(1, 1)])"#, "there is no tool `dril`"),
        (r#""drill": (sections: [])"#, "no sections"),
        (r#""drill": (sections: [(0, 1)])"#, "greater than zero"),
    ] {
        let faults = faults(&document(PLATES, RIVET, &format!("tools: {{ {tool} }}")));
        assert!(faults[0].message.contains(told), "{}", faults[0].message);
    }
}

/// Nothing is left that names what a deviation leaves out.
#[test]
fn statements_go_with_their_parts_and_joints() {
    let stated = r#"order: {"a": Before("upper", "tray"), "b": OpenUntil("rivet", "tray"), "c": Before("upper", "lid")},
        deviations: {"no tray": (changes: [Drop("tray")]), "no rivet": (changes: [Drop("rivet")]), "no lower": (changes: [Drop("lower")]),
            "no joint": (changes: [Replace("rivet", Against("upper.bottom", "lower.top"))])}"#;
    let plan = document(&covers("4 in", "-4 in"), RIVET, stated);
    let left = |deviation: &str| -> Vec<String> {
        let other = plan.with_deviation(deviation).unwrap();
        order(&other);
        other.order.names().map(str::to_owned).collect()
    };
    assert_eq!(left("no tray"), ["c"]);
    assert_eq!(left("no rivet"), ["a", "c"]);
    // the rivet goes with its layer
    assert_eq!(left("no lower"), ["a", "c"]);
    assert_eq!(left("no joint"), ["a", "b", "c"]);
    let other = plan.with_deviation("no joint").unwrap();
    assert_eq!(order(&other).idle, ["b"]);
}
