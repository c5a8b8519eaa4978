//! What the signs of a picture mean. In: which of them it uses. Out: one line of swatches and words; none if it uses none.

use super::ink;
use super::look::{Change, Emphasis, Look, Place, swatch};
use super::parts::FROSTED;
use super::ribbon::{Course, Entry, EntryKind};
use super::ribbon_drawing::symbol;
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::{MARGIN, font};

/// A sign to be explained.
enum Sign {
    Swatch(Look),
    Dashes,
    Behind,
    Symbol(EntryKind, Change),
}

/// Whether something lies behind a wide sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Behind {
    Nothing,
    Some,
}

/// Draws the line below `y`; gives where the next thing may start.
pub(super) fn draw(
    sheet: &mut Sheet,
    looks: &[Look],
    ghosts: bool,
    behind: Behind,
    (entries, way): (&[Entry], Course),
    id: &str,
    y: f64,
) -> f64 {
    let mut signs = of_parts(looks);
    if ghosts {
        signs.push((Sign::Dashes, "where it was".to_owned()));
    }
    if behind == Behind::Some {
        signs.push((Sign::Behind, "pale: behind a sheet".to_owned()));
    }
    signs.extend(of_entries(entries, way));
    if signs.is_empty() {
        return y;
    }
    let mut middle = y + 2.0;
    let mut x = MARGIN;
    sheet.open(r#"class="legend""#);
    for (sign, words) in signs {
        // a sign and its words stay together
        let room = super::PAPER - MARGIN - x;
        if x > MARGIN && 6.2 + font::width(&words, ink::NOTE) > room {
            x = MARGIN;
            middle += 4.0;
        }
        x += drawn(sheet, sign, id, [x, middle]) + 1.2;
        let lettering = Lettering::new(ink::NOTE, ink::INK, Anchor::Start);
        sheet.text([x, middle + 0.8], &words, lettering);
        x += font::width(&words, ink::NOTE) + 6.0;
    }
    sheet.close();
    middle + 2.8
}

/// What the looks of parts mean.
fn of_parts(looks: &[Look]) -> Vec<(Sign, String)> {
    let mut signs = Vec::new();
    for change in Change::TOLD {
        if looks.iter().any(|look| look.change == change) {
            let look = Look {
                change,
                ..Look::default()
            };
            signs.push((Sign::Swatch(look), change.words().to_owned()));
        }
    }
    if looks.iter().any(|look| look.emphasis == Emphasis::Picked) {
        let look = Look {
            emphasis: Emphasis::Picked,
            ..Look::default()
        };
        signs.push((Sign::Swatch(look), "picked out".to_owned()));
    }
    for (place, words) in [
        (Place::AtOdds, "at odds: a statement about it does not hold"),
        (Place::Loose, "loose: drawn where the search ended"),
    ] {
        if looks.iter().any(|look| look.place == place) {
            let look = Look {
                place,
                ..Look::default()
            };
            signs.push((Sign::Swatch(look), words.to_owned()));
        }
    }
    signs
}

/// What the symbols of the ribbon mean.
fn of_entries(entries: &[Entry], way: Course) -> Vec<(Sign, String)> {
    let symbols = [
        (EntryKind::Unmoved, Change::Same, "unmoved".to_owned()),
        (
            EntryKind::Otherwise,
            Change::Moved,
            format!("elsewhere, but not {}", way.along),
        ),
        (
            EntryKind::Otherwise,
            Change::Remade,
            format!("to re-cut, but not moved {}", way.along),
        ),
        (
            EntryKind::Added,
            Change::Added,
            "where a new part lies".to_owned(),
        ),
        (EntryKind::Dropped, Change::Same, "left out".to_owned()),
    ];
    let used = symbols.into_iter().filter(|(kind, change, _)| {
        let mut entries = entries.iter();
        entries.any(|entry| entry.kind == *kind && entry.change == *change)
    });
    used.map(|(kind, change, words)| (Sign::Symbol(kind, change), words))
        .collect()
}

/// Draws a sign from a point on; gives its width.
fn drawn(sheet: &mut Sheet, sign: Sign, id: &str, [x, middle]: [f64; 2]) -> f64 {
    match sign {
        Sign::Swatch(look) => swatch(sheet, look, id, [x, middle]),
        Sign::Dashes => {
            let dashes = format!(
                r#"stroke="{}" stroke-width="0.3" stroke-dasharray="0.9 0.6""#,
                ink::GHOST
            );
            sheet.line([x, middle], [x + 5.0, middle], &dashes);
            5.0
        }
        Sign::Behind => {
            let stroke = format!(r#"stroke="{}" stroke-width="0.3""#, ink::INK);
            sheet.line([x, middle], [x + 5.0, middle], &stroke);
            sheet.put(format_args!(
                r#"<rect x="{}" y="{}" width="3" height="2.4" fill="{}" fill-opacity="{}"/>"#,
                number(x + 1.0),
                number(middle - 1.2),
                ink::METAL,
                number(FROSTED)
            ));
            5.0
        }
        Sign::Symbol(kind, change) => {
            symbol(sheet, kind, change, None, [x + 1.3, middle]);
            2.6
        }
    }
}
