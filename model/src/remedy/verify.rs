//! Sets of changes put to the true equations. In: a document, what is set otherwise and to what. Out: the layout in which all
//! must-fits come true, or none. Where the equations bend, the settings are found again from where they led.

use std::collections::BTreeSet;

use super::candidates::{self, Candidate};
use super::look::Base;
use super::search::{Reach, Search};
use super::{Made, Nearest, Price, Remedy, Step, answer};
use crate::assembly::{Solved, assemble};
use crate::change::Change;
use crate::document::Document;
use crate::fit::{Fit, FitVerdict};
use crate::joint::Bought;
use crate::layout::Layout;
use crate::recut::Standing;

/// What a remedy may not make worse.
pub(super) struct Reference {
    freedoms: usize,
    at_odds: BTreeSet<String>,
    open: BTreeSet<String>,
    clashing: BTreeSet<[String; 2]>,
}

impl Reference {
    pub(super) fn of(solved: &Solved<'_>, fits: &[Fit]) -> Self {
        let open = fits.iter().filter(|fit| fit.verdict == FitVerdict::Open);
        Self {
            freedoms: solved.solution.report().freedoms,
            at_odds: at_odds(solved),
            open: open.map(|fit| fit.name.clone()).collect(),
            clashing: clashing(solved),
        }
    }

    fn is_kept(&self, solved: &Solved<'_>, fits: &[Fit]) -> bool {
        solved.solution.report().freedoms <= self.freedoms
            && at_odds(solved).is_subset(&self.at_odds)
            && fits
                .iter()
                .all(|fit| fit.holds() || self.open.contains(&fit.name))
            && clashing(solved).is_subset(&self.clashing)
    }
}

fn clashing(solved: &Solved<'_>) -> BTreeSet<[String; 2]> {
    let clashes = solved.clashes().found.into_iter();
    clashes.map(|clash| clash.parts).collect()
}

fn at_odds(solved: &Solved<'_>) -> BTreeSet<String> {
    solved
        .odd_circuits()
        .iter()
        .map(|(name, _)| name.clone())
        .collect()
}

/// A remedy as it came out.
pub(super) struct Cured {
    steps: Vec<Step>,
    /// All that is changed, the readings taken first.
    changes: Vec<Change>,
    layout: Layout,
    joints: Vec<Bought>,
    fits: Vec<Fit>,
    at_odds: usize,
    clashes: usize,
}

impl Cured {
    /// What is told of it.
    pub(super) fn told(self, made: Made<'_>) -> Remedy {
        let laid_out = |document: &Document| -> Option<(Layout, Vec<Bought>)> {
            let assembly = assemble(document).ok()?;
            let solved = assembly.solve().ok()?;
            Some((solved.layout(), solved.bought()))
        };
        let to_be = made.to_be.and_then(|(document, to_be)| {
            let document = document.with_changes(&self.changes).ok()?;
            laid_out(&to_be.with(&document, &laid_out(&document)?.0))
        });
        let (layout, joints) = to_be
            .as_ref()
            .map_or((&self.layout, &self.joints), |(layout, joints)| {
                (layout, joints)
            });
        let then = Standing { layout, joints };
        Remedy {
            price: Price::of(then, made, &self.steps),
            tightest: answer::tightest(&self.fits),
            steps: self.steps,
            at_odds: self.at_odds,
            clashes: self.clashes,
        }
    }
}

