//! Where a row that can't hold misses least, while all rows that are trusted more hold exactly.
//!
//! In: a block whose last row is the one in question, and a point near. Out: the point at which that row's gradient is
//! a combination of the others' gradients (Lagrange's condition), so that it is dependent there and its circuit tells
//! why. By Newton's method on the tangent space of the kept rows (Nocedal and Wright, Numerical Optimization, 2nd ed.,
//! Springer 2006, chapter 18), second derivatives by differences of exact first ones.

use nalgebra::{DMatrix, DVector, SymmetricEigen};

use crate::block::{Block, Local};
use crate::rank::{RowScale, null_space};

/// Where the search for the least miss ended.
pub(crate) struct LeastMiss {
    pub(crate) at: Local,
    /// The row's residual there.
    pub(crate) miss: f64,
    /// The length of Newton's next step, relative to the reference length: zero at a least miss.
    pub(crate) unrest: f64,
}

/// Steps of Newton's method.
const STEPS: usize = 40;
/// The search is at rest when Newton's next step is this short, relative to the reference length.
const AT_REST: f64 = 1e-12;
/// Kept rows are taken for dependent where one is this small beside the others.
const DEPENDENT: f64 = 1e-9;
/// Step of a difference of gradients, relative to the reference length.
const DIFFERENCE: f64 = 1e-6;

/// Searches from a point; the kept rows count as holding `within` a length. None when they can't be brought to hold
/// from there. The block may be left anywhere.
pub(crate) fn least_miss(block: &Block<'_, '_>, from: Local, within: f64) -> Option<LeastMiss> {
    let search = Search {
        block,
        units: block.units(),
        within,
    };
    let mut here = search.see(search.restored(from)?)?;
    let mut step = search.step(&here)?;
    let unrest = |step: &DVector<f64>| step.norm() / block.reference_length();
    for _ in 0..STEPS {
        if here.miss.abs() <= within || unrest(&step) <= AT_REST {
            break;
        }
        let Some(next) = search.descend(&here, &step) else {
            break;
        };
        step = search.step(&next)?;
        here = next;
    }
    Some(LeastMiss {
        at: here.at,
        miss: here.miss,
        unrest: unrest(&step),
    })
}

/// A block whose last row is the one in question. Columns are counted as lengths, by their units.
struct Search<'b, 'r, 's> {
    block: &'b Block<'r, 's>,
    units: DVector<f64>,
    within: f64,
}

/// What is known at a point where the kept rows hold.
struct Here {
    at: Local,
    miss: f64,
    /// The multipliers of the kept rows, then 1 for the row itself.
    multipliers: DVector<f64>,
    /// The gradient of the Lagrangian.
    gradient: DVector<f64>,
    /// An orthonormal basis of the motions that the kept rows allow.
    tangent: DMatrix<f64>,
}

