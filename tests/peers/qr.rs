//! A step by the QR factorisation of J. In: a Jacobian by rows. Out: the least-squares solution, without squaring its condition.
//!
//! Column approximate minimum degree ordering; supernodal.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::linalg::SupernodalThreshold;
use faer::sparse::linalg::qr::{QrSymbolicParams, SymbolicQr, factorize_symbolic_qr};
use faer::{Conj, Par};

use super::evaluate::ByRows;
use super::sparse::{ByColumns, Factorisation, buffer, one_column};

pub struct Qr {
    by_columns: ByColumns,
    symbolic: SymbolicQr<usize>,
    indices: Vec<usize>,
    values: Vec<f64>,
    scratch: MemBuffer,
}

impl Factorisation for Qr {
    fn analyse(jacobian: &ByRows) -> Result<Self, String> {
        let by_columns = ByColumns::new(jacobian);
        let params = QrSymbolicParams {
            supernodal_flop_ratio_threshold: SupernodalThreshold::FORCE_SUPERNODAL,
            ..Default::default()
        };
        let symbolic = factorize_symbolic_qr(by_columns.symbolic().as_ref(), params)
            .map_err(|error| format!("{error:?}"))?;
        let numeric = symbolic.factorize_numeric_qr_scratch::<f64>(Par::Seq, Default::default());
        let solve = symbolic.solve_in_place_scratch::<f64>(1, Par::Seq);
        Ok(Self {
            by_columns,
            indices: vec![0; symbolic.len_idx()],
            values: vec![0.0; symbolic.len_val()],
            scratch: buffer(numeric.or(solve))?,
            symbolic,
        })
    }

    fn solve(&mut self, jacobian: &ByRows, right: Option<&mut Vec<f64>>) -> Result<(), String> {
        let stack = MemStack::new(&mut self.scratch);
        let factor = self.symbolic.factorize_numeric_qr(
            &mut self.indices,
            &mut self.values,
            self.by_columns.filled(jacobian),
            Par::Seq,
            stack,
            Default::default(),
        );
        if let Some(right) = right {
            let stack = MemStack::new(&mut self.scratch);
            factor.solve_in_place_with_conj(Conj::No, one_column(right), Par::Seq, stack);
        }
        Ok(())
    }
}
