//! The names of parts on the paper. In: a scene and where its view lies. Out: what each name asks of `labels`; then the
//! leaders, dots and texts where `labels` and `leaders` have put them, in mm of paper. Parts that are drawn as one, such as both hands
//! of a rail seen from the side, are named as one.

use super::clusters::{self, Reach};
use super::ink;
use super::joined::joined;
use super::labels::{Fan, Labels, Rank, Slant, Wanted};
use super::leaders::leaders;
use super::look::{Change, Emphasis};
use super::scene::Scene;
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::subject;
use super::view::Mapping;

/// Between a view and where its leaders bend.
pub(super) const CLEAR: f64 = 1.5;

/// The names to be placed.
pub(super) struct Names {
    pub(super) wanted: Vec<Wanted>,
    /// The subjects that each of them names.
    of: Vec<Vec<usize>>,
}

impl Names {
    /// Parts that no placed name names.
    pub(super) fn left_out(&self, labels: &Labels) -> usize {
        let all: usize = self.of.iter().map(Vec::len).sum();
        let named: usize = labels
            .placed
            .iter()
            .map(|placed| self.of[placed.of].len())
            .sum();
        all - named
    }
}

/// Which names are wanted and where their leaders may go.
pub(super) fn wanted(scene: &Scene<'_>, mapping: &Mapping, bounds: [[f64; 2]; 3]) -> Names {
    let tall = bounds[1][1] - bounds[1][0];
    let groups = drawn_as_one(scene, mapping);
    let reaches: Vec<Reach> = groups
        .iter()
        .map(|(_, of)| {
            let subject = &scene.subjects[of[0]];
            let middle = 0.5 * (subject.bounds[1][0] + subject.bounds[1][1]);
            Reach {
                along: subject.bounds[0].map(|station| mapping.x(station)),
                height: if tall > 0.0 {
                    (middle - bounds[1][0]) / tall
                } else {
                    0.5
                },
            }
        })
        .collect();
    let mut names = Names {
        wanted: Vec::new(),
        of: Vec::new(),
    };
    for (at, along) in clusters::ordered(&reaches) {
        let (text, of) = &groups[at];
        let look = scene.looks[of[0]];
        names.wanted.push(Wanted {
            text: match look.place.words() {
                "" => text.clone(),
                words => format!("{text} ({words})"),
            },
            along,
            height: reaches[at].height,
            rank: match (look.emphasis, look.change) {
                (Emphasis::Picked, _) => Rank::Picked,
                (Emphasis::Plain, Change::Same) => Rank::Plain,
                (Emphasis::Plain, _) => Rank::Moved,
            },
        });
        names.of.push(of.clone());
    }
    names
}

/// Names, each with the subjects that it is of: several if they cover each other on the paper and look alike.
fn drawn_as_one(scene: &Scene<'_>, mapping: &Mapping) -> Vec<(String, Vec<usize>)> {
    const SAME: f64 = 0.05;
    let mut groups: Vec<(String, Vec<usize>)> = Vec::new();
    for (at, subject) in scene.subjects.iter().enumerate() {
        let covers = |other: usize| {
            let other = &scene.subjects[other];
            (0..2).all(|axis| {
                (0..2).all(|end| {
                    let apart = subject.bounds[axis][end] - other.bounds[axis][end];
                    apart.abs() * mapping.scale.paper_per_mm < SAME
                })
            })
        };
        let part_of = |of: &usize| scene.subjects[*of].part.name.as_str();
        let found = groups.iter_mut().find_map(|group| {
            let first = group.1[0];
            if !covers(first) || scene.looks[first] != scene.looks[at] {
                return None;
            }
            let mut parts: Vec<&str> = group.1.iter().map(part_of).collect();
            parts.push(&subject.part.name);
            Some((joined(&parts)?, group))
        });
        match found {
            Some((text, group)) => {
                group.0 = text;
                group.1.push(at);
            }
            None => groups.push((subject.part.name.clone(), vec![at])),
        }
    }
    groups
}

/// Draws leaders and names; `top` and `foot` are those of the view.
pub(super) fn draw(
    sheet: &mut Sheet,
    scene: &Scene<'_>,
    (names, labels): (&Names, &Labels),
    mapping: &Mapping,
    [top, foot]: [f64; 2],
) {
    let of = |at: usize| &scene.subjects[names.of[labels.placed[at].of][0]];
    let along: Vec<[f64; 2]> = (0..labels.placed.len())
        .map(|at| of(at).bounds[0].map(|station| mapping.x(station)))
        .collect();
    let heights = |at: usize, x: f64| {
        let [low, high] = subject::heights_at(of(at), mapping.station_at(x));
        [mapping.y(high), mapping.y(low)]
    };
    let bend = [top - CLEAR, foot + CLEAR];
    let start = [bend[0] - labels.bend[0], bend[1] + labels.bend[1]];
    let margins = [super::MARGIN, super::PAPER - super::MARGIN];
    let leaders = leaders(labels, &along, heights, [bend, start], margins);
    sheet.open(&format!(
        r#"class="leaders" fill="none" stroke="{}" stroke-width="{}""#,
        ink::PALE_INK,
        ink::FINE
    ));
    for leader in &leaders {
        let [[px, start_y], [bx, bend_y], [x, y]] = leader.corners.map(|at| at.map(number));
        sheet.put(format_args!(
            r#"<path d="M{px} {start_y}L{bx} {bend_y}L{x} {y}"/>"#
        ));
        sheet.put(format_args!(
            r#"<circle cx="{x}" cy="{y}" r="0.45" fill="{}" stroke="none"/>"#,
            ink::INK
        ));
    }
    sheet.close();
    let size = labels.size;
    for (placed, leader) in labels.placed.iter().zip(&leaders) {
        let [x, y] = leader.corners[0];
        let colour = scene.looks[names.of[placed.of][0]].stroke().0;
        let (at, anchor, turn_deg) = match (labels.slant, placed.fan) {
            (Slant::Flat, Fan::Above) => ([x, y - 0.35 * size], Anchor::Middle, 0.0),
            (Slant::Flat, Fan::Below) => ([x, y + size], Anchor::Middle, 0.0),
            (Slant::Slanted, Fan::Above) => {
                ([x + 0.3 * size, y - 0.2 * size], Anchor::Start, -45.0)
            }
            (Slant::Slanted, Fan::Below) => ([x + 0.3 * size, y + 0.75 * size], Anchor::End, -45.0),
        };
        let lettering = Lettering {
            turn_deg,
            ..Lettering::new(size, colour, anchor)
        };
        sheet.text(at, &placed.text, lettering);
    }
}
