//! The names of parts on the paper. In: a scene and where its view lies. Out: what each name asks of `labels`; then the
//! leaders, dots and texts where `labels` has put them, in mm of paper.

use super::ink;
use super::labels::{Fan, Labels, Rank, Slant, Wanted};
use super::parts::Look;
use super::scene::Scene;
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::subject;
use super::view::Mapping;

/// Between a view and where its leaders bend.
pub(super) const CLEAR: f64 = 1.5;

/// Which names are wanted and where their leaders may go.
pub(super) fn wanted(scene: &Scene<'_>, mapping: &Mapping, bounds: [[f64; 2]; 3]) -> Vec<Wanted> {
    let tall = bounds[1][1] - bounds[1][0];
    scene
        .subjects
        .iter()
        .zip(&scene.looks)
        .map(|(subject, look)| {
            let middle = 0.5 * (subject.bounds[1][0] + subject.bounds[1][1]);
            Wanted {
                text: subject.part.name.clone(),
                along: subject.bounds[0].map(|station| mapping.x(station)),
                height: if tall > 0.0 {
                    (middle - bounds[1][0]) / tall
                } else {
                    0.5
                },
                rank: match look {
                    Look::Plain => Rank::Plain,
                    Look::Moved => Rank::Moved,
                    Look::Picked | Look::PickedAndMoved => Rank::Picked,
                },
            }
        })
        .collect()
}

/// Draws leaders and names; `top` and `foot` are those of the view.
pub(super) fn draw(
    sheet: &mut Sheet,
    scene: &Scene<'_>,
    labels: &Labels,
    mapping: &Mapping,
    [top, foot]: [f64; 2],
) {
    sheet.open(&format!(
        r#"class="leaders" fill="none" stroke="{}" stroke-width="{}""#,
        ink::PALE_INK,
        ink::FINE
    ));
    let mut texts = Vec::new();
    for placed in &labels.placed {
        let subject = &scene.subjects[placed.of];
        let [touch, place] = placed.x;
        let [low, high] =
            subject::heights_at(subject, mapping.station_at(touch)).map(|up| mapping.y(up));
        // just inside the part, from the side on which the name is
        let inside = (0.5 * (low - high)).clamp(0.0, 1.0);
        let (end, bend, start) = match placed.fan {
            Fan::Above => (high + inside, top - CLEAR, top - CLEAR - labels.bend[0]),
            Fan::Below => (low - inside, foot + CLEAR, foot + CLEAR + labels.bend[1]),
        };
        let [x, px, end_y, bend_y, start_y] = [touch, place, end, bend, start].map(number);
        sheet.put(format_args!(
            r#"<path d="M{px} {start_y}L{x} {bend_y}V{end_y}"/>"#
        ));
        sheet.put(format_args!(
            r#"<circle cx="{x}" cy="{end_y}" r="0.4" fill="{}" stroke="none"/>"#,
            ink::INK
        ));
        texts.push((placed, [place, start]));
    }
    sheet.close();
    let size = labels.size;
    for (placed, [x, y]) in texts {
        let look = scene.looks[placed.of];
        let colour = if look == Look::Plain {
            ink::INK
        } else {
            look.stroke().0
        };
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
