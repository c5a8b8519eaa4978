//! Other layouts close by, as remarks: what they differ in, and how to have them. In: the neighbours of a layout. Out: text;
//! nothing where there are none.

use strongback_model::neighbours::{DeadCentre, Neighbours, OtherFigure, OtherLayout};
use strongback_model::quantity::Unit;

use super::figures;
use super::table::wrapped;

/// All remarks, each a paragraph of its own.
pub fn text(neighbours: &Neighbours, unit: Unit, width: usize) -> String {
    let others = neighbours.others.iter().map(|one| other(one, unit));
    let unsearched = Some(neighbours.unsearched).filter(|groups| *groups > 0);
    others
        .chain(neighbours.dead_centres.iter().map(dead_centre))
        .chain(unsearched.map(not_searched))
        .map(|told| wrapped(&told, width, 2) + "\n")
        .collect()
}

fn other(other: &OtherLayout, unit: Unit) -> String {
    /// Figures that are told; the rest is counted.
    const TOLD: usize = 4;
    let shown = other.figures.iter().take(TOLD);
    let mut told: Vec<String> = shown.map(|one| figure(one, unit)).collect();
    if let Some(more @ 1..) = other.figures.len().checked_sub(TOLD) {
        told.push(format!(
            "and {} more",
            figures::count(more, "figure", "figures")
        ));
    }
    let shown = if other.is_farther {
        "The one nearer to the figures drawn is shown"
    } else {
        "The search came to the one shown first"
    };
    let starts: Vec<String> = other
        .starts
        .iter()
        .map(|start| format!("{} as `{}`", start.name, start.stated))
        .collect();
    format!(
        "Another layout keeps the same statements: {}. {shown}; to have the other one, state a start: {}.",
        told.join(", "),
        starts.join(", ")
    )
}

fn figure(figure: &OtherFigure, unit: Unit) -> String {
    let value = |value| figures::value(value, figure.angle, unit);
    format!(
        "{} {} instead of {}",
        figure.name,
        value(figure.other),
        value(figure.found)
    )
}

fn dead_centre(dead: &DeadCentre) -> String {
    format!(
        "At a dead centre, where two layouts meet: {}. A small change of a figure moves it far, or leaves no layout.",
        dead.figures.join(", ")
    )
}

fn not_searched(groups: usize) -> String {
    format!(
        "Not looked for: other layouts of {} of turned parts, which are too many, or too large.",
        figures::count(groups, "group", "groups")
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use strongback_model::neighbours::Start;

    fn figure(name: &str, angle: bool, found: f64, other: f64) -> OtherFigure {
        OtherFigure {
            name: name.to_owned(),
            angle,
            found,
            other,
            difference: other - found,
            drawn: 0.0,
        }
    }

    fn neighbours(figures: Vec<OtherFigure>) -> Neighbours {
        Neighbours {
            others: vec![OtherLayout {
                parts: vec!["strut".to_owned()],
                figures,
                is_farther: true,
                starts: vec![Start {
                    name: "strut.pitch".to_owned(),
                    stated: "Find(near: \"12.3 deg\")".to_owned(),
                }],
            }],
            ..Neighbours::default()
        }
    }

    #[test]
    fn another_layout_is_told_with_its_figures_and_its_start() {
        let two = vec![
            figure("strut pitch", true, 3.1, 12.3),
            figure("strut fs", false, 508.0, 508.0 + 6.35),
        ];
        assert_eq!(
            text(&neighbours(two), Unit::Inch, 1000),
            "Another layout keeps the same statements: strut pitch 12.3 deg instead of 3.1 deg, strut fs 20 1/4 in instead of \
             20 in. The one nearer to the figures drawn is shown; to have the other one, state a start: strut.pitch as \
             `Find(near: \"12.3 deg\")`.\n\n"
        );
    }

    #[test]
    fn of_many_figures_the_first_are_told_and_the_rest_counted() {
        let mut many = neighbours(vec![figure("strut pitch", true, 3.1, 12.3); 6]);
        many.others[0].is_farther = false;
        let told = text(&many, Unit::Inch, 1000);
        assert!(told.contains("deg, and 2 figures more."), "{told}");
        assert!(
            told.contains("The search came to the one shown first;"),
            "{told}"
        );
    }

    #[test]
    fn dead_centres_and_what_was_not_searched_are_told_and_nothing_else_is() {
        let told = text(
            &Neighbours {
                dead_centres: vec![DeadCentre {
                    figures: vec!["crank pitch".to_owned()],
                }],
                unsearched: 2,
                ..Neighbours::default()
            },
            Unit::Inch,
            1000,
        );
        assert!(told.contains("two layouts meet: crank pitch."), "{told}");
        assert!(told.contains("2 groups of turned parts"), "{told}");
        assert_eq!(text(&Neighbours::default(), Unit::Inch, 100), "");
    }
}
