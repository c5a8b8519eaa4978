//! The build record as text.

use strongback_model::quantity::Unit;
use strongback_model::record::Stage;

use super::figures;
use super::table::{Stands, table, wrapped};
use crate::command::{EnteredAnswer, RecordAnswer, SizeMade};

/// What an entry came to.
pub fn entered(answer: &EnteredAnswer, width: usize) -> String {
    let mut text: String = answer
        .done
        .iter()
        .map(|done| wrapped(done, width, 2))
        .collect();
    text.push_str(&wrapped(&format!("Kept in {}.", answer.record), width, 2));
    if let Some(caution) = &answer.caution {
        text.push('\n');
        text.push_str(&wrapped(caution, width, 0));
    }
    text
}

/// A size that a made part keeps although a deviation that is adopted has another one for it.
pub fn kept(part: &str, stage: Stage, size: &SizeMade, unit: Unit) -> String {
    let [made, plan] = [size.made, size.plan].map(|value| figures::value(value, size.angle, unit));
    let name = &size.name;
    format!(
        "`{part}` is {} with its {name} at {made}, and keeps that; if it was made to {plan}, enter that: \
         `strongback built set MODEL \"{part}\" {stage:?} --size \"{name}={plan}\"`.",
        stage.told()
    )
}

/// A choice that a made part keeps: which, as made, and as the deviation has it.
pub fn kept_choice(part: &str, stage: Stage, [what, made, plan]: [&str; 3]) -> String {
    format!(
        "`{part}` is {} with its {what} {made}, and keeps that; if it was made with them {plan}, set it back to NotStarted and to its \
         stage again.",
        stage.told()
    )
}

/// The whole record.
pub fn text(answer: &RecordAnswer, width: usize) -> String {
    let counts = &answer.stages;
    let all = counts.not_started + counts.cut + counts.drilled + counts.fitted;
    let head = format!(
        "{}: of {} {} cut, {} drilled, {} fitted; {} h in all.",
        answer.title,
        figures::count(all, "part", "parts"),
        counts.cut,
        counts.drilled,
        counts.fitted,
        figures::hundredths(answer.hours),
    );
    let mut text = wrapped(&head, width, 0);
    text.push('\n');
    text.push_str(&parts(answer, width));
    if let Some(why) = &answer.not_compared {
        let told =
            format!("Sizes as made are not compared, since the model can't be laid out: {why}.");
        text.push_str(&wrapped(&told, width, 2));
        text.push('\n');
    }
    text.push_str(&adopted(answer, width));
    text.push_str(&measurements(answer, width));
    text.push_str(&notes(answer, width));
    if let Some(caution) = &answer.caution {
        text.push_str(&wrapped(caution, width, 0));
    }
    text
}

fn parts(answer: &RecordAnswer, width: usize) -> String {
    if answer.parts.is_empty() {
        return "No part is begun.\n\n".to_owned();
    }
    let rows = answer.parts.iter().map(|part| {
        let differs: Vec<String> = part
            .differs
            .iter()
            .map(|size| {
                format!(
                    "{} {}, planned {}",
                    size.name,
                    figures::value(size.made, size.angle, answer.unit),
                    figures::value(size.plan, size.angle, answer.unit)
                )
            })
            .collect();
        vec![
            part.name.clone(),
            part.stage.told().to_owned(),
            part.since.clone().unwrap_or_default(),
            if part.hours == 0.0 {
                String::new()
            } else {
                figures::hundredths(part.hours)
            },
            differs.join("; "),
        ]
    });
    table(
        &[
            ("part", Stands::Left),
            ("stage", Stands::Left),
            ("since", Stands::Left),
            ("hours", Stands::Right),
            ("made otherwise", Stands::Left),
        ],
        rows,
        width,
    )
}

fn adopted(answer: &RecordAnswer, width: usize) -> String {
    let mut text = String::new();
    for adopted in &answer.adopted {
        let why = match &adopted.because {
            Some(because) => format!(": {because}"),
            None => String::new(),
        };
        let told = format!("Adopted on {}: {}{why}.", adopted.on, adopted.name);
        text.push_str(&wrapped(&told, width, 2));
    }
    if !text.is_empty() {
        text.push('\n');
    }
    text
}

fn measurements(answer: &RecordAnswer, width: usize) -> String {
    if answer.measurements.is_empty() {
        return String::new();
    }
    let rows = answer.measurements.iter().map(|it| {
        vec![
            it.name.clone(),
            it.what.clone(),
            it.is.clone(),
            it.uncertainty.clone(),
            it.on.clone().unwrap_or_default(),
            it.note.clone().unwrap_or_default(),
        ]
    });
    table(
        &[
            ("measured", Stands::Left),
            ("what", Stands::Left),
            ("is", Stands::Right),
            ("uncertainty", Stands::Right),
            ("day", Stands::Left),
            ("note", Stands::Left),
        ],
        rows,
        width,
    )
}

fn notes(answer: &RecordAnswer, width: usize) -> String {
    if answer.notes.is_empty() {
        return String::new();
    }
    let rows = answer.notes.iter().map(|note| {
        let part = note.part.as_ref();
        let spent = note.hours.as_ref();
        vec![
            note.on.value.clone(),
            part.map(|part| part.value.clone()).unwrap_or_default(),
            spent
                .map(|spent| figures::hundredths(spent.value))
                .unwrap_or_default(),
            note.text.value.clone(),
        ]
    });
    table(
        &[
            ("day", Stands::Left),
            ("part", Stands::Left),
            ("hours", Stands::Right),
            ("note", Stands::Left),
        ],
        rows,
        width,
    )
}
