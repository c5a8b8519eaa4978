//! `remedy`: what could be done about must-fits that miss.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::quantity::Unit;
use strongback_model::remedy::{Made, Remedies, Step, StepKind, remedies};

use super::ground::Ground;
use super::{Answered, CAUTION, Told, locate, progress};
use crate::Status;
use crate::args;
use crate::load::Refused;
use crate::record::Basis;
use crate::render;

/// What `remedy` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RemedyAnswer {
    /// The verdict in one line.
    pub verdict: String,
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// The deviation and the changes after which it is asked; nothing for the plan.
    pub deviation: String,
    /// The deviations that were adopted: they are part of what is mended.
    pub adopted: Vec<String>,
    /// What could be done.
    pub remedies: Remedies,
    /// The command that tries the first one.
    pub next: Option<String>,
    /// What to keep in mind.
    pub caution: String,
    #[serde(skip)]
    pub(crate) basis: Basis,
}

pub(super) fn run(args: &args::Remedy) -> Result<(Status, Box<dyn Answered>), Refused> {
    let ground = Ground::of(&args.model, args.changes.as_built)?;
    let loaded = &ground.loaded;
    let changed = loaded.changed(args.deviation.as_deref(), &args.changes)?;
    let asked = ground.asked(args.deviation.as_deref(), &args.changes)?;
    let progress = progress(loaded);
    let made = Made {
        standing: ground.made(),
        progress: &progress,
        to_be: asked.as_ref().map(|[asked, _]| asked).zip(ground.to_be()),
    };
    let found = locate::with_solution(loaded, &changed.document, |solved, _| {
        remedies(&changed.document, solved, made)
    })?;
    let unseen = [&found.open, &found.unmeasured];
    let status = if found.miss.is_empty() && unseen.iter().all(|list| list.is_empty()) {
        Status::Well
    } else {
        Status::Amiss
    };
    let alone = found.alone.iter().flat_map(|one| &one.remedies);
    let first = found.remedies.iter().chain(alone).next();
    Ok((
        status,
        Box::new(RemedyAnswer {
            verdict: render::remedy::verdict(&found),
            unit: ground.plan.layout.unit,
            adopted: ground.adopted(),
            basis: ground.basis().clone(),
            next: first.map(|first| command_line(args, &first.steps)),
            deviation: changed.name,
            remedies: found,
            caution: CAUTION.to_owned(),
        }),
    ))
}

/// The command that tries what was given, with the steps of a remedy in place of what they set otherwise.
fn command_line(args: &args::Remedy, steps: &[Step]) -> String {
    let mut words = vec!["strongback".to_owned(), "try".to_owned()];
    words.push(quoted(&args.model.display().to_string()));
    words.extend(args.deviation.as_deref().map(quoted));
    let option = |word: &str, typed: &str| format!("--{word} {}", quoted(typed));
    let of = |step: &Step| match (step.kind, step.apart) {
        (StepKind::Take, _) => "take",
        (_, true) => "apart",
        (_, false) => "set",
    };
    let typed = [
        ("set", &args.changes.set),
        ("take", &args.changes.take),
        ("apart", &args.changes.apart),
    ];
    for (word, list) in typed {
        let replaced = |typed: &&String| {
            let begins = |step: &Step| {
                let rest = typed.strip_prefix(step.name.as_str());
                of(step) == word && rest.is_some_and(|rest| rest.trim_start().starts_with('='))
            };
            !steps.iter().any(begins)
        };
        words.extend(
            list.iter()
                .filter(replaced)
                .map(|typed| option(word, typed)),
        );
    }
    words.extend(
        args.changes
            .reverse
            .iter()
            .map(|part| option("reverse", part)),
    );
    words.extend(
        steps
            .iter()
            .map(|step| option(of(step), &format!("{}={}", step.name, step.figure))),
    );
    if args.changes.as_built {
        words.push("--as-built".to_owned());
    }
    words.join(" ")
}

/// A word as a shell takes it whole.
fn quoted(word: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || "-_./".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        return word.to_owned();
    }
    if word.contains(['"', '$', '`', '\\', '!']) {
        return format!("'{}'", word.replace('\'', "'\\''"));
    }
    format!("\"{word}\"")
}

impl Told for RemedyAnswer {
    fn text(&self, width: usize) -> String {
        render::remedy::text(self, width)
    }
}
