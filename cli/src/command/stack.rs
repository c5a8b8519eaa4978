//! `stack`: how often a must-fit fits when every figure may be off within its tolerance.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::quantity::Unit;
use strongback_model::stack::{Sampling, Stack};

use super::draw::{form_of, write};
use super::locate::with_solution;
use super::{Answered, CAUTION, Told};
use crate::Status;
use crate::args;
use crate::load::{Refused, load};
use crate::picture;
use crate::render;

/// Width of a PNG in pixels.
const WIDTH: u32 = 2400;

/// What `stack` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct StackAnswer {
    /// The verdict in one line.
    pub verdict: String,
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// The must-fit that was named, two of it if it is on both sides; else all, the one that fits least often first.
    pub stacks: Vec<Stack>,
    /// The picture that was written.
    pub written: Option<String>,
    /// What to keep in mind.
    pub caution: String,
    /// Whether a must-fit was named.
    #[serde(skip)]
    pub named: bool,
    /// Whether the file gives a tolerance to what states none.
    #[serde(skip)]
    pub general: bool,
}

pub(super) fn run(args: &args::Stack) -> Result<(Status, Box<dyn Answered>), Refused> {
    let form = args.svg.as_deref().map(form_of).transpose()?;
    let loaded = load(&args.model)?;
    let document = loaded.asked(&args.asked)?;
    let sampling = Sampling {
        samples: args.samples as usize,
        seed: args.seed,
        spread: args.spread.into(),
    };
    let (title, unit, stacks) = with_solution(&loaded, &document, |solved, located| {
        let stacks = match &args.must_fit {
            Some(name) => solved.stack(name, sampling),
            None => solved.stacks(sampling),
        };
        (located.layout.title, located.layout.unit, stacks)
    })?;
    let stacks = stacks.map_err(|fault| loaded.refuse(vec![fault]))?;
    let verdict = render::stack::verdict(&stacks, args.must_fit.is_some());
    if let Some((path, form)) = args.svg.as_deref().zip(form) {
        let svg = picture::histogram(&picture::Samples {
            title: &title,
            subtitle: &verdict,
            stacks: &stacks,
            unit,
        });
        write(path, form, svg, WIDTH)?;
    }
    let status = if stacks.iter().all(Stack::is_well) {
        Status::Well
    } else {
        Status::Amiss
    };
    Ok((
        status,
        Box::new(StackAnswer {
            verdict,
            unit,
            stacks,
            written: args.svg.as_ref().map(|path| path.display().to_string()),
            caution: CAUTION.to_owned(),
            named: args.must_fit.is_some(),
            general: document.within.is_some(),
        }),
    ))
}

impl Told for StackAnswer {
    fn text(&self, width: usize) -> String {
        render::stack::text(self, width)
    }
}
