//! A path of straights and bends in turn, as a section follows it: what is stated of it, and the straight length that it takes.
//! In: the path, and sizes in mm and radians. Out: sizes by their numbers, faults of the path, and lengths along the straight stock.

use std::ops::Range;

use serde::Deserialize;
use strongback_solver::Affine;

use super::sizes::fault;
use super::{Role, Sizes};
use crate::source::{Fault, Given};
use crate::words::{Runs, Side};

/// A stretch of the path.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub enum Stretch {
    /// A straight, from its end or tangent line to the next one.
    Straight(Given),
    /// A bend between two straights.
    Bend {
        /// The side to which the path turns, named as it lies in the first straight: it turns with the section.
        toward: Side,
        /// The angle bent from straight.
        by: Given,
        /// Of an angle the inside radius of the leg that is bent flat: of its concave surface. Of a tube that of its middle line.
        radius: Given,
    },
}

/// The name of the straight stock's length among the sizes.
pub(super) const DEVELOPED: &str = "developed length";

/// What the sides to which it is bent are called among the choices.
pub(crate) const BENDS: &str = "bends";

/// What stands between two of them.
const BETWEEN: &str = ", ";

/// How many straights there are.
pub(super) fn straights(path: &[Stretch]) -> usize {
    path.len().div_ceil(2)
}

/// Calls `f` with each size, by its number.
pub(super) fn visit(path: &mut [Stretch], f: &mut dyn FnMut(String, Role, &mut Given)) {
    // each by a count of its own: a path that is out of turn is found fault with by its shape
    let (mut straights, mut bends) = (0, 0);
    for stretch in path {
        match stretch {
            Stretch::Straight(length) => {
                straights += 1;
                f(straight(straights), Role::Extent, length);
            }
            Stretch::Bend { by, radius, .. } => {
                bends += 1;
                f(bend(bends), Role::Bend, by);
                f(bend_radius(bends), Role::Radius, radius);
            }
        }
    }
}

/// The name of a straight's length among the sizes, counted from 1.
pub(super) fn straight(number: usize) -> String {
    format!("straight {number}")
}

/// The name of a bend's angle among the sizes, counted from 1.
pub(crate) fn bend(number: usize) -> String {
    format!("bend {number}")
}

/// The name of a bend's radius among the sizes, counted from 1.
pub(crate) fn bend_radius(number: usize) -> String {
    format!("bend {number} radius")
}

/// The name of the place along the straight stock where a bend starts.
pub(crate) fn bend_starts(number: usize) -> String {
    format!("bend {number} starts at")
}

/// The name of the place along the straight stock where a bend ends.
pub(crate) fn bend_ends(number: usize) -> String {
    format!("bend {number} ends at")
}

/// Finds fault with a path that isn't straights and bends in turn; `whose` is underlined where it is empty.
pub(super) fn check(path: &[Stretch], whose: Range<usize>) -> Result<(), Fault> {
    for (at, stretch) in path.iter().enumerate() {
        let (span, wrong) = match (at % 2, stretch) {
            (0, Stretch::Bend { by, .. }) => (by.span(), "a bend lies between two straights"),
            (1, Stretch::Straight(length)) => (
                length.span(),
                "two straights follow each other without a bend",
            ),
            _ => continue,
        };
        return Err(fault(
            span,
            wrong,
            "list straights and bends in turn, as in path: [Straight(\"30 in\"), Bend(toward: Left, by: \"6 deg\", radius: \"3 in\"), Straight(Find)]",
        ));
    }
    match path.last() {
        Some(Stretch::Straight(_)) => Ok(()),
        last => Err(fault(
            match last {
                Some(Stretch::Bend { by, .. }) => by.span(),
                _ => whose,
            },
            "a path ends with a straight",
            "a bend ends at its tangent line; beyond it is a straight, however short",
        )),
    }
}

/// The angle of a bend in radians.
///
/// # Errors
/// It isn't greater than nothing and less than half a turn.
pub(super) fn angle(number: usize, by: &Given, sizes: &Sizes) -> Result<f64, Fault> {
    let angle = sizes.value(&bend(number));
    if angle > 0.0 && angle < std::f64::consts::PI {
        return Ok(angle);
    }
    Err(fault(
        by.span(),
        "a bend's angle lies between 0 and 180 degrees",
        "it is counted from straight; to bend the other way name the opposite side",
    ))
}

/// Lengths along the straight stock, from its fwd, left or lower end: where each bend starts and ends, and the whole; `takes_up`
/// gives that of a bend from its angle in radians and its radius.
pub(super) fn along_stock(
    path: &[Stretch],
    sizes: &Sizes,
    takes_up: impl Fn(f64, &Affine) -> Affine,
) -> Vec<(String, Affine)> {
    let bends = straights(path).saturating_sub(1);
    let mut lengths = Vec::new();
    let mut length = Affine::default();
    for number in 1..=straights(path) {
        length = length.plus(&sizes.form(&straight(number)));
        if number <= bends {
            let (angle, radius) = (sizes.value(&bend(number)), sizes.form(&bend_radius(number)));
            lengths.push((bend_starts(number), length.clone()));
            length = length.plus(&takes_up(angle, &radius));
            lengths.push((bend_ends(number), length.clone()));
        }
    }
    lengths.push((DEVELOPED.to_owned(), length));
    lengths
}

/// The ends at which a straight may be made shorter.
pub(super) fn trimmed_at(path: &[Stretch], runs: Runs, size: &str) -> Vec<Side> {
    let [low, high] = runs.along().sides();
    let mut ends = Vec::new();
    if size == straight(1) {
        ends.push(low);
    }
    if size == straight(straights(path)) {
        ends.push(high);
    }
    ends
}

/// To which sides it is bent, one after the other.
pub(super) fn bends(path: &[Stretch]) -> String {
    let bends = path.iter().filter_map(|stretch| match stretch {
        Stretch::Straight(_) => None,
        Stretch::Bend { toward, .. } => Some(format!("{toward:?}")),
    });
    bends.collect::<Vec<_>>().join(BETWEEN)
}

/// The sides, told so, one by one.
pub(crate) fn sides(bends: &str) -> impl Iterator<Item = &str> {
    bends.split(BETWEEN)
}
