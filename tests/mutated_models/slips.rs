//! Slips: the ways in which a model is spoilt. In: a text and a choice of slips. Out: the text with them made.

use proptest::prelude::*;
use proptest::sample::Index;

/// A change of the text.
#[derive(Clone, Debug)]
pub enum Slip {
    /// A figure becomes another one.
    Figure(Index, &'static str),
    /// A unit becomes another one.
    Unit(Index, &'static str),
    /// A text becomes another text of the same file: a name for a name, a face for a figure.
    Name(Index, Index),
    /// A word becomes another word of the same file.
    Word(Index, Index),
    /// A text in quotes becomes a bare word.
    Bare(Index, &'static str),
    /// A word is turned round, such as Aft to Fwd.
    Turned(Index),
    /// A line is left out.
    Dropped(Index),
    /// A line is written again elsewhere.
    Repeated(Index, Index),
    /// A letter is put in.
    Letter(Index, char),
    /// A letter is left out.
    Lost(Index),
}

/// One or two slips.
pub fn slips() -> impl Strategy<Value = Vec<Slip>> {
    let at = any::<Index>;
    let figure = prop::sample::select(
        &[
            "0", "-1", "1/64", "7", "-3 1/2", "1e-9", "1e7", "0.0321", "400", "-0", "1/0",
        ][..],
    );
    let unit = prop::sample::select(&["mm", "ft", "deg", "rad", "m", "cm", ""][..]);
    let bare = prop::sample::select(
        &[
            "Find",
            "Find(near: 3)",
            "Find(near: -40)",
            "[]",
            "()",
            "-5",
            "0",
            "1e300",
        ][..],
    );
    let one = prop_oneof![
        4 => (at(), figure).prop_map(|(i, f)| Slip::Figure(i, f)),
        1 => (at(), unit).prop_map(|(i, u)| Slip::Unit(i, u)),
        4 => (at(), at()).prop_map(|(i, j)| Slip::Name(i, j)),
        1 => (at(), at()).prop_map(|(i, j)| Slip::Word(i, j)),
        2 => (at(), bare).prop_map(|(i, b)| Slip::Bare(i, b)),
        4 => at().prop_map(Slip::Turned),
        4 => at().prop_map(Slip::Dropped),
        1 => (at(), at()).prop_map(|(i, j)| Slip::Repeated(i, j)),
        1 => (at(), any::<char>()).prop_map(|(i, c)| Slip::Letter(i, c)),
        1 => at().prop_map(Slip::Lost),
    ];
    prop::collection::vec(one, 1..3)
}

/// Pieces of a text by what they are, as byte ranges.
#[derive(Default)]
struct Pieces {
    /// Insides of quotes.
    texts: Vec<(usize, usize)>,
    /// Digits and points.
    figures: Vec<(usize, usize)>,
    /// Bare words.
    words: Vec<(usize, usize)>,
}

fn pieces(text: &str) -> Pieces {
    let mut pieces = Pieces::default();
    let mut quoted = None;
    let mut comment = false;
    let bytes = text.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        let byte = bytes[at];
        let run =
            |belongs: fn(&u8) -> bool| at + bytes[at..].iter().take_while(|b| belongs(b)).count();
        match (byte, quoted) {
            (b'\n', _) => comment = false,
            _ if comment => {}
            (b'"', None) => quoted = Some(at + 1),
            (b'"', Some(start)) => {
                pieces.texts.push((start, at));
                quoted = None;
            }
            (b'/', None) if bytes.get(at + 1) == Some(&b'/') => comment = true,
            (b'0'..=b'9', _) => {
                let end = run(|b| b.is_ascii_digit() || *b == b'.');
                pieces.figures.push((at, end));
                at = end;
                continue;
            }
            (b'a'..=b'z' | b'A'..=b'Z', None) => {
                let end = run(|b| b.is_ascii_alphanumeric() || *b == b'_');
                pieces.words.push((at, end));
                at = end;
                continue;
            }
            _ => {}
        }
        at += 1;
    }
    pieces
}

fn pick<T: Copy>(list: &[T], index: &Index) -> Option<T> {
    (!list.is_empty()).then(|| list[index.index(list.len())])
}

fn put(text: &str, (from, to): (usize, usize), new: &str) -> String {
    format!("{}{new}{}", &text[..from], &text[to..])
}

/// The text with a slip made in it; none where it has nothing of the kind.
pub fn spoil(text: &str, slip: &Slip) -> Option<String> {
    let pieces = pieces(text);
    let lines = || -> Vec<(usize, usize)> {
        let mut start = 0;
        text.split_inclusive('\n')
            .map(|line| {
                start += line.len();
                (start - line.len(), start)
            })
            .filter(|(from, to)| text[*from..*to].contains(": "))
            .collect()
    };
    let letter = |index: &Index| -> usize { text.floor_char_boundary(index.index(text.len() + 1)) };
    Some(match slip {
        Slip::Figure(index, new) => put(text, pick(&pieces.figures, index)?, new),
        Slip::Unit(index, new) => {
            let units: Vec<(usize, usize)> = text
                .match_indices(" in\"")
                .map(|(at, _)| (at + 1, at + 3))
                .collect();
            put(text, pick(&units, index)?, new)
        }
        Slip::Name(index, other) => {
            // a face for a face, a figure for a figure, a name for a name
            let like = |(from, to): (usize, usize)| {
                let piece = &text[from..to];
                let figure = piece.starts_with(|c: char| c.is_ascii_digit());
                (figure, !figure && piece.contains('.'))
            };
            let place = pick(&pieces.texts, index)?;
            let others: Vec<(usize, usize)> = pieces
                .texts
                .iter()
                .copied()
                .filter(|piece| like(*piece) == like(place))
                .collect();
            let (from, to) = pick(&others, other)?;
            put(text, place, &text[from..to])
        }
        Slip::Word(index, other) => {
            let (from, to) = pick(&pieces.words, other)?;
            put(text, pick(&pieces.words, index)?, &text[from..to])
        }
        Slip::Bare(index, new) => {
            let (from, to) = pick(&pieces.texts, index)?;
            put(text, (from - 1, to + 1), new)
        }
        Slip::Turned(index) => {
            const PAIRS: &[(&str, &str)] = &[
                ("Aft", "Fwd"),
                ("Left", "Right"),
                ("Up", "Down"),
                ("left", "right"),
                ("top", "bottom"),
                ("aft", "fwd"),
                ("FwdAft", "Across"),
                ("Behind", "Ahead"),
                ("Flush", "Against"),
                ("Both", "AsWritten"),
                (" L", " R"),
                ("Spaced", "Reaches"),
                ("Across", "FwdAft"),
                ("Flat", "FwdAft"),
                ("by: \"", "by: \"-"),
                ("up:", "down:"),
                ("Parallel", "Square"),
            ];
            let found: Vec<(usize, &str, &str)> = PAIRS
                .iter()
                .flat_map(|(a, b)| [(*a, *b), (*b, *a)])
                .flat_map(|(a, b)| text.match_indices(a).map(move |(at, _)| (at, a, b)))
                .collect();
            let (at, a, b) = pick(&found, index)?;
            put(text, (at, at + a.len()), b)
        }
        Slip::Dropped(index) => put(text, pick(&lines(), index)?, ""),
        Slip::Repeated(index, other) => {
            let (from, to) = pick(&lines(), other)?;
            let (at, _) = pick(&lines(), index)?;
            put(text, (at, at), &text[from..to])
        }
        Slip::Letter(index, new) => put(text, (letter(index), letter(index)), &new.to_string()),
        Slip::Lost(index) => {
            let at = letter(index);
            let next = text[at..].chars().next()?;
            put(text, (at, at + next.len_utf8()), "")
        }
    })
}
