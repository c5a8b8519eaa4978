//! What a shell and `man` are given: they are made by their libraries from the same words as the help, and real shells read them.

use std::process::Command;

use crate::command_line::run;

/// The commands of the program, as its manual page lists them.
fn commands() -> Vec<String> {
    let (page, ..) = run(&["man"]);
    let name = |line: &str| {
        let page = line.strip_prefix("strongback\\-")?.strip_suffix("(1)")?;
        Some(page.replace("\\-", "-"))
    };
    let all: Vec<String> = page.lines().filter_map(name).collect();
    assert!(
        all.contains(&"locate".to_owned()) && all.len() > 20,
        "{all:?}"
    );
    all
}

#[test]
fn every_command_is_completed_in_every_shell() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let (script, err, status) = run(&["completions", shell]);
        assert_eq!((err.as_str(), status), ("", 0), "{shell}");
        for command in commands() {
            assert!(script.contains(&command), "{shell}: {command}");
        }
    }
}

/// bash is asked what it would offer after `strongback re`.
#[test]
fn bash_offers_what_begins_so() {
    let (script, ..) = run(&["completions", "bash"]);
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("strongback.bash");
    std::fs::write(&file, script).unwrap();
    let asked = format!(
        "source {}; COMP_WORDS=(strongback re); COMP_CWORD=1; \
         _strongback strongback re strongback; echo \"${{COMPREPLY[*]}}\"",
        file.display()
    );
    let Ok(told) = Command::new("bash").args(["-c", &asked]).output() else {
        println!("NOT CHECKED: there is no bash here");
        return;
    };
    let offered = String::from_utf8(told.stdout).unwrap();
    let mut offered: Vec<&str> = offered.split_whitespace().collect();
    offered.sort_unstable();
    assert_eq!(
        offered,
        ["readings", "recut", "remedy"],
        "{:?}",
        String::from_utf8_lossy(&told.stderr)
    );
}

#[test]
fn every_command_has_a_page() {
    for command in commands() {
        let (page, err, status) = run(&["man", &command]);
        assert_eq!((err.as_str(), status), ("", 0), "{command}");
        assert!(
            page.contains(&format!(".TH strongback-{command} 1")),
            "{page}"
        );
    }
    let (page, ..) = run(&["man"]);
    assert!(page.contains(".TH strongback 1"), "{page}");
    assert!(
        page.contains("strength, airworthiness and the wisdom of a deviation"),
        "{page}"
    );
}

#[test]
fn a_slip_in_a_command_is_told() {
    let (out, err, status) = run(&["man", "recutt"]);
    assert_eq!((out.as_str(), status), ("", 2));
    assert!(
        err.contains("there is no command `recutt`") && err.contains("did you mean `recut`?"),
        "{err}"
    );
    let (_, err, status) = run(&["completions", "fsh"]);
    assert_eq!(status, 2);
    assert!(err.contains("fish"), "{err}");
}
