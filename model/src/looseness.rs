//! What would settle a loose part. In: a document and its solution. Out: for each motion left the relations that would take it
//! away, with the faces they would name; each verified: it meets that motion, with it the freedoms are one fewer, and nothing
//! more is at odds.

mod settling;

use schemars::JsonSchema;
use serde::Serialize;

use crate::assembly::Solved;
use crate::document::Document;
use crate::layout::{FeatureShape, Layout, Loose, PlacedFeature, PlacedPart};
use crate::words::Axis;

use settling::Measured;

/// A motion that is left, with what would settle it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Motion {
    /// The motion.
    pub motion: Loose,
    /// Relations that would settle it, as they would stand in the file; `…` stands for a figure.
    pub settled_by: Vec<String>,
}

/// Motions that are looked at; of more the rest is told without suggestions.
const LOOKED_AT: usize = 40;
/// What of a part is told in a motion, sizes apart.
const COORDINATES: [&str; 6] = ["fs", "bl", "wl", "roll", "pitch", "yaw"];
/// Suggestions for one motion, and how many are tried for them.
const SUGGESTIONS: usize = 3;
const TRIES: usize = 60;

/// All motions, each with what would settle it.
pub fn motions(document: &Document, solved: &Solved<'_>, layout: &Layout) -> Vec<Motion> {
    let of_each: Vec<Vec<Candidate>> = layout
        .loose
        .iter()
        .take(LOOKED_AT)
        .map(|motion| {
            let mut list = candidates(layout, motion);
            list.truncate(TRIES);
            list
        })
        .collect();
    let tried = of_each.iter().flatten().flat_map(|one| &one.tried);
    let measured = Measured::with(solved, tried);
    let settling = measured.solved(document, layout);
    layout
        .loose
        .iter()
        .enumerate()
        .map(|(at, motion)| {
            let candidates = of_each.get(at).into_iter().flatten();
            let settles = |relation: &String| {
                let settling = settling.as_ref();
                settling.is_some_and(|settling| settling.is_settled_by(at, relation))
            };
            Motion {
                motion: motion.clone(),
                settled_by: candidates
                    .filter(|one| one.tried.iter().any(settles))
                    .map(|one| one.shown.clone())
                    .take(SUGGESTIONS)
                    .collect(),
            }
        })
        .collect()
}

/// A relation as it is shown, and with figures to try it with, one after the other.
struct Candidate {
    tried: Vec<String>,
    shown: String,
}

impl Candidate {
    fn plain(relation: String) -> Self {
        Self {
            tried: vec![relation.clone()],
            shown: relation,
        }
    }
}

/// Relations that might settle a motion: to what is settled and nearest first, then to the datum.
fn candidates(layout: &Layout, motion: &Loose) -> Vec<Candidate> {
    let mut list = Vec::new();
    // what only moves before what also changes in size
    let mut names: Vec<&String> = motion.parts.iter().collect();
    names.sort_by_key(|name| {
        let changes = |(told, _): &&(String, f64)| {
            let what = told.strip_prefix(name.as_str()).unwrap_or("").trim();
            !what.is_empty() && !COORDINATES.contains(&what)
        };
        motion.rates.iter().filter(changes).count()
    });
    for name in names {
        let Some(part) = layout.part(name) else {
            continue;
        };
        for axis in Axis::ALL {
            let moves = |what: &str| {
                let told = format!("{name} {what}");
                motion.rates.iter().any(|(rate, _)| *rate == told)
            };
            if moves(axis.short()) {
                contacts(layout, part, axis, &mut list);
                spacing(layout, part, axis, &mut list);
            }
        }
        for face in part
            .features
            .iter()
            .filter(|f| f.shape != FeatureShape::Point)
        {
            let turns = ["roll", "pitch", "yaw"].iter().any(|turn| {
                let told = format!("{name} {turn}");
                motion.rates.iter().any(|(rate, _)| *rate == told)
            });
            if turns {
                let named = full(part, face);
                list.push(Candidate::plain(format!("Upright({named:?})")));
                list.push(Candidate::plain(format!("Level({named:?})")));
            }
        }
        let changes_in_size = motion.rates.iter().any(|(told, _)| {
            let what = told.strip_prefix(name.as_str()).unwrap_or("").trim();
            !what.is_empty() && !COORDINATES.contains(&what)
        });
        if changes_in_size {
            ends(layout, part, &mut list);
        }
    }
    list
}

