//! The format reference, made from the types: `model/FORMAT.md` is this text, and a test holds the two
//! together.

use std::fmt::Write;

use schemars::{JsonSchema, Schema, schema_for};
use serde_json::Value;

use crate::blank::Bends;
use crate::change::{self, Change};
use crate::contour::Contour;
use crate::document::{Deviation, Document, Wrapped};
use crate::measurement::Measurement;
use crate::must_fit::{self, MustFit};
use crate::order::{Fitting, OwnTool};
use crate::part::{self, About, Part};
use crate::quantity::Unit;
use crate::record::{Adopted, MadePart, Note, Record};
use crate::relation::{self, Relation};
use crate::source::{Given, read};
use crate::stock::Bought;

const HEAD: &str = include_str!("reference/head.md");

/// The whole reference as Markdown.
pub fn format_reference() -> String {
    let mut text = String::from(HEAD);
    section(&mut text, "The file");
    fields::<Document>(&mut text);
    section(&mut text, "What a statement may say of itself");
    text.push_str(
        "Any dimension, relation or must-fit is written bare, or in brackets with remarks, as in \
         `(is: Flush(\"a.fwd\", \"b.aft\"), sheet: \"S3\", within: \"1/64 in\")`:\n\n",
    );
    fields::<Wrapped<Given>>(&mut text);
    section(&mut text, "Contours");
    let _ = write!(
        text,
        "The outside of the skin, each piece under its name: a smooth surface through cross sections. `Skin` follows one, and \
         `OnContour` holds points to it. Each section is a cubic spline through its points (a sharp corner takes points close \
         together); from section to section the points of one number are joined by a spline, straight between two sections.\n\n\
         ```ron\n{}\n```\n\n",
        Contour::EXAMPLE
    );
    fields::<Contour>(&mut text);
    section(&mut text, "Stock");
    let _ = write!(
        text,
        "What can be bought, each under its name: `Sheet`, its `gauge`, `width` and `length`; or `Lengths`, the section (`of`: Angle, \
         Bar, Channel, Hat or Tube, whatever its sizes) and the `length`. Verdicts on parts then count whole sheets and lengths; \
         without it they tell areas and lengths alone.\n\n```ron\n{}\n```\n",
        Bought::EXAMPLE
    );
    section(&mut text, "Bends and blanks");
    let _ = write!(
        text,
        "How sheet is bent, under `bending`; `strongback blanks` makes the flat patterns. The tables in print of least inside radii \
         disagree, and the answer says which is in use. A part that states no `radius` is made with the least one of its alloy and \
         thickness. A leg is measured to the mold lines, over the outsides of its bends. Relief holes lie where tangent lines meet.\n\n\
         ```ron\n{}\n```\n\n",
        Bends::EXAMPLE
    );
    fields::<Bends>(&mut text);
    section(&mut text, "Parts");
    text.push_str(
        "Every kind takes, besides its own fields, `at`, `turn`, `sides`, `holes`, `sheet`, `alloy` and `cut_for`:\n\n",
    );
    shared(&mut text);
    kinds::<Part>(&mut text, part::KINDS, &SHARED, &|example| {
        read::<Part>(example).ok().map(|part| {
            let mut says = part.kind().says().to_owned();
            if let Some(faces) = features(example) {
                let _ = write!(says, "\n\nFeatures of the example: {faces}.");
            }
            says
        })
    });
    section(&mut text, "Relations");
    text.push_str("Relations locate parts. Each of them but Seam and Readings is a must-fit too, when it stands under `must_fit`.\n");
    kinds::<Relation>(&mut text, relation::KINDS, &[], &|example| {
        let relation = read::<Relation>(example).ok()?;
        Some(relation.kind().says().to_owned())
    });
    section(&mut text, "Must-fits");
    text.push_str("A must-fit has to come true but locates nothing. Besides every relation:\n");
    kinds::<must_fit::OwnKind>(&mut text, must_fit::KINDS, &[], &|example| {
        read::<MustFit>(example).ok()?.says().map(str::to_owned)
    });
    section(&mut text, "Measurements");
    let _ = write!(
        text,
        "What was measured on the real thing, each under its name. A measurement locates nothing: `strongback measured` \
         compares it with the plan.\n\n```ron\n{}\n```\n\n",
        Measurement::EXAMPLE
    );
    fields::<Measurement>(&mut text);
    section(&mut text, "Order of fitting");
    order(&mut text);
    section(&mut text, "Changes of a deviation");
    let _ = write!(
        text,
        "A deviation has a name, a reason if there is one, and changes, which are made in their order on a copy of the model: the plan \
         stays as it is.\n\n```ron\n{}\n```\n",
        Deviation::EXAMPLE
    );
    kinds::<Change>(&mut text, change::KINDS, &[], &|example| {
        let change = read::<Change>(example).ok()?;
        Some(change.kind().says().to_owned())
    });
    section(&mut text, "The build record");
    record(&mut text);
    section(&mut text, "Units");
    let units = [
        Unit::Inch,
        Unit::Foot,
        Unit::Millimetre,
        Unit::Centimetre,
        Unit::Metre,
    ];
    for unit in units {
        let _ = writeln!(
            text,
            "- `{unit:?}`, written `{}`: {} mm",
            unit.symbol(),
            unit.mm()
        );
    }
    text
}

