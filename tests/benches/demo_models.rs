//! The demo models from text to layout, and one deviation tried: `cargo bench --bench demo_models`.

use std::path::Path;

use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::record::{Made, Progress, Stage};
use strongback_model::recut::verdicts;
use strongback_model::remedy::{Made as MadeTo, remedies};
use strongback_model::restated::restated;
use strongback_model::shift::shift;
use strongback_model::source::read;

fn main() {
    divan::main();
}

const MODELS: [&str; 3] = ["first-bay", "centre-fuselage", "tail-cone"];

fn text(model: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../demo-models")
        .join(model)
        .with_extension("ron");
    std::fs::read_to_string(path).unwrap()
}

/// From text to solved and diagnosed: layout, what is loose, spare and at odds, must-fits.
#[divan::bench(args = MODELS)]
fn text_to_diagnosed(bencher: divan::Bencher<'_, '_>, model: &str) {
    let text = text(model);
    bencher.bench(|| {
        let document: Document = read(&text).unwrap();
        let assembly = assemble(&document).unwrap();
        let solved = assembly.solve().unwrap();
        (solved.layout(), solved.fits())
    });
}

/// Reading alone.
#[divan::bench(args = MODELS)]
fn text_to_document(bencher: divan::Bencher<'_, '_>, model: &str) {
    let text = text(model);
    bencher.bench(|| read::<Document>(&text).unwrap());
}

/// From a document that is read to its first deviation's shift, its trace and the parts to re-cut; the
/// plan's layout is there already.
#[divan::bench(args = MODELS)]
fn one_deviation(bencher: divan::Bencher<'_, '_>, model: &str) {
    let document: Document = read(&text(model)).unwrap();
    let plan = assemble(&document).unwrap();
    let plan = plan.solve().unwrap().layout();
    let name = document.deviations.names().next().unwrap().to_owned();
    bencher.bench(|| {
        let changed = document.with_deviation(&name).unwrap();
        let assembly = assemble(&changed).unwrap();
        let solved = assembly.solve().unwrap();
        let layout = solved.layout();
        let mut shift = shift(&plan, &layout);
        solved.trace(&mut shift, &layout, &restated(&document, &changed));
        verdicts(&plan, &layout, &shift, &Progress::default())
    });
}

/// A search for remedies after a deviation of the centre fuselage, a third of whose parts are cut; both are solved already.
/// With the demo's figures some 80 possible changes bear on its must-fits.
#[divan::bench(args = ["no packer", "seat frame flanges reversed"], sample_count = 5)]
fn remedies_after(bencher: divan::Bencher<'_, '_>, deviation: &str) {
    let document: Document = read(&text("centre-fuselage")).unwrap();
    let plan = assemble(&document).unwrap();
    let plan = plan.solve().unwrap().layout();
    let cut = Made {
        stage: Stage::Cut,
        hours: 1.0,
    };
    let third = plan.parts.iter().step_by(3);
    let progress = Progress(third.map(|part| (part.name.clone(), cut)).collect());
    let changed = document.with_deviation(deviation).unwrap();
    let assembly = assemble(&changed).unwrap();
    let solved = assembly.solve().unwrap();
    let made = MadeTo {
        standing: (&plan).into(),
        progress: &progress,
        to_be: None,
    };
    bencher.bench_local(|| remedies(&changed, &solved, made));
}
