//! `order` as text: a table of steps, what stays open, what is drilled first, what is out of reach, the tools.

use strongback_model::order::{
    Closed, DrillFirst, LeftOpen, Order, OutOfReach, Reason, Step, ToolInUse, WhyNot, WhyOpen,
};
use strongback_model::quantity::Unit;
use strongback_model::trade::tools::{TOOLS, Tool};
use strongback_model::words::Side;

use super::table::{Stands, indented, table, wrapped};
use super::{figures, order_circle};
use crate::command::OrderAnswer;

/// What is not looked at.
const ROOM_ONLY: &str = "Only the room to drill and to set fasteners is looked at: not how a part is brought to its place, nor whether a hand fits.";

/// The verdict in one line.
pub fn verdict(order: &Order) -> String {
    let mut told = match (&order.circle, order.steps.len()) {
        (Some(circle), _) => format!(
            "There is no order: {} keep one another from going in last.",
            figures::count(circle.parts.len(), "part", "parts")
        ),
        (None, 0) => "All parts are fitted.".to_owned(),
        (None, steps) => {
            let parts = order.steps.iter().map(|step| step.parts.len()).sum();
            format!(
                "{} in {}.",
                figures::count(parts, "part", "parts"),
                figures::count(steps, "step", "steps")
            )
        }
    };
    if !order.fitted.is_empty() && !order.steps.is_empty() {
        told.push_str(&format!(
            " {} fitted already.",
            figures::count(order.fitted.len(), "part is", "parts are")
        ));
    }
    let mut note = |n: usize, one: &str, many: &str| {
        if n > 0 {
            told.push_str(&format!(" {}.", figures::count(n, one, many)));
        }
    };
    note(
        order.left_open.len(),
        "joint is left open for a while",
        "joints are left open for a while",
    );
    note(
        order.drill_first.len(),
        "set of holes is drilled early",
        "sets of holes are drilled early",
    );
    note(
        order.out_of_reach.len(),
        "joint can't be set by these tools",
        "joints can't be set by these tools",
    );
    note(
        order.broken.len(),
        "statement is broken by what is fitted",
        "statements are broken by what is fitted",
    );
    told
}

/// The whole answer.
pub fn text(answer: &OrderAnswer, width: usize) -> String {
    let (order, unit) = (&answer.order, answer.unit);
    let mut text = wrapped(&answer.verdict, width, 0);
    text.push('\n');
    if let Some(circle) = &order.circle {
        text.push_str(&order_circle::text(circle, unit, width));
    }
    if !order.steps.is_empty() {
        let rows = order.steps.iter().zip(1..).map(|(step, at)| row(step, at));
        text.push_str(&table(
            &[
                ("step", Stands::Right),
                ("fit", Stands::Left),
                ("why then", Stands::Left),
                ("closes", Stands::Left),
            ],
            rows,
            width,
        ));
    }
    let open = order.left_open.iter().map(left_open);
    text.push_str(&list("Leave open:", open, width));
    let early = order.drill_first.iter().map(drill_first);
    text.push_str(&list("Drill early:", early, width));
    let lost = order.out_of_reach.iter().map(|one| out_of_reach(one, unit));
    text.push_str(&list("Out of reach of these tools:", lost, width));
    let broken = order
        .broken
        .iter()
        .map(|name| format!("{name}: what it wants before is not in yet, and what comes after is"));
    text.push_str(&list("Broken by what is fitted:", broken, width));
    let idle = order
        .idle
        .iter()
        .map(|name| format!("{name}: what it leaves open is no joint now"));
    text.push_str(&list("Without effect:", idle, width));
    text.push_str(&not_looked_at(order, width));
    text.push_str(&tools(&order.tools, unit, width));
    text.push_str(&wrapped(ROOM_ONLY, width, 0));
    text.push_str(&wrapped(&answer.caution, width, 0));
    text
}

pub(super) fn list(title: &str, lines: impl Iterator<Item = String>, width: usize) -> String {
    let mut text = String::new();
    for line in lines {
        text.push_str(&indented(&line, width));
    }
    match text.is_empty() {
        true => text,
        false => format!("{title}\n{text}\n"),
    }
}

