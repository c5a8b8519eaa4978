//! Whether a relation would settle a motion. In: a document with its solution, and all relations to be tried. Out: for each
//! whether it meets that motion, exactly one freedom is gone with it, and nothing is at odds or waits that did not before.
//!
//! All of them are measured on one solution: a row whose gradient the kept rows can't account for takes freedoms away, every
//! other row has to hold already. That is exact where all that moves is affine; where it isn't, or where several freedoms are
//! tied together, the model is solved with the relation.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use strongback_solver::{Equation, EquationId, Sensitivity, Var, Verdict};

use crate::assembly::{Assembly, SIZE_ROUNDING_MM, Solved, assemble};
use crate::document::{Document, Stated};
use crate::layout::Layout;
use crate::must_fit::Measure;
use crate::part::Role;
use crate::relation::Relation;
use crate::source::{self, Text};

/// A model with relations to be measured on it.
pub(super) struct Measured {
    assembly: Assembly,
    /// For each relation as it is written, its place among the must-fits.
    places: HashMap<String, usize>,
}

impl Measured {
    /// Enters all relations that are to be tried.
    pub(super) fn with<'r>(
        solved: &Solved<'_>,
        relations: impl Iterator<Item = &'r String>,
    ) -> Measured {
        let mut assembly = solved.assembly.clone();
        let mut places = HashMap::new();
        for text in relations {
            if places.contains_key(text) {
                continue;
            }
            let relation = source::read::<Stated<Relation>>(text);
            let place = relation
                .ok()
                .and_then(|stated| assembly.measure_also(&stated.is));
            if let Some(place) = place {
                places.insert(text.clone(), place);
            }
        }
        Measured { assembly, places }
    }

    /// The same solved, to be asked; none if it can't be, which it was before.
    pub(super) fn solved<'m>(
        &'m self,
        document: &'m Document,
        layout: &Layout,
    ) -> Option<Settling<'m>> {
        let solved = self.assembly.solve().ok()?;
        let before = Before {
            freedoms: solved.solution.report().freedoms,
            at_odds: layout.at_odds.len(),
            waiting: layout.waiting.len(),
        };
        Some(Settling {
            document,
            before,
            places: &self.places,
            motions: motions(&solved),
            solved,
        })
    }
}

/// Relations to be tried on a solution.
pub(super) struct Settling<'m> {
    document: &'m Document,
    before: Before,
    places: &'m HashMap<String, usize>,
    /// The freedoms, in the solution's order.
    motions: Vec<Moving>,
    solved: Solved<'m>,
}

/// How the model stands without any of them.
struct Before {
    freedoms: usize,
    at_odds: usize,
    waiting: usize,
}

/// A freedom.
struct Moving {
    /// The unknown that it moves by 1, and no other freedom does.
    own: Var,
    /// All that moves, with its rate.
    rates: BTreeMap<Var, f64>,
    /// Its unknowns.
    unknowns: BTreeSet<Var>,
    /// Whether every equation that reads them is affine as they move, and is met or at odds for good.
    straight: bool,
}

/// What linear algebra says of a relation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Judged {
    Settles,
    DoesNot,
    /// Something that moves is not affine, or several freedoms are tied together.
    Unknown,
}

