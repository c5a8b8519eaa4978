//! What a change costs over all parts. In: the verdicts. Out: how many parts ask for what, the stock by kind, the hours, and one
//! cost to rank by.

use std::cmp::Ordering;

use schemars::JsonSchema;
use serde::Serialize;

use super::verdict::{PartVerdict, Verdict};
use crate::part::{Section, Stock};
use crate::stock::{StockForm, StockSize, Whole, lengths, sheets};

/// What it comes to.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Totals {
    /// New parts.
    pub new: usize,
    /// Parts to be made anew.
    pub make_anew: usize,
    /// Parts that are too short: a splice, a filler or a new part.
    pub too_short: usize,
    /// Parts to be re-drilled.
    pub redrill: usize,
    /// Parts to be trimmed.
    pub trim: usize,
    /// Parts to be turned round.
    pub turn_round: usize,
    /// Parts that change sides.
    pub change_sides: usize,
    /// Parts that are only taken out and fitted again.
    pub refit: usize,
    /// Parts that are off by less than the file's `fit`.
    pub offer_up: usize,
    /// Parts that are no longer needed.
    pub left_out: usize,
    /// Parts that are made to the new figures once they are started.
    pub not_started: usize,
    /// Parts that are right as far as they are made; the rest of them is made to the new figures.
    pub as_is: usize,
    /// Parts that are fitted and have to be taken out, whatever is done with them then.
    pub take_out: usize,
    /// The stock of new parts and of those that are made anew.
    pub stock: Vec<StockTotal>,
    /// The stock of parts that are too short, if they are made anew.
    pub stock_at_stake: Vec<StockTotal>,
    /// Hours put into parts that are made anew or left out.
    pub hours_lost: f64,
    /// Hours put into parts that are too short.
    pub hours_at_stake: f64,
}

/// Stock of one kind.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "form")]
pub enum StockTotal {
    /// Sheet of one gauge.
    Sheet {
        /// Thickness, in millimetres.
        gauge_mm: f64,
        /// The rectangles together, in square millimetres.
        area_mm2: f64,
        /// The rectangles: longer and shorter side, in millimetres.
        pieces_mm: Vec<[f64; 2]>,
        /// Whole sheets of the first listed size that holds the most of them; none if the file lists none of that gauge.
        whole: Option<Whole>,
    },
    /// One section.
    Length {
        /// The section.
        section: Section,
        /// The lengths together, in millimetres.
        length_mm: f64,
        /// The lengths.
        pieces_mm: Vec<f64>,
        /// Whole lengths, likewise.
        whole: Option<Whole>,
    },
}

/// What a change costs, to be compared with what another one costs: by the hours that are lost or at stake, then by the parts to be
/// made anew, too short, new, to be taken out, re-drilled, turned round and trimmed, then by those that are made to new figures.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
pub struct Cost {
    /// Hours lost or at stake.
    pub hours: f64,
    /// Parts, the gravest first: made anew, too short, new, taken out, re-drilled, turned round or changed over, trimmed or offered up, and made to new
    /// figures from the start.
    pub parts: [usize; 8],
}

impl Totals {
    pub(super) fn of(parts: &[PartVerdict], refit: &[PartVerdict], bought: &[StockSize]) -> Self {
        let mut totals = Totals::default();
        for part in parts.iter().chain(refit) {
            *totals.count(part.verdict) += 1;
            totals.take_out += usize::from(part.take_out);
            totals.hours_lost += part.hours_lost;
            totals.hours_at_stake += part.hours_at_stake;
            let list = match part.verdict {
                Verdict::New | Verdict::MakeAnew => &mut totals.stock,
                _ => &mut totals.stock_at_stake,
            };
            for stock in &part.stock {
                add(list, stock);
            }
        }
        for total in totals.stock.iter_mut().chain(&mut totals.stock_at_stake) {
            total.count_whole(bought);
        }
        totals
    }

    fn count(&mut self, verdict: Verdict) -> &mut usize {
        match verdict {
            Verdict::AsIs => &mut self.as_is,
            Verdict::NotStarted => &mut self.not_started,
            Verdict::LeftOut => &mut self.left_out,
            Verdict::OfferUp => &mut self.offer_up,
            Verdict::Refit => &mut self.refit,
            Verdict::TurnRound => &mut self.turn_round,
            Verdict::ChangeSides => &mut self.change_sides,
            Verdict::Trim => &mut self.trim,
            Verdict::Redrill => &mut self.redrill,
            Verdict::TooShort => &mut self.too_short,
            Verdict::MakeAnew => &mut self.make_anew,
            Verdict::New => &mut self.new,
        }
    }

