//! Cures for must-fits that miss: the smallest sets of changes that are still possible, and what each costs. In: a document, its
//! solution, what has been made and to which layout. Out: sets of one, two or three changes after which all must-fits come
//! true, each solved in full; or that there are none, and how near one comes.
//!
//! The must-fits are taken as linear in what could be set otherwise ([`linear`]); a set that can bring all of them within
//! their limits there ([`search`]) is rounded to what a workshop can set ([`workshop`]), and put to the true equations
//! ([`verify`]), which correct it where they bend.

mod candidates;
mod linear;
mod price;
mod search;
#[cfg(test)]
mod tests;
mod verify;
mod workshop;

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::assembly::{Solved, assemble};
use crate::change::Change;
use crate::document::Document;
use crate::fit::{Fit, FitVerdict};
use crate::layout::Layout;
use crate::record::Progress;
use candidates::Candidate;
use search::{Reach, Search};

pub use price::Price;

/// At most this many changes make a remedy.
pub const LARGEST: usize = 3;
/// Sets that are solved in full before the search is cut.
const SOLVED: usize = 100;
/// Sets that are looked at before the search is cut.
const LOOKED_AT: usize = 400_000;
/// Remedies that are told: a page.
const TOLD: usize = 12;

/// What could be done about must-fits that miss.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Remedies {
    /// The must-fits that miss.
    pub miss: Vec<String>,
    /// Must-fits that rest on something loose: nothing was sought for them.
    pub open: Vec<String>,
    /// The remedies, the cheapest first.
    pub remedies: Vec<Remedy>,
    /// Without a remedy: the set that comes nearest.
    pub nearest: Option<Nearest>,
    /// Figures, joints and slots that bear on what misses, and readings.
    pub possible: usize,
    /// Sets that were looked at.
    pub looked_at: usize,
    /// Sets that were solved in full.
    pub solved: usize,
    /// Whether all sets of up to three were looked at, and all that promised something solved.
    pub complete: bool,
}

/// A set of changes after which all must-fits come true.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Remedy {
    /// Its changes.
    pub steps: Vec<Step>,
    /// What it costs.
    pub price: Price,
    /// The must-fit with the least of its room left.
    pub tightest: Option<Tightest>,
}

/// One change of a remedy.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Step {
    /// What kind of change it is.
    pub kind: StepKind,
    /// The dimension, size, place or relation, as the file calls it.
    pub name: String,
    /// Whether it is an angle.
    pub angle: bool,
    /// What it is now: millimetres, or degrees for an angle; of a reading nothing.
    pub from: Option<f64>,
    /// What it is to be.
    pub to: Option<f64>,
    /// The layers of sheet that packing is made up of, in inches.
    pub layers_in: Vec<f64>,
    /// The reading to take.
    pub reading: Option<String>,
    /// The new figure as a file states it, or the reading.
    pub figure: String,
}

/// What kind of change a step is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum StepKind {
    /// Something is set otherwise within its slot.
    Adjust,
    /// Packing is put into a joint.
    Pack,
    /// A spacer gets another thickness.
    Spacer,
    /// A figure becomes another one.
    Set,
    /// Another reading is taken.
    Take,
}

/// A must-fit near its limit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Tightest {
    /// Its name.
    pub must_fit: String,
    /// What is left to its limit: millimetres or degrees.
    pub margin: f64,
    /// Whether that is an angle.
    pub angle: bool,
}

/// A set of changes that comes nearest, without curing.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Nearest {
    /// Its changes.
    pub steps: Vec<Step>,
    /// The must-fit that still misses most.
    pub must_fit: String,
    /// By how much: millimetres or degrees.
    pub miss: f64,
    /// Whether that is an angle.
    pub angle: bool,
}

/// What has been made, and to which layout.
#[derive(Clone, Copy)]
pub struct Made<'a> {
    /// The layout to which parts were made.
    pub layout: &'a Layout,
    /// How far each part has got.
    pub progress: &'a Progress,
}

/// A set that promises a cure.
struct Promise {
    base: usize,
    set: Vec<usize>,
    settings: Vec<f64>,
    size: usize,
    /// What it may cost, by what its members would re-cut.
    weight: f64,
}

/// A document with readings taken, with its candidates.
struct Base {
    takes: Vec<(String, String)>,
    document: Document,
    candidates: Vec<Candidate>,
    weights: Vec<f64>,
}

