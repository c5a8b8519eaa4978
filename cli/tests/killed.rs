//! The build record under bad luck: the program killed at any moment, two of it at once, a damaged file, a folder that can't be
//! written to. What was acknowledged (exit status 0) is there, the record always reads, and the model is never touched.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::panic)]

use std::fs;
use std::os::unix::process::{CommandExt, ExitStatusExt};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use strongback_model::record::Record;

const MODEL: &str = r#"(format: 1, title: "Bay", unit: Inch, fit: "1/32 in",
    parts: {
        "firewall": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (fs: 0, bl: 0, wl: 0)),
        "frame": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (bl: 0, wl: 0)),
    },
    relations: {"bay": Spaced(from: "firewall.aft", to: "frame.fwd", by: "20 in")},
)"#;

/// A folder with a model in it.
struct Workshop {
    folder: tempfile::TempDir,
}

impl Workshop {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("bay.ron"), MODEL).unwrap();
        Self { folder }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn record(&self) -> PathBuf {
        self.path("bay.built.ron")
    }

    fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_strongback"));
        command
            .args(&words[..2])
            .arg(self.path("bay.ron"))
            .args(&words[2..])
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        command
    }

    fn run(&self, words: &[&str]) -> Output {
        self.command(words).output().unwrap()
    }

    fn note(&self, text: &str) -> Output {
        self.run(&["built", "note", text, "--on", "2026-10-03"])
    }

    /// The notes on record, which has to read.
    fn notes(&self) -> Vec<String> {
        notes_in(&self.record()).unwrap()
    }

    fn model_is_untouched(&self) {
        assert_eq!(fs::read_to_string(self.path("bay.ron")).unwrap(), MODEL);
    }

    /// Every file but the model, by name.
    fn files(&self) -> Vec<String> {
        let entries = fs::read_dir(self.folder.path()).unwrap();
        let names = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        let mut names: Vec<String> = names.filter(|name| name != "bay.ron").collect();
        names.sort();
        names
    }
}

/// The notes of a record; none if there is no file.
fn notes_in(path: &Path) -> Option<Vec<String>> {
    let text = fs::read_to_string(path).ok()?;
    let record = Record::read(&text).unwrap_or_else(|fault| panic!("{fault}:\n{text}"));
    let notes = record.notes.into_iter();
    Some(notes.map(|note| note.text.value).collect())
}

