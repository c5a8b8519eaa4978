//! Pages that show the tool at work. In: a page in Markdown, and what each of its fenced blocks does. Out:
//! the page with every output as it is now, which must be the page as it is.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The project's folder.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// A fenced block, and the paragraph that leads to it.
pub struct Block<'a> {
    /// What stands beside the opening fence, as in `console`.
    pub info: &'a str,
    pub lines: Vec<&'a str>,
    pub before: &'a str,
}

/// What a command printed, and what it ended with.
pub struct Ran {
    pub text: String,
    pub code: ExitCode,
}

/// Words of a command line; double quotes hold a word together.
pub fn words(line: &str) -> Vec<String> {
    let mut list = Vec::new();
    let mut word = String::new();
    let (mut quoted, mut begun) = (false, false);
    for c in line.chars() {
        match c {
            '"' => {
                quoted = !quoted;
                begun = true;
            }
            ' ' if !quoted => {
                if begun {
                    list.push(std::mem::take(&mut word));
                }
                begun = false;
            }
            other => {
                word.push(other);
                begun = true;
            }
        }
    }
    if begun {
        list.push(word);
    }
    list
}

/// Runs `strongback`; `place` says where a word that names a file lies. What is told of `folders` is told
/// as by a person who stands in them.
pub fn run(words: &[String], place: impl Fn(&str) -> Option<PathBuf>, folders: &[&Path]) -> Ran {
    let words = words
        .iter()
        .map(|word| place(word).map_or_else(|| word.into(), PathBuf::into_os_string));
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let words: Vec<OsString> = words.collect();
    let code = strongback::run(words, &mut out, &mut err);
    let mut text = String::from_utf8(out).unwrap() + &String::from_utf8(err).unwrap();
    for folder in folders.iter().filter(|folder| **folder != Path::new("")) {
        text = text.replace(&format!("{}/", folder.display()), "");
    }
    let lines = text.trim_end().lines();
    Ran {
        text: lines
            .map(|line| format!("{}\n", steady(line.trim_end())))
            .collect(),
        code,
    }
}

/// A line without the figures that differ from run to run: the time, and what rounding leaves.
fn steady(line: &str) -> String {
    let parts = line
        .split_once(" in ")
        .zip(line.split_once("; largest residual "));
    match parts {
        Some(((found, _), (_, residual))) if residual.ends_with(" mm.") => {
            format!("{found} in … ms; largest residual … mm.")
        }
        _ => line.to_owned(),
    }
}

/// The page with each fenced block's lines as `now` has them, from the first to the last.
pub fn renewed(page: &str, mut now: impl FnMut(&Block) -> String) -> String {
    let mut made = String::new();
    let mut before = "";
    let mut lines = page.lines();
    while let Some(line) = lines.next() {
        made.push_str(line);
        made.push('\n');
        let Some(info) = line.strip_prefix("```") else {
            if !line.is_empty() {
                before = line;
            }
            continue;
        };
        let block = Block {
            info,
            lines: lines.by_ref().take_while(|line| *line != "```").collect(),
            before,
        };
        made.push_str(&now(&block));
        made.push_str("```\n");
    }
    made
}

/// The lines of a `console` block, each command with what it tells now.
pub fn console(block: &Block, mut told: impl FnMut(&str) -> String) -> String {
    let commands = block
        .lines
        .iter()
        .filter_map(|line| line.strip_prefix("$ "));
    commands
        .map(|command| format!("$ {command}\n{}", told(command)))
        .collect()
}

/// The lines of a block as they are.
pub fn kept(block: &Block) -> String {
    block.lines.iter().map(|line| format!("{line}\n")).collect()
}

/// The first line in which two texts differ, as a person would look for it.
pub fn difference(page: &str, made: &str) -> Option<String> {
    let lines = page.lines().zip(made.lines()).zip(1..);
    for ((a, b), at) in lines {
        if a != b {
            return Some(format!("line {at} is\n  {a}\nand would be\n  {b}"));
        }
    }
    let (a, b) = (page.lines().count(), made.lines().count());
    (a != b).then(|| format!("{a} lines, and would be {b}"))
}

/// A page of the project is as it is made now; with `UPDATE` in the environment it is written so.
pub fn holds(path: &str, make: impl FnOnce(&str) -> String) {
    let file = root().join(path);
    let page = std::fs::read_to_string(&file).unwrap();
    let made = make(&page);
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(&file, &made).unwrap();
    } else if let Some(difference) = difference(&page, &made) {
        panic!("{path}: {difference}; run the tests with UPDATE=1 and read the diff");
    }
}
