//! Laws of the model as it is built, on every demo model: what was made to the plan and fitted where the plan has it is the plan.

use std::path::{Path, PathBuf};

use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::layout::Layout;
use strongback_model::record::{Built, Piece, Record, Stage};
use strongback_model::source::read;

/// A thousandth of the thinnest thing that a builder measures.
const SAME_MM: f64 = 1e-5;

fn demos() -> Vec<(PathBuf, Document)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-models");
    let mut list: Vec<(PathBuf, Document)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "ron"))
        .map(|path| {
            let text = std::fs::read_to_string(&path).unwrap();
            let document = read(&text).unwrap();
            (path, document)
        })
        .collect();
    list.sort_by(|a, b| a.0.cmp(&b.0));
    assert!(list.len() >= 4);
    list
}

fn layout(document: &Document) -> Layout {
    assemble(document).unwrap().solve().unwrap().layout()
}

/// The record of an aircraft whose parts have all got as far as this, as the plan has them.
fn all_parts(plan: &Document, now: &Layout, stage: Stage) -> Record {
    let mut record = Record::new(plan.unit);
    for part in &now.parts {
        let piece = Piece {
            part: &part.name,
            stage,
            on: "2026-10-03",
            sizes: &[],
        };
        record = record.with_stage(&piece, Some((plan, now))).record;
        if stage == Stage::Fitted {
            record = record.with_place(&part.name, (plan, now)).record;
        }
    }
    // what is kept is what was written and read again
    Record::read(&record.text().unwrap()).unwrap()
}

fn same(plan: &Layout, built: &Layout, name: &Path) {
    assert_eq!(plan.parts.len(), built.parts.len());
    for (was, is) in plan.parts.iter().zip(&built.parts) {
        // what is loose in the plan lies somewhere, and anywhere will do
        if !was.settled {
            continue;
        }
        for (was, is) in was.features.iter().zip(&is.features) {
            for axis in 0..3 {
                let off = (was.at_mm[axis] - is.at_mm[axis]).abs();
                assert!(
                    off < SAME_MM,
                    "{}: {} is {off} off",
                    name.display(),
                    was.name
                );
            }
        }
    }
}

fn at_odds(layout: &Layout) -> Vec<&str> {
    let list = layout.at_odds.iter();
    list.map(|odd| odd.statement.as_str()).collect()
}

#[test]
fn made_to_the_plan_is_the_plan() {
    for (name, plan) in demos() {
        let planned = layout(&plan);
        for stage in [Stage::Cut, Stage::Drilled, Stage::Fitted] {
            let record = all_parts(&plan, &planned, stage);
            let built = layout(&Built::of(&plan, &record).unwrap().document);
            same(&planned, &built, &name);
            if planned.is_sound() {
                assert!(
                    at_odds(&built).is_empty(),
                    "{}: {:?}",
                    name.display(),
                    built.at_odds
                );
            }
        }
    }
}

/// Every deviation adopted after every part was fitted moves no part, and what it says otherwise of places is at odds or spare.
#[test]
fn what_is_fitted_stays_whatever_is_adopted() {
    let (mut tried, mut refused) = (0, 0);
    for (name, plan) in demos() {
        let planned = layout(&plan);
        if !planned.is_sound() {
            continue;
        }
        let record = all_parts(&plan, &planned, Stage::Fitted);
        for deviation in plan.deviations.names() {
            let adopted = strongback_model::record::Adopted {
                on: "2026-10-04".into(),
                because: None,
            };
            let record = record.with_adopted(deviation, adopted).unwrap().record;
            let Ok(built) = Built::of(&plan, &record) else {
                // a deviation that makes another part of one that is made: it has to be set back first
                refused += 1;
                continue;
            };
            tried += 1;
            let built = layout(&built.document);
            for part in &planned.parts {
                let (Some(placed), true) = (built.part(&part.name), part.settled) else {
                    continue;
                };
                let has_place = record.parts.get(&part.name).unwrap().fitted.is_some();
                for axis in 0..3 {
                    let off = (placed.origin_mm[axis] - part.origin_mm[axis]).abs();
                    assert!(
                        !has_place || off < SAME_MM,
                        "{}, {deviation}: {} moved by {off}",
                        name.display(),
                        part.name
                    );
                }
            }
        }
    }
    assert!(
        tried > 5 && refused < tried,
        "{tried} tried, {refused} refused"
    );
}
