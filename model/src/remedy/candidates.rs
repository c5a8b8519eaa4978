//! What could be set otherwise: figures, packing in joints, what a slot allows. In: a document and its solution. Out: each with its
//! setting as it is, the range it may have, and the variables or rows by which it works.

use std::collections::BTreeSet;

use strongback_solver::{EquationId, Measure, Status, Var};

use super::workshop::{self, Scale};
use crate::assembly::{AssembledPart, AssembledStatement, Assembly, Figure, Solved};
use crate::change::Change;
use crate::document::{Document, Trust};
use crate::part::Role;
use crate::quantity::{Kind, Unit};
use crate::settable::{Settable, settable};
use crate::words::without_hand;

/// A figure is changed by at most this, in millimetres: two inches.
pub(super) const REACH_MM: f64 = 50.8;
/// And by at most this share of itself, but by no less than a quarter of an inch.
const SHARE: f64 = 0.25;
const LEAST_REACH_MM: f64 = 6.35;
/// An angle is changed by at most this: five degrees.
const REACH_RADIANS: f64 = std::f64::consts::PI / 36.0;
/// A radian is as much effort as a move of so many millimetres: the edge of a part of common size, turned so far.
const RADIAN_MM: f64 = 250.0;
/// Packing is no thicker than this, in millimetres: three of the thickest sheets.
const THICKEST_MM: f64 = 9.525;
/// Nothing is cut narrower than this, in millimetres.
const NARROWEST_MM: f64 = 1.0;

/// How something is set otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum How {
    /// Within a relation's slot.
    Adjust,
    /// A dimension within its slot.
    Slot,
    /// By packing between faces that touch.
    Pack,
    /// By a spacer of another thickness.
    Spacer,
    /// By another figure: of a dimension, a size or a place.
    Figure,
}

impl How {
    /// Whether it sets a relation further apart, and no figure.
    pub(super) fn is_apart(self) -> bool {
        matches!(self, How::Adjust | How::Pack)
    }
}

/// Something that could be set otherwise.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    pub(super) how: How,
    /// The dimension, size, place or relation, as a change names it.
    pub(super) name: String,
    pub(super) scale: Scale,
    /// As it is now, in millimetres or radians: a figure, or how far things are set apart.
    pub(super) now: f64,
    /// What it may be set to.
    pub(super) range: [f64; 2],
    /// The given variables that change with it.
    pub(super) vars: BTreeSet<Var>,
    /// The rows that come to so much with it.
    pub(super) rows: Vec<EquationId>,
}

impl Candidate {
    /// How little is done to set it so, in millimetres: the move, and each layer after the first as so much more.
    pub(super) fn effort(&self, setting: f64) -> f64 {
        const LAYER_MM: f64 = 5.0;
        let moved = (setting - self.now).abs();
        match self.scale {
            Scale::Rule => moved,
            Scale::Protractor => RADIAN_MM * moved,
            Scale::Layers => {
                let layers = workshop::layers(setting).len().max(1);
                moved + LAYER_MM * (layers - 1) as f64
            }
        }
    }

    /// The settings within a range of them that a workshop can make, those of the least effort first, the present one left out.
    pub(super) fn settings(&self, unit: Unit, range: [f64; 2]) -> Vec<f64> {
        /// Nearer than this, in millimetres, is no change.
        const SAME_MM: f64 = 1e-6;
        let range = [range[0].max(self.range[0]), range[1].min(self.range[1])];
        let mut list = workshop::figures(self.scale, unit, range);
        list.retain(|setting| (setting - self.now).abs() > SAME_MM);
        let mut by_effort: Vec<(f64, f64)> = list
            .into_iter()
            .map(|setting| (self.effort(setting), setting))
            .collect();
        by_effort.sort_by(|(a, _), (b, _)| a.total_cmp(b));
        by_effort.into_iter().map(|(_, setting)| setting).collect()
    }

    /// The change that sets it.
    pub(super) fn change(&self, unit: Unit, setting: f64) -> Change {
        let figure = workshop::text(self.scale, unit, setting);
        match self.how {
            How::Adjust | How::Pack => Change::apart(&self.name, &figure),
            How::Slot | How::Spacer | How::Figure => Change::set(&self.name, &figure),
        }
    }