    /// The cost to rank by.
    pub fn cost(&self) -> Cost {
        Cost {
            hours: self.hours_lost + self.hours_at_stake,
            parts: [
                self.make_anew,
                self.too_short,
                self.new,
                self.take_out,
                self.redrill,
                self.turn_round + self.change_sides,
                self.trim + self.offer_up,
                self.not_started + self.as_is,
            ],
        }
    }
}

fn add(list: &mut Vec<StockTotal>, stock: &Stock) {
    match stock {
        Stock::Sheet { gauge_mm, sides_mm } => {
            let found = list.iter_mut().find_map(|total| match total {
                StockTotal::Sheet {
                    gauge_mm: gauge,
                    area_mm2,
                    pieces_mm,
                    ..
                } if same(*gauge, *gauge_mm) => Some((area_mm2, pieces_mm)),
                _ => None,
            });
            let area = sides_mm[0] * sides_mm[1];
            match found {
                Some((area_mm2, pieces)) => {
                    *area_mm2 += area;
                    pieces.push(*sides_mm);
                }
                None => list.push(StockTotal::Sheet {
                    gauge_mm: *gauge_mm,
                    area_mm2: area,
                    pieces_mm: vec![*sides_mm],
                    whole: None,
                }),
            }
        }
        Stock::Length { section, length_mm } => {
            let found = list.iter_mut().find_map(|total| match total {
                StockTotal::Length {
                    section: other,
                    length_mm,
                    pieces_mm,
                    ..
                } if other.is(section) => Some((length_mm, pieces_mm)),
                _ => None,
            });
            match found {
                Some((sum, pieces)) => {
                    *sum += length_mm;
                    pieces.push(*length_mm);
                }
                None => list.push(StockTotal::Length {
                    section: section.clone(),
                    length_mm: *length_mm,
                    pieces_mm: vec![*length_mm],
                    whole: None,
                }),
            }
        }
    }
}

impl StockTotal {
    /// Counts whole sheets or lengths, where some are listed.
    fn count_whole(&mut self, bought: &[StockSize]) {
        let fewest = |all: Vec<Whole>| {
            let first = all.into_iter();
            first.min_by_key(|whole| whole.too_large)
        };
        match self {
            StockTotal::Sheet {
                gauge_mm,
                pieces_mm,
                whole,
                ..
            } => {
                let of_gauge = bought.iter().filter_map(|size| match size.is {
                    StockForm::Sheet {
                        gauge_mm: gauge,
                        sides_mm,
                    } if same(gauge, *gauge_mm) => Some((size, sides_mm)),
                    _ => None,
                });
                let counted = of_gauge.map(|(size, sides)| sheets(&size.name, sides, pieces_mm));
                *whole = fewest(counted.collect());
            }
            StockTotal::Length {
                section,
                pieces_mm,
                whole,
                ..
            } => {
                let of_section = bought.iter().filter_map(|size| match size.is {
                    StockForm::Length { of, length_mm } if of == section.what => {
                        Some((size, length_mm))
                    }
                    _ => None,
                });
                let counted =
                    of_section.map(|(size, length)| lengths(&size.name, length, pieces_mm));
                *whole = fewest(counted.collect());
            }
        }
    }
}

/// The same figure but for rounding.
fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= crate::shift::MOVED_MM
}

impl Section {
    /// Whether it is the same section.
    pub fn is(&self, other: &Section) -> bool {
        self.what == other.what
            && self.sizes_mm.len() == other.sizes_mm.len()
            && self
                .sizes_mm
                .iter()
                .zip(&other.sizes_mm)
                .all(|(a, b)| same(*a, *b))
    }
}

impl Ord for Cost {
    fn cmp(&self, other: &Self) -> Ordering {
        let hours = self.hours.total_cmp(&other.hours);
        hours.then_with(|| self.parts.cmp(&other.parts))
    }
}

impl PartialOrd for Cost {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Cost {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Cost {}
