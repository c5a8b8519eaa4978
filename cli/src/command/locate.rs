//! `locate`: where everything lies.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::assembly::{Solved, assemble};
use strongback_model::clash::Clashes;
use strongback_model::document::Document;
use strongback_model::fit::Fit;
use strongback_model::layout::Layout;
use strongback_model::neighbours::Neighbours;
use strongback_model::record::{Beside, Record};
use strongback_model::words::with_hands;

use super::{Answered, Told};
use crate::Status;
use crate::args;
use crate::load::{Loaded, Refused, load};
use crate::render;

/// What `locate` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LocateAnswer {
    /// The verdict in one line.
    pub verdict: String,
    /// Where everything lies.
    pub layout: Layout,
    /// The must-fits.
    pub fits: Vec<Fit>,
    /// Each part in the plan beside the same as built, where that was asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub beside_plan: Option<Vec<Beside>>,
    /// Other layouts close by that keep the same statements.
    pub neighbours: Neighbours,
    #[serde(skip)]
    faces: bool,
    #[serde(skip)]
    only: Vec<String>,
}

/// A solved model: its layout, its must-fits, and what runs into what.
pub(crate) struct Located {
    pub(crate) layout: Layout,
    pub(crate) fits: Vec<Fit>,
    pub(crate) clashes: Clashes,
}

impl Located {
    pub(crate) fn status(&self) -> Status {
        if self.layout.is_sound() && self.fits.iter().all(Fit::holds) {
            Status::Well
        } else {
            Status::Amiss
        }
    }

    /// The same, where clashes are told too.
    pub(crate) fn status_with_clashes(&self) -> Status {
        if self.clashes.found.is_empty() {
            self.status()
        } else {
            Status::Amiss
        }
    }
}

/// Solves a document that was read from a file.
pub(super) fn solve(loaded: &Loaded, document: &Document) -> Result<Located, Refused> {
    with_solution(loaded, document, |_, located| located)
}

/// Lays a document out, no must-fits and clashes looked at, and gives the solution to a question.
pub(super) fn laid_out<T>(
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

/// Solves a document and gives the solution, with its layout and must-fits, to a question.
pub(crate) fn with_solution<T>(
    loaded: &Loaded,
    document: &Document,
    ask: impl FnOnce(&Solved<'_>, Located) -> T,
) -> Result<T, Refused> {
    laid_out(loaded, document, |solved, layout| {
        let located = Located {
            layout,
            fits: solved.fits(),
            clashes: solved.clashes(),
        };
        ask(solved, located)
    })
}

pub(super) fn run(args: &args::Locate) -> Result<(Status, Box<dyn Answered>), Refused> {
    let loaded = load(&args.model)?;
    let document = loaded.asked(&args.asked)?;
    let (located, neighbours) = with_solution(&loaded, &document, |solved, located| {
        let neighbours = Neighbours::of(&document, solved, &located.layout);
        (located, neighbours)
    })?;
    let beside_plan = if args.beside_plan {
        let plan = solve(&loaded, &loaded.document)?;
        let record = loaded.clone().taken_as(true)?.record;
        let progress = record.as_ref().map(Record::progress).unwrap_or_default();
        Some(Beside::of(&plan.layout, &located.layout, &progress))
    } else {
        None
    };
    let only = named(&loaded, &located.layout, &args.part)?;
    Ok((
        located.status(),
        Box::new(LocateAnswer {
            verdict: render::verdict::of(&located.layout, &located.fits),
            layout: located.layout,
            fits: located.fits,
            beside_plan,
            neighbours,
            faces: args.faces,
            only,
        }),
    ))
}

/// The parts of these names: of a part on both sides, by its own name, both of it.
pub(super) fn named(
    loaded: &Loaded,
    layout: &Layout,
    parts: &[String],
) -> Result<Vec<String>, Refused> {
    let mut only = Vec::new();
    for part in parts {
        let known: Vec<String> = with_hands(part)
            .into_iter()
            .filter(|name| layout.part(name).is_some())
            .collect();
        if known.is_empty() {
            let names = layout.parts.iter().map(|part| part.name.as_str());
            return Err(loaded.refuse(vec![render::fault::no_part(part, names)]));
        }
        only.extend(known);
    }
    Ok(only)
}

impl Told for LocateAnswer {
    fn text(&self, width: usize) -> String {
        render::locate::text(self, self.faces, &self.only, width)
    }
}
