//! `blanks` as text: a line for each part, the rules in use, and the parts that are named in full.

use strongback_model::blank::{Blank, Blanks, Radius, RadiusVerdict, Unmade};
use strongback_model::lengths::SawnLength;
use strongback_model::quantity::Unit;
use strongback_model::trade::Source;
use strongback_model::trade::bending::relief::RELIEF;

use super::blank;
use super::figures;
use super::lengths;
use super::table::{Stands, table, wrapped};
use crate::command::BlanksAnswer;

/// What a table can't know.
const TEST_STRIP: &str = "Bend a test strip of the same sheet first (common practice, no source), and cut by what it comes out as.";

/// The verdict in one line.
pub fn verdict(blanks: &Blanks, lengths: &[SawnLength]) -> String {
    let count =
        |of: &dyn Fn(&Blank) -> bool| blanks.blanks.iter().filter(|blank| of(blank)).count();
    let verdict_is = |blank: &Blank, wanted: &[RadiusVerdict]| {
        let radius = blank.radius.as_ref();
        radius.is_some_and(|radius| wanted.contains(&radius.verdict))
    };
    let too_tight = count(&|blank| verdict_is(blank, &[RadiusVerdict::TooTight]));
    let unchecked =
        count(&|blank| verdict_is(blank, &[RadiusVerdict::NoAlloy, RadiusVerdict::NotInTable]));
    let left_out: usize = blanks.blanks.iter().map(|blank| blank.left_out.len()).sum();
    let blank_count = figures::count(blanks.blanks.len(), "blank", "blanks");
    let mut told = vec![blank_count];
    if too_tight > 0 {
        told.push(format!("{too_tight} with a radius TOO TIGHT"));
    }
    if unchecked > 0 {
        told.push(format!("{unchecked} with a radius not checked"));
    }
    if left_out > 0 {
        told.push(format!(
            "{} left out",
            figures::count(left_out, "flange", "flanges")
        ));
    }
    let doubly = count(&|blank| {
        let development = blank.development;
        development.is_some_and(|development| !development.holds())
    });
    if doubly > 0 {
        told.push(format!(
            "{} that CAN'T BE DEVELOPED",
            figures::count(doubly, "skin", "skins")
        ));
    }
    if !blanks.unmade.is_empty() {
        told.push(format!(
            "{} WITHOUT a blank",
            figures::count(blanks.unmade.len(), "part", "parts")
        ));
    }
    if !lengths.is_empty() {
        told.push(format!(
            "{} to saw",
            figures::count(lengths.len(), "length", "lengths")
        ));
    }
    format!("{}.", told.join(", "))
}

/// The whole answer.
pub fn text(answer: &BlanksAnswer, width: usize) -> String {
    let (blanks, unit) = (&answer.blanks, answer.unit);
    let mut text = wrapped(&answer.verdict, width, 0);
    text.push('\n');
    if !blanks.blanks.is_empty() {
        let head = [
            ("part", Stands::Left),
            ("gauge", Stands::Right),
            ("alloy", Stands::Left),
            ("blank", Stands::Left),
            ("bends", Stands::Right),
            ("radius", Stands::Right),
            ("least", Stands::Right),
            ("", Stands::Left),
            ("setback", Stands::Right),
            ("allowance", Stands::Right),
        ];
        let rows = blanks.blanks.iter().map(|blank| row(blank, unit));
        text.push_str(&table(&head, rows, width));
    }
    let mut reasons: Vec<(&str, &str)> = Vec::new();
    for unmade in &blanks.unmade {
        let reason = (unmade.why.as_str(), unmade.help.as_str());
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    }
    for (why, help) in reasons {
        let of_it = |unmade: &&Unmade| unmade.why == why && unmade.help == help;
        let parts = blanks.unmade.iter().filter(of_it);
        let parts: Vec<&str> = parts.map(|unmade| unmade.part.as_str()).collect();
        let told = format!("NO BLANK of {}: {why}; {help}.", parts.join(", "));
        text.push_str(&wrapped(&told, width, 2));
    }
    if !blanks.unmade.is_empty() {
        text.push('\n');
    }
    for one in &blanks.blanks {
        if answer.in_full {
            text.push_str(&blank::text(one, unit, width));
        } else {
            text.push_str(&blank::remarks(one, unit, width));
        }
    }
    if !answer.in_full {
        text.push_str(&not_drawn(&blanks.blanks, width));
    }
    if blanks.blanks.iter().any(|blank| blank.radius.is_some()) {
        text.push_str(&rules(blanks, unit, width));
        text.push_str(&wrapped(TEST_STRIP, width, 0));
    }
    text.push_str(&lengths::text(&answer.lengths, unit, width));
    if !answer.written.is_empty() {
        let count = figures::count(answer.written.len(), "file is", "files are");
        let told = format!("{count} written: {}.", answer.written.join(", "));
        text.push_str(&wrapped(&told, width, 2));
    }
    text.push_str(&wrapped(&answer.caution, width, 0));
    text
}

