//! The nearest of some known words to a word that is not known, for "did you mean" lines.
//! Distance: Damerau and Levenshtein's, letters compared without regard to case. Another word of the trade for one of them
//! comes before all that are spelled like it.

use super::synonyms::alike;

/// Words longer than this are not compared: no name is, and the comparison costs the product of the lengths.
const LONGEST: usize = 80;

/// The candidate nearest to `word`, or none if all are too far off to be what was meant: more than a third of
/// the letters different, and neither word the beginning of the other. The first of several equally near. Where both hold
/// numbers these have to be the same: sheet W9 is no slip for W1.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let written = word;
    let word = folded(word)?;
    let candidates: Vec<&str> = candidates.into_iter().collect();
    if let Some(meant) = alike(written, &candidates) {
        return Some(meant);
    }
    let length = word.chars().count();
    let mut best: Option<(usize, &'a str)> = None;
    for candidate in candidates {
        let Some(other) = folded(candidate) else {
            continue;
        };
        let distance = strsim::damerau_levenshtein(&word, &other);
        let allowed = (length.max(other.chars().count()) / 3).max(1);
        let near = distance <= allowed || begins(&word, &other) || is_cut_from(&other, &word);
        let near = near && !other_number(&word, &other);
        if near && distance < length && best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// Small letters, blanks, hyphens and underscores alike; none if empty or too long.
fn folded(word: &str) -> Option<String> {
    if word.is_empty() || word.len() > LONGEST {
        return None;
    }
    let lower = word.to_lowercase();
    Some(lower.replace(['_', '-'], " "))
}

/// Whether `whole` begins with `part`, and by enough letters to mean something.
fn begins(part: &str, whole: &str) -> bool {
    part.chars().count() >= 3 && whole.starts_with(part)
}

/// Whether `whole` begins with `part` and ends within a word of it: `thicknesses`, but not `web back` for `web`, which is
/// another one.
fn is_cut_from(part: &str, whole: &str) -> bool {
    let rest = whole.strip_prefix(part);
    begins(part, whole) && rest.is_some_and(|rest| !rest.starts_with([' ', '.']))
}

/// Whether both hold numbers, and not the same.
fn other_number(a: &str, b: &str) -> bool {
    let digits = |text: &str| -> String { text.chars().filter(char::is_ascii_digit).collect() };
    let [a, b] = [digits(a), digits(b)];
    !a.is_empty() && !b.is_empty() && a != b
}

#[cfg(test)]
mod tests {
    use super::nearest;

    const PARTS: [&str; 4] = ["seat frame", "rear frame", "main spar", "left rail"];

    #[test]
    fn slips_of_the_hand_find_the_word() {
        assert_eq!(nearest("seat frme", PARTS), Some("seat frame"));
        assert_eq!(nearest("SEAT FRAME", PARTS), Some("seat frame"));
        assert_eq!(nearest("seat_frame", PARTS), Some("seat frame"));
        assert_eq!(nearest("mian spar", PARTS), Some("main spar"));
        assert_eq!(nearest("thick", ["width", "thickness"]), Some("thickness"));
        assert_eq!(nearest("Plat", ["Bar", "Plate", "Tube"]), Some("Plate"));
        assert_eq!(nearest("at", ["of", "as"]), Some("as"));
    }

    #[test]
    fn another_number_is_no_slip() {
        assert_eq!(nearest("W9", ["W1", "W2"]), None);
        assert_eq!(nearest("rib 3", ["rib 2", "rib 13"]), None);
        assert_eq!(nearest("W 1", ["W2", "W1"]), Some("W1"));
        assert_eq!(nearest("rbi 2", ["rib 1", "rib 2"]), Some("rib 2"));
        assert_eq!(nearest("top", ["left_1", "top_1"]), Some("top_1"));
    }

    #[test]
    fn a_word_more_is_another_name() {
        assert_eq!(nearest("web_edge", ["web", "fwd"]), None);
        assert_eq!(nearest("webs", ["fwd", "web"]), Some("web"));
        // another word of the trade comes before a likeness
        assert_eq!(nearest("web_back", ["web", "web_aft"]), Some("web_aft"));
    }

    #[test]
    fn a_word_far_from_all_finds_none() {
        assert_eq!(nearest("propeller", PARTS), None);
        assert_eq!(nearest("x", ["y"]), None);
        assert_eq!(nearest("", PARTS), None);
        assert_eq!(nearest("rail", []), None);
        assert_eq!(nearest(&"a".repeat(1_000_000), PARTS), None);
    }
}
