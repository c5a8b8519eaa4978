//! The entries of the build record: a stage, a note, a measurement, a deviation adopted.

use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::layout::Layout;
use strongback_model::measurement::Measurement;
use strongback_model::record::{Adopted, Built, Entered, Note, Piece, Record, Stage};
use strongback_model::source::{Code, Fault, Given, Spanned, Text};
use strongback_model::words::with_hands;

use super::super::CAUTION;
use super::super::changed::once;
use super::show::differs;
use super::{EnteredAnswer, Entering, enter, laid_out};
use crate::args;
use crate::load::Refused;
use crate::render;

/// What an entry answers.
type Answer = Result<EnteredAnswer, Refused>;

pub(super) fn stage(args: &args::BuiltSet) -> Answer {
    enter(&args.model, None, |entering| {
        let refuse = |fault| entering.loaded.refuse(vec![fault]);
        once("given", &args.size).map_err(refuse)?;
        let sizes = args.size.iter().map(|typed| size_typed(typed));
        let sizes: Vec<(String, Given)> = sizes.collect::<Result<_, _>>().map_err(refuse)?;
        let stage = Stage::from(args.stage);
        let before = entering.record.parts.get(&args.part);
        let before = before.filter(|made| made.stage == stage && args.on.is_none());
        let on = match before {
            // it is as far as it was, and got there when it did
            Some(made) => made.since.value.clone(),
            None => day(args.on.as_deref()),
        };
        let piece = Piece {
            part: &args.part,
            stage,
            on: &on,
            sizes: &sizes,
        };
        staged(entering, &piece)
    })
}

/// The record with a part's stage; once it is fitted, with its place in what is built.
fn staged(entering: &Entering<'_>, piece: &Piece<'_>) -> Result<Entered, Refused> {
    if piece.stage < Stage::Cut {
        let plan = &entering.loaded.document;
        let gone = entering.record.without_gone(piece.part, plan);
        return Ok(gone.unwrap_or_else(|| entering.record.with_stage(piece, None)));
    }
    let before = entering.record.progress().of(piece.part).stage;
    let (document, layout) = entering.laid_out(entering.record)?;
    let mut made = entering
        .record
        .with_stage(piece, Some((&document, &layout)));
    // what can't be bent or cut so is refused before it is on record
    let (document, layout) = entering.laid_out(&made.record)?;
    if piece.stage == Stage::Fitted && before < Stage::Fitted {
        let placed = made.record.with_place(piece.part, (&document, &layout));
        made.record = placed.record;
        made.told.extend(placed.told);
    }
    Ok(made)
}

pub(super) fn note(args: &args::BuiltNote) -> Answer {
    enter(&args.model, None, |entering| {
        let is_part = |name: &str| {
            let hands = with_hands(name);
            let plan = &entering.loaded.document;
            let known = plan.parts.get(name).is_some();
            known
                || hands
                    .iter()
                    .any(|name| entering.record.parts.get(name).is_some())
        };
        if args.part.is_none() && is_part(&args.text) {
            let fault = Fault::error(
                Code::MissingField,
                format!("`{}` is a part: what is to be remembered of it?", args.text),
            );
            let help = "write the remark after it, in quotes: built note MODEL PART \"a remark\"";
            return Err(entering.loaded.refuse(vec![fault.help(help)]));
        }
        if args.text.trim().is_empty() {
            let fault = Fault::error(Code::MissingField, "a note of nothing is none")
                .help("write what is to be remembered, in quotes; of hours, what they went into");
            return Err(entering.loaded.refuse(vec![fault]));
        }
        Ok(entering.record.with_note(Note {
            on: Text::from(day(args.on.as_deref())),
            part: args.part.as_deref().map(Text::from),
            text: Text::from(args.text.as_str()),
            hours: args.hours.map(Spanned::unplaced),
        }))
    })
}

pub(super) fn measure(args: &args::BuiltMeasure) -> Answer {
    enter(&args.model, None, |entering| {
        let refuse = |faults| entering.loaded.refuse(faults);
        if args.withdraw {
            let taken_back = entering.record.without_measurement(&args.name);
            return taken_back.map_err(|fault| refuse(vec![fault]));
        }
        let text = |typed: &Option<String>| typed.as_deref().map(Text::from);
        let figure = |typed: &Option<String>| Given::unplaced(typed.as_deref().unwrap_or_default());
        let measurement = Measurement {
            from: text(&args.from),
            to: text(&args.to),
            toward: args.toward.map(Into::into),
            size: text(&args.size),
            is: figure(&args.is),
            uncertainty: figure(&args.uncertainty),
            on: Some(Text::from(day(args.on.as_deref()))),
            note: text(&args.note),
        };
        let made = entering
            .record
            .with_measurement(&args.name, measurement)
            .map_err(|fault| refuse(vec![fault]))?;
        // names that there are not and figures that can't be, before they are on record
        assemble(&entering.built(&made.record)?.document).map_err(refuse)?;
        Ok(made)
    })
}

