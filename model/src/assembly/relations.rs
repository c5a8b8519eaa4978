//! Relations as equations: each once, or once for each hand when it names a part that is there on both sides without saying which.

use super::definitions::Sheets;
use super::hands::{as_written, rewrite, right_name};
use super::statements::{Seen, check_named_once};
use super::{AssembledStatement, Assembly, Figure, Origin, Within};
use crate::document::{Document, Stated, Trust};
use crate::relation::{Built, Hand, Purpose, Recipe, Relation};
use crate::source::{Fault, Text};

/// Enters all relations.
pub(super) fn relations(
    assembly: &mut Assembly,
    document: &Document,
    sheets: &Sheets<'_>,
    faults: &mut Vec<Fault>,
) {
    let mut seen = Seen::default();
    for entry in document.relations.iter() {
        let stated = entry.value.as_it_counts();
        let sheet = sheets(stated.remarks.sheet.as_ref(), faults);
        let entered = OneRelation::of(assembly, document, (&entry.name, &stated), sheet)
            .and_then(|relation| relation.enter(assembly, &mut seen));
        faults.extend(entered.err());
    }
}

/// A relation of the file, with what it says of itself understood.
struct OneRelation<'d> {
    document: &'d Document,
    name: &'d Text,
    stated: &'d Stated<Relation>,
    within: Option<Within>,
    origin: Origin,
}

impl<'d> OneRelation<'d> {
    fn of(
        assembly: &mut Assembly,
        document: &'d Document,
        (name, stated): (&'d Text, &'d Stated<Relation>),
        sheet: Option<String>,
    ) -> Result<Self, Fault> {
        let remarks = &stated.remarks;
        let within = remarks.within.as_ref();
        let within = within.map(|given| assembly.tolerance_by_itself(given));
        let within = within.transpose()?;
        assembly.adjustable(remarks)?;
        let origin = Origin {
            span: name.span.clone(),
            sheet,
            within: within.map(|within| within.by_itself()),
            trust: remarks.trusted(),
            because: remarks.reason(),
            figure: if document.made.contains(&name.value) {
                Figure::Made
            } else {
                Figure::Relation
            },
        };
        Ok(Self {
            document,
            name,
            stated,
            within,
            origin,
        })
    }

    fn enter(&self, assembly: &mut Assembly, seen: &mut Seen) -> Result<(), Fault> {
        let mut relation = self.stated.is.clone();
        let names = relation.kind_mut().names();
        seen.enter(self.document, self.name, &names, |name, hand| {
            self.enter_for(assembly, name, hand)
        })
    }

    fn enter_for(&self, assembly: &mut Assembly, name: String, hand: Hand) -> Result<(), Fault> {
        let remarks = &self.stated.remarks;
        let mut relation = self.stated.is.clone();
        let names = rewrite(self.document, relation.kind_mut().names(), hand);
        check_named_once(&relation.kind_mut().compared())?;
        let origin = self.origin.clone();
        let mut recipe = Recipe::new(assembly, hand, name.clone(), origin, Purpose::Place);
        let built = relation.kind().equations(&mut recipe).and_then(|()| {
            let apart = remarks.apart.as_ref();
            apart.map_or(Ok(()), |by| recipe.set_apart(by))
        });
        if let Err(fault) = built {
            return Err(as_written(fault, hand, || self.fault_as_written(assembly)));
        }
        let equations = recipe.take_equations();
        let (trust, because) = match remarks.trust {
            Some(trust) => (trust, remarks.reason()),
            None => assembly.trusted_as_its_figures(&equations, remarks.reason()),
        };
        let statement = AssembledStatement {
            name,
            word: relation.word(),
            span: self.name.span.clone(),
            sheet: self.origin.sheet.clone(),
            trust,
            because,
            reading: remarks.reading.as_ref().map(|text| text.value.clone()),
            within: self.within,
            equations: Vec::new(),
            names,
        };
        assembly.enter(statement, equations);
        Ok(())
    }

    /// The fault of it for the right hand, as which it is written.
    fn fault_as_written(&self, assembly: &mut Assembly) -> Option<Fault> {
        let mut relation = self.stated.is.clone();
        let (written, right) = (Hand::AsWritten, right_name(&self.name.value));
        rewrite(self.document, relation.kind_mut().names(), written);
        let origin = self.origin.clone();
        let mut recipe = Recipe::new(assembly, written, right, origin, Purpose::Measure);
        relation.kind().equations(&mut recipe).err()
    }
}

impl Assembly {
    /// How far a relation that doesn't say it is to be trusted, and why: as the least trusted dimension that it compares with.
    fn trusted_as_its_figures(
        &self,
        equations: &[Built],
        reason: Option<String>,
    ) -> (Trust, Option<String>) {
        let forms = equations.iter().filter_map(|built| built.equation.figure());
        let least = forms
            .flat_map(|form| form.vars())
            .filter_map(|var| self.quantities.label(var))
            .map(|label| &label.origin)
            .filter(|origin| origin.figure == Figure::Dimension)
            .max_by_key(|origin| origin.trust);
        match least {
            Some(origin) => (origin.trust, reason.or_else(|| origin.because.clone())),
            None => (Trust::default(), reason),
        }
    }
}
