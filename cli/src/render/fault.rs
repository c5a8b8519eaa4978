//! Faults as text: what is wrong, where, and what would be right.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use strongback_model::source::{Code, Fault, Label, Severity, nearest};

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
    let faults = told_once(&refused.faults);
    for fault in faults.iter().take(SHOWN) {
        text.push_str(&renderer.render(&groups(refused, fault)));
        text.push_str("\n\n");
    }
    if let Some(more) = faults.len().checked_sub(SHOWN)
        && more > 0
    {
        text.push_str(&format!("and {more} more of the kind\n"));
    }
    text
}

/// Faults that say the same of several places as one with all of them.
fn told_once(faults: &[Fault]) -> Vec<Fault> {
    let mut told: Vec<Fault> = Vec::new();
    let others = |fault: &Fault| -> Vec<Label> {
        let labels = fault.labels.iter();
        labels.filter(|label| !label.primary).cloned().collect()
    };
    for fault in faults {
        let same = |first: &&mut Fault| {
            first.message == fault.message
                && first.help == fault.help
                && first.code == fault.code
                && first.span().is_some()
                && fault.span().is_some()
                && others(first) == others(fault)
        };
        match told.iter_mut().find(same) {
            Some(first) => {
                for label in fault.labels.iter().filter(|label| label.primary) {
                    *first = first.clone().at(label.span.clone(), label.text.clone());
                }
            }
            None => told.push(fault.clone()),
        }
    }
    told
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_wrong_in_several_places_is_told_once_with_all_of_them() {
        let at = |span| {
            Fault::error(Code::WrongFeature, "no rows")
                .at(span, "")
                .help("state `rows`")
        };
        let other = Fault::error(Code::WrongFeature, "no bolts").at(9..10, "");
        let told = told_once(&[at(0..1), other.clone(), at(4..5)]);
        assert_eq!(told.len(), 2);
        assert_eq!(told[0].labels.len(), 2);
        assert_eq!(told[1], other);
        // what has no place of its own stays as it is
        let typed = Fault::error(Code::UnknownName, "there is no part `x`");
        assert_eq!(told_once(&[typed.clone(), typed]).len(), 2);
    }
}
