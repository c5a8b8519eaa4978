//! The linear part of one Levenberg–Marquardt iteration: residuals r and Jacobian J in, the step p out that
//! minimises |J p + r|² + μ |D p|² with |D p| within the trust radius. D is the diagonal scale, so |D p| is in the
//! unit of the residuals. Orthogonal factorisations only; μ by Hebden's iteration as in J. J. Moré, "The
//! Levenberg-Marquardt algorithm: implementation and theory", Lecture Notes in Mathematics 630 (1978).

use super::settings::COST_ROUNDING;
use nalgebra::{ColPivQR, DMatrix, DVector, Dyn, PermutationSequence};

/// |D p| may miss the radius by this part (Moré 1978).
const RADIUS_SLACK: f64 = 0.1;
/// Most trials for μ; two or three are the rule (Moré 1978).
const DAMPING_TRIALS: usize = 10;

/// J C⁻¹ P = Q R with C the lengths of J's columns: unit columns make the rank decision free of units.
/// Unknown of all solves: z, with p = C⁻¹ P z.
pub(super) struct Linearised {
    lengths: DVector<f64>,
    order: PermutationSequence<Dyn>,
    /// Rows of R up to the rank k: k x n.
    upper: DMatrix<f64>,
    /// First k entries of Qᵀ r.
    within: DVector<f64>,
    /// D C⁻¹ in the order of z.
    weights: DVector<f64>,
    residual_norm: f64,
    /// |part of r in the range of J| / |r|: the relative offset.
    pub(super) offset: f64,
    /// Largest cosine between r and a column of J.
    pub(super) cosine: f64,
    /// The same for the columns of J D⁻¹, not made unit columns: |D⁻¹ Jᵀ r| by its largest entry, over |r|.
    steepness: f64,
}

/// A step and what the linear model promises of it.
pub(super) struct Step {
    /// p, in the tangent space of the parameter.
    pub(super) direction: DVector<f64>,
    /// |D p|.
    pub(super) length: f64,
    /// μ; 0 for the undamped step.
    pub(super) damping: f64,
    /// (|J p| / |r|)².
    pub(super) linear_part: f64,
    /// μ (|D p| / |r|)².
    pub(super) damping_part: f64,
}

impl Step {
    /// Predicted gain: the part of |r|² that goes, by the linear model.
    pub(super) fn predicted(&self) -> f64 {
        self.linear_part + 2.0 * self.damping_part
    }
}

/// Lengths of the columns.
pub(super) fn column_lengths(jacobian: &DMatrix<f64>) -> DVector<f64> {
    DVector::from_iterator(
        jacobian.ncols(),
        jacobian.column_iter().map(|column| column.norm()),
    )
}

impl Linearised {
    /// Factorises J (m x n, any shape) for the residuals r (m, not all zero) and the scale D (n, at least the
    /// lengths of J's columns; zero where no column was ever different from zero).
    pub(super) fn new(
        mut jacobian: DMatrix<f64>,
        residuals: &DVector<f64>,
        scale: &DVector<f64>,
        rank_tolerance: f64,
    ) -> Self {
        let residual_norm = residuals.norm();
        let mut lengths = column_lengths(&jacobian);
        let mut weights = scale.clone();
        let (mut cosine, mut steepness) = (0.0_f64, 0.0_f64);
        for (j, mut column) in jacobian.column_iter_mut().enumerate() {
            if lengths[j] > 0.0 {
                column /= lengths[j];
                let of_column = (column.dot(residuals) / residual_norm).abs();
                cosine = cosine.max(of_column);
                steepness = steepness.max(of_column * (lengths[j] / scale[j]));
            } else {
                // The column drops out of the step; any length will do.
                lengths[j] = if scale[j] > 0.0 { scale[j] } else { 1.0 };
            }
            weights[j] = if scale[j] > 0.0 {
                scale[j] / lengths[j]
            } else {
                1.0
            };
        }
        let factors = ColPivQR::new(jacobian);
        let mut rotated = residuals.clone();
        factors.q_tr_mul(&mut rotated);
        let order = factors.p().clone();
        order.permute_rows(&mut weights);
        let upper = factors.unpack_r();
        let rank = (0..upper.nrows())
            .take_while(|&k| upper[(k, k)].abs() > rank_tolerance)
            .count();
        let within = rotated.rows(0, rank).into_owned();
        Self {
            offset: within.norm() / residual_norm,
            upper: upper.rows(0, rank).into_owned(),
            lengths,
            order,
            within,
            weights,
            residual_norm,
            cosine,
            steepness,
        }
    }

