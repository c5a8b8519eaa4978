//! A step by the LU factorisation of a square J. In: a Jacobian by rows, as many as columns. Out: the solution.
//!
//! Which rows make a square system is not known to a least-squares library: this is a floor, not a peer.
//! Simplicial, which faer chooses by itself as well.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::linalg::SupernodalThreshold;
use faer::sparse::linalg::lu::{LuSymbolicParams, NumericLu, SymbolicLu, factorize_symbolic_lu};
use faer::{Conj, Par};

use super::evaluate::ByRows;
use super::sparse::{ByColumns, Factorisation, buffer, one_column};

pub struct Lu {
    by_columns: ByColumns,
    symbolic: SymbolicLu<usize>,
    numeric: NumericLu<usize, f64>,
    scratch: MemBuffer,
}

impl Factorisation for Lu {
    fn analyse(jacobian: &ByRows) -> Result<Self, String> {
        if jacobian.rows() != jacobian.columns {
            return Err("not square".into());
        }
        let by_columns = ByColumns::new(jacobian);
        let params = LuSymbolicParams {
            supernodal_flop_ratio_threshold: SupernodalThreshold::FORCE_SIMPLICIAL,
            ..Default::default()
        };
        let symbolic = factorize_symbolic_lu(by_columns.symbolic().as_ref(), params)
            .map_err(|error| format!("{error:?}"))?;
        let numeric = symbolic.factorize_numeric_lu_scratch::<f64>(Par::Seq, Default::default());
        let solve = symbolic.solve_in_place_scratch::<f64>(1, Par::Seq);
        Ok(Self {
            by_columns,
            numeric: NumericLu::new(),
            scratch: buffer(numeric.or(solve))?,
            symbolic,
        })
    }

    fn solve(&mut self, jacobian: &ByRows, right: Option<&mut Vec<f64>>) -> Result<(), String> {
        let stack = MemStack::new(&mut self.scratch);
        let factor = self
            .symbolic
            .factorize_numeric_lu(
                &mut self.numeric,
                self.by_columns.filled(jacobian),
                Par::Seq,
                stack,
                Default::default(),
            )
            .map_err(|error| format!("{error:?}"))?;
        if let Some(right) = right {
            let stack = MemStack::new(&mut self.scratch);
            factor.solve_in_place_with_conj(Conj::No, one_column(right), Par::Seq, stack);
        }
        Ok(())
    }
}
