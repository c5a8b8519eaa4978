//! A solution looked over before anybody reads a figure of it: sizes that come out as metal can't have them, and
//! positions that run off. In: the solution. Out: a fault at the size or part, with the statements that led there.

use std::collections::BTreeSet;
use std::ops::Range;

use strongback_solver::{Affine, Var, Verdict};

use super::{AssembledPart, AssembledSize, DATUM, Solved};
use crate::part::Role;
use crate::quantity::{Length, format};
use crate::source::{Code, Fault};

/// Ten kilometres: a figure this large is the quotient of something and nearly nothing.
const RUN_OFF_MM: f64 = 1e7;
/// A size no greater than this is none: what is lost in computing.
pub(crate) const SIZE_ROUNDING_MM: f64 = 1e-6;
/// At most this many statements are shown with a fault.
const SHOWN: usize = 4;

/// Finds fault with the first size or position that can't be.
pub(super) fn check(solved: &Solved<'_>) -> Result<(), Fault> {
    for part in &solved.assembly.parts {
        for size in part.sizes.iter().filter(|size| size.resolved.find) {
            let value = solved.solution.form(&size.resolved.form);
            let told = format!("`{} {}`", part.name, size.name);
            if !within_reach(value) {
                return Err(ran_off(
                    solved,
                    &told,
                    &size.resolved.form,
                    size.span.clone(),
                ));
            }
            // a size that nothing settles has no value yet that could be wrong
            let settled = solved.is_settled(part);
            if settled && let Some(limit) = size.broken_limit(value) {
                return Err(impossible(solved, &told, size, value, limit));
            }
        }
        if part.name == DATUM {
            continue;
        }
        shape(solved, part)?;
        for form in &part.origin {
            if !within_reach(solved.solution.form(form)) {
                return Err(ran_off(
                    solved,
                    &format!("`{}`", part.name),
                    form,
                    part.span.clone(),
                ));
            }
        }
    }
    super::contours::check_reach(solved)
}

/// The part's own demands on its sizes, such as a leg wider than it is thick, put to the sizes found.
fn shape(solved: &Solved<'_>, part: &AssembledPart) -> Result<(), Fault> {
    let Some(stated) = &part.stated else {
        return Ok(());
    };
    let found = part
        .sizes
        .iter()
        .filter(|size| size.resolved.find)
        .fold(Affine::default(), |sum, size| sum.plus(&size.resolved.form));
    if found.vars().next().is_none() || !solved.holds_still(found.vars()) {
        return Ok(());
    }
    match stated.kind().shape(&solved.at().sizes(part)) {
        Ok(_) => Ok(()),
        Err(fault) => Err(led_there(solved, &found, fault)),
    }
}

fn within_reach(value: f64) -> bool {
    value.abs() <= RUN_OFF_MM
}

impl AssembledSize {
    /// What a found size has to be and isn't.
    pub(crate) fn broken_limit(&self, value: f64) -> Option<&'static str> {
        match self.role {
            Role::Gauge | Role::Extent if value <= SIZE_ROUNDING_MM => {
                Some("it has to be greater than zero")
            }
            Role::Radius if value < -SIZE_ROUNDING_MM => Some("it can't be less than zero"),
            Role::Gauge
            | Role::Extent
            | Role::Radius
            | Role::Coordinate
            | Role::Angle
            | Role::Bend => None,
        }
    }
}

fn impossible(
    solved: &Solved<'_>,
    told: &str,
    size: &AssembledSize,
    value: f64,
    limit: &str,
) -> Fault {
    let unit = solved.assembly.unit;
    let figure = format::length(Length::from_mm(value), unit, format::Style::Long);
    let fault = Fault::error(
        Code::BadSize,
        format!("{told} comes out at {figure}; {limit}"),
    )
    .at(size.span.clone(), "to be found");
    led_there(solved, &size.resolved.form, fault)
        .help("look at the sides and signs of the statements that lead to it, and at which end or face they name")
}

fn ran_off(solved: &Solved<'_>, told: &str, form: &Affine, span: Range<usize>) -> Fault {
    let fault = Fault::error(
        Code::NotSolved,
        format!("no layout was found: {told} runs off beyond ten kilometres"),
    )
    .at(span, "");
    led_there(solved, form, fault).help(
        "a statement may hold it to a face that it can't meet, such as one that it runs along",
    )
}

/// Adds the statements at odds, and those by which a form's unknowns were found.
fn led_there(solved: &Solved<'_>, form: &Affine, mut fault: Fault) -> Fault {
    let assembly = solved.assembly;
    let mut shown: Vec<&str> = Vec::new();
    let at_odds = assembly.statements.iter().filter(|statement| {
        let verdict = |id| solved.solution.verdict(id);
        statement
            .equations
            .iter()
            .any(|(_, id)| matches!(verdict(*id), Verdict::AtOdds { .. }))
    });
    let vars: BTreeSet<Var> = form.vars().collect();
    let finding = solved
        .solution
        .blocks()
        .filter(|(_, unknowns)| unknowns.iter().any(|var| vars.contains(var)))
        .flat_map(|(equations, _)| equations)
        .map(|id| assembly.statement_of(id));
    let told = at_odds
        .map(|statement| (statement, "at odds with others"))
        .chain(finding.map(|statement| (statement, "found by this")));
    for (statement, why) in told {
        if shown.len() < SHOWN && !shown.contains(&statement.name.as_str()) {
            shown.push(&statement.name);
            fault = fault.also(statement.span.clone(), why);
        }
    }
    fault
}
