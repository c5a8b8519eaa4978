//! Models spoilt at random, through the whole pipeline. In: the demo models with figures, units, names, words, lines
//! and letters changed. Out: never a panic or a search without end, never a figure that is not finite, an exit status
//! of 0, 1 or 2, and where a layout is given, statements that hold when they are worked out again from its faces.

mod checks;
mod slips;

use std::ffi::OsString;
use std::process::ExitCode;

use checks::{TOLERANCE, look_over};
use proptest::prelude::*;
use proptest::sample::Index;
use slips::{slips, spoil};
use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::neighbours::Neighbours;
use strongback_model::record::{Made, Progress, Stage};
use strongback_model::recut::verdicts;
use strongback_model::shift::shift;
use strongback_model::source;
use strongback_model::stack::{Sampling, Spread};

const MODELS: &[&str] = &[
    include_str!("../demo-models/first-bay.ron"),
    include_str!("../demo-models/centre-fuselage.ron"),
    include_str!("../demo-models/tail-cone.ron"),
    include_str!("../demo-models/contradicting-sheets.ron"),
];

/// The whole way of a text through the model; true if there was a layout.
fn through_the_model(text: &str, face_of: &Index) -> Result<bool, TestCaseError> {
    let Ok(document) = source::read::<Document>(text) else {
        return Ok(false);
    };
    let Ok(assembly) = assemble(&document) else {
        return Ok(false);
    };
    let Ok(solved) = assembly.solve() else {
        return Ok(false);
    };
    let (plan, fits) = (solved.layout(), solved.fits());
    let stacks = solved
        .stacks(Sampling {
            samples: 3,
            seed: 1,
            spread: Spread::Normal,
        })
        .map_err(|fault| TestCaseError::fail(fault.message))?;
    prop_assert_eq!(stacks.len(), fits.len());
    look_over(&document, &assembly, &plan, &fits)?;
    let names: Vec<String> = plan
        .parts
        .iter()
        .flat_map(|part| {
            part.features
                .iter()
                .map(|f| format!("{}.{}", part.name, f.name))
        })
        .collect();
    let name = &names[face_of.index(names.len())];
    let chain = solved
        .why(name, None)
        .map_err(|fault| TestCaseError::fail(fault.message))?;
    let sum: f64 = chain.legs.iter().map(|leg| leg.adds_mm).sum();
    prop_assert!(
        chain.value_mm.is_finite() && sum.is_finite(),
        "{name}: {chain:?}"
    );
    let rounding = TOLERANCE * (1.0 + chain.value_mm.abs());
    prop_assert!(
        (sum + chain.rest_mm - chain.value_mm).abs() < rounding,
        "{name} does not add up: {chain:?}"
    );
    // of a few: it takes as long as all the rest
    let looked_beside = face_of.index(16) == 0;
    let others = || Neighbours::of(&document, &solved, &plan).others;
    for other in looked_beside.then(others).into_iter().flatten() {
        let figures = other.figures.iter();
        prop_assert!(
            figures
                .clone()
                .all(|one| one.other.is_finite() && one.difference.abs() > 0.0),
            "{other:?}"
        );
        prop_assert!(figures.len() > 0 && !other.starts.is_empty(), "{other:?}");
    }
    for deviation in document.deviations.names() {
        let Ok(changed) = document.with_deviation(deviation) else {
            continue;
        };
        let Ok(assembly) = assemble(&changed) else {
            continue;
        };
        let Ok(solved) = assembly.solve() else {
            continue;
        };
        let layout = solved.layout();
        look_over(&changed, &assembly, &layout, &solved.fits())?;
        let shift = shift(&plan, &layout);
        for part in &shift.parts {
            for feature in &part.features {
                prop_assert!(feature.shift_mm.iter().all(|by| by.is_finite()));
            }
        }
        let stages = [Stage::Cut, Stage::Drilled, Stage::Fitted, Stage::NotStarted];
        let made = plan.parts.iter().zip(stages.into_iter().cycle());
        let made = made.map(|(part, stage)| (part.name.clone(), Made { stage, hours: 1.0 }));
        let all = verdicts(&plan, &layout, &shift, &Progress(made.collect()));
        prop_assert!(all.cost().hours.is_finite());
    }
    Ok(true)
}

/// The same through the commands, as text.
fn through_the_commands(text: &str, had_layout: bool) -> Result<(), TestCaseError> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("model.ron");
    std::fs::write(&path, text).unwrap();
    let model = path.clone().into_os_string();
    let deviations: Vec<String> = source::read::<Document>(text)
        .map(|document| document.deviations.names().map(str::to_owned).collect())
        .unwrap_or_default();
    let first = deviations.first().map_or("none", String::as_str);
    for words in [
        &["locate", "M", "--faces"][..],
        &["fit", "M"],
        &["try", "M", first],
        &["recut", "M", first],
        &["measured", "M"],
        &["--json", "measured", "M"],
        &["--json", "locate", "M"],
    ] {
        let words = words.iter().map(|word| {
            if *word == "M" {
                model.clone()
            } else {
                OsString::from(word)
            }
        });
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let status = strongback::run(
            std::iter::once(OsString::from("strongback")).chain(words),
            &mut out,
            &mut err,
        );
        let (out, err) = (
            String::from_utf8(out).unwrap(),
            String::from_utf8(err).unwrap(),
        );
        let known = [0, 1, 2].map(ExitCode::from).contains(&status);
        prop_assert!(known, "{status:?}");
        for word in out.split(|c: char| !c.is_alphanumeric()) {
            prop_assert!(!matches!(word, "NaN" | "inf"), "{out}");
        }
        let refused = status == ExitCode::from(2);
        prop_assert!(refused || err.is_empty(), "{err}");
        prop_assert!(
            !refused || !err.is_empty() || out.contains("\"faults\""),
            "{out}"
        );
    }
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let status = strongback::run(
        ["strongback".into(), "fit".into(), model],
        &mut out,
        &mut err,
    );
    prop_assert_eq!(status != ExitCode::from(2), had_layout);
    prop_assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
    Ok(())
}

#[test]
fn spoilt_models_are_refused_or_solved_and_never_in_between() {
    let slowest = std::cell::Cell::new((0.0, String::new()));
    let layouts = std::cell::Cell::new(0);
    let cases = std::env::var("PROPTEST_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(128);
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    });
    runner
        .run(
            &(0..MODELS.len(), slips(), any::<Index>()),
            |(model, slips, face_of)| {
                let mut text = MODELS[model].to_owned();
                for slip in &slips {
                    text = spoil(&text, slip).unwrap_or(text);
                }
                let start = std::time::Instant::now();
                let had_layout = through_the_model(&text, &face_of)?;
                // the commands take a zero byte for the mark of a file that is no text, in a remark too
                through_the_commands(&text, had_layout && !text.contains('\0'))?;
                let took = start.elapsed().as_secs_f64();
                let before = slowest.take();
                slowest.set(if took > before.0 {
                    (took, format!("model {model}, {slips:?}"))
                } else {
                    before
                });
                layouts.set(layouts.get() + usize::from(had_layout));
                Ok(())
            },
        )
        .unwrap_or_else(|error| panic!("{error}"));
    let (took, case) = slowest.take();
    println!(
        "{cases} models, {} with a layout; slowest {took:.2} s: {case}",
        layouts.get()
    );
    // a good part of them has to come through, or nothing but refusal is tested
    assert!(
        layouts.get() * 6 > cases as usize,
        "only {} of {cases} had a layout",
        layouts.get()
    );
}
