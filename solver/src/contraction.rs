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
