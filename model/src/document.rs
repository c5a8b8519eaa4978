//! The model as it is written: what the builder states, with the places of every word.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Deserializer};

use crate::blank::Bends;
use crate::change::Change;
use crate::contour::Contour;
use crate::measurement::Measurement;
use crate::must_fit::MustFit;
use crate::order::{Fitting, OwnTool};
use crate::part::Part;
use crate::quantity::Unit;
use crate::relation::Relation;
use crate::source::{Either, Entries, Given, Text, read_either};
use crate::stock::Bought;

/// A whole model file.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Document {
    /// Version of the format: 1.
    pub format: u32,
    /// What the model is of.
    pub title: Text,
    /// The unit of bare numbers.
    pub unit: Unit,
    /// What stations and waterlines are counted from, in words.
    #[serde(default)]
    pub datum: Option<Text>,
    /// Tolerance of a must-fit that states none.
    pub fit: Given,
    /// Tolerance of every dimension, relation's figure and cut size that states none, as the title block of a drawing gives it:
    /// a length, for lengths; not of gauges, radii, stated positions and zeros, nor of dimensions that give a gauge or a radius. Without it, what
    /// states no tolerance is held exact.
    #[serde(default)]
    pub within: Option<Given>,
    /// What parts are made of that state no alloy, as `2024-T3`.
    #[serde(default)]
    pub alloy: Option<Text>,
    /// How sheet is bent: the table of least radii, the bend allowance, trim and relief.
    #[serde(default)]
    pub bending: Bends,
    /// Sheets of the drawings: short name and what they show.
    #[serde(default)]
    pub sheets: Entries<Text>,
    /// Named figures.
    #[serde(default)]
    pub dimensions: Entries<Dimension>,
    /// Contours of the outside skin.
    #[serde(default)]
    pub contours: Entries<Contour>,
    /// The parts.
    #[serde(default)]
    pub parts: Entries<Part>,
    /// What locates them.
    #[serde(default)]
    pub relations: Entries<Stated<Relation>>,
    /// What has to come true.
    #[serde(default)]
    pub must_fit: Entries<Stated<MustFit>>,
    /// What was measured on the real thing: it locates nothing, and is compared with the plan.
    #[serde(default)]
    pub measurements: Entries<Measurement>,
    /// In which order parts are fitted, as far as there is a reason: `order` finds the rest.
    #[serde(default)]
    pub order: Entries<Stated<Fitting>>,
    /// Tools that take other room than the usual ones.
    #[serde(default)]
    pub tools: Entries<OwnTool>,
    /// Stock as it can be bought, by name: whole sheets and lengths are counted by it.
    #[serde(default)]
    pub stock: Entries<Bought>,
    /// Named sets of changes.
    #[serde(default)]
    pub deviations: Entries<Deviation>,
    /// Parts of a pair that are not as their entry has them, by the name of the one, as a right-hand part is stated: no file
    /// says so, what was built may.
    #[serde(skip)]
    #[schemars(skip)]
    pub hands: BTreeMap<String, Part>,
    /// Sizes, as `PART.SIZE`, and relations that tell of metal that is made: it is as it is, and no title block's tolerance is
    /// one of it. No file says so either.
    #[serde(skip)]
    #[schemars(skip)]
    pub made: BTreeSet<String>,
}

impl Document {
    /// The part of a name and, of a pair, the ones that are not as it says.
    pub fn parts_mut(&mut self, name: &str) -> impl Iterator<Item = &mut Part> {
        let of_pair = move |hand: &str| crate::words::without_hand(hand) == Some(name);
        let hands = self.hands.iter_mut();
        let hands = hands.filter_map(move |(hand, part)| of_pair(hand).then_some(part));
        self.parts.get_mut(name).into_iter().chain(hands)
    }

    /// Takes a relation out, with the must-fits that are about it; false where there is no such relation.
    pub(crate) fn drop_relation(&mut self, name: &str) -> bool {
        if self.relations.remove(name).is_none() {
            return false;
        }
        crate::order::forget(self, None, Some(name));
        let of_it = |text: &str| text == name || crate::words::without_hand(text) == Some(name);
        let fits: Vec<String> = self.must_fit.names().map(str::to_owned).collect();
        for fit in fits {
            let stated = self.must_fit.get_mut(&fit);
            if stated
                .is_some_and(|stated| stated.is.about().is_some_and(|about| of_it(&about.value)))
            {
                self.must_fit.remove(&fit);
            }
        }
        true
    }

