//! The README is true: each `console` block is run, and what it shows is what is printed. `UPDATE=1`
//! writes the outputs anew; the diff is read by a person.

use crate::shown::{console, holds, kept, renewed, root, run, words};

#[test]
fn the_readme_shows_what_is_printed() {
    let folder = tempfile::tempdir().unwrap();
    let root = root();
    // paths are those of a person who stands in the project's folder
    let place = |word: &str| {
        let here = root.join(word);
        let is_file = [".ron", ".svg", ".png"]
            .iter()
            .any(|end| word.ends_with(end));
        is_file.then(|| match word.ends_with(".ron") && here.exists() {
            true => here,
            false => folder.path().join(word),
        })
    };
    holds("README.md", |page| {
        assert!(
            page.matches("```console").count() >= 3,
            "the README shows the tool at work"
        );
        renewed(page, |block| match block.info {
            "console" => console(block, |command| {
                run(&words(command), place, &[folder.path(), &root]).text
            }),
            _ => kept(block),
        })
    });
}

/// One runs the main job, one passes the tests.
#[test]
fn the_first_two_commands_are_those_that_ci_runs() {
    let text = std::fs::read_to_string(root().join("README.md")).unwrap();
    let first = text.split("```").nth(1).unwrap();
    assert!(first.contains("cargo run --release -- try demo-models/centre-fuselage.ron"));
    assert!(first.contains("cargo test --workspace"));
}
