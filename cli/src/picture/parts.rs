//! The parts themselves, and where they were. In: what there is to draw and how it is to stand out. Out: a group for each
//! part, far ones first. Wide sheets seen face on come before all others, as though of glass: a side skin would otherwise
//! hide every frame behind it.

use std::fmt::Write as _;

use super::ink;
use super::sheet::{Sheet, escaped, number};
use super::subject::Subject;
use super::view::Mapping;

/// How a part stands out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Look {
    Plain,
    Moved,
    Picked,
    PickedAndMoved,
}

impl Look {
    fn class(self) -> &'static str {
        match self {
            Look::Plain => "part",
            Look::Moved => "part moved",
            Look::Picked => "part picked",
            Look::PickedAndMoved => "part picked moved",
        }
    }

    pub(super) fn stroke(self) -> (&'static str, f64) {
        match self {
            Look::Plain => (ink::INK, ink::LINE),
            Look::Moved | Look::PickedAndMoved => (ink::MOVED, ink::BOLD),
            Look::Picked => (ink::PICKED, ink::BOLD),
        }
    }

    pub(super) fn fill(self, id: &str) -> String {
        match self {
            Look::Plain => ink::METAL.to_owned(),
            Look::Moved => ink::MOVED_FILL.to_owned(),
            Look::Picked => format!("url(#{id}-hatch)"),
            Look::PickedAndMoved => format!("url(#{id}-crosshatch)"),
        }
    }
}

/// A part covering more than this share of the view is a wide sheet.
const WIDE: f64 = 0.1;

/// Wide sheets, far ones first; then all the others, far ones first.
pub(super) fn painters_order(subjects: &[Subject<'_>], view_area: f64) -> [Vec<usize>; 2] {
    let mut order: Vec<usize> = (0..subjects.len()).collect();
    let towards = |at: usize| {
        let [from, to] = subjects[at].bounds[2];
        0.5 * (from + to)
    };
    // stable, so parts at one depth keep the order of the file
    order.sort_by(|&a, &b| towards(a).total_cmp(&towards(b)));
    let (wide, others) = order
        .into_iter()
        .partition(|&at| subjects[at].area > WIDE * view_area);
    [wide, others]
}

/// The hatches of picked parts: one way, and both ways for those that moved too.
pub(super) fn hatches(sheet: &mut Sheet, id: &str) {
    for (name, ground, stroke, lines) in [
        ("hatch", ink::PICKED_FILL, ink::PICKED, "M0 0V1.2"),
        (
            "crosshatch",
            ink::MOVED_FILL,
            ink::MOVED,
            "M0 0V1.2M0 0H1.2",
        ),
    ] {
        sheet.put(format_args!(
            r#"<defs><pattern id="{id}-{name}" width="1.2" height="1.2" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="1.2" height="1.2" fill="{ground}"/><path d="{lines}" stroke="{stroke}" stroke-width="0.3"/></pattern></defs>"#
        ));
    }
}

/// Draws a part.
pub(super) fn part(
    sheet: &mut Sheet,
    subject: &Subject<'_>,
    mapping: &Mapping,
    look: Look,
    fill: &str,
    id: &str,
) {
    let (stroke, width) = look.stroke();
    sheet.open(&format!(
        r#"id="{id}" class="{}" data-part="{}" stroke="{stroke}" stroke-width="{width}" stroke-linejoin="round" stroke-linecap="round" fill="none""#,
        look.class(),
        escaped(&subject.part.name)
    ));
    sheet.hint(&subject.part.name);
    let fills = path(
        subject.outlooks.iter().flat_map(|o| &o.faces),
        mapping,
        End::Closed,
    );
    if !fills.is_empty() {
        sheet.put(format_args!(
            r#"<path d="{fills}" fill="{fill}" stroke="none"/>"#
        ));
    }
    lines(sheet, subject, mapping);
    sheet.close();
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

fn lines(sheet: &mut Sheet, subject: &Subject<'_>, mapping: &Mapping) {
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
