//! `odds` as text: each contradiction as the two ways round its loop.

use strongback_model::document::Trust;
use strongback_model::odds::{Contradiction, Way};
use strongback_model::quantity::Unit;
use strongback_model::why::Leg;

use super::figures;
use super::table::{Stands, table, wrapped};
use crate::command::OddsAnswer;

/// The whole answer.
pub fn text(answer: &OddsAnswer, width: usize) -> String {
    let mut text = wrapped(&head(answer), width, 0);
    text.push('\n');
    for contradiction in &answer.contradictions {
        text.push_str(&one(contradiction, answer.unit, width));
    }
    if !answer.contradictions.is_empty() {
        text.push_str(&dropped(answer, width));
        text.push_str(&wrapped(
            "Look the figures up on their sheets and measure what can be measured before anything is cut. Which of two \
             gives way is yours to say: `trust: Measured` or `trust: Doubtful` beside a statement or a dimension.",
            width,
            0,
        ));
        text.push('\n');
    }
    if !answer.spare.is_empty() {
        let names: Vec<&str> = answer
            .spare
            .iter()
            .map(|spare| spare.statement.as_str())
            .collect();
        text.push_str(&wrapped(
            &format!("Spare, since others say the same: {}.", names.join("; ")),
            width,
            2,
        ));
        text.push('\n');
    }
    text.push_str(&wrapped(&answer.caution, width, 0));
    text
}

fn head(answer: &OddsAnswer) -> String {
    let mut head = match answer.contradictions.len() {
        0 => "No statements at odds".to_owned(),
        n => format!("{} at odds", figures::count(n, "statement", "statements")),
    };
    if !answer.waiting.is_empty() {
        let names: Vec<&str> = answer
            .waiting
            .iter()
            .map(|one| one.statement.as_str())
            .collect();
        head.push_str(&format!(
            "; not to be judged while something is loose: {}",
            names.join(", ")
        ));
    }
    head + "."
}

fn one(contradiction: &Contradiction, unit: Unit, width: usize) -> String {
    let miss = figures::value(contradiction.miss.abs(), contradiction.angle, unit);
    let mut text = wrapped(
        &format!(
            "{}{} misses by {miss}. {}",
            contradiction.statement,
            sheet(contradiction.sheet.as_deref()),
            gave_way(contradiction)
        ),
        width,
        2,
    );
    let [own, other] = &contradiction.ways;
    let has_legs = !own.legs.is_empty() || !other.legs.is_empty();
    if has_legs && !contradiction.angle {
        text.push_str(&ways(own, other, contradiction, unit, width));
    }
    if !contradiction.turning.is_empty() {
        text.push_str(&turning(contradiction, unit, width));
    }
    if !contradiction.with.is_empty() {
        let told: Vec<String> = contradiction
            .with
            .iter()
            .map(|member| {
                let sheet = member.sheet.as_ref();
                let sheet = sheet.map_or(String::new(), |sheet| format!(", {sheet}"));
                format!("{} ({}{sheet})", member.statement, member.kind)
            })
            .collect();
        text.push_str(&wrapped(
            &format!("The loop goes through: {}.", told.join(" → ")),
            width,
            2,
        ));
    }
    text.push('\n');
    text
}

/// Why this one gave way and not another.
fn gave_way(contradiction: &Contradiction) -> String {
    let less = contradiction
        .with
        .iter()
        .all(|member| member.trust < contradiction.trust);
    let word = word(contradiction.trust);
    if contradiction.with.is_empty() {
        format!(
            "It is {word}, and stands against positions and sizes alone, which no statement moves."
        )
    } else if less {
        format!("It gave way as {word}: all others of the loop are trusted more.")
    } else {
        format!(
            "It is {word} like others of the loop, and gave way as the last of them in the file."
        )
    }
}

fn word(trust: Trust) -> &'static str {
    match trust {
        Trust::Measured => "measured",
        Trust::Adopted => "adopted",
        Trust::Plain => "plain",
        Trust::Doubtful => "doubtful",
    }
}

fn ways(own: &Way, other: &Way, contradiction: &Contradiction, unit: Unit, width: usize) -> String {
    let rows = |way: &Way, name: &str| {
        let mut rows: Vec<Vec<String>> = way
            .legs
            .iter()
            .enumerate()
            .map(|(at, leg)| {
                let way = if at == 0 { name } else { "" };
                vec![
                    way.to_owned(),
                    leg.name.clone(),
                    figures::value(leg.value, leg.angle, unit),
                    figures::length(leg.adds_mm.abs(), unit),
                    leg.sheet.clone().unwrap_or_default(),
                ]
            })
            .collect();
        rows.push(vec![
            if rows.is_empty() { name } else { "" }.to_owned(),
            "together".to_owned(),
            String::new(),
            figures::length(way.sum_mm, unit),
            String::new(),
        ]);
        rows
    };
    let mut all = rows(own, "one way round");
    all.extend(rows(other, "the other way"));
    let mut text = table(
        &[
            ("", Stands::Left),
            ("figure", Stands::Left),
            ("is", Stands::Right),
            ("counts", Stands::Right),
            ("sheet", Stands::Left),
        ],
        all,
        width,
    );
    if !contradiction.adds_up {
        text.push_str(&wrapped(
            "The two sums differ by the linear part of the miss; the rest comes from turned parts.",
            width,
            2,
        ));
    }
    text
}

fn turning(contradiction: &Contradiction, unit: Unit, width: usize) -> String {
    let rate = |leg: &Leg| {
        let per = if leg.angle { "deg" } else { unit.symbol() };
        let rate = if contradiction.angle && !leg.angle {
            leg.factor * unit.mm()
        } else if !contradiction.angle && leg.angle {
            leg.factor / unit.mm()
        } else {
            leg.factor
        };
        let of = if contradiction.angle {
            "deg"
        } else {
            unit.symbol()
        };
        format!("{rate:+.4} {of}/{per}")
    };
    let rows = contradiction.turning.iter().map(|leg| {
        vec![
            leg.name.clone(),
            figures::value(leg.value, leg.angle, unit),
            rate(leg),
            leg.sheet.clone().unwrap_or_default(),
        ]
    });
    table(
        &[
            ("turns it", Stands::Left),
            ("is", Stands::Right),
            ("changes the miss by", Stands::Right),
            ("sheet", Stands::Left),
        ],
        rows,
        width,
    )
}

fn dropped(answer: &OddsAnswer, width: usize) -> String {
    /// More sets than this are counted and not shown.
    const SHOWN: usize = 8;
    let mut text = if answer.drops.sets.is_empty() {
        wrapped(
            "No set of up to three statements can be dropped so that the rest holds and nothing comes loose.",
            width,
            2,
        )
    } else {
        let sets: Vec<String> = answer
            .drops
            .sets
            .iter()
            .take(SHOWN)
            .map(|set| set.join(" and "))
            .collect();
        let more = match answer.drops.sets.len().saturating_sub(SHOWN) {
            0 => String::new(),
            n => format!("; or {n} more"),
        };
        wrapped(
            &format!(
                "The rest holds, and nothing comes loose, without: {}{more}.",
                sets.join("; or ")
            ),
            width,
            2,
        )
    };
    if !answer.drops.complete {
        text.push_str(&wrapped(
            "The search was cut: there may be other sets of up to three.",
            width,
            2,
        ));
    }
    text.push('\n');
    text
}

fn sheet(sheet: Option<&str>) -> String {
    sheet.map_or(String::new(), |sheet| format!(" ({sheet})"))
}