fn section(text: &mut String, title: &str) {
    let _ = write!(text, "\n## {title}\n\n");
}

/// The order of fitting and its tools.
fn order(text: &mut String) {
    let _ = write!(
        text,
        "What has to be in before what, each under its name: `Before(PART, PART)`; and which joint stays open, `OpenUntil(JOINT, PART)`. \
         A name without L or R means both hands. They locate nothing: `strongback order` finds an order that keeps them.\n\n```ron\n{}\n```\n\n\
         The tools that `order` finds room for are usual ones (common practice, no source); a tool of one's own takes its place, by \
         its name: {}.\n\n```ron\n{}\n```\n\n",
        Fitting::EXAMPLE,
        crate::trade::tools::Tool::ALL
            .iter()
            .map(|tool| format!("`{}`", tool.word()))
            .collect::<Vec<_>>()
            .join(", "),
        OwnTool::EXAMPLE
    );
    fields::<OwnTool>(text);
}

/// The format of the file that keeps what was built.
fn record(text: &mut String) {
    let _ = write!(
        text,
        "What has been made of the model `NAME.ron` is kept beside it in `NAME.built.ron`, which `strongback built` writes and a \
         person may mend; the record before the last entry is `NAME.built.ron.before`. With `--as-built` the commands ask of \
         what is built: the deviations adopted, parts that are cut at the sizes that they have, and fitted ones where they \
         are. Without it they ask of the plan as this file states it, and nothing of the record counts. Only a change is tried \
         beside the plan with the deviations that were adopted, since parts are made to them (`try`, `recut`, `remedy`, `draw` \
         with a change, the page, the book's chapter of deviations): what these tell names them.\n\n```ron\n{}\n```\n\n",
        Record::EXAMPLE
    );
    fields::<Record>(text);
    text.push_str("\nA part of it:\n\n");
    fields::<MadePart>(text);
    text.push_str("\nA deviation adopted:\n\n");
    fields::<Adopted>(text);
    text.push_str("\nA note:\n\n");
    fields::<Note>(text);
}

/// The fields that all kinds of part share, told once.
const SHARED: [&str; 7] = ["at", "turn", "sides", "holes", "sheet", "alloy", "cut_for"];

fn shared(text: &mut String) {
    let schema = schema_for!(Part);
    if let Some(plate) = definition(&schema, part::KINDS.first().map_or("", |about| about.word)) {
        for (name, field) in properties(plate) {
            if SHARED.contains(&name.as_str()) {
                line(text, &schema, name, field, false);
            }
        }
    }
    text.push_str(
        "\n`at` takes `fs`, `bl` and `wl`; `turn` takes `roll`, `pitch` and `yaw`; a hole takes `fs`, `bl`, `wl`, \
         `diameter` and `along`: in the part's own coordinates, counted from its origin as it stands before it is turned; `along`, the axis \
         that it is drilled along, is that through a flat part's thickness, and has to be said of any other.\n",
    );
}

