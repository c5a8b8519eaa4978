//! What is typed at the prompt, and files that must not be overwritten.

use std::fs;
use std::process::ExitCode;

use super::SOUND;
use super::bench::Bench;

#[test]
fn words_typed_that_mean_nothing() {
    let bench = Bench::with(SOUND.as_bytes());
    let mut all = String::new();
    for words in [
        &["try", "<model.ron>"][..],
        &["try", "<model.ron>", "forwrad"],
        &["try", "<model.ron>", "longer+forwrad"],
        &["try", "<model.ron>", "no such part"],
        &["try", "<model.ron>", "no flange"],
        &["try", "<model.ron>", "backwards"],
        &["try", "<model.ron>", "--set", "bay"],
        &["try", "<model.ron>", "--set", "bay="],
        &["try", "<model.ron>", "--set", "=3"],
        &["try", "<model.ron>", "--set", "bay=banana"],
        &["try", "<model.ron>", "--set", "bay=3 deg"],
        &["try", "<model.ron>", "--set", "bay=1000000000"],
        &["try", "<model.ron>", "--set", "bay=22 1-2 in"],
        &["try", "<model.ron>", "--set", "bay=22.1/2 in"],
        &["try", "<model.ron>", "--set", "bay=1/0 in"],
        &["try", "<model.ron>", "--set", "bay=rail L length"],
        &[
            "try",
            "<model.ron>",
            "--set",
            "bay=3 in",
            "--set",
            "bay = 4 in",
        ],
        &["try", "<model.ron>", "--set", "spacing=3 in"],
        &[
            "try",
            "<model.ron>",
            "--set",
            "rail starts.short_by=1/16 in",
        ],
        &["try", "<model.ron>", "--set", "bya=3 in"],
        &["try", "<model.ron>", "--set", "frame.flagne=1 in"],
        &["try", "<model.ron>", "--set", "frame.flange=-1 in"],
        &["try", "<model.ron>", "--reverse", "firewall"],
        &["try", "<model.ron>", "--reverse", "farme"],
        &["try", "<model.ron>", "--reverse", "rail"],
        &["fit", "<model.ron>", "--set", "bay=3 in"],
        &["built", "note", "<model.ron>", "--hours", "2,5", "filed"],
        &["recut", "<model.ron>", "forwrad"],
        &["why", "<model.ron>", "frame"],
        &["why", "<model.ron>", "frame.bak"],
        &["why", "<model.ron>", "farme.fwd"],
        &["why", "<model.ron>", "longeron"],
        &["why", "<model.ron>", "frame.stringer"],
        &["why", "<model.ron>", "frame.fwd", "x"],
        &["locate", "<model.ron>", "--part", "farme"],
        &["stack", "<model.ron>", "rom"],
        &["stack", "<model.ron>", "propeller"],
        &["stack", "<model.ron>", "room", "--samples", "0"],
        &["stack", "<model.ron>", "room", "--samples", "99000000"],
        &["stack", "<model.ron>", "room", "--spread", "bell"],
        &["stack", "<model.ron>", "room", "--with", "forwrad"],
        &["stack", "<model.ron>", "room", "--svg", "<room.gif>"],
        &["stack", "<model.ron>", "--svg", "<room.svg>"],
        &["locate"],
        &["locat", "<model.ron>"],
    ] {
        let message = bench.refused(words);
        all.push_str(&format!(
            "## {}\n{}\n\n",
            words.join(" "),
            message.trim_end()
        ));
    }
    insta::assert_snapshot!(all);
}

#[test]
fn pictures_of_a_kind_that_is_not_drawn() {
    let bench = Bench::with(SOUND.as_bytes());
    let mut all = String::new();
    for name in ["<side.gif>", "<side>"] {
        let message = bench.refused(&["draw", "<model.ron>", "-o", name]);
        all.push_str(&format!("## {name}\n{}\n\n", message.trim_end()));
    }
    insta::assert_snapshot!(all);
}

#[test]
fn a_picture_that_can_not_be_written_is_told_by_its_own_name() {
    let bench = Bench::with(SOUND.as_bytes());
    let message = bench.refused(&["draw", "<model.ron>", "-o", "<no such folder/side.svg>"]);
    assert!(
        message.contains("there is no folder `no such folder`"),
        "{message}"
    );
    assert!(!message.contains(".tmp"), "{message}");
}

#[test]
fn a_first_model_is_never_written_over_another_file() {
    let bench = Bench::with(b"mine");
    let message = bench.refused(&["new", "<model.ron>"]);
    insta::assert_snapshot!(message);
    assert_eq!(
        fs::read(bench.folder.path().join("model.ron")).unwrap(),
        b"mine"
    );
}

#[test]
fn refused_input_as_json_tells_the_same() {
    let text = SOUND.replacen("frame.fwd", "frame.fdw", 1);
    let bench = Bench::with(text.as_bytes());
    let told = bench.run(&["--json", "locate", "<model.ron>"]);
    assert_eq!(told.status, ExitCode::from(2));
    assert_eq!(told.err, "");
    insta::assert_snapshot!(told.out);
    let typed = bench.run(&["--json", "try", "<model.ron>", "--set", "bya=1"]);
    assert_eq!(typed.status, ExitCode::from(2));
}

#[test]
fn words_that_are_no_command_are_refused_as_json_too() {
    let bench = Bench::with(SOUND.as_bytes());
    let mut all = String::new();
    for words in [
        &["locat", "<model.ron>", "--json"][..],
        &["--json", "why", "<model.ron>"],
    ] {
        let told = bench.run(words);
        assert_eq!((told.status, told.err.as_str()), (ExitCode::from(2), ""));
        let answer: serde_json::Value = serde_json::from_str(&told.out).unwrap();
        all.push_str(&format!("{answer:#}\n"));
    }
    insta::assert_snapshot!(all);
}
