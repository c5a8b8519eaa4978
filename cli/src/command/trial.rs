//! `try`: deviations beside the plan.

use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::assembly::{Solved, assemble};
use strongback_model::beside::{Column, compare};
use strongback_model::clash::{self, ClashChange};
use strongback_model::document::Document;
use strongback_model::fit::{Fit, FitVerdict};
use strongback_model::layout::{AtOdds, Layout, Loose};
use strongback_model::quantity::Unit;
use strongback_model::record::{Departure, Progress, ToBe};
use strongback_model::recut::{Verdicts, verdicts};
use strongback_model::restated::restated;
use strongback_model::shift::{Shift, shift};
use strongback_model::source::{Code, Fault};

use super::locate::{Located, solve, with_solution};
use super::{CAUTION, Told, progress, to_json};
use crate::Status;
use crate::args;
use crate::load::{Loaded, Refused, load};
use crate::render;

/// What `try` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TryAnswer {
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// The plan's verdict in one line.
    pub plan: String,
    /// Each deviation, or combination of them, by itself.
    pub trials: Vec<Trial>,
    /// What each of them comes to, beside the others.
    pub columns: Vec<Column>,
    /// What to keep in mind.
    pub caution: String,
    #[serde(skip)]
    pub(crate) as_built: bool,
    /// The deviations that were adopted: they are part of what is tried beside.
    pub adopted: Vec<String>,
}

/// A deviation tried beside the plan.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Trial {
    /// The deviation.
    pub deviation: String,
    /// Its changes.
    pub changes: Vec<String>,
    /// Its verdict in one line.
    pub verdict: String,
    /// What shifts.
    pub shift: Shift,
    /// What is to be done with each part.
    pub recut: Verdicts,
    /// The must-fits before and after.
    pub fits: Vec<FitChange>,
    /// Metal that runs into metal, before and after: what the deviation brings comes first.
    pub clashes: Vec<ClashChange>,
    /// Parts in which no clash was looked for with the deviation: they, or sizes of theirs, are loose then.
    pub clashes_left_out: Vec<String>,
    /// What is loose with it.
    pub loose: Vec<Loose>,
    /// What is at odds with it.
    pub at_odds: Vec<AtOdds>,
}

/// A must-fit before and after.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FitChange {
    /// The must-fit.
    pub name: String,
    /// In the plan; none if only the deviation has it.
    pub before: Option<Fit>,
    /// With the deviation; none if it drops it.
    pub after: Option<Fit>,
}

/// The plan and one deviation, solved.
pub(crate) struct Tried {
    pub(crate) name: String,
    pub(crate) changes: Vec<String>,
    pub(crate) located: Located,
    pub(crate) shift: Shift,
    /// What is to be done with each part.
    pub(crate) recut: Verdicts,
}

/// The changes as a deviation to be copied into a file; deviations that the file has are named in a remark.
pub(crate) fn as_deviation(deviations: &[String], changes: &args::Changes) -> String {
    let pair = |word: &str, typed: &String| {
        let (name, to) = typed.rsplit_once('=').unwrap_or((typed, ""));
        format!("{word}({:?}, {:?})", name.trim(), to.trim())
    };
    let sets = changes.set.iter().map(|typed| pair("Set", typed));
    let turned = changes
        .reverse
        .iter()
        .map(|part| format!("Reverse({part:?})"));
    let taken = changes.take.iter().map(|typed| pair("Take", typed));
    let apart = changes.apart.iter().map(|typed| pair("Apart", typed));
    let list: Vec<String> = sets.chain(turned).chain(taken).chain(apart).collect();
    let beside = if deviations.is_empty() {
        String::new()
    } else {
        format!("// tried together with: {}\n", deviations.join(" + "))
    };
    format!(
        "{beside}\"a name of your own\": (\n    why: \"\",\n    changes: [\n        {},\n    ],\n),\n",
        list.join(",\n        ")
    )
}

/// What deviations are tried beside.
pub(crate) struct Ground {
    pub(crate) loaded: Loaded,
    /// The plan; or what is built, where that was asked.
    pub(crate) plan: Located,
    /// Where there is a record: the other one of the two layouts, of the plan with what was adopted and of what is built.
    other: Option<Layout>,
    as_built: bool,
}