/// Each kind of a list: what it says of itself, its example, its fields but those that are told elsewhere.
fn kinds<T: JsonSchema>(
    text: &mut String,
    list: &[About],
    elsewhere: &[&str],
    says: &dyn Fn(&str) -> Option<String>,
) {
    let schema = schema_for!(T);
    for about in list {
        let _ = write!(text, "\n### {}\n\n", about.word);
        if let Some(says) = says(about.example) {
            let _ = write!(text, "{says}\n\n");
        }
        let _ = write!(text, "```ron\n{}\n```\n", about.example);
        if let Some(definition) = definition(&schema, about.word) {
            let mut list = String::new();
            let required = required(definition);
            for (name, field) in properties(definition) {
                if !elsewhere.contains(&name.as_str()) {
                    line(
                        &mut list,
                        &schema,
                        name,
                        field,
                        required.contains(&name.as_str()),
                    );
                }
            }
            if !list.is_empty() {
                text.push('\n');
                text.push_str(&list);
            }
        }
    }
}

fn fields<T: JsonSchema>(text: &mut String) {
    let schema = schema_for!(T);
    let value = schema.as_value();
    let required = required(value);
    for (name, field) in properties(value) {
        line(
            text,
            &schema,
            name,
            field,
            required.contains(&name.as_str()),
        );
    }
}

fn line(text: &mut String, schema: &Schema, name: &str, field: &Value, required: bool) {
    let description = field
        .get("description")
        .and_then(Value::as_str)
        .unwrap_or("")
        .replace('\n', " ");
    let must = if required { " **Required.**" } else { "" };
    let words = words(schema, field);
    let choice = if words.is_empty() {
        String::new()
    } else {
        format!(" One of {}.", words.join(", "))
    };
    let _ = writeln!(text, "- `{name}`: {description}{choice}{must}");
}

/// The bare words among which a field chooses, if it does.
fn words(schema: &Schema, field: &Value) -> Vec<String> {
    let reference = |value: &Value| value.get("$ref").and_then(Value::as_str).map(str::to_owned);
    let within = |list: &str| {
        field
            .get(list)
            .and_then(Value::as_array)?
            .iter()
            .find_map(reference)
    };
    let target = reference(field)
        .or_else(|| within("anyOf"))
        .or_else(|| within("allOf"));
    let Some(definition) = target
        .as_deref()
        .and_then(|target| target.strip_prefix("#/$defs/"))
        .and_then(|word| definition(schema, word))
    else {
        return Vec::new();
    };
    let plain = definition
        .get("enum")
        .and_then(Value::as_array)
        .into_iter()
        .flatten();
    let told = definition
        .get("oneOf")
        .and_then(Value::as_array)
        .into_iter()
        .flatten();
    let told = told.flat_map(|one| {
        let list = one
            .get("enum")
            .and_then(Value::as_array)
            .into_iter()
            .flatten();
        one.get("const").into_iter().chain(list)
    });
    plain
        .chain(told)
        .filter_map(Value::as_str)
        .map(|word| format!("`{word}`"))
        .collect()
}

pub(crate) fn definition<'s>(schema: &'s Schema, word: &str) -> Option<&'s Value> {
    schema.as_value().get("$defs")?.get(word)
}

pub(crate) fn properties(value: &Value) -> impl Iterator<Item = (&String, &Value)> {
    value
        .get("properties")
        .and_then(Value::as_object)
        .into_iter()
        .flatten()
}

fn required(value: &Value) -> Vec<&str> {
    value
        .get("required")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .collect()
}

/// The names of the features of an example part.
fn features(example: &str) -> Option<String> {
    let text = format!(
        "(format: 1, title: \"x\", unit: Inch, fit: 1, contours: {{ {} }}, stock: {{ {} }}, parts: {{ \"anchor\": Custom(at: (fs: 0, bl: 0, wl: 0)), \"part\": {example} }}, \
         relations: {{ \"placed\": MirrorOf(part: \"part\", of: \"anchor\") }})",
        Contour::EXAMPLE,
        Bought::EXAMPLE
    );
    let document = read::<Document>(&text).ok()?;
    let assembly = crate::assembly::assemble(&document).ok()?;
    let part = assembly.parts.last()?;
    let names: Vec<String> = part
        .shape
        .features
        .keys()
        .map(|name| format!("`{name}`"))
        .collect();
    Some(names.join(", "))
}
