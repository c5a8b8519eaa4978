//! More parts and statements.

use serde::Deserialize;

use super::ChangeKind;
use crate::document::{Dimension, Document, Stated};
use crate::must_fit::MustFit;
use crate::part::Part;
use crate::relation::Relation;
use crate::source::{Entries, Fault};

/// Parts, relations, must-fits and dimensions that are added.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Add {
    /// Figures.
    #[serde(default)]
    pub dimensions: Entries<Dimension>,
    /// Parts.
    #[serde(default)]
    pub parts: Entries<Part>,
    /// Relations.
    #[serde(default)]
    pub relations: Entries<Stated<Relation>>,
    /// Must-fits.
    #[serde(default)]
    pub must_fit: Entries<Stated<MustFit>>,
}

impl ChangeKind for Add {
    fn says(&self) -> &'static str {
        "Parts, relations, must-fits and dimensions are added."
    }

    fn make(&self, document: &mut Document) -> Result<(), Fault> {
        push_all(&mut document.dimensions, &self.dimensions)?;
        push_all(&mut document.parts, &self.parts)?;
        push_all(&mut document.relations, &self.relations)?;
        push_all(&mut document.must_fit, &self.must_fit)
    }

    fn told(&self) -> String {
        let names: Vec<&str> = self
            .parts
            .names()
            .chain(self.relations.names())
            .chain(self.dimensions.names())
            .chain(self.must_fit.names())
            .collect();
        format!("{} added", names.join(", "))
    }
}

fn push_all<T: Clone>(to: &mut Entries<T>, from: &Entries<T>) -> Result<(), Fault> {
    for entry in from.iter() {
        to.push(entry.name.clone(), entry.value.clone())?;
    }
    Ok(())
}
