//! `recut` as text: the verdict on each part, and what all of it comes to.

use strongback_model::quantity::Unit;
use strongback_model::record::Stage;
use strongback_model::recut::{MakeChange, PartVerdict, Verdict, Verdicts};

use super::table::{Stands, table, wrapped};
use super::{at_odds, departures, figures, hardware, recut_steps, stock, trial};
use crate::command::RecutAnswer;
use crate::record::Basis;

/// What is open about a part that is too short.
const HOW_LONGER: &str = "Whether a splice, a filler or only a new part will do for what is too short or too small is a question for the designer.";

/// What a model can't know.
const ONLY_STATED: &str = "Only holes that the model states are looked at: look for rivet holes before anything is trimmed or turned.";

/// The whole answer.
pub fn text(answer: &RecutAnswer, width: usize) -> String {
    let mut text = String::new();
    if answer.basis != Basis::Plan {
        let told = format!("Beside {}.", answer.basis.told());
        text.push_str(&format!("{}\n", wrapped(&told, width, 2)));
    }
    for deviation in &answer.deviations {
        text.push_str(&wrapped(
            &format!("{}: {}", deviation.deviation, deviation.verdict),
            width,
            2,
        ));
        text.push('\n');
        let worse = at_odds::worse(&deviation.worse, answer.unit, width);
        if !worse.is_empty() {
            text.push_str(&worse);
            text.push('\n');
        }
        text.push_str(&block(&deviation.recut, true, answer.unit, width));
    }
    text.push_str(&departures::text(&answer.departures, answer.unit, width));
    text.push_str(&wrapped(&answer.caution, width, 0));
    text
}

/// The verdict on each part, those that only move, and how many are as before; where each comes from, unless that is told
/// elsewhere.
pub(super) fn block(verdicts: &Verdicts, with_causes: bool, unit: Unit, width: usize) -> String {
    let mut text = String::new();
    if verdicts.parts.is_empty() {
        text.push_str("No part is made differently.\n\n");
    } else {
        let rows = |part: &PartVerdict| rows(part, with_causes, unit);
        text.push_str(&parts("part to re-cut", &verdicts.parts, rows, width));
    }
    if !verdicts.refit.is_empty() {
        let rows = |part: &PartVerdict| {
            let ways = trial::ways(&part.moves_mm, &part.turned_deg, unit);
            let mut rows = vec![format!("moves {ways}")];
            if with_causes {
                rows.push(because(part));
            }
            rows
        };
        text.push_str(&parts(
            "fitted part that moves",
            &verdicts.refit,
            rows,
            width,
        ));
    }
    text.push_str(&hardware::text(&verdicts.hardware, unit, width));
    if !verdicts.only_moved.is_empty() {
        text.push_str(&wrapped(
            &format!(
                "Only elsewhere, made as before: {}.",
                verdicts.only_moved.join(", ")
            ),
            width,
            2,
        ));
    }
    if !verdicts.unsettled.is_empty() {
        text.push_str(&wrapped(
            &format!(
                "Loose then, so that it can't be told: {}.",
                verdicts.unsettled.join(", ")
            ),
            width,
            2,
        ));
    }
    text.push_str(&format!(
        "{} as before in every way.\n",
        figures::count(verdicts.untouched.len(), "part is", "parts are")
    ));
    text.push_str(&totals(verdicts, unit, width));
    text.push('\n');
    text
}

/// A table of parts, each with its verdict and as many lines of reasons as it has; how far parts are made is left out where none is.
fn parts(
    head: &str,
    parts: &[PartVerdict],
    told: impl Fn(&PartVerdict) -> Vec<String>,
    width: usize,
) -> String {
    let begun = parts.iter().any(|part| part.stage != Stage::NotStarted);
    let mut columns = vec![(head, Stands::Left)];
    if begun {
        columns.push(("stage", Stands::Left));
    }
    columns.push(("what to do", Stands::Left));
    columns.push(("what changes, and why", Stands::Left));
    let rows = parts.iter().flat_map(|part| {
        let told = told(part).into_iter().enumerate();
        told.map(move |(at, told)| {
            let first = |text: String| if at == 0 { text } else { String::new() };
            let mut row = vec![first(part.part.clone())];
            if begun {
                row.push(first(stage(part)));
            }
            row.push(first(words(part)));
            row.push(told);
            row
        })
    });
    table(&columns, rows, width)
}

fn rows(part: &PartVerdict, with_cause: bool, unit: Unit) -> Vec<String> {
    let steps = part.steps.iter();
    let mut rows: Vec<String> = steps
        .map(|step| recut_steps::told(step, part.verdict, part.stage, unit))
        .collect();
    if with_cause && (part.from.is_some() || !part.through.is_empty()) {
        rows.push(because(part));
    }
    rows
}

