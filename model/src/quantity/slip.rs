//! Slips of the pen in a mixed number. In: text at which a fault was found. Out: the text that was probably meant.
//! A drawing writes `22 1/2`; typed in a hurry it becomes `22 1-2` or `22.1/2`, which mean something else or nothing.

use super::parse;

/// The finest division of a rule, in parts of an inch.
const FINEST: u32 = 64;

/// The text with its first slip mended, if it has one and can be read then.
#[must_use]
pub fn mixed_number_meant(text: &str) -> Option<String> {
    let starts = text.char_indices().filter(|(at, c)| {
        let goes_on = |c: char| c.is_alphanumeric() || matches!(c, '.' | '_' | ']');
        // a figure after a word and a blank is part of a name, as in `frame 2`
        let in_name = text[..*at].trim_end().ends_with(goes_on);
        c.is_ascii_digit() && !in_name
    });
    starts
        .filter_map(|(at, _)| mended(text, at))
        .find(|mended| parse(mended).is_ok())
}

/// The text with `22 1-2` or `22.1/2` at a place as `22 1/2`.
fn mended(text: &str, at: usize) -> Option<String> {
    let (whole, rest) = digits(&text[at..])?;
    let (stroke, rest) = match rest.chars().next()? {
        ' ' => ('-', &rest[1..]),
        '.' => ('/', &rest[1..]),
        _ => return None,
    };
    let (above, rest) = digits(rest)?;
    let (below, rest) = digits(rest.strip_prefix(stroke)?)?;
    let (numerator, denominator): (u32, u32) = (above.parse().ok()?, below.parse().ok()?);
    let is_fraction =
        numerator < denominator && denominator <= FINEST && denominator.is_power_of_two();
    let ends = !rest.starts_with('.');
    (is_fraction && ends).then(|| format!("{}{whole} {above}/{below}{rest}", &text[..at]))
}

/// Digits at the beginning of a text, and the rest.
fn digits(text: &str) -> Option<(&str, &str)> {
    let end = text
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len());
    (end > 0).then(|| text.split_at(end))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_mended() {
        for (text, meant) in [
            ("22 1-2 in", "22 1/2 in"),
            ("22.1/2 in", "22 1/2 in"),
            ("bay + 3.5/16\"", "bay + 3 5/16\""),
            ("22 1-2", "22 1/2"),
        ] {
            assert_eq!(mixed_number_meant(text).as_deref(), Some(meant), "{text}");
        }
    }

    #[test]
    fn what_is_no_slip_is_left_alone() {
        for text in [
            "22 1/2 in",
            "22 3-2 in",
            "22.1/3 in",
            "frame 2 1-2",
            "2.5",
            "",
            "é 1",
        ] {
            assert_eq!(mixed_number_meant(text), None, "{text}");
        }
    }
}
