//! The paper: SVG text as it is written, one user unit a millimetre, y down.
//! In: lines, shapes and texts in mm of paper. Out: well-formed SVG (XML 1.0, section 2.2: which characters may stand in it),
//! in which a number is finite and has three decimals at most.

use std::fmt::Write as _;

use super::font::FAMILY;

/// Which point of a text stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// How a text looks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lettering {
    pub(super) size: f64,
    pub(super) colour: &'static str,
    pub(super) anchor: Anchor,
    /// Turned by so many degrees, clockwise as SVG has it.
    pub(super) turn_deg: f64,
}

impl Lettering {
    pub(super) const fn new(size: f64, colour: &'static str, anchor: Anchor) -> Self {
        Self {
            size,
            colour,
            anchor,
            turn_deg: 0.0,
        }
    }
}

/// A picture in the making.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    body: String,
}

impl Sheet {
    /// Opens a group; `attributes` is SVG text.
    pub(super) fn open(&mut self, attributes: &str) {
        let _ = writeln!(self.body, "<g {attributes}>");
    }

    /// Closes the group.
    pub(super) fn close(&mut self) {
        self.body.push_str("</g>\n");
    }

    /// The words that a browser shows over the group just opened.
    pub(super) fn hint(&mut self, text: &str) {
        let _ = writeln!(self.body, "<title>{}</title>", escaped(text));
    }

    /// Puts an element of which every part is known to be well-formed.
    pub(super) fn put(&mut self, element: std::fmt::Arguments<'_>) {
        let _ = self.body.write_fmt(element);
        self.body.push('\n');
    }

    /// A straight line; colour and dashes come from its group if `extra` doesn't say.
    pub(super) fn line(&mut self, from: [f64; 2], to: [f64; 2], extra: &str) {
        let [x1, y1, x2, y2] = [from[0], from[1], to[0], to[1]].map(number);
        let _ = writeln!(
            self.body,
            r#"<line x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"{}{extra}/>"#,
            if extra.is_empty() { "" } else { " " }
        );
    }

    /// A line of text.
    pub(super) fn text(&mut self, at: [f64; 2], text: &str, lettering: Lettering) {
        if text.trim().is_empty() {
            return;
        }
        let [x, y] = at.map(number);
        let anchor = match lettering.anchor {
            Anchor::Start => "",
            Anchor::Middle => r#" text-anchor="middle""#,
            Anchor::End => r#" text-anchor="end""#,
        };
        let _ = write!(
            self.body,
            r#"<text x="{x}" y="{y}" font-size="{}" fill="{}"{anchor}"#,
            number(lettering.size),
            lettering.colour
        );
        if lettering.turn_deg != 0.0 {
            let _ = write!(
                self.body,
                r#" transform="rotate({} {x} {y})""#,
                number(lettering.turn_deg)
            );
        }
        let _ = writeln!(self.body, ">{}</text>", escaped(text));
    }

    /// The whole picture; `about` is what a screen reader says of it.
    pub(super) fn finish(self, width: f64, height: f64, about: &str) -> String {
        let [w, h] = [width, height].map(number);
        let about = escaped(about);
        format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}" role="img" font-family="&quot;{FAMILY}&quot;, sans-serif">
<title>{about}</title>
<rect width="{w}" height="{h}" fill="#ffffff"/>
{}</svg>
"##,
            self.body
        )
    }
}

/// A number for SVG: three decimals at most, never a negative zero, 0 for what is no number.
pub(super) fn number(x: f64) -> String {
    if !x.is_finite() {
        return "0".to_owned();
    }
    let thousandths = x * 1000.0;
    let whole = thousandths.round();
    // a picture holds thousands of numbers: whole thousandths are written at once, unless two are nearly as near
    if whole.abs() < 1e9 && (thousandths - whole).abs() < 0.499 {
        return thousandths_told(whole as i64);
    }
    told_exactly(x)
}

/// Whole thousandths as a decimal, with no more places than it needs.
fn thousandths_told(thousandths: i64) -> String {
    let sign = if thousandths < 0 { "-" } else { "" };
    let (whole, rest) = (thousandths.abs() / 1000, thousandths.abs() % 1000);
    match rest {
        0 => format!("{sign}{whole}"),
        rest if rest % 100 == 0 => format!("{sign}{whole}.{}", rest / 100),
        rest if rest % 10 == 0 => format!("{sign}{whole}.{:02}", rest / 10),
        rest => format!("{sign}{whole}.{rest:03}"),
    }
}

/// The same by the exact decimal of a number.
fn told_exactly(x: f64) -> String {
    let mut text = format!("{x:.3}");
    text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    if text == "-0" || text.is_empty() {
        text = "0".to_owned();
    }
    text
}

/// Text for an element's content or an attribute in double quotes. Characters that XML 1.0 forbids, and those that turn the
/// direction of all that follows, become a replacement mark; tabs and line ends stay, as references.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => {
                let _ = write!(out, "&#{};", u32::from(c));
            }
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{fffe}' | '\u{ffff}' => {
                out.push('\u{fffd}');
            }
            c if c.is_control() => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_finite() {
        assert_eq!(number(1.0), "1");
        assert_eq!(number(-0.0001), "0");
        assert_eq!(number(12.3456), "12.346");
        assert_eq!(number(100.0), "100");
        assert_eq!(number(f64::NAN), "0");
        assert_eq!(number(f64::NEG_INFINITY), "0");
    }

    proptest::proptest! {
        #[test]
        fn numbers_written_at_once_are_the_same(x in -2e6..2e6f64, near in -5_000_000i64..5_000_000) {
            proptest::prop_assert_eq!(number(x), told_exactly(x));
            // thousandths, and halves of them
            for x in [near as f64 / 1000.0, near as f64 / 2000.0] {
                proptest::prop_assert_eq!(number(x), told_exactly(x));
            }
        }
    }

    #[test]
    fn text_is_escaped() {
        assert_eq!(
            escaped("<a & 'b' \"c\">\u{1}\n\u{202e}é"),
            "&lt;a &amp; &#39;b&#39; &quot;c&quot;&gt;\u{fffd}&#10;\u{fffd}é"
        );
    }
}