impl Settling<'_> {
    /// Whether a relation takes a motion away, by its place, and no other freedom, and brings no trouble.
    pub(super) fn is_settled_by(&self, motion: usize, relation: &str) -> bool {
        let (Some(place), Some(moving)) = (self.places.get(relation), self.motions.get(motion))
        else {
            return false;
        };
        match self.judge(moving, *place) {
            Judged::Settles => true,
            Judged::DoesNot => false,
            Judged::Unknown => self.is_settled_when_solved(relation),
        }
    }

    fn is_settled_when_solved(&self, relation: &str) -> bool {
        let Ok(stated) = source::read::<Stated<Relation>>(relation) else {
            return false;
        };
        let mut with = self.document.clone();
        let name = Text::unplaced("what would settle it".to_owned());
        if with.relations.push(name, stated).is_err() {
            return false;
        }
        let Ok(assembly) = assemble(&with) else {
            return false;
        };
        let Ok(solved) = assembly.solve() else {
            return false;
        };
        let layout = solved.layout();
        solved.solution.report().freedoms + 1 == self.before.freedoms
            && layout.at_odds.len() <= self.before.at_odds
            && layout.waiting.len() <= self.before.waiting
    }

    fn judge(&self, moving: &Moving, place: usize) -> Judged {
        /// A row holds within this, in shares of the reference length.
        const HOLDS: f64 = 1e-9;
        /// Rows count as parallel when they differ by less than this share.
        const PARALLEL: f64 = 1e-9;
        let (solution, assembly) = (&self.solved.solution, self.solved.assembly);
        let within = HOLDS * assembly.system.reference_length();
        let mut rows: Vec<Sensitivity> = Vec::new();
        let mut equations: Vec<&Equation> = Vec::new();
        for measure in &assembly.fits[place].measures {
            if let Measure::Zero { equation, .. } | Measure::Within { equation, .. } = measure {
                rows.extend(solution.sensitivity(equation));
                equations.push(equation);
            }
        }
        // a freedom of another motion is none of this one
        let mut met = rows.iter().flat_map(|row| &row.loose);
        if !met.any(|(var, _)| *var == moving.own) {
            return Judged::DoesNot;
        }
        if equations.len() < assembly.fits[place].measures.len() {
            return Judged::Unknown;
        }
        let Some(taken) = rows.iter().find(|row| !row.loose.is_empty()) else {
            return Judged::DoesNot;
        };
        let [(free, rate)] = taken.loose[..] else {
            return Judged::Unknown;
        };
        let by = -taken.value / rate;
        for row in &rows {
            let left = match &row.loose[..] {
                [] => row.value,
                [(other, share)] if *other == free => row.value + share * by,
                _ => return Judged::Unknown,
            };
            if left.abs() > within.max(PARALLEL * row.value.abs()) {
                return Judged::DoesNot;
            }
        }
        let along = |equation: &&Equation| solution.is_affine_along(equation, &moving.unknowns);
        if !moving.straight || !equations.iter().all(along) {
            Judged::Unknown
        } else if sizes_stay(&self.solved, &moving.rates, by) {
            Judged::Settles
        } else {
            Judged::DoesNot
        }
    }
}

/// The freedoms of a solution, in its order.
fn motions(solved: &Solved<'_>) -> Vec<Moving> {
    let (solution, system) = (&solved.solution, &solved.assembly.system);
    let free: BTreeSet<Var> = solution.free_unknowns().collect();
    let waits = |id: &EquationId| matches!(solution.verdict(*id), Verdict::Waits { .. });
    let equations = solved
        .assembly
        .statements
        .iter()
        .flat_map(|one| &one.equations);
    let delicate: Vec<(EquationId, Vec<Var>)> = equations
        .map(|(_, id)| *id)
        .filter(|id| !solution.is_affine(*id) || waits(id))
        .map(|id| (id, solution.reads(id)))
        .collect();
    let mut readers: BTreeMap<Var, BTreeSet<usize>> = BTreeMap::new();
    for (at, (_, reads)) in delicate.iter().enumerate() {
        for var in reads {
            readers.entry(*var).or_default().insert(at);
        }
    }
    let moving = |motion: Vec<(Var, f64)>| {
        let own = motion.iter().find(|(var, _)| free.contains(var))?.0;
        let unknowns: BTreeSet<Var> = motion.iter().map(|(var, _)| *var).collect();
        let met: BTreeSet<usize> = unknowns
            .iter()
            .filter_map(|var| readers.get(var))
            .flatten()
            .copied()
            .collect();
        let straight = met.into_iter().all(|at| {
            let (id, _) = &delicate[at];
            !waits(id) && solution.is_affine_along(system.get_equation(*id), &unknowns)
        });
        Some(Moving {
            own,
            rates: motion.into_iter().collect(),
            unknowns,
            straight,
        })
    };
    // each motion moves a free unknown: it was made for it
    solution.motions().into_iter().filter_map(moving).collect()
}

/// Whether all sizes are those of metal once a motion has gone so far.
fn sizes_stay(solved: &Solved<'_>, motion: &BTreeMap<Var, f64>, by: f64) -> bool {
    let parts = solved.assembly.parts.iter();
    parts.flat_map(|part| &part.sizes).all(|size| {
        let moved: f64 = size
            .resolved
            .form
            .terms
            .iter()
            .filter_map(|(var, factor)| Some(factor * motion.get(var)?))
            .sum();
        let value = solved.solution.form(&size.resolved.form) + by * moved;
        moved == 0.0 || !matches!(size.role, Role::Gauge | Role::Extent) || value > SIZE_ROUNDING_MM
    })
}
