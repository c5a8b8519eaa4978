//! The chapters, in the order in which another builder needs them: each what a command answers to the model, with its pictures.

use std::ffi::OsString;
use std::fmt::Write;

use clap::Parser;

use super::Chapter;
use super::sections::sections;
use crate::args::{Args, Changes};
use crate::command::{self, CAUTION, Ground, Located, at_odds, one_and_ask, with_solution};
use crate::html::untouched;
use crate::load::{Loaded, Refused};
use crate::picture::{self, Drawing, View, Way};
use crate::record::Basis;
use crate::render;

/// A chapter that a command tells: its title, what is to be said first, the command's words.
type Told = (&'static str, &'static str, &'static [&'static str]);

const FIRST: &[Told] = &[
    (
        "Stations",
        "Where every part lies, from its foremost to its aftmost metal, and the figures that were found since no sheet gives them.",
        &["locate"],
    ),
    ("What must fit", "", &["fit"]),
];

/// What the workshop needs: each is a paper of its own too.
const WORKSHOP: &[Told] = &[
    (
        "Joints",
        "What lies between the head of each fastener and its tail, and what to buy and drill.",
        &["joints"],
    ),
    (
        "Blanks",
        "How big to cut, and where to bend. Bend a test strip of the same sheet first.",
        &["blanks"],
    ),
    (
        "Order of fitting",
        "What goes in when, and why; what stays open for a while, and what is drilled before a part closes it in.",
        &["order"],
    ),
    (
        "Mass",
        "An estimate of what is modelled: it replaces no weighing.",
        &["mass"],
    ),
];

const THEN: &[Told] = &[
    (
        "What was measured",
        "Measurements of the real thing beside the plan.",
        &["measured"],
    ),
    (
        "Tolerance stack-up",
        "How often each must-fit comes true in builds whose figures are off within their tolerances: the same samples each time.",
        &["stack", "--samples", "1000"],
    ),
    (
        "Every face",
        "To measure from and to, in the order of the file.",
        &["locate", "--faces"],
    ),
];

/// All chapters that have something to tell.
pub(super) fn all(loaded: &Loaded, plan: &Located) -> Result<Vec<Chapter>, Refused> {
    let odd = if plan.layout.at_odds.is_empty() {
        Vec::new()
    } else {
        at_odds(&plan.layout, &loaded.document)
    };
    let mut chapters = vec![Chapter {
        title: "Views".to_owned(),
        body: views(plan, &odd),
    }];
    chapters.extend(sections(&plan.layout, &odd));
    chapters.extend(FIRST.iter().filter_map(|it| told(loaded, it)));
    for it in WORKSHOP {
        chapters.extend(workshop(loaded, plan, it)?);
    }
    chapters.extend(errata(loaded, plan)?);
    chapters.extend(deviations(loaded)?);
    chapters.extend(THEN.iter().filter_map(|it| told(loaded, it)));
    Ok(chapters)
}

/// The paper of one command for the workshop; nothing where there is no such paper, or it has nothing to tell.
pub(super) fn alone(
    loaded: &Loaded,
    plan: &Located,
    command: &str,
) -> Result<Option<Chapter>, Refused> {
    let it = WORKSHOP
        .iter()
        .find(|(_, _, words)| words.first() == Some(&command));
    it.map_or(Ok(None), |it| workshop(loaded, plan, it))
}

/// A chapter for the workshop; that of the joints with each stack drawn to scale.
fn workshop(loaded: &Loaded, plan: &Located, it: &Told) -> Result<Option<Chapter>, Refused> {
    let Some(mut chapter) = told(loaded, it) else {
        return Ok(None);
    };
    if it.2.first() == Some(&"joints") {
        let document = &loaded.document;
        let joints = with_solution(loaded, document, |solved, _| solved.joint_reports())?;
        // of two hands the right one is drawn
        let mirrored = |name: &str| name.ends_with(" L");
        let drawn = joints
            .iter()
            .filter(|report| !mirrored(&report.joint.statement));
        for report in drawn {
            let svg = picture::joint(&plan.layout.title, report, plan.layout.unit);
            chapter.body += &figure(&svg, &report.joint.statement);
        }
    }
    Ok(Some(chapter))
}

/// What a command answers; nothing where it has nothing to tell of this model.
fn told(loaded: &Loaded, (title, first, words): &Told) -> Option<Chapter> {
    let note = if first.is_empty() {
        String::new()
    } else {
        format!("<p class=\"note\">{}</p>\n", picture::escaped(first))
    };
    let nothing = match words.first() {
        Some(&"measured") => loaded.document.measurements.is_empty(),
        Some(&"stack" | &"fit") => loaded.document.must_fit.is_empty(),
        _ => false,
    };
    if nothing {
        return None;
    }
    Some(Chapter {
        title: (*title).to_owned(),
        body: note + &untouched(&answered(loaded, words)?),
    })
}

