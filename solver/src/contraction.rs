//! Newton's method on a small block, as far as it contracts from the start.
//!
//! In: a block of few rows and a state near its solution. Out: the state at the solution, or the word that the steps do not
//! contract at once: then another solution may be as near, and the damped search has to tell. The residual is to fall to a
//! quarter with each step (the restricted monotonicity test: Deuflhard, Newton Methods for Nonlinear Problems, Springer 2004,
//! section 3.1), down to rounding. All on fixed-size matrices; nothing allocates.

use nalgebra::{Const, DimMin, SMatrix, SVector};

use crate::geometry::Var;
use crate::rows::{Linear, Rows};
use crate::square::BlockOf;
use crate::system::State;

/// Blocks of more rows are not taken.
pub(crate) const WIDEST: usize = 6;

/// Newton's steps taken, if they led to the solution; else the state is as it was. Of a wide block, and of one with a turn by
/// increments, none.
pub(crate) fn contract(
    rows: &Rows<'_>,
    block: BlockOf<'_>,
    within: f64,
    state: &mut State,
    room: &mut Linear,
) -> Option<u64> {
    if block
        .columns
        .iter()
        .any(|column| rows.tangent_of[*column].is_some())
    {
        return None;
    }
    let contract = match block.rows.len() {
        1 => steps::<1>,
        2 => steps::<2>,
        3 => steps::<3>,
        4 => steps::<4>,
        5 => steps::<5>,
        WIDEST => steps::<WIDEST>,
        _ => return None,
    };
    contract(rows, block, within, state, room)
}

fn steps<const N: usize>(
    rows: &Rows<'_>,
    block: BlockOf<'_>,
    within: f64,
    state: &mut State,
    room: &mut Linear,
) -> Option<u64>
where
    Const<N>: DimMin<Const<N>, Output = Const<N>>,
{
    /// A residual is to fall to this part of the one before.
    const CONTRACTS: f64 = 0.25;
    /// From a start that contracts at once, far more than are taken.
    const STEPS: u64 = 20;
    let columns: &[usize; N] = block.columns.try_into().ok()?;
    let own: &[usize; N] = block.rows.try_into().ok()?;
    let vars: [Var; N] = columns.map(|column| rows.unknowns[column]);
    let values = |state: &State| SVector::from(vars.map(|var| state.value(var)));
    let put = |state: &mut State, values: &SVector<f64, N>| {
        for (var, value) in vars.iter().zip(values.iter()) {
            state.values[var.index()] = *value;
        }
    };
    let mut evaluate = |state: &State| {
        let mut off = SVector::<f64, N>::zeros();
        let mut jacobian = SMatrix::<f64, N, N>::zeros();
        for (at, row) in own.iter().enumerate() {
            off[at] = rows.linear(*row, state, room);
            for (slot, column) in columns.iter().enumerate() {
                jacobian[(at, slot)] = room.by(*column);
            }
        }
        (off, jacobian)
    };
    let start = values(state);
    let (mut off, mut jacobian) = evaluate(state);
    let mut last = off.amax();
    for taken in 0..STEPS {
        if last == 0.0 {
            return Some(taken);
        }
        let Some(step) = jacobian.lu().solve(&off) else {
            break;
        };
        let before = values(state);
        put(state, &(before - step));
        let reached = last <= within;
        (off, jacobian) = evaluate(state);
        let now = off.amax();
        if reached {
            // one step more than is needed: a residual that is just within would still show in a chain
            if now.is_nan() || now > last {
                put(state, &before);
            }
            return Some(taken + 1);
        }
        // what is no number compares as false
        let contracts = now <= CONTRACTS * last || now <= within;
        if !contracts {
            break;
        }
        last = now;
    }
    put(state, &start);
    None
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use approx::assert_relative_eq;

    use super::*;
    use crate::equation::{Equation, Measure};
    use crate::geometry::{Affine, Point};
    use crate::system::System;

    /// One rod of 5 from a pin 3 up to one that slides along the floor, by hand 4 away: `sqrt(x^2 + 9) = 5`. Where Newton's method
    /// leads from a start; and the steps that it took, if it contracts.
    fn slid_from(start: f64) -> (f64, Option<u64>) {
        let mut system = System::new(1.0);
        let slides = system.unknown(start, Measure::Length);
        let pin = |at: [Affine; 3]| Point {
            body: System::FIXED,
            at,
        };
        let number = Affine::constant;
        let rod = Equation::Distance {
            from: pin([number(0.0), number(0.0), number(3.0)]),
            to: pin([Affine::var(slides), number(0.0), number(0.0)]),
            distance: number(5.0),
        };
        system.equation(rod, 0);
        let rows = Rows::new(&system);
        let mut state = system.start();
        let block = BlockOf {
            rows: &[0],
            columns: &[0],
        };
        let taken = contract(&rows, block, 1e-10, &mut state, &mut Linear::default());
        (state.value(slides), taken)
    }

    /// The step from 5 goes to 5 - (sqrt 34 - 5) sqrt 34 / 5 = 4.031; near 4 the error is then squared and taken times
    /// 9 / (2 * 4 * 25) = 0.045 at each step: 4e-5, 8e-11, and rounding; and one step more than is needed.
    #[test]
    fn a_start_that_contracts_is_led_to_the_solution() {
        let (at, taken) = slid_from(5.0);
        assert_relative_eq!(at, 4.0, max_relative = 1e-15);
        assert_eq!(taken, Some(4));
        assert_eq!(slid_from(4.0), (4.0, Some(0)));
        // the nearer of the two
        assert_relative_eq!(slid_from(-5.0).0, -4.0, max_relative = 1e-15);
    }

    /// From a half the first step leads to 12 and from 0 none leads anywhere: the search has to tell which of the two is meant.
    #[test]
    fn a_start_that_does_not_contract_is_left_where_it_is() {
        for start in [0.5, 0.0, -0.5, f64::NAN] {
            let (at, taken) = slid_from(start);
            assert_eq!((at.to_bits(), taken), (start.to_bits(), None));
        }
    }
}
