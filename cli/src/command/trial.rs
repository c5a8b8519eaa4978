//! `try`: deviations beside the plan.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::assembly::Solved;
use strongback_model::beside::{Column, compare};
use strongback_model::clash::{self, ClashChange};
use strongback_model::document::Document;
use strongback_model::fit::{Fit, FitVerdict};
use strongback_model::layout::{AtOdds, Loose, Worse};
use strongback_model::quantity::Unit;
use strongback_model::record::{Departure, Progress, ToBe};
use strongback_model::recut::{Standing, Verdicts, verdicts};
use strongback_model::restated::restated;
use strongback_model::shift::{Shift, shift};
use strongback_model::source::{Code, Fault};

use super::ground::Ground;
use super::locate::{Located, laid_out, with_solution};
use super::{Answered, CAUTION, Told, progress};
use crate::Status;
use crate::args;
use crate::load::{Loaded, Refused};
use crate::record::Basis;
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
    pub(crate) basis: Basis,
    /// The deviations that were adopted: they are part of what is tried beside.
    pub adopted: Vec<String>,
    /// What made parts are otherwise than the plan already: no deviation is charged with it.
    pub departures: Vec<Departure>,
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
    /// What of that is new, or misses by more than before.
    pub worse: Vec<Worse>,
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
        (located, shift, solved.bought(), answer)
    });
    let name = |refused: Refused| refused.with_changes(&changed.name);
    let (located, shift, joints, answer) = solved.map_err(name)?;
    let recut = match (asked, ground.to_be()) {
        (Some(asked), Some(to_be)) => recut(ground, to_be, &asked, &progress).map_err(name)?,
        _ => {
            let layout = &located.layout;
            let joints = &joints;
            verdicts(
                ground.made(),
                Standing { layout, joints },
                &shift,
                &progress,
            )
        }
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
        let mut moved = shift(ground.made().layout, &layout);
        solved.trace(&mut moved, &layout, &restated(plan, asked));
        let (layout, joints) = (&layout, &solved.bought());
        verdicts(ground.made(), Standing { layout, joints }, &moved, progress)
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

pub(super) fn run(args: &args::Try) -> Result<(Status, Box<dyn Answered>), Refused> {
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
            basis: ground.basis().clone(),
            adopted: ground.adopted(),
            departures: ground.departures(),
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
            worse: Worse::of(&plan.layout.at_odds, &located.layout.at_odds),
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
            fits(FitVerdict::Misses) + fits(FitVerdict::Unmeasured),
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
}
