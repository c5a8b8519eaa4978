//! The paper around the chapters: title, contents, sheets of the drawings, cautions, and how it prints. In: chapters. Out: one HTML file.

use std::fmt::Write;

use super::Chapter;
use crate::command::{CAUTION, Located};
use crate::load::Loaded;
use crate::picture::escaped;
use crate::render;

/// What a builder has to keep in mind, whatever the book says.
const KEEP_IN_MIND: &[&str] = &[
    CAUTION,
    "Measure the real thing before an irreversible hole. A figure that was found follows from the figures stated: where one of those is wrong, it is wrong.",
    "The designer of the aircraft has the last word on a deviation, a gauge, a bend and a fastener; ask before metal is cut.",
];

/// The whole file.
pub(super) fn around(loaded: &Loaded, plan: &Located, chapters: &[Chapter]) -> String {
    let title = escaped(&plan.layout.title);
    let mut html = String::new();
    let _ = write!(
        html,
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta http-equiv=\"content-security-policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n\
         <title>{title}: build book</title>\n<style>\n{}</style>\n</head>\n<body>\n",
        include_str!("book.css")
    );
    let verdict = render::verdict::with_clashes(&plan.layout, &plan.fits, &plan.clashes);
    let _ = write!(
        html,
        "<header>\n<p class=\"kind\">Build book</p>\n<h1>{title}</h1>\n<p class=\"verdict\">{}</p>\n",
        escaped(&verdict)
    );
    if let Some(datum) = &plan.layout.datum {
        let _ = writeln!(
            html,
            "<p>Stations (fs) count aft, buttock lines (bl) to the right, waterlines (wl) up: from {}. Lengths are in {} where no unit stands beside them.</p>",
            escaped(datum),
            plan.layout.unit.words()
        );
    }
    html += "</header>\n<nav aria-label=\"Chapters\">\n<ol>\n";
    for (at, chapter) in chapters.iter().enumerate() {
        let _ = writeln!(
            html,
            "<li><a href=\"#chapter-{at}\">{}</a></li>",
            escaped(&chapter.title)
        );
    }
    html +=
        "</ol>\n</nav>\n<main>\n<section class=\"cautions\">\n<h2>Before anything is cut</h2>\n";
    for caution in KEEP_IN_MIND {
        let _ = writeln!(html, "<p>{}</p>", escaped(caution));
    }
    html += "</section>\n";
    if !loaded.document.sheets.is_empty() {
        html += "<section class=\"sheets\">\n<h2>Sheets of the drawings</h2>\n<dl>\n";
        for sheet in loaded.document.sheets.iter() {
            let _ = writeln!(
                html,
                "<dt>{}</dt><dd>{}</dd>",
                escaped(&sheet.name.value),
                escaped(&sheet.value.value)
            );
        }
        html += "</dl>\n</section>\n";
    }
    for (at, chapter) in chapters.iter().enumerate() {
        let _ = writeln!(
            html,
            "<section id=\"chapter-{at}\">\n<h2>{}</h2>\n{}</section>",
            escaped(&chapter.title),
            chapter.body
        );
    }
    let _ = write!(
        html,
        "</main>\n<footer><p>{}</p></footer>\n</body>\n</html>\n",
        escaped(CAUTION)
    );
    html
}
