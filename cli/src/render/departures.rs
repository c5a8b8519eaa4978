//! What made parts are otherwise than the plan, as text.

use strongback_model::quantity::Unit;
use strongback_model::record::{Departs, Departure};

use super::figures;
use super::table::wrapped;

/// At most so many are named.
const NAMED: usize = 8;

/// One paragraph, so that nobody takes it for what a deviation asks; nothing where every part is as planned.
pub(super) fn text(list: &[Departure], unit: Unit, width: usize) -> String {
    if list.is_empty() {
        return String::new();
    }
    let mut told: Vec<String> = list.iter().take(NAMED).map(|one| of(one, unit)).collect();
    if let Some(more) = list.len().checked_sub(NAMED).filter(|more| *more > 0) {
        told.push(format!("and {more} more"));
    }
    let told = format!(
        "Already otherwise than the plan, and not asked here: {}.",
        told.join("; ")
    );
    wrapped(&told, width, 2) + "\n"
}

fn of(one: &Departure, unit: Unit) -> String {
    let (made, plan) = match &one.is {
        Departs::Size { angle, made, plan } => (
            figures::value(*made, *angle, unit),
            figures::value(*plan, *angle, unit),
        ),
        Departs::Choice { made, plan } => (made.clone(), plan.clone()),
    };
    format!("{} {} {made}, planned {plan}", one.part, one.what)
}