/// Contacts with the nearest faces of settled parts that look along the axis.
fn contacts(layout: &Layout, part: &PlacedPart, axis: Axis, list: &mut Vec<Candidate>) {
    for face in part.features.iter().filter(|face| face.axis == Some(axis)) {
        for near in faces_near(layout, face) {
            let named = full(part, face);
            let cosine: f64 = match (near.looks, face.direction) {
                (Some(a), Some(b)) => a.iter().zip(b).map(|(a, b)| a * b).sum(),
                _ => continue,
            };
            let kind = if cosine > 0.0 { "Flush" } else { "Against" };
            list.push(Candidate::plain(format!(
                "{kind}({named:?}, {:?})",
                near.name
            )));
        }
    }
}

/// A face of a settled part.
struct Near {
    name: String,
    looks: Option<[f64; 3]>,
}

/// The faces of settled parts nearest to a face along the axis that both look along.
fn faces_near(layout: &Layout, face: &PlacedFeature) -> Vec<Near> {
    /// Faces that are tried.
    const NEAREST: usize = 2;
    let Some(axis) = face.axis else {
        return Vec::new();
    };
    let own = face.at_mm[axis.index()];
    let mut others: Vec<(f64, usize, &PlacedPart, &PlacedFeature)> = layout
        .parts
        .iter()
        .filter(|other| other.settled)
        .flat_map(|other| other.features.iter().map(move |feature| (other, feature)))
        .filter(|(_, feature)| feature.axis == Some(axis))
        .enumerate()
        .map(|(at, (other, feature))| {
            let apart = (feature.at_mm[axis.index()] - own).abs();
            (apart, at, other, feature)
        })
        .collect();
    // the first of the file among those that are as near
    let nearer =
        |a: &(f64, usize, _, _), b: &(f64, usize, _, _)| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1));
    if others.len() > NEAREST {
        others.select_nth_unstable_by(NEAREST, nearer);
        others.truncate(NEAREST);
    }
    others.sort_by(nearer);
    others
        .into_iter()
        .map(|(_, _, part, feature)| Near {
            name: full(part, feature),
            looks: feature.direction,
        })
        .collect()
}

/// A distance from the datum. Where a loose part happens to lie others may come out with no length: so it is tried
/// elsewhere too.
fn spacing(layout: &Layout, part: &PlacedPart, axis: Axis, list: &mut Vec<Candidate>) {
    let across = |feature: &&PlacedFeature| feature.axis == Some(axis);
    let other = |feature: &&PlacedFeature| feature.shape != FeatureShape::Face;
    let faces = part.features.iter();
    let first = faces.clone().find(across);
    if let Some(feature) = first.or_else(|| faces.clone().find(other)) {
        list.push(spaced(layout, part, feature, axis));
    }
}

/// One feature at a distance from the datum.
fn spaced(layout: &Layout, part: &PlacedPart, feature: &PlacedFeature, axis: Axis) -> Candidate {
    /// How far from where it lies, in shares of the greatest length of any part.
    const ELSEWHERE: [f64; 4] = [0.5, 1.0, -0.5, -1.0];
    let parts = layout.parts.iter();
    let longest = parts
        .flat_map(|part| part.over_all_mm)
        .filter(|length| length.is_finite())
        .fold(0.0, f64::max);
    let datum = match axis {
        Axis::Station => "datum.station",
        Axis::ButtockLine => "datum.buttock_line",
        Axis::Waterline => "datum.waterline",
    };
    let to = full(part, feature);
    let by = feature.at_mm[axis.index()];
    let with = |by: &str| format!("Spaced(from: {datum:?}, to: {to:?}, by: {by:?})");
    let elsewhere = ELSEWHERE.map(|share| by + share * longest);
    let figures = [by]
        .into_iter()
        .chain(elsewhere)
        .filter(|by| by.is_finite());
    Candidate {
        tried: figures.map(|by| with(&format!("{by:.9} mm"))).collect(),
        shown: with("…"),
    }
}

/// A found size settled by where an end or a face of the part comes to: ends first, then other faces.
fn ends(layout: &Layout, part: &PlacedPart, list: &mut Vec<Candidate>) {
    let mut faces: Vec<(&PlacedFeature, Axis)> = part
        .features
        .iter()
        .filter_map(|face| Some((face, face.axis?)))
        .collect();
    faces.sort_by_key(|(face, _)| !face.name.ends_with("_end"));
    for (end, _) in &faces {
        for near in faces_near(layout, end) {
            let (end, face) = (full(part, end), near.name);
            list.push(Candidate::plain(format!(
                "Reaches(end: {end:?}, face: {face:?})"
            )));
        }
    }
    list.extend(
        faces
            .iter()
            .map(|(face, axis)| spaced(layout, part, face, *axis)),
    );
}

fn full(part: &PlacedPart, feature: &PlacedFeature) -> String {
    format!("{}.{}", part.name, feature.name)
}
