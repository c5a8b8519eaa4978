//! Relations and must-fits as equations: each once, or once for each hand when it names a part that is
//! there on both sides without saying which.

use std::collections::BTreeSet;
use std::ops::Range;

use indexmap::IndexMap;

use super::definitions::Sheets;
use super::hands::{as_written, hands, rewrite, right_name};
use super::{AssembledFit, AssembledStatement, Assembly, Figure, Origin, Within};
use crate::document::{Document, Trust};
use crate::must_fit::MustFit;
use crate::quantity::Kind;
use crate::relation::{Built, Hand, Purpose, Recipe, Relation};
use crate::source::{Code, Fault, Text};

/// Notes the tolerance of what states none, and looks at what dimensions say of themselves.
pub(super) fn general(assembly: &mut Assembly, document: &Document, faults: &mut Vec<Fault>) {
    for entry in document.dimensions.iter() {
        faults.extend(assembly.adjustable(&entry.value.remarks).err());
    }
    let within = document.within.as_ref();
    match within.map(|given| (given, assembly.tolerance_of(given))) {
        None => {}
        Some((_, Ok((length, Kind::Length)))) => assembly.within = Some(length),
        Some((given, Ok(_))) => faults.push(
            Fault::error(
                Code::BadQuantity,
                "the tolerance of all that states none has to be a length",
            )
            .at(given.span(), "or lengths would have none")
            .help("write one as in `within: \"1/64 in\"`; an angle states its own, as in `(is: \"12 deg\", within: \"1/4 deg\")`"),
        ),
        Some((_, Err(fault))) => faults.push(fault),
    }
}

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
        let remarks = &stated.remarks;
        let sheet = sheets(remarks.sheet.as_ref(), faults);
        let within = remarks
            .within
            .as_ref()
            .map(|given| assembly.tolerance_by_itself(given))
            .transpose();
        let within = within.and_then(|within| assembly.adjustable(remarks).map(|_| within));
        let within = match within {
            Ok(within) => within,
            Err(fault) => {
                faults.push(fault);
                continue;
            }
        };
        let origin = Origin {
            span: entry.name.span.clone(),
            sheet: sheet.clone(),
            within: within.map(|within| within.by_itself()),
            trust: remarks.trusted(),
            because: remarks.reason(),
            figure: if document.made.contains(&entry.name.value) {
                Figure::Made
            } else {
                Figure::Relation
            },
        };
        for (name, hand) in hands(document, &entry.name.value, |f| {
            stated
                .is
                .clone()
                .kind_mut()
                .names()
                .into_iter()
                .for_each(|text| f(&text.value));
        }) {
            if !seen.insert(&name, &entry.name.span, faults) {
                break;
            }
            let mut relation = stated.is.clone();
            let names = rewrite(document, relation.kind_mut().names(), hand);
            if let Some(fault) = named_twice(&relation.kind_mut().compared()) {
                faults.push(fault);
                break;
            }
            let mut recipe =
                Recipe::new(assembly, hand, name.clone(), origin.clone(), Purpose::Place);
            let built = relation.kind().equations(&mut recipe).and_then(|()| {
                let apart = remarks.apart.as_ref();
                apart.map_or(Ok(()), |by| recipe.set_apart(by))
            });
            match built {
                Ok(()) => {
                    let equations = recipe.take_equations();
                    let (trust, because) = match remarks.trust {
                        Some(trust) => (trust, remarks.reason()),
                        None => assembly.trusted_as_its_figures(&equations, remarks.reason()),
                    };
                    let statement = AssembledStatement {
                        name,
                        word: relation.word(),
                        span: entry.name.span.clone(),
                        sheet: sheet.clone(),
                        trust,
                        because,
                        reading: remarks.reading.as_ref().map(|text| text.value.clone()),
                        within,
                        equations: Vec::new(),
                        names,
                    };
                    assembly.enter(statement, equations);
                }
                // what is wrong for one hand is wrong for the other: told once
                Err(fault) => {
                    let again = || {
                        let mut relation = stated.is.clone();
                        let (written, right) = (Hand::AsWritten, right_name(&entry.name.value));
                        rewrite(document, relation.kind_mut().names(), written);
                        let mut recipe =
                            Recipe::new(assembly, written, right, origin, Purpose::Measure);
                        relation.kind().equations(&mut recipe).err()
                    };
                    faults.push(as_written(fault, hand, again));
                    break;
                }
            }
        }
    }
}

