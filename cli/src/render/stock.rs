//! Stock as text: sheet by its gauge, lengths by their section.

use strongback_model::part::Section;
use strongback_model::quantity::Unit;
use strongback_model::recut::StockTotal;
use strongback_model::stock::Whole;

use super::figures;

/// How sheet is counted, and what is not looked at.
pub(super) const HOW: &str = "Sheet is the rectangle that holds each flat blank: web and flanges added up, no bend allowance taken off. \
     Saw cuts and scrap come on top.";

/// The stock of a list in one line; nothing where there is none.
pub(super) fn told(what: &str, stock: &[StockTotal], unit: Unit) -> Option<String> {
    let each: Vec<String> = stock.iter().map(|stock| one(stock, unit)).collect();
    (!each.is_empty()).then(|| format!("{what}: {}.", each.join("; ")))
}

fn one(stock: &StockTotal, unit: Unit) -> String {
    let show = |mm: f64| figures::length(mm, unit);
    match stock {
        StockTotal::Sheet {
            gauge_mm,
            area_mm2,
            pieces_mm,
            whole,
        } => {
            let pieces = match &pieces_mm[..] {
                [[length, width]] => format!("{} × {}", show(*length), show(*width)),
                several => figures::count(several.len(), "piece", "pieces"),
            };
            let gauge = show(*gauge_mm);
            format!(
                "sheet {gauge}, {pieces}, {}{}",
                figures::area(*area_mm2, unit),
                counted(whole.as_ref())
            )
        }
        StockTotal::Length {
            section: of,
            length_mm,
            pieces_mm,
            whole,
        } => {
            let length = match pieces_mm.len() {
                1 => show(*length_mm),
                several => format!("{several} lengths, {} together", show(*length_mm)),
            };
            format!("{}, {length}{}", section(of, unit), counted(whole.as_ref()))
        }
    }
}

/// How many whole sheets or lengths that is, where some are listed.
fn counted(whole: Option<&Whole>) -> String {
    let Some(whole) = whole else {
        return String::new();
    };
    let of = format!("{} of `{}`", whole.count, whole.of);
    match whole.too_large {
        0 => format!(" ({of})"),
        pieces => {
            let pieces = figures::count(pieces, "piece is", "pieces are");
            format!(" ({of}; {pieces} larger than that)")
        }
    }
}

/// `angle 1 × 1 × 1/8 in`.
pub(super) fn section(section: &Section, unit: Unit) -> String {
    let (last, first) = match section.sizes_mm.split_last() {
        Some((last, first)) => (figures::length(*last, unit), first),
        None => return section.what.word().to_owned(),
    };
    let first = first.iter().map(|mm| figures::column(*mm, unit));
    let sizes: Vec<String> = first.chain([last]).collect();
    format!("{} {}", section.what.word(), sizes.join(" × "))
}
