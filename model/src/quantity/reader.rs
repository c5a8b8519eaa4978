//! The text being read. In: a `str`. Out: winnow's input with byte places, the depth of nesting, and the two ways in which a parser can fail:
//! it does not take the text and another one may, or the text is at fault and nothing else is tried.

use std::ops::Range;

use winnow::error::{ErrMode, ParserError};
use winnow::prelude::*;
use winnow::stream::{LocatingSlice, Stateful, Stream};
use winnow::token::take_while;

use super::fault::{ExpressionFault, FaultKind};

pub(super) type Input<'i> = Stateful<LocatingSlice<&'i str>, Reader<'i>>;
pub(super) type Parsed<T> = Result<T, ErrMode<Miss>>;

/// The whole text, for facts about a fault, and how many parentheses and signs are open.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reader<'i> {
    pub(super) text: &'i str,
    pub(super) depth: usize,
}

/// Why a parser did not take the text: another one may be tried (`None`), or the text is at fault.
#[derive(Debug)]
pub(super) struct Miss(pub(super) Option<ExpressionFault>);

impl<I: Stream> ParserError<I> for Miss {
    type Inner = Self;

    fn from_input(_: &I) -> Self {
        Self(None)
    }

    fn into_inner(self) -> Result<Self::Inner, Self> {
        Ok(self)
    }
}

/// A fault that no other parser may be tried for.
pub(super) fn halt(span: Range<usize>, kind: FaultKind) -> ErrMode<Miss> {
    ErrMode::Cut(Miss(Some(ExpressionFault::new(span, kind))))
}

pub(super) fn rest<'i>(i: &Input<'i>) -> &'i str {
    i.input.as_ref()
}

pub(super) fn text_at<'i>(i: &Input<'i>, span: &Range<usize>) -> &'i str {
    i.state.text.get(span.clone()).unwrap_or_default()
}

pub(super) fn blanks(i: &mut Input<'_>) -> Parsed<()> {
    take_while(0.., char::is_whitespace).void().parse_next(i)
}

pub(super) fn blanks1(i: &mut Input<'_>) -> Parsed<()> {
    take_while(1.., char::is_whitespace).void().parse_next(i)
}