fn because(part: &PartVerdict) -> String {
    match &part.from {
        Some(from) => format!("from {}", trial::way(from, &part.through)),
        None => "moved itself".to_owned(),
    }
}

/// How far a part is made, with the hours put into it.
fn stage(part: &PartVerdict) -> String {
    let stage = part.stage.told();
    if part.hours > 0.0 {
        format!("{stage}, {} h", figures::hundredths(part.hours))
    } else {
        stage.to_owned()
    }
}

/// What is to be done with a part: all of it, unless the gravest makes the rest needless.
pub(super) fn words(part: &PartVerdict) -> String {
    let mut list = vec![part.verdict];
    if matches!(
        part.verdict,
        Verdict::TooShort
            | Verdict::Redrill
            | Verdict::Trim
            | Verdict::TurnRound
            | Verdict::ChangeSides
    ) {
        list.extend(part.steps.iter().map(|step| step.verdict));
        list.retain(|verdict| *verdict != Verdict::AsIs);
    }
    list.sort_unstable();
    list.dedup();
    let out = part.take_out.then_some("take out");
    let words: Vec<&str> = out
        .into_iter()
        .chain(list.into_iter().map(|verdict| word(verdict, part)))
        .collect();
    words.join(", ")
}

fn word(verdict: Verdict, part: &PartVerdict) -> &'static str {
    match verdict {
        Verdict::AsIs => "as is",
        Verdict::NotStarted => "make to new figures",
        Verdict::LeftOut => "not needed",
        Verdict::OfferUp => "offer up",
        Verdict::Refit => "refit as made",
        Verdict::TurnRound => "turn round",
        Verdict::ChangeSides => "change sides",
        Verdict::Trim => "trim",
        Verdict::Redrill => "re-drill",
        Verdict::TooShort if grows_in_length(part) => "make longer",
        Verdict::TooShort => "make larger",
        Verdict::MakeAnew => "make anew",
        Verdict::New => "make: new part",
    }
}

/// Whether all that a part lacks is length.
fn grows_in_length(part: &PartVerdict) -> bool {
    part.steps.iter().all(|step| match &step.change {
        MakeChange::Longer { size, .. } => ["length", "span", "straight"]
            .iter()
            .any(|word| size.contains(word)),
        _ => true,
    })
}

