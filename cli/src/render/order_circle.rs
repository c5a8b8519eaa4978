//! Why there is no order, as text: the circle of reasons, and what would break it.

use strongback_model::order::{Circle, LinkWhy, WayOut};
use strongback_model::quantity::Unit;

use super::order::{list, place, side};
use super::table::wrapped;

pub(super) fn text(circle: &Circle, unit: Unit, width: usize) -> String {
    let links = circle.links.iter().map(|link| {
        let parts = link.parts.join(", ");
        match &link.why {
            LinkWhy::Stated {
                statement,
                before,
                because,
            } => {
                let because = because.as_ref();
                let because = because.map_or_else(String::new, |why| format!(": {why}"));
                format!("{parts}: has to be in before {before} ({statement}{because})")
            }
            LinkWhy::Joint {
                joint,
                at_mm,
                in_the_way,
                kept_open_by,
            } => {
                let open = match kept_open_by.is_empty() {
                    true => String::new(),
                    false => format!(", kept open until then by {}", kept_open_by.join(", ")),
                };
                format!(
                    "{parts}: closes {joint}{open}, which can't be set at {} with {} in the way",
                    place(*at_mm, unit),
                    in_the_way.join(", ")
                )
            }
        }
    });
    let mut text = list("The circle: none of these can go in last.", links, width);
    if !circle.smallest {
        text.push_str(&wrapped(
            "There may be a smaller one: the search for it was given up.",
            width,
            0,
        ));
        text.push('\n');
    }
    let out = circle.ways_out.iter().map(|out| match out {
        WayOut::TakeBack(statement) => format!("take back the statement {statement}"),
        WayOut::Pull { joint, from } => format!(
            "pull rivets in {joint}, set from one side, {}: whether they may be is for the designer",
            side(*from)
        ),
        WayOut::OtherTools(joint) => {
            format!("tools that take less room for {joint}, stated under `tools`")
        }
    });
    text.push_str(&list("What could break it:", out, width));
    text
}
