//! Contours as surfaces of the solver's. In: sections as they are written. Out: a surface in the airframe's axes, in mm, its
//! normal outwards, its rows at the stations of the sections.
//!
//! A section is a cubic spline through its points by the length of its chords, the same for all sections: the mean of theirs; the
//! points of one number are led from section to section by a spline over their stations, straight between two (skinning: Piegl
//! and Tiller, The NURBS Book, 2nd ed., Springer 1997, sections 9.2 and 10.3, from memory). The surface goes through all points.

use std::sync::Arc;

use strongback_solver::{Equation, Point, Surface, Symmetry};

use super::definitions::Sheets;
use super::{Assembly, Solved};
use crate::contour::{Contour, Section};
use crate::document::Document;
use crate::must_fit::Measure;
use crate::quantity::{Kind, Length, format};
use crate::source::{Code, Entry, Fault, Text};

/// Points nearer than this, in millimetres, are one.
const ONE_POINT: f64 = 1e-3;

/// Buttock line and waterline.
type Flat = [f64; 2];

/// Enters all contours.
pub(super) fn enter(
    assembly: &mut Assembly,
    document: &Document,
    sheets: &Sheets<'_>,
    faults: &mut Vec<Fault>,
) {
    for entry in document.contours.iter() {
        sheets(entry.value.sheet.as_ref(), faults);
        match surface(assembly, entry) {
            Ok(surface) => {
                let name = entry.name.value.clone();
                assembly.contours.insert(name, Arc::new(surface));
            }
            Err(fault) => faults.push(fault),
        }
    }
}

fn surface(assembly: &Assembly, entry: &Entry<Contour>) -> Result<Surface, Fault> {
    let sections = &entry.value.sections;
    if sections.len() < 2 {
        return Err(Fault::error(
            Code::WrongCount,
            format!(
                "`{}` has {} of the two sections that a contour needs",
                entry.name.value,
                sections.len()
            ),
        )
        .at(entry.name.span.clone(), "")
        .help("one at each end; where the skin runs straight between them, that is all it takes"));
    }
    let mut stations: Vec<f64> = Vec::new();
    let mut rows: Vec<Vec<Flat>> = Vec::new();
    let mut first: Option<&Entry<Section>> = None;
    for section in sections.iter() {
        let station = assembly.quantities.fixed(&section.value.fs, Kind::Length)?;
        if stations
            .last()
            .is_some_and(|before| station - before < ONE_POINT)
        {
            return Err(Fault::error(
                Code::BadValue,
                format!(
                    "section `{}` doesn't lie aft of the one before it",
                    section.name.value
                ),
            )
            .at(section.value.fs.span(), "")
            .help(
                "list the sections from the foremost to the aftmost, each at a station of its own",
            ));
        }
        stations.push(station);
        rows.push(ring(assembly, section)?);
        let first = *first.get_or_insert(section);
        let (counts, wanted) = (section.value.points.len(), first.value.points.len());
        if counts != wanted {
            return Err(Fault::error(
                Code::WrongCount,
                format!("section `{}` has {counts} points, and `{}` has {wanted}", section.name.value, first.name.value),
            )
            .at(section.name.span.clone(), "")
            .also(first.name.span.clone(), "")
            .help("the skin runs from each point to the one of the same number in the next section: give all sections as many"));
        }
    }
    let grid: Vec<Vec<[f64; 3]>> = rows
        .iter()
        .zip(&stations)
        .map(|(row, fs)| row.iter().map(|[bl, wl]| [*fs, *bl, *wl]).collect())
        .collect();
    let mirror = Symmetry::Across { coordinate: 1 };
    Surface::through(&chords(&rows), &stations, &grid, mirror).map_err(|error| {
        Fault::error(Code::BadValue, error.to_string()).at(entry.name.span.clone(), "")
    })
}

/// The points of a section, from the bottom to the top.
fn ring(assembly: &Assembly, section: &Entry<Section>) -> Result<Vec<Flat>, Fault> {
    let points = &section.value.points;
    if points.len() < 2 {
        return Err(Fault::error(
            Code::WrongCount,
            format!("section `{}` needs two points at least", section.name.value),
        )
        .at(section.name.span.clone(), "")
        .help("give the points (bl, wl) of its right-hand half, from the bottom to the top"));
    }
    let mut ring: Vec<Flat> = Vec::with_capacity(points.len());
    for point in points {
        let figure = |given| assembly.quantities.fixed(given, Kind::Length);
        let mut at = [figure(&point.0)?, figure(&point.1)?];
        if at[0] < -ONE_POINT {
            return Err(Fault::error(
                Code::BadValue,
                "a section is given by its right-hand half: its buttock lines can't be less than zero",
            )
            .at(point.0.span(), "")
            .help("the left-hand half is its mirror image"));
        }
        if at[0].abs() < ONE_POINT {
            at[0] = 0.0;
        }
        if let Some(before) = ring.last()
            && (before[0] - at[0]).hypot(before[1] - at[1]) < ONE_POINT
        {
            return Err(
                Fault::error(Code::Twice, "this point is the one before it again")
                    .at(point.0.span(), ""),
            );
        }
        ring.push(at);
    }
    // seen from the middle of its height on the middle plane, all steps turn one way
    let heights = || ring.iter().map(|point| point[1]);
    let middle = 0.5
        * (heights().fold(f64::INFINITY, f64::min) + heights().fold(f64::NEG_INFINITY, f64::max));
    let turned: Vec<f64> = ring
        .windows(2)
        .map(|step| step[0][0] * (step[1][1] - middle) - step[1][0] * (step[0][1] - middle))
        .collect();
    let upwards = turned.iter().sum::<f64>() > 0.0;
    let sense = if upwards { 1.0 } else { -1.0 };
    let wrong = turned.iter().position(|by| by * sense < -ONE_POINT);
    if let Some(at) = wrong.or_else(|| turned.iter().all(|by| *by == 0.0).then_some(0)) {
        return Err(Fault::error(
            Code::BadValue,
            format!("the points of section `{}` don't go one way round", section.name.value),
        )
        .at(points[at + 1].0.span(), "it turns back here")
        .help("list them in order round the right-hand half, from the bottom to the top; the inside lies at buttock line 0, half-way up"));
    }
    if !upwards {
        ring.reverse();
    }
    Ok(ring)
}