fn row(step: &Step, at: usize) -> Vec<String> {
    let reasons: Vec<String> = step.reasons.iter().map(reason).collect();
    let closes = closed_together(&step.closes);
    vec![
        at.to_string(),
        paired(&step.parts),
        reasons.join("; "),
        match closes.is_empty() {
            true => "-".to_owned(),
            false => closes.join("; "),
        },
    ]
}

fn reason(reason: &Reason) -> String {
    let why = |because: &Option<String>| {
        let because = because.as_ref();
        because.map_or_else(String::new, |because| format!(": {because}"))
    };
    match reason {
        Reason::After {
            statement,
            parts,
            because,
        } => format!("after {} ({statement}{})", paired(parts), why(because)),
        Reason::Before {
            statement,
            parts,
            because,
        } => format!("before {} ({statement}{})", paired(parts), why(because)),
        Reason::OutOfTheWay { joints } => format!(
            "once {} {} closed, whose tools it would be in the way of",
            paired(joints),
            match joints.len() {
                1 => "is",
                _ => "are",
            }
        ),
        Reason::JoinsOn { joints, parts } => {
            format!("joins {} ({})", paired(parts), paired(joints))
        }
        Reason::LocatedFrom { statements, parts } if parts.is_empty() => {
            format!("located from the datum ({})", paired(statements))
        }
        Reason::LocatedFrom { statements, parts } => {
            format!("located from {} ({})", paired(parts), paired(statements))
        }
        Reason::AsInTheFile => "nothing asks for another place: as in the file".to_owned(),
    }
}

/// Names in a row; the two hands of a name in one: `rail L, R`.
pub(super) fn paired(names: &[String]) -> String {
    let mut told: Vec<String> = Vec::new();
    for name in names {
        let left = match name.strip_suffix(" R") {
            Some(stem) => format!("{stem} L"),
            None => String::new(),
        };
        match told.iter_mut().find(|known| **known == left) {
            Some(known) => known.push_str(", R"),
            None => told.push(name.clone()),
        }
    }
    told.join(", ")
}

/// Joints that are closed in one way are told together.
fn closed_together(list: &[Closed]) -> Vec<String> {
    let mut told: Vec<(Vec<String>, String)> = Vec::new();
    for one in list {
        let how = how(one);
        match told.iter_mut().find(|(_, known)| *known == how) {
            Some((joints, _)) => joints.push(one.joint.clone()),
            None => told.push((vec![one.joint.clone()], how)),
        }
    }
    let told = told.into_iter();
    told.map(|(joints, how)| format!("{}{how}", paired(&joints)))
        .collect()
}

/// How many fasteners of a joint are set, and by what.
fn how(closed: &Closed) -> String {
    let some = match closed.places < closed.of {
        true => format!(" ({} of {})", closed.places, closed.of),
        false => String::new(),
    };
    let lost = (closed.out_of_reach > 0).then(|| format!("{} out of reach", closed.out_of_reach));
    let ways: Vec<String> = closed
        .ways
        .iter()
        .map(|way| {
            let tools: Vec<String> = way
                .tools
                .iter()
                .map(|(tool, on)| format!("{} {}", tool.word(), side(*on)))
                .collect();
            let places = match closed.ways.len() {
                1 if lost.is_none() => String::new(),
                _ => format!("{} by ", way.places),
            };
            format!("{places}{}", tools.join(" and "))
        })
        .chain(lost.clone())
        .collect();
    match ways.is_empty() {
        true => some,
        false => format!("{some}: {}", ways.join(", ")),
    }
}

/// Where a tool stands.
pub(super) fn side(side: Side) -> &'static str {
    match side {
        Side::Fwd => "fwd",
        Side::Aft => "aft",
        Side::Left => "on the left",
        Side::Right => "on the right",
        Side::Down => "below",
        Side::Up => "above",
    }
}

fn left_open(open: &LeftOpen) -> String {
    let only = open.only.map_or_else(String::new, |only| {
        format!(", {}", figures::count(only, "fastener", "fasteners"))
    });
    let why = match &open.why {
        WhyOpen::Stated(statement) => format!("stated: {statement}"),
        WhyOpen::Shared => {
            "the holes go through it too, though the joint doesn't name it".to_owned()
        }
        WhyOpen::Layers => "layers of the joint".to_owned(),
    };
    let until = paired(&open.until);
    format!(
        "{}{only}: until {until}, step {} ({why})",
        open.joint, open.step
    )
}

