//! Statements at odds, in short: the miss, what each stands against by kind, and what to look up next; and those that are spare.

use strongback_model::layout::{Against, AgainstKind, AtOdds, Spare, Worse};
use strongback_model::quantity::Unit;

use super::figures;
use super::table::{indented, wrapped};

/// One in a few words, with what it was before where it is worse.
fn head(
    name: &str,
    on: Option<&str>,
    miss: f64,
    angle: bool,
    was: Option<Option<f64>>,
    unit: Unit,
) -> String {
    let show = |miss: f64| figures::value(miss.abs(), angle, unit);
    let was = match was {
        None => String::new(),
        Some(None) => ", and agreed before".to_owned(),
        Some(Some(was)) => format!(", {} before", show(was)),
    };
    format!(
        "At odds: {name}{} misses by {}{was}.",
        figures::sheet(on),
        show(miss)
    )
}

/// Those that a change brings or makes worse, in a line each.
pub(crate) fn worse(list: &[Worse], unit: Unit, width: usize) -> String {
    let told = list.iter().map(|one| {
        let on = one.sheet.as_deref();
        let told = head(&one.statement, on, one.to, one.angle, Some(one.from), unit);
        wrapped(&told, width, 2)
    });
    told.collect()
}

/// All of them, those that a change made worse with what they missed by before, and once what to do about it.
pub(crate) fn text(list: &[AtOdds], worse: &[Worse], unit: Unit, width: usize) -> String {
    let mut text = String::new();
    for odd in list {
        let was = worse.iter().find(|one| one.statement == odd.statement);
        let on = odd.sheet.as_deref();
        let was = was.map(|was| was.from);
        let told = head(&odd.statement, on, odd.miss, odd.angle, was, unit);
        text.push_str(&wrapped(&told, width, 2));
        text.push_str(&against(&odd.against, width));
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
fn against(list: &[Against], width: usize) -> String {
    let line = |kind: &str, is: AgainstKind| {
        let told: Vec<String> = list
            .iter()
            .filter(|one| one.is == is)
            .map(|one| format!("{}{}", one.name, figures::sheet(one.sheet.as_deref())))
            .collect();
        if told.is_empty() {
            return String::new();
        }
        indented(&format!("{kind}: {}.", told.join("; ")), width)
    };
    if list.is_empty() {
        return "  It stands against what is stated of turns and positions.\n".to_owned();
    }
    [
        line("against the statements", AgainstKind::Statement),
        line("against the dimensions", AgainstKind::Dimension),
        line("against the sizes and places", AgainstKind::OfPart),
    ]
    .concat()
}

/// Statements that agree with others.
pub(super) fn spare(list: &[Spare], unit: Unit, width: usize) -> String {
    let told: Vec<String> = list
        .iter()
        .map(|spare| {
            let name = &spare.statement;
            if spare.off == 0.0 {
                name.clone()
            } else {
                let off = figures::value(spare.off.abs(), spare.angle, unit);
                format!("{name} ({off} off, within its tolerance)")
            }
        })
        .collect();
    if told.is_empty() {
        return String::new();
    }
    let told = format!("Spare, since others say the same: {}.", told.join("; "));
    wrapped(&told, width, 2) + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;
    use strongback_model::document::Trust;

    #[test]
    fn kinds_stand_apart_and_the_next_step_is_told_once() {
        let one = |name: &str, sheet: Option<&str>, is| Against {
            name: name.to_owned(),
            sheet: sheet.map(str::to_owned),
            is,
        };
        let odd = AtOdds {
            statement: "floor ends".to_owned(),
            trust: Trust::Plain,
            sheet: Some("S2".to_owned()),
            miss: -12.7,
            angle: false,
            against: vec![
                one("frame thickness", None, AgainstKind::OfPart),
                one("bay spacing", None, AgainstKind::Statement),
                one("bay", Some("S1"), AgainstKind::Dimension),
                one("frame on rail", None, AgainstKind::Statement),
            ],
        };
        let told = text(&[odd.clone(), odd.clone()], &[], Unit::Inch, 100);
        assert!(told.starts_with(
            "At odds: floor ends (S2) misses by 1/2 in.\n  against the statements: bay spacing; frame on rail.\n  \
             against the dimensions: bay (S1).\n  against the sizes and places: frame thickness.\n"
        ), "{told}");
        assert_eq!(told.matches("trust: Measured").count(), 1);

        // a quarter before, a half now; with a change that brings it, it agreed before
        let mut before = odd.clone();
        before.miss = 6.35;
        let list = Worse::of(&[before], std::slice::from_ref(&odd));
        let told = text(std::slice::from_ref(&odd), &list, Unit::Inch, 100);
        assert!(
            told.starts_with("At odds: floor ends (S2) misses by 1/2 in, 1/4 in before.\n"),
            "{told}"
        );
        let told = super::worse(&Worse::of(&[], &[odd]), Unit::Inch, 100);
        assert_eq!(
            told,
            "At odds: floor ends (S2) misses by 1/2 in, and agreed before.\n"
        );
    }
}
