//! The kinds of change that a deviation is made of: each a step from one document to another.
//!
//! Nothing is changed in place: a deviation copies the document and changes the copy. To add a kind:
//! its file in this folder, its `mod` line and its line in the list below.

mod add;
mod apart;
mod drop;
mod replace;
mod reverse;
mod set;
mod swap;
mod take;

use serde::Deserialize;

use crate::document::Document;
use crate::part::About;
use crate::source::{Code, Fault, Given, Text};

pub use set::set;

/// What a kind of change has to answer.
pub trait ChangeKind {
    /// One sentence for the format reference.
    fn says(&self) -> &'static str;
    /// Makes the change in a copy of the document.
    fn make(&self, document: &mut Document) -> Result<(), Fault>;
    /// The change in a few words.
    fn told(&self) -> String;
    /// The one thing that it says otherwise, where a second change of that thing would undo or replace it; by its name as it is
    /// told.
    fn sets(&self, _document: &Document) -> Option<String> {
        None
    }
}

macro_rules! kinds {
    ($($kind:ident => $module:ident, $example:literal;)*) => {
        /// A change, as it is stated. There are a handful in a file: their size is of no account.
        #[allow(clippy::large_enum_variant)]
        #[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
        pub enum Change {
            $(
                #[doc = concat!("See `", stringify!($module), ".rs`.")]
                $kind($module::$kind),
            )*
        }

        impl Change {
            /// The change as what every kind answers.
            pub fn kind(&self) -> &dyn ChangeKind {
                match self { $(Change::$kind(it) => it,)* }
            }
        }

        /// All kinds, in the order of the format reference.
        pub const KINDS: &[About] = &[$(About { word: stringify!($kind), example: $example },)*];
    };
}

kinds! {
    Reverse => reverse, r#"Reverse("seat frame")"#;
    Set => set, r#"Set("bay", "11 1/2 in")"#;
    Swap => swap, r#"Swap(part: "seat frame", thickness: "0.040 in")"#;
    Add => add, r#"Add(parts: {"shim": Spacer(lies: Across, thickness: "1/16 in", diameter: "1 in")}, relations: {"shim": Flush("shim.fwd", "frame.web_aft")})"#;
    Drop => drop, r#"Drop("packer")"#;
    Take => take, r#"Take("rear rail", "from the web")"#;
    Apart => apart, r#"Apart("rear spar on frame", "1/16 in")"#;
    Replace => replace, r#"Replace("floor to frame", Flush("floor.fwd", "frame.web_aft"))"#;
}

impl Document {
    /// The document with changes made in order.
    ///
    /// # Errors
    /// The first change that can't be made, with its place.
    pub fn with_changes(&self, changes: &[Change]) -> Result<Document, Fault> {
        let mut copy = self.clone();
        for change in changes {
            change.kind().make(&mut copy)?;
        }
        Ok(copy)
    }

    /// The document with one of its deviations made.
    ///
    /// # Errors
    /// No deviation of that name, or a change of it that can't be made.
    pub fn with_deviation(&self, name: &str) -> Result<Document, Fault> {
        match self.deviations.get(name) {
            Some(deviation) => self.with_changes(&deviation.changes),
            None => Err(crate::relation::unknown(
                "deviation",
                &Text::unplaced(name.to_owned()),
                name,
                self.deviations.names(),
            )),
        }
    }
}

impl Change {
    /// A figure as it is typed: `NAME=FIGURE`.
    ///
    /// # Errors
    /// There is no `=` in it, or nothing on one side of it.
    pub fn set_typed(typed: &str) -> Result<Change, Fault> {
        let help = "write NAME=FIGURE, as in --set \"bay=11 1/2 in\"";
        let [name, figure] = two_sides(typed, "a name and a figure", help)?;
        Ok(Change::set(name, figure))
    }

    /// A relation set further apart as it is typed: `RELATION=FIGURE`.
    ///
    /// # Errors
    /// There is no `=` in it, or nothing on one side of it.
    pub fn apart_typed(typed: &str) -> Result<Change, Fault> {
        let help = "write RELATION=FIGURE, as in --apart \"rear spar on frame=1/16 in\"";
        let [relation, figure] = two_sides(typed, "a relation and a figure", help)?;
        Ok(Change::apart(relation, figure))
    }

    /// A reading as it is typed: `STATEMENT=READING`.
    ///
    /// # Errors
    /// There is no `=` in it, or nothing on one side of it.
    pub fn take_typed(typed: &str) -> Result<Change, Fault> {
        let help = "write STATEMENT=READING, as in --take \"rear rail=from the web\"";
        let [statement, reading] = two_sides(typed, "a statement and a reading", help)?;
        Ok(Change::take(statement, reading))
    }

    /// A figure that stands in no file.
    pub(crate) fn set(name: &str, figure: &str) -> Change {
        Change::Set(set::Set(
            Text::unplaced(name.to_owned()),
            Given::unplaced(figure),
        ))
    }

    /// A relation set further apart, that stands in no file.
    pub(crate) fn apart(relation: &str, by: &str) -> Change {
        Change::Apart(apart::Apart::unplaced(relation, by))
    }

    /// A reading that stands in no file.
    pub(crate) fn take(statement: &str, reading: &str) -> Change {
        let [statement, reading] = [statement, reading].map(|text| Text::unplaced(text.to_owned()));
        Change::Take(take::Take(statement, reading))
    }

    /// A reversal that stands in no file.
    pub fn reverse(part: &str) -> Change {
        Change::Reverse(reverse::Reverse(Text::unplaced(part.to_owned())))
    }
}

/// What stands on the two sides of the last `=`, if something does on each: a figure holds none, a name may.
fn two_sides<'t>(typed: &'t str, wanted: &str, help: &str) -> Result<[&'t str; 2], Fault> {
    let sides = typed
        .rsplit_once('=')
        .map(|(left, right)| [left.trim(), right.trim()]);
    sides
        .filter(|sides| sides.iter().all(|side| !side.is_empty()))
        .ok_or_else(|| {
            let message = format!("`{typed}` doesn't give {wanted}");
            Fault::error(Code::BadChange, message).help(help)
        })
}

/// A name that may be that of one part of a pair made from one entry: a change would be made to both.
fn not_one_hand(document: &Document, name: &Text, part: &str) -> Result<(), Fault> {
    match crate::words::without_hand(part) {
        Some(stem) if document.parts.get(part).is_none() && document.parts.get(stem).is_some() => {
            Err(cannot(
                name,
                format!(
                    "`{part}` is one of a pair that one entry makes, and can't be changed alone"
                ),
            )
            .help(format!(
                "name `{stem}` to change both; to change one, write the two as parts of their own"
            )))
        }
        _ => Ok(()),
    }
}

fn no_part(document: &Document, name: &Text) -> Fault {
    crate::relation::unknown("part", name, &name.value, document.parts.names())
}

fn cannot(name: &Text, message: String) -> Fault {
    Fault::error(Code::BadChange, message).at(name.span.clone(), "")
}
