//! The generated long fuselages, stage by stage, and how the cost grows with their length.
//!
//! `cargo bench --bench long_fuselage` measures every family (a chain, one large block, both in equal parts) at 10, 100 and 1,000
//! bays; `-- loop 10 10000` one of them, and other lengths. For each there are three tables: the whole pipeline, the solver
//! alone, and a fuselage in which much is amiss; the words `pipeline`, `solver` and `amiss` choose among them.
//!
//! Times are milliseconds: the median of several runs and, in brackets, the least of them, which other work on the machine
//! disturbs less. Between two columns stands the exponent e of its growth: time ∝ bays^e. Rank is found and verdicts are given
//! within the solution, which has no seam there; structure is what matching, Dulmage–Mendelsohn and the order of blocks take on
//! the pattern of all equations. Counting what is allocated adds a little to all.

#[path = "long_fuselage/changes.rs"]
mod changes;
#[path = "long_fuselage/diagnosis.rs"]
mod diagnosis;
#[path = "../long_fuselage/mod.rs"]
mod long_fuselage;
#[path = "long_fuselage/pipeline.rs"]
mod pipeline;
#[path = "long_fuselage/samples.rs"]
mod samples;
#[path = "long_fuselage/solver.rs"]
mod solver;
#[path = "long_fuselage/table.rs"]
mod table;
#[path = "long_fuselage/timed.rs"]
mod timed;

use long_fuselage::Family;
use peak_alloc::PeakAlloc;
use table::{Column, table};

/// Counts what is allocated at the most.
#[global_allocator]
static PEAK: PeakAlloc = PeakAlloc;

/// A table of a family at some lengths: the word by which it is asked for, its title, and what measures a column.
type Table = (
    &'static str,
    &'static str,
    fn(Family, usize) -> Result<Column, String>,
);

const TABLES: [Table; 3] = [
    ("pipeline", "the whole pipeline", pipeline::pipeline),
    ("solver", "the solver alone", solver::solver),
    ("amiss", "every fifth bay amiss", diagnosis::diagnosis),
];

fn main() -> Result<(), String> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let families = Family::ALL
        .into_iter()
        .filter(|family| words.contains(&family.to_string()));
    let mut families: Vec<Family> = families.collect();
    if families.is_empty() {
        families = Family::ALL.to_vec();
    }
    let asked = |table: &&Table| words.iter().any(|word| word == table.0);
    let mut tables: Vec<&Table> = TABLES.iter().filter(asked).collect();
    if tables.is_empty() {
        tables = TABLES.iter().collect();
    }
    let lengths = words.iter().filter_map(|word| word.parse().ok());
    let mut lengths: Vec<usize> = lengths.filter(|bays| *bays > 0).collect();
    if lengths.is_empty() {
        lengths = vec![10, 100, 1000];
    }
    // `cargo test --benches` only asks whether it runs
    if words.iter().any(|word| word == "--test") {
        lengths = vec![3];
    }
    for family in families {
        for (_, title, measure) in &tables {
            let columns = lengths.iter().map(|bays| measure(family, *bays));
            let columns = columns.collect::<Result<Vec<Column>, String>>()?;
            report(&table(&format!("{family}: {title}"), &columns));
        }
    }
    Ok(())
}

#[allow(clippy::print_stdout)]
fn report(text: &str) {
    println!("{text}");
}
