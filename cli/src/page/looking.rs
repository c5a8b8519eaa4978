//! A look at the layout: the verdict, the picture, the misses and what to re-cut. In: what is asked. Out: words and pictures.

use std::time::Instant;

use serde::Serialize;
use strongback_model::assembly::Solved;
use strongback_model::fit::Fit;
use strongback_model::layout::Layout;

use super::asking::Asking;
use super::bench::Seen;
use super::touching::{Touched, touched};
use crate::Status;
use crate::command::{
    Ground, Located, Trial, Tried, as_deviation, one_and_ask, parts_named, with_solution,
};
use crate::html::{self, Touchable};
use crate::load::Refused;
use crate::picture::{self, Drawing, Way};
use crate::record::Basis;
use crate::render;

/// What the page shows.
#[derive(Debug, Default, Serialize)]
pub(super) struct Look {
    /// Which reading of the file it is of.
    version: u64,
    /// What the model is of.
    title: String,
    /// What is wrong with the file; all else is then of the last reading that could be laid out.
    faults: Option<String>,
    /// Why the changes can't be made; all else is then without them.
    refused: Option<String>,
    /// Whether there is a layout at all.
    laid_out: bool,
    /// Whether all is well.
    well: bool,
    /// The verdict in one line.
    verdict: String,
    /// The must-fit that misses most, in words.
    worst: Option<String>,
    /// The picture, as SVG.
    picture: String,
    /// The must-fits, as HTML.
    fits: String,
    /// What is to be done with each part, as HTML; nothing where nothing is changed.
    recut: Option<String>,
    /// How many parts that is.
    recut_count: usize,
    /// What shifts, as HTML.
    shifts: Option<String>,
    /// What is at odds, as HTML.
    odds: Option<String>,
    /// The parts that a statement at odds names.
    #[serde(skip)]
    odd_parts: Vec<String>,
    /// The changes as a deviation to copy into the file.
    snippet: Option<String>,
    /// What is touched.
    touched: Option<Touched>,
    /// Deviations of the file.
    deviations: Vec<Offered>,
    /// Parts in the order of the file, with how far they are made.
    parts: Vec<(String, String)>,
    /// Must-fits, each with its verdict in a word.
    must_fits: Vec<(String, &'static str)>,
    /// Whether there is a build record.
    record: bool,
    /// The usual caution.
    caution: &'static str,
    /// How long it took to work out, in milliseconds.
    milliseconds: f64,
}

/// A deviation that can be tried.
#[derive(Debug, Serialize)]
struct Offered {
    name: String,
    why: Option<String>,
}

/// Works out a look.
pub(super) fn look(seen: &Seen, asking: &Asking) -> Look {
    let begun = Instant::now();
    let mut look = Look {
        version: seen.version,
        faults: seen.faults.clone(),
        record: seen.built.is_some(),
        caution: crate::command::CAUTION,
        ..Look::default()
    };
    if let Some(ground) = seen.ground(asking.as_built) {
        look.laid_out = true;
        look.offer(ground);
        let made = if asking.changes_something() {
            look.tried(ground, asking)
        } else {
            look.plan(ground, asking)
        };
        if let Err(refused) = made {
            look.refused = Some(render::fault::plain(&refused, 80));
            let without = Asking {
                as_built: asking.as_built,
                view: asking.view,
                ..Asking::default()
            };
            // it could be laid out when it was read
            let _ = look.plan(ground, &without);
        }
    }
    look.milliseconds = begun.elapsed().as_secs_f64() * 1e3;
    look
}

impl Look {
    /// What there is to choose from.
    fn offer(&mut self, ground: &Ground) {
        let deviations = ground.loaded.document.deviations.iter();
        let adopted = ground.adopted();
        self.deviations = deviations
            .filter(|entry| !adopted.contains(&entry.name.value))
            .map(|entry| Offered {
                name: entry.name.value.clone(),
                why: entry.value.why.as_ref().map(|why| why.value.clone()),
            })
            .collect();
        let progress = crate::command::progress(&ground.loaded);
        let parts = ground.plan.layout.parts.iter();
        self.parts = parts
            .map(|part| {
                (
                    part.name.clone(),
                    progress.of(&part.name).stage.told().to_owned(),
                )
            })
            .collect();
        self.title.clone_from(&ground.plan.layout.title);
    }

    fn plan(&mut self, ground: &Ground, asking: &Asking) -> Result<(), Refused> {
        let located = &ground.plan;
        let touches = asking.part.is_some() || asking.must_fit.is_some();
        if touches || !located.layout.at_odds.is_empty() {
            let document = &ground.loaded.document;
            let asked = with_solution(&ground.loaded, document, |solved, located| {
                Asked::of(solved, &located, ground, asking)
            })?;
            self.take(asked);
        }
        self.found(located, ground);
        self.picture = self.drawn(located, None, ground, asking);
        let layout = &located.layout;
        let fits = render::fit::table_of(&located.fits, layout.unit, render::PAGE);
        let touch = touchable(layout, &located.fits);
        self.fits = html::of(&fits, &touch);
        let clashes = render::clashes::text(&located.clashes, layout.unit, render::PAGE);
        self.fits += &html::of(&clashes, &touch);
        Ok(())
    }

