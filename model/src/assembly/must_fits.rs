//! Must-fits as what is measured: each once, or once for each hand when it names a part that is there on both sides without saying
//! which.

use std::collections::BTreeSet;

use super::definitions::Sheets;
use super::hands::{as_written, rewrite, right_name};
use super::statements::{Seen, check_named_once};
use super::{AssembledFit, Assembly, Figure, Origin, Within};
use crate::document::{Document, Stated};
use crate::must_fit::MustFit;
use crate::relation::{Hand, Purpose, Recipe, Relation};
use crate::source::{Code, Fault, Text};

/// Enters all must-fits.
pub(super) fn must_fits(
    assembly: &mut Assembly,
    document: &Document,
    sheets: &Sheets<'_>,
    faults: &mut Vec<Fault>,
) {
    assembly.fit = match assembly.tolerance(&document.fit) {
        Ok(standard) => standard,
        Err(fault) => {
            faults.push(fault);
            return;
        }
    };
    let mut seen = Seen::default();
    for entry in document.must_fit.iter() {
        let remarks = &entry.value.remarks;
        let sheet = sheets(remarks.sheet.as_ref(), faults);
        if let Some(adjustable) = &remarks.adjustable {
            let message = "a must-fit places nothing, so that nothing of it can be set";
            faults.push(
                Fault::error(Code::BadValue, message)
                    .at(adjustable.span(), "")
                    .help("say `adjustable` of the relation or the dimension that can be set at fitting"),
            );
        }
        let entered = OneFit::of(assembly, document, (&entry.name, &entry.value), sheet)
            .and_then(|fit| fit.enter(assembly, &mut seen));
        faults.extend(entered.err());
    }
}

/// A must-fit of the file, with what it says of itself understood.
struct OneFit<'d> {
    document: &'d Document,
    name: &'d Text,
    is: &'d MustFit,
    within: Within,
    origin: Origin,
}

impl<'d> OneFit<'d> {
    fn of(
        assembly: &Assembly,
        document: &'d Document,
        (name, stated): (&'d Text, &'d Stated<MustFit>),
        sheet: Option<String>,
    ) -> Result<Self, Fault> {
        let remarks = &stated.remarks;
        let within = match &remarks.within {
            None => Within::of_length(assembly.fit),
            Some(given) => assembly.within(given, assembly.fit)?,
        };
        let origin = Origin {
            span: name.span.clone(),
            sheet,
            within: None,
            trust: remarks.trusted(),
            because: remarks.reason(),
            figure: Figure::Demand,
        };
        Ok(Self {
            document,
            name,
            is: &stated.is,
            within,
            origin,
        })
    }

    fn enter(&self, assembly: &mut Assembly, seen: &mut Seen) -> Result<(), Fault> {
        let mut fit = self.is.clone();
        let names = fit.names();
        seen.enter(self.document, self.name, &names, |name, hand| {
            self.enter_for(assembly, name, hand)
        })
    }

    fn enter_for(&self, assembly: &mut Assembly, name: String, hand: Hand) -> Result<(), Fault> {
        let mut fit = self.is.clone();
        let names = rewrite(self.document, fit.names(), hand);
        check_named_once(&fit.compared())?;
        let origin = self.origin.clone();
        let mut recipe = Recipe::new(assembly, hand, name.clone(), origin, Purpose::Measure);
        let measures = match fit.measures(&mut recipe) {
            Ok(measures) => measures,
            Err(fault) => return Err(as_written(fault, hand, || self.fault_as_written(assembly))),
        };
        let figures = recipe.take_figures();
        assembly.fits.push(AssembledFit {
            name,
            word: fit.word(),
            span: self.name.span.clone(),
            within: self.within,
            measures,
            names,
            figures,
        });
        Ok(())
    }

    /// The fault of it for the right hand, as which it is written.
    fn fault_as_written(&self, assembly: &mut Assembly) -> Option<Fault> {
        let mut fit = self.is.clone();
        let (written, right) = (Hand::AsWritten, right_name(&self.name.value));
        rewrite(self.document, fit.names(), written);
        let origin = self.origin.clone();
        let mut recipe = Recipe::new(assembly, written, right, origin, Purpose::Measure);
        fit.measures(&mut recipe).err()
    }
}

impl Assembly {
    /// Enters a relation to be measured, besides those of the file; its parts go by their full names. Where it is among the
    /// must-fits, or none if it can't be understood.
    pub(crate) fn measure_also(&mut self, relation: &Relation) -> Option<usize> {
        let name = String::new();
        let origin = Origin::default();
        let mut recipe = Recipe::new(self, Hand::AsWritten, name, origin, Purpose::Measure);
        let fit = MustFit::Relation(relation.clone());
        let measures = fit.measures(&mut recipe).ok()?;
        self.fits.push(AssembledFit {
            name: String::new(),
            word: relation.word(),
            span: 0..0,
            within: Within::of_length(0.0),
            measures,
            figures: BTreeSet::new(),
            names: Vec::new(),
        });
        Some(self.fits.len() - 1)
    }
}