impl Ground {
    /// Solves what is tried beside.
    pub(crate) fn of(model: &Path, as_built: bool) -> Result<Ground, Refused> {
        let loaded = load(model)?.with_record(as_built)?;
        let plan = solve(&loaded, &loaded.document)?;
        let other = match &loaded.built {
            Some(built) if as_built => Some(&built.adopted),
            Some(built) => Some(&built.document),
            None => None,
        };
        let other = other.map(|document| laid_out(&loaded, document, |_, layout| layout));
        Ok(Ground {
            other: other.transpose()?,
            loaded,
            plan,
            as_built,
        })
    }

    /// What made parts would be with a deviation, where there is a record.
    pub(super) fn to_be(&self) -> Option<ToBe<'_>> {
        let plan = match &self.other {
            Some(adopted) if self.as_built => adopted,
            _ => &self.plan.layout,
        };
        let record = self.loaded.record.as_ref()?;
        Some(ToBe { record, plan })
    }

    /// The deviation on the plan with what was adopted, no made part held as it is, and that plan; none where there is no record.
    pub(super) fn asked(
        &self,
        deviation: Option<&str>,
        changes: &args::Changes,
    ) -> Result<Option<[Document; 2]>, Refused> {
        let Some(built) = &self.loaded.built else {
            return Ok(None);
        };
        let plan = Loaded {
            document: built.adopted.clone(),
            ..self.loaded.clone()
        };
        let asked = plan.changed(deviation, changes)?.document;
        Ok(Some([asked, plan.document]))
    }

    /// What made parts are otherwise than the plan with what was adopted.
    pub(crate) fn departures(&self) -> Vec<Departure> {
        let to_be = self.to_be();
        to_be.map_or_else(Vec::new, |to_be| {
            Departure::all(to_be.plan, self.made(), &progress(&self.loaded))
        })
    }

    /// The deviations that were adopted.
    pub(crate) fn adopted(&self) -> Vec<String> {
        let record = self.loaded.record.iter();
        record
            .flat_map(|record| record.adopted.iter())
            .map(|entry| entry.name.value.clone())
            .collect()
    }

    /// The layout to which parts were made.
    pub(super) fn made(&self) -> &Layout {
        match &self.other {
            Some(built) if !self.as_built => built,
            _ => &self.plan.layout,
        }
    }
}

