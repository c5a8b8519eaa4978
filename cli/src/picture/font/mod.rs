//! The font of all pictures: a subset of DejaVu Sans, so that a label looks the same on every machine.
//! In: a text and its size in mm. Out: its width in mm, from the font's own advance widths (no kerning: a little too wide
//! is what label placement wants). The bytes are made by `make_subset.py`; their licence is in `LICENCE.txt`.

mod advance;

/// The font file.
pub const FONT: &[u8] = include_bytes!("font.ttf");

/// Its family, as a picture names it.
pub const FAMILY: &str = "DejaVu Sans";

/// Width of a text of that size, in the unit of the size.
#[must_use]
pub fn width(text: &str, size: f64) -> f64 {
    text.chars().map(advance_of).sum::<f64>() * size
}

/// As much of a text as fits, with an ellipsis if that isn't all.
#[must_use]
pub fn fitted(text: &str, size: f64, room: f64) -> String {
    if width(text, size) <= room {
        return text.to_owned();
    }
    let room = room - width("…", size);
    let mut used = 0.0;
    let mut kept: String = text
        .chars()
        .take_while(|&c| {
            used += advance_of(c) * size;
            used <= room
        })
        .collect();
    kept.truncate(kept.trim_end().len());
    kept.push('…');
    kept
}

/// A text broken at blanks into lines of at most that width; a longer word has a line of its own.
#[must_use]
pub fn wrapped(text: &str, size: f64, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if width(line, size) + width(" ", size) + width(word, size) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Advance width in ems.
fn advance_of(c: char) -> f64 {
    let (table, first): (&[u16], u32) = match c {
        '\u{20}'..='\u{7e}' => (&advance::BASIC, 0x20),
        '\u{a0}'..='\u{17f}' => (&advance::LATIN, 0xa0),
        // Not in the table, such as a name in another script: a full em is too wide rather than too narrow.
        _ => return 1.0,
    };
    let at = (c as u32 - first) as usize;
    table
        .get(at)
        .map_or(1.0, |&units| f64::from(units) / advance::UNITS_PER_EM)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::picture::raster;

    #[test]
    fn widths_are_those_of_the_font() {
        for text in ["panel frame 12", "Überzug ½", "23 1/2 in"] {
            let svg = format!(
                "<svg xmlns='http://www.w3.org/2000/svg' width='900' height='90'>\
                 <text y='50' font-family='{FAMILY}' font-size='40'>{text}</text></svg>"
            );
            let tree = raster::tree(&svg).unwrap();
            let drawn = f64::from(tree.root().abs_bounding_box().width());
            // The box of the ink leaves out the blank at both ends of the text: some tenths of an em at most.
            let told = width(text, 40.0);
            assert!((told - drawn).abs() < 8.0, "{text}: {told} against {drawn}");
        }
    }

    #[test]
    fn fitting_and_breaking() {
        assert_eq!(fitted("rib", 2.0, 50.0), "rib");
        let cut = fitted("a name that is far too long", 2.0, 20.0);
        assert!(cut.ends_with('…') && width(&cut, 2.0) <= 20.0);
        let lines = wrapped("one two three four five six", 2.0, 14.0);
        assert!(lines.len() > 1 && lines.iter().all(|line| width(line, 2.0) <= 14.0));
        assert_eq!(lines.join(" "), "one two three four five six");
        assert_eq!(wrapped("", 2.0, 14.0), Vec::<String>::new());
        assert!(fitted("x", 2.0, -1.0).ends_with('…'));
    }
}
