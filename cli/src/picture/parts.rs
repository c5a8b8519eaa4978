//! The parts themselves, and where they were. In: what there is to draw and how it is to stand out. Out: a group for each
//! part, far ones first, so that what lies nearer to the eye covers what is behind. Wide sheets seen face on are of frosted
//! glass: what lies behind a floor or a skin is pale, but it can still be seen.

use std::fmt::Write as _;

use super::ink;
use super::look::Look;
use super::sheet::{Sheet, escaped, number};
use super::subject::Subject;
use super::view::Mapping;

/// A part covering more than this share of the view is a wide sheet.
const WIDE: f64 = 0.1;
/// How much a wide sheet hides.
pub(super) const FROSTED: f64 = 0.72;

/// Whether a part is a wide sheet in a view of that extent.
pub(super) fn is_wide(subject: &Subject<'_>, [along, up]: [f64; 2]) -> bool {
    subject.area > WIDE * along * up
}

/// What a part is filled with.
#[derive(Clone, Debug)]
pub(super) struct Fill {
    /// A colour or a pattern.
    pub(super) paint: String,
    /// Whether what lies behind shows through.
    pub(super) glass: bool,
}

/// What is drawn: a part, or where one was.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Item {
    Ghost(usize),
    Part(usize),
}

/// All of it, far ones first.
pub(super) fn painters_order(subjects: &[Subject<'_>], ghosts: &[Subject<'_>]) -> Vec<Item> {
    let towards = |subject: &Subject<'_>| {
        let [from, to] = subject.bounds[2];
        0.5 * (from + to)
    };
    let old = ghosts
        .iter()
        .enumerate()
        .map(|(at, ghost)| (towards(ghost), Item::Ghost(at)));
    let new = subjects
        .iter()
        .enumerate()
        .map(|(at, subject)| (towards(subject), Item::Part(at)));
    let mut order: Vec<(f64, Item)> = old.chain(new).collect();
    // stable, so parts at one depth keep the order of the file, and ghosts lie beneath them
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    order.into_iter().map(|(_, item)| item).collect()
}

