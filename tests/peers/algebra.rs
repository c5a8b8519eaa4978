//! Sums of products of sines and cosines. In: rotations, points and directions of bodies. Out: the rows of the neutral form, like terms collected.

use std::collections::BTreeMap;

use super::equations::Form;

/// Coefficients smaller than this come from the rounding of a sine or cosine of a given angle.
const ROUNDING: f64 = 1e-15;

/// Sines and cosines that are multiplied, sorted; see [`Equations::factor`](super::equations::Equations::factor).
pub type Factors = Vec<usize>;

/// Σ coefficient · product of sines and cosines.
#[derive(Clone, Debug, Default)]
pub struct Trig(BTreeMap<Factors, f64>);

/// Σ product of sines and cosines · affine form.
#[derive(Clone, Debug, Default)]
pub struct Sum(BTreeMap<Factors, Form>);

impl Form {
    /// Adds `by` times another form.
    pub fn add(&mut self, other: &Form, by: f64) {
        self.constant += by * other.constant;
        for &(unknown, coefficient) in &other.terms {
            match self.terms.iter_mut().find(|(known, _)| *known == unknown) {
                Some(term) => term.1 += by * coefficient,
                None => self.terms.push((unknown, by * coefficient)),
            }
        }
        self.terms.retain(|(_, coefficient)| *coefficient != 0.0);
    }
}

impl Trig {
    pub fn constant(value: f64) -> Self {
        let mut trig = Self::default();
        trig.add(&Vec::new(), value);
        trig
    }

    /// One sine or cosine.
    pub fn factor(factor: usize) -> Self {
        Self([(vec![factor], 1.0)].into())
    }

    fn add(&mut self, factors: &Factors, value: f64) {
        if value.abs() > ROUNDING {
            *self.0.entry(factors.clone()).or_default() += value;
        }
    }

    pub fn plus(mut self, other: &Trig) -> Self {
        for (factors, value) in &other.0 {
            self.add(factors, *value);
        }
        self
    }

    pub fn times(&self, other: &Trig) -> Self {
        let mut product = Self::default();
        for (a, x) in &self.0 {
            for (b, y) in &other.0 {
                product.add(&joined(a, b), x * y);
            }
        }
        product
    }

    pub fn scaled(&self, by: f64) -> Self {
        self.times(&Trig::constant(by))
    }
}

impl Sum {
    /// Adds `by` times a product with a form.
    pub fn add(&mut self, trig: &Trig, form: &Form, by: f64) {
        for (factors, value) in &trig.0 {
            self.0
                .entry(factors.clone())
                .or_default()
                .add(form, by * value);
        }
    }

    /// The terms that are not nothing.
    pub fn terms(&self) -> impl Iterator<Item = (&Factors, &Form)> {
        let none = Form::default();
        self.0.iter().filter(move |(_, form)| **form != none)
    }
}

fn joined(a: &Factors, b: &Factors) -> Factors {
    let mut all: Factors = a.iter().chain(b).copied().collect();
    all.sort_unstable();
    all
}

pub fn dot(a: &[Trig; 3], b: &[Trig; 3]) -> Trig {
    (0..3).fold(Trig::default(), |sum, axis| {
        sum.plus(&a[axis].times(&b[axis]))
    })
}

/// R = Rz(yaw) · Ry(pitch) · Rx(roll), from the (sine, cosine) of each.
pub fn rotation([roll, pitch, yaw]: &[(Trig, Trig); 3]) -> [[Trig; 3]; 3] {
    let ((sr, cr), (sp, cp), (sy, cy)) = (roll, pitch, yaw);
    let less = |a: Trig, b: Trig| a.plus(&b.scaled(-1.0));
    [
        [
            cy.times(cp),
            less(cy.times(sp).times(sr), sy.times(cr)),
            cy.times(sp).times(cr).plus(&sy.times(sr)),
        ],
        [
            sy.times(cp),
            sy.times(sp).times(sr).plus(&cy.times(cr)),
            less(sy.times(sp).times(cr), cy.times(sr)),
        ],
        [sp.scaled(-1.0), cp.times(sr), cp.times(cr)],
    ]
}
