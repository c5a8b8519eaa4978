//! A step by the QR factorisation of J. In: a Jacobian by rows. Out: the least-squares solution, without squaring its condition.
//!
//! Supernodal, by approximate minimum degree ordering of columns. Tried on searches of 1,000 bays, chain and closed loop,
//! beside other work on the machine:
//! - supernodal 65 and 117 ms; simplicial, which faer chooses by itself, 1,500 and 18,400 ms
//! - a column counts as dense, and is ordered last, from 0.1 √n entries: 65 and 117 ms; from the default of 0.5 √n, 72 and
//!   740 ms, 500 ms of it the ordering, for the rails of the loop are read by every bay; from 10 √n the same as by default
//! - other bounds on dense rows, and how willingly supernodes are merged: no better; without aggressive absorption worse

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::linalg::SupernodalThreshold;
use faer::sparse::linalg::colamd::Control;
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
            colamd_params: Control {
                dense_col: 0.1,
                ..Control::default()
            },
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
