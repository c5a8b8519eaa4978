//! Names of parts and faces: taken apart, and told when they are not known.

use crate::source::{Code, Fault, Text, nearest};

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
