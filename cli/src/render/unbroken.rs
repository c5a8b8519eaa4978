//! Figures that no line breaks: `7 3/4 in` cut after the 7 reads as another length. In: text with plain blanks. Out: the same
//! with blanks inside of figures held together while lines are laid out, and plain again afterwards.

/// Stands for a blank inside of a figure while lines are laid out: one sign wide, no blank to anyone who breaks lines, and,
/// being for private use, no sign of any name.
const HELD: char = '\u{E000}';

/// The text with the blanks inside of its figures held: before a fraction, before a unit, between feet and inches.
pub(super) fn hold(text: &str) -> String {
    let mut held = String::with_capacity(text.len());
    let mut before = None;
    for word in text.split(' ') {
        if let Some(before) = before {
            held.push(if belong_together(before, word) {
                HELD
            } else {
                ' '
            });
        }
        held.push_str(word);
        before = Some(word);
    }
    held
}

/// Plain blanks again.
pub(super) fn release(text: &str) -> String {
    text.replace(HELD, " ")
}

fn belong_together(before: &str, word: &str) -> bool {
    let word = word.trim_end_matches([',', ';', '.', ':', ')']);
    let after_figure = before.ends_with(|c: char| c.is_ascii_digit());
    let whole = before.trim_start_matches(['+', '-', '(']);
    let after_whole = !whole.is_empty() && whole.chars().all(|c| c.is_ascii_digit());
    let begins_figure = word.starts_with(|c: char| c.is_ascii_digit());
    (after_whole && is_fraction(word))
        || (after_figure && matches!(word, "in" | "ft" | "mm" | "cm" | "m" | "deg" | "%"))
        || (before == "ft" && begins_figure)
}

fn is_fraction(word: &str) -> bool {
    let digits = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_digit());
    word.split_once('/')
        .is_some_and(|(above, below)| digits(above) && digits(below))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str) -> String {
        hold(text).replace(HELD, "~")
    }

    #[test]
    fn blanks_inside_of_figures_are_held() {
        assert_eq!(shown("-8 1/4 to -7 3/4"), "-8~1/4 to -7~3/4");
        assert_eq!(shown("by 19 5/16 in, or 3 mm."), "by 19~5/16~in, or 3~mm.");
        assert_eq!(shown("1 ft 3 1/4 in"), "1~ft~3~1/4~in");
        assert_eq!(shown("pitch +2.5 deg"), "pitch +2.5~deg");
    }

    #[test]
    fn other_blanks_are_not() {
        for text in [
            "rib 3 top",
            "5 parts of 6",
            " a  b ",
            "frame 2, 3/4 done",
            "",
        ] {
            assert_eq!(hold(text), text);
        }
        assert_eq!(release(&hold("7 3/4 in")), "7 3/4 in");
    }
}
