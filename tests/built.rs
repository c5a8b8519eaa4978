//! `built` and `--as-built` as a person uses them: what is printed, what is kept, what is refused. Snapshots hold the words.

use std::fs;

use crate::command_line::{demo, json, run, steady};
use strongback_model::record::Record;

/// A folder with a demo model of one's own.
pub(crate) struct Shop {
    folder: tempfile::TempDir,
    model: String,
}

impl Shop {
    fn with(name: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let model = folder.path().join(name);
        fs::copy(demo(name), &model).unwrap();
        let model = model.to_str().unwrap().to_owned();
        Self { folder, model }
    }

    /// What a command prints; `MODEL` stands for the model.
    fn run(&self, words: &[&str]) -> (String, String, u8) {
        let words: Vec<&str> = words
            .iter()
            .map(|word| if *word == "MODEL" { &self.model } else { *word })
            .collect();
        let (out, err, status) = run(&words);
        let folder = format!("{}/", self.folder.path().display());
        (
            out.replace(&folder, ""),
            plain(&err.replace(&folder, "")),
            status,
        )
    }

    /// What a command prints that has to end well.
    pub(crate) fn well(&self, words: &[&str]) -> String {
        let (out, err, status) = self.run(words);
        assert_eq!((err.as_str(), status), ("", 0), "{words:?}");
        out
    }

    /// What a refused command prints.
    pub(crate) fn refused(&self, words: &[&str]) -> String {
        let (out, err, status) = self.run(words);
        assert_eq!((out.as_str(), status), ("", 2), "{words:?}");
        err
    }

    fn record(&self) -> Record {
        let path = self.model.replace(".ron", ".built.ron");
        Record::read(&fs::read_to_string(path).unwrap()).unwrap()
    }
}

/// A text without the signs that colour it on a terminal.
pub(crate) fn plain(text: &str) -> String {
    let mut pieces = text.split("\u{1b}[");
    let first = pieces.next().unwrap_or_default().to_owned();
    pieces.fold(first, |plain, piece| {
        plain + piece.split_once('m').map_or(piece, |(_, rest)| rest)
    })
}

/// A first bay some days on.
pub(crate) fn begun() -> Shop {
    let shop = Shop::with("first-bay.ron");
    for words in [
        &[
            "set",
            "MODEL",
            "rail L",
            "cut",
            "--size",
            "length=19 1/4 in",
            "--on",
            "2026-10-03",
        ][..],
        &[
            "note",
            "MODEL",
            "rail L",
            "filed to the line",
            "--hours",
            "1.5",
            "--on",
            "2026-10-03",
        ],
        &["set", "MODEL", "stiffener", "Drilled", "--on", "2026-10-04"],
        &[
            "set",
            "MODEL",
            "panel frame",
            "fitted",
            "--on",
            "2026-10-05",
        ],
        &[
            "note",
            "MODEL",
            "swept the shop",
            "--hours",
            "0.25",
            "--on",
            "2026-10-05",
        ],
        &[
            "measure",
            "MODEL",
            "bay",
            "--from",
            "firewall.aft",
            "--to",
            "panel frame.web_fwd",
            "--is",
            "19 13/32 in",
            "--uncertainty",
            "1/32 in",
            "--note",
            "tape, twice",
            "--on",
            "2026-10-06",
        ],
        &[
            "adopt",
            "MODEL",
            "shorter bay",
            "--because",
            "the mount is there now",
            "--on",
            "2026-10-07",
        ],
    ] {
        shop.well(&[&["built"], words].concat());
    }
    shop
}

/// The rails were cut to the bay as it was, and the stiffener is no matter of it.
#[test]
fn what_made_parts_keep_is_told_when_a_deviation_is_adopted() {
    let shop = begun();
    shop.well(&["built", "adopt", "MODEL", "shorter bay", "--withdraw"]);
    shop.well(&["built", "set", "MODEL", "floor", "drilled"]);
    let told = shop.well(&["built", "adopt", "MODEL", "shorter bay"]);
    let told = told.replace("\n  ", " ");
    assert!(
        told.contains("`floor` is drilled with its length at 19 3/8 in, and keeps that; if it was made to 18 7/8 in"),
        "{told}"
    );
    assert!(!told.contains("`stiffener`"), "{told}");
    // turned the other way, a frame that is fitted keeps its flanges
    let told = shop.well(&["built", "adopt", "MODEL", "panel flanges forward"]);
    let told = told.replace("\n  ", " ");
    assert!(
        told.contains("`panel frame` is fitted with its flanges Aft, and keeps that"),
        "{told}"
    );
}

#[test]
fn the_record_in_words() {
    let shop = begun();
    insta::assert_snapshot!("record", shop.well(&["built", "show", "MODEL"]));
    let back = shop.well(&[
        "built",
        "set",
        "MODEL",
        "panel frame",
        "cut",
        "--on",
        "2026-10-08",
    ]);
    insta::assert_snapshot!("stage-set-back", back);
    let restored = shop.well(&["built", "restore", "MODEL"]);
    insta::assert_snapshot!("record-restored", restored);
    assert_eq!(shop.record(), begun().record());
}

