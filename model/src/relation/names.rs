//! Names of parts, faces and figures: taken apart, and told when they are not known.

use crate::quantity;
use crate::source::{Code, Fault, Given, Text, nearest};

/// The first name that a figure is told by; none for a plain one.
pub(crate) fn first_name(given: &Given) -> Option<String> {
    let Given::Text(text) = given else {
        return None;
    };
    let tree = quantity::parse(&text.value).ok()?;
    let (name, _) = quantity::names(&tree).into_iter().next()?;
    Some(name.to_owned())
}

/// Splits `PART.FEATURE` at the end of the longest part name that fits.
pub(crate) fn split_name(known: impl Fn(&str) -> bool, name: &str) -> Option<(&str, &str)> {
    name.rmatch_indices('.')
        .map(|(at, dot)| (&name[..at], &name[at + dot.len()..]))
        .find(|(part, _)| known(part))
}

/// An unknown name, with the nearest one that exists.
pub(crate) fn unknown<'n>(
    kind: &str,
    name: &Text,
    word: &str,
    candidates: impl Iterator<Item = &'n str> + Clone,
) -> Fault {
    let fault = Fault::error(Code::UnknownName, format!("there is no {kind} `{word}`"))
        .at(name.span.clone(), "");
    match nearest(word, candidates.clone()) {
        Some(near) => fault.help(format!("the nearest is `{near}`")),
        None => {
            let list: Vec<&str> = candidates.take(12).collect();
            fault.help_if((!list.is_empty()).then(|| format!("there are: {}", list.join(", "))))
        }
    }
}
