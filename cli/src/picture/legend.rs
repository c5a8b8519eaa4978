//! What the signs of a picture mean. In: which of them it uses. Out: one line of swatches and words; none if it uses none.

use super::ink;
use super::look::{Change, Emphasis, Look, Place, swatch};
use super::parts::FROSTED;
use super::ribbon::{Entry, EntryKind, Way};
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
    (entries, way): (&[Entry], Way),
    id: &str,
    y: f64,
) -> f64 {
    let elsewhere = format!("elsewhere, but not {}", way.along);
    let not_moved = format!("to re-cut, but not moved {}", way.along);
    let mut signs: Vec<(Sign, &str)> = Vec::new();
    for change in Change::TOLD {
        if looks.iter().any(|look| look.change == change) {
            let look = Look {
                change,
                ..Look::default()
            };
            signs.push((Sign::Swatch(look), change.words()));
        }
    }
    if looks.iter().any(|look| look.emphasis == Emphasis::Picked) {
        let look = Look {
            emphasis: Emphasis::Picked,
            ..Look::default()
        };
        signs.push((Sign::Swatch(look), "picked out"));
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
            signs.push((Sign::Swatch(look), words));
        }
    }
    if ghosts {
        signs.push((Sign::Dashes, "where it was"));
    }
    if behind == Behind::Some {
        signs.push((Sign::Behind, "pale: behind a sheet"));
    }
    for (kind, change, words) in [
        (EntryKind::Unmoved, Change::Same, "unmoved"),
        (EntryKind::Otherwise, Change::Moved, elsewhere.as_str()),
        (EntryKind::Otherwise, Change::Remade, not_moved.as_str()),
        (EntryKind::Added, Change::Added, "where a new part lies"),
        (EntryKind::Dropped, Change::Same, "left out"),
    ] {
        if entries
            .iter()
            .any(|entry| entry.kind == kind && entry.change == change)
        {
            signs.push((Sign::Symbol(kind, change), words));
        }
    }
    if signs.is_empty() {
        return y;
    }
    let mut middle = y + 2.0;
    let mut x = MARGIN;
    sheet.open(r#"class="legend""#);
    for (sign, words) in signs {
        // a sign and its words stay together
        let room = super::PAPER - MARGIN - x;
        if x > MARGIN && 6.2 + font::width(words, ink::NOTE) > room {
            x = MARGIN;
            middle += 4.0;
        }
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
        };
        x += width + 1.2;
        let lettering = Lettering::new(ink::NOTE, ink::INK, Anchor::Start);
        sheet.text([x, middle + 0.8], words, lettering);
        x += font::width(words, ink::NOTE) + 6.0;
    }
    sheet.close();
    middle + 2.8
}
