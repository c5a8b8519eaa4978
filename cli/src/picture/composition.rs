//! How the pieces of a picture are stacked on the paper: heading, names, view, names, ruler, ribbon, words.
//! In: a drawing. Out: its SVG. All heights are known before the first line is written.

use strongback_model::quantity::Unit;

use super::labels;
use super::legend::{self, Behind};
use super::look::{self, Change};
use super::parts::{self, Fill, Item};
use super::ribbon_drawing::Plan as Ribbon;
use super::ruler::Datum;
use super::scene::Scene;
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::subject::{Station, Subject};
use super::view::{Mapping, Scale, View};
use super::{
    Drawing, MARGIN, PAPER, caption, doubts, font, ink, measured, names, ribbon, ruler, ruler_up,
};
use crate::command::CAUTION;

/// Where views, rulers and ribbons start and end along the paper; the left side has room for the ribbon's ticks, the right
/// side for its figures. A picture without a ribbon keeps to it too, so that both are drawn to one scale.
pub(super) const LEFT: f64 = MARGIN + 16.0;
pub(super) const RIGHT: f64 = PAPER - MARGIN - 19.0;
/// A ruler is no shorter than this, however short the view.
const SHORTEST_RULER: f64 = 90.0;

/// Draws everything.
pub(super) fn compose(drawing: &Drawing<'_>) -> String {
    let scene = Scene::of(drawing);
    let aspect = drawing.view.aspect();
    let mut sheet = Sheet::default();
    let bounds = scene.bounds.unwrap_or([[0.0; 2]; 3]);
    let extent = [0, 1].map(|i| bounds[i][1] - bounds[i][0]);
    let scale = Scale::fitting(extent, [RIGHT - LEFT, aspect.highest]);
    let mut y = heading(&mut sheet, drawing, aspect.words, scale);
    let about = format!("{}. {}", drawing.title, aspect.words);
    if scene.bounds.is_none() {
        let words = Lettering::new(ink::CAPTION, ink::INK, Anchor::Start);
        sheet.text(
            [MARGIN, y + 8.0],
            "Nothing to draw: no part has a place yet.",
            words,
        );
        y = note(&mut sheet, y + 14.0);
        return sheet.finish(PAPER, y, &about);
    }
    let unit = drawing.layout.unit;
    let field = Field::of(&scene, bounds, scale, unit, y);
    field.behind(&mut sheet, scene.view, bounds);
    view(&mut sheet, &scene, &field.mapping, extent);
    if !aspect.by_station {
        let left = field.mapping.x(field.range[0]);
        ruler_up::draw(&mut sheet, &field.mapping, bounds[1], left, unit);
    }
    y = field.over(&mut sheet, &scene, drawing);
    y = ruler_along(&mut sheet, drawing, &scene, &field, y);
    let mut remarks = left_out(drawing.left_out, scene.missing, field.names_left_out());
    let shifts = Shifts::draw(&mut sheet, drawing, &scene, &field, y);
    remarks.extend(shifts.remarks);
    let before = drawing.before.as_ref();
    let mut sentences = before.map_or_else(Vec::new, |before| caption::sentences(before, unit));
    sentences.extend(doubts::sentences(drawing.layout));
    y = told(&mut sheet, &sentences, shifts.end);
    y = legend::draw(
        &mut sheet,
        &scene.looks,
        !scene.ghosts.is_empty(),
        if parts::some_behind_glass(&scene.subjects, extent) {
            Behind::Some
        } else {
            Behind::Nothing
        },
        (&shifts.entries, shifts.along),
        &scene.id,
        y,
    );
    for line in remarks {
        y += 1.4 * ink::NOTE;
        let words = Lettering::new(ink::NOTE, ink::INK, Anchor::Start);
        sheet.text([MARGIN, y], &line, words);
    }
    y = note(&mut sheet, y + 1.0);
    sheet.finish(PAPER, y, &about)
}

/// The ruler below the view, with the stations of faces that look fwd or aft; gives where the next thing may start.
fn ruler_along(
    sheet: &mut Sheet,
    drawing: &Drawing<'_>,
    scene: &Scene<'_>,
    field: &Field,
    y: f64,
) -> f64 {
    let (aspect, unit) = (drawing.view.aspect(), drawing.layout.unit);
    let of_face = |subject: &Subject<'_>| match subject.station {
        Station::Face(station) if aspect.by_station => Some((subject.part.name.clone(), station)),
        _ => None,
    };
    let marks: Vec<(String, f64)> = scene.subjects.iter().filter_map(of_face).collect();
    let datum = drawing.layout.datum.as_deref().map(|words| Datum {
        words,
        place: scene.datum,
    });
    let words = ruler::told(aspect, unit, datum);
    ruler::draw(sheet, &field.mapping, field.range, y, unit, &words, &marks);
    y + ruler::HEIGHT
}

/// The ribbon of shifts below the ruler, where a change is drawn along the stations.
struct Shifts {
    entries: Vec<ribbon::Entry>,
    /// The way that it tells shifts along.
    along: ribbon::Course,
    remarks: Vec<String>,
    /// Where the next thing may start.
    end: f64,
}