/// A command's answer as it is told, without the caution that stands on every sheet of the book.
fn answered(loaded: &Loaded, words: &[&str]) -> Option<String> {
    let (command, flags) = words.split_first()?;
    let mut typed: Vec<OsString> = vec!["strongback".into(), (*command).into()];
    typed.extend(flags.iter().map(Into::into));
    typed.extend(["--".into(), loaded.file.clone().into_os_string()]);
    let args = Args::try_parse_from(typed).ok()?;
    let shown = command::answer(&args).text(render::PAGE);
    let told = shown.out.trim_end();
    // what the model does not state can't be asked of it
    (!told.is_empty()).then(|| told.strip_suffix(CAUTION).unwrap_or(told).to_owned())
}

/// A picture in its frame.
pub(super) fn figure(svg: &str, caption: &str) -> String {
    format!(
        "<figure>{svg}<figcaption>{}</figcaption></figure>\n",
        picture::escaped(caption)
    )
}

fn views(plan: &Located, at_odds: &[String]) -> String {
    let views = [
        (View::Side, "From the left side."),
        (View::Plan, "From above; the right-hand side is at the top."),
        (View::Front, "From behind, looking forward."),
    ];
    let drawn = views.map(|(view, caption)| {
        let drawing = Drawing {
            at_odds,
            id: "plan",
            ..Drawing::new(&plan.layout, view)
        };
        figure(&picture::svg(&drawing), caption)
    });
    drawn.concat()
}

/// Contradictions of the drawings, each drawn as its two ways round; and readings, where statements have several.
fn errata(loaded: &Loaded, plan: &Located) -> Result<Option<Chapter>, Refused> {
    let mut relations = loaded.document.relations.iter();
    let readings = relations.any(|entry| entry.value.is.kind().readings().is_some());
    if plan.layout.at_odds.is_empty() && !readings {
        return Ok(None);
    }
    let mut body = String::from(
        "<p class=\"note\">Figures of the drawings that contradict each other, with their sheets, and the readings that were tried.</p>\n",
    );
    if !plan.layout.at_odds.is_empty() {
        let loops = with_solution(loaded, &loaded.document, |solved, _| {
            solved.contradictions()
        })?;
        for contradiction in loops.iter().filter(|contradiction| !contradiction.angle) {
            let svg = picture::ways(&Way::round(contradiction), plan.layout.unit);
            body += &figure(
                &svg,
                &format!("{}: the two ways round.", contradiction.statement),
            );
        }
        body += &untouched(&answered(loaded, &["odds"]).unwrap_or_default());
    }
    if readings {
        body += &untouched(&answered(loaded, &["readings"]).unwrap_or_default());
    }
    Ok(Some(Chapter {
        title: "Errata of the drawings".to_owned(),
        body,
    }))
}

/// Each deviation of the file with its reason, its picture and what it asks for.
fn deviations(loaded: &Loaded) -> Result<Option<Chapter>, Refused> {
    if loaded.document.deviations.is_empty() {
        return Ok(None);
    }
    let ground = Ground::of(&loaded.file, false)?;
    let adopted = ground.adopted();
    let mut body = String::new();
    if let Basis::WithAdopted(_) = ground.basis() {
        let _ = writeln!(
            body,
            "<p>Tried beside {}; the other chapters tell the plan as the file states it.</p>",
            picture::escaped(&ground.basis().told())
        );
    }
    for entry in loaded.document.deviations.iter() {
        let name = &entry.name.value;
        let _ = writeln!(body, "<h3>{}</h3>", picture::escaped(name));
        if let Some(why) = &entry.value.why {
            let _ = writeln!(
                body,
                "<p>Why: {}.</p>",
                picture::escaped(why.value.trim_end_matches('.'))
            );
        }
        if adopted.contains(name) {
            body += "<p>Adopted: it is part of what is built, and of what the others are tried beside. The other chapters are of the plan without it.</p>\n";
            continue;
        }
        let tried = one_and_ask(&ground, Some(name), &Changes::default(), |_, _| ());
        match tried {
            // a deviation that can't be tried is a fault of the file, and no reason to have no book
            Err(refused) => {
                let told = render::fault::plain(&refused, 90);
                let _ = writeln!(body, "<pre>{}</pre>", picture::escaped(&told));
            }
            Ok((tried, ())) => {
                let id = format!("deviation-{}", body.len());
                let drawing = Drawing {
                    before: Some(picture::Before {
                        layout: &ground.plan.layout,
                        shift: &tried.shift,
                        recut: &tried.recut,
                        deviation: name,
                    }),
                    id: &id,
                    ..Drawing::new(&tried.located.layout, View::Side)
                };
                body += &figure(
                    &picture::svg(&drawing),
                    &format!("{name}: {} is drawn behind it.", ground.basis().told()),
                );
                let trial = command::Trial::of(&ground.plan, tried);
                let unit = ground.plan.layout.unit;
                body += &untouched(&render::trial::alone(&trial, unit, render::PAGE));
            }
        }
    }
    Ok(Some(Chapter {
        title: "Deviations".to_owned(),
        body,
    }))
}
