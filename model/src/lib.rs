//! Parts, relations and the builder's file: read, assembled, located, compared.
//!
//! In the order in which data flows:
//! - [`source`] and [`quantity`]: text with places, lengths and expressions
//! - [`document`]: the model as it is written; [`change`] makes another document of it, and
//!   [`mod@restated`] tells what that states differently of places
//! - [`contour`]: cross sections of the outside skin
//! - [`part`], [`relation`], [`must_fit`]: the kinds of statement, a file for each; [`stock`]: what parts are cut from;
//!   [`trade`]: published figures
//! - [`assembly`]: the document as a system of the solver's
//! - [`layout`]: where everything lies; [`why`] it lies there, and what contradicts ([`odds`]), could still move
//!   ([`looseness`]), could be read otherwise ([`readings`]) or lie otherwise ([`neighbours`]); [`fit`], [`clash`], [`stack`]: what comes
//!   true, and how surely
//! - [`shift`], [`recut`], [`remedy`], [`beside`]: what a change moves and asks of each part, what would cure a miss, several changes
//!   beside each other
//! - [`record`]: what has been made; [`measurement`] and [`reconcile`]: what was measured, beside the plan
//! - [`mod@joint`], [`blank`] and [`pattern`], [`order`], [`mass`], [`section`]: what goes between parts, how they are cut, in which order
//!   they are fitted, what they weigh, what a saw across the fuselage goes through
//! - [`words`]: sides and axes; [`mod@reference`]: the format, told from the types

pub mod assembly;
pub mod beside;
pub mod blank;
pub mod change;
pub mod clash;
pub mod contour;
pub mod document;
mod fields;
pub mod fit;
pub mod joint;
pub mod layout;
pub mod lengths;
pub mod looseness;
pub mod mass;
pub mod measurement;
pub mod must_fit;
pub mod neighbours;
pub mod odds;
pub mod order;
pub mod part;
pub mod pattern;
pub mod quantity;
pub mod readings;
pub mod reconcile;
pub mod record;
pub mod recut;
pub mod reference;
pub mod relation;
pub mod remedy;
pub mod restated;
pub mod section;
mod settable;
pub mod shift;
pub mod source;
pub mod stack;
pub mod stock;
mod together;
mod trace;
pub mod trade;
pub mod why;
pub mod words;
