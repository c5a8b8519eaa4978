//! The search among sets of candidates. In: documents with readings taken, each with its candidates. Out: the sets that promise a
//! cure, smallest first: none that holds another one; and the one that comes nearest.

use std::collections::BTreeSet;

use strongback_solver::Var;

use super::candidates::{self, Candidate, How};
use super::linear::Row;
use super::price::{self, Follows};
use super::search::{Cures, Reach, Search};
use super::{LARGEST, Remedies};
use crate::assembly::Solved;
use crate::document::Document;
use crate::record::Progress;

/// Sets that are looked at before the search is cut.
const LOOKED_AT: usize = 400_000;

/// A set that promises a cure.
#[derive(Clone, Debug)]
pub(super) struct Promise {
    pub(super) base: usize,
    pub(super) set: Vec<usize>,
    pub(super) settings: Vec<f64>,
    /// Settings to fall back on, where these don't hold.
    pub(super) plain: Option<Vec<f64>>,
    pub(super) size: usize,
    /// What it may cost, by what its members would re-cut.
    pub(super) weight: f64,
}

/// A document with readings taken, with its candidates.
pub(super) struct Base {
    pub(super) takes: Vec<(String, String)>,
    pub(super) document: Document,
    pub(super) candidates: Vec<Candidate>,
    /// Figures without a name that bear on what misses.
    pub(super) unnamed: Vec<String>,
    /// The must-fit that alone is to be cured, if it is one.
    pub(super) only: Option<String>,
    weights: Vec<f64>,
}

impl Base {
    /// With the rows of its must-fits.
    pub(super) fn of(
        takes: Vec<(String, String)>,
        document: Document,
        solved: &Solved<'_>,
        progress: &Progress,
        only: Option<&str>,
    ) -> (Base, Vec<Row>) {
        let told = solved.told_rows();
        let all = candidates::all(&document, solved, |vars, rows| {
            told.iter().any(|told| told.depends_on(vars, rows))
        });
        let follows = Follows::of(solved, progress);
        // what is cut can be trimmed, but not made longer: the two are different changes
        let halved = |one: Candidate| {
            if follows.recuts(&one) {
                one.halves()
            } else {
                vec![one]
            }
        };
        let candidates: Vec<Candidate> = all.into_iter().flat_map(halved).collect();
        let bears_on_misses = |vars: &BTreeSet<Var>| {
            let mut missing = told.iter().filter(|told| told.misses());
            missing.any(|told| told.depends_on(vars, &[]))
        };
        let unnamed = candidates::unnamed(solved.assembly, bears_on_misses);
        let rows = solved.rows(told, &candidates, only);
        let base = Base {
            unnamed,
            only: only.map(str::to_owned),
            weights: candidates.iter().map(|one| follows.weight(one)).collect(),
            takes,
            document,
            candidates,
        };
        (base, rows)
    }

    /// How many things could be set otherwise.
    pub(super) fn possible(&self) -> usize {
        let names = self.candidates.iter().map(|one| (one.how, &one.name));
        names.collect::<BTreeSet<_>>().len()
    }
}

/// A cure by what it takes and sets, whatever document it was found in.
struct Cure {
    takes: BTreeSet<(String, String)>,
    members: Vec<Candidate>,
}

/// What the search has come to.
#[derive(Default)]
pub(super) struct Look {
    pub(super) promises: Vec<Promise>,
    pub(super) nearest: Option<(f64, Promise)>,
    cures: Vec<Cure>,
}

impl Look {
    /// Looks at all sets of one base.
    pub(super) fn at_sets_of(&mut self, base: (usize, &Base), rows: &[Row], told: &mut Remedies) {
        let at = base.1;
        let search = Search {
            rows,
            candidates: &at.candidates,
            unit: at.document.unit,
        };
        let mut cures = self.known_cures(at);
        let mut due: Vec<Vec<usize>> = vec![Vec::new()];
        let largest = LARGEST - at.takes.len();
        for size in 0..=largest {
            let mut next = Vec::new();
            for set in due {
                let all = &at.candidates;
                // what a slot allows needs no other figure
                let by_slot = |one: &usize| {
                    all[*one].how == How::Slot
                        && set.iter().any(|other| all[*other].sets_same(&all[*one]))
                };
                let holds =
                    |cure: &Vec<usize>| cure.iter().all(|one| set.contains(one) || by_slot(one));
                if cures.iter().any(holds) {
                    continue;
                }
                if told.looked_at == LOOKED_AT {
                    told.complete = false;
                    return;
                }
                told.looked_at += 1;
                if !search.misses_without(&set) && self.judge(base, &search, &set) {
                    cures.push(set);
                    continue;
                }
                if size < largest {
                    next.extend(larger(&at.candidates, &set));
                }
            }
            due = next;
        }
    }

    /// The cures found before that this base holds too: what takes more readings for nothing is none.
    fn known_cures(&self, base: &Base) -> Vec<Vec<usize>> {
        let place = |member: &Candidate| {
            let same = |one: &Candidate| one.is_same(member) && one.range == member.range;
            base.candidates.iter().position(same)
        };
        let fewer = |cure: &&Cure| cure.takes.iter().all(|take| base.takes.contains(take));
        let cures = self.cures.iter().filter(fewer);
        cures
            .filter_map(|cure| cure.members.iter().map(place).collect())
            .collect()
    }

    /// Whether a set promises a cure.
    fn judge(&mut self, (at, base): (usize, &Base), search: &Search<'_>, set: &[usize]) -> bool {
        let promise = |settings: Vec<f64>, plain: Option<Vec<f64>>| Promise {
            base: at,
            set: set.to_vec(),
            settings,
            plain,
            size: set.len() + base.takes.len(),
            weight: price::TAKE * base.takes.len() as f64
                + set.iter().map(|one| base.weights[*one]).sum::<f64>(),
        };
        match search.reach(set) {
            Reach::Cures(Cures { round, plain }) => {
                let other = (plain != round).then_some(plain);
                self.promises.push(promise(round, other));
                self.cures.push(Cure {
                    takes: base.takes.iter().cloned().collect(),
                    members: set
                        .iter()
                        .map(|one| base.candidates[*one].clone())
                        .collect(),
                });
                true
            }
            Reach::Falls { short, settings } => {
                let nearer = |(best, _): &(f64, Promise)| short < *best;
                if self.nearest.as_ref().is_none_or(nearer) {
                    self.nearest = Some((short, promise(settings, None)));
                }
                false
            }
            Reach::Nothing => false,
        }
    }
}

/// A set with one more, each with what comes after its last; nothing is set twice.
fn larger<'s>(all: &'s [Candidate], set: &'s [usize]) -> impl Iterator<Item = Vec<usize>> + 's {
    let after = set.last().map_or(0, |last| last + 1);
    let other = move |at: &usize| !set.iter().any(|known| all[*known].sets_same(&all[*at]));
    (after..all.len()).filter(other).map(|at| {
        let mut larger = set.to_vec();
        larger.push(at);
        larger
    })
}
