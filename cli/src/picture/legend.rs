//! What the signs of a picture mean. In: which of them it uses. Out: one line of swatches and words; none if it uses none.

use super::ink;
use super::parts::Look;
use super::ribbon::{Entry, EntryKind};
use super::ribbon_drawing::symbol;
use super::sheet::{Anchor, Lettering, Sheet, number};
use super::{MARGIN, font};

/// A sign to be explained.
enum Sign {
    Swatch(Look),
    Dashes,
    Symbol(EntryKind),
}

/// Draws the line below `y`; gives where the next thing may start.
pub(super) fn draw(
    sheet: &mut Sheet,
    looks: &[Look],
    ghosts: bool,
    entries: &[Entry],
    id: &str,
    y: f64,
) -> f64 {
    let mut signs: Vec<(Sign, &str)> = Vec::new();
    for (look, words) in [
        (Look::Moved, "changed"),
        (Look::Picked, "picked out"),
        (Look::PickedAndMoved, "picked out and changed"),
    ] {
        if looks.contains(&look) {
            signs.push((Sign::Swatch(look), words));
        }
    }
    if ghosts {
        signs.push((Sign::Dashes, "where it was"));
    }
    for (kind, words) in [
        (EntryKind::Unmoved, "unmoved"),
        (EntryKind::Otherwise, "changed, not along the fuselage"),
        (EntryKind::Added, "added"),
        (EntryKind::Dropped, "dropped"),
    ] {
        if entries.iter().any(|entry| entry.kind == kind) {
            signs.push((Sign::Symbol(kind), words));
        }
    }
    if signs.is_empty() {
        return y;
    }
    let middle = y + 2.4;
    let mut x = MARGIN;
    sheet.open(r#"class="legend""#);
    for (sign, words) in signs {
        let width = match sign {
            Sign::Swatch(look) => swatch(sheet, look, id, [x, middle]),
            Sign::Dashes => {
                let dashes = format!(
                    r#"stroke="{}" stroke-width="0.3" stroke-dasharray="0.9 0.6""#,
                    ink::GHOST
                );
                sheet.line([x, middle], [x + 5.0, middle], &dashes);
                5.0
            }
            Sign::Symbol(kind) => {
                symbol(sheet, kind, None, [x + 1.3, middle]);
                2.6
            }
        };
        x += width + 1.2;
        let lettering = Lettering::new(ink::NOTE, ink::INK, Anchor::Start);
        sheet.text([x, middle + 0.8], words, lettering);
        x += font::width(words, ink::NOTE) + 6.0;
    }
    sheet.close();
    y + 5.2
}

fn swatch(sheet: &mut Sheet, look: Look, id: &str, [x, y]: [f64; 2]) -> f64 {
    let (stroke, width) = look.stroke();
    sheet.put(format_args!(
        r#"<rect x="{}" y="{}" width="5" height="2.4" fill="{}" stroke="{stroke}" stroke-width="{width}"/>"#,
        number(x),
        number(y - 1.2),
        look.fill(id)
    ));
    5.0
}
