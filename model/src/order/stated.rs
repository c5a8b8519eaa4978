//! The order of fitting as the file states it, and the tools that it works with. In: names of parts, joints and tools. Out: the same by their
//! numbers in the assembly, and the room of each tool in millimetres.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use crate::assembly::{Assembly, DATUM, Quantities};
use crate::document::{Document, Remarks};
use crate::quantity::Kind;
use crate::relation::unknown;
use crate::source::{Code, Fault, Given, Text};
use crate::trade::tools::{Envelope, Handle, Section, Tool};
use crate::words::with_hands;

/// A statement about the order of fitting.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
pub enum Fitting {
    /// The first part has to be in before the second one.
    Before(Text, Text),
    /// A joint is left open until a part is in.
    OpenUntil(Text, Text),
}

impl Fitting {
    /// An example for the format reference.
    pub const EXAMPLE: &'static str = r#"order: {
    "floor before seat front": (is: Before("front floor", "seat front"), because: "its rivets are bucked from the seats"),
    "room for an arm": OpenUntil("floor rivets", "tunnel side"),
}"#;

    /// The parts that it names.
    pub(crate) fn parts(&self) -> Vec<&Text> {
        match self {
            Fitting::Before(first, then) => vec![first, then],
            Fitting::OpenUntil(_, until) => vec![until],
        }
    }

    /// The joint that it names.
    pub(crate) fn joint(&self) -> Option<&Text> {
        match self {
            Fitting::Before(..) => None,
            Fitting::OpenUntil(joint, _) => Some(joint),
        }
    }
}

/// Another tool than the usual one of its kind.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnTool {
    /// Outwards from the metal, round about the axis of the fastener: diameter and length of each section.
    pub sections: Vec<(Given, Given)>,
    /// Width and reach of a handle, which leads off to any side from the last section.
    #[serde(default)]
    pub handle: Option<(Given, Given)>,
}

impl OwnTool {
    /// An example for the format reference.
    pub const EXAMPLE: &'static str = r#"tools: {
    "angle drill": (sections: [("1/8 in", "3/8 in"), ("3/4 in", "7/8 in")], handle: ("3/4 in", "7 in")),
}"#;

    fn envelope(&self, name: &Text, quantities: &Quantities) -> Result<Envelope, Fault> {
        let length = |given: &Given| -> Result<f64, Fault> {
            let value = quantities.value(given, Kind::Length)?;
            if value.is_finite() && value > 0.0 {
                return Ok(value);
            }
            Err(
                Fault::error(Code::BadSize, "a tool's size has to be greater than zero")
                    .at(given.span(), ""),
            )
        };
        if self.sections.is_empty() {
            return Err(
                Fault::error(Code::Empty, format!("`{}` has no sections", name.value))
                    .at(name.span.clone(), "")
                    .help("give diameter and length of each, outwards from the metal"),
            );
        }
        let sections = self.sections.iter().map(|(wide, long)| {
            Ok(Section {
                wide_mm: length(wide)?,
                long_mm: length(long)?,
            })
        });
        let handle = self.handle.as_ref().map(|(wide, long)| {
            Ok(Handle {
                wide_mm: length(wide)?,
                long_mm: length(long)?,
            })
        });
        Ok(Envelope {
            sections: sections.collect::<Result<_, Fault>>()?,
            handle: handle.transpose()?,
        })
    }
}

/// What a file states of the order of fitting.
#[derive(Clone, Debug, Default)]
pub struct AssembledOrder {
    pub(crate) statements: Vec<AssembledFitting>,
    /// Tools of the file's own.
    pub(crate) tools: BTreeMap<Tool, Envelope>,
}

impl AssembledOrder {
    /// The room of a tool: of the file's own, or of the usual one.
    pub(crate) fn envelope(&self, tool: Tool) -> Envelope {
        let own = self.tools.get(&tool).cloned();
        own.unwrap_or_else(|| tool.usual())
    }
}

/// A statement about the order, with what it means by number.
#[derive(Clone, Debug)]
pub(crate) struct AssembledFitting {
    pub(crate) name: String,
    pub(crate) because: Option<String>,
    pub(crate) is: Meant,
}

/// What is meant; both hands where a name has none.
#[derive(Clone, Debug)]
pub(crate) enum Meant {
    Before(Vec<usize>, Vec<usize>),
    /// Joints by the names of their statements.
    OpenUntil(Vec<String>, Vec<usize>),
}

