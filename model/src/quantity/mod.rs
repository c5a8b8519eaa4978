//! Lengths, angles and the expressions that give them.
//! In: the text of a field (`23 1/2 in`, `bay * 2 + 5/8 in`) and the named values it may use, in mm, rad or plain numbers.
//! Out: an affine form over those names for the solver, or a fault with its place in the text; and figures as the person works.
//! 1 in = 25.4 mm exactly (NIST SP 811, appendix B).
//!
//! The way of the data: text → [`parse()`] → [`Expression`] → [`evaluate()`] → [`Affine`]; and back to text by [`mod@format`].
//!
//! # Names
//!
//! A name is a run of words with blanks between them, as long as it goes: `firewall to panel frame`, `rib 3`, `left rail.length`.
//! Words are letters, digits, `_` and `.`; the first starts with a letter or `_`. Nothing but a name can be written as words side
//! by side, so no list of known names is needed to read one. Any other name goes in brackets: `[aft-most bay] * 2`.
//!
//! # Bare numbers
//!
//! A figure made of bare numbers only (`5/8`, `3`, `2 * 3`) is in the file's unit where it is added to a length, and in degrees where
//! it is added to an angle; standing alone it takes the unit of what the field is. As a factor or a divisor it is a plain number.

mod affine;
mod angle;
mod arithmetic;
mod evaluate;
mod expression;
mod fault;
pub mod format;
mod hyphen;
mod kind;
mod length;
mod linear;
mod literal;
mod name;
mod order;
mod parse;
#[cfg(test)]
mod properties;
mod reader;
mod slip;
mod unit;

pub use affine::{Affine, BareUnit, Named};
pub use angle::Angle;
pub use evaluate::{evaluate, evaluate_as};
pub use expression::{Expression, names};
pub use fault::{ExpressionFault, FaultKind, nearest};
pub use kind::{Kind, Powers};
pub use length::Length;
pub use name::name_text;
pub use order::{Cycle, order};
pub use parse::{MAX_DEPTH, MAX_TEXT, parse};
pub use slip::mixed_number_meant;
pub use unit::{MM_PER_INCH, Measure, Unit};
