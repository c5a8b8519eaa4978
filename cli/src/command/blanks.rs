//! `blanks`: what is cut from flat sheet or sawn off a section for each part, and where it is bent.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::assembly::assemble;
use strongback_model::blank::Blanks;
use strongback_model::lengths::{SawnLength, lengths};
use strongback_model::quantity::Unit;

use super::{Answered, CAUTION, Told, blank_files, locate};
use crate::Status;
use crate::args;
use crate::load::{Refused, load};
use crate::render;

/// What `blanks` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BlanksAnswer {
    /// The verdict in one line.
    pub verdict: String,
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// The blanks: of all parts of sheet, or of those named.
    pub blanks: Blanks,
    /// Lengths that are sawn off sections: of all parts, or of those named.
    pub lengths: Vec<SawnLength>,
    /// The files that were written.
    pub written: Vec<String>,
    /// What this is not.
    pub caution: String,
    /// Whether each is told in full.
    #[serde(skip)]
    pub(crate) in_full: bool,
}

pub(super) fn run(args: &args::Blanks) -> Result<(Status, Box<dyn Answered>), Refused> {
    let loaded = load(&args.model)?;
    let document = loaded.asked(&args.asked)?;
    let assembly = assemble(&document).map_err(|faults| loaded.refuse(faults))?;
    let solved = assembly
        .solve()
        .map_err(|fault| loaded.refuse(vec![fault]))?;
    let (mut blanks, layout) = (solved.blanks(), solved.layout());
    let mut lengths = lengths(&layout);
    let only = locate::named(&loaded, &layout, &args.part)?;
    if !only.is_empty() {
        blanks.blanks.retain(|blank| only.contains(&blank.part));
        blanks.unmade.retain(|unmade| only.contains(&unmade.part));
        lengths.retain(|length| only.contains(&length.part));
    }
    let written = blank_files::write(args, &layout.title, &blanks.blanks, layout.unit)?;
    let status = if blanks.holds() {
        Status::Well
    } else {
        Status::Amiss
    };
    Ok((
        status,
        Box::new(BlanksAnswer {
            verdict: render::blanks::verdict(&blanks, &lengths),
            unit: layout.unit,
            blanks,
            lengths,
            written,
            caution: CAUTION.to_owned(),
            in_full: !only.is_empty(),
        }),
    ))
}

impl Told for BlanksAnswer {
    fn text(&self, width: usize) -> String {
        render::blanks::text(self, width)
    }
}