/// Takes what a document states of the order.
pub(crate) fn enter(assembly: &mut Assembly, document: &Document, faults: &mut Vec<Fault>) {
    for entry in &document.order {
        let stated = &entry.value;
        faults.extend(out_of_place(&stated.remarks, &entry.name));
        match meant(assembly, document, &stated.is) {
            Ok(is) => assembly.order.statements.push(AssembledFitting {
                name: entry.name.value.clone(),
                because: stated.remarks.reason(),
                is,
            }),
            Err(fault) => faults.push(fault),
        }
    }
    for entry in &document.tools {
        let known = Tool::ALL
            .iter()
            .find(|tool| tool.word() == entry.name.value);
        let Some(tool) = known else {
            let words = Tool::ALL.iter().map(|tool| tool.word());
            faults.push(unknown("tool", &entry.name, &entry.name.value, words));
            continue;
        };
        match entry.value.envelope(&entry.name, &assembly.quantities) {
            Ok(envelope) => {
                assembly.order.tools.insert(*tool, envelope);
            }
            Err(fault) => faults.push(fault),
        }
    }
}

/// Remarks that mean nothing of an order.
fn out_of_place(remarks: &Remarks, name: &Text) -> Option<Fault> {
    let word = if remarks.within.is_some() {
        "within"
    } else if remarks.adjustable.is_some() {
        "adjustable"
    } else if remarks.trust.is_some() {
        "trust"
    } else {
        return None;
    };
    Some(
        Fault::error(
            Code::BadValue,
            format!(
                "`{}` states an order, and `{word}` is none of it",
                name.value
            ),
        )
        .at(name.span.clone(), "")
        .help("it takes `because` and `sheet`"),
    )
}

fn meant(assembly: &Assembly, document: &Document, stated: &Fitting) -> Result<Meant, Fault> {
    match stated {
        Fitting::Before(first, then) => {
            let [a, b] = [parts(assembly, first)?, parts(assembly, then)?];
            if a.iter().any(|part| b.contains(part)) {
                return Err(Fault::error(
                    Code::Twice,
                    format!("`{}` can't be in before itself", then.value),
                )
                .at(then.span.clone(), ""));
            }
            Ok(Meant::Before(a, b))
        }
        Fitting::OpenUntil(joint, until) => {
            let until = parts(assembly, until)?;
            let joints = joints(assembly, document, joint)?;
            Ok(Meant::OpenUntil(joints, until))
        }
    }
}

fn parts(assembly: &Assembly, name: &Text) -> Result<Vec<usize>, Fault> {
    let names = with_hands(&name.value);
    let parts = assembly.parts.iter().enumerate();
    let found: Vec<usize> = parts
        .filter(|(_, part)| part.name != DATUM && names.contains(&part.name))
        .map(|(at, _)| at)
        .collect();
    if found.is_empty() {
        let parts = assembly.parts.iter().map(|part| part.name.as_str());
        let all = parts.filter(|name| *name != DATUM);
        return Err(unknown("part", name, &name.value, all));
    }
    Ok(found)
}

/// The joints of a name; none where it is a relation that makes no joint now.
fn joints(assembly: &Assembly, document: &Document, name: &Text) -> Result<Vec<String>, Fault> {
    let names = with_hands(&name.value);
    let bolted = assembly.joints.iter().map(|joint| joint.statement.as_str());
    let all = bolted.chain(assembly.seams.iter().map(|seam| seam.statement.as_str()));
    let found: Vec<String> = all
        .clone()
        .filter(|joint| names.iter().any(|name| name == joint))
        .map(str::to_owned)
        .collect();
    let is_relation = document
        .relations
        .names()
        .any(|relation| relation == name.value);
    if found.is_empty() && !is_relation {
        return Err(unknown("joint", name, &name.value, all));
    }
    Ok(found)
}

/// Lets go of what is stated of a part or joint that is left out.
pub(crate) fn forget(document: &mut Document, part: Option<&str>, joint: Option<&str>) {
    let is = |text: &Text, name: &str| with_hands(name).contains(&text.value);
    let names: Vec<String> = document
        .order
        .iter()
        .filter(|entry| {
            let stated = &entry.value.is;
            let parts = stated.parts();
            let of_part = part.is_some_and(|part| parts.iter().any(|text| is(text, part)));
            let of_joint = joint.zip(stated.joint());
            of_part || of_joint.is_some_and(|(joint, text)| is(text, joint))
        })
        .map(|entry| entry.name.value.clone())
        .collect();
    for name in names {
        document.order.remove(&name);
    }
}
