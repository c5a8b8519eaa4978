//! Faults as text: what is wrong, where, and what would be right.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use strongback_model::source::{Code, Fault, Severity, nearest};

use crate::load::Refused;

/// More faults than this are counted and not shown.
const SHOWN: usize = 20;
/// A line longer than this is not shown with its fault, only its place.
const LONGEST_LINE: usize = 400;

/// All faults of a refused input.
pub fn render(refused: &Refused, width: usize) -> String {
    by(&Renderer::styled().term_width(width), refused)
}

/// The same without colour, for a page.
pub fn plain(refused: &Refused, width: usize) -> String {
    by(&Renderer::plain().term_width(width), refused)
}

fn by(renderer: &Renderer, refused: &Refused) -> String {
    let mut text = String::new();
    for fault in refused.faults.iter().take(SHOWN) {
        text.push_str(&renderer.render(&groups(refused, fault)));
        text.push_str("\n\n");
    }
    if let Some(more) = refused.faults.len().checked_sub(SHOWN)
        && more > 0
    {
        text.push_str(&format!("and {more} more of the kind\n"));
    }
    text
}

fn groups<'a>(refused: &'a Refused, fault: &'a Fault) -> Vec<Group<'a>> {
    let level = match fault.severity {
        Severity::Error => Level::ERROR,
        Severity::Note => Level::NOTE,
    };
    let title = level
        .primary_title(fault.message.as_str())
        .id(fault.code.as_str());
    let mut first = Group::with_title(title);
    let in_text = |at: usize| at <= refused.text.len() && refused.text.is_char_boundary(at);
    let labels: Vec<_> = fault
        .labels
        .iter()
        .filter(|label| label.is_placed())
        .filter(|label| in_text(label.span.start) && in_text(label.span.end))
        .filter(|label| {
            !refused.text.is_empty() && line_length(&refused.text, label.span.start) <= LONGEST_LINE
        })
        .collect();
    if labels.is_empty() && refused.path.is_empty() {
        // what was typed is at fault: there is no file to tell
    } else if labels.is_empty() {
        let place = fault
            .span()
            .filter(|span| !refused.text.is_empty() && in_text(span.start))
            .map(|span| strongback_model::source::line_column(&refused.text, span.start));
        let mut origin = annotate_snippets::Origin::path(refused.path.as_str());
        if let Some((line, column)) = place {
            origin = origin.line(line).char_column(column);
        }
        first = first.element(origin);
    } else {
        let snippet = Snippet::source(refused.text.as_str())
            .path(refused.path.as_str())
            .annotations(labels.into_iter().map(|label| {
                let kind = if label.primary {
                    AnnotationKind::Primary
                } else {
                    AnnotationKind::Context
                };
                kind.span(label.span.clone()).label(label.text.as_str())
            }));
        first = first.element(snippet);
    }
    let mut groups = Vec::new();
    match &fault.help {
        None => groups.push(first),
        Some(help) => groups.push(first.element(Level::HELP.message(help.as_str()))),
    }
    groups
}

/// The length in bytes of the line that a byte lies in.
fn line_length(text: &str, at: usize) -> usize {
    let start = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
    let end = text[at..]
        .find('\n')
        .map_or(text.len(), |newline| at + newline);
    end - start
}

/// There is no part of that name.
pub fn no_part<'n>(name: &str, names: impl Iterator<Item = &'n str>) -> Fault {
    Fault::error(Code::UnknownName, format!("there is no part `{name}`"))
        .help_if(nearest(name, names).map(|near| format!("the nearest is `{near}`")))
}