/// Enters all must-fits.
pub(super) fn must_fits(
    assembly: &mut Assembly,
    document: &Document,
    sheets: &Sheets<'_>,
    faults: &mut Vec<Fault>,
) {
    let standard = match assembly.tolerance(&document.fit) {
        Ok(value) => value,
        Err(fault) => {
            faults.push(fault);
            return;
        }
    };
    assembly.fit = standard;
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
        let within = match remarks
            .within
            .as_ref()
            .map(|given| assembly.within(given, standard))
        {
            None => Within::of_length(standard),
            Some(Ok(within)) => within,
            Some(Err(fault)) => {
                faults.push(fault);
                continue;
            }
        };
        let origin = Origin {
            span: entry.name.span.clone(),
            sheet,
            within: None,
            trust: remarks.trusted(),
            because: remarks.reason(),
            figure: Figure::Demand,
        };
        for (name, hand) in hands(document, &entry.name.value, |f| {
            entry
                .value
                .is
                .clone()
                .names()
                .into_iter()
                .for_each(|text| f(&text.value));
        }) {
            if !seen.insert(&name, &entry.name.span, faults) {
                break;
            }
            let mut fit = entry.value.is.clone();
            let names = rewrite(document, fit.names(), hand);
            if let Some(fault) = named_twice(&fit.compared()) {
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
            match fit.measures(&mut recipe) {
                Ok(measures) => {
                    let figures = recipe.take_figures();
                    assembly.fits.push(AssembledFit {
                        name,
                        word: fit.word(),
                        span: entry.name.span.clone(),
                        within,
                        measures,
                        names,
                        figures,
                    });
                }
                Err(fault) => {
                    let again = || {
                        let mut fit = entry.value.is.clone();
                        let (written, right) = (Hand::AsWritten, right_name(&entry.name.value));
                        rewrite(document, fit.names(), written);
                        let mut recipe =
                            Recipe::new(assembly, written, right, origin, Purpose::Measure);
                        fit.measures(&mut recipe).err()
                    };
                    faults.push(as_written(fault, hand, again));
                    break;
                }
            }
        }
    }
}

/// The names of the statements so far, each with its place.
#[derive(Default)]
pub(super) struct Seen(IndexMap<String, Range<usize>>);

impl Seen {
    /// Notes a name; finds fault with one that is there already and gives false.
    pub(super) fn insert(
        &mut self,
        name: &str,
        span: &Range<usize>,
        faults: &mut Vec<Fault>,
    ) -> bool {
        let Some(first) = self.0.insert(name.to_owned(), span.clone()) else {
            return true;
        };
        faults.push(
            Fault::error(Code::Twice, format!("there are two statements named `{name}`"))
                .at(span.clone(), "")
                .also(first, "the other one")
                .help("a statement about parts on both sides makes two, with ` L` and ` R` added to its name"),
        );
        false
    }
}

/// The fault of a statement that compares a thing with itself, which says nothing.
pub(super) fn named_twice(names: &[&mut Text]) -> Option<Fault> {
    let again = names
        .iter()
        .enumerate()
        .find_map(|(at, text)| Some((text, names[..at].iter().find(|t| t.value == text.value)?)));
    again.map(|(text, first)| {
        Fault::error(
            Code::BadValue,
            format!("`{}` is named twice in one statement", text.value),
        )
        .at(text.span.clone(), "")
        .also(first.span.clone(), "first here")
        .help("a thing can't be held to itself: name another one in one of the two places")
    })
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
