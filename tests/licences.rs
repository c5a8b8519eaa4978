//! Licences of all that is linked or built with: each can be taken under a permissive one. Identifiers and expressions: the SPDX
//! specification 2.3, annexes A and D.

use std::process::Command;

use serde_json::Value;
use spdx::{Expression, ParseMode};

/// Licences under which anybody may use, change and pass on, with the notice kept.
const PERMISSIVE: [&str; 10] = [
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Whether an expression can be met with permissive licences alone. Older manifests write `/` for `OR`.
fn is_permissive(expression: &str) -> bool {
    let parsed = Expression::parse_mode(expression, ParseMode::LAX).unwrap();
    parsed.evaluate(|asked| {
        let id = asked.license.id();
        id.is_some_and(|id| PERMISSIVE.contains(&id.name))
    })
}

#[test]
fn every_dependency_has_a_permissive_licence() {
    let told = Command::new(env!("CARGO")).args(["-vV"]).output().unwrap();
    let told = String::from_utf8(told.stdout).unwrap();
    let host = told
        .lines()
        .find_map(|line| line.strip_prefix("host: "))
        .unwrap();
    let metadata = Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--format-version=1",
            "--offline",
            "--locked",
            "--filter-platform",
            host,
        ])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    assert!(
        metadata.status.success(),
        "{}",
        String::from_utf8_lossy(&metadata.stderr)
    );
    let metadata: Value = serde_json::from_slice(&metadata.stdout).unwrap();
    let packages = metadata["packages"].as_array().unwrap();
    assert!(packages.len() > 100);
    for package in packages {
        let licence = package["license"].as_str();
        assert!(
            licence.is_some_and(is_permissive),
            "{}: {licence:?}",
            package["name"]
        );
    }
}

#[test]
fn what_binds_more_is_told() {
    for expression in [
        "GPL-3.0-only",
        "MIT AND LGPL-2.1-or-later",
        "MPL-2.0 OR GPL-2.0-only",
    ] {
        assert!(!is_permissive(expression), "{expression}");
    }
    for expression in [
        "MIT/Apache-2.0",
        "Apache-2.0 WITH LLVM-exception OR MIT",
        "GPL-2.0-only OR MIT",
    ] {
        assert!(is_permissive(expression), "{expression}");
    }
}
