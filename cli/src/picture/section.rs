//! A section on paper: what a saw across the fuselage at a station would show, looking forward. In: a drawing and the station.
//! Out: its SVG: what is cut bold and hatched, what lies ahead of it pale behind, the old cut as a ghost where it differs.

use strongback_model::section::{NearestMetal, Section};

use super::composition::{self, Field, LEFT, RIGHT};
use super::legend::{self, Behind};
use super::look::{self, Change, Look, Place};
use super::ribbon::Course;
use super::scene::Scene;
use super::sheet::{Anchor, Lettering, Sheet, escaped, number};
use super::subject::{Bounds, Subject};
use super::view::{Mapping, Scale, View};
use super::{Drawing, MARGIN, PAPER, caption, doubts, ink, parts, ruler};
use super::{ruler_up, sawn};
use crate::render::figures;

/// Where the saw goes.
#[derive(Clone, Copy, Debug)]
pub struct Saw<'a> {
    /// The station, in millimetres; just aft of it where a face lies there.
    pub station_mm: f64,
    /// The face whose station that is, if it was found by one.
    pub face: Option<&'a str>,
}

/// The section as SVG, of the same paper as [`svg`](super::svg); the drawing's own view is not asked.
///
/// Each part that is cut is a group of class `cut`, each that lies ahead one of class `ahead`, both with `data-part`.
#[must_use]
pub fn section(drawing: &Drawing<'_>, saw: Saw<'_>) -> String {
    let station = saw.station_mm;
    let drawing = &Drawing {
        view: View::Front,
        ..*drawing
    };
    let section = drawing.layout.cut_at(station);
    let ahead = sawn::ahead(drawing.layout, station);
    let mut scene = Scene::of_subjects(drawing, sawn::cut(drawing.layout, &section));
    scene.ghosts = drawing.before.as_ref().map_or_else(Vec::new, |before| {
        let old = sawn::cut(before.layout, &before.layout.cut_at(station));
        sawn::otherwise(old, &scene.subjects)
    });
    let mut bounds = Bounds::default();
    let shown = scene.subjects.iter().chain(&scene.ghosts).chain(&ahead);
    shown.for_each(|subject| bounds.take_all(subject.bounds));

    let unit = drawing.layout.unit;
    let mut sheet = Sheet::default();
    let told = figures::length(station, unit);
    let seen = format!("Section at {told}, looking forward");
    let mut y;
    if let Some(bounds) = bounds.0 {
        let extent = [0, 1].map(|i| bounds[i][1] - bounds[i][0]);
        let room = [RIGHT - LEFT, drawing.view.aspect().highest];
        let scale = Scale::fitting(extent, room);
        y = composition::heading(&mut sheet, drawing, &seen, scale);
        let field = Field::of(&scene, bounds, scale, unit, y);
        let (mapping, range) = (&field.mapping, field.range);
        field.behind(&mut sheet, scene.view, bounds);
        draw_ahead(&mut sheet, drawing, &ahead, mapping);
        draw_cut(&mut sheet, &scene, mapping);
        ruler_up::draw(&mut sheet, mapping, bounds[1], mapping.x(range[0]), unit);
        y = field.over(&mut sheet, &scene, drawing);
        let words = ruler::told(drawing.view.aspect(), unit, None);
        ruler::draw(&mut sheet, mapping, range, y, unit, &words, &[]);
        y += ruler::HEIGHT + 3.0;
        y = words_below(&mut sheet, drawing, (saw, &section), &scene, &told, y);
        for line in composition::left_out(drawing.left_out, scene.missing, field.names_left_out()) {
            y += 1.4 * ink::NOTE;
            let lettering = Lettering::new(ink::NOTE, ink::INK, Anchor::Start);
            sheet.text([MARGIN, y], &line, lettering);
        }
    } else {
        let scale = Scale::fitting([1.0; 2], [1.0; 2]);
        y = composition::heading(&mut sheet, drawing, &seen, scale) + 5.0;
        y = words_below(&mut sheet, drawing, (saw, &section), &scene, &told, y);
    }
    y = composition::note(&mut sheet, y + 1.0);
    sheet.finish(PAPER, y, &format!("{}. {seen}", drawing.title))
}

