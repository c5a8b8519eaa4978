//! Names of parts, faces and figures: taken apart, and told when they are not known.

use crate::part::mirror_word;
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

/// The fault of a face that a part doesn't have. One that is there under the name of the other hand comes first: of a part on both
/// sides, and of the leg of an angle, the sides are easily exchanged.
pub(crate) fn no_face(part: &str, faces: &[&str], face: &str, name: &Text) -> Fault {
    let fault = Fault {
        message: format!("`{part}` has no face `{face}`"),
        ..unknown("face", name, face, faces.iter().copied())
    };
    let exchanged = mirror_word(face);
    let there = exchanged != face && faces.contains(&exchanged.as_str());
    fault.help_if(
        there.then(|| {
            format!("there it is `{exchanged}`: a face goes by the side that it looks to")
        }),
    )
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
        None => fault.help_if(there_are(word, candidates)),
    }
}

/// The names that there are, those first that have a word in common with what was written; of many the first, with how many there
/// are more.
pub(crate) fn there_are<'n>(written: &str, names: impl Iterator<Item = &'n str>) -> Option<String> {
    let words = |name: &str| -> Vec<String> {
        let lower = name.to_lowercase();
        lower.split([' ', '_', '.']).map(str::to_owned).collect()
    };
    let own = words(written);
    let mut list: Vec<&str> = names.collect();
    list.sort_by_key(|name| !words(name).iter().any(|word| own.contains(word)));
    (!list.is_empty()).then(|| format!("there are: {}", listed(&list)))
}

/// More names than these are only counted.
pub(crate) const SHOWN: usize = 12;

/// Names in a row; of many the first, with how many there are more.
pub(crate) fn listed(names: &[&str]) -> String {
    let shown = names[..names.len().min(SHOWN)].join(", ");
    match names.len().saturating_sub(SHOWN) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    #[test]
    fn names_with_a_word_in_common_come_first_and_the_rest_is_counted() {
        let faces: Vec<String> = (1..=14).map(|at| format!("top_{at}")).collect();
        let faces = faces.iter().map(String::as_str).chain(["upper_end"]);
        let told = there_are("fwd_end", faces).unwrap();
        assert!(told.starts_with("there are: upper_end, top_1, "), "{told}");
        assert!(told.ends_with("top_11 and 3 more"), "{told}");
        assert_eq!(there_are("x", std::iter::empty()), None);
        assert_eq!(
            there_are("W9", ["W1", "W2"].into_iter()).as_deref(),
            Some("there are: W1, W2")
        );
    }
}