pub(super) fn adopt(args: &args::BuiltAdopt) -> Answer {
    enter(&args.model, Some(CAUTION.to_owned()), |entering| {
        let refuse = |fault| entering.loaded.refuse(vec![fault]);
        if args.withdraw {
            let taken_back = entering.record.without_adopted(&args.deviation);
            return taken_back.map_err(refuse);
        }
        let adopted = Adopted {
            on: Text::from(day(args.on.as_deref())),
            because: args.because.as_deref().map(Text::from),
        };
        let made = entering
            .record
            .with_adopted(&args.deviation, adopted)
            .map_err(refuse)?;
        let plan = &entering.loaded.document;
        if let Some(fault) = entering.record.said_already(&args.deviation, plan) {
            return Err(refuse(fault));
        }
        let built = entering.built(&made.record)?;
        assemble(&built.document).map_err(|faults| {
            let refused = entering.loaded.refuse(faults);
            refused.with_changes(&args.deviation)
        })?;
        let kept = kept(entering, &made.record, &built);
        Ok(Entered {
            told: made.told.into_iter().chain(kept).collect(),
            ..made
        })
    })
}

/// What a deviation makes otherwise of parts that are made already, and that they keep as it is: a sentence each.
fn kept(entering: &Entering<'_>, record: &Record, built: &Built) -> Vec<String> {
    let lay = |document: &Document| laid_out(entering.loaded, document).ok();
    let before = entering.built(entering.record).ok();
    let before = before.and_then(|before| lay(&before.adopted));
    let layouts = before.zip(lay(&built.adopted)).zip(lay(&built.document));
    let Some(((before, plan), made)) = layouts else {
        // what can't be laid out is told by every other command
        return Vec::new();
    };
    let unit = entering.loaded.document.unit;
    let progress = record.progress();
    let choices = |layout: &Layout, part: &str| {
        let part = layout.part(part);
        part.map(|part| part.choices.clone()).unwrap_or_default()
    };
    let turned = |part: &str| {
        let [before, plan, made] = [&before, &plan, &made].map(|layout| choices(layout, part));
        let (before, plan, made) = (before.into_iter(), plan.into_iter(), made.into_iter());
        let all = before.zip(plan).zip(made);
        let kept = all.filter(|((before, plan), made)| before != plan && plan != made);
        kept.map(|((_, plan), made)| (made.0, made.1, plan.1))
            .collect::<Vec<_>>()
    };
    let begun = record.parts.names();
    begun
        .filter(|name| progress.of(name).stage >= Stage::Cut)
        .flat_map(|name| {
            let changed = differs(name, &before, &plan);
            let keeps = differs(name, &plan, &made).into_iter();
            let keeps = keeps.filter(|kept| changed.iter().any(|size| size.name == kept.name));
            let told =
                keeps.map(|kept| render::built::kept(name, progress.of(name).stage, &kept, unit));
            let turned = turned(name).into_iter();
            let turned = turned.map(|(what, made, plan)| {
                render::built::kept_choice(name, progress.of(name).stage, [&what, &made, &plan])
            });
            told.chain(turned).collect::<Vec<_>>()
        })
        .collect()
}

/// The day that was typed, or today's where the computer stands.
fn day(typed: Option<&str>) -> String {
    match typed {
        Some(day) => day.trim().to_owned(),
        None => jiff::Zoned::now().date().to_string(),
    }
}

/// A size as it is typed: `NAME=FIGURE`.
fn size_typed(typed: &str) -> Result<(String, Given), Fault> {
    let sides = typed
        .split_once('=')
        .map(|(name, figure)| (name.trim(), figure.trim()))
        .filter(|(name, figure)| !name.is_empty() && !figure.is_empty());
    match sides {
        Some((name, figure)) => Ok((name.to_owned(), Given::unplaced(figure))),
        None => Err(Fault::error(
            Code::BadValue,
            format!("`{typed}` doesn't give a size and a figure"),
        )
        .help("write NAME=FIGURE, as in --size \"height=3 31/32 in\"")),
    }
}
