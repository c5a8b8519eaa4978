//! Measurements as equations that are no part of the system, each once: a tape reads one of two parts, so that one reading of a
//! part on both sides has to say of which, or it would count twice.

use std::ops::Range;

use strongback_solver::Equation;

use super::hands::both_sided;
use super::statements::check_named_once;
use super::{Assembly, Origin};
use crate::document::Document;
use crate::measurement::{Counts, Measurement};
use crate::relation::{Hand, Purpose, Recipe};
use crate::source::{Code, Fault, Text};

/// A measurement as the system sees it.
#[derive(Clone, Debug)]
pub struct AssembledMeasurement {
    /// Its name.
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
    for entry in document.measurements.iter() {
        match assembled(assembly, document, &entry.name, &entry.value) {
            Ok(measurement) => assembly.measurements.push(measurement),
            Err(fault) => faults.push(fault),
        }
    }
}

fn assembled(
    assembly: &mut Assembly,
    document: &Document,
    name: &Text,
    measurement: &Measurement,
) -> Result<AssembledMeasurement, Fault> {
    let mut copy = measurement.clone();
    let names = copy.names();
    if let Some(fault) = names.iter().find_map(|text| of_either(document, text)) {
        return Err(fault);
    }
    check_named_once(&names)?;
    let names = names.iter().map(|text| text.value.clone()).collect();
    let origin = Origin {
        span: name.span.clone(),
        ..Origin::default()
    };
    let mut recipe = Recipe::new(
        assembly,
        Hand::AsWritten,
        name.value.clone(),
        origin,
        Purpose::Measure,
    );
    let measured = measurement.measured(&mut recipe, name)?;
    Ok(AssembledMeasurement {
        name: name.value.clone(),
        span: name.span.clone(),
        equation: measured.equation,
        counts: measured.counts,
        value: measured.value,
        uncertainty: measured.uncertainty,
        names,
        on: measurement.on.as_ref().map(|text| text.value.clone()),
        note: measurement.note.as_ref().map(|text| text.value.clone()),
    })
}

/// The fault of a name that means a part on both sides and doesn't say which.
fn of_either(document: &Document, text: &Text) -> Option<Fault> {
    let (part, rest) = both_sided(document, &text.value)?;
    Some(
        Fault::error(
            Code::BadValue,
            format!("`{part}` is there on both sides, and one reading is of one of them"),
        )
        .at(text.span.clone(), "")
        .help(format!(
            "name the one that was measured: `{part} R{rest}` or `{part} L{rest}`"
        )),
    )
}