    /// Lets go of what was made of a part: its entry is another one now.
    pub(crate) fn forget_made(&mut self, name: &str) {
        let of_it = |part: &str| part == name || crate::words::without_hand(part) == Some(name);
        self.hands.retain(|hand, _| !of_it(hand));
        let places = self.made.iter().filter(|made| {
            let place = self.relations.get(made).map(|stated| stated.is.clone());
            place.is_some_and(|mut is| is.kind_mut().names().iter().any(|text| of_it(text)))
        });
        for place in places.cloned().collect::<Vec<_>>() {
            self.relations.remove(&place);
            self.made.remove(&place);
        }
        let of_part = |made: &str| made.rsplit_once('.').is_some_and(|(part, _)| of_it(part));
        self.made.retain(|made| !of_part(made));
    }
}

/// How far a statement is to be trusted, the most trusted first.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Deserialize,
    serde::Serialize,
    schemars::JsonSchema,
)]
pub enum Trust {
    /// It was measured on the real thing.
    Measured,
    /// It was decided on, or confirmed by the designer.
    Adopted,
    /// It stands on a drawing.
    #[default]
    Plain,
    /// There is a reason to doubt it.
    Doubtful,
}

/// What a statement may say of itself.
#[derive(Clone, Debug, Default)]
pub struct Remarks {
    /// The sheet on which it stands.
    pub sheet: Option<Text>,
    /// Its tolerance.
    pub within: Option<Given>,
    /// How far it is to be trusted, if it says so.
    pub trust: Option<Trust>,
    /// Why.
    pub because: Option<Text>,
    /// Which of several readings it is, once one was taken.
    pub reading: Option<Text>,
    /// How far it may be set otherwise at fitting, either way.
    pub adjustable: Option<Given>,
    /// By how much further apart a deviation sets it.
    pub apart: Option<Given>,
}

impl Remarks {
    /// Why it is trusted so far, if it says so.
    pub fn reason(&self) -> Option<String> {
        self.because.as_ref().map(|text| text.value.clone())
    }

    /// How far it is to be trusted; plainly, if it doesn't say.
    pub fn trusted(&self) -> Trust {
        self.trust.unwrap_or_default()
    }
}

/// A statement with what it says of itself: bare, or `(is: …, sheet: …)`.
#[derive(Clone, Debug, schemars::JsonSchema)]
#[schemars(transparent)]
pub struct Stated<T> {
    /// What is stated.
    pub is: T,
    /// What it says of itself.
    #[schemars(skip)]
    pub remarks: Remarks,
}

/// A statement in brackets, with what it says of itself.
#[derive(Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Wrapped<T> {
    /// What is stated.
    is: T,
    /// The sheet on which it stands, by its short name.
    #[serde(default)]
    sheet: Option<Text>,
    /// Its tolerance; of a must-fit, how far it may miss.
    #[serde(default)]
    within: Option<Given>,
    /// How far it is to be trusted: of two that can't both hold, the less trusted one gives way. A relation that doesn't
    /// say is trusted as the least trusted of its named figures.
    #[serde(default)]
    trust: Option<Trust>,
    /// Why it is to be trusted so far.
    #[serde(default)]
    because: Option<Text>,
    /// Of a relation or a dimension: how far it may be set otherwise at fitting, either way, without metal being cut: slots, a
    /// clamp, a threaded end. Only `remedy` makes use of it.
    #[serde(default)]
    adjustable: Option<Given>,
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Stated<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Ok(match read_either::<D, Wrapped<T>, T>(deserializer)? {
            Either::Wrapped(wrapped) => Stated {
                is: wrapped.is,
                remarks: Remarks {
                    sheet: wrapped.sheet,
                    within: wrapped.within,
                    trust: wrapped.trust,
                    because: wrapped.because,
                    reading: None,
                    adjustable: wrapped.adjustable,
                    apart: None,
                },
            },
            Either::Plain(is) => Stated::bare(is),
        })
    }
}

impl<T> Stated<T> {
    /// A statement that says nothing of itself.
    pub fn bare(is: T) -> Self {
        Self {
            is,
            remarks: Remarks::default(),
        }
    }
}

/// A named figure.
pub type Dimension = Stated<Given>;

/// A named set of changes, tried beside the plan.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Deviation {
    /// The builder's reason.
    #[serde(default)]
    pub why: Option<Text>,
    /// The changes, made in this order.
    pub changes: Vec<Change>,
}

impl Deviation {
    /// One as it is written, with its name.
    pub const EXAMPLE: &'static str = r#""longer seats": (why: "more room for the legs", changes: [Set("bay", "11 1/2 in"), Reverse("seat frame")])"#;
}
