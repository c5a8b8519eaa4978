//! The kinds of must-fit: statements that have to come true but locate nothing.
//!
//! A must-fit gives measures of a finished layout; every relation is one too, by its equations. To
//! add a kind: its file in this folder, its `mod` line and its line in the list below.

mod between;
mod clear;
mod one_line;
mod one_plane;
mod room;

use serde::{Deserialize, Deserializer};

use crate::assembly::{AssembledPart, Assembly};
use crate::joint::Stand;
use crate::layout::{At, PlacedSolid};
use crate::relation::{Recipe, Relation};
use crate::source::{Code, Fault, Text, Unread, refuse, words_of};

/// What one measure of a must-fit came to.
#[derive(Clone, Debug)]
pub enum Measure {
    /// Has to be zero within the tolerance: an equation of the solver's, by its rows.
    Zero {
        /// What is compared, in words.
        what: String,
        /// The equation.
        equation: strongback_solver::Equation,
    },
    /// A distance that has to lie within limits.
    Within {
        /// What is measured, in words.
        what: String,
        /// The equation whose residual is the distance.
        equation: strongback_solver::Equation,
        /// The least that will do, in millimetres.
        least: Option<strongback_solver::Affine>,
        /// The most that will do, in millimetres.
        most: Option<strongback_solver::Affine>,
    },
    /// The smallest distance between the metal of two parts; negative where they run into each other.
    Clearance {
        /// What keeps clear of what.
        between: [Body; 2],
        /// The least that will do.
        least: strongback_solver::Affine,
    },
}

/// Metal that keeps clear: a part's, or the heads and tails of a joint's fasteners.
#[derive(Clone, Debug)]
pub struct Body {
    /// What it is called.
    pub name: String,
    /// The parts whose places and sizes it rests on.
    pub parts: Vec<usize>,
    /// The joints whose heads and tails it is; none for a part's own metal.
    pub heads_of: Vec<String>,
    /// Figures that it rests on besides those of its parts.
    pub figures: Vec<strongback_solver::Affine>,
}

impl Body {
    /// Where a state puts the metal.
    pub(crate) fn solids(&self, assembly: &Assembly, at: At<'_>) -> Vec<PlacedSolid> {
        if !self.heads_of.is_empty() {
            return Stand::new(assembly, at).heads_of(&self.heads_of);
        }
        let parts = self
            .parts
            .iter()
            .filter_map(|part| assembly.parts.get(*part));
        parts.flat_map(|part| at.metal(part)).collect()
    }

    /// The parts of two.
    pub(crate) fn parts_of<'a>(
        between: &'a [Body; 2],
        assembly: &'a Assembly,
    ) -> impl Iterator<Item = &'a AssembledPart> {
        let parts = between.iter().flat_map(|body| &body.parts);
        parts.filter_map(|part| assembly.parts.get(*part))
    }
}

/// What a kind of must-fit has to answer.
pub trait MustFitKind {
    /// One sentence for the format reference.
    fn says(&self) -> &'static str;
    /// What has to be measured.
    fn measures(&self, recipe: &mut Recipe<'_>) -> Result<Vec<Measure>, Fault>;
    /// The names of parts and faces that it refers to.
    fn names(&mut self) -> Vec<&mut Text>;
    /// The relation that it is about, if it is about one.
    fn about(&self) -> Option<&Text> {
        None
    }
}

macro_rules! kinds {
    ($($kind:ident => $module:ident, $example:literal;)*) => {
        /// A must-fit kind that is no relation.
        #[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
        pub enum OwnKind {
            $(
                #[doc = concat!("See `", stringify!($module), ".rs`.")]
                $kind($module::$kind),
            )*
        }

        impl OwnKind {
            fn word(&self) -> &'static str {
                match self { $(OwnKind::$kind(_) => stringify!($kind),)* }
            }

            fn kind(&self) -> &dyn MustFitKind {
                match self { $(OwnKind::$kind(it) => it,)* }
            }

            fn kind_mut(&mut self) -> &mut dyn MustFitKind {
                match self { $(OwnKind::$kind(it) => it,)* }
            }
        }

        /// The words of the list.
        pub const KINDS: &[crate::part::About] = &[
            $(crate::part::About { word: stringify!($kind), example: $example },)*
        ];
    };
}