/// The plan's bay is shorter by 1/2 in since the deviation was adopted (19 3/8 in before, 18 7/8 in after), and the frame was riveted
/// at 19 3/8 in before that: it stays there, and the statement of the bay misses by that half inch.
#[test]
fn what_is_built_in_words() {
    let shop = begun();
    let (out, err, status) = shop.run(&["locate", "MODEL", "--as-built", "--beside-plan"]);
    assert_eq!((err.as_str(), status), ("", 1));
    insta::assert_snapshot!("as-built-beside-the-plan", steady(&out));
    let located = json(&["locate", &shop.model, "--as-built"]);
    let odd = &located["layout"]["at_odds"];
    let bay = odd
        .as_array()
        .unwrap()
        .iter()
        .find(|odd| odd["statement"] == "panel spacing");
    let miss = bay.unwrap()["miss"].as_f64().unwrap().abs();
    assert!((miss - 12.7).abs() < 1e-6, "{miss}");
    let measured = shop.run(&["measured", "MODEL", "--as-built"]).0;
    assert!(measured.contains("19 13/32"), "{measured}");
    // what is metal already is nothing to drop or to draw otherwise
    let odds = shop.run(&["odds", "MODEL", "--as-built"]).0;
    let drops = odds.split("The rest holds").nth(1).unwrap();
    let drops = drops.split("Look the figures up").next().unwrap();
    assert!(drops.contains("panel spacing"), "{drops}");
    assert!(
        !drops.contains("as fitted") && !drops.contains("rail length"),
        "{drops}"
    );
    // without the word everything is as the plan has it
    assert!(!shop.well(&["locate", "MODEL"]).contains("as built"));
}

#[test]
fn every_asking_command_takes_the_word() {
    let shop = begun();
    let picture = shop.folder.path().join("bay.svg");
    let picture = picture.to_str().unwrap();
    for words in [
        &["locate", "MODEL"][..],
        &["fit", "MODEL"],
        &["why", "MODEL", "rail L.aft_end"],
        &["odds", "MODEL"],
        &["readings", "MODEL"],
        &["loose", "MODEL"],
        &["measured", "MODEL"],
        &["stack", "MODEL", "--samples", "20"],
        &["try", "MODEL", "panel flanges forward"],
        &["recut", "MODEL", "--set", "rail height=5 in"],
        &["draw", "MODEL", "-o", picture],
    ] {
        let plan = shop.run(words);
        let built = shop.run(&[words, &["--as-built"]].concat());
        assert!(built.2 < 2, "{words:?}: {}", built.1);
        if words[0] != "readings" && words[0] != "stack" && words[0] != "loose" {
            assert_ne!(plan.0, built.0, "{words:?}");
        }
    }
}

/// Of a part that is riveted, a change of the plan is told as no shift; of one that is not, as one.
#[test]
fn a_change_is_tried_beside_what_is_built() {
    let shop = Shop::with("first-bay.ron");
    shop.well(&["built", "set", "MODEL", "panel frame", "fitted"]);
    let moved = |words: &[&str]| -> Vec<String> {
        let answer = json(words);
        let parts = answer["trials"][0]["shift"]["parts"]
            .as_array()
            .unwrap()
            .clone();
        parts
            .iter()
            .map(|part| part["part"].as_str().unwrap().to_owned())
            .collect()
    };
    let plan = moved(&["try", &shop.model, "shorter bay"]);
    assert!(plan.iter().any(|part| part == "panel frame"), "{plan:?}");
    let built = moved(&["try", &shop.model, "shorter bay", "--as-built"]);
    assert!(built.is_empty(), "{built:?}");
}

