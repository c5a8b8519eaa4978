//! `joints`: what lies between the head of each fastener and its tail, and what to buy and drill for it.

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::joint::JointReport;
use strongback_model::quantity::Unit;
use strongback_model::source::{Code, Fault, nearest};
use strongback_model::words::with_hands;

use super::draw::{form_of, write};
use super::locate::with_solution;
use super::{Answered, CAUTION, Told};
use crate::Status;
use crate::args;
use crate::load::{Loaded, Refused, load};
use crate::picture;
use crate::render;

/// Width of a PNG in pixels.
const WIDTH: u32 = 2400;

/// What `joints` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct JointsAnswer {
    /// The verdict in one line.
    pub verdict: String,
    /// The unit of the file, in which people read figures.
    pub unit: Unit,
    /// The joints that were named, else all of them.
    pub joints: Vec<JointReport>,
    /// The picture that was written.
    pub written: Option<String>,
    /// What to keep in mind.
    pub caution: String,
    /// Whether joints were named: these are told in full.
    #[serde(skip)]
    pub named: bool,
}

pub(super) fn run(args: &args::Joints) -> Result<(Status, Box<dyn Answered>), Refused> {
    let form = args.svg.as_deref().map(form_of).transpose()?;
    let loaded = load(&args.model)?;
    let document = loaded.asked(&args.asked)?;
    let (title, unit, all) = with_solution(&loaded, &document, |solved, located| {
        (
            located.layout.title,
            located.layout.unit,
            solved.joint_reports(),
        )
    })?;
    let joints = named(&loaded, all, &args.joint)?;
    let verdict = render::joints::verdict(&joints);
    if let Some((path, form)) = args.svg.as_deref().zip(form) {
        let [joint] = &joints[..] else {
            return Err(loaded.refuse(vec![one_wanted(&joints)]));
        };
        let svg = picture::joint(&title, joint, unit);
        write(path, form, svg, WIDTH)?;
    }
    let status = if joints.iter().all(JointReport::is_well) {
        Status::Well
    } else {
        Status::Amiss
    };
    Ok((
        status,
        Box::new(JointsAnswer {
            verdict,
            unit,
            joints,
            written: args.svg.as_ref().map(|path| path.display().to_string()),
            caution: CAUTION.to_owned(),
            named: !args.joint.is_empty(),
        }),
    ))
}

/// The joints of some names, in the order in which they are named; a joint on both sides by its own name means both.
fn named(
    loaded: &Loaded,
    all: Vec<JointReport>,
    names: &[String],
) -> Result<Vec<JointReport>, Refused> {
    if names.is_empty() {
        return Ok(all);
    }
    let mut list: Vec<JointReport> = Vec::new();
    for name in names {
        let hands = with_hands(name);
        let found = all
            .iter()
            .filter(|report| hands.contains(&report.joint.statement));
        let before = list.len();
        let new: Vec<JointReport> = found.cloned().collect();
        list.extend(new);
        if list.len() == before {
            let names = all.iter().map(|report| report.joint.statement.as_str());
            let near = nearest(name, names.clone()).map(|near| format!("the nearest is `{near}`"));
            let all: Vec<&str> = names.take(12).collect();
            let fault = Fault::error(Code::UnknownName, format!("there is no joint `{name}`"))
                .help_if(near.or_else(|| {
                    (!all.is_empty()).then(|| format!("there are: {}", all.join(", ")))
                }));
            return Err(loaded.refuse(vec![fault]));
        }
    }
    let mut seen: Vec<String> = Vec::new();
    list.retain(|report| {
        let new = !seen.contains(&report.joint.statement);
        seen.push(report.joint.statement.clone());
        new
    });
    Ok(list)
}

fn one_wanted(joints: &[JointReport]) -> Fault {
    let names: Vec<&str> = joints
        .iter()
        .map(|report| report.joint.statement.as_str())
        .take(12)
        .collect();
    Fault::error(
        Code::BadValue,
        format!(
            "a picture shows one joint, and {} are asked for",
            joints.len()
        ),
    )
    .help_if((!names.is_empty()).then(|| format!("name one of: {}", names.join(", "))))
}

impl Told for JointsAnswer {
    fn text(&self, width: usize) -> String {
        render::joints::text(self, width)
    }
}