/// What patterns don't show, of all of them together.
fn not_drawn(blanks: &[Blank], width: usize) -> String {
    let mut told = Vec::new();
    if blanks.iter().any(|one| !one.not_drawn.joints.is_empty()) {
        told.push("the holes of joints (`joints` tells where each goes)".to_owned());
    }
    let cut = blanks
        .iter()
        .filter(|one| !one.not_drawn.cut_for.is_empty());
    let cut: Vec<&str> = cut.map(|one| one.part.as_str()).collect();
    if !cut.is_empty() {
        told.push(format!("what is cut out of {} for others", cut.join(", ")));
    }
    if told.is_empty() {
        return String::new();
    }
    wrapped(
        &format!("Not on the patterns: {}.", told.join(", and ")),
        width,
        0,
    )
}

fn row(blank: &Blank, unit: Unit) -> Vec<String> {
    let dash = || "-".to_owned();
    let mut row = vec![
        blank.part.clone(),
        figures::column(blank.gauge_mm, unit),
        blank.alloy.clone().unwrap_or_else(dash),
        rectangle(blank.with_trim_mm, unit),
    ];
    let Some(radius) = &blank.radius else {
        row.extend([dash(), dash(), dash(), String::new(), dash(), dash()]);
        return row;
    };
    let one = |figure: &dyn Fn(&strongback_model::blank::Bend) -> f64| {
        let first = blank.bends.first().map(figure);
        let alike = blank.bends.iter().all(|bend| Some(figure(bend)) == first);
        match first {
            Some(mm) if alike => figures::column(mm, unit),
            Some(_) => "several".to_owned(),
            None => dash(),
        }
    };
    row.extend([
        blank.bends.len().to_string(),
        figures::column(radius.radius_mm, unit),
        radius
            .least_mm
            .map_or_else(dash, |mm| figures::column(mm, unit)),
        word(radius).to_owned(),
        one(&|bend| bend.setback_mm),
        one(&|bend| bend.allowance_mm),
    ]);
    row
}

/// A rectangle with its unit.
pub(super) fn rectangle([along, across]: [f64; 2], unit: Unit) -> String {
    format!(
        "{} x {}",
        figures::column(along, unit),
        figures::length(across, unit)
    )
}

/// What the check of a radius came to, in a word or two.
fn word(radius: &Radius) -> &'static str {
    match radius.verdict {
        RadiusVerdict::TooTight => "TOO TIGHT",
        RadiusVerdict::NoAlloy => "no alloy",
        RadiusVerdict::NotInTable => "not in table",
        RadiusVerdict::Holds if radius.own && radius.stated => "holds, own",
        RadiusVerdict::Holds if radius.own => "own taken",
        RadiusVerdict::Holds if radius.stated => "holds",
        RadiusVerdict::Holds => "least taken",
    }
}

/// Which formula and which tables are in use.
fn rules(blanks: &Blanks, unit: Unit, width: usize) -> String {
    let rules = &blanks.rules;
    let source = |source: &Source| format!("{} ({})", source.name, source.known.words());
    let mut told = vec![format!(
        "Bend allowance: {}, BA = ({:.5} R + {:.5} T) N, its neutral line {:.4} T from the inside; {}.",
        rules.allowance.name,
        rules.allowance.radius,
        rules.allowance.thickness,
        rules.neutral,
        source(&rules.allowance.source)
    )];
    let own = match rules.own_radii.len() {
        0 => String::new(),
        count => format!(
            "; before it {} of the file's own",
            figures::count(count, "radius", "radii")
        ),
    };
    told.push(format!(
        "Least radii, of a cold bend of 90 deg: table {:?}{own}; {}. Published tables disagree; `bending` in the file chooses another.",
        rules.radii,
        source(&rules.radii_source)
    ));
    let relieved = blanks.blanks.iter().any(|blank| blank.reliefs.is_some());
    if relieved && rules.relief_mm.is_none() {
        told.push(format!("Relief: {}.", source(&RELIEF)));
    }
    if rules.trim_mm > 0.0 {
        told.push(format!(
            "Trim: {} left on beyond each edge in the sizes of blanks; patterns are net.",
            figures::length(rules.trim_mm, unit)
        ));
    }
    told.iter().map(|line| wrapped(line, width, 2)).collect()
}
