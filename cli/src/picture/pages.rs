//! A flat pattern over as many pages as it takes, at full size. In: a blank and a paper. Out: an SVG for each page, in mm: first an
//! overview, then the pages row by row, each with the crosses at which it is laid on its neighbours and with bars to measure.
//!
//! Neighbouring pages overlap; the crosses stand at the corners of a grid and are the same on all pages that show them. A page on which
//! nothing lies is left out.

mod overview;

use strongback_model::blank::Blank;
use strongback_model::quantity::Unit;

use super::pattern::{Placed, bounds, draw, strokes};
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::{font, ink};

/// A paper, as it stands: width and height in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Paper {
    /// ISO 216.
    A4,
    /// ANSI Y14.1, size A: 8 1/2 by 11 in.
    Letter,
}

impl Paper {
    /// Width and height in mm.
    pub(crate) fn size_mm(self) -> [f64; 2] {
        match self {
            Paper::A4 => [210.0, 297.0],
            Paper::Letter => [215.9, 279.4],
        }
    }
}

/// What no printer reaches, mm: common practice, no source.
const EDGE: f64 = 10.0;
/// Room for words above what is drawn, mm.
const ABOVE: f64 = 9.0;
/// Room for the bars below it, mm.
const BELOW: f64 = 16.0;
/// By how much neighbouring pages overlap, mm.
const OVERLAP: f64 = 10.0;
/// Half of a cross, mm.
const CROSS: f64 = 4.0;
/// The line beside the bars.
const MEASURE: &str = "Print at 100 %, measure the bar before use.";

/// A page of a template.
pub(crate) struct Page {
    /// Its width and height in mm.
    pub(crate) size_mm: [f64; 2],
    /// What stands on it.
    pub(crate) svg: String,
}

/// How a pattern is laid over pages.
struct Grid {
    page: [f64; 2],
    /// Width and height of what a page shows.
    tile: [f64; 2],
    /// How many columns and rows.
    count: [usize; 2],
}

impl Grid {
    fn of(page: [f64; 2], extent: [f64; 2]) -> Self {
        let tile = [page[0] - 2.0 * EDGE, page[1] - 2.0 * EDGE - ABOVE - BELOW];
        let count = [0, 1].map(|i| {
            let pages = ((extent[i] - OVERLAP) / (tile[i] - OVERLAP)).ceil();
            if pages.is_finite() {
                pages.clamp(1.0, 1e4) as usize
            } else {
                1
            }
        });
        Self { page, tile, count }
    }

    /// Upright or lying, whichever takes fewer pages.
    fn fitting(paper: Paper, extent: [f64; 2]) -> Self {
        let [width, height] = paper.size_mm();
        let upright = Self::of([width, height], extent);
        let lying = Self::of([height, width], extent);
        let pages = |grid: &Self| grid.count[0] * grid.count[1];
        if pages(&lying) < pages(&upright) {
            lying
        } else {
            upright
        }
    }

    /// From one page to the next.
    fn step(&self) -> [f64; 2] {
        self.tile.map(|side| side - OVERLAP)
    }

    /// The corner of a page's field, from the pattern's upper left.
    fn corner(&self, column: usize, row: usize) -> [f64; 2] {
        let step = self.step();
        [column as f64 * step[0], row as f64 * step[1]]
    }
}

/// The pages of a template; more than [`MOST_PAGES`] are nothing that a person lays out.
pub(crate) fn pages(title: &str, blank: &Blank, unit: Unit, paper: Paper) -> Option<Vec<Page>> {
    /// A wall of paper.
    const MOST_PAGES: usize = 400;
    let [x, y] = bounds(blank);
    let extent = [x[1] - x[0], y[1] - y[0]];
    let grid = Grid::fitting(paper, extent);
    if grid.count[0] * grid.count[1] > MOST_PAGES {
        return None;
    }
    // from the upper left of the pattern, y down
    let lines: Vec<[[f64; 2]; 2]> = strokes(blank)
        .into_iter()
        .map(|ends| ends.map(|[along, up]| [along - x[0], y[1] - up]))
        .collect();
    let mut shown = Vec::new();
    for row in 0..grid.count[1] {
        for column in 0..grid.count[0] {
            let corner = grid.corner(column, row);
            if lines.iter().any(|line| crosses(*line, corner, grid.tile)) {
                shown.push([column, row]);
            }
        }
    }
    let mut pages = vec![overview::overview(
        title, blank, unit, &grid, &lines, &shown,
    )];
    for at in &shown {
        pages.push(page(blank, unit, &grid, *at, [x[0], y[1]]));
    }
    Some(pages)
}

