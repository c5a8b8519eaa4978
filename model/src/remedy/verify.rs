//! Sets of changes put to the true equations. In: a document, what is set otherwise and to what. Out: the layout in which all
//! must-fits come true, or none. Where the equations bend, the settings are found again from where they led.

use std::collections::{BTreeMap, BTreeSet};

use super::candidates::{self, Candidate};
use super::look::{Base, Promise};
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
    /// Must-fits that may go on missing, and their margins.
    missing: BTreeMap<String, f64>,
    clashing: BTreeSet<[String; 2]>,
}

impl Reference {
    /// Where one must-fit alone is to be cured, others that miss may go on missing as much.
    pub(super) fn of(solved: &Solved<'_>, fits: &[Fit], only: Option<&str>) -> Self {
        let open = fits.iter().filter(|fit| {
            // what can't be measured can't be made worse
            matches!(fit.verdict, FitVerdict::Open | FitVerdict::Unmeasured)
        });
        Self {
            freedoms: solved.solution.report().freedoms,
            at_odds: at_odds(solved),
            missing: fits
                .iter()
                .filter(|fit| fit.verdict == FitVerdict::Misses)
                .filter(|fit| only.is_some_and(|only| only != fit.name))
                .map(|fit| (fit.name.clone(), margin(fit)))
                .collect(),
            open: open.map(|fit| fit.name.clone()).collect(),
            clashing: clashing(solved),
        }
    }

    fn is_kept(&self, solved: &Solved<'_>, fits: &[Fit]) -> bool {
        solved.solution.report().freedoms <= self.freedoms
            && at_odds(solved).is_subset(&self.at_odds)
            && fits.iter().all(|fit| {
                let as_before = self.missing.get(&fit.name);
                fit.holds()
                    || self.open.contains(&fit.name)
                    || as_before.is_some_and(|before| margin(fit) >= before - NO_WORSE)
            })
            && clashing(solved).is_subset(&self.clashing)
    }
}

/// A margin counts as no worse when it is less by no more than this, in millimetres or degrees: rounding.
const NO_WORSE: f64 = 1e-6;

fn margin(fit: &Fit) -> f64 {
    fit.worst().map_or(0.0, |measure| measure.margin)
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

/// Solves a set in full with the roundest settings, else with the plain ones.
pub(super) fn cure(base: &Base, promise: &Promise, reference: &Reference) -> Option<Cured> {
    let tried = |settings: &Vec<f64>| cure_from(base, &promise.set, settings, reference);
    let round = tried(&promise.settings);
    round.or_else(|| promise.plain.as_ref().and_then(tried))
}

/// Solves a set in full; up to three times, each from where the last one led.
fn cure_from(base: &Base, set: &[usize], settings: &[f64], reference: &Reference) -> Option<Cured> {
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
        let again = again(&document, &solved, &members, base.only.as_deref())?;
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
    // what stays as it is is no change
    let moved = members.into_iter().zip(rounded);
    let (members, rounded): (Vec<&Candidate>, Vec<f64>) =
        moved.filter(|(one, setting)| *setting != one.now).unzip();
    if members.is_empty() && base.takes.is_empty() {
        return None;
    }
    let document = set_to(base, &members, &rounded)?;
    let assembly = assemble(&document).ok()?;
    let solved = assembly.solve().ok()?;
    let fits = solved.fits();
    let missing = fits.iter().filter(|fit| fit.verdict == FitVerdict::Misses);
    let only = base.only.as_ref();
    let missing = missing.filter(|fit| only.is_none_or(|only| *only == fit.name));
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
fn again(
    document: &Document,
    solved: &Solved<'_>,
    members: &[&Candidate],
    only: Option<&str>,
) -> Option<Vec<f64>> {
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
    let rows = solved.rows(told, &candidates, only);
    let search = Search {
        rows: &rows,
        candidates: &candidates,
        unit: document.unit,
    };
    let set: Vec<usize> = (0..candidates.len()).collect();
    match search.reach(&set) {
        Reach::Cures(cures) => Some(cures.plain),
        Reach::Nothing | Reach::Falls { .. } => None,
    }
}