kinds! {
    OnePlane => one_plane, r#"OnePlane(["seat rib L.aft", "seat rib R.aft", "rear frame.web_fwd"])"#;
    OneLine => one_line, r#"OneLine(["hole a", "hole b", "hole c"])"#;
    Clear => clear, r#"Clear(between: ("push rod", "seat frame"), at_least: "1/4 in")"#;
    Room => room, r#"Room(round: "spar on frame", for: "intercostal", at_least: "1/16 in")"#;
    Between => between, r#"Between(from: "floor.top", to: "seat.bottom", at_least: "2 in", at_most: "3 in")"#;
}

/// A must-fit: a kind of its own, or any relation.
#[derive(Clone, Debug, schemars::JsonSchema)]
#[schemars(untagged)]
pub enum MustFit {
    /// One of the kinds of this folder.
    Own(OwnKind),
    /// A relation that has to come true.
    Relation(Relation),
}

impl<'de> Deserialize<'de> for MustFit {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let value = Unread::deserialize(deserializer)?;
        let (own, relations) = (words_of::<OwnKind>(), words_of::<Relation>());
        match value.word() {
            Some(word) if own.contains(&word) => value.read().map(MustFit::Own),
            Some(word) if !relations.contains(&word) => {
                Err(refuse(value.unknown_word(&[own, relations].concat())))
            }
            _ => {
                let relation: Relation = value.read()?;
                match relation.kind().readings() {
                    None => Ok(MustFit::Relation(relation)),
                    Some(_) => Err(refuse(
                        Fault::error(Code::BadValue, "a must-fit has one meaning, and no readings")
                            .at(value.span(), "")
                            .help("state the one that has to come true, or each of them under a name of its own"),
                    )),
                }
            }
        }
    }
}

impl MustFit {
    /// What has to be measured.
    pub fn measures(&self, recipe: &mut Recipe<'_>) -> Result<Vec<Measure>, Fault> {
        match self {
            MustFit::Own(own) => own.kind().measures(recipe),
            MustFit::Relation(relation) => {
                relation.kind().equations(recipe)?;
                Ok(recipe
                    .take_equations()
                    .into_iter()
                    .map(|built| Measure::Zero {
                        what: built.what,
                        equation: built.equation,
                    })
                    .collect())
            }
        }
    }

    /// The names of parts and faces that it refers to.
    pub fn names(&mut self) -> Vec<&mut Text> {
        match self {
            MustFit::Own(own) => own.kind_mut().names(),
            MustFit::Relation(relation) => relation.kind_mut().names(),
        }
    }

    /// Those of its names of which none can stand twice.
    pub fn compared(&mut self) -> Vec<&mut Text> {
        match self {
            MustFit::Own(own) => own.kind_mut().names(),
            MustFit::Relation(relation) => relation.kind_mut().compared(),
        }
    }

    /// The relation that it is about, if it is about one.
    pub fn about(&self) -> Option<&Text> {
        match self {
            MustFit::Own(own) => own.kind().about(),
            MustFit::Relation(_) => None,
        }
    }

    /// What a kind of its own says; a relation says it itself.
    pub fn says(&self) -> Option<&'static str> {
        match self {
            MustFit::Own(own) => Some(own.kind().says()),
            MustFit::Relation(_) => None,
        }
    }

    /// The word of its kind.
    pub fn word(&self) -> &'static str {
        match self {
            MustFit::Own(own) => own.word(),
            MustFit::Relation(relation) => relation.word(),
        }
    }
}