/// The name of a page: its row as a letter, its column as a number.
fn name([column, row]: [usize; 2]) -> String {
    let mut letters = String::new();
    let mut rest = row;
    loop {
        letters.insert(0, char::from(b'a' + (rest % 26) as u8));
        if rest < 26 {
            break;
        }
        rest = rest / 26 - 1;
    }
    format!("{letters}{}", column + 1)
}

/// Whether a line passes through a field: clipped to it, something is left (Liang and Barsky, 1984).
fn crosses([from, to]: [[f64; 2]; 2], corner: [f64; 2], tile: [f64; 2]) -> bool {
    let mut range = [0.0_f64, 1.0_f64];
    for i in 0..2 {
        let way = to[i] - from[i];
        let (least, most) = (corner[i] - from[i], corner[i] + tile[i] - from[i]);
        if way == 0.0 {
            if least > 0.0 || most < 0.0 {
                return false;
            }
            continue;
        }
        let (a, b) = (least / way, most / way);
        range = [range[0].max(a.min(b)), range[1].min(a.max(b))];
    }
    range[0] <= range[1]
}

fn lettering(size: f64) -> Lettering {
    Lettering::new(size, ink::INK, Anchor::Start)
}

/// One page of the pattern, whose upper left corner is `upper_left` in the pattern's own coordinates.
fn page(blank: &Blank, unit: Unit, grid: &Grid, at: [usize; 2], upper_left: [f64; 2]) -> Page {
    let mut sheet = Sheet::default();
    let [width, height] = grid.page;
    let field = [EDGE, EDGE + ABOVE];
    let corner = grid.corner(at[0], at[1]);
    let of = format!(
        "{}: page {}, row {}, column {} of {} x {}",
        blank.part,
        name(at),
        at[1] + 1,
        at[0] + 1,
        grid.count[1],
        grid.count[0]
    );
    let told = font::fitted(&of, 3.6, width - 2.0 * EDGE);
    sheet.text([EDGE, EDGE + 4.0], &told, lettering(3.6));
    sheet.put(format_args!(
        r#"<defs><clipPath id="field"><rect x="{}" y="{}" width="{}" height="{}"/></clipPath></defs>"#,
        number(field[0]),
        number(field[1]),
        number(grid.tile[0]),
        number(grid.tile[1])
    ));
    sheet.open(r#"clip-path="url(#field)""#);
    let placed = Placed {
        left: field[0] - corner[0] - upper_left[0],
        foot: field[1] - corner[1] + upper_left[1],
    };
    draw(&mut sheet, blank, unit, placed);
    sheet.close();
    grid_marks(&mut sheet, grid, at, field);
    bars(&mut sheet, [EDGE, height - EDGE - BELOW + 4.0]);
    Page {
        size_mm: grid.page,
        svg: sheet.finish(width, height, &of),
    }
}

/// Lines at which pages are cut and laid together, with a named cross where two meet.
fn grid_marks(sheet: &mut Sheet, grid: &Grid, [column, row]: [usize; 2], field: [f64; 2]) {
    let half = 0.5 * OVERLAP;
    let lines = [
        [field[0] + half, field[0] + grid.tile[0] - half],
        [field[1] + half, field[1] + grid.tile[1] - half],
    ];
    // no page lies beyond the first and the last
    let has = [
        [column > 0, column + 1 < grid.count[0]],
        [row > 0, row + 1 < grid.count[1]],
    ];
    sheet.open(&format!(
        r#"class="overlap" fill="none" stroke="{}" stroke-width="{}""#,
        ink::GHOST,
        number(0.15)
    ));
    let ends = [0, 1].map(|i| [field[i], field[i] + grid.tile[i]]);
    for side in 0..2 {
        let dashed = r#" stroke-dasharray="3 2""#;
        if has[0][side] {
            let x = lines[0][side];
            sheet.line([x, ends[1][0]], [x, ends[1][1]], dashed);
        }
        if has[1][side] {
            let y = lines[1][side];
            sheet.line([ends[0][0], y], [ends[0][1], y], dashed);
        }
    }
    sheet.close();
    if grid.count == [1, 1] {
        return;
    }
    sheet.open(&format!(
        r#"class="cross" fill="none" stroke="{}" stroke-width="{}""#,
        ink::INK,
        number(0.3)
    ));
    for (i, x) in lines[0].into_iter().enumerate() {
        for (j, y) in lines[1].into_iter().enumerate() {
            sheet.line([x - CROSS, y], [x + CROSS, y], "");
            sheet.line([x, y - CROSS], [x, y + CROSS], "");
            let node = format!("{}.{}", row + j, column + i);
            sheet.text([x + 1.0, y - 1.0], &node, lettering(2.6));
        }
    }
    sheet.close();
}

/// The bars to measure, one of 100 mm and one of 4 in, from this place to the right and down.
fn bars(sheet: &mut Sheet, [left, top]: [f64; 2]) {
    for (at, (length, told)) in [(100.0, "100 mm"), (4.0 * 25.4, "4 in")]
        .into_iter()
        .enumerate()
    {
        let y = top + 6.0 * at as f64;
        sheet.open(&format!(
            r#"class="bar" stroke="{}" stroke-width="{}""#,
            ink::INK,
            number(0.4)
        ));
        sheet.line([left, y], [left + length, y], "");
        for x in [left, left + length] {
            sheet.line([x, y - 2.0], [x, y + 2.0], "");
        }
        sheet.close();
        sheet.text([left + length + 3.0, y + 1.0], told, lettering(3.0));
    }
    sheet.text([left + 122.0, top + 1.0], MEASURE, lettering(2.7));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_letters() {
        assert_eq!(name([0, 0]), "a1");
        assert_eq!(name([2, 25]), "z3");
        assert_eq!(name([0, 26]), "aa1");
        assert_eq!(name([0, 51]), "az1");
        assert_eq!(name([0, 52]), "ba1");
    }

    /// Fields cover the extent without a gap, and each overlaps the next by what is said.
    #[test]
    fn pages_cover_the_pattern() {
        for paper in [Paper::A4, Paper::Letter] {
            for extent in [
                [10.0, 10.0],
                [190.0, 240.0],
                [191.0, 1000.0],
                [1093.0, 865.0],
            ] {
                let grid = Grid::fitting(paper, extent);
                for (i, extent) in extent.into_iter().enumerate() {
                    let last = grid.count[i] - 1;
                    let reach = last as f64 * grid.step()[i] + grid.tile[i];
                    assert!(reach >= extent, "{reach} {extent}");
                    // one page less would not do
                    assert!(last == 0 || reach - grid.step()[i] < extent);
                }
                assert_eq!(grid.step()[0] + OVERLAP, grid.tile[0]);
            }
        }
    }

    #[test]
    fn lines_are_seen_where_they_pass() {
        let field = |line| crosses(line, [10.0, 10.0], [5.0, 5.0]);
        assert!(field([[0.0, 0.0], [20.0, 20.0]]));
        assert!(field([[12.0, 12.0], [13.0, 12.0]]));
        assert!(!field([[0.0, 0.0], [9.0, 9.0]]));
        assert!(!field([[0.0, 12.0], [20.0, 40.0]]));
        assert!(!field([[9.0, 0.0], [9.0, 30.0]]));
    }
}
