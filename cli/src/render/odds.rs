//! `odds` as text: each contradiction as the two ways round its loop.

use strongback_model::document::Trust;
use strongback_model::odds::{Contradiction, Dropped, Drops, Member, Way};
use strongback_model::quantity::Unit;
use strongback_model::why::Leg;

use super::at_odds;
use super::figures;
use super::table::{Stands, table, wrapped};
use crate::command::OddsAnswer;

/// What misses where two faces that a distance or a plane joins are turned against each other.
const PARALLEL: &str = "parallel";
/// The way out of it.
const NOT_PARALLEL: &str = "Between faces it also wants these parallel, and as they are turned they are not. To say only how far off the one lies, \
     measure to a hole of it (`holes`), or to another point or line; `Reaches` and `Touches` hold the middle of a face and say nothing \
     of turns.";

/// The whole answer.
pub fn text(answer: &OddsAnswer, width: usize) -> String {
    let mut text = wrapped(&head(answer), width, 0);
    text.push('\n');
    for contradiction in &answer.contradictions {
        text.push_str(&one(contradiction, answer.unit, width));
    }
    if !answer.otherwise.is_empty() {
        let told = format!(
            "Understood in one of several ways: {}. `strongback readings` tries the others against every must-fit.",
            answer.otherwise.join("; ")
        );
        text.push_str(&wrapped(&told, width, 2));
        text.push('\n');
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
    text.push_str(&at_odds::spare(&answer.spare, answer.unit, width));
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
            "; waiting, as something is loose: {}",
            names.join(", ")
        ));
    }
    head + "."
}

/// One contradiction: what misses, the two ways round, and what they go through.
pub(crate) fn one(contradiction: &Contradiction, unit: Unit, width: usize) -> String {
    let miss = figures::value(contradiction.miss.abs(), contradiction.angle, unit);
    let mut text = wrapped(
        &format!(
            "{}{} misses by {miss}{}. {}",
            contradiction.statement,
            figures::sheet(contradiction.sheet.as_deref()),
            partly(contradiction),
            gave_way(contradiction)
        ),
        width,
        2,
    );
    if contradiction.what == PARALLEL && contradiction.still_places {
        text.push_str(&wrapped(NOT_PARALLEL, width, 2));
    }
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

/// Which of several things a statement compares gave way, when the rest of it still places something.
fn partly(contradiction: &Contradiction) -> String {
    if contradiction.still_places {
        format!(
            " in one thing that it compares ({}); in the rest it still counts",
            contradiction.what
        )
    } else {
        String::new()
    }
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
                    times(leg.factor.abs()),
                    figures::length(leg.adds_mm.abs(), unit),
                    leg.sheet.clone().unwrap_or_default(),
                ]
            })
            .collect();
        rows.push(vec![
            if rows.is_empty() { name } else { "" }.to_owned(),
            "together".to_owned(),
            String::new(),
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
            ("times", Stands::Right),
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

/// How often a figure counts: 1, 2, 0.5, 3.7321.
fn times(factor: f64) -> String {
    let told = format!("{factor:.4}");
    let told = told.trim_end_matches('0').trim_end_matches('.');
    if told.is_empty() {
        "0".to_owned()
    } else {
        told.to_owned()
    }
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
    // of the smallest sets: those of statements alone, those of figures alone, and mixed ones where there are no others
    let least = drops.sets.iter().map(Vec::len).min().unwrap_or(0);
    let smallest = || {
        let sets = drops.sets.iter().filter(|set| set.len() == least);
        sets.filter(|set| set.iter().all(is_likely))
    };
    let of_figures = |set: &&Vec<Dropped>| set.iter().all(|one| one.becomes.is_some());
    let of_statements = |set: &&Vec<Dropped>| set.iter().all(|one| one.becomes.is_none());
    let statements: Vec<&Vec<Dropped>> = smallest().filter(of_statements).collect();
    let mut instead: Vec<&Vec<Dropped>> = smallest().filter(of_figures).collect();
    if statements.is_empty() && instead.is_empty() {
        instead.extend(smallest());
    }
    let larger = drops.sets.iter().filter(|set| set.len() > least).count();
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
    let instead = listed(&instead, "with");
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
    if larger > 0 {
        let sets = figures::count(larger, "larger set", "larger sets");
        text.push_str(&format!(
            "  {sets} would do as well (`--json` lists them).\n"
        ));
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

/// Whether a figure could be meant: one that would have to change its side is no slip of a drawing.
fn is_likely(one: &Dropped) -> bool {
    match (one.stated, one.becomes) {
        (Some(stated), Some(becomes)) => stated * becomes > 0.0,
        _ => true,
    }
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
