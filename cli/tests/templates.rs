//! The files of blanks, read back by programs of others: DXF by ezdxf (PyPI), PDF by poppler's pdftoppm and pdfinfo (Debian's
//! `poppler-utils`). Where those are not there the test says so and passes, unless `STRONGBACK_OUTSIDE=required`.

#![allow(clippy::unwrap_used, clippy::panic)]

mod outside;

use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;
use strongback_model::assembly::assemble;
use strongback_model::blank::Blank;
use strongback_model::document::Document;
use strongback_model::pattern::Mark;
use strongback_model::source::read;

use outside::not_checked;

const BINARY: &str = env!("CARGO_BIN_EXE_strongback");

fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../demo-models")
        .join(name)
}

/// What a program prints; nothing where it is not there, which is told.
fn outside(program: &str, words: &[&str]) -> Option<Vec<u8>> {
    let ran = Command::new(program).args(words).output();
    match ran {
        Ok(output) if output.status.success() => Some(output.stdout),
        ran => {
            not_checked(&format!("{program} {words:?}: {ran:?}"));
            None
        }
    }
}

/// The blanks of a model, and the files of one kind that are written of them.
fn written(model: &str, flag: &str) -> (tempfile::TempDir, Vec<Blank>, Vec<String>) {
    let folder = tempfile::tempdir().unwrap();
    let output = Command::new(BINARY)
        .args(["--json", "blanks"])
        .arg(demo(model))
        .arg(flag)
        .arg(folder.path().join("of blanks"))
        .output()
        .unwrap();
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let files: Vec<String> = answer["written"]
        .as_array()
        .unwrap()
        .iter()
        .map(|file| file.as_str().unwrap().to_owned())
        .collect();
    let text = std::fs::read_to_string(demo(model)).unwrap();
    let document: Document = read(&text).unwrap();
    let blanks = assemble(&document)
        .unwrap()
        .solve()
        .unwrap()
        .blanks()
        .blanks;
    assert_eq!(files.len(), blanks.len());
    (folder, blanks, files)
}

#[test]
fn another_library_reads_the_same_contours() {
    for model in ["first-bay.ron", "centre-fuselage.ron"] {
        let (_folder, blanks, files) = written(model, "--dxf");
        let python = std::env::var("STRONGBACK_PYTHON").unwrap_or_else(|_| "python3".to_owned());
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/read_dxf.py");
        let mut words = vec![script.to_str().unwrap()];
        words.extend(files.iter().map(String::as_str));
        let Some(out) = outside(&python, &words) else {
            return;
        };
        let found: Vec<Value> = serde_json::from_slice(&out).unwrap();
        assert_eq!(found.len(), blanks.len());
        for ((blank, found), file) in blanks.iter().zip(&found).zip(&files) {
            let what = format!("{model} {}: {found}", blank.part);
            assert!(
                file.ends_with(".in.dxf"),
                "the unit stands in the name: {file}"
            );
            assert_eq!(
                (&found["errors"], &found["fixes"]),
                (&0.into(), &0.into()),
                "{what}"
            );
            assert_eq!(found["strays"], serde_json::json!([]), "{what}");
            let pattern = &blank.pattern;
            let loops: Vec<_> = std::iter::once(&pattern.outline)
                .chain(&pattern.openings)
                .collect();
            let outlines = found["outlines"].as_array().unwrap();
            assert_eq!(outlines.len(), loops.len(), "{what}");
            for (outline, expected) in outlines.iter().zip(loops) {
                assert_eq!(
                    (&outline["layer"], &outline["closed"]),
                    (&"CUT".into(), &true.into()),
                    "{what}"
                );
                let near = |found: &Value, expected: f64| {
                    let found = found.as_f64().unwrap();
                    assert!(
                        (found - expected).abs() <= 1e-6 * expected.abs(),
                        "{found} {expected} {what}"
                    );
                };
                near(&outline["length"], expected.length_mm() / 25.4);
                near(&outline["area"], expected.area_mm2() / (25.4 * 25.4));
            }
            assert_eq!(found["bend_lines"], 3 * pattern.bends.len(), "{what}");
            let crosses = pattern
                .marks
                .iter()
                .filter(|mark| matches!(mark, Mark::Centre { .. }))
                .count();
            let lines = pattern.marks.len() - crosses;
            assert_eq!(found["mark_lines"], 2 * crosses + lines, "{what}");
            let words = found["words"].to_string();
            assert!(
                words.contains("all figures in inches")
                    && words.contains("nothing here approves it"),
                "{what}"
            );
        }
    }
}

/// Dots in an inch at which pages are looked at.
const DPI: u32 = 300;

/// A grey picture of a page of a PDF, by pdftoppm: its width and height, and its dots.
fn rendered(file: &str, page: u32) -> Option<([usize; 2], Vec<u8>)> {
    let (page, dpi) = (page.to_string(), DPI.to_string());
    let words = ["-gray", "-r", &dpi, "-f", &page, "-l", &page, file];
    let image = outside("pdftoppm", &words)?;
    // a portable graymap: P5, width, height, 255, each followed by a blank, then the dots
    let mut rest = &image[..];
    let mut head = || {
        let end = rest.iter().position(u8::is_ascii_whitespace).unwrap();
        let (word, after) = rest.split_at(end);
        rest = &after[1..];
        String::from_utf8(word.to_vec()).unwrap()
    };
    let [kind, width, height, white] = [head(), head(), head(), head()];
    assert_eq!((kind.as_str(), white.as_str()), ("P5", "255"));
    let size = [width, height].map(|side| side.parse().unwrap());
    Some((size, rest.to_vec()))
}