    /// Whether two set the same thing, in whatever way.
    pub(super) fn sets_same(&self, other: &Candidate) -> bool {
        self.how.is_apart() == other.how.is_apart() && self.name == other.name
    }

    /// To less, and to more, as two.
    pub(super) fn halves(self) -> Vec<Candidate> {
        let (now, [least, most]) = (self.now, self.range);
        let half = |range: [f64; 2]| Candidate {
            range,
            ..self.clone()
        };
        vec![half([least, now]), half([now, most])]
    }

    /// Whether it is the same thing, in another solution.
    pub(super) fn is_same(&self, other: &Candidate) -> bool {
        self.how == other.how && self.name == other.name
    }
}

/// All that bears on what is measured, given by the variables and rows that do.
pub(super) fn all(
    document: &Document,
    solved: &Solved<'_>,
    bears: impl Fn(&BTreeSet<Var>, &[EquationId]) -> bool,
) -> Vec<Candidate> {
    let assembly = solved.assembly;
    let demanded: BTreeSet<Var> = assembly
        .fits
        .iter()
        .flat_map(|fit| fit.figures.iter().copied())
        .collect();
    let stock = of_stock(assembly);
    let mut list: Vec<Candidate> = Vec::new();
    let mut seen: BTreeSet<Var> = BTreeSet::new();
    for (var, _) in assembly.quantities.labels() {
        let variable = assembly.system.get(var);
        if variable.status != Status::Given || seen.contains(&var) {
            continue;
        }
        let Some(figure) = settable(document, assembly, var) else {
            continue;
        };
        seen.extend(&figure.vars);
        // what a must-fit itself demands is no cure for it, nor is what was measured
        let fixed = figure.trust == Trust::Measured
            || !figure.vars.is_disjoint(&demanded)
            || !figure.vars.is_disjoint(&stock);
        if !fixed && bears(&figure.vars, &[]) {
            list.extend(of_figure(document, solved, &figure, var));
        }
    }
    let mut names: BTreeSet<&str> = BTreeSet::new();
    for statement in &assembly.statements {
        let stem = [Some(statement.name.as_str()), without_hand(&statement.name)];
        let Some(name) = stem
            .into_iter()
            .flatten()
            .find(|name| document.relations.get(name).is_some())
        else {
            continue;
        };
        if names.insert(name) {
            let rows = rows_of(assembly, name);
            if bears(&BTreeSet::new(), &rows) {
                list.extend(of_relation(document, assembly, statement, name, rows));
            }
        }
    }
    list
}

/// Whether a figure is one of metal: a size of a part, or a dimension that gives one.
fn is_of_metal(assembly: &Assembly, figure: &Settable) -> bool {
    let mut sizes = assembly.parts.iter().flat_map(|part| &part.sizes);
    matches!(figure.figure, Figure::Size(_))
        || sizes.any(|size| {
            size.resolved
                .form
                .vars()
                .any(|var| figure.vars.contains(&var))
        })
}

/// Figures that stand in relations without a name and that bear on what is measured: nothing can set them.
pub(super) fn unnamed(assembly: &Assembly, bears: impl Fn(&BTreeSet<Var>) -> bool) -> Vec<String> {
    let labels = assembly.quantities.labels();
    let told = labels.filter(|(var, label)| {
        label.origin.figure == Figure::Relation
            && label.origin.trust != Trust::Measured
            && assembly.system.get(*var).status == Status::Given
            && bears(&BTreeSet::from([*var]))
    });
    let told = told.map(|(_, label)| {
        let stem = without_hand(&label.text).filter(|stem| {
            let hands = crate::settable::both_hands(stem);
            hands.iter().all(|hand| assembly.statement(hand).is_some())
        });
        let name = stem.unwrap_or(&label.text);
        format!("`{}` of {name}", label.detail.replace(' ', "_"))
    });
    let told: BTreeSet<String> = told.collect();
    told.into_iter().collect()
}

