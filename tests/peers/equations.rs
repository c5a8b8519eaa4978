//! The neutral form of a system's equations, as flat arrays. In: rows as sums of products. Out: arrays for an evaluator, and a
//! text file that other programs read.
//!
//! Every row is r = Σₖ Tₖ · Aₖ, where Aₖ is an affine form of the unknowns and Tₖ a product of sines and cosines of
//! angles, which are affine forms of the unknowns too. A row that is affine is one term with an empty product. A point on
//! the plane of a turned body, n·(p − q) − d, is such a sum exactly: n and the turned part of p are products of sines and
//! cosines. Millimetres and radians; a row is in millimetres.

use std::fmt::{self, Display, Write};

/// Affine forms, `constant + Σ coefficient · unknown`, one after the other.
#[derive(Clone, Debug)]
pub struct Forms {
    pub constant: Vec<f64>,
    /// Where the entries of each form begin; one more at the end.
    pub first: Vec<usize>,
    pub unknown: Vec<usize>,
    pub coefficient: Vec<f64>,
}

impl Forms {
    pub fn new() -> Self {
        Self {
            constant: Vec::new(),
            first: vec![0],
            unknown: Vec::new(),
            coefficient: Vec::new(),
        }
    }

    pub fn push(&mut self, form: &Form) {
        self.constant.push(form.constant);
        for &(unknown, coefficient) in &form.terms {
            self.unknown.push(unknown);
            self.coefficient.push(coefficient);
        }
        self.first.push(self.unknown.len());
    }

    pub fn len(&self) -> usize {
        self.constant.len()
    }

    /// The entries of a form: unknown and coefficient.
    pub fn entries(&self, form: usize) -> impl Iterator<Item = (usize, f64)> + '_ {
        let range = self.first[form]..self.first[form + 1];
        range.map(|at| (self.unknown[at], self.coefficient[at]))
    }

    /// The value of a form.
    #[inline]
    pub fn at(&self, form: usize, x: &[f64]) -> f64 {
        self.entries(form)
            .fold(self.constant[form], |sum, (unknown, coefficient)| {
                sum + coefficient * x[unknown]
            })
    }
}

/// One affine form; each unknown at most once.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Form {
    pub constant: f64,
    pub terms: Vec<(usize, f64)>,
}

/// All rows of a system, to be brought to zero in the sense of least squares.
#[derive(Clone, Debug)]
pub struct Equations {
    /// Where the search starts: the drawn values of the unknowns.
    pub start: Vec<f64>,
    /// A row holds when it is no larger than this, in millimetres: the solver's own criterion.
    pub within: f64,
    /// The angles whose sines and cosines are read.
    pub angles: Forms,
    /// The affine form of each term.
    pub amounts: Forms,
    /// Where the terms of each row begin; one more at the end.
    pub first_term: Vec<usize>,
    /// Where the factors of each term begin; one more at the end.
    pub first_factor: Vec<usize>,
    /// The factors: 2·angle is its sine, 2·angle + 1 its cosine.
    pub factor: Vec<usize>,
}

impl Equations {
    pub fn new(start: Vec<f64>, within: f64) -> Self {
        Self {
            start,
            within,
            angles: Forms::new(),
            amounts: Forms::new(),
            first_term: vec![0],
            first_factor: vec![0],
            factor: Vec::new(),
        }
    }

    pub fn rows(&self) -> usize {
        self.first_term.len() - 1
    }

    pub fn terms_of(&self, row: usize) -> std::ops::Range<usize> {
        self.first_term[row]..self.first_term[row + 1]
    }

    pub fn factors_of(&self, term: usize) -> &[usize] {
        &self.factor[self.first_factor[term]..self.first_factor[term + 1]]
    }

    /// Whether a row has no sine or cosine.
    pub fn is_affine(&self, row: usize) -> bool {
        self.terms_of(row)
            .all(|term| self.factors_of(term).is_empty())
    }

    /// Adds a row from its terms: factors, and the form that they multiply.
    pub fn push<'a>(&mut self, terms: impl Iterator<Item = (&'a Vec<usize>, &'a Form)>) {
        for (factors, form) in terms {
            self.factor.extend(factors);
            self.first_factor.push(self.factor.len());
            self.amounts.push(form);
        }
        self.first_term.push(self.amounts.len());
    }
}

/// The text that other programs read: each line a name, a count and so many numbers. Numbers read back to the same bits.
impl Display for Equations {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut forms = |name: &str, forms: &Forms| {
            line(f, &format!("{name}_constant"), &forms.constant)?;
            line(f, &format!("{name}_first"), &forms.first)?;
            line(f, &format!("{name}_unknown"), &forms.unknown)?;
            line(f, &format!("{name}_coefficient"), &forms.coefficient)
        };
        forms("angle", &self.angles)?;
        forms("amount", &self.amounts)?;
        line(f, "first_term", &self.first_term)?;
        line(f, "first_factor", &self.first_factor)?;
        line(f, "factor", &self.factor)?;
        line(f, "start", &self.start)?;
        line(f, "within", &[self.within])
    }
}

fn line<T: Display>(f: &mut fmt::Formatter<'_>, name: &str, values: &[T]) -> fmt::Result {
    write!(f, "{name} {}", values.len())?;
    for value in values {
        f.write_char(' ')?;
        value.fmt(f)?;
    }
    f.write_char('\n')
}