fn totals(verdicts: &Verdicts, unit: Unit, width: usize) -> String {
    let totals = &verdicts.totals;
    let counts = [
        (totals.make_anew, "to make anew"),
        (totals.too_short, "too short or too small"),
        (totals.new, "new"),
        (totals.redrill, "to re-drill"),
        (totals.trim, "to trim"),
        (totals.turn_round, "to turn round"),
        (totals.change_sides, "to change sides"),
        (totals.offer_up, "to offer up"),
        (totals.refit, "to refit as made"),
        (totals.left_out, "not needed"),
        (
            totals.not_started,
            "not started, to make to the new figures",
        ),
        (totals.as_is, "right so far"),
    ];
    let counts: Vec<String> = counts
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| format!("{count} {what}"))
        .collect();
    if counts.is_empty() {
        return String::new();
    }
    let mut lines = vec![format!("In all: {}.", counts.join(", "))];
    if totals.take_out > 0 {
        let parts = figures::count(totals.take_out, "fitted part", "fitted parts");
        lines.push(format!("{parts} to take out first."));
    }
    if totals.too_short > 0 {
        lines.push(HOW_LONGER.to_owned());
    }
    if totals.hours_lost > 0.0 {
        lines.push(format!("Work lost: {}.", figures::hours(totals.hours_lost)));
    }
    if totals.hours_at_stake > 0.0 {
        lines.push(format!(
            "Work at stake in parts that are too short or too small: {}.",
            figures::hours(totals.hours_at_stake)
        ));
    }
    lines.extend(stock::told("Stock to make them of", &totals.stock, unit));
    lines.extend(stock::told(
        "Stock if those too short or too small are made anew",
        &totals.stock_at_stake,
        unit,
    ));
    if !totals.stock.is_empty() || !totals.stock_at_stake.is_empty() {
        lines.push(stock::HOW.to_owned());
    }
    if verdicts
        .parts
        .iter()
        .any(|part| part.stage >= Stage::Drilled)
    {
        lines.push(ONLY_STATED.to_owned());
    }
    lines.iter().map(|line| wrapped(line, width, 2)).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use strongback_model::assembly::assemble;
    use strongback_model::document::Document;
    use strongback_model::record::{Made, Progress};
    use strongback_model::recut::verdicts;
    use strongback_model::restated::restated;
    use strongback_model::shift::shift;
    use strongback_model::source::read;

    use super::*;

    /// Every verdict at once, as a builder reads it.
    #[test]
    fn half_made() {
        let text = r#"(format: 1, title: "bay", unit: Inch, fit: "1/32 in",
            stock: {"half sheet": Sheet(gauge: "0.025 in", width: "48 in", length: "72 in"), "3 ft angle": Lengths(of: Angle, length: "36 in"), "6 ft angle": Lengths(of: Angle, length: "72 in")},
            dimensions: {"second": 20, "clip at": 5, "bracket at": 3, "post": 10},
            parts: {
                "fore": Plate(lies: Across, thickness: "0.032 in", width: 10, height: "post", at: (fs: 0, bl: 0, wl: 0)),
                "rear": Plate(lies: Across, thickness: "0.032 in", width: 10, height: 10, at: (bl: 0, wl: 0)),
                "rail": Angle(runs: FwdAft, length: Find(near: 20), legs: (down: 1, right: 1), thickness: "1/8 in", at: (bl: 0, wl: 5)),
                "short rail": Angle(runs: FwdAft, length: Find(near: 20), legs: (down: 1, right: 1), thickness: "1/8 in", at: (bl: 3, wl: 5)),
                "clip": Plate(lies: FwdAft, thickness: "0.063 in", length: 1, height: "3/4 in", at: (wl: 4)),
                "bracket": Plate(lies: FwdAft, thickness: "0.063 in", length: 1, height: "3/4 in", at: (wl: 4)),
                "web": Rib(thickness: "0.025 in", flange: "5/8 in", flanges: Right, length: Find(near: 20), height: 4, at: (bl: -3, wl: 0)),
                "hoop": Frame(thickness: "0.032 in", flange: "5/8 in", flanges: Aft, width: 10, height: 6, at: (fs: 30, bl: 0, wl: 0)),
            }, relations: {
                "rear at": Spaced(from: "datum.station", to: "rear.fwd", by: "second"),
                "rail starts": Reaches(end: "rail.fwd_end", face: "fore.aft"),
                "rail ends": Reaches(end: "rail.aft_end", face: "rear.fwd"),
                "short rail starts": Reaches(end: "short rail.fwd_end", face: "fore.aft"),
                "short rail ends": Reaches(end: "short rail.aft_end", face: "rear.fwd", short_by: 1),
                "clip on rail": BoltedTo(part: "clip", to: "rail.left", side: Left, with: AN3, count: 1),
                "clip along": Spaced(from: "datum.station", to: "clip.fwd", by: "clip at"),
                "bracket on short rail": BoltedTo(part: "bracket", to: "short rail.left", side: Left, with: AN3, count: 1),
                "bracket along": Spaced(from: "datum.station", to: "bracket.fwd", by: "bracket at"),
                "web starts": Reaches(end: "web.fwd", face: "fore.aft"),
                "web ends": Reaches(end: "web.aft", face: "rear.fwd"),
            })"#;
        let document: Document = read(text).unwrap();
        let layout = |document: &Document| assemble(document).unwrap().solve().unwrap().layout();
        let plan = layout(&document);
        let mut told = String::new();
        for (changes, made) in [
            (
                r#"[Set("second", 19), Set("clip at", 7), Set("bracket at", "3 1/8 in"), Reverse("hoop"), Set("post", "9 63/64 in")]"#,
                "fore fitted, rear fitted, rail drilled, short rail drilled, clip fitted, web cut, hoop cut",
            ),
            (
                r#"[Set("second", 21), Drop("hoop"), Add(parts: {"strap": Bar(runs: Across, length: 6, depth: "1/8 in", breadth: 1, at: (fs: 2, bl: 0, wl: 9))})]"#,
                "rail fitted, short rail cut, hoop drilled",
            ),
        ] {
            let made = made.split(", ").map(|made| {
                let (part, stage) = made.rsplit_once(' ').unwrap();
                let stage = match stage {
                    "cut" => Stage::Cut,
                    "drilled" => Stage::Drilled,
                    _ => Stage::Fitted,
                };
                (part.to_owned(), Made { stage, hours: 2.5 })
            });
            let progress = Progress(made.collect());
            let changed = document
                .with_changes(&read::<Vec<_>>(changes).unwrap())
                .unwrap();
            let assembly = assemble(&changed).unwrap();
            let solved = assembly.solve().unwrap();
            let new = solved.layout();
            let mut shift = shift(&plan, &new);
            solved.trace(&mut shift, &new, &restated(&document, &changed));
            let verdicts = verdicts(&plan, &new, &shift, &progress);
            told.push_str(&block(&verdicts, true, Unit::Inch, 100));
        }
        insta::assert_snapshot!(told);
    }
}
