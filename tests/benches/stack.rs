//! 100,000 samples of must-fits on the generated chain of 100 bays: `cargo bench --bench stack` prints what they take. One
//! must-fit is a sum of all spacings; the other rests on a longeron whose pitch is solved for each sample.

#[path = "../long_fuselage/mod.rs"]
mod long_fuselage;

use std::time::Instant;

use long_fuselage::Family;
use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::source::read;
use strongback_model::stack::{Sampling, Spread};

fn main() -> Result<(), String> {
    // a test only asks whether it runs
    let (bays, samples) = if std::env::args().any(|word| word == "--bench") {
        (100, 100_000)
    } else {
        (3, 1000)
    };
    let document: Document = read(&model(bays)).map_err(|fault| fault.message)?;
    let assembly = assemble(&document).map_err(|faults| format!("{faults:?}"))?;
    let solved = assembly.solve().map_err(|fault| fault.message)?;
    for must_fit in ["length", "longeron"] {
        let begun = Instant::now();
        let sampling = Sampling {
            samples,
            seed: 1,
            spread: Spread::Normal,
        };
        let stacks = solved
            .stack(must_fit, sampling)
            .map_err(|fault| fault.message)?;
        let stack = stacks.first().ok_or("no stack")?;
        let measure = stack.measures.first().ok_or("not stacked")?;
        let sampled = measure.sampled.as_ref().ok_or("nothing sampled")?;
        report(&format!(
            "{must_fit:>9}: {bays} bays, {samples} samples, {} sources, {:.0} ms; standard deviation {:.4} mm, linear {:.4} mm",
            measure.shares.len(),
            begun.elapsed().as_secs_f64() * 1e3,
            sampled.sd,
            measure.rss / 3.0
        ));
    }
    Ok(())
}

#[allow(clippy::print_stdout)]
fn report(text: &str) {
    println!("{text}");
}

/// The chain with a tolerance of its own for each spacing, and one for all cut sizes.
fn model(bays: usize) -> String {
    let (text, _) = long_fuselage::model(Family::Chain, bays);
    let spacing = r#"by: "11.25 in"),"#;
    let mut lines: Vec<String> = Vec::new();
    for line in text.lines() {
        let stated = line.split_once(": Spaced(");
        lines.push(match stated.filter(|(_, rest)| rest.ends_with(spacing)) {
            Some((name, rest)) => {
                let rest = rest.trim_end_matches(',');
                format!("{name}: (is: Spaced({rest}, within: \"1/32 in\"),")
            }
            None => line.to_owned(),
        });
    }
    let last = bays - 1;
    let must_fit = format!(
        r#"must_fit: {{
            "length": Between(from: "datum.station", to: "rod {last}.aft_end", at_least: 1),
            "longeron": Between(from: "datum.waterline", to: "longeron {last} R.top", at_least: 1),
        }},
        within: "1/64 in","#
    );
    let text = lines.join("\n");
    let end = text.trim_end().trim_end_matches(')');
    format!("{end}{must_fit}\n)\n")
}
