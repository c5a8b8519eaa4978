//! Contradictions that a change brings or makes worse. In: what is at odds before and after. Out: the statements that miss by more.

use schemars::JsonSchema;
use serde::Serialize;

use super::AtOdds;
use crate::recut::WORKED_MM;

/// A statement that misses by more than it did.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Worse {
    /// The statement.
    pub statement: String,
    /// The sheet it stands on.
    pub sheet: Option<String>,
    /// Whether the miss is an angle.
    pub angle: bool,
    /// By how much it missed: millimetres, or degrees for an angle; none if it was not at odds.
    pub from: Option<f64>,
    /// By how much it misses then.
    pub to: f64,
}

/// A miss that grows by less than this, in degrees, is none.
const LITTLE_DEG: f64 = 1e-3;

impl Worse {
    /// Those of the second list that miss by more than in the first one, or are not in it.
    pub fn of(before: &[AtOdds], after: &[AtOdds]) -> Vec<Worse> {
        let all = after.iter().map(|odd| {
            let was = before.iter().find(|was| was.statement == odd.statement);
            Worse {
                statement: odd.statement.clone(),
                sheet: odd.sheet.clone(),
                angle: odd.angle,
                from: was.map(|was| was.miss.abs()),
                to: odd.miss.abs(),
            }
        });
        all.filter(|one| {
            let little = if one.angle { LITTLE_DEG } else { WORKED_MM };
            one.from.is_none_or(|from| one.to > from + little)
        })
        .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::Trust;

    fn odd(statement: &str, miss: f64) -> AtOdds {
        AtOdds {
            statement: statement.to_owned(),
            trust: Trust::Plain,
            sheet: None,
            miss,
            angle: false,
            against: Vec::new(),
        }
    }

    #[test]
    fn what_is_new_or_misses_by_more_is_worse() {
        let before = [odd("a", -1.0), odd("b", 1.0), odd("c", 2.0)];
        let after = [
            odd("a", -3.0),
            odd("b", -1.005),
            odd("c", 1.0),
            odd("d", 0.5),
        ];
        let worse = Worse::of(&before, &after);
        let told: Vec<_> = worse
            .iter()
            .map(|one| (one.statement.as_str(), one.from, one.to))
            .collect();
        assert_eq!(told, [("a", Some(1.0), 3.0), ("d", None, 0.5)]);
    }
}