#[test]
fn what_can_t_be_put_on_record_is_told() {
    let shop = begun();
    let before = shop.record();
    for (words, told) in [
        (&["set", "MODEL", "rail", "cut"][..], "`rail L` or `rail R`"),
        (
            &["set", "MODEL", "rial L", "cut"],
            "the nearest is `rail L`",
        ),
        (
            &["set", "MODEL", "rail R", "cut", "--size", "lenght=3 in"],
            "the nearest is `length`",
        ),
        (
            &["set", "MODEL", "rail R", "cut", "--size", "length"],
            "NAME=FIGURE",
        ),
        (
            &[
                "set",
                "MODEL",
                "rail R",
                "cut",
                "--size",
                "length=rail height",
            ],
            "stands by itself",
        ),
        (
            &["set", "MODEL", "rail R", "cut", "--size", "length=-3 in"],
            "greater than zero",
        ),
        (
            &["set", "MODEL", "rail R", "cut", "--on", "2026-02-30"],
            "is no day",
        ),
        (
            &["set", "MODEL", "rail R", "sawn"],
            "NotStarted, Cut, Drilled, Fitted",
        ),
        // a leg can't be thinner than the metal that it is of
        (
            &["set", "MODEL", "rail R", "cut", "--size", "thickness=2 in"],
            "what is built",
        ),
        (&["note", "MODEL", "rial L", "x"], "the nearest is `rail L`"),
        (&["note", "MODEL", "rail L"], "what is to be remembered"),
        (&["note", "MODEL", "x", "--hours", "-1"], "are not put in"),
        (&["note", "MODEL", "x", "--hours=-1"], "are not put in"),
        (&["note", "MODEL", "x", "--hours", "NaN"], "are not put in"),
        (
            &[
                "measure",
                "MODEL",
                "bay",
                "--size",
                "rail height",
                "--is",
                "4 in",
                "--uncertainty",
                "1 mm",
            ],
            "already",
        ),
        (
            &[
                "measure",
                "MODEL",
                "b",
                "--from",
                "firewall.aft",
                "--to",
                "floor.fwdd",
                "--is",
                "4 in",
                "--uncertainty",
                "1 mm",
            ],
            "`floor` has no face `fwdd`",
        ),
        (
            &[
                "measure",
                "MODEL",
                "b",
                "--size",
                "rail height",
                "--is",
                "4 in",
                "--uncertainty",
                "0 mm",
            ],
            "greater than zero",
        ),
        (
            &["note", "MODEL", "x", "--hours", "1e300"],
            "1e300 hours are not put in",
        ),
        (&["note", "MODEL", " "], "a note of nothing"),
        (
            &["set", "MODEL", "stiffener", "drilled", "--on", "yesterday"],
            "is no day",
        ),
        (
            &["adopt", "MODEL", "panel flanges forward", "--withdraw"],
            "there is no adopted deviation",
        ),
        (
            &["adopt", "MODEL", "shorter bays"],
            "the nearest is `shorter bay`",
        ),
        (
            &["adopt", "MODEL", "shorter bay"],
            "was adopted on 2026-10-07",
        ),
    ] {
        let err = shop.refused(&[&["built"], words].concat());
        assert!(err.contains(told), "{words:?}: {err}");
    }
    let with = shop.refused(&["locate", "MODEL", "--as-built", "--with", "shorter bay"]);
    assert!(
        with.contains("it is part of what it would be tried beside"),
        "{with}"
    );
    let alone = shop.refused(&["locate", "MODEL", "--beside-plan"]);
    assert!(alone.contains("--as-built"), "{alone}");
    assert_eq!(shop.record(), before);
    let fresh = Shop::with("first-bay.ron");
    for words in [
        &["built", "show", "MODEL"][..],
        &["fit", "MODEL", "--as-built"],
    ] {
        let err = fresh.refused(words);
        assert!(err.contains("there is no build record yet"), "{err}");
    }
}

/// What is on record already is not written again, and the record before it stays; a record that is a link is written through.
#[cfg(unix)]
#[test]
fn a_link_stays_and_the_same_again_writes_nothing() {
    let shop = begun();
    let record = shop.model.replace(".ron", ".built.ron");
    let (kept, before) = (record.replace("first", "kept"), format!("{record}.before"));
    let was = fs::read_to_string(&before).unwrap();
    let same = shop.well(&["built", "set", "MODEL", "stiffener", "drilled"]);
    assert!(same.contains("nothing is written"), "{same}");
    assert_eq!(fs::read_to_string(&before).unwrap(), was);
    fs::rename(&record, &kept).unwrap();
    std::os::unix::fs::symlink(&kept, &record).unwrap();
    shop.well(&["built", "adopt", "MODEL", "shorter bay", "--withdraw"]);
    assert!(fs::read_link(&record).is_ok());
    let text = fs::read_to_string(&kept).unwrap();
    assert!(!text.contains("shorter bay"), "{text}");
}

/// A slip of a hand that mended the record is told where it stands in the record, and not in the model.
#[test]
fn a_slip_in_the_record_is_told_at_its_place() {
    let shop = begun();
    let path = shop.model.replace(".ron", ".built.ron");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("\"stiffener\"", "\"stifener\"")).unwrap();
    insta::assert_snapshot!("slip-in-a-name", shop.refused(&["built", "show", "MODEL"]));
    fs::write(&path, text.replace("stage: Drilled", "stage: Driled")).unwrap();
    insta::assert_snapshot!("slip-in-a-stage", shop.refused(&["built", "show", "MODEL"]));
}

/// What is fitted is in before all else, where it is asked of what is built, and nowhere else.
#[test]
fn the_order_begins_after_what_is_fitted() {
    let shop = Shop::with("first-bay.ron");
    shop.well(&["built", "set", "MODEL", "firewall", "fitted"]);
    let built = shop.well(&["order", "MODEL", "--as-built"]);
    assert!(
        built.starts_with("5 parts in ") && built.contains(" 1 part is fitted already."),
        "{built}"
    );
    let plan = shop.well(&["order", "MODEL"]);
    assert!(plan.starts_with("6 parts in "), "{plan}");
}
