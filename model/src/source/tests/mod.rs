//! Tests of reading with types like those of a model file.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod arbitrary;
mod document;
mod faults;

use serde::{Deserialize, Deserializer};

use super::{Either, Entries, Given, Spanned, Text, Unread, read_either, refuse, words_of};

/// A small model with every form a value can take.
const MODEL: &str = r##"// ½ of the tail
#![enable(implicit_some)]
(
    format: 1, /* the first */
    title: "Teasel, centre fuselage", // as drawn
    unit: Inch,
    sheets: { "S3": "centre fuselage, side view", r"S7": r#"seat support, 5/8" up"#, },
    dimensions: {
        "firewall to panel frame": (is: "19 3/8 in", within: "1/32 in", sheet: "S3"),
        "bay": /* ½ */ (is: 11.25, sheet: "S3"),
        "rail length": (is: Find),
        "angle": Find(near: "5 deg"),
        "guess": Find ( near : 3 ),
        "word": "find",
        "edge": "1/2 in",
        "count": 3,
        "less": -0.5,
    },
    parts: {
        "firewall": Plate(lies: Across, thickness: "0.032 in", at: (bl: 0, wl: -1.5)),
        "left rail": Angle(legs: ("1 in", "1 1/8 in"), thickness: "1/8 in", length: Find), // runs aft
        "fläche ⅛": Plate(lies: Along, thickness: 2, sheet: "S7"),
    },
    relations: {
        "firewall at datum": Flush("firewall.aft", "datum.station"),
        "panel spacing": (is: Spaced(from: "firewall.aft", to: "a\"b", by: "bay"), sheet: "S3", trust: Doubtful),
        "named": ( // why
            is: /* ⅛ */ Flush("a", "b"),
        ),
        "rear rail": Readings({
            "from the flange": Spaced(from: "a", to: "b", by: "26 1/4 in"),
            "from the web": (is: Flush("c", "d"), sheet: "S7"),
        }),
        "one": Held("main spar"),
        "chain": Chain(["a", "b"], Both),
    },
    must_fit: {
        "seat back": OnePlane(["a.back", "b.back"]),
        "square": Flush("c", "d"),
        "both": (is: OnePlane([]), trust: Sure),
    },
)
"##;

#[derive(Debug, Deserialize, PartialEq)]
#[serde(deny_unknown_fields)]
struct Document {
    format: Spanned<u32>,
    title: Text,
    unit: Unit,
    #[serde(default)]
    sheets: Entries<Text>,
    #[serde(default)]
    dimensions: Entries<Dimension>,
    #[serde(default)]
    parts: Entries<Part>,
    #[serde(default)]
    relations: Entries<Statement>,
    #[serde(default)]
    must_fit: Entries<MustFit>,
}

#[derive(Debug, Deserialize, PartialEq)]
enum Unit {
    Inch,
    Mm,
}

#[derive(Debug, PartialEq)]
struct Dimension(Either<Figure, Given>);

impl<'de> Deserialize<'de> for Dimension {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        read_either(deserializer).map(Self)
    }
}

#[derive(Debug, Deserialize, PartialEq)]
#[serde(deny_unknown_fields)]
struct Figure {
    is: Given,
    within: Option<Given>,
    sheet: Option<Text>,
}

#[derive(Debug, Deserialize, PartialEq)]
enum Part {
    Plate(Plate),
    Angle(Angle),
}

#[derive(Debug, Deserialize, PartialEq)]
#[serde(deny_unknown_fields)]
struct Plate {
    lies: Lies,
    thickness: Given,
    #[serde(default)]
    at: Option<Place>,
    sheet: Option<Text>,
}

#[derive(Debug, Deserialize, PartialEq)]
enum Lies {
    Across,
    Along,
}

#[derive(Debug, Deserialize, PartialEq)]
#[serde(deny_unknown_fields)]
struct Place {
    bl: Option<Given>,
    wl: Option<Given>,
}

#[derive(Debug, Deserialize, PartialEq)]
#[serde(deny_unknown_fields)]
struct Angle {
    legs: (Given, Given),
    thickness: Given,
    length: Given,
}

#[derive(Debug, PartialEq)]
struct Statement(Either<Stated<Relation>, Relation>);

impl<'de> Deserialize<'de> for Statement {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        read_either(deserializer).map(Self)
    }
}

impl Statement {
    fn relation(&self) -> &Relation {
        match &self.0 {
            Either::Wrapped(stated) => &stated.is,
            Either::Plain(relation) => relation,
        }
    }
}

#[derive(Debug, Deserialize, PartialEq)]
#[serde(deny_unknown_fields)]
struct Stated<T> {
    is: T,
    sheet: Option<Text>,
    trust: Option<Trust>,
}

#[derive(Debug, Deserialize, PartialEq)]
enum Trust {
    Sure,
    Doubtful,
}

#[derive(Debug, Deserialize, PartialEq)]
enum Relation {
    Flush(Flush),
    Spaced(Spaced),
    Readings(Entries<Statement>),
    Held(Text),
    Chain(Vec<Text>, Side),
}

#[derive(Debug, Deserialize, PartialEq)]
struct Flush(Text, Text);

#[derive(Debug, Deserialize, PartialEq)]
enum Side {
    Both,
}

#[derive(Debug, Deserialize, PartialEq)]
#[serde(deny_unknown_fields)]
struct Spaced {
    from: Text,
    to: Text,
    by: Given,
}

/// A must-fit is a kind of its own or any relation; the word decides.
#[derive(Debug, PartialEq)]
enum Fit {
    Own(OwnFit),
    Relation(Relation),
}

impl<'de> Deserialize<'de> for Fit {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let value = Unread::deserialize(deserializer)?;
        let (own, relations) = (words_of::<OwnFit>(), words_of::<Relation>());
        match value.word() {
            Some(word) if own.contains(&word) => value.read().map(Self::Own),
            Some(word) if relations.contains(&word) => value.read().map(Self::Relation),
            _ => Err(refuse(value.unknown_word(&[own, relations].concat()))),
        }
    }
}

#[derive(Debug, Deserialize, PartialEq)]
enum OwnFit {
    OnePlane(Vec<Text>),
}

#[derive(Debug, PartialEq)]
struct MustFit(Either<Stated<Fit>, Fit>);

impl<'de> Deserialize<'de> for MustFit {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        read_either(deserializer).map(Self)
    }
}