impl Search<'_, '_, '_> {
    /// Looks at a point; none where a derivative is no finite number.
    fn see(&self, at: Local) -> Option<Here> {
        self.block.put(&at);
        let all = self.derivatives()?;
        let kept_rows = all.nrows() - 1;
        let kept = all.rows(0, kept_rows).into_owned();
        let own = all.row(kept_rows).transpose();
        let tangent = null_space(&kept, RowScale::Stated(&[]), DEPENDENT);
        let gradient = &tangent * tangent.tr_mul(&own);
        let mut multipliers = DVector::from_element(kept_rows + 1, 1.0);
        if kept_rows > 0 {
            // kept' m = gradient - own
            let inverse = kept.transpose().pseudo_inverse(DEPENDENT).ok()?;
            let of_kept = inverse * (&gradient - &own);
            multipliers.rows_mut(0, kept_rows).copy_from(&of_kept);
        }
        Some(Here {
            miss: self.block.residuals()[kept_rows],
            at,
            multipliers,
            gradient,
            tangent,
        })
    }

    /// The step within the tangent space that lessens the miss most, in the block's own columns.
    fn step(&self, here: &Here) -> Option<DVector<f64>> {
        let difference = DIFFERENCE * self.block.reference_length();
        let free = here.tangent.ncols();
        if free == 0 {
            return Some(DVector::zeros(self.units.len()));
        }
        let mut curvature = DMatrix::zeros(free, free);
        for (mut bend, direction) in curvature.column_iter_mut().zip(here.tangent.column_iter()) {
            let mut sides = [-difference, difference]
                .map(|by| self.moved(&here.at, &(direction * by)).derivatives());
            let [less, more] = [sides[0].take()?, sides[1].take()?];
            let change = (more - less).tr_mul(&here.multipliers) / (2.0 * difference);
            bend.copy_from(&here.tangent.tr_mul(&change));
        }
        let downhill = here.miss.signum();
        let slope = here.tangent.tr_mul(&here.gradient) * downhill;
        let eigen = SymmetricEigen::new((&curvature + curvature.transpose()) * (0.5 * downhill));
        let steepest = eigen.eigenvalues.amax();
        let mut along = eigen.eigenvectors.tr_mul(&slope);
        for (component, bend) in along.iter_mut().zip(eigen.eigenvalues.iter()) {
            // downhill along each principal direction, however the row bends there
            let bend = bend.abs().max(1e-9 * steepest);
            *component /= if bend > 0.0 { -bend } else { -1.0 };
        }
        Some(&here.tangent * (&eigen.eigenvectors * along))
    }

    /// Goes along a step as far as the miss grows less; where that is too little to tell from what the kept rows are
    /// allowed to be off, as far as the gradient does.
    fn descend(&self, from: &Here, step: &DVector<f64>) -> Option<Here> {
        /// Halvings of the step.
        const HALVINGS: usize = 30;
        let doubt = 10.0 * self.within;
        let mut step = step.clone();
        for _ in 0..HALVINGS {
            let next = self.moved(&from.at, &step).block.local();
            if let Some(next) = self.restored(next).and_then(|at| self.see(at)) {
                let gain = from.miss.abs() - next.miss.abs();
                if gain > doubt || gain > -doubt && next.gradient.norm() < from.gradient.norm() {
                    return Some(next);
                }
            }
            step *= 0.5;
        }
        None
    }

    /// The point nearest to `from` at which the kept rows hold, by Newton's method with the shortest steps: a search
    /// that scales its columns would slide along the rows.
    fn restored(&self, from: Local) -> Option<Local> {
        /// Newton's steps, a few more than it takes from nearby.
        const STEPS: usize = 20;
        let mut at = from;
        self.block.put(&at);
        for step in 0..=STEPS {
            let residuals = self.block.residuals();
            let kept_rows = residuals.len() - 1;
            let kept = residuals.rows(0, kept_rows).into_owned();
            let off = kept.iter().fold(0.0_f64, |most, miss| most.max(miss.abs()));
            let aim = if step < STEPS { 0.1 } else { 1.0 } * self.within;
            if off <= aim && kept.iter().all(|miss| miss.is_finite()) {
                return Some(at);
            }
            let derivatives = self.derivatives()?.rows(0, kept_rows).into_owned();
            let inverse = derivatives.pseudo_inverse(DEPENDENT).ok()?;
            at = self.moved(&at, &(inverse * -kept)).block.local();
        }
        None
    }

    /// Moves the block to a point by a step in lengths.
    fn moved(&self, from: &Local, step: &DVector<f64>) -> &Self {
        let next = self.block.retract(from, &step.component_mul(&self.units));
        self.block.put(&next);
        self
    }

    /// The derivatives of all rows at the present point; none where one is no finite number.
    fn derivatives(&self) -> Option<DMatrix<f64>> {
        let mut matrix = self.block.derivatives();
        for (mut column, unit) in matrix.column_iter_mut().zip(self.units.iter()) {
            column *= *unit;
        }
        let finite = matrix.iter().all(|derivative| derivative.is_finite());
        finite.then_some(matrix)
    }
}
