//! Whether a relation would settle a motion. In: a document with its solution, and all relations to be tried. Out: for each
//! whether it meets that motion, exactly one freedom is gone with it, and nothing is at odds or waits that did not before.
//!
//! All of them are measured on one solution: a row whose gradient the kept rows can't account for takes freedoms away, every
//! other row has to hold already. That is exact where all that moves is affine; where it isn't, or where several freedoms are
//! tied together, the model is solved with the relation.

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet, HashMap};

use strongback_solver::{Equation, EquationId, Sensitivity, Var, Verdict};

use crate::assembly::{Assembly, SIZE_ROUNDING_MM, Solved, assemble};
use crate::document::{Document, Stated};
use crate::layout::Layout;
use crate::must_fit::Measure;
use crate::part::Role;
use crate::relation::Relation;
use crate::source::{self, Text};

/// Relations to be tried on a model.
pub(super) struct Settled<'d> {
    document: &'d Document,
    before: Before,
    /// The model with all relations to be measured.
    assembly: Assembly,
    /// For each relation as it is written, its place among the must-fits.
    places: HashMap<String, usize>,
    judged: OnceCell<HashMap<String, Told>>,
    /// For each motion the unknown that it moves by 1 and no other one does.
    own: Vec<Option<Var>>,
}

/// How the model stands without any of them.
struct Before {
    freedoms: usize,
    at_odds: usize,
    waiting: usize,
}

/// What linear algebra says of a relation, and the motions that it meets.
#[derive(Clone, Debug)]
struct Told {
    judged: Judged,
    meets: BTreeSet<Var>,
}

/// What linear algebra says of a relation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Judged {
    Settles,
    DoesNot,
    /// Something that moves is not affine, or several freedoms are tied together.
    Unknown,
}

impl<'d> Settled<'d> {
    /// Enters all relations that are to be tried.
    pub(super) fn with<'r>(
        document: &'d Document,
        solved: &Solved<'_>,
        layout: &Layout,
        relations: impl Iterator<Item = &'r String>,
    ) -> Settled<'d> {
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
        Settled {
            document,
            before: Before {
                freedoms: solved.solution.report().freedoms,
                at_odds: layout.at_odds.len(),
                waiting: layout.waiting.len(),
            },
            assembly,
            places,
            judged: OnceCell::new(),
            own: own(solved),
        }
    }

    /// Whether a relation takes a motion away, by its place, and no other freedom, and brings no trouble.
    pub(super) fn is_settled_by(&self, motion: usize, relation: &str) -> bool {
        let judged = self.judged.get_or_init(|| self.judge_all());
        let (Some(told), Some(Some(own))) = (judged.get(relation), self.own.get(motion)) else {
            return false;
        };
        // a freedom of another motion is none of this one
        if !told.meets.contains(own) {
            return false;
        }
        match told.judged {
            Judged::Settles => true,
            Judged::DoesNot => false,
            Judged::Unknown => self.is_settled_when_solved(relation),
        }
    }

    fn judge_all(&self) -> HashMap<String, Told> {
        // it was solved before
        let Ok(solved) = self.assembly.solve() else {
            return HashMap::new();
        };
        let moves = Moves::of(&solved);
        let all = self.places.iter();
        all.map(|(text, place)| (text.clone(), moves.told(&solved, *place)))
            .collect()
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
}

/// For each motion of a solution its own unknown.
fn own(solved: &Solved<'_>) -> Vec<Option<Var>> {
    let free: BTreeSet<Var> = solved.solution.free_unknowns().collect();
    let own = |motion: &Vec<(Var, f64)>| {
        motion
            .iter()
            .map(|(var, _)| *var)
            .find(|var| free.contains(var))
    };
    solved.solution.motions().iter().map(own).collect()
}

/// The freedoms of a solution.
struct Moves {
    /// By the unknown that each moves by 1, and no other one does.
    motions: BTreeMap<Var, Moving>,
}

/// A freedom.
struct Moving {
    /// All that moves, with its rate.
    rates: BTreeMap<Var, f64>,
    /// Its unknowns.
    unknowns: BTreeSet<Var>,
    /// Whether every equation that reads them is affine as they move, and is met or at odds for good.
    straight: bool,
}

impl Moves {
    fn of(solved: &Solved<'_>) -> Moves {
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
        let moving = |motion: Vec<(Var, f64)>| {
            let own = motion.iter().find(|(var, _)| free.contains(var))?.0;
            let unknowns: BTreeSet<Var> = motion.iter().map(|(var, _)| *var).collect();
            let straight = delicate
                .iter()
                .filter(|(_, reads)| reads.iter().any(|var| unknowns.contains(var)))
                .all(|(id, _)| {
                    !waits(id) && solution.is_affine_along(system.get_equation(*id), &unknowns)
                });
            Some((
                own,
                Moving {
                    rates: motion.into_iter().collect(),
                    unknowns,
                    straight,
                },
            ))
        };
        Moves {
            motions: solution.motions().into_iter().filter_map(moving).collect(),
        }
    }

    fn told(&self, solved: &Solved<'_>, place: usize) -> Told {
        let measures = solved.assembly.fits[place].measures.iter();
        let equations = measures.filter_map(|measure| match measure {
            Measure::Zero { equation, .. } | Measure::Within { equation, .. } => Some(equation),
            _ => None,
        });
        let rows = equations.flat_map(|equation| solved.solution.sensitivity(equation));
        Told {
            judged: self.judge(solved, place),
            meets: rows.flat_map(|row| row.loose).map(|(var, _)| var).collect(),
        }
    }

    fn judge(&self, solved: &Solved<'_>, place: usize) -> Judged {
        /// A row holds within this, in shares of the reference length.
        const HOLDS: f64 = 1e-9;
        /// Rows count as parallel when they differ by less than this share.
        const PARALLEL: f64 = 1e-9;
        let system = &solved.assembly.system;
        let within = HOLDS * system.reference_length();
        let mut rows: Vec<Sensitivity> = Vec::new();
        let mut equations: Vec<&Equation> = Vec::new();
        for measure in &solved.assembly.fits[place].measures {
            let (Measure::Zero { equation, .. } | Measure::Within { equation, .. }) = measure
            else {
                return Judged::Unknown;
            };
            rows.extend(solved.solution.sensitivity(equation));
            equations.push(equation);
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
        let Some(moving) = self.motions.get(&free) else {
            return Judged::Unknown;
        };
        let along =
            |equation: &&Equation| solved.solution.is_affine_along(equation, &moving.unknowns);
        if !moving.straight || !equations.iter().all(along) {
            Judged::Unknown
        } else if sizes_stay(solved, &moving.rates, by) {
            Judged::Settles
        } else {
            Judged::DoesNot
        }
    }
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
