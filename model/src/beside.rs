//! Several deviations beside each other. In: what each comes to. Out: for each the counts that it is judged by, and which of them
//! is better than another whatever one cares for most: no worse in anything, and better in something (Pareto dominance).

use schemars::JsonSchema;
use serde::Serialize;

use crate::recut::{StockTotal, Totals};

/// What a deviation is judged by; the less of each, the better.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Column {
    /// The deviation.
    pub deviation: String,
    /// Must-fits that miss.
    pub misses: usize,
    /// Statements at odds.
    pub at_odds: usize,
    /// Ways left to move, and must-fits that rest on them.
    pub open: usize,
    /// Pairs of parts that run into each other.
    pub clashes: usize,
    /// Parts, by what is to be done with them.
    pub totals: Totals,
    /// Sheet that it takes, in square millimetres.
    pub sheet_mm2: f64,
    /// Lengths of section that it takes, in millimetres.
    pub length_mm: f64,
    /// Deviations that it is better than, whatever one cares for most.
    pub better_than: Vec<String>,
}

impl Column {
    /// A deviation by its counts; which it is better than is found by [`compare`].
    pub fn of(
        deviation: String,
        [misses, at_odds, open, clashes]: [usize; 4],
        totals: &Totals,
    ) -> Self {
        let mut column = Column {
            deviation,
            misses,
            at_odds,
            open,
            clashes,
            totals: totals.clone(),
            ..Column::default()
        };
        for stock in &totals.stock {
            match stock {
                StockTotal::Sheet { area_mm2, .. } => column.sheet_mm2 += area_mm2,
                StockTotal::Length { length_mm, .. } => column.length_mm += length_mm,
            }
        }
        column
    }

    /// All that it is judged by.
    fn judged_by(&self) -> Vec<f64> {
        let cost = self.totals.cost();
        let counts = [self.misses, self.at_odds, self.open, self.clashes];
        let counts = counts.iter().chain(&cost.parts).map(|count| *count as f64);
        counts
            .chain([cost.hours, self.sheet_mm2, self.length_mm])
            .collect()
    }

    fn is_better_than(&self, other: &Column) -> bool {
        /// Less than this is no difference: hours, square millimetres, millimetres.
        const ROUNDING: f64 = 1e-6;
        let (own, others) = (self.judged_by(), other.judged_by());
        let mut pairs = own.iter().zip(&others);
        pairs.clone().all(|(own, other)| *own <= other + ROUNDING)
            && pairs.any(|(own, other)| *own < other - ROUNDING)
    }
}

/// Notes in each which of the others it is better than.
pub fn compare(columns: &mut [Column]) {
    let better: Vec<Vec<String>> = columns
        .iter()
        .map(|one| {
            let worse = columns.iter().filter(|other| one.is_better_than(other));
            worse.map(|other| other.deviation.clone()).collect()
        })
        .collect();
    for (column, better) in columns.iter_mut().zip(better) {
        column.better_than = better;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn column(name: &str, misses: usize, hours_lost: f64) -> Column {
        let totals = Totals {
            hours_lost,
            ..Totals::default()
        };
        Column::of(name.to_owned(), [misses, 0, 0, 0], &totals)
    }

    #[test]
    fn only_what_is_worse_in_nothing_is_better() {
        let mut columns = [
            column("a", 0, 3.0),
            column("b", 1, 3.0),
            column("c", 1, 2.0),
            column("d", 1, 3.0),
        ];
        compare(&mut columns);
        let better = |at: usize| columns[at].better_than.join(" ");
        // a misses nothing and costs what b and d cost; c costs less than a and misses more
        assert_eq!(
            [better(0), better(1), better(2), better(3)],
            ["b d", "", "b d", ""]
        );
    }
}
