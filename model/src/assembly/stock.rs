//! Stock as it can be bought. In: the document's list. Out: its figures in millimetres.

use super::Assembly;
use crate::document::Document;
use crate::quantity::Kind;
use crate::source::{Code, Fault, Given};
use crate::stock::{Bought, StockForm, StockSize};

/// Enters all stock.
pub(super) fn enter(assembly: &mut Assembly, document: &Document, faults: &mut Vec<Fault>) {
    for entry in document.stock.iter() {
        match form(assembly, &entry.value) {
            Ok(is) => assembly.stock.push(StockSize {
                name: entry.name.value.clone(),
                is,
            }),
            Err(fault) => faults.push(fault),
        }
    }
}

fn form(assembly: &Assembly, bought: &Bought) -> Result<StockForm, Fault> {
    let size = |given: &Given| -> Result<f64, Fault> {
        let value = assembly.quantities.value(given, Kind::Length)?;
        if value > 0.0 {
            return Ok(value);
        }
        let message = "a size of stock has to be greater than zero";
        Err(Fault::error(Code::BadSize, message).at(given.span(), ""))
    };
    Ok(match bought {
        Bought::Sheet {
            gauge,
            width,
            length,
        } => {
            let (width, length) = (size(width)?, size(length)?);
            StockForm::Sheet {
                gauge_mm: size(gauge)?,
                sides_mm: [width.max(length), width.min(length)],
            }
        }
        Bought::Lengths { of, length } => StockForm::Length {
            of: *of,
            length_mm: size(length)?,
        },
    })
}
