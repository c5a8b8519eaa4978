//! Any bytes at all through the reader. In: bytes. Out: nothing; a panic, a search without end and a fault with a place
//! outside of the text are findings. `tests/fuzz/run` runs it.

#![no_main]

mod slip;

use libfuzzer_sys::{Corpus, fuzz_mutator, fuzz_target, fuzzer_mutate};
use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::layout::Layout;
use strongback_model::quantity;
use strongback_model::record::Record;
use strongback_model::source::{self, Fault, line_column};

/// Bytes of a text that is still solved.
const LONGEST: usize = 8 * 1024;
/// Parts of a model that is still solved; the datum is one.
const MOST_PARTS: usize = 60;

fuzz_target!(|bytes: &[u8]| -> Corpus {
    // what is not UTF-8 is refused before the reader sees it
    let Ok(text) = std::str::from_utf8(bytes) else {
        return Corpus::Reject;
    };
    if let Err(fault) = source::read::<Record>(text) {
        sound(text, &fault);
    }
    match source::read::<Document>(text) {
        Ok(document) => through(text, &document),
        Err(fault) => sound(text, &fault),
    }
    drop(quantity::parse(text));
    Corpus::Keep
});

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    // bytes find what the reader of signs does, words what comes after it
    let text = std::str::from_utf8(&data[..size]).ok();
    let slipped = text
        .filter(|_| seed % 4 != 0)
        .and_then(|text| slip::slip(text, seed));
    match slipped {
        Some(new) if new.len() <= max_size => {
            data[..new.len()].copy_from_slice(new.as_bytes());
            new.len()
        }
        _ => fuzzer_mutate(data, size, max_size),
    }
});

/// The way of a document to its layout, and of each of its deviations.
fn through(text: &str, document: &Document) {
    if text.len() > LONGEST {
        return;
    }
    located(text, document);
    for name in document.deviations.names().take(3) {
        match document.with_deviation(name) {
            Ok(changed) => located(text, &changed),
            Err(fault) => sound(text, &fault),
        }
    }
}

fn located(text: &str, document: &Document) {
    let assembly = match assemble(document) {
        Ok(assembly) => assembly,
        Err(faults) => {
            assert!(!faults.is_empty(), "refused without a fault");
            return faults.iter().for_each(|fault| sound(text, fault));
        }
    };
    if assembly.parts.len() > MOST_PARTS {
        return;
    }
    match assembly.solve() {
        Ok(solved) => {
            finite(&solved.layout());
            drop(solved.fits());
        }
        Err(fault) => sound(text, &fault),
    }
}

/// A fault says something, and of places that are there.
fn sound(text: &str, fault: &Fault) {
    assert!(
        !fault.message.is_empty() && !fault.message.contains('\0'),
        "{fault:?}"
    );
    for label in &fault.labels {
        assert!(
            text.get(label.span.clone()).is_some(),
            "no place of the text: {fault:?}"
        );
        assert!(line_column(text, label.span.start).0 > 0);
    }
}

fn finite(layout: &Layout) {
    for part in &layout.parts {
        let features = part.features.iter().flat_map(|feature| feature.at_mm);
        for figure in features.chain(part.origin_mm).chain(part.turn_deg) {
            assert!(figure.is_finite(), "{} lies at {figure}", part.name);
        }
    }
}