/// The variables that give a gauge or a radius: another one makes another part of it, and is the designer's to choose. That of
/// a spacer is none of these.
fn of_stock(assembly: &Assembly) -> BTreeSet<Var> {
    let fills = |part: &&AssembledPart| {
        let stated = part.stated.as_ref();
        stated.is_some_and(|stated| stated.kind().fills_a_gap())
    };
    let parts = assembly.parts.iter().filter(|part| !fills(part));
    parts
        .flat_map(|part| &part.sizes)
        .filter(|size| matches!(size.role, Role::Gauge | Role::Radius))
        .flat_map(|size| size.resolved.form.vars())
        .collect()
}

fn of_figure(
    document: &Document,
    solved: &Solved<'_>,
    figure: &Settable,
    var: Var,
) -> Vec<Candidate> {
    let part = figure
        .part
        .as_ref()
        .and_then(|name| document.parts.get(name));
    let angle = solved.assembly.system.get(var).measure == Measure::Angle;
    let (how, scale) = match figure.figure {
        Figure::Size(Role::Gauge) if part.is_some_and(|part| part.kind().fills_a_gap()) => {
            (How::Spacer, Scale::Layers)
        }
        // a corner of an outline by itself would make it skew
        Figure::Size(Role::Extent | Role::Angle) | Figure::Dimension | Figure::Place => (
            How::Figure,
            if angle {
                Scale::Protractor
            } else {
                Scale::Rule
            },
        ),
        _ => return Vec::new(),
    };
    let now = solved.solution.form(&solved.assembly.quantities.whole(var));
    let reach = match scale {
        Scale::Protractor => REACH_RADIANS,
        Scale::Rule | Scale::Layers => (SHARE * now.abs()).clamp(LEAST_REACH_MM, REACH_MM),
    };
    let signed = figure.figure == Figure::Place || angle || now <= 0.0;
    // a gap may be closed; metal can't be nothing
    let narrowest = if is_of_metal(solved.assembly, figure) {
        NARROWEST_MM
    } else {
        0.0
    };
    let least = match (how, signed) {
        (How::Spacer, _) => 0.0,
        (_, true) => now - reach,
        (_, false) => (now - reach).max(narrowest),
    };
    let most = match how {
        How::Spacer => THICKEST_MM,
        // what is cut can be trimmed; made longer it would be another part
        _ if figure.made => now,
        _ => now + reach,
    };
    let whole = Candidate {
        how,
        name: figure.name.clone(),
        scale,
        now,
        range: [least, most],
        vars: figure.vars.clone(),
        rows: Vec::new(),
    };
    let dimension = document.dimensions.get(&figure.name);
    let slot = dimension.and_then(|stated| solved.assembly.adjustable(&stated.remarks).ok()?);
    let slot = slot.map(|by| Candidate {
        how: How::Slot,
        range: [now - by, now + by],
        ..whole.clone()
    });
    slot.into_iter().chain([whole]).collect()
}

fn of_relation(
    document: &Document,
    assembly: &Assembly,
    statement: &AssembledStatement,
    name: &str,
    rows: Vec<EquationId>,
) -> Option<Candidate> {
    let stated = document.relations.get(name)?.as_it_counts();
    if rows.is_empty() || statement.trust == Trust::Measured {
        return None;
    }
    let apart = stated.remarks.apart.as_ref();
    let now = apart.map_or(Ok(0.0), |given| {
        assembly.quantities.value(given, Kind::Length)
    });
    let now = now.ok()?;
    let (how, scale, range) = match assembly.adjustable(&stated.remarks).ok()? {
        Some(by) => (How::Adjust, Scale::Rule, [-by, by]),
        None if stated.is.kind().can_be_packed() => (How::Pack, Scale::Layers, [0.0, THICKEST_MM]),
        None => return None,
    };
    Some(Candidate {
        how,
        name: name.to_owned(),
        scale,
        now,
        range,
        vars: BTreeSet::new(),
        rows,
    })
}

/// The equations by which a relation of the file brings things together: of each hand.
fn rows_of(assembly: &Assembly, name: &str) -> Vec<EquationId> {
    let mut names = crate::settable::both_hands(name);
    names.push(name.to_owned());
    names
        .iter()
        .filter_map(|name| assembly.brings_together(assembly.statement(name)?))
        .collect()
}