/// Lays a document out, no must-fits and clashes looked at, and gives the solution to a question.
fn laid_out<T>(
    loaded: &Loaded,
    document: &Document,
    ask: impl FnOnce(&Solved<'_>, Layout) -> T,
) -> Result<T, Refused> {
    let assembly = assemble(document).map_err(|faults| loaded.refuse(faults))?;
    let solved = assembly
        .solve()
        .map_err(|fault| loaded.refuse(vec![fault]))?;
    Ok(ask(&solved, solved.layout()))
}

/// Solves the plan and each deviation that was typed.
pub(super) fn solve_all(args: &args::Try) -> Result<(Ground, Vec<Tried>), Refused> {
    let ground = Ground::of(&args.model, args.changes.as_built)?;
    let typed = !args.changes.is_empty();
    let columns: Vec<Option<&str>> = if args.deviations.is_empty() && typed {
        vec![None]
    } else {
        args.deviations
            .iter()
            .map(|name| Some(name.as_str()))
            .collect()
    };
    if columns.is_empty() {
        return Err(ground.loaded.refuse(vec![nothing_to_try(&ground.loaded)]));
    }
    let tried = columns
        .into_iter()
        .map(|deviation| one(&ground, deviation, &args.changes))
        .collect::<Result<Vec<_>, _>>()?;
    Ok((ground, tried))
}

/// Solves one deviation beside the plan's layout.
pub(super) fn one(
    ground: &Ground,
    deviation: Option<&str>,
    changes: &args::Changes,
) -> Result<Tried, Refused> {
    Ok(one_and_ask(ground, deviation, changes, |_, _| ())?.0)
}

/// The same, with a question to its solution.
pub(crate) fn one_and_ask<T>(
    ground: &Ground,
    deviation: Option<&str>,
    changes: &args::Changes,
    ask: impl FnOnce(&Solved<'_>, &Located) -> T,
) -> Result<(Tried, T), Refused> {
    let loaded = &ground.loaded;
    let changed = loaded.changed(deviation, changes)?;
    let asked = ground.asked(deviation, changes)?;
    let progress = progress(loaded);
    let solved = with_solution(loaded, &changed.document, |solved, located| {
        let mut shift = shift(&ground.plan.layout, &located.layout);
        let restated = restated(&loaded.document, &changed.document);
        solved.trace(&mut shift, &located.layout, &restated);
        let answer = ask(solved, &located);
        (located, shift, answer)
    });
    let name = |refused: Refused| refused.with_changes(&changed.name);
    let (located, shift, answer) = solved.map_err(name)?;
    let recut = match (asked, ground.to_be()) {
        (Some(asked), Some(to_be)) => recut(ground, to_be, &asked, &progress).map_err(name)?,
        _ => verdicts(&ground.plan.layout, &located.layout, &shift, &progress),
    };
    let tried = Tried {
        name: changed.name,
        changes: changed.changes,
        located,
        shift,
        recut,
    };
    Ok((tried, answer))
}

/// What a deviation asks of the parts where there is a record: the difference between what is built and the same with the deviation,
/// made parts kept as they are but for what it changes itself.
fn recut(
    ground: &Ground,
    to_be: ToBe<'_>,
    [asked, plan]: &[Document; 2],
    progress: &Progress,
) -> Result<Verdicts, Refused> {
    let loaded = &ground.loaded;
    let laid = laid_out(loaded, asked, |_, layout| layout)?;
    laid_out(loaded, &to_be.with(asked, &laid), |solved, layout| {
        let mut moved = shift(ground.made(), &layout);
        solved.trace(&mut moved, &layout, &restated(plan, asked));
        verdicts(ground.made(), &layout, &moved, progress)
    })
}

fn nothing_to_try(loaded: &Loaded) -> Fault {
    let names: Vec<&str> = loaded.document.deviations.names().collect();
    Fault::error(Code::BadChange, "nothing to try is named").help(if names.is_empty() {
        "the file has no deviations; try --reverse PART or --set NAME=FIGURE".to_owned()
    } else {
        format!("deviations of the file: {}", names.join(", "))
    })
}

pub(super) fn run(args: &args::Try) -> Result<(Status, Box<dyn Told>), Refused> {
    let (ground, tried) = solve_all(args)?;
    let plan = &ground.plan;
    let mut status = Status::Well;
    let trials: Vec<Trial> = tried
        .into_iter()
        .map(|tried| {
            if tried.located.status_with_clashes() == Status::Amiss {
                status = Status::Amiss;
            }
            Trial::of(plan, tried)
        })
        .collect();
    let mut columns: Vec<Column> = trials.iter().map(Trial::column).collect();
    compare(&mut columns);
    Ok((
        status,
        Box::new(TryAnswer {
            columns,
            unit: plan.layout.unit,
            plan: render::verdict::with_clashes(&plan.layout, &plan.fits, &plan.clashes),
            trials,
            caution: CAUTION.to_owned(),
            as_built: args.changes.as_built,
            adopted: ground.adopted(),
        }),
    ))
}

impl Trial {
    /// What a deviation comes to, beside the plan.
    pub(crate) fn of(plan: &Located, tried: Tried) -> Trial {
        let located = tried.located;
        Trial {
            verdict: render::verdict::with_clashes(
                &located.layout,
                &located.fits,
                &located.clashes,
            ),
            recut: tried.recut,
            fits: fit_changes(&plan.fits, located.fits),
            clashes: clash::changes(&plan.clashes, &located.clashes),
            clashes_left_out: located.clashes.left_out,
            deviation: tried.name,
            changes: tried.changes,
            shift: tried.shift,
            loose: located.layout.loose,
            at_odds: located.layout.at_odds,
        }
    }

    fn column(&self) -> Column {
        let fits = |verdict: FitVerdict| {
            let after = self.fits.iter().filter_map(|change| change.after.as_ref());
            after.filter(|fit| fit.verdict == verdict).count()
        };
        let clashes = self.clashes.iter().filter(|clash| clash.after.is_some());
        let counts = [
            fits(FitVerdict::Misses),
            self.at_odds.len(),
            self.loose.len() + fits(FitVerdict::Open),
            clashes.count(),
        ];
        Column::of(self.deviation.clone(), counts, &self.recut.totals)
    }
}

fn fit_changes(before: &[Fit], after: Vec<Fit>) -> Vec<FitChange> {
    let mut list: Vec<FitChange> = before
        .iter()
        .map(|fit| FitChange {
            name: fit.name.clone(),
            before: Some(fit.clone()),
            after: None,
        })
        .collect();
    for fit in after {
        match list.iter_mut().find(|change| change.name == fit.name) {
            Some(change) => change.after = Some(fit),
            None => list.push(FitChange {
                name: fit.name.clone(),
                before: None,
                after: Some(fit),
            }),
        }
    }
    list
}

impl Told for TryAnswer {
    fn text(&self, width: usize) -> String {
        render::trial::text(self, width)
    }

    fn json(&self) -> serde_json::Result<String> {
        to_json(self)
    }
}
