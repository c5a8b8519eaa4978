//! `draw`: the layout as a picture.

use std::borrow::Cow;
use std::io::{ErrorKind, Write};
use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::assembly::{Assembly, assemble};
use strongback_model::document::Document;
use strongback_model::layout::Layout;
use strongback_model::source::{Code, Fault};

use super::{Answered, Told, locate, saw, trial};
use crate::Status;
use crate::args::{self, View};
use crate::load::Refused;
use crate::picture::{self, Drawing};
use crate::render;

/// What `draw` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct DrawAnswer {
    /// The verdict of what is drawn, in one line.
    pub verdict: String,
    /// The file that was written.
    pub written: String,
    /// What it shows.
    pub shows: String,
}

/// What the file's ending asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    Svg,
    Png,
}

pub(super) fn run(args: &args::Draw) -> Result<(Status, Box<dyn Answered>), Refused> {
    let form = form_of(&args.output)?;
    let changes = &args.changes;
    let deviates = args.deviation.is_some() || !changes.is_empty();
    let ground = match deviates {
        true => super::Ground::of(&args.model, changes.as_built)?,
        false => super::Ground::question(&args.model, changes.as_built)?,
    };
    let (loaded, plan) = (&ground.loaded, &ground.plan);
    let tried = if deviates {
        Some(trial::one(&ground, args.deviation.as_deref(), changes)?)
    } else {
        None
    };
    let shown = tried.as_ref().map_or(plan, |tried| &tried.located);
    let highlight = locate::named(loaded, &shown.layout, &args.part)?;
    let only = locate::named(loaded, &shown.layout, &args.only)?;
    let without = locate::named(loaded, &shown.layout, &args.without)?;
    let drawn = picked(&only, &without, &shown.layout);
    let behind = picked(&only, &without, &plan.layout);
    let at_odds = match (&tried, shown.layout.at_odds.is_empty()) {
        (_, true) => Vec::new(),
        (None, false) => at_odds(&shown.layout, &loaded.document),
        (Some(_), false) => {
            let changed = loaded.changed(args.deviation.as_deref(), changes)?;
            at_odds(&shown.layout, &changed.document)
        }
    };
    let verdict = render::verdict::of(&shown.layout, &shown.fits);
    let (view, sawn) = seen(args, &shown.layout).map_err(|fault| loaded.refuse(vec![fault]))?;
    let drawing = Drawing {
        before: tried.as_ref().map(|tried| picture::Before {
            layout: &behind,
            shift: &tried.shift,
            recut: &tried.recut,
            deviation: &tried.name,
        }),
        subtitle: &verdict,
        highlight: &highlight,
        at_odds: &at_odds,
        left_out: shown.layout.parts.len() - drawn.parts.len(),
        ..Drawing::new(&drawn, view)
    };
    let svg = match &sawn {
        None => picture::svg(&drawing),
        Some(at) => picture::section(&drawing, at.saw()),
    };
    write(&args.output, form, svg, args.width)?;
    let shows = shows(
        &ground.basis().told(),
        tried.as_ref(),
        sawn.as_ref(),
        &drawing,
    );
    Ok((
        shown.status(),
        Box::new(DrawAnswer {
            verdict,
            written: args.output.display().to_string(),
            shows,
        }),
    ))
}

/// What is to be seen in the picture, in words.
fn shows(
    plan_is: &str,
    tried: Option<&trial::Tried>,
    sawn: Option<&saw::Cut>,
    drawing: &Drawing<'_>,
) -> String {
    let layout = drawing.layout;
    let of = match sawn {
        None => format!("{:?} view", drawing.view),
        Some(at) => format!(
            "Section at {}",
            render::figures::length(at.station_mm, layout.unit)
        ),
    };
    let ribbon = match drawing.view {
        picture::View::Side | picture::View::Plan => " and the shift ribbon",
        picture::View::Front => "",
    };
    let shows = match tried {
        None => format!("{of} of {plan_is}"),
        Some(tried) => format!("{of} with `{}`, {plan_is} behind it{ribbon}", tried.name),
    };
    match sawn {
        None => shows,
        Some(at) => {
            let told = picture::cut_told(drawing, &layout.cut_at(at.station_mm));
            format!("{shows}. {}", told.trim_end_matches('.'))
        }
    }
}

/// A layout with the parts that are to be drawn.
fn picked<'a>(only: &[String], without: &[String], layout: &'a Layout) -> Cow<'a, Layout> {
    if only.is_empty() && without.is_empty() {
        return Cow::Borrowed(layout);
    }
    let mut layout = layout.clone();
    layout.parts.retain(|part| {
        let asked = only.is_empty() || only.contains(&part.name);
        asked && !without.contains(&part.name)
    });
    Cow::Owned(layout)
}

