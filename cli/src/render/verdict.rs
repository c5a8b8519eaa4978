//! A layout's verdict in one line.

use strongback_model::fit::Fit;
use strongback_model::layout::Layout;

use super::figures::count;

/// Whether everything is settled, agrees and fits; and if not, what doesn't.
pub fn of(layout: &Layout, fits: &[Fit]) -> String {
    let parts = count(layout.parts.len(), "part", "parts");
    let mut clauses = Vec::new();
    let loose = layout.parts.iter().filter(|part| !part.settled).count();
    let freedoms = layout.loose.len();
    clauses.push(if freedoms == 0 {
        format!("{parts}, all settled")
    } else if loose == 0 {
        format!(
            "{parts}, and {} not settled",
            count(freedoms, "figure", "figures")
        )
    } else {
        format!(
            "{parts}, {loose} of them loose in {}",
            count(freedoms, "way", "ways")
        )
    });
    match layout.at_odds.len() {
        0 => clauses.push("no statements at odds".to_owned()),
        n => clauses.push(format!("{} at odds", count(n, "statement", "statements"))),
    }
    if !fits.is_empty() {
        let hold = fits.iter().filter(|fit| fit.holds).count();
        clauses.push(if hold == fits.len() {
            format!(
                "all {} come true",
                count(fits.len(), "must-fit", "must-fits")
            )
        } else {
            {
                let missing = fits.len() - hold;
                let verb = if missing == 1 { "misses" } else { "miss" };
                format!("{missing} of {} must-fits {verb}", fits.len())
            }
        });
    }
    let mut line = clauses.join("; ");
    line.push('.');
    line
}