/// What lies ahead, pale: far ones first.
fn draw_ahead(sheet: &mut Sheet, drawing: &Drawing<'_>, ahead: &[Subject<'_>], mapping: &Mapping) {
    for item in parts::painters_order(ahead, &[]) {
        let parts::Item::Part(at) = item else {
            continue;
        };
        let name = &ahead[at].part.name;
        let picked = drawing.highlight.contains(name);
        sheet.open(&format!(
            r#"class="ahead" data-part="{}" stroke="{}" stroke-width="{}" stroke-linejoin="round" fill="none""#,
            escaped(name),
            if picked { ink::PICKED } else { ink::AHEAD },
            number(if picked { ink::BOLD } else { ink::FINE })
        ));
        sheet.hint(&format!("{name}, ahead of the cut"));
        parts::surfaces(
            sheet,
            &ahead[at],
            mapping,
            &format!(r#"fill="{}""#, ink::AHEAD_FILL),
        );
        parts::lines(sheet, &ahead[at], mapping);
        sheet.close();
    }
}

/// What is cut. The outline is drawn first and the metal over it, so that no line parts a web from its own flange.
fn draw_cut(sheet: &mut Sheet, scene: &Scene<'_>, mapping: &Mapping) {
    let id = &scene.id;
    let used: Vec<Change> = scene.looks.iter().map(|look| look.change).collect();
    look::patterns(sheet, id, &used);
    sheet.put(format_args!(
        r#"<defs><pattern id="{id}-cut" width="1.1" height="1.1" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><rect width="1.1" height="1.1" fill="{}"/><path d="M0 0V1.1" stroke="{}" stroke-width="0.26"/></pattern></defs>"#,
        ink::CUT_FILL,
        ink::INK
    ));
    for (at, (subject, look)) in scene.subjects.iter().zip(&scene.looks).enumerate() {
        sheet.open(&format!(
            r#"id="{id}-cut-{at}" class="cut {}" data-part="{}" {} fill="none""#,
            look.class(),
            escaped(&subject.part.name),
            look.cut_outline()
        ));
        sheet.hint(&format!("{}, cut", subject.part.name));
        let paint = format!(r#"fill="{}""#, cut_fill(*look, id));
        if look.place == Place::Settled {
            parts::lines(sheet, subject, mapping);
            parts::surfaces(sheet, subject, mapping, &paint);
        } else {
            // dots and dashes have to be seen
            parts::surfaces(sheet, subject, mapping, &paint);
            parts::lines(sheet, subject, mapping);
        }
        sheet.close();
    }
    for (at, ghost) in scene.ghosts.iter().enumerate() {
        parts::ghost(sheet, ghost, mapping, &format!("{id}-ghost-{at}"));
    }
}

fn cut_fill(look: Look, id: &str) -> String {
    match (look.place, look.change) {
        (Place::Settled | Place::AtOdds, Change::Same) => format!("url(#{id}-cut)"),
        _ => look.fill(id),
    }
}

/// Where it is cut, what is, and what the signs mean; gives where the next thing may start.
fn words_below(
    sheet: &mut Sheet,
    drawing: &Drawing<'_>,
    (saw, section): (Saw<'_>, &Section),
    scene: &Scene<'_>,
    station: &str,
    y: f64,
) -> f64 {
    let mut sentences = vec![match saw.face {
        Some(face) => format!("Cut at {station}, where {face} lies, just aft of it."),
        None => format!("Cut at {station}, just aft of a face that lies there."),
    }];
    sentences.push(cut_told(drawing, section));
    if !scene.subjects.is_empty() {
        sentences.push(
            "Bold outline and dark hatch: metal that is cut. Pale: what lies ahead of it."
                .to_owned(),
        );
    }
    if !scene.ghosts.is_empty() {
        let ghosts = scene.ghosts.iter().map(|ghost| ghost.part.name.as_str());
        let ghosts: Vec<&str> = ghosts.collect();
        sentences.push(format!(
            "Dashed: the old cut, where it differs: {}.",
            ghosts.join(", ")
        ));
    }
    if let Some(before) = &drawing.before {
        sentences.extend(caption::sentences(before, drawing.layout.unit));
    }
    sentences.extend(doubts::sentences(drawing.layout));
    let y = composition::told(sheet, &sentences, y);
    let ghosts = !scene.ghosts.is_empty();
    legend::draw(
        sheet,
        &scene.looks,
        ghosts,
        Behind::Nothing,
        (&[], Course::FUSELAGE),
        &scene.id,
        y,
    )
}

/// Which parts are cut; where none is, where metal is nearest.
pub(crate) fn cut_told(drawing: &Drawing<'_>, section: &Section) -> String {
    if !section.parts.is_empty() {
        let parts: Vec<&str> = section.parts.iter().map(|cut| cut.part.as_str()).collect();
        return format!("Cut: {}.", parts.join(", "));
    }
    let at = |metal: &NearestMetal| figures::length(metal.station_mm, drawing.layout.unit);
    let near: Vec<String> = section
        .ahead
        .iter()
        .map(|metal| format!("ahead of it {} ends at {}", metal.part, at(metal)))
        .chain(
            section
                .aft
                .iter()
                .map(|metal| format!("aft of it {} begins at {}", metal.part, at(metal))),
        )
        .collect();
    if near.is_empty() {
        "Nothing is cut: no metal has a place yet.".to_owned()
    } else {
        format!(
            "Nothing is cut there. The nearest metal: {}.",
            near.join("; ")
        )
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use std::collections::BTreeSet;

    use resvg::usvg::roxmltree::Document;
    use strongback_model::record::Progress;
    use strongback_model::recut::verdicts;
    use strongback_model::shift::shift;

    use super::super::Before;
    use super::super::sample::{empty, frame, fuselage};
    use super::super::tests::{check, of_class};
    use super::*;

    fn sawn(drawing: &Drawing<'_>, inches: f64) -> String {
        let saw = Saw {
            station_mm: inches * 25.4,
            face: None,
        };
        let svg = section(drawing, saw);
        check(&svg);
        svg
    }

    fn parts_of<'a>(document: &'a Document<'_>, class: &str) -> BTreeSet<&'a str> {
        let groups = of_class(document, class);
        groups
            .iter()
            .map(|group| group.attribute("data-part").unwrap())
            .collect()
    }

    #[test]
    fn what_is_cut_and_what_lies_ahead_are_groups_with_names() {
        let layout = fuselage(0.0);
        let station = 0.5 * (layout.parts[0].extent_mm[0][0] + 3000.0) / 25.4;
        let svg = sawn(&Drawing::new(&layout, View::Side), station);
        let document = Document::parse(&svg).unwrap();
        let cut: BTreeSet<&str> = parts_of(&document, "cut");
        let section = layout.cut_at(station * 25.4);
        let expected: BTreeSet<&str> = section.parts.iter().map(|it| it.part.as_str()).collect();
        assert!(!cut.is_empty() && cut == expected);
        let ahead = parts_of(&document, "ahead");
        for part in &layout.parts {
            let corners = part.solids.iter().flat_map(|it| &it.outline_mm);
            let from = corners.map(|c| c[0]).fold(f64::INFINITY, f64::min);
            let name = part.name.as_str();
            // a straight rail that is cut lies wholly behind its own cut
            if from >= station * 25.4 || !cut.contains(name) {
                let drawn = ahead.contains(name);
                assert_eq!(drawn, from < station * 25.4, "{name}");
            }
        }
    }

    #[test]
    fn nothing_cut_names_the_nearest() {
        let mut layout = empty();
        layout.parts = vec![frame("one", 10.0), frame("two", 20.0)];
        let svg = sawn(&Drawing::new(&layout, View::Front), 15.0);
        assert!(svg.contains("Nothing is cut there. The nearest metal: ahead of it one ends at"));
        assert!(svg.contains("aft of it two begins at 20 in"));
        let document = Document::parse(&svg).unwrap();
        assert_eq!(parts_of(&document, "ahead"), BTreeSet::from(["one"]));
        // ahead of everything, and with nothing at all
        assert!(sawn(&Drawing::new(&layout, View::Front), 1.0).contains("one begins at 10 in"));
        assert!(sawn(&Drawing::new(&empty(), View::Front), 1.0).contains("no metal has a place"));
    }

    #[test]
    fn the_old_cut_is_a_ghost_where_it_differs() {
        let mut old = empty();
        old.parts = vec![frame("still", 10.0), frame("moves", 10.0)];
        let mut new = old.clone();
        new.parts[1] = frame("moves", 10.25);
        let shift = shift(&old, &new);
        let recut = verdicts(&old, &new, &shift, &Progress::default());
        let drawing = Drawing {
            before: Some(Before {
                layout: &old,
                shift: &shift,
                recut: &recut,
                deviation: "a try",
            }),
            ..Drawing::new(&new, View::Front)
        };
        let svg = sawn(&drawing, 10.0);
        let document = Document::parse(&svg).unwrap();
        assert_eq!(parts_of(&document, "cut"), BTreeSet::from(["still"]));
        let ghosts = of_class(&document, "ghost");
        assert_eq!(ghosts.len(), 1);
        assert_eq!(ghosts[0].attribute("data-ghost"), Some("moves"));
        assert!(svg.contains("where it differs: moves."));
    }
}
