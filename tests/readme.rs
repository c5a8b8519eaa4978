//! The README is true: each `console` block is run, and what it shows is what is printed. `UPDATE=1`
//! writes the outputs anew; the diff is read by a person.

use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Words of a command line; double quotes hold a word together.
fn words(line: &str) -> Vec<String> {
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

fn run(line: &str, folder: &Path) -> String {
    let words = words(line).into_iter().map(|word| {
        if word.ends_with(".ron") {
            // paths are those of a person who stands in the project's folder
            let here = root().join(&word);
            if here.exists() {
                here
            } else {
                folder.join(&word)
            }
            .into_os_string()
        } else if word.ends_with(".svg") || word.ends_with(".png") {
            folder.join(&word).into_os_string()
        } else {
            word.into()
        }
    });
    let (mut out, mut err) = (Vec::new(), Vec::new());
    strongback::run(words, &mut out, &mut err);
    let text = String::from_utf8(out).unwrap() + &String::from_utf8(err).unwrap();
    let folder = format!("{}/", folder.display());
    let root = format!("{}/", root().display());
    text.replace(&folder, "")
        .replace(&root, "")
        .lines()
        .map(|line| format!("{}\n", steady(line.trim_end())))
        .collect()
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

/// The text with the output of each command as it is now.
fn renewed(text: &str, folder: &Path) -> String {
    let mut made = String::new();
    let mut lines = text.lines().peekable();
    while let Some(line) = lines.next() {
        made.push_str(line);
        made.push('\n');
        if line != "```console" {
            continue;
        }
        while let Some(line) = lines.next_if(|line| *line != "```") {
            if let Some(command) = line.strip_prefix("$ ") {
                made.push_str(line);
                made.push('\n');
                made.push_str(run(command, folder).trim_end());
                made.push('\n');
            }
        }
    }
    made
}

#[test]
fn the_readme_shows_what_is_printed() {
    let path = root().join("README.md");
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(
        text.matches("```console").count() >= 3,
        "the README shows the tool at work"
    );
    let folder = tempfile::tempdir().unwrap();
    let made = renewed(&text, folder.path());
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(&path, &made).unwrap();
    }
    similar_asserts(&text, &made);
}

fn similar_asserts(committed: &str, made: &str) {
    for (at, (a, b)) in committed.lines().zip(made.lines()).enumerate() {
        assert_eq!(a, b, "README.md line {}", at + 1);
    }
    assert_eq!(committed.lines().count(), made.lines().count());
}

/// One runs the main job, one passes the tests.
#[test]
fn the_first_two_commands_are_those_that_ci_runs() {
    let text = std::fs::read_to_string(root().join("README.md")).unwrap();
    let first = text.split("```").nth(1).unwrap();
    assert!(first.contains("cargo run --release -- try demo-models/centre-fuselage.ron"));
    assert!(first.contains("cargo test --workspace"));
}
