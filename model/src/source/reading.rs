//! The reading under way: which text is being read, and the faults met on the way down.
//! A `Deserialize` has no way to hand on more than a sentence, so a fault is kept here and the sentence only names it.

use std::cell::RefCell;
use std::ops::Range;

use ron::error::Position;
use serde::de;

use super::fault::Fault;

thread_local! {
    static UNDER_WAY: RefCell<Option<UnderWay>> = const { RefCell::new(None) };
}

/// What is known of the text being read: where it lies in memory, by which a piece of it tells its own place.
struct UnderWay {
    address: usize,
    length: usize,
    kept: Vec<Kept>,
}

/// A fault kept until the reading ends.
pub(super) enum Kept {
    /// Made by one of the types read.
    Fault(Fault),
    /// Met by the RON reader within a piece of the text, at a byte of the whole text.
    Refusal { error: ron::Error, byte: usize },
}

/// Begins the sentence that stands for a kept fault. No type's own message begins with it.
const KEPT: &str = "\u{0}kept fault ";

/// One reading, from its beginning to its end; readings may lie within one another.
pub(super) struct Session {
    outer: Option<UnderWay>,
}

impl Session {
    pub(super) fn begin(text: &str) -> Self {
        let under_way = UnderWay {
            address: text.as_ptr().addr(),
            length: text.len(),
            kept: Vec::new(),
        };
        Self {
            outer: UNDER_WAY.replace(Some(under_way)),
        }
    }

    /// The kept fault that an error stands for, if it does.
    pub(super) fn kept(&self, error: &ron::Error) -> Option<Kept> {
        let ron::Error::Message(message) = error else {
            return None;
        };
        let index: usize = message.strip_prefix(KEPT)?.parse().ok()?;
        UNDER_WAY.with_borrow_mut(|under_way| {
            let kept = &mut under_way.as_mut()?.kept;
            (index < kept.len()).then(|| kept.swap_remove(index))
        })
    }
}

impl Drop for Session {
    fn drop(&mut self) {
        UNDER_WAY.set(self.outer.take());
    }
}

/// Turns a fault into the error of any deserializer, for a type that refuses a value it reads. The fault comes
/// out of [`read`](super::read) as it is; a reading that isn't started there gives its sentence only.
pub fn refuse<E: de::Error>(fault: Fault) -> E {
    keep(Kept::Fault(fault))
}

/// Turns an error met within a piece of the text, which starts at byte `start`, into one of the whole text.
pub(super) fn pass_on<E: de::Error>(
    piece: &str,
    start: usize,
    error: ron::error::SpannedError,
) -> E {
    match error.code {
        ron::Error::Message(message) if message.starts_with(KEPT) => E::custom(message),
        code => keep(Kept::Refusal {
            error: code,
            byte: start + byte_of(piece, &error.span.end),
        }),
    }
}

fn keep<E: de::Error>(fault: Kept) -> E {
    let number = UNDER_WAY.with_borrow_mut(|under_way| {
        let Some(under_way) = under_way else {
            return Err(fault);
        };
        under_way.kept.push(fault);
        Ok(under_way.kept.len() - 1)
    });
    match number {
        Ok(number) => E::custom(format_args!("{KEPT}{number}")),
        Err(Kept::Fault(fault)) => E::custom(fault.message),
        Err(Kept::Refusal { error, .. }) => E::custom(error),
    }
}

/// The place of a piece of the text being read; none if it isn't one.
pub(super) fn place_of(piece: &str) -> Option<Range<usize>> {
    UNDER_WAY.with_borrow(|under_way| {
        let under_way = under_way.as_ref()?;
        let start = piece.as_ptr().addr().checked_sub(under_way.address)?;
        let end = start + piece.len();
        (end <= under_way.length).then_some(start..end)
    })
}

/// The byte of a position, which the RON reader gives as line and column in characters, both from 1.
pub(super) fn byte_of(text: &str, position: &Position) -> usize {
    let line_start = match position.line.checked_sub(2) {
        None => 0,
        Some(newline) => text
            .match_indices('\n')
            .nth(newline)
            .map_or(text.len(), |(at, _)| at + 1),
    };
    let line = &text[line_start..];
    let column = position.col.saturating_sub(1);
    let within = line.char_indices().nth(column);
    line_start + within.map_or(line.len(), |(at, _)| at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_come_back_as_bytes() {
        let text = "½ in\n⅛ \"x\"\n";
        let byte = |line, col| byte_of(text, &Position { line, col });
        assert_eq!(byte(1, 1), 0);
        assert_eq!(byte(1, 2), 2);
        assert_eq!(byte(2, 1), 6);
        assert_eq!(byte(2, 3), 10);
        assert_eq!(byte(3, 1), text.len());
        assert_eq!(byte(9, 9), text.len());
    }

    #[test]
    fn only_pieces_of_the_text_have_a_place() {
        let text = String::from("left rail");
        assert_eq!(place_of(&text[5..]), None, "nothing is being read");
        let session = Session::begin(&text);
        assert_eq!(place_of(&text[5..]), Some(5..9));
        assert_eq!(place_of(&String::from("left rail")), None);
        {
            let inner_text = String::from("rail");
            let _inner = Session::begin(&inner_text);
            assert_eq!(place_of(&text[5..]), None);
        }
        assert_eq!(place_of(&text), Some(0..9), "the outer reading goes on");
        drop(session);
        assert_eq!(place_of(&text), None);
    }
}