fn told(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Numbers that look random and are the same in every run (the multiplier and the increment of Knuth's MMIX).
struct Moments(u64);

impl Moments {
    /// From 0 to 1.
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

#[test]
fn killed_at_any_moment_it_keeps_what_it_acknowledged() {
    const KILLS: usize = 250;
    let shop = Workshop::new();
    let mut acknowledged: Vec<String> = Vec::new();
    // how long a run takes that nobody disturbs, so that kills fall all over it
    let begun = Instant::now();
    for warm in 0..5 {
        let text = format!("warm {warm}");
        assert!(shop.note(&text).status.success());
        acknowledged.push(text);
    }
    let one_run = begun.elapsed() / 5;
    let mut moments = Moments(20_261_127);
    let (mut kills, mut ended, mut amid_writing) = (0, 0, 0);
    for round in 0..20 * KILLS {
        if kills == KILLS {
            break;
        }
        let text = format!("round {round}");
        let words = ["built", "note", &text, "--on", "2026-10-03"];
        let mut child = shop.command(&words).spawn().unwrap();
        std::thread::sleep(one_run.mul_f64(1.1 * moments.next()));
        child.kill().unwrap();
        let status = child.wait().unwrap();
        if status.success() {
            acknowledged.push(text.clone());
            ended += 1;
        } else {
            assert_eq!(status.signal(), Some(9), "{status}");
            kills += 1;
        }
        amid_writing += usize::from(shop.files().iter().any(|name| name.ends_with(".new")));
        // everything acknowledged is there in its order, and besides it only what was killed once it was written
        let notes = shop.notes();
        let kept: Vec<&String> = notes
            .iter()
            .filter(|note| acknowledged.contains(note))
            .collect();
        assert!(kept.iter().copied().eq(&acknowledged), "{text}: {notes:?}");
        if let Some(last) = notes.last().filter(|last| **last == text) {
            // written, though nobody was told: it counts from here on
            if !acknowledged.contains(last) {
                acknowledged.push(text);
            }
        }
        assert_eq!(shop.notes(), acknowledged);
        let before = notes_in(&shop.path("bay.built.ron.before")).unwrap();
        assert!(acknowledged.starts_with(&before), "{before:?}");
    }
    assert_eq!(
        kills, KILLS,
        "{amid_writing} amid writing; {ended} runs ended before they were killed"
    );
    // what the killed ones left is swept up by the next one that ends
    assert!(shop.note("last").status.success());
    let files = [
        "bay.built.ron",
        "bay.built.ron.before",
        "bay.built.ron.lock",
    ];
    assert_eq!(shop.files(), files);
    shop.model_is_untouched();
}

#[test]
fn two_writers_at_once_lose_nothing() {
    let shop = Workshop::new();
    assert!(shop.note("first").status.success());
    let done = AtomicBool::new(false);
    let acknowledged: Vec<String> = std::thread::scope(|scope| {
        let writers: Vec<_> = ["left", "right", "third"]
            .into_iter()
            .map(|hand| {
                let shop = &shop;
                scope.spawn(move || {
                    let mut kept = Vec::new();
                    for count in 0..20 {
                        let text = format!("{hand} {count}");
                        let output = shop.note(&text);
                        if output.status.success() {
                            kept.push(text);
                        } else {
                            assert!(told(&output).contains("another run"), "{}", told(&output));
                        }
                    }
                    kept
                })
            })
            .collect();
        // somebody who reads meanwhile sees a whole record at every moment
        let reader = scope.spawn(|| {
            let mut longest = 0;
            while !done.load(Ordering::Relaxed) {
                let notes = shop.notes().len();
                assert!(notes >= longest);
                longest = notes;
            }
        });
        let kept = writers
            .into_iter()
            .flat_map(|writer| writer.join().unwrap())
            .collect();
        done.store(true, Ordering::Relaxed);
        reader.join().unwrap();
        kept
    });
    assert!(acknowledged.len() > 20, "{acknowledged:?}");
    let mut notes = shop.notes();
    assert_eq!(notes.remove(0), "first");
    assert_eq!(notes.len(), acknowledged.len());
    for text in &acknowledged {
        assert!(notes.contains(text), "{text} is lost");
    }
    shop.model_is_untouched();
}

#[test]
fn who_waits_too_long_for_the_other_writer_is_told() {
    let shop = Workshop::new();
    assert!(shop.note("first").status.success());
    let lock = fs::File::open(shop.path("bay.built.ron.lock")).unwrap();
    lock.lock().unwrap();
    let refused = shop.note("second");
    assert_eq!(refused.status.code(), Some(2));
    let told = told(&refused);
    assert!(
        told.contains("another run of strongback is writing this record"),
        "{told}"
    );
    assert_eq!(shop.notes(), ["first"]);
    // reading needs no lock
    assert!(shop.run(&["built", "show"]).status.success());
    // who lets go while the second one waits lets it in
    let waiting = shop.command(&["built", "note", "third"]).spawn().unwrap();
    std::thread::sleep(Duration::from_millis(200));
    lock.unlock().unwrap();
    assert!(waiting.wait_with_output().unwrap().status.success());
    assert_eq!(shop.notes(), ["first", "third"]);
}

#[test]
fn a_damaged_record_is_shown_and_the_one_before_it_offered() {
    let shop = Workshop::new();
    for text in ["one", "two", "three"] {
        assert!(shop.note(text).status.success());
    }
    let whole = fs::read_to_string(shop.record()).unwrap();
    let damaged = whole
        .replace("hours", "hour")
        .replace("text: \"two\"", "text: \"two");
    assert_ne!(damaged, whole);
    fs::write(shop.record(), &damaged).unwrap();
    for words in [
        &["built", "note", "four"][..],
        &["built", "show"],
        &["built", "set", "frame", "cut"],
        &["locate", "--as-built"],
    ] {
        let output = if words[0] == "locate" {
            Command::new(env!("CARGO_BIN_EXE_strongback"))
                .arg("locate")
                .arg(shop.path("bay.ron"))
                .arg("--as-built")
                .output()
                .unwrap()
        } else {
            shop.run(words)
        };
        assert_eq!(output.status.code(), Some(2), "{words:?}");
        let told = told(&output);
        assert!(told.contains("bay.built.ron:"), "{told}");
        assert!(told.contains("^"), "the text is underlined: {told}");
        assert!(told.contains("strongback built restore"), "{told}");
        assert_eq!(fs::read_to_string(shop.record()).unwrap(), damaged);
    }
    assert!(shop.run(&["built", "restore"]).status.success());
    assert_eq!(shop.notes(), ["one", "two"]);
    // the damaged one is not lost: it can be mended by hand
    assert_eq!(
        fs::read_to_string(shop.path("bay.built.ron.before")).unwrap(),
        damaged
    );
    // and it is not taken back as long as it doesn't read
    let again = shop.run(&["built", "restore"]);
    assert_eq!(again.status.code(), Some(2));
    assert!(
        told(&again).contains("bay.built.ron.before:"),
        "{}",
        told(&again)
    );
    assert_eq!(shop.notes(), ["one", "two"]);
}

#[test]
fn a_record_that_is_gone_is_not_begun_anew() {
    let shop = Workshop::new();
    for text in ["one", "two"] {
        assert!(shop.note(text).status.success());
    }
    fs::remove_file(shop.record()).unwrap();
    let refused = shop.note("three");
    assert_eq!(refused.status.code(), Some(2));
    assert!(told(&refused).contains("is gone"), "{}", told(&refused));
    assert!(shop.run(&["built", "restore"]).status.success());
    assert_eq!(shop.notes(), ["one"]);
    // nothing before the first one: nothing to take back
    let other = Workshop::new();
    assert_eq!(other.run(&["built", "restore"]).status.code(), Some(2));
}

#[test]
fn restored_twice_is_as_before() {
    let shop = Workshop::new();
    for text in ["one", "two"] {
        assert!(shop.note(text).status.success());
    }
    let present = fs::read_to_string(shop.record()).unwrap();
    assert!(shop.run(&["built", "restore"]).status.success());
    assert_eq!(shop.notes(), ["one"]);
    assert!(shop.run(&["built", "restore"]).status.success());
    assert_eq!(fs::read_to_string(shop.record()).unwrap(), present);
}

#[test]
fn a_folder_that_can_t_be_written_to_is_told() {
    use std::os::unix::fs::PermissionsExt;
    /// The user who owns nothing, by number.
    const NOBODY: u32 = 65534;
    let shop = Workshop::new();
    assert!(shop.note("first").status.success());
    let mode = |mode| {
        fs::set_permissions(shop.folder.path(), fs::Permissions::from_mode(mode)).unwrap();
    };
    mode(0o555);
    // the superuser may write everywhere: then somebody else tries
    let superuser = fs::write(shop.path("probe"), "").is_ok();
    let _ = fs::remove_file(shop.path("probe"));
    let mut command = shop.command(&["built", "note", "second"]);
    if superuser {
        command.uid(NOBODY).gid(NOBODY);
    }
    let output = command.output();
    let kept = shop.notes();
    mode(0o755);
    let output = output.unwrap();
    assert_eq!(output.status.code(), Some(2), "{}", told(&output));
    assert!(
        told(&output).contains("the build record can't be written"),
        "{}",
        told(&output)
    );
    assert_eq!(kept, ["first"]);
    // a folder in which nothing can be made because the names are taken
    let taken = Workshop::new();
    fs::create_dir(taken.path("bay.built.ron.lock")).unwrap();
    let output = taken.note("first");
    assert_eq!(output.status.code(), Some(2));
    assert!(
        told(&output).contains("can't be written"),
        "{}",
        told(&output)
    );
    assert!(!taken.record().exists());
}
