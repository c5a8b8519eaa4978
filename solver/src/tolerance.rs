//! Every threshold of the solver, with its reason.

/// Thresholds of a solution. Lengths are relative to the system's reference length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerances {
    /// A kept row must come to zero within this, relative to the reference length. With a reference
    /// length of a metre it is a nanometre: far below metal, far above the rounding of a chain of
    /// some thousand additions in double precision.
    pub converged: f64,
    /// A statement that places nothing is spare when its rows are zero within this, relative to the
    /// reference length; beyond it, it is at odds. Looser than `converged`, since the rows that it
    /// is compared with carry their own error along the circuit.
    pub spare: f64,
    /// A row is dependent on the kept ones when what is left of it after elimination is smaller than
    /// this, relative to the largest number met on the way. Rows are scaled to a largest entry of 1.
    pub dependent: f64,
    /// The kept set may change so many times from the drawn position to the solution; then there is none.
    pub rounds: usize,
    /// Half the spread of the generic point about the drawn one, relative to the reference length
    /// (and in radians for turns): far enough from any accident of the drawing, near enough to keep
    /// its shape.
    pub generic: f64,
    /// Two roots nearer than this, relative to the reference length or in radians, are one: a tenth of a millimetre of a
    /// metre, which no builder tells apart, and well above the root of `converged`, to which a double root is found.
    pub distinct: f64,
    /// A root at which a body is turned by this or more, in radians, is the found one with a direction reversed: equations of
    /// parallel lines and of contacts hold up to sense, and their other roots lie at half a turn, or so near to it as other
    /// parts give way.
    pub half_turn: f64,
    /// A root at which every body is turned by less than this, in radians, is worth a person's attention: a quarter turn. What
    /// is turned further looks so different that nobody takes the one for the other.
    pub near_turn: f64,
}

impl Default for Tolerances {
    fn default() -> Self {
        Self {
            converged: 1e-12,
            spare: 1e-9,
            dependent: 1e-9,
            rounds: 6,
            generic: 0.03,
            distinct: 1e-4,
            half_turn: 3.0,
            near_turn: std::f64::consts::FRAC_PI_2,
        }
    }
}
