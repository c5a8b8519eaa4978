//! `mass`: what the parts weigh, and where.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::mass::Masses;
use strongback_model::quantity::Unit;

use super::{Answered, CAUTION, Told, locate};
use crate::Status;
use crate::args;
use crate::load::{Refused, load};
use crate::render;

/// What `mass` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct MassAnswer {
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// What stations are counted from.
    pub datum: Option<String>,
    /// The plan, or what is built.
    pub plan: Masses,
    /// With the deviation.
    pub changed: Option<ChangedMass>,
    /// What this is not.
    pub caution: String,
}

/// The masses with a deviation.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ChangedMass {
    /// The deviation.
    pub deviation: String,
    /// The masses.
    pub masses: Masses,
}

/// What an estimate is not.
pub(crate) const ESTIMATE: &str = "An estimate of the modelled parts, by nominal densities; fasteners, paint, sealant, holes and notches that are not \
     drawn, and whatever is not modelled are not in it. It replaces no weighing: mass and balance of the aircraft are weighed.";

pub(super) fn run(args: &args::Mass) -> Result<(Status, Box<dyn Answered>), Refused> {
    let loaded = load(&args.model)?.taken_as(args.changes.as_built)?;
    let weigh = |document| {
        locate::with_solution(&loaded, document, |solved, located| {
            let masses = solved.masses(&located.layout);
            (masses, located.status(), located.layout.datum)
        })
    };
    let (plan, mut status, datum) = weigh(&loaded.document)?;
    let deviates = args.deviation.is_some() || !args.changes.is_empty();
    let changed = if deviates {
        let changed = loaded.changed(args.deviation.as_deref(), &args.changes)?;
        let weighed = weigh(&changed.document);
        let (masses, then, _) = weighed.map_err(|refused| refused.with_changes(&changed.name))?;
        status = then;
        Some(ChangedMass {
            deviation: changed.name,
            masses,
        })
    } else {
        None
    };
    Ok((
        status,
        Box::new(MassAnswer {
            unit: loaded.document.unit,
            datum,
            plan,
            changed,
            caution: format!("{ESTIMATE} {CAUTION}"),
        }),
    ))
}

impl Told for MassAnswer {
    fn text(&self, width: usize) -> String {
        render::mass::text(self, width)
    }
}
