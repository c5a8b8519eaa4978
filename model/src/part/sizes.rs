//! A part's quantities once they are understood: each an affine form with its value.

use std::sync::Arc;

use indexmap::IndexMap;
use strongback_solver::{Affine, Surface};

use crate::source::Given;

/// What a quantity of a part is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Thickness of the stock; what a swap of gauge changes. Greater than zero.
    Gauge,
    /// A length that is cut or bent to. Greater than zero.
    Extent,
    /// An inside bend radius. Zero or greater.
    Radius,
    /// A coordinate within the part; any sign.
    Coordinate,
    /// An angle.
    Angle,
    /// An angle that the metal is bent by from flat. It is stated, never found: the shape is no affine function of it.
    Bend,
}

/// The quantities of one part, by name.
#[derive(Clone, Debug, Default)]
pub struct Sizes {
    forms: IndexMap<String, (Affine, f64)>,
    contour: Option<Arc<Surface>>,
}

impl Sizes {
    /// None yet, of a part that follows a contour or doesn't.
    pub fn following(contour: Option<Arc<Surface>>) -> Self {
        Self {
            contour,
            ..Self::default()
        }
    }

    /// The contour that the part follows.
    pub fn contour(&self) -> Option<&Surface> {
        self.contour.as_deref()
    }

    /// Adds a quantity with its value in millimetres or radians (drawn, when it is to be found).
    pub fn insert(&mut self, name: String, form: Affine, value: f64) {
        self.forms.insert(name, (form, value));
    }

    /// The quantity as an affine form; zero when the part doesn't state it.
    pub fn form(&self, name: &str) -> Affine {
        self.forms
            .get(name)
            .map_or_else(|| Affine::constant(0.0), |(form, _)| form.clone())
    }

    /// Its value; zero when the part doesn't state it.
    pub fn value(&self, name: &str) -> f64 {
        self.forms.get(name).map_or(0.0, |(_, value)| *value)
    }

    /// Whether the part states it.
    pub fn has(&self, name: &str) -> bool {
        self.forms.contains_key(name)
    }
}

/// Visits an optional quantity.
pub(super) fn visit(
    name: &str,
    role: Role,
    given: &mut Option<Given>,
    f: &mut dyn FnMut(String, Role, &mut Given),
) {
    if let Some(given) = given {
        f(name.to_owned(), role, given);
    }
}

/// A fault about a part's sizes, with what to do about it.
pub(super) fn fault(
    span: std::ops::Range<usize>,
    message: impl Into<String>,
    help: &str,
) -> crate::source::Fault {
    crate::source::Fault::error(crate::source::Code::BadSize, message)
        .at(span, "")
        .help(help)
}
