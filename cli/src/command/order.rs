//! `order`: in which order parts are fitted, and why.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::order::Order;
use strongback_model::quantity::Unit;

use super::locate::with_solution;
use super::{Answered, CAUTION, Told, progress};
use crate::Status;
use crate::args;
use crate::load::{Refused, load};
use crate::render;

/// What `order` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OrderAnswer {
    /// The verdict in one line.
    pub verdict: String,
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// The order.
    pub order: Order,
    /// What to keep in mind.
    pub caution: String,
}

pub(super) fn run(args: &args::Question) -> Result<(Status, Box<dyn Answered>), Refused> {
    let loaded = load(&args.model)?;
    let document = loaded.asked(&args.asked)?;
    let made = progress(&loaded.clone().taken_as(args.asked.as_built)?);
    with_solution(&loaded, &document, |solved, located| {
        let order = solved.fitting_order(&made);
        let well =
            order.circle.is_none() && order.out_of_reach.is_empty() && order.broken.is_empty();
        let answer: Box<dyn Answered> = Box::new(OrderAnswer {
            verdict: render::order::verdict(&order),
            unit: located.layout.unit,
            order,
            caution: CAUTION.to_owned(),
        });
        (if well { Status::Well } else { Status::Amiss }, answer)
    })
}

impl Told for OrderAnswer {
    fn text(&self, width: usize) -> String {
        render::order::text(self, width)
    }
}