    /// A step along any one column, by the scale, gains too little to be seen in |r|².
    pub(super) fn is_flat(&self) -> bool {
        self.steepness.powi(2) <= COST_ROUNDING
    }

    /// The step within the radius; `guess` is the μ of the step before. None when it cannot be told in finite numbers.
    pub(super) fn step(&self, radius: f64, guess: f64) -> Option<Step> {
        let undamped = self.undamped()?;
        let length = self.length(&undamped);
        if length <= (1.0 + RADIUS_SLACK) * radius {
            return self.finish(undamped, 0.0);
        }
        let mut excess = length - radius;
        let mut lower = if self.upper.is_square() {
            let slope = self.slope(&self.upper, &undamped, length)?;
            excess / (radius * slope)
        } else {
            0.0
        };
        let gradient = self.upper.tr_mul(&self.within);
        let steepest = gradient.component_div(&self.weights).norm();
        let mut upper = (steepest / radius).max(f64::MIN_POSITIVE);
        let mut damping = guess.max(lower).min(upper);
        if damping == 0.0 {
            damping = steepest / length;
        }
        for trial in 1.. {
            damping = damping.max(1e-3 * upper * f64::EPSILON);
            let (z, factor) = self.damped(damping)?;
            let length = self.length(&z);
            let before = excess;
            excess = length - radius;
            let near = excess.abs() <= RADIUS_SLACK * radius;
            let beyond_reach = lower == 0.0 && excess <= before && before < 0.0;
            if near || beyond_reach || trial == DAMPING_TRIALS {
                return self.finish(z, damping);
            }
            let correction = excess / (radius * self.slope(&factor, &z, length)?);
            if excess > 0.0 {
                lower = lower.max(damping);
            } else {
                upper = upper.min(damping);
            }
            damping = lower.max(damping + correction);
        }
        None
    }

    /// |D p|.
    fn length(&self, z: &DVector<f64>) -> f64 {
        z.component_mul(&self.weights).norm()
    }

    /// z that minimises |R z + Qᵀ r|; of all such the one with the least |D p|.
    fn undamped(&self) -> Option<DVector<f64>> {
        let target = -&self.within;
        if self.upper.is_square() {
            return self.upper.solve_upper_triangular(&target);
        }
        // R W⁻¹ s = target with s = W z. From (R W⁻¹)ᵀ = Z T follows s = Z T⁻ᵀ target.
        let mut wide = self.upper.clone();
        for (mut column, weight) in wide.column_iter_mut().zip(self.weights.iter()) {
            column /= *weight;
        }
        let factors = wide.transpose().qr();
        let inner = factors.r().tr_solve_upper_triangular(&target)?;
        Some((factors.q() * inner).component_div(&self.weights))
    }

    /// z that minimises |R z + Qᵀ r|² + μ |W z|², by QR of the stacked matrix [R; √μ W]; with its triangle.
    fn damped(&self, damping: f64) -> Option<(DVector<f64>, DMatrix<f64>)> {
        let (rank, n) = self.upper.shape();
        let root = damping.sqrt();
        let mut stacked = DMatrix::zeros(rank + n, n);
        stacked.rows_mut(0, rank).copy_from(&self.upper);
        for (j, weight) in self.weights.iter().enumerate() {
            stacked[(rank + j, j)] = root * weight;
        }
        let mut target = DVector::zeros(rank + n);
        target
            .rows_mut(0, rank)
            .zip_apply(&self.within, |entry, q| *entry = -q);
        let factors = stacked.qr();
        factors.q_tr_mul(&mut target);
        let triangle = factors.unpack_r();
        let z = triangle.solve_upper_triangular(&target.rows(0, n))?;
        Some((z, triangle))
    }