/// The middles of the dark runs in a row of dots, between two columns.
fn dark(dots: &[u8], [from, to]: [usize; 2]) -> Vec<f64> {
    let mut middles = Vec::new();
    let mut begun = None;
    for (at, dot) in dots.iter().enumerate().take(to).skip(from) {
        match (*dot < 128, begun) {
            (true, None) => begun = Some(at),
            (false, Some(first)) => {
                middles.push(0.5 * (first + at - 1) as f64);
                begun = None;
            }
            _ => {}
        }
    }
    middles
}

/// The check bars are as long as they say, on a page as large as its paper, and one inch of metal is one inch.
#[test]
fn a_printed_bar_is_as_long_as_it_says() {
    let (_folder, blanks, files) = written("first-bay.ron", "--pdf");
    let per_mm = f64::from(DPI) / 25.4;
    for (blank, file) in blanks.iter().zip(&files) {
        let Some(info) = outside("pdfinfo", &[file]) else {
            return;
        };
        let info = String::from_utf8(info).unwrap();
        assert!(info.contains("letter"), "{info}");
        for page in [1, 2] {
            let Some(([width, height], dots)) = rendered(file, page) else {
                return;
            };
            for (above_foot_mm, long_mm) in [(22.0, 100.0), (16.0, 101.6)] {
                // a millimetre above the bar only its two end ticks are met
                let y = height as f64 - (above_foot_mm + 1.0) * per_mm;
                let row = &dots[y.round() as usize * width..][..width];
                let reach = [(8.0 * per_mm) as usize, (113.0 * per_mm) as usize];
                let ticks = dark(row, reach);
                let [from, to] = ticks[..] else {
                    panic!("{} page {page}: {ticks:?}", blank.part)
                };
                assert!(
                    (to - from - long_mm * per_mm).abs() <= 1.0,
                    "{} {}",
                    to - from,
                    long_mm * per_mm
                );
            }
        }
        let words = outside("pdftotext", &["-layout", file, "-"]).unwrap_or_default();
        let words = String::from_utf8(words).unwrap();
        let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            words.contains("Print at 100 %, measure the bar before use."),
            "{words}"
        );
        assert!(words.contains("nothing here approves it"), "{words}");
    }
}

#[test]
fn a_drawing_says_its_size_in_millimetres() {
    let (_folder, blanks, files) = written("first-bay.ron", "--svg");
    for (blank, file) in blanks.iter().zip(&files) {
        let svg = std::fs::read_to_string(file).unwrap();
        let number = |name: &str| -> f64 {
            let rest = svg.split(&format!("{name}=\"")).nth(1).unwrap();
            rest.split("mm\"").next().unwrap().parse().unwrap()
        };
        // the pattern and the room around it, 8 mm to either side
        assert!(
            (number("width") - blank.size_mm[0] - 16.0).abs() < 0.01,
            "{}",
            blank.part
        );
        assert!(number("height") > blank.size_mm[1], "{}", blank.part);
        assert!(svg.contains("full size, 1 : 1"), "{}", blank.part);
    }
}

#[test]
fn names_that_no_file_may_have_are_written_all_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let model = folder.path().join("m.ron");
    let part = |name: &str, at: u32| {
        format!(
            r#""{name}": Plate(lies: Flat, thickness: "1 mm", length: 20, width: 10, at: (fs: {at}, bl: 0, wl: 0))"#
        )
    };
    let parts = [
        part("../a/b", 0),
        part("..\\\\a\\\\b", 30),
        part("Ä rib", 60),
        part("a rib", 90),
        part("A rib", 120),
    ];
    let relations = r#""first": Spaced(from: "datum.station", to: "a rib.fwd", by: 90), "on": Parallel("../a/b.top", "..\\a\\b.top"), "on too": Parallel("Ä rib.top", "A rib.top")"#;
    let text = format!(
        "(format: 1, title: \"x\", unit: Millimetre, fit: 1, parts: {{{}}}, relations: {{{relations}}})",
        parts.join(", ")
    );
    std::fs::write(&model, text).unwrap();
    let out = folder.path().join("out");
    let run = |words: &[&str]| {
        let output = Command::new(BINARY)
            .arg("blanks")
            .arg(&model)
            .args(words)
            .output()
            .unwrap();
        (
            output.status.code(),
            String::from_utf8_lossy(&output.stderr).into_owned(),
        )
    };
    let (status, told) = run(&[
        "--dxf",
        out.to_str().unwrap(),
        "--svg",
        out.to_str().unwrap(),
    ]);
    assert_eq!((status, told.as_str()), (Some(0), ""));
    let mut names: Vec<String> = std::fs::read_dir(&out)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(
        names,
        [
            "---a-b-2.mm.dxf",
            "---a-b-2.svg",
            "---a-b.mm.dxf",
            "---a-b.svg",
            "--rib.mm.dxf",
            "--rib.svg",
            "A-rib-2.mm.dxf",
            "A-rib-2.svg",
            "a-rib.mm.dxf",
            "a-rib.svg",
        ]
    );
    // a folder that can't be one
    let (status, told) = run(&["--svg", model.to_str().unwrap()]);
    assert_eq!(status, Some(2), "{told}");
    assert!(told.contains("the folder can't be made"), "{told}");
}