/// Solves a set in full; up to three times, each from where the last one led.
pub(super) fn cure(
    base: &Base,
    set: &[usize],
    settings: &[f64],
    reference: &Reference,
) -> Option<Cured> {
    const TIMES: usize = 3;
    let members: Vec<&Candidate> = set.iter().map(|at| &base.candidates[*at]).collect();
    let mut settings = settings.to_vec();
    for _ in 0..TIMES {
        let document = set_to(base, &members, &settings)?;
        let assembly = assemble(&document).ok()?;
        let solved = assembly.solve().ok()?;
        let fits = solved.fits();
        if reference.is_kept(&solved, &fits) {
            return Some(Cured {
                steps: steps(base, &members, &settings),
                changes: changes(base, &members, &settings),
                layout: solved.layout(),
                joints: solved.bought(),
                fits,
                at_odds: at_odds(&solved).len(),
                clashes: clashing(&solved).len(),
            });
        }
        let again = again(&document, &solved, &members)?;
        if again == settings {
            return None;
        }
        settings = again;
    }
    None
}

/// How near a set that can't cure comes.
pub(super) fn nearest(base: &Base, set: &[usize], settings: &[f64]) -> Option<Nearest> {
    let members: Vec<&Candidate> = set.iter().map(|at| &base.candidates[*at]).collect();
    let unit = base.document.unit;
    let rounded: Vec<f64> = members
        .iter()
        .zip(settings)
        .map(|(one, setting)| {
            let mut all = one.settings(unit, one.range);
            all.push(one.now);
            let off = |figure: &f64| (figure - setting).abs();
            all.into_iter()
                .min_by(|a, b| off(a).total_cmp(&off(b)))
                .unwrap_or(one.now)
        })
        .collect();
    let document = set_to(base, &members, &rounded)?;
    let assembly = assemble(&document).ok()?;
    let solved = assembly.solve().ok()?;
    let fits = solved.fits();
    let missing = fits.iter().filter(|fit| fit.verdict == FitVerdict::Misses);
    let worst = missing.filter_map(|fit| Some((fit, fit.worst()?)));
    let (fit, measure) = worst.min_by(|(_, a), (_, b)| a.margin.total_cmp(&b.margin))?;
    Some(Nearest {
        steps: steps(base, &members, &rounded),
        must_fit: fit.name.clone(),
        miss: -measure.margin,
        angle: measure.angle,
    })
}

fn set_to(base: &Base, members: &[&Candidate], settings: &[f64]) -> Option<Document> {
    let unit = base.document.unit;
    let changes: Vec<_> = members
        .iter()
        .zip(settings)
        .map(|(one, setting)| one.change(unit, *setting))
        .collect();
    base.document.with_changes(&changes).ok()
}

fn steps(base: &Base, members: &[&Candidate], settings: &[f64]) -> Vec<Step> {
    let takes = base.takes.iter();
    let takes = takes.map(|(statement, reading)| Step::take(statement, reading));
    let members = members.iter().zip(settings);
    takes
        .chain(members.map(|(one, setting)| Step::of(one, &base.document, *setting)))
        .collect()
}

fn changes(base: &Base, members: &[&Candidate], settings: &[f64]) -> Vec<Change> {
    let takes = base.takes.iter();
    let takes = takes.map(|(statement, reading)| Change::take(statement, reading));
    let members = members.iter().zip(settings);
    takes
        .chain(members.map(|(one, setting)| one.change(base.document.unit, *setting)))
        .collect()
}

/// The settings as they follow from another solution.
fn again(document: &Document, solved: &Solved<'_>, members: &[&Candidate]) -> Option<Vec<f64>> {
    let told = solved.told_rows();
    let all = candidates::all(document, solved, |_, _| true);
    // ranges are those of the first solution: a second one may not creep on
    let candidates: Vec<Candidate> = members
        .iter()
        .map(|member| {
            let same = all.iter().find(|one| one.is_same(member))?;
            Some(Candidate {
                range: member.range,
                ..same.clone()
            })
        })
        .collect::<Option<_>>()?;
    let rows = solved.rows(told, &candidates);
    let search = Search {
        rows: &rows,
        candidates: &candidates,
        unit: document.unit,
    };
    let set: Vec<usize> = (0..candidates.len()).collect();
    match search.reach(&set) {
        Reach::Cures(settings) => Some(settings),
        Reach::Nothing | Reach::Falls { .. } => None,
    }
}
