//! Cures for must-fits that miss: the smallest sets of changes that are still possible, and what each costs. In: a document, its
//! solution, what has been made and to which layout. Out: sets of one, two or three changes after which all must-fits come
//! true, each solved in full; or that there are none, and how near one comes.
//!
//! The must-fits are taken as linear in what could be set otherwise (`linear`); a set that can bring all of them within
//! their limits there (`search`) is rounded to what a workshop can set (`workshop`), and put to the true equations
//! (`verify`), which correct it where they bend.

mod answer;
mod candidates;
mod linear;
mod look;
mod price;
mod search;
#[cfg(test)]
mod tests;
mod verify;
mod workshop;

use crate::assembly::{Solved, assemble};
use crate::change::Change;
use crate::document::Document;
use crate::fit::{Fit, FitVerdict};
use crate::record::{Progress, ToBe};
use crate::recut::Standing;
use look::{Base, Look};

pub use answer::{Alone, Nearest, Remedies, Remedy, Step, StepKind, Tightest};
pub use price::Price;
pub use workshop::marks;

/// At most this many changes make a remedy.
pub const LARGEST: usize = 3;
/// Sets that are solved in full before the search is cut.
const SOLVED: usize = 100;
/// Remedies that are told: a page.
const TOLD: usize = 12;
/// And of one must-fit that is cured alone.
const TOLD_OF_ONE: usize = 4;

/// What has been made, and to what.
#[derive(Clone, Copy)]
pub struct Made<'a> {
    /// The layout to which parts were made, with its joints.
    pub standing: Standing<'a>,
    /// How far each part has got.
    pub progress: &'a Progress,
    /// Where there is a record: the document that remedies change with no made part held as it is, and how those are held then.
    pub to_be: Option<(&'a Document, ToBe<'a>)>,
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
        unmeasured: named(FitVerdict::Unmeasured),
        complete: true,
        ..Remedies::default()
    };
    if told.miss.is_empty() {
        return told;
    }
    sought(document, solved, made, &fits, None, &mut told);
    if told.remedies.is_empty() && told.miss.len() > 1 {
        // one that can't be cured is no reason to leave the others
        for name in told.miss.clone() {
            let mut one = Remedies {
                complete: true,
                ..Remedies::default()
            };
            sought(document, solved, made, &fits, Some(&name), &mut one);
            one.remedies.truncate(TOLD_OF_ONE);
            told.looked_at += one.looked_at;
            told.solved += one.solved;
            told.complete &= one.complete;
            told.alone.push(Alone {
                must_fit: name,
                remedies: one.remedies,
                nearest: one.nearest,
            });
        }
    }
    told
}

/// Looks for what cures all that misses, or one must-fit alone.
fn sought(
    document: &Document,
    solved: &Solved<'_>,
    made: Made<'_>,
    fits: &[Fit],
    only: Option<&str>,
    told: &mut Remedies,
) {
    let (bases, mut look) = looked_through(document, made.progress, only, told);
    let possible = bases.first().map_or(0, |base| base.possible());
    told.possible = possible + readings(document).len();
    let unnamed = bases.first().map(|base| base.unnamed.clone());
    told.unnamed = unnamed.unwrap_or_default();
    look.promises.sort_by(|a, b| {
        let by_weight = a.weight.total_cmp(&b.weight);
        by_weight
            .then(a.size.cmp(&b.size))
            .then(a.base.cmp(&b.base))
    });
    let reference = verify::Reference::of(solved, fits, only);
    for promise in &look.promises {
        if told.solved == SOLVED {
            told.complete = false;
            break;
        }
        told.solved += 1;
        let base = &bases[promise.base];
        let cured = verify::cure(base, promise, &reference);
        told.remedies.extend(cured.map(|cured| cured.told(made)));
    }
    told.remedies.sort_by_key(|remedy| {
        let unfinished = (remedy.clashes, remedy.at_odds);
        (unfinished, remedy.price.rank(), remedy.steps.len())
    });
    told.remedies.truncate(TOLD);
    if told.remedies.is_empty() {
        told.nearest = look.nearest.and_then(|(_, promise)| {
            let base = &bases[promise.base];
            verify::nearest(base, &promise.set, &promise.settings)
        });
    }
}

/// All bases, with what the search among their sets came to.
fn looked_through(
    document: &Document,
    progress: &Progress,
    only: Option<&str>,
    told: &mut Remedies,
) -> (Vec<Base>, Look) {
    let mut bases: Vec<Base> = Vec::new();
    let mut look = Look::default();
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
        let (base, rows) = Base::of(takes, taken, &solved, progress, only);
        look.at_sets_of((bases.len(), &base), &rows, told);
        bases.push(base);
    }
    (bases, look)
}

/// The readings that could be taken instead of those that count now.
fn readings(document: &Document) -> Vec<(String, String)> {
    let mut list = Vec::new();
    for entry in document.relations.iter() {
        // the first counts as long as none is taken
        for reading in entry.value.all_readings().keys().skip(1) {
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
