//! The chapter of sections: one at each part that stands across the fuselage. In: a layout. Out: pictures, the foremost first.

use strongback_model::layout::Layout;

use super::Chapter;
use super::chapters::figure;
use crate::command::Cut;
use crate::picture::{self, Drawing, View};

/// The faces at which they are cut: the first that a part has.
const FACES: [&str; 2] = ["web_fwd", "fwd"];
/// Of parts that lie within this of one another, in mm, one is enough.
const SAME_STATION_MM: f64 = 1.0;

/// The chapter; none where nothing stands across.
pub(super) fn sections(layout: &Layout, at_odds: &[String]) -> Option<Chapter> {
    let mut body = String::from(
        "<p class=\"note\">What a saw across the fuselage would show, looking forward, just aft of the face named.</p>\n",
    );
    let cuts = cuts(layout);
    for (at, cut) in cuts.iter().enumerate() {
        let id = format!("section-{at}");
        let drawing = Drawing {
            at_odds,
            id: &id,
            ..Drawing::new(layout, View::Front)
        };
        let face = cut.face.as_deref().unwrap_or_default();
        body += &figure(
            &picture::section(&drawing, cut.saw()),
            &format!("At {face}, looking forward."),
        );
    }
    (!cuts.is_empty()).then(|| Chapter {
        title: "Sections".to_owned(),
        body,
    })
}

/// At each part that stands across, the foremost first.
fn cuts(layout: &Layout) -> Vec<Cut> {
    let parts = layout.parts.iter();
    let mut cuts: Vec<Cut> = parts
        .filter(|part| part.stands_across)
        .filter_map(|part| {
            let face = FACES.iter().find_map(|face| part.feature(face))?;
            Cut::at_face(face, &format!("{}.{}", part.name, face.name))
        })
        .filter(|cut| cut.station_mm.is_finite())
        .collect();
    // stable: of those at one station the first of the file is kept
    cuts.sort_by(|a, b| a.station_mm.total_cmp(&b.station_mm));
    cuts.dedup_by(|later, kept| later.station_mm - kept.station_mm < SAME_STATION_MM);
    cuts
}
