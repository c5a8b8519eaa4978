//! `book`: the build book.

use std::path::PathBuf;

use schemars::JsonSchema;
use serde::Serialize;
use strongback_model::source::{Code, Fault};

use super::draw::write_whole;
use super::{Answered, Told};
use crate::Status;
use crate::args;
use crate::book;
use crate::load::{Refused, load};
use crate::render;

/// What `book` answers.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BookAnswer {
    /// The verdict on the plan in one line.
    pub verdict: String,
    /// The file that was written.
    pub written: String,
    /// Its chapters.
    pub chapters: Vec<String>,
}

pub(super) fn run(args: &args::Book) -> Result<(Status, Box<dyn Answered>), Refused> {
    let loaded = load(&args.model)?;
    let plan = super::locate::solve(&loaded, &loaded.document)?;
    let path = match &args.output {
        Some(path) => path.clone(),
        None => beside(&args.model),
    };
    if path.try_exists().unwrap_or(true) && !args.overwrite {
        return Err(Refused {
            path: path.display().to_string(),
            text: String::new(),
            faults: vec![
                Fault::error(
                    Code::File,
                    "there is a file of this name already; it was left as it is",
                )
                .help("give another one with -o, or write over it with --overwrite"),
            ],
        });
    }
    let book = book::of(&loaded, &plan)?;
    write_whole(&path, book.html.as_bytes())?;
    Ok((
        plan.status_with_clashes(),
        Box::new(BookAnswer {
            verdict: render::verdict::with_clashes(&plan.layout, &plan.fits, &plan.clashes),
            written: path.display().to_string(),
            chapters: book.chapters,
        }),
    ))
}

/// The book of `NAME.ron` is `NAME.book.html`.
fn beside(model: &std::path::Path) -> PathBuf {
    model.with_extension("book.html")
}

impl Told for BookAnswer {
    fn text(&self, width: usize) -> String {
        let mut text = render::table::wrapped(&self.verdict, width, 0);
        let told = format!("{} is written: {}.", self.written, self.chapters.join("; "));
        text.push_str(&render::table::wrapped(&told, width, 2));
        text
    }
}
