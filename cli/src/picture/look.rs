//! How a part stands out. In: what a change does to it, whether its place is known, whether it is picked out. Out: line, fill
//! and pattern. Each of the three has a sign of its own, so that they can meet: the fill tells the change, the kind of line
//! tells whether the place is known, a broad outline tells what is picked out.

use std::collections::BTreeMap;

use strongback_model::shift::Presence;

use super::sheet::{Sheet, number};
use super::{Before, ink};

/// What a change does to a part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Change {
    /// Nothing.
    #[default]
    Same,
    /// It lies elsewhere, and is made as before.
    Moved,
    /// It is made differently.
    Remade,
    /// It is a new part.
    Added,
}

/// Whether one is to look at it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Emphasis {
    #[default]
    Plain,
    Picked,
}

/// Whether its place can be trusted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Place {
    /// Statements settle it.
    #[default]
    Settled,
    /// A statement about it doesn't hold.
    AtOdds,
    /// It is where the search ended: nothing settles it.
    Loose,
}

/// How a part stands out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Look {
    pub(super) emphasis: Emphasis,
    pub(super) change: Change,
    pub(super) place: Place,
}

/// What a change does to each part that it touches.
pub(super) fn changes<'a>(before: Option<&Before<'a>>) -> BTreeMap<&'a str, Change> {
    let Some(before) = before else {
        return BTreeMap::new();
    };
    let mut changes = BTreeMap::new();
    for part in &before.shift.parts {
        changes.insert(part.part.as_str(), Change::Moved);
    }
    // Only holes may move, of a part that stays where it is.
    for part in &before.recut.parts {
        changes.insert(part.part.as_str(), Change::Remade);
    }
    for part in &before.shift.parts {
        if part.presence == Presence::Added {
            changes.insert(part.part.as_str(), Change::Added);
        }
    }
    changes
}

impl Change {
    /// All that are told by a sign.
    pub(super) const TOLD: [Change; 3] = [Change::Moved, Change::Remade, Change::Added];

    /// What its sign means.
    pub(super) fn words(self) -> &'static str {
        match self {
            Change::Same => "as before",
            Change::Moved => "elsewhere, made as before",
            Change::Remade => "to re-cut",
            Change::Added => "new",
        }
    }

    pub(super) fn class(self) -> &'static str {
        match self {
            Change::Same => "same",
            Change::Moved => "moved",
            Change::Remade => "remade",
            Change::Added => "added",
        }
    }

    pub(super) fn colour(self) -> &'static str {
        match self {
            Change::Same => ink::INK,
            Change::Moved => ink::MOVED,
            Change::Remade => ink::REMADE,
            Change::Added => ink::ADDED,
        }
    }

    /// The fill; patterns are those that [`patterns`] has defined.
    pub(super) fn fill(self, id: &str) -> String {
        match self {
            Change::Same => ink::METAL.to_owned(),
            Change::Moved => ink::MOVED_FILL.to_owned(),
            Change::Remade | Change::Added => format!("url(#{id}-{})", self.class()),
        }
    }
}

impl Place {
    /// What stands beside the name; nothing if all is well.
    pub(super) fn words(self) -> &'static str {
        match self {
            Place::Settled => "",
            Place::AtOdds => "at odds",
            Place::Loose => "loose",
        }
    }

    /// The attribute that makes the outline dotted, or of dashes and dots; a ghost is of dashes alone.
    fn dashes(self) -> &'static str {
        match self {
            Place::Settled => "",
            Place::AtOdds => r#" stroke-dasharray="2 0.8 0.01 0.8""#,
            Place::Loose => r#" stroke-dasharray="0.01 0.9""#,
        }
    }
}

impl Look {
    /// The attributes of the outline.
    pub(super) fn outline(self) -> String {
        let (stroke, width) = self.stroke();
        // dots must be seen
        let width = match self.place {
            Place::Settled => width,
            Place::AtOdds | Place::Loose => width.max(1.2 * ink::BOLD),
        };
        format!(
            r#"stroke="{stroke}" stroke-width="{}"{} stroke-linejoin="round" stroke-linecap="round""#,
            number(width),
            self.place.dashes()
        )
    }

    /// The attributes of the outline of a cut: at least bold.
    pub(super) fn cut_outline(self) -> String {
        let (stroke, width) = self.stroke();
        format!(
            r#"stroke="{stroke}" stroke-width="{}"{} stroke-linejoin="round" stroke-linecap="round""#,
            number(width.max(1.3 * ink::BOLD)),
            self.place.dashes()
        )
    }