/// From which side the picture is drawn, and where a section is cut.
fn seen(args: &args::Draw, layout: &Layout) -> Result<(picture::View, Option<saw::Cut>), Fault> {
    let view = match args.view {
        View::Section => {
            let at = args.at.as_deref().ok_or_else(|| saw::none_given(layout))?;
            return Ok((picture::View::Front, Some(saw::asked(at, layout)?)));
        }
        View::Side => picture::View::Side,
        View::Plan => picture::View::Plan,
        View::Front => picture::View::Front,
    };
    if args.at.is_some() {
        return Err(
            Fault::error(Code::UnknownField, "--at is where a section is cut")
                .help("add --view section"),
        );
    }
    Ok((view, None))
}

/// The parts that a statement at odds names.
pub(crate) fn at_odds(layout: &Layout, document: &Document) -> Vec<String> {
    // A document that has been laid out is sound.
    let Ok(assembly) = assemble(document) else {
        return Vec::new();
    };
    let odd = layout.at_odds.iter().map(|odd| odd.statement.as_str());
    parts_named(layout, &assembly, &odd.collect::<Vec<_>>())
}

/// The parts that some statements name.
pub(crate) fn parts_named(
    layout: &Layout,
    assembly: &Assembly,
    statements: &[&str],
) -> Vec<String> {
    let named: Vec<&str> = assembly
        .statements
        .iter()
        .filter(|statement| statements.contains(&statement.name.as_str()))
        .flat_map(|statement| &statement.names)
        .map(String::as_str)
        .collect();
    let named: Vec<&str> = named
        .into_iter()
        .filter_map(|name| Some(layout.named(name)?.0.name.as_str()))
        .collect();
    let names = layout.parts.iter().map(|part| &part.name);
    names
        .filter(|part| named.contains(&part.as_str()))
        .cloned()
        .collect()
}

/// Writes a picture in the form that the file's ending asks for; `width` is that of a PNG in pixels.
pub(super) fn write(path: &Path, form: Form, svg: String, width: u32) -> Result<(), Refused> {
    let bytes = match form {
        Form::Svg => svg.into_bytes(),
        Form::Png => picture::png(&svg, width)
            .map_err(|error| trouble(path, format!("the picture can't be made: {error}")))?,
    };
    write_whole(path, &bytes)
}

pub(super) fn form_of(path: &Path) -> Result<Form, Refused> {
    match path.extension().and_then(|ending| ending.to_str()) {
        Some(ending) if ending.eq_ignore_ascii_case("svg") => Ok(Form::Svg),
        Some(ending) if ending.eq_ignore_ascii_case("png") => Ok(Form::Png),
        _ => Err(Refused {
            faults: vec![
                Fault::error(Code::File, "a picture is written as .svg or .png")
                    .help("end the file's name in one of them"),
            ],
            ..trouble(path, String::new())
        }),
    }
}

/// Writes a file beside the one wanted and renames it, so that nobody ever sees half a picture.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Refused> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let failed = |error: std::io::Error| not_written(path, folder, &error);
    let mut file = tempfile::NamedTempFile::new_in(folder).map_err(failed)?;
    file.write_all(bytes).map_err(failed)?;
    readable_by_all(file.as_file()).map_err(failed)?;
    file.persist(path).map_err(|error| failed(error.error))?;
    Ok(())
}

/// The file that could not be made bears a passing name: the person's own is told, and the reason.
fn not_written(path: &Path, folder: &Path, error: &std::io::Error) -> Refused {
    let reason = match error.kind() {
        ErrorKind::NotFound => format!("there is no folder `{}`", folder.display()),
        ErrorKind::PermissionDenied => {
            format!("you may not write in the folder `{}`", folder.display())
        }
        kind => kind.to_string(),
    };
    trouble(path, format!("it can't be written: {reason}"))
}

/// A file made for a while is its owner's alone; a picture is made to be passed on.
#[cfg(unix)]
fn readable_by_all(file: &std::fs::File) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn readable_by_all(_file: &std::fs::File) -> std::io::Result<()> {
    Ok(())
}

fn trouble(path: &Path, message: String) -> Refused {
    Refused {
        path: path.display().to_string(),
        text: String::new(),
        faults: vec![Fault::error(Code::File, message)],
    }
}

impl Told for DrawAnswer {
    fn text(&self, _width: usize) -> String {
        format!(
            "{}\n{} is written: {}.\n",
            self.verdict, self.written, self.shows
        )
    }
}