/// Whether something lies behind a wide sheet.
pub(super) fn some_behind_glass(subjects: &[Subject<'_>], extent: [f64; 2]) -> bool {
    subjects
        .iter()
        .filter(|sheet| is_wide(sheet, extent))
        .any(|sheet| {
            subjects.iter().any(|other| {
                let crosses = |axis: usize| {
                    other.bounds[axis][0] < sheet.bounds[axis][1]
                        && sheet.bounds[axis][0] < other.bounds[axis][1]
                };
                other.bounds[2][1] <= sheet.bounds[2][0] && crosses(0) && crosses(1)
            })
        })
}

/// Draws a part.
pub(super) fn part(
    sheet: &mut Sheet,
    subject: &Subject<'_>,
    mapping: &Mapping,
    look: Look,
    fill: &Fill,
    id: &str,
) {
    sheet.open(&format!(
        r#"id="{id}" class="{}" data-part="{}" {} fill="none""#,
        look.class(),
        escaped(&subject.part.name),
        look.outline()
    ));
    sheet.hint(&subject.part.name);
    let opacity = if fill.glass {
        format!(r#" fill-opacity="{}""#, number(FROSTED))
    } else {
        String::new()
    };
    let paint = format!(r#"fill="{}"{opacity}"#, fill.paint);
    surfaces(sheet, subject, mapping, &paint);
    lines(sheet, subject, mapping);
    sheet.close();
}

/// The faces of a part; `paint` is the attributes of its fill.
pub(super) fn surfaces(sheet: &mut Sheet, subject: &Subject<'_>, mapping: &Mapping, paint: &str) {
    let fills = path(
        subject.outlooks.iter().flat_map(|o| &o.faces),
        mapping,
        End::Closed,
    );
    if !fills.is_empty() {
        sheet.put(format_args!(r#"<path d="{fills}" {paint} stroke="none"/>"#));
    }
}

/// Draws where a part was.
pub(super) fn ghost(sheet: &mut Sheet, subject: &Subject<'_>, mapping: &Mapping, id: &str) {
    sheet.open(&format!(
        r#"id="{id}" class="ghost" data-ghost="{}" stroke="{}" stroke-width="{}" stroke-dasharray="0.9 0.6" fill="none""#,
        escaped(&subject.part.name),
        ink::GHOST,
        ink::LINE
    ));
    sheet.hint(&format!("{}, before", subject.part.name));
    lines(sheet, subject, mapping);
    sheet.close();
}

/// The lines of a part.
pub(super) fn lines(sheet: &mut Sheet, subject: &Subject<'_>, mapping: &Mapping) {
    let lines = path(
        subject.outlooks.iter().flat_map(|o| &o.edges),
        mapping,
        End::Open,
    );
    if !lines.is_empty() {
        sheet.put(format_args!(r#"<path d="{lines}"/>"#));
    }
    let mut crosses = String::new();
    for &point in &subject.points {
        cross(&mut crosses, mapping.point(point), 0.8);
    }
    let size =
        [0, 1].map(|i| (subject.bounds[i][1] - subject.bounds[i][0]) * mapping.scale.paper_per_mm);
    if !subject.outlooks.is_empty() && size[0].max(size[1]) < 0.3 {
        // smaller than a dot on this paper: mark the place
        let middle = [0, 1].map(|i| 0.5 * (subject.bounds[i][0] + subject.bounds[i][1]));
        cross(&mut crosses, mapping.point(middle), 0.4);
    }
    if !crosses.is_empty() {
        sheet.put(format_args!(r#"<path d="{crosses}"/>"#));
    }
}

/// An upright cross as path text.
fn cross(d: &mut String, [x, y]: [f64; 2], arm: f64) {
    let [left, right, top, foot] = [x - arm, x + arm, y - arm, y + arm].map(number);
    let [x, y] = [x, y].map(number);
    let _ = write!(d, "M{left} {y}H{right}M{x} {top}V{foot}");
}

#[derive(Clone, Copy, PartialEq)]
enum End {
    Open,
    Closed,
}

/// Path text of lines or boundaries; steps too small for the paper are left out.
fn path<'l>(lines: impl Iterator<Item = &'l Vec<[f64; 2]>>, mapping: &Mapping, end: End) -> String {
    const STEP: f64 = 0.01;
    let mut d = String::new();
    for line in lines {
        let mut last: Option<[f64; 2]> = None;
        let count = line.len();
        for (at, &point) in line.iter().enumerate() {
            let [x, y] = mapping.point(point);
            let near = last.is_some_and(|[lx, ly]| (x - lx).abs() < STEP && (y - ly).abs() < STEP);
            if near && at + 1 < count {
                continue;
            }
            let letter = if last.is_none() { 'M' } else { 'L' };
            let _ = write!(d, "{letter}{} {}", number(x), number(y));
            last = Some([x, y]);
        }
        if end == End::Closed && last.is_some() {
            d.push('Z');
        }
    }
    d
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use resvg::usvg::roxmltree::Document;

    use super::super::sample::{bare, empty, prism};
    use super::super::tests::{check, of_class};
    use super::super::{Drawing, View, svg};

    #[test]
    fn what_lies_under_a_floor_is_drawn_before_it() {
        let mut layout = empty();
        let block = |name: &str, low: f64, high: f64, half: f64| {
            let mut part = bare(name, [0.0, 0.0, low]);
            let corners = [[0.0, -half], [900.0, -half], [900.0, half], [0.0, half]];
            let outline = corners.map(|[station, buttock]| [station, buttock, low]);
            part.solids = vec![prism(outline.to_vec(), [0.0, 0.0, high - low])];
            part
        };
        // in the file the floor comes first
        layout.parts = vec![
            block("floor", 100.0, 101.0, 300.0),
            block("rail", 80.0, 100.0, 10.0),
            block("seat", 101.0, 120.0, 20.0),
        ];
        let svg = svg(&Drawing::new(&layout, View::Plan));
        check(&svg);
        let document = Document::parse(&svg).unwrap();
        let order: Vec<_> = of_class(&document, "part")
            .iter()
            .map(|part| part.attribute("data-part").unwrap())
            .collect();
        assert_eq!(order, ["rail", "floor", "seat"]);
        assert_eq!(
            svg.matches("fill-opacity").count(),
            2,
            "the floor, and the legend"
        );
    }
}
