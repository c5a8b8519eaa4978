//! The generated long fuselage, stage by stage, and how the cost grows with its length.
//!
//! `cargo bench --bench long_fuselage` prints a table: the median of several runs in milliseconds, and
//! the exponent e of growth in time ∝ bays^e from each length to the next.

#[path = "../long_fuselage/mod.rs"]
mod long_fuselage;

use std::time::Instant;

use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::looseness::motions;
use strongback_model::odds::drops;
use strongback_model::source::read;

const STAGES: [&str; 7] = [
    "read", "assemble", "solve", "layout", "one why", "clashes", "whole",
];

fn main() -> Result<(), String> {
    // `cargo test --benches` only asks whether it runs
    let lengths: &[usize] = if std::env::args().any(|word| word == "--test") {
        &[3]
    } else {
        &[10, 30, 100, 300, 1000]
    };
    let mut lines = vec![format!(
        "{:>6} {:>7} {:>9}{}",
        "bays",
        "parts",
        "unknowns",
        STAGES.map(|stage| format!(" {stage:>11}")).concat()
    )];
    let mut before: Option<(usize, [f64; 7])> = None;
    for &bays in lengths {
        let (times, parts, unknowns) = measure(bays)?;
        let mut line = format!("{bays:>6} {parts:>7} {unknowns:>9}");
        for (stage, time) in times.iter().enumerate() {
            line += &format!(" {time:>8.2} ms");
            if let Some((shorter, old)) = &before {
                let exponent = (time / old[stage]).ln() / (bays as f64 / *shorter as f64).ln();
                line += &format!(" e {exponent:.2}");
            }
        }
        lines.push(line);
        before = Some((bays, times));
    }
    report(&lines.join("\n"));
    let last = lengths.len().min(3) - 1;
    report(&diagnosis(lengths[last])?);
    Ok(())
}

/// A fuselage of which every fifth bay has a contradiction and a rod that nothing settles: all that can be said of it.
fn diagnosis(bays: usize) -> Result<String, String> {
    let every = long_fuselage::Every {
        at_odds: 5,
        loose: 5,
    };
    let (text, planted) = long_fuselage::model_with(bays, every);
    let document: Document = read(&text).map_err(|fault| fault.message)?;
    let begun = Instant::now();
    let assembly = assemble(&document).map_err(|faults| format!("{faults:?}"))?;
    let solved = assembly.solve().map_err(|fault| fault.message)?;
    let layout = solved.layout();
    let was_solved = begun.elapsed();
    let contradictions = solved.contradictions();
    let told = begun.elapsed();
    let drops = drops(&document, &solved, 100);
    let dropped = begun.elapsed();
    let motions = motions(&document, &solved, &layout);
    let whole = begun.elapsed();
    let found = (contradictions.len(), motions.len());
    if found != (planted.at_odds, planted.freedoms)
        || drops
            .iter()
            .any(|drops| !drops.complete || drops.sets.is_empty())
        || motions.iter().any(|motion| motion.settled_by.is_empty())
    {
        return Err(format!(
            "planted {planted:?}; found {found:?}, {drops:?}, {motions:?}"
        ));
    }
    let ms = |duration: std::time::Duration| duration.as_secs_f64() * 1e3;
    Ok(format!(
        "{bays} bays with {} contradictions and {} freedoms: layout {:.1} ms, loops {:.1} ms, sets to drop {:.1} ms, what would settle {:.1} ms; whole {:.1} ms",
        planted.at_odds,
        planted.freedoms,
        ms(was_solved),
        ms(told - was_solved),
        ms(dropped - told),
        ms(whole - dropped),
        ms(whole)
    ))
}

#[allow(clippy::print_stdout)]
fn report(text: &str) {
    println!("{text}");
}

fn measure(bays: usize) -> Result<([f64; 7], usize, usize), String> {
    let (text, planted) = long_fuselage::model(bays);
    let runs = (300 / bays).clamp(3, 15);
    let mut samples: Vec<[f64; 7]> = Vec::new();
    let mut size = (0, 0);
    for _ in 0..runs {
        let begun = Instant::now();
        let document: Document = read(&text).map_err(|fault| fault.message)?;
        let was_read = begun.elapsed();
        let assembly = assemble(&document).map_err(|faults| format!("{faults:?}"))?;
        let assembled = begun.elapsed();
        let solved = assembly.solve().map_err(|fault| fault.message)?;
        let was_solved = begun.elapsed();
        let layout = solved.layout();
        let whole = begun.elapsed();
        let asked = Instant::now();
        let feature = format!("rod {}.aft_end", bays - 1);
        solved.why(&feature, None).map_err(|fault| fault.message)?;
        let why = asked.elapsed();
        let looked = Instant::now();
        std::hint::black_box(solved.clashes());
        let clashes = looked.elapsed();
        if layout.at_odds.len() != planted.at_odds || layout.spare.len() != planted.spare {
            return Err(format!(
                "planted {planted:?}; found {} at odds, {} spare",
                layout.at_odds.len(),
                layout.spare.len()
            ));
        }
        size = (layout.parts.len(), layout.solution.unknowns);
        let ms = |duration: std::time::Duration| duration.as_secs_f64() * 1e3;
        samples.push([
            ms(was_read),
            ms(assembled - was_read),
            ms(was_solved - assembled),
            ms(whole - was_solved),
            ms(why),
            ms(clashes),
            ms(whole),
        ]);
    }
    let median = std::array::from_fn(|stage| {
        let mut column: Vec<f64> = samples.iter().map(|sample| sample[stage]).collect();
        column.sort_by(f64::total_cmp);
        column[column.len() / 2]
    });
    Ok((median, size.0, size.1))
}
