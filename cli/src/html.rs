//! What an answer tells, as HTML. In: the text of a renderer that wrote for [`PAGE`](crate::render::PAGE). Out: paragraphs, lists and
//! tables, the same words.

use std::collections::BTreeSet;
use std::fmt::Write;

use crate::picture::escaped;
use crate::render::table::{CELL, FIGURES, ROW, TABLE};

/// Blanks at the head of a line that make it part of what stands above it.
const INDENT: &str = "  ";

/// What can be touched where it heads a row of a table.
#[derive(Debug, Default)]
pub(crate) struct Touchable<'a> {
    /// Parts.
    pub(crate) parts: BTreeSet<&'a str>,
    /// Must-fits.
    pub(crate) must_fits: BTreeSet<&'a str>,
}

impl Touchable<'_> {
    fn attribute(&self, text: &str) -> Option<&'static str> {
        if self.parts.contains(text) {
            Some("data-part")
        } else {
            self.must_fits.contains(text).then_some("data-must-fit")
        }
    }
}

/// The text as HTML.
pub(crate) fn of(told: &str, touch: &Touchable<'_>) -> String {
    let mut html = String::with_capacity(told.len() * 2);
    for (at, piece) in told.split(TABLE).enumerate() {
        if at % 2 == 0 {
            paragraphs(&mut html, piece);
        } else {
            table(&mut html, piece, touch);
        }
    }
    html
}

/// The text as HTML of which nothing can be touched.
pub(crate) fn untouched(told: &str) -> String {
    of(told, &Touchable::default())
}

fn paragraphs(html: &mut String, text: &str) {
    for line in text.lines().filter(|line| !line.trim().is_empty()) {
        let class = if line.starts_with(INDENT) {
            r#" class="part-of""#
        } else {
            ""
        };
        let _ = writeln!(html, "<p{class}>{}</p>", escaped(line.trim()));
    }
}

fn table(html: &mut String, text: &str, touch: &Touchable<'_>) {
    let mut rows = text.split(ROW).map(|row| row.split(CELL));
    let head: Vec<&str> = rows.next().into_iter().flatten().collect();
    let figures: Vec<bool> = head.iter().map(|text| text.starts_with(FIGURES)).collect();
    let class = |at: usize| match figures.get(at) {
        Some(true) => r#" class="figures""#,
        _ => "",
    };
    html.push_str(r#"<div class="wide" tabindex="0"><table><thead><tr>"#);
    for (at, text) in head.iter().enumerate() {
        let text = escaped(text.trim_start_matches(FIGURES));
        if text.is_empty() {
            let _ = write!(html, "<td{}></td>", class(at));
        } else {
            let _ = write!(html, r#"<th scope="col"{}>{text}</th>"#, class(at));
        }
    }
    html.push_str("</tr></thead><tbody>\n");
    for row in rows {
        html.push_str("<tr>");
        for (at, text) in row.enumerate() {
            let shown = escaped(text);
            if let Some(attribute) = touch.attribute(text).filter(|_| at == 0) {
                let _ = write!(
                    html,
                    r#"<th scope="row"><button type="button" class="touch" {attribute}="{shown}">{shown}</button></th>"#
                );
            } else {
                let _ = write!(html, "<td{}>{shown}</td>", class(at));
            }
        }
        html.push_str("</tr>\n");
    }
    html.push_str("</tbody></table></div>\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_and_lines_become_elements() {
        let told = format!(
            "All <well>.\n\n{TABLE}part{CELL}{FIGURES}station, in{ROW}rail L{CELL}19 5/16{ROW}floor & keel{CELL}3{TABLE}\n  and more\n"
        );
        let touch = Touchable {
            parts: BTreeSet::from(["rail L"]),
            must_fits: BTreeSet::new(),
        };
        let html = of(&told, &touch);
        assert_eq!(
            html,
            concat!(
                "<p>All &lt;well&gt;.</p>\n",
                r#"<div class="wide" tabindex="0"><table><thead><tr><th scope="col">part</th><th scope="col" class="figures">station, in</th></tr></thead><tbody>"#,
                "\n",
                r#"<tr><th scope="row"><button type="button" class="touch" data-part="rail L">rail L</button></th><td class="figures">19 5/16</td></tr>"#,
                "\n",
                r#"<tr><td>floor &amp; keel</td><td class="figures">3</td></tr>"#,
                "\n</tbody></table></div>\n<p class=\"part-of\">and more</p>\n",
            )
        );
    }
}
