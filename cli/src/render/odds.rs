//! Statements at odds, in short: the miss, what each stands against by kind, and what to look up next.

use strongback_model::layout::{Against, AtOdds, Layout};
use strongback_model::quantity::Unit;

use super::figures;
use super::table::wrapped;

/// The names by which a figure is told from a statement.
#[derive(Clone, Debug, Default)]
pub struct Names {
    dimensions: Vec<String>,
    parts: Vec<String>,
}

impl Names {
    /// Those of a layout.
    pub fn of(layout: &Layout) -> Names {
        Names {
            dimensions: layout
                .dimensions
                .iter()
                .map(|one| one.name.clone())
                .collect(),
            parts: layout.parts.iter().map(|one| one.name.clone()).collect(),
        }
    }

    fn is_dimension(&self, name: &str) -> bool {
        self.dimensions.iter().any(|own| own == name)
    }

    /// Whether a name is that of a part with more behind it, as sizes and stated coordinates are told.
    fn is_of_a_part(&self, name: &str) -> bool {
        self.parts.iter().any(|part| {
            let rest = name.strip_prefix(part.as_str());
            rest.is_some_and(|rest| rest.starts_with(' '))
        })
    }
}

/// All of them, and once what to do about it.
pub(super) fn text(list: &[AtOdds], names: &Names, unit: Unit, width: usize) -> String {
    let mut text = String::new();
    for odd in list {
        let told = format!(
            "At odds: {}{} misses by {}.",
            odd.statement,
            sheet(odd.sheet.as_deref()),
            figures::value(odd.miss.abs(), odd.angle, unit),
        );
        text.push_str(&wrapped(&told, width, 2));
        text.push_str(&against(&odd.against, names, width));
    }
    if !list.is_empty() {
        let next = "`strongback odds` tells each as the two ways round a loop. Look these up on their sheets and measure what can be measured. Which of two gives way is yours to \
                    say: `trust: Measured` or `trust: Doubtful` beside a statement or a dimension.";
        text.push_str(&wrapped(next, width, 0));
        text.push('\n');
    }
    text
}

/// What one stands against, a line for each kind of thing.
fn against(list: &[Against], names: &Names, width: usize) -> String {
    let (dimensions, rest): (Vec<_>, Vec<_>) =
        list.iter().partition(|one| names.is_dimension(&one.name));
    let (sizes, statements): (Vec<_>, Vec<_>) = rest
        .into_iter()
        .partition(|one| names.is_of_a_part(&one.name));
    let line = |kind: &str, list: &[&Against]| {
        if list.is_empty() {
            return String::new();
        }
        let told: Vec<String> = list
            .iter()
            .map(|one| format!("{}{}", one.name, sheet(one.sheet.as_deref())))
            .collect();
        let told = format!("{kind}: {}.", told.join("; "));
        format!("  {}", wrapped(&told, width.saturating_sub(2), 4))
    };
    if list.is_empty() {
        return "  It stands against what is stated of turns and positions.\n".to_owned();
    }
    [
        line("against the statements", &statements),
        line("against the dimensions", &dimensions),
        line("against the sizes and places", &sizes),
    ]
    .concat()
}

fn sheet(sheet: Option<&str>) -> String {
    sheet.map_or_else(String::new, |sheet| format!(" ({sheet})"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use strongback_model::document::Trust;

    #[test]
    fn kinds_stand_apart_and_the_next_step_is_told_once() {
        let names = Names {
            dimensions: vec!["bay".to_owned()],
            parts: vec!["frame".to_owned()],
        };
        let one = |name: &str, sheet: Option<&str>| Against {
            name: name.to_owned(),
            sheet: sheet.map(str::to_owned),
        };
        let odd = AtOdds {
            statement: "floor ends".to_owned(),
            trust: Trust::Plain,
            sheet: Some("S2".to_owned()),
            miss: -12.7,
            angle: false,
            against: vec![
                one("frame thickness", None),
                one("bay spacing", None),
                one("bay", Some("S1")),
                one("frame on rail", None),
            ],
        };
        let told = text(&[odd.clone(), odd], &names, Unit::Inch, 100);
        assert!(told.starts_with(
            "At odds: floor ends (S2) misses by 1/2 in.\n  against the statements: bay spacing.\n  \
             against the dimensions: bay (S1).\n  against the sizes and places: frame thickness; frame on rail.\n"
        ), "{told}");
        assert_eq!(told.matches("trust: Measured").count(), 1);
    }
}
