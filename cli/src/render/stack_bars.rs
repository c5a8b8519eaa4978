//! Samples as bars of text, with the limits between them. In: a histogram. Out: a line for two bins, as wide as the page allows.

use strongback_model::stack::{Histogram, StackedMeasure};

use super::decimal::Decimal;

/// Bins of a histogram that make one line.
const BINS_A_LINE: usize = 2;
/// The longest bar.
const LONGEST: usize = 50;

/// The bars, from the least to the greatest.
pub(super) fn bars(
    measure: &StackedMeasure,
    histogram: &Histogram,
    decimal: Decimal,
    width: usize,
) -> String {
    let lines: Vec<usize> = histogram
        .counts
        .chunks(BINS_A_LINE)
        .map(|bins| bins.iter().sum())
        .collect();
    if lines.len() < 2 {
        return String::new();
    }
    let step = histogram.width * BINS_A_LINE as f64;
    let most = lines.iter().copied().max().unwrap_or(1).max(1);
    let middle = |at: usize| decimal.figure(histogram.from + step * (at as f64 + 0.5));
    let label = (0..lines.len())
        .map(|at| middle(at).len())
        .max()
        .unwrap_or(0);
    let room = width.saturating_sub(label + 12).clamp(10, LONGEST);
    let mut marks = Vec::new();
    for (limit, words) in [(measure.least, "at least"), (measure.most, "at most")] {
        if let Some(limit) = limit {
            marks.push((limit, format!("{words} {}", decimal.told(limit))));
        }
    }
    let ends = histogram.from + step * lines.len() as f64;
    let mut text = format!("{:>label$}  builds\n", decimal.symbol);
    for (at, count) in lines.iter().enumerate() {
        let from = histogram.from + step * at as f64;
        for (_, words) in marks.iter().filter(|(limit, _)| {
            let below_all = at == 0 && *limit <= from;
            below_all || (from < *limit && *limit <= from + step && *limit <= ends && step > 0.0)
        }) {
            // a limit within a line's bins stands before it
            text.push_str(&format!("{:─>label$}──┄ {words}\n", ""));
        }
        let length = (count * room).div_ceil(most);
        let line = format!("{:>label$}  {:█>length$} {count}", middle(at), "");
        text.push_str(line.trim_end());
        text.push('\n');
    }
    for (_, words) in marks.iter().filter(|(limit, _)| *limit > ends) {
        text.push_str(&format!("{:─>label$}──┄ {words}\n", ""));
    }
    text
}