impl Shifts {
    fn draw(
        sheet: &mut Sheet,
        drawing: &Drawing<'_>,
        scene: &Scene<'_>,
        field: &Field,
        y: f64,
    ) -> Self {
        let by_station = drawing.view.aspect().by_station;
        let Some(before) = drawing.before.as_ref().filter(|_| by_station) else {
            return Self {
                entries: Vec::new(),
                along: ribbon::Course::FUSELAGE,
                remarks: Vec::new(),
                end: y + 3.0,
            };
        };
        let unit = drawing.layout.unit;
        let along = ribbon::Course::of_greatest(before.shift);
        let entries = ribbon::entries(
            &scene.subjects,
            before.layout,
            (before.shift, along),
            &scene.looks,
            scene.view,
        );
        let margins = [MARGIN, PAPER - MARGIN];
        let ribbon = Ribbon::of(
            (&entries, along),
            &field.mapping,
            [LEFT, RIGHT],
            margins,
            unit,
        );
        let y = y + 1.0;
        guide_lines(sheet, &field.guides, [y + 1.0, y + ribbon.bars_height()]);
        ribbon.draw(sheet, &entries, y, unit, &scene.id);
        let (remarks, end) = (ribbon.remarks(), y + ribbon.height() + 4.0);
        Self {
            entries,
            along,
            remarks,
            end,
        }
    }
}

/// The title, what is seen and to what scale; gives where the next thing may start.
pub(super) fn heading(sheet: &mut Sheet, drawing: &Drawing<'_>, seen: &str, scale: Scale) -> f64 {
    let mut y = MARGIN + ink::TITLE;
    let right = format!(
        "{} · {} at a width of {} mm",
        seen,
        scale.words(),
        number(PAPER)
    );
    let room = PAPER - 3.0 * MARGIN - font::width(&right, ink::CAPTION);
    let title = font::fitted(drawing.title.trim(), ink::TITLE, room);
    sheet.text(
        [MARGIN, y],
        &title,
        Lettering::new(ink::TITLE, ink::INK, Anchor::Start),
    );
    let words = Lettering::new(ink::CAPTION, ink::PALE_INK, Anchor::End);
    sheet.text([PAPER - MARGIN, y], &right, words);
    if !drawing.subtitle.trim().is_empty() {
        y += 1.7 * ink::CAPTION;
        let subtitle = font::fitted(drawing.subtitle.trim(), ink::CAPTION, PAPER - 2.0 * MARGIN);
        sheet.text(
            [MARGIN, y],
            &subtitle,
            Lettering::new(ink::CAPTION, ink::PALE_INK, Anchor::Start),
        );
    }
    y + 5.0
}

/// Where a view lies on the paper, with the names above and below it and the guides through it.
pub(super) struct Field {
    pub(super) mapping: Mapping,
    names: names::Names,
    labels: labels::Labels,
    /// The paper's y of the lowest point.
    foot: f64,
    /// From which to which coordinate the ruler goes.
    pub(super) range: [f64; 2],
    /// The paper's x of the guides.
    guides: Vec<f64>,
}

impl Field {
    /// A view of a scale in the middle of the paper, from `y` on.
    pub(super) fn of(
        scene: &Scene<'_>,
        bounds: [[f64; 2]; 3],
        scale: Scale,
        unit: Unit,
        y: f64,
    ) -> Self {
        let wide = (bounds[0][1] - bounds[0][0]) * scale.paper_per_mm;
        let mut mapping = Mapping {
            scale,
            station: bounds[0][0],
            left: LEFT + 0.5 * (RIGHT - LEFT - wide),
            uppermost: bounds[1][1],
            top: 0.0,
        };
        let names = names::wanted(scene, &mapping, bounds);
        let labels = labels::place(&names.wanted, MARGIN, PAPER - MARGIN);
        mapping.top = y + labels.text_height[0] + labels.bend[0] + names::CLEAR + 2.0;
        let foot = mapping.y(bounds[1][0]);
        let range = ruler_range(&mapping, bounds[0]);
        let guides = ruler::Ticks::fitting(unit, scale.paper_per_mm)
            .numbered_between(range[0], range[1])
            .into_iter()
            .map(|along| mapping.x(along))
            .collect();
        Self {
            mapping,
            names,
            labels,
            foot,
            range,
            guides,
        }
    }
    /// Draws what lies behind the view: guides, the line from which heights are counted, words for the directions.
    pub(super) fn behind(&self, sheet: &mut Sheet, view: View, bounds: [[f64; 2]; 3]) {
        let span = [self.mapping.top - 1.0, self.foot + 1.0];
        guide_lines(sheet, &self.guides, span);
        reference(sheet, view, &self.mapping, bounds, self.range);
    }

    /// Draws over the view what was measured, and the names. The paper's y below them.
    pub(super) fn over(&self, sheet: &mut Sheet, scene: &Scene<'_>, drawing: &Drawing<'_>) -> f64 {
        let (mapping, labels) = (&self.mapping, &self.labels);
        measured::draw(sheet, scene.view, mapping, drawing.measured);
        let span = [mapping.top, self.foot];
        names::draw(sheet, scene, (&self.names, labels), mapping, span);
        self.foot + names::CLEAR + labels.bend[1] + labels.text_height[1] + 3.0
    }

