//! The build book: one HTML file that holds all of itself, to be read by another builder and to be printed.
//!
//! In: a model and its layout. Out: HTML. A chapter is what a command answers, in its own words, between pictures: what can be asked by
//! itself can be read here. `chapters` lists them, `frame` is the paper around them.

mod chapters;
mod frame;
mod sections;

use crate::command::Located;
use crate::load::{Loaded, Refused};

/// A book.
pub(crate) struct Book {
    pub(crate) html: String,
    /// The titles of its chapters.
    pub(crate) chapters: Vec<String>,
}

/// A chapter.
struct Chapter {
    title: String,
    /// Its content, as HTML.
    body: String,
}

/// Makes the book of a model.
pub(crate) fn of(loaded: &Loaded, plan: &Located) -> Result<Book, Refused> {
    let chapters = chapters::all(loaded, plan)?;
    Ok(Book {
        html: frame::around(loaded, plan, &chapters),
        chapters: chapters.into_iter().map(|chapter| chapter.title).collect(),
    })
}

/// One paper for the workshop by the command that tells it, as a file of its own; nothing where there is none.
pub(crate) fn paper_of(
    loaded: &Loaded,
    plan: &Located,
    command: &str,
) -> Result<Option<String>, Refused> {
    let chapter = chapters::alone(loaded, plan, command)?;
    Ok(chapter.map(|chapter| frame::around(loaded, plan, &[chapter])))
}
