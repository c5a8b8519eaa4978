//! A layout's verdict in one line.

use strongback_model::clash::Clashes;
use strongback_model::fit::{Fit, FitVerdict};
use strongback_model::layout::Layout;

use super::figures::count;
use super::table::wrapped;

/// The same, with what runs into what.
pub fn with_clashes(layout: &Layout, fits: &[Fit], clashes: &Clashes) -> String {
    let verdict = of(layout, fits);
    let places: usize = clashes.found.iter().map(|it| it.places.len()).sum();
    match clashes.found.len() {
        0 => verdict,
        n => {
            let told = count(n, "clash", "clashes");
            let at = if places > n {
                format!(", in {places} places")
            } else {
                String::new()
            };
            format!("{}; {told}{at}.", verdict.trim_end_matches('.'))
        }
    }
}

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
    if !layout.waiting.is_empty() {
        let statements = count(layout.waiting.len(), "statement", "statements");
        clauses.push(format!("{statements} waiting"));
    }
    if !fits.is_empty() {
        let of = |verdict| fits.iter().filter(|fit| fit.verdict == verdict).count();
        let (missing, open) = (of(FitVerdict::Misses), of(FitVerdict::Open));
        let all = count(fits.len(), "must-fit", "must-fits");
        let miss = if missing == 1 { "misses" } else { "miss" };
        let unmeasured = of(FitVerdict::Unmeasured);
        let not_measured = format!("{unmeasured} of {all} can't be measured");
        clauses.push(match (missing, open) {
            (0, 0) if unmeasured > 0 => not_measured.clone(),
            (0, 0) if fits.len() == 1 => "the must-fit comes true".to_owned(),
            (0, 0) => format!("all {all} come true"),
            (0, _) => format!("{open} of {all} open"),
            (_, 0) => format!("{missing} of {all} {miss}"),
            _ => format!("{missing} of {all} {miss}, {open} open"),
        });
        if unmeasured > 0 && missing + open > 0 {
            clauses.push(not_measured);
        }
        let disputed = fits.iter().filter(|fit| !fit.disputed.is_empty()).count();
        if disputed > 0 {
            clauses.push(format!("{disputed} of them disputed"));
        }
    }
    let mut line = clauses.join("; ");
    line.push('.');
    line
}

/// What is probably a slip, a line each; nothing where nothing is.
pub(crate) fn doubts(doubts: &[String], width: usize) -> String {
    if doubts.is_empty() {
        return String::new();
    }
    let lines = doubts
        .iter()
        .map(|doubt| wrapped(&format!("To be looked at: {doubt}"), width, 2));
    format!("{}\n", lines.collect::<String>())
}