    /// The fill: metal whose place isn't known stays blank unless it changes.
    pub(super) fn fill(self, id: &str) -> String {
        match (self.place, self.change) {
            (Place::Loose, Change::Same) => "#ffffff".to_owned(),
            (_, change) => change.fill(id),
        }
    }

    /// Colour and width of the outline.
    pub(super) fn stroke(self) -> (&'static str, f64) {
        match (self.emphasis, self.change) {
            (Emphasis::Picked, _) => (ink::PICKED, ink::BROAD),
            (Emphasis::Plain, Change::Same) => (ink::INK, ink::LINE),
            (Emphasis::Plain, change) => (change.colour(), ink::BOLD),
        }
    }

    pub(super) fn class(self) -> String {
        let change = match self.change {
            Change::Same => "",
            change => &format!(" {}", change.class()),
        };
        let place = match self.place {
            Place::Settled => "",
            Place::AtOdds => " at-odds",
            Place::Loose => " loose",
        };
        let picked = match self.emphasis {
            Emphasis::Plain => "",
            Emphasis::Picked => " picked",
        };
        format!("part{change}{place}{picked}")
    }
}

/// The patterns that these changes need: a hatch for metal to be cut, dots for what is new.
pub(super) fn patterns(sheet: &mut Sheet, id: &str, used: &[Change]) {
    let hatch = format!(
        r#"<path d="M0 0V1" stroke="{}" stroke-width="0.36"/>"#,
        ink::REMADE
    );
    let dots = format!(
        r#"<circle cx="0.5" cy="0.5" r="0.22" fill="{}"/>"#,
        ink::ADDED
    );
    for (change, ground, figure) in [
        (Change::Remade, ink::REMADE_FILL, hatch),
        (Change::Added, ink::ADDED_FILL, dots),
    ] {
        if used.contains(&change) {
            sheet.put(format_args!(
                r#"<defs><pattern id="{id}-{}" width="1" height="1" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="1" height="1" fill="{ground}"/>{figure}</pattern></defs>"#,
                change.class()
            ));
        }
    }
}

/// A small field that shows a look; gives its width.
pub(super) fn swatch(sheet: &mut Sheet, look: Look, id: &str, [x, y]: [f64; 2]) -> f64 {
    sheet.put(format_args!(
        r#"<rect x="{}" y="{}" width="5" height="2.4" fill="{}" {}/>"#,
        number(x),
        number(y - 1.2),
        look.fill(id),
        look.outline()
    ));
    5.0
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use resvg::usvg::roxmltree::Document;
    use strongback_model::layout::{PlacedSize, SizeRole};

    use super::super::View;
    use super::super::sample::{empty, frame};
    use super::super::tests::{check, drawn, of_class};
    use super::*;

    #[test]
    fn what_only_moves_what_is_re_cut_and_what_is_new_look_different() {
        let mut old = empty();
        old.parts = vec![
            frame("still", 0.0),
            frame("moves", 20.0),
            frame("grows", 40.0),
        ];
        old.parts[2].sizes = vec![PlacedSize {
            name: "thickness".to_owned(),
            role: SizeRole::Gauge,
            value: 0.8,
            found: false,
            rests_on_found: false,
            settled: true,
            derived: false,
            trimmed_at: Vec::new(),
        }];
        let mut new = old.clone();
        new.parts[1] = frame("moves", 20.5);
        new.parts[2].sizes[0].value = 1.0;
        new.parts.push(frame("fresh", 60.0));
        let svg = drawn(&old, &new, View::Side);
        check(&svg);
        let document = Document::parse(&svg).unwrap();
        let fills: Vec<(&str, &str)> = of_class(&document, "part")
            .iter()
            .map(|part| {
                let fill = part.descendants().find_map(|node| {
                    let fill = node.attribute("fill")?;
                    (fill != "none").then_some(fill)
                });
                (part.attribute("data-part").unwrap(), fill.unwrap())
            })
            .collect();
        for (part, fill) in [
            ("still", ink::METAL),
            ("moves", ink::MOVED_FILL),
            ("grows", "url(#side-remade)"),
            ("fresh", "url(#side-added)"),
        ] {
            assert!(fills.contains(&(part, fill)), "{part}: {fills:?}");
        }
        // as many as `recut` lists: a new part is made too
        assert!(svg.contains("To re-cut: 2 parts (grows, fresh)."));
    }
}
