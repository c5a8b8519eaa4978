//! `odds` as text: each contradiction as the two ways round its loop.

use strongback_model::document::Trust;
use strongback_model::odds::{Contradiction, Dropped, Drops, Member, Way};
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
        for drops in &answer.drops {
            text.push_str(&dropped(drops, answer.drops.len() == 1, answer.unit, width));
        }
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
        let told: Vec<String> = contradiction.with.iter().map(member_told).collect();
        text.push_str(&wrapped(
            &format!("The loop goes through: {}.", told.join(" → ")),
            width,
            2,
        ));
    }
    text.push('\n');
    text
}

/// `tail frame spacing (Spaced, S21, read from the web; measured: by tape on 3 March)`.
fn member_told(member: &Member) -> String {
    let mut told = vec![member.kind.clone()];
    told.extend(member.sheet.clone());
    told.extend(
        member
            .reading
            .iter()
            .map(|reading| format!("read {reading}")),
    );
    let mut told = told.join(", ");
    let reason = member.because.as_deref();
    if member.trust != Trust::Plain || reason.is_some() {
        told.push_str("; ");
        told.push_str(word(member.trust));
        told.push_str(&because(reason));
    }
    format!("{} ({told})", member.statement)
}

fn because(reason: Option<&str>) -> String {
    reason.map_or_else(String::new, |reason| format!(": {reason}"))
}

/// Why this one gave way and not another.
fn gave_way(contradiction: &Contradiction) -> String {
    let less = contradiction
        .with
        .iter()
        .all(|member| member.trust < contradiction.trust);
    let reading = contradiction.reading.iter();
    let reading: String = reading.map(|reading| format!("read {reading}, ")).collect();
    let reason = contradiction.because.iter();
    let reason: String = reason.map(|reason| format!(" ({reason})")).collect();
    let word = format!("{reading}{}{reason}", word(contradiction.trust));
    if contradiction.with.is_empty() {
        format!(
            "It is {word}, and stands against positions and sizes alone, which no statement moves."
        )
    } else if less {
        format!("It gave way, being {word}: all others of the loop are trusted more.")
    } else {
        format!(
            "It is {word}, like others of the loop, and gave way as the last of them in the file."
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
        // the miss is told without its sign
        let rate = if contradiction.miss < 0.0 {
            -rate
        } else {
            rate
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

/// What ends the contradictions of one group.
fn dropped(drops: &Drops, alone: bool, unit: Unit, width: usize) -> String {
    /// More sets than this are counted and not shown.
    const SHOWN: usize = 8;
    let of = if alone {
        String::new()
    } else {
        format!("For {}: ", drops.contradictions.join(" and "))
    };
    let is_told = |set: &&Vec<Dropped>| set.iter().all(|one| one.becomes.is_none());
    let (statements, figures): (Vec<&Vec<Dropped>>, Vec<&Vec<Dropped>>) =
        drops.sets.iter().partition(is_told);
    let listed = |sets: &[&Vec<Dropped>], lead: &str| {
        if sets.is_empty() {
            return String::new();
        }
        let shown = sets.iter().take(SHOWN).map(|set| {
            let told: Vec<String> = set.iter().map(|one| dropped_one(one, unit)).collect();
            told.join(" and ")
        });
        let shown: Vec<String> = shown.collect();
        let more = match sets.len().saturating_sub(SHOWN) {
            0 => String::new(),
            n => format!("; or {n} more"),
        };
        format!("{lead} {}{more}", shown.join("; or "))
    };
    let without = listed(&statements, "without");
    let instead = listed(&figures, "with");
    let ways: Vec<String> = [without, instead]
        .into_iter()
        .filter(|list| !list.is_empty())
        .collect();
    let mut text = String::new();
    if !ways.is_empty() {
        let told = format!(
            "the rest holds, and nothing comes loose, {}.",
            ways.join("; or ")
        );
        text.push_str(&wrapped(&sentence(&of, &told), width, 2));
    }
    if drops.sets.is_empty() {
        let told =
            "no set of up to three can be dropped so that the rest holds and nothing comes loose.";
        text.push_str(&wrapped(&sentence(&of, told), width, 2));
    }
    if !drops.complete {
        text.push_str(&wrapped(
            "The search was cut: there may be other sets of up to three.",
            width,
            2,
        ));
    }
    text.push('\n');
    text
}

fn dropped_one(one: &Dropped, unit: Unit) -> String {
    match one.becomes {
        Some(value) => format!("{} = {}", one.name, figures::value(value, one.angle, unit)),
        None => one.name.clone(),
    }
}

/// A line that begins a sentence unless something stands before it.
fn sentence(before: &str, line: &str) -> String {
    if !before.is_empty() {
        return format!("{before}{line}");
    }
    let mut letters = line.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn sheet(sheet: Option<&str>) -> String {
    sheet.map_or(String::new(), |sheet| format!(" ({sheet})"))
}
