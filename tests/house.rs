//! The shape of the house: arrows between crates, kinds on their lists, papers that tell the truth.

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn text(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap()
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
    files.sort();
    files
}

#[test]
fn dependencies_point_one_way() {
    let solver = text("solver/Cargo.toml");
    assert!(!solver.contains("strongback-model") && !solver.contains("\"strongback\""));
    let model = text("model/Cargo.toml");
    assert!(model.contains("strongback-solver") && !model.contains("strongback = "));
    for crate_of_a_screen in [
        "clap",
        "anstream",
        "annotate-snippets",
        "comfy-table",
        "resvg",
    ] {
        assert!(
            !model.contains(crate_of_a_screen),
            "model: {crate_of_a_screen}"
        );
        assert!(
            !solver.contains(crate_of_a_screen),
            "solver: {crate_of_a_screen}"
        );
    }
    assert!(!text("cli/Cargo.toml").contains("strongback-solver"));
}

#[test]
fn the_solver_knows_no_trade_word() {
    let words = [
        "bulkhead",
        "fuselage",
        "flange",
        "rivet",
        "longeron",
        "waterline",
        "buttock",
        "firewall",
        "aircraft",
    ];
    for path in rust_files(&root().join("solver/src")) {
        let source = fs::read_to_string(&path).unwrap().to_lowercase();
        for word in words {
            assert!(!source.contains(word), "{}: {word}", path.display());
        }
    }
}

#[test]
fn the_model_opens_no_file_and_prints_nothing() {
    for path in rust_files(&root().join("model/src")) {
        let source = fs::read_to_string(&path).unwrap();
        for word in ["std::fs", "std::io", "println!", "eprintln!"] {
            assert!(!source.contains(word), "{}: {word}", path.display());
        }
    }
}

/// Every file of a folder of kinds has its `mod` line, and every kind stands on the list.
#[test]
fn every_kind_is_on_its_list() {
    let not_kinds = [
        (
            "model/src/part",
            &[
                "arc", "bend", "common", "edge", "flanged", "legs", "outline", "path", "plan",
                "round", "shape", "sizes", "stock",
            ][..],
        ),
        (
            "model/src/relation",
            &["located", "names", "recipe", "row"][..],
        ),
        ("model/src/must_fit", &[][..]),
        ("model/src/change", &[][..]),
    ];
    for (folder, others) in not_kinds {
        let list = text(&format!("{folder}/mod.rs"));
        for path in rust_files(&root().join(folder)) {
            let stem = path.file_stem().unwrap().to_str().unwrap();
            if stem == "mod" || path.parent().unwrap().file_name() != Path::new(folder).file_name()
            {
                continue;
            }
            assert!(
                list.contains(&format!("mod {stem};")),
                "{folder}/{stem}.rs has no `mod` line"
            );
            let listed = list.contains(&format!("=> {stem}, r#\""));
            assert!(
                listed || others.contains(&stem),
                "{folder}/{stem}.rs is on no list"
            );
        }
    }
}

/// A test file that nobody builds would pass for ever.
#[test]
fn every_test_file_is_built() {
    let all = text("tests/all.rs");
    for path in rust_files(&root().join("tests")) {
        let stem = path.file_stem().unwrap().to_str().unwrap();
        let of_its_own = ["all", "lib"].contains(&stem);
        if path.parent().unwrap().ends_with("tests") && !of_its_own {
            assert!(all.contains(&format!("\nmod {stem};\n")), "tests/{stem}.rs");
        }
    }
}

#[test]
fn the_top_level_is_as_designed() {
    let mut names: Vec<String> = fs::read_dir(root())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name != "target" && name != ".git")
        .collect();
    names.sort();
    assert_eq!(
        names,
        [
            ".ci",
            ".gitignore",
            "Cargo.lock",
            "Cargo.toml",
            "DEVELOPERS.md",
            "LICENSE",
            "README.md",
            "cli",
            "demo-models",
            "model",
            "solver",
            "tests"
        ]
    );
    assert!(!text("Cargo.toml").contains("default-members"));
}

/// Paths in backticks in the two papers exist.
#[test]
fn the_papers_name_only_files_that_exist() {
    for paper in ["README.md", "DEVELOPERS.md"] {
        for word in text(paper).split('`') {
            let looks_like_a_path = [
                "solver/",
                "model/",
                "cli/",
                "tests/",
                "demo-models/",
                ".ci/",
            ]
            .iter()
            .any(|start| word.starts_with(start))
                && !word.contains([' ', '*', '\n', '{', '…']);
            if looks_like_a_path {
                assert!(root().join(word).exists(), "{paper} names `{word}`");
            }
        }
    }
}

/// No file goes beyond what can be read in one sitting.
#[test]
fn files_are_short() {
    for (folder, longest) in [
        ("solver/src", 420),
        ("model/src", 420),
        ("cli/src", 420),
        // tables of cases are read a case at a time
        ("tests", 450),
    ] {
        for path in rust_files(&root().join(folder)) {
            let lines = fs::read_to_string(&path).unwrap().lines().count();
            assert!(lines <= longest, "{}: {lines} lines", path.display());
        }
    }
}
