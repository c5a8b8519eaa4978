//! Measurements as equations that are no part of the system: each once, or once for each hand when it names a part that is
//! there on both sides without saying which.

use std::ops::Range;

use strongback_solver::Equation;

use super::statements::{Seen, hands, named_twice, rewrite};
use super::{Assembly, Origin};
use crate::document::Document;
use crate::measurement::Counts;
use crate::relation::{Purpose, Recipe};
use crate::source::Fault;

/// A measurement as the system sees it.
#[derive(Clone, Debug)]
pub struct AssembledMeasurement {
    /// Its name, with ` L` or ` R` for one of two.
    pub name: String,
    /// Its place in the file.
    pub span: Range<usize>,
    /// What is measured: the plan's value is this equation's residual.
    pub equation: Equation,
    /// How the value counts.
    pub counts: Counts,
    /// What was measured: millimetres, or radians for an angle.
    pub value: f64,
    /// Its standard uncertainty, in the same unit.
    pub uncertainty: f64,
    /// The features or the size that it names.
    pub names: Vec<String>,
    /// The day on which it was measured.
    pub on: Option<String>,
    /// How it was measured.
    pub note: Option<String>,
}

/// Enters all measurements.
pub(super) fn measurements(assembly: &mut Assembly, document: &Document, faults: &mut Vec<Fault>) {
    let mut seen = Seen::default();
    for entry in document.measurements.iter() {
        let origin = Origin {
            span: entry.name.span.clone(),
            ..Origin::default()
        };
        let each_name = |f: &mut dyn FnMut(&str)| {
            let mut copy = entry.value.clone();
            copy.names().into_iter().for_each(|text| f(&text.value));
        };
        for (name, hand) in hands(document, &entry.name.value, each_name) {
            if !seen.insert(&name, &entry.name.span, faults) {
                break;
            }
            let mut measurement = entry.value.clone();
            let names = rewrite(document, measurement.names(), hand);
            if let Some(fault) = named_twice(&measurement.names()) {
                faults.push(fault);
                break;
            }
            let mut recipe = Recipe::new(
                assembly,
                hand,
                name.clone(),
                origin.clone(),
                Purpose::Measure,
            );
            match measurement.measured(&mut recipe, &entry.name) {
                Ok(measured) => assembly.measurements.push(AssembledMeasurement {
                    name,
                    span: entry.name.span.clone(),
                    equation: measured.equation,
                    counts: measured.counts,
                    value: measured.value,
                    uncertainty: measured.uncertainty,
                    names,
                    on: measurement.on.map(|text| text.value),
                    note: measurement.note.map(|text| text.value),
                }),
                // what is wrong for one hand is wrong for the other: told once
                Err(fault) => {
                    faults.push(fault);
                    break;
                }
            }
        }
    }
}