fn drill_first(first: &DrillFirst) -> String {
    let holes = figures::count(first.places, "hole", "holes");
    let layers = match first.layers.is_empty() {
        true => "before its layers are in place".to_owned(),
        false => format!("in {}", paired(&first.layers)),
    };
    match (&first.before, first.step) {
        (Some(part), Some(step)) => {
            let own = match first.own {
                true => "its own metal is in the way of a drill then",
                false => "it is in the way of a drill then",
            };
            format!(
                "{}: {holes} {layers}, before {part} goes in at step {step}: {own}",
                first.joint
            )
        }
        _ => format!(
            "{}: {holes} can't be drilled in place any more, for what is fitted: drill before the parts go in",
            first.joint
        ),
    }
}

fn out_of_reach(lost: &OutOfReach, unit: Unit) -> String {
    let own = match lost.own {
        true => "so in any order",
        false => "since it is fitted",
    };
    let pull = lost.pull_from.map_or_else(String::new, |from| {
        format!(
            "; pull rivets could be set from one side, {}: whether they may be is for the designer",
            side(from)
        )
    });
    format!(
        "{}: {} of its fasteners, as at {}: {} in the way, {own}{pull}",
        lost.joint,
        lost.places,
        place(lost.at_mm, unit),
        match &lost.in_the_way[..] {
            [one] => format!("{one} is"),
            many => format!("{} are", many.join(", ")),
        }
    )
}

/// A place in the three coordinates.
pub(super) fn place(at: [f64; 3], unit: Unit) -> String {
    let [fs, bl, wl] = at.map(|mm| figures::length(mm, unit));
    format!("fs {fs}, bl {bl}, wl {wl}")
}

fn not_looked_at(order: &Order, width: usize) -> String {
    let of = |why: WhyNot| {
        let joints = order.not_looked_at.iter().filter(|one| one.why == why);
        let joints: Vec<&str> = joints.map(|one| one.joint.as_str()).collect();
        let joints: Vec<String> = joints.into_iter().map(str::to_owned).collect();
        (!joints.is_empty()).then(|| paired(&joints))
    };
    let lines = [
        (WhyNot::NoPlaces, "no row has places"),
        (WhyNot::NoFastener, "no fastener is stated"),
        (WhyNot::Loose, "a layer is loose"),
    ];
    let lines = lines
        .into_iter()
        .filter_map(|(why, told)| Some(format!("{told}: {}", of(why)?)));
    list("Access was not looked at where", lines, width)
}

fn tools(tools: &[ToolInUse], unit: Unit, width: usize) -> String {
    let rows = tools.iter().map(|one| {
        let sections: Vec<String> = one
            .envelope
            .sections
            .iter()
            .map(|section| {
                format!(
                    "{} x {}",
                    figures::column(section.wide_mm, unit),
                    figures::column(section.long_mm, unit)
                )
            })
            .collect();
        let handle = one.envelope.handle.map_or_else(
            || "-".to_owned(),
            |handle| {
                format!(
                    "{} x {}",
                    figures::column(handle.wide_mm, unit),
                    figures::column(handle.long_mm, unit)
                )
            },
        );
        vec![
            one.tool.word().to_owned(),
            sections.join(", "),
            handle,
            match one.own {
                true => "stated".to_owned(),
                false => TOOLS.known.words().to_owned(),
            },
        ]
    });
    let [wrench, socket] = [Tool::Wrench, Tool::Socket].map(Tool::wall_mm);
    let walls = format!(
        "A wrench stands at least {} beyond the head or washer all round, a socket {}; a bucking bar may be held off the rivet's axis as \
         far as it covers its tail or head: {}.",
        figures::length(wrench, unit),
        figures::length(socket, unit),
        TOOLS.known.words()
    );
    let symbol = unit.symbol();
    let sections = format!("diameter x length outwards, {symbol}");
    let handle = format!("handle, {symbol}");
    let mut text = table(
        &[
            ("tool", Stands::Left),
            (&sections, Stands::Left),
            (&handle, Stands::Left),
            ("known", Stands::Left),
        ],
        rows,
        width,
    );
    text.push_str(&wrapped(&walls, width, 0));
    text
}