    /// How many names there was no room for.
    pub(super) fn names_left_out(&self) -> usize {
        self.names.left_out(&self.labels)
    }
}

/// From which station to which the ruler goes.
fn ruler_range(mapping: &Mapping, along: [f64; 2]) -> [f64; 2] {
    let [from, to] = along.map(|station| mapping.x(station));
    let more = (0.5 * (SHORTEST_RULER - (to - from))).max(3.0);
    [(from - more).max(LEFT), (to + more).min(RIGHT)].map(|x| mapping.station_at(x))
}

fn guide_lines(sheet: &mut Sheet, guides: &[f64], [from, to]: [f64; 2]) {
    sheet.open(&format!(
        r#"class="guides" stroke="{}" stroke-width="{}""#,
        ink::GUIDE,
        ink::FINE
    ));
    for &x in guides {
        sheet.line([x, from], [x, to], "");
    }
    sheet.close();
}

/// The line from which heights are counted, and words for the directions.
fn reference(
    sheet: &mut Sheet,
    view: View,
    mapping: &Mapping,
    bounds: [[f64; 2]; 3],
    range: [f64; 2],
) {
    let aspect = view.aspect();
    let [left, right] = range.map(|station| mapping.x(station));
    if bounds[1][0] <= 0.0 && 0.0 <= bounds[1][1] {
        let y = mapping.y(0.0);
        sheet.line(
            [left, y],
            [right, y],
            &format!(
                r#"class="reference" stroke="{}" stroke-width="{}" stroke-dasharray="4 1 0.8 1""#,
                ink::PALE_INK,
                ink::FINE
            ),
        );
        let words = Lettering::new(ink::NUMBER, ink::PALE_INK, Anchor::Start);
        sheet.text([right + 1.0, y + 0.8], aspect.up_short, words);
    }
    let words = Lettering::new(ink::NUMBER, ink::PALE_INK, Anchor::Start);
    if !aspect.by_station {
        // waterlines say which way is up
        sheet.text([right + 1.0, mapping.top - 1.0], aspect.way, words);
        return;
    }
    let start = (left - 16.0).max(MARGIN);
    let (top, foot) = (mapping.top, mapping.y(bounds[1][0]));
    let [upper, lower] = aspect.ends;
    if foot - top > 14.0 {
        sheet.text([start, top + 2.0], &format!("↑ {upper}"), words);
        sheet.text([start, foot], &format!("↓ {lower}"), words);
    }
    sheet.text([start, 0.5 * (top + foot) + 0.8], aspect.way, words);
}

fn view(sheet: &mut Sheet, scene: &Scene<'_>, mapping: &Mapping, extent: [f64; 2]) {
    let used: Vec<Change> = scene.looks.iter().map(|look| look.change).collect();
    look::patterns(sheet, &scene.id, &used);
    for item in parts::painters_order(&scene.subjects, &scene.ghosts) {
        match item {
            Item::Ghost(at) => {
                let id = format!("{}-ghost-{at}", scene.id);
                parts::ghost(sheet, &scene.ghosts[at], mapping, &id);
            }
            Item::Part(at) => {
                let look = scene.looks[at];
                let id = format!("{}-part-{at}", scene.id);
                let fill = Fill {
                    paint: look.fill(&scene.id),
                    glass: parts::is_wide(&scene.subjects[at], extent),
                };
                parts::part(sheet, &scene.subjects[at], mapping, look, &fill, &id);
            }
        }
    }
}

/// Sentences, each on a line of its own or more; gives where the next thing may start.
pub(super) fn told(sheet: &mut Sheet, sentences: &[String], mut y: f64) -> f64 {
    let words = Lettering::new(ink::CAPTION, ink::INK, Anchor::Start);
    for sentence in sentences {
        for line in font::wrapped(sentence, ink::CAPTION, PAPER - 2.0 * MARGIN) {
            sheet.text([MARGIN, y], &line, words);
            y += 1.45 * ink::CAPTION;
        }
    }
    y
}

pub(super) fn left_out(on_purpose: usize, missing: usize, names: usize) -> Vec<String> {
    let mut lines = Vec::new();
    if on_purpose > 0 {
        lines.push(format!("Left out on purpose: {on_purpose} of the parts."));
    }
    if missing > 0 {
        lines.push(format!(
            "Not drawn, as their place is not known: {missing} of the parts."
        ));
    }
    if names > 0 {
        lines.push(format!(
            "Drawn, but not named for want of room: {names} of the parts."
        ));
    }
    lines
}

/// The caution at the bottom; gives the height of the whole paper.
pub(super) fn note(sheet: &mut Sheet, mut y: f64) -> f64 {
    for line in font::wrapped(CAUTION, ink::NOTE, PAPER - 2.0 * MARGIN) {
        y += 1.4 * ink::NOTE;
        sheet.text(
            [MARGIN, y],
            &line,
            Lettering::new(ink::NOTE, ink::PALE_INK, Anchor::Start),
        );
    }
    y + MARGIN
}
