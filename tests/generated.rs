//! What is made from the code and committed: the format reference and the schemas of the answers.
//! `UPDATE=1` writes them anew; the diff is read by a person.

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn hold(path: &Path, made: &str) {
    if std::env::var_os("UPDATE").is_some() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, made).unwrap();
    }
    let committed = fs::read_to_string(path).unwrap_or_default();
    assert!(
        committed == made,
        "{} is stale: run the tests with UPDATE=1 and read the diff",
        path.display()
    );
}

#[test]
fn the_format_reference_is_made_from_the_types() {
    let made = strongback_model::reference::format_reference();
    hold(&root().join("model/FORMAT.md"), &made);
}

#[test]
fn the_schemas_of_the_answers_are_committed() {
    for (command, schema) in strongback::command::schemas() {
        let made = serde_json::to_string_pretty(&schema).unwrap() + "\n";
        hold(&root().join(format!("cli/schema/{command}.json")), &made);
    }
}