/// Parameters of the points: the lengths along the chords, as shares of the whole, in the mean of all sections; in millimetres of
/// the mean section.
fn chords(rows: &[Vec<Flat>]) -> Vec<f64> {
    let along = |row: &[Flat]| -> Vec<f64> {
        let mut sum = 0.0;
        let steps = row.windows(2).map(|step| {
            sum += (step[1][0] - step[0][0]).hypot(step[1][1] - step[0][1]);
            sum
        });
        std::iter::once(0.0)
            .chain(steps.collect::<Vec<_>>())
            .collect()
    };
    let lists: Vec<Vec<f64>> = rows.iter().map(|row| along(row)).collect();
    let count = rows.len() as f64;
    let whole = |list: &Vec<f64>| list.last().copied().unwrap_or(1.0);
    let mean: f64 = lists.iter().map(whole).sum::<f64>() / count;
    let points = lists.first().map_or(0, Vec::len);
    (0..points)
        .map(|at| mean * lists.iter().map(|list| list[at] / whole(list)).sum::<f64>() / count)
        .collect()
}

impl Assembly {
    /// A contour by its name.
    pub(crate) fn contour(&self, name: &Text) -> Result<Arc<Surface>, Fault> {
        self.contours.get(&name.value).cloned().ok_or_else(|| {
            crate::relation::unknown(
                "contour",
                name,
                &name.value,
                self.contours.keys().map(String::as_str),
            )
        })
    }
}

/// Finds fault with the first statement that holds a settled point to a contour where the contour is no more: beyond its first and
/// last section or point the surface runs on straight, which no drawing says.
pub(super) fn check_reach(solved: &Solved<'_>) -> Result<(), Fault> {
    let assembly = solved.assembly;
    if assembly.contours.is_empty() {
        return Ok(());
    }
    let placing = assembly.statements.iter().flat_map(|statement| {
        let equations = statement.equations.iter();
        equations.map(|(_, id)| {
            (
                &statement.name,
                &statement.span,
                assembly.system.get_equation(*id),
            )
        })
    });
    let measuring = assembly.fits.iter().flat_map(|fit| {
        fit.measures.iter().filter_map(|measure| match measure {
            Measure::Zero { equation, .. } => Some((&fit.name, &fit.span, equation)),
            Measure::Within { .. } | Measure::Clearance { .. } => None,
        })
    });
    for (name, span, equation) in placing.chain(measuring) {
        let Equation::PointOnSurface { point, surface, .. } = equation else {
            continue;
        };
        let Some((by, way)) = beyond(solved, point, surface) else {
            continue;
        };
        let by = format::length(Length::from_mm(by), assembly.unit, format::Style::Short);
        return Err(Fault::error(
            Code::BadValue,
            format!("`{name}`: the point lies {by} {way} the contour, where no section says what the skin does"),
        )
        .at(span.clone(), "")
        .help("add a section, or points, that reach beyond it"));
    }
    Ok(())
}

/// By how much, and where, a settled point lies beyond the ends of a contour. A point that lies off the surface may lie as far
/// beyond.
fn beyond(solved: &Solved<'_>, point: &Point, surface: &Surface) -> Option<(f64, &'static str)> {
    let reads = solved.assembly.system.vars_of_body(point.body);
    let own = point.at.iter().flat_map(|form| form.vars());
    if !solved.holds_still(reads.into_iter().chain(own)) {
        return None;
    }
    let at = solved.solution.point(point);
    let [u, v] = surface.foot(at).parameters;
    let allowed = surface.offset(at).abs() + ONE_POINT;
    let ends =
        |list: &[f64]| [list.first().copied(), list.last().copied()].map(Option::unwrap_or_default);
    let ([bottom, top], [fwd, aft]) = (ends(surface.columns()), ends(surface.rows()));
    [
        (fwd - v, "ahead of"),
        (v - aft, "aft of"),
        (bottom - u, "below the lower edge of"),
        (u - top, "above the upper edge of"),
    ]
    .into_iter()
    .find(|(by, _)| *by > allowed)
}
