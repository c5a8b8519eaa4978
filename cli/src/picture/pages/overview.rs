//! The first page of a template: what it is, how the pages lie, its bends, what to keep in mind.

use strongback_model::blank::Blank;
use strongback_model::quantity::Unit;

use super::super::pattern::{heading, told};
use super::super::sheet::{Anchor, Lettering, Sheet, number};
use super::super::{font, ink};
use super::{BELOW, EDGE, Grid, OVERLAP, Page, bars, lettering, name};
use crate::command::CAUTION;
use crate::render::blank::not_drawn;

/// The page.
pub(super) fn overview(
    title: &str,
    blank: &Blank,
    unit: Unit,
    grid: &Grid,
    lines: &[[[f64; 2]; 2]],
    shown: &[[usize; 2]],
) -> Page {
    let mut sheet = Sheet::default();
    let [width, height] = grid.page;
    let room = width - 2.0 * EDGE;
    let mut y = EDGE + 5.0;
    let mut say = |sheet: &mut Sheet, told: &str, size: f64| {
        for line in font::wrapped(told, size, room) {
            sheet.text([EDGE, y], &line, lettering(size));
            y += 1.45 * size;
        }
        y
    };
    say(&mut sheet, title, 4.4);
    say(&mut sheet, &heading(blank, unit), 3.6);
    let all = grid.count[0] * grid.count[1];
    let left_out = match all - shown.len() {
        0 => String::new(),
        1 => "; 1 page on which nothing lies is left out".to_owned(),
        n => format!("; {n} pages on which nothing lies are left out"),
    };
    let how = format!(
        "Full size over {} page{}, after this one, in {} row{} and {} column{}{left_out}. Lay the pages on each other so that crosses of one name meet.",
        shown.len(),
        if shown.len() == 1 { "" } else { "s" },
        grid.count[1],
        if grid.count[1] == 1 { "" } else { "s" },
        grid.count[0],
        if grid.count[0] == 1 { "" } else { "s" },
    );
    say(&mut sheet, &how, 3.0);
    say(
        &mut sheet,
        "Bold: cut. Thin pairs: where the flat of a bend ends; broken: its middle. Dotted: marks.",
        3.0,
    );
    let mut bends: Vec<String> = Vec::new();
    for bend in &blank.pattern.bends {
        bends.push(format!("{}: {}", bend.name, told(bend, unit)));
    }
    if !bends.is_empty() {
        say(&mut sheet, &format!("{}.", bends.join("; ")), 2.7);
    }
    for told in not_drawn(blank) {
        say(&mut sheet, &told, 2.7);
    }
    say(
        &mut sheet,
        "Bend a test strip of the same sheet first (common practice, no source).",
        2.7,
    );
    let top = say(&mut sheet, CAUTION, 2.7) + 3.0;
    map(
        &mut sheet,
        grid,
        lines,
        shown,
        [top, height - EDGE - BELOW - 4.0],
        room,
    );
    bars(&mut sheet, [EDGE, height - EDGE - BELOW + 4.0]);
    let about = format!("{}: overview", blank.part);
    Page {
        size_mm: grid.page,
        svg: sheet.finish(width, height, &about),
    }
}

/// The pattern small, with the pages over it.
fn map(
    sheet: &mut Sheet,
    grid: &Grid,
    lines: &[[[f64; 2]; 2]],
    shown: &[[usize; 2]],
    [top, foot]: [f64; 2],
    room: f64,
) {
    let step = grid.step();
    let whole = [0, 1].map(|i| grid.count[i] as f64 * step[i] + OVERLAP);
    let scale = (room / whole[0])
        .min((foot - top).max(1.0) / whole[1])
        .min(1.0);
    let place = |[x, y]: [f64; 2]| [EDGE + scale * x, top + scale * y];
    sheet.open(&format!(
        r#"class="map" fill="none" stroke="{}" stroke-width="{}""#,
        ink::GHOST,
        number(0.15)
    ));
    for at in shown {
        let [x, y] = place(grid.corner(at[0], at[1]));
        sheet.put(format_args!(
            r#"<rect x="{}" y="{}" width="{}" height="{}"/>"#,
            number(x),
            number(y),
            number(scale * grid.tile[0]),
            number(scale * grid.tile[1])
        ));
    }
    sheet.close();
    sheet.open(&format!(
        r#"class="map" fill="none" stroke="{}" stroke-width="{}""#,
        ink::INK,
        number(0.25)
    ));
    for [from, to] in lines {
        sheet.line(place(*from), place(*to), "");
    }
    sheet.close();
    for at in shown {
        let corner = grid.corner(at[0], at[1]);
        let middle = [0, 1].map(|i| corner[i] + 0.5 * grid.tile[i]);
        let [x, y] = place(middle);
        let words = Lettering::new(4.0, ink::PICKED, Anchor::Middle);
        sheet.text([x, y + 1.4], &name(*at), words);
    }
}