    /// |T⁻ᵀ W² z|² / |W z|²: minus the derivative of |W z| by μ, over |W z|.
    fn slope(&self, triangle: &DMatrix<f64>, z: &DVector<f64>, length: f64) -> Option<f64> {
        let weighted = z
            .component_mul(&self.weights)
            .component_mul(&self.weights)
            .unscale(length);
        Some(
            triangle
                .tr_solve_upper_triangular(&weighted)?
                .norm_squared(),
        )
    }

    fn finish(&self, mut z: DVector<f64>, damping: f64) -> Option<Step> {
        let length = self.length(&z);
        let linear_part = ((&self.upper * &z).norm() / self.residual_norm).powi(2);
        let damping_part = damping * (length / self.residual_norm).powi(2);
        self.order.inv_permute_rows(&mut z);
        z.component_div_assign(&self.lengths);
        let finite = z.iter().all(|entry| entry.is_finite()) && length.is_finite();
        finite.then_some(Step {
            direction: z,
            length,
            damping,
            linear_part,
            damping_part,
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use proptest::prelude::*;

    /// Any shape up to 6 x 6, entries in [-5, 5], with rank lowered by copying a column where asked.
    fn systems() -> impl Strategy<Value = (DMatrix<f64>, DVector<f64>, f64)> {
        (1..7_usize, 1..7_usize, any::<bool>(), 1e-3..10.0_f64).prop_flat_map(
            |(m, n, copy, radius)| {
                let entries = prop::collection::vec(-5.0..5.0_f64, m * (n + 1));
                entries.prop_map(move |entries| {
                    let mut all = DMatrix::from_vec(m, n + 1, entries);
                    let residuals = all.column(n).into_owned();
                    if copy {
                        let first = all.column(0) * 2.0;
                        all.set_column(n - 1, &first);
                    }
                    (all.columns(0, n).into_owned(), residuals, radius)
                })
            },
        )
    }

    proptest! {
        /// The normal equations (Jᵀ J + μ D²) p = -Jᵀ r judge the orthogonal factorisation, and the step keeps to
        /// its radius: within it when undamped, near it when damped.
        #[test]
        fn step_is_the_damped_minimum((jacobian, residuals, radius) in systems()) {
            let scale = column_lengths(&jacobian).map(|length| 1.5 * length);
            let linear = Linearised::new(jacobian.clone(), &residuals, &scale, 1e-13);
            let step = linear.step(radius, 0.0).unwrap();
            let scaled = step.direction.component_mul(&scale);
            prop_assert!((scaled.norm() - step.length).abs() <= 1e-9 * step.length);
            prop_assert!(step.length <= 1.1 * radius * (1.0 + 1e-9));
            prop_assert!(step.damping == 0.0 || step.length >= 0.9 * radius * (1.0 - 1e-9));
            let balance = jacobian.tr_mul(&(&jacobian * &step.direction + &residuals))
                + scale.component_mul(&scaled) * step.damping;
            prop_assert!(balance.amax() <= 1e-9 * residuals.norm() * scale.amax().max(1.0), "{balance}");
            // Predicted gain, from its definition.
            let left = (&jacobian * &step.direction + &residuals).norm_squared() / residuals.norm_squared();
            prop_assert!((1.0 - left - step.predicted()).abs() <= 1e-9);
        }
    }

    /// A damped step of a square system in closed form: J = I, D = I, p = -r / (1 + μ).
    #[test]
    fn identity_is_shortened_towards_the_solution() {
        let residuals = DVector::from_vec(vec![3.0, -4.0]);
        let ones = DVector::from_element(2, 1.0);
        let linear = Linearised::new(DMatrix::identity(2, 2), &residuals, &ones, 1e-13);
        let step = linear.step(1.0, 0.0).unwrap();
        assert!((step.length - 1.0).abs() <= 0.1);
        let expected = -&residuals / (1.0 + step.damping);
        assert!((step.direction - expected).norm() < 1e-14);
        assert!((linear.offset - 1.0).abs() < 1e-15);
        assert!((linear.cosine - 0.8).abs() < 1e-15);
    }
}
