//! Slips of the pen: a text in which a name, a figure, a word, a bracket with all in it or a line is another one. In: a
//! text and a number. Out: the text with a few of them; what the reader of signs lets through far more often than bytes
//! changed at random.

use std::ops::Range;
use std::sync::LazyLock;

/// The format reference: every field, every word and an example of every kind stand in it.
const FORMAT: &str = include_str!("../../../model/FORMAT.md");

/// What the examples of the format reference are made of.
static EXAMPLES: LazyLock<Vec<(Piece, &'static str)>> = LazyLock::new(|| {
    let blocks = FORMAT.split("```ron\n").skip(1);
    let blocks = blocks.filter_map(|rest| rest.split("```").next());
    let pieces = blocks.flat_map(|block| {
        let found = pieces(block).into_iter();
        found.map(|(piece, at)| (piece, &block[at]))
    });
    let words = FORMAT.split('`').skip(1).step_by(2);
    let words = words.filter(|word| word.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'_'));
    let words = words.map(|word| (Piece::Word, word));
    pieces.chain(words).collect()
});

/// Figures, expressions and values at which things break.
const AWKWARD: &[&str] = &[
    "0",
    "-1",
    "-0",
    "1e-9",
    "1e7",
    "1e300",
    "1e999",
    "inf",
    "NaN",
    "4294967295",
    "99999999999999999999",
    "Find",
    "Find(near: 3)",
    "Find(near: \"-40 in\")",
    "[]",
    "()",
    "{}",
    "\"\"",
    "\"1/0 in\"",
    "\"1/64 in\"",
    "\"90 deg\"",
    "\"1e-30 in\"",
    "\"bay * 2\"",
    "\"p.length\"",
    "\"[p].length / 0\"",
    "\"-3 1/2 in\"",
    "true",
    "\"datum.station\"",
    "\"½ in\"",
    "Both",
    "sides: Both,",
];

/// What a piece of a text is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Piece {
    /// Text in quotes, the quotes included.
    Text,
    /// Digits and points, within quotes too.
    Figure,
    /// A bare word.
    Word,
    /// A bracket with all in it, and the word before it.
    Bracket,
    /// A line.
    Line,
}

/// A text with one to four slips in it; none where it has no pieces.
pub(super) fn slip(text: &str, seed: u32) -> Option<String> {
    let mut random = Random(u64::from(seed) << 16 | 0x9e37);
    let mut text = text.to_owned();
    for _ in 0..=random.below(4) {
        text = once(&text, &mut random)?;
    }
    Some(text)
}

fn once(text: &str, random: &mut Random) -> Option<String> {
    let all = pieces(text);
    let (piece, at) = random.one_of(&all)?.clone();
    let new = match random.below(9) {
        0 | 1 => random.one_of(AWKWARD).copied()?.to_owned(),
        // of the examples
        2 | 3 => {
            let start = random.below(EXAMPLES.len());
            let after = EXAMPLES[start..].iter().chain(&EXAMPLES[..start]);
            let mut like = after.filter(|(other, _)| *other == piece);
            like.next()?.1.to_owned()
        }
        // left out, or there twice
        4 => String::new(),
        5 => format!("{0}, {0}", &text[at.clone()]),
        // of the same text
        _ => {
            let like: Vec<_> = all.iter().filter(|(other, _)| *other == piece).collect();
            text[random.one_of(&like)?.1.clone()].to_owned()
        }
    };
    Some(format!("{}{new}{}", &text[..at.start], &text[at.end..]))
}

/// The pieces of a text, as byte ranges.
fn pieces(text: &str) -> Vec<(Piece, Range<usize>)> {
    let bytes = text.as_bytes();
    let mut found = Vec::new();
    let mut open = Vec::new();
    let (mut quote, mut word, mut line) = (None, 0..0, 0);
    let mut at = 0;
    while at < bytes.len() {
        let run =
            |belongs: fn(&u8) -> bool| at + bytes[at..].iter().take_while(|b| belongs(b)).count();
        match (bytes[at], quote) {
            (b'\n', _) => {
                found.push((Piece::Line, line..at + 1));
                line = at + 1;
            }
            (b'"', None) => quote = Some(at),
            (b'"', Some(start)) => {
                found.push((Piece::Text, start..at + 1));
                quote = None;
            }
            (b'0'..=b'9', _) => {
                let end = run(|b| b.is_ascii_digit() || *b == b'.');
                found.push((Piece::Figure, at..end));
                at = end;
                continue;
            }
            (b'a'..=b'z' | b'A'..=b'Z', None) => {
                word = at..run(|b| b.is_ascii_alphanumeric() || *b == b'_');
                found.push((Piece::Word, word.clone()));
                at = word.end;
                continue;
            }
            (b'(' | b'[' | b'{', None) => open.push(if word.end == at { word.start } else { at }),
            (b')' | b']' | b'}', None) => {
                let start = open.pop();
                found.extend(start.map(|start| (Piece::Bracket, start..at + 1)));
            }
            _ => {}
        }
        at += 1;
    }
    found
}

/// Numbers that follow from a seed (xorshift64*, S. Vigna, An experimental exploration of Marsaglia's xorshift
/// generators, 2016).
struct Random(u64);

impl Random {
    fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let number = self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 33;
        number as usize % end
    }

    fn one_of<'a, T>(&mut self, list: &'a [T]) -> Option<&'a T> {
        (!list.is_empty()).then(|| &list[self.below(list.len())])
    }
}