/// Looks for remedies.
pub fn remedies(document: &Document, solved: &Solved<'_>, made: Made<'_>) -> Remedies {
    let fits = solved.fits();
    let named = |verdict: FitVerdict| -> Vec<String> {
        let which = fits.iter().filter(|fit| fit.verdict == verdict);
        which.map(|fit| fit.name.clone()).collect()
    };
    let mut told = Remedies {
        miss: named(FitVerdict::Misses),
        open: named(FitVerdict::Open),
        complete: true,
        ..Remedies::default()
    };
    if told.miss.is_empty() {
        return told;
    }
    let mut bases: Vec<Base> = Vec::new();
    let mut promises: Vec<Promise> = Vec::new();
    let mut nearest: Option<(f64, Promise)> = None;
    for takes in takes(document) {
        let changes: Vec<Change> = takes
            .iter()
            .map(|(statement, reading)| Change::take(statement, reading))
            .collect();
        let Ok(taken) = document.with_changes(&changes) else {
            continue;
        };
        let Ok(assembly) = assemble(&taken) else {
            continue;
        };
        let Ok(solved) = assembly.solve() else {
            continue;
        };
        let at = bases.len();
        let base = Base::of(takes, taken, &solved, made.progress);
        let mut look = Look {
            base: &base,
            at,
            told: &mut told,
            promises: &mut promises,
            nearest: &mut nearest,
        };
        look.at_sets(&solved);
        bases.push(base);
    }
    told.possible =
        bases.first().map_or(0, |base| base.candidates.len()) + readings(document).len();
    promises.sort_by(|a, b| {
        let by_weight = a.weight.total_cmp(&b.weight);
        by_weight
            .then(a.size.cmp(&b.size))
            .then(a.base.cmp(&b.base))
    });
    let reference = verify::Reference::of(solved, &fits);
    for promise in &promises {
        if told.solved == SOLVED {
            told.complete = false;
            break;
        }
        told.solved += 1;
        let base = &bases[promise.base];
        let Some(cured) = verify::cure(base, &promise.set, &promise.settings, &reference) else {
            continue;
        };
        let price = Price::of(&cured.layout, made, &cured.steps);
        told.remedies.push(Remedy {
            price,
            tightest: tightest(&cured.fits),
            steps: cured.steps,
        });
    }
    told.remedies.sort_by(|a, b| {
        a.price
            .rank()
            .partial_cmp(&b.price.rank())
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    told.remedies.truncate(TOLD);
    if told.remedies.is_empty() {
        told.nearest = nearest.and_then(|(_, promise)| {
            let base = &bases[promise.base];
            verify::nearest(base, &promise.set, &promise.settings)
        });
    }
    told
}

/// The readings that could be taken instead, one for each statement that has several.
fn readings(document: &Document) -> Vec<(String, String)> {
    let mut list = Vec::new();
    for entry in document.relations.iter() {
        for reading in entry.value.all_readings().keys() {
            list.push((entry.name.value.clone(), reading.clone()));
        }
    }
    list
}

/// What readings may be taken together: none, one, or two of different statements.
fn takes(document: &Document) -> Vec<Vec<(String, String)>> {
    /// With more readings than this, pairs of them are left out.
    const PAIRED: usize = 8;
    let single = readings(document);
    let mut all = vec![Vec::new()];
    all.extend(single.iter().map(|one| vec![one.clone()]));
    if single.len() <= PAIRED {
        for (at, one) in single.iter().enumerate() {
            for other in &single[at + 1..] {
                if one.0 != other.0 {
                    all.push(vec![one.clone(), other.clone()]);
                }
            }
        }
    }
    all
}

fn tightest(fits: &[Fit]) -> Option<Tightest> {
    let worst = fits.iter().filter_map(|fit| Some((fit, fit.worst()?)));
    worst
        .min_by(|(_, a), (_, b)| a.share_left().total_cmp(&b.share_left()))
        .map(|(fit, measure)| Tightest {
            must_fit: fit.name.clone(),
            margin: measure.margin,
            angle: measure.angle,
        })
}

impl Base {
    fn of(
        takes: Vec<(String, String)>,
        document: Document,
        solved: &Solved<'_>,
        progress: &Progress,
    ) -> Base {
        let told = solved.told_rows();
        let candidates = candidates::all(&document, solved, |vars, rows| {
            told.iter().any(|told| told.depends_on(vars, rows))
        });
        let follows = price::Follows::of(solved, progress);
        // what is cut can be trimmed, but not made longer: the two are different changes
        let candidates: Vec<Candidate> = candidates
            .into_iter()
            .flat_map(|one| {
                if follows.recuts(&one) {
                    one.halves()
                } else {
                    vec![one]
                }
            })
            .collect();
        let weights = candidates.iter().map(|one| follows.weight(one)).collect();
        Base {
            takes,
            document,
            candidates,
            weights,
        }
    }
}

/// The search among the sets of one base.
struct Look<'l> {
    base: &'l Base,
    at: usize,
    told: &'l mut Remedies,
    promises: &'l mut Vec<Promise>,
    nearest: &'l mut Option<(f64, Promise)>,
}

impl Look<'_> {
    fn at_sets(&mut self, solved: &Solved<'_>) {
        let rows = solved.rows(solved.told_rows(), &self.base.candidates);
        let search = Search {
            rows: &rows,
            candidates: &self.base.candidates,
            unit: self.base.document.unit,
        };
        let taken = self.base.takes.len();
        let mut cures: BTreeSet<Vec<usize>> = BTreeSet::new();
        let mut due: Vec<Vec<usize>> = vec![Vec::new()];
        for size in 0..=LARGEST - taken {
            let mut next = Vec::new();
            for set in due {
                let known = cures
                    .iter()
                    .any(|cure| cure.iter().all(|at| set.contains(at)));
                if known {
                    continue;
                }
                if self.told.looked_at == LOOKED_AT {
                    self.told.complete = false;
                    return;
                }
                self.told.looked_at += 1;
                if !search.misses_without(&set) {
                    self.judge(&search, &set, &mut cures);
                }
                if size < LARGEST - taken {
                    let after = set.last().map_or(0, |last| last + 1);
                    let all = &self.base.candidates;
                    let other =
                        |at: &usize| !set.iter().any(|known| all[*known].is_same(&all[*at]));
                    next.extend((after..all.len()).filter(other).map(|at| {
                        let mut larger = set.clone();
                        larger.push(at);
                        larger
                    }));
                }
            }
            due = next;
        }
    }

    fn judge(&mut self, search: &Search<'_>, set: &[usize], cures: &mut BTreeSet<Vec<usize>>) {
        let promise = |settings: Vec<f64>| Promise {
            base: self.at,
            set: set.to_vec(),
            settings,
            size: set.len() + self.base.takes.len(),
            weight: price::TAKE * self.base.takes.len() as f64
                + set.iter().map(|at| self.base.weights[*at]).sum::<f64>(),
        };
        match search.reach(set) {
            Reach::Cures(settings) => {
                self.promises.push(promise(settings));
                cures.insert(set.to_vec());
            }
            Reach::Falls { short, settings } => {
                let nearer = |(best, _): &(f64, Promise)| short < *best;
                if self.nearest.as_ref().is_none_or(nearer) {
                    *self.nearest = Some((short, promise(settings)));
                }
            }
            Reach::Nothing => {}
        }
    }
}

impl Step {
    fn of(candidate: &Candidate, document: &Document, setting: f64) -> Step {
        use candidates::How;
        let kind = match candidate.how {
            How::Adjust => StepKind::Adjust,
            How::Pack => StepKind::Pack,
            How::Spacer => StepKind::Spacer,
            How::Figure => StepKind::Set,
        };
        let layers = matches!(kind, StepKind::Pack | StepKind::Spacer);
        let angle = candidate.scale == workshop::Scale::Protractor;
        let shown = |value: f64| if angle { value.to_degrees() } else { value };
        Step {
            kind,
            name: candidate.name.clone(),
            angle,
            from: Some(shown(candidate.now)),
            to: Some(shown(setting)),
            layers_in: if layers {
                workshop::layers(setting)
            } else {
                Vec::new()
            },
            reading: None,
            figure: workshop::text(candidate.scale, document.unit, setting),
        }
    }

    fn take(statement: &str, reading: &str) -> Step {
        Step {
            kind: StepKind::Take,
            name: statement.to_owned(),
            angle: false,
            from: None,
            to: None,
            layers_in: Vec::new(),
            reading: Some(reading.to_owned()),
            figure: reading.to_owned(),
        }
    }
}
