//! A folder with a model in it, and the program run on it. In: words as typed. Out: exit status and what was printed,
//! without colours and without the folder's path.

use std::ffi::OsString;
use std::fs;
use std::path::PathBuf;
use std::process::ExitCode;

use tempfile::TempDir;

/// A folder with a model in it.
pub struct Bench {
    /// The folder.
    pub folder: TempDir,
    before: Vec<PathBuf>,
}

/// What came of it.
pub struct Told {
    /// The exit status.
    pub status: ExitCode,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

impl Bench {
    /// With this model in it, as `model.ron`.
    pub fn with(model: &[u8]) -> Bench {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("model.ron"), model).unwrap();
        Bench::of(folder)
    }

    /// A folder as it is.
    pub fn of(folder: TempDir) -> Bench {
        let before = listing(&folder);
        Bench { folder, before }
    }

    /// Runs the program; a word in angle brackets names a file in the folder.
    pub fn run(&self, words: &[&str]) -> Told {
        let place = |word: &&str| match word.strip_prefix('<').and_then(|w| w.strip_suffix('>')) {
            Some(file) => self.folder.path().join(file).into_os_string(),
            None => OsString::from(word),
        };
        let words = std::iter::once(OsString::from("strongback")).chain(words.iter().map(place));
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let status = strongback::run(words, &mut out, &mut err);
        let text = |bytes: Vec<u8>| {
            let text = String::from_utf8(bytes).unwrap();
            let folder = format!("{}/", self.folder.path().display());
            plain(&text).replace(&folder, "")
        };
        Told {
            status,
            out: text(out),
            err: text(err),
        }
    }

    /// Runs words that can't be followed and gives the message, after seeing that nothing else was done.
    pub fn refused(&self, words: &[&str]) -> String {
        let told = self.run(words);
        assert_eq!(
            told.status,
            ExitCode::from(2),
            "{words:?}: {}{}",
            told.out,
            told.err
        );
        assert_eq!(told.out, "", "{words:?}");
        assert!(!told.err.trim().is_empty(), "{words:?}");
        assert_eq!(listing(&self.folder), self.before, "{words:?}");
        told.err
    }
}

fn listing(folder: &TempDir) -> Vec<PathBuf> {
    let mut list: Vec<PathBuf> = fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    list.sort();
    list
}

/// Text without colours.
fn plain(text: &str) -> String {
    let mut plain = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("\u{1b}[") {
        plain.push_str(before);
        rest = after.split_once('m').map_or("", |(_, rest)| rest);
    }
    plain + rest
}