    fn tried(&mut self, ground: &Ground, asking: &Asking) -> Result<(), Refused> {
        let (deviation, changes) = (asking.deviation(), asking.changes());
        let ask =
            |solved: &Solved<'_>, located: &Located| Asked::of(solved, located, ground, asking);
        let (tried, asked) = one_and_ask(ground, deviation.as_deref(), &changes, ask)?;
        self.take(asked);
        self.found(&tried.located, ground);
        self.picture = self.drawn(&tried.located, Some(&tried), ground, asking);
        self.snippet = (!changes.is_empty()).then(|| as_deviation(&asking.deviations, &changes));
        let trial = Trial::of(&ground.plan, tried);
        let unit = ground.plan.layout.unit;
        let touch = touchable(&ground.plan.layout, &ground.plan.fits);
        let told = render::trial::pieces(&trial, asking.as_built, unit, render::PAGE);
        self.fits = html::of(&told.fits, &touch);
        self.shifts = Some(html::of(&told.shifts, &touch));
        self.recut = Some(html::of(&told.recut, &touch));
        self.recut_count = trial.recut.parts.len();
        Ok(())
    }

    /// What was asked of a solution.
    fn take(&mut self, asked: Asked) {
        self.touched = asked.touched;
        self.odds = asked.odds;
        self.odd_parts = asked.odd_parts;
    }

    /// The verdict on a layout.
    fn found(&mut self, located: &Located, ground: &Ground) {
        let (layout, fits) = (&located.layout, &located.fits);
        self.verdict = render::verdict::with_clashes(layout, fits, &located.clashes);
        if let Basis::WithAdopted(_) = ground.basis() {
            self.verdict = format!("{}: {}", ground.basis().head(), self.verdict);
        }
        self.well = located.status_with_clashes() == Status::Well;
        self.worst = render::fit::worst(fits, layout.unit);
        self.must_fits = fits
            .iter()
            .map(|fit| (fit.name.clone(), render::fit::word(fit)))
            .collect();
    }

    fn drawn(
        &self,
        located: &Located,
        tried: Option<&Tried>,
        ground: &Ground,
        asking: &Asking,
    ) -> String {
        let layout = &located.layout;
        let picked = self
            .touched
            .as_ref()
            .map(Touched::picked)
            .unwrap_or_default();
        let points = self
            .touched
            .as_ref()
            .map(Touched::points)
            .unwrap_or_default();
        picture::svg(&Drawing {
            before: tried.map(|tried| picture::Before {
                layout: &ground.plan.layout,
                shift: &tried.shift,
                recut: &tried.recut,
                deviation: &tried.name,
            }),
            highlight: picked,
            measured: points,
            at_odds: &self.odd_parts,
            ..Drawing::new(layout, asking.view)
        })
    }
}

/// What only a solution can tell.
struct Asked {
    touched: Option<Touched>,
    odds: Option<String>,
    odd_parts: Vec<String>,
}

impl Asked {
    fn of(solved: &Solved<'_>, located: &Located, ground: &Ground, asking: &Asking) -> Self {
        let odd = located.layout.at_odds.iter();
        let odd: Vec<&str> = odd.map(|odd| odd.statement.as_str()).collect();
        let odd_parts = if odd.is_empty() {
            Vec::new()
        } else {
            parts_named(&located.layout, solved.assembly, &odd)
        };
        Self {
            touched: touched(solved, located, ground, asking),
            odds: contradictions(solved, located),
            odd_parts,
        }
    }
}

/// What is at odds, as HTML: each contradiction as the two ways round, drawn and told.
fn contradictions(solved: &Solved<'_>, located: &Located) -> Option<String> {
    let layout = &located.layout;
    if layout.at_odds.is_empty() {
        return None;
    }
    let touch = touchable(layout, &located.fits);
    let told = solved.contradictions().into_iter().map(|contradiction| {
        let told = render::odds::one(&contradiction, layout.unit, render::PAGE);
        let drawn = if contradiction.angle {
            String::new()
        } else {
            picture::ways(&Way::round(&contradiction), layout.unit)
        };
        format!(
            "<div class=\"paper wide\" tabindex=\"0\">{drawn}</div>\n{}",
            html::of(&told, &touch)
        )
    });
    Some(told.collect())
}

/// The names that can be touched.
fn touchable<'a>(layout: &'a Layout, fits: &'a [Fit]) -> Touchable<'a> {
    Touchable {
        parts: layout.parts.iter().map(|part| part.name.as_str()).collect(),
        must_fits: fits.iter().map(|fit| fit.name.as_str()).collect(),
    }
}
