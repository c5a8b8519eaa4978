//! Tables of a bench. In: a column for each length. Out: text, a row for each stage, with the exponent of growth of the least
//! times between columns.

use std::fmt::Write;
use std::time::Duration;

use super::timed::Time;

/// What was measured at one length.
pub(crate) struct Column {
    pub(crate) bays: usize,
    /// Sizes, in the order in which they are told.
    pub(crate) facts: Vec<(&'static str, usize)>,
    pub(crate) times: Vec<(&'static str, Time)>,
}

/// Width of a figure, and of an exponent before it.
const FIGURE: usize = 21;
const EXPONENT: usize = 7;

/// The table under its title.
pub(crate) fn table(title: &str, columns: &[Column]) -> String {
    let mut text = format!("{title}\n");
    let Some(first) = columns.first() else {
        return text;
    };
    let widest = columns
        .iter()
        .flat_map(|column| {
            let facts = column.facts.iter().map(|(name, _)| name.len());
            facts.chain(column.times.iter().map(|(name, _)| name.len()))
        })
        .max()
        .unwrap_or(0);
    let mut row = |name: &str, cell: &dyn Fn(&Column) -> Option<Cell>| {
        let mut line = format!("  {name:<widest$}");
        let mut before: Option<(usize, f64)> = None;
        for column in columns {
            let found = cell(column);
            let (told, size) = match found {
                Some(Cell { told, size }) => (told, size),
                None => ("-".to_owned(), 0.0),
            };
            let grown = before.filter(|(_, old)| *old > 0.0 && size > 0.0);
            let exponent = grown
                .map(|(bays, old)| (size / old).ln() / (column.bays as f64 / bays as f64).ln());
            // the first column has nothing before it
            if column.bays != first.bays {
                let _ = match exponent {
                    Some(exponent) => write!(line, "{exponent:>EXPONENT$.2}"),
                    None => write!(line, "{:>EXPONENT$}", ""),
                };
            }
            let _ = write!(line, "{told:>FIGURE$}");
            before = (size > 0.0).then_some((column.bays, size));
        }
        let _ = writeln!(text, "{}", line.trim_end());
    };
    row("bays", &|column| Some(Cell::bare(column.bays)));
    for (name, _) in &first.facts {
        row(name, &|column| {
            let (_, value) = column.facts.iter().find(|(other, _)| other == name)?;
            Some(Cell::bare(*value))
        });
    }
    let mut stages: Vec<&str> = Vec::new();
    for (name, _) in columns.iter().flat_map(|column| &column.times) {
        if !stages.contains(name) {
            stages.push(name);
        }
    }
    for name in stages {
        row(name, &|column| {
            let (_, time) = column.times.iter().find(|(other, _)| *other == name)?;
            Some(Cell::of_time(*time))
        });
    }
    text
}

/// A figure as it is told, and its size; none that grows where it is nothing.
struct Cell {
    told: String,
    size: f64,
}

impl Cell {
    fn bare(value: usize) -> Cell {
        Cell {
            told: thousands(value),
            size: 0.0,
        }
    }

    fn of_time(time: Time) -> Cell {
        let told = if time.projected {
            format!("about {}", milliseconds(time.median))
        } else {
            format!(
                "{} ({})",
                milliseconds(time.median),
                milliseconds(time.least)
            )
        };
        Cell {
            told,
            size: time.least.as_secs_f64(),
        }
    }
}

/// Milliseconds to three figures.
fn milliseconds(time: Duration) -> String {
    let ms = time.as_secs_f64() * 1e3;
    match ms {
        ms if ms < 0.1 => format!("{ms:.4}"),
        ms if ms < 1.0 => format!("{ms:.3}"),
        ms if ms < 10.0 => format!("{ms:.2}"),
        ms if ms < 100.0 => format!("{ms:.1}"),
        ms => thousands(ms.round() as usize),
    }
}

/// Digits in groups of three.
fn thousands(value: usize) -> String {
    let digits = value.to_string();
    let mut told = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            told.push(',');
        }
        told.push(digit);
    }
    told
}
