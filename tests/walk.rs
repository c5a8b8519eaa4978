//! A builder's walk is true: its page is taken from the first block to the last in one folder. `console`
//! blocks are run, and what they show is what is printed; a `diff` block is an edit to the file that it
//! names; an `sh` block is run without a word. `UPDATE=1` writes the outputs anew.

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

use crate::shown::{self, Block, Ran, console, difference, holds, kept, renewed, root, run, words};

const PAGE: &str = "demo-models/WALK.md";

/// Set for the process that stands in the folder of the walk: where it writes the page.
const WALKED: &str = "STRONGBACK_WALKED";

/// The folder in which the season passes.
struct Workshop<'a>(&'a Path);

impl Workshop<'_> {
    /// Where a word that names a file lies.
    fn place(&self, word: &str) -> Option<PathBuf> {
        let endings = [".ron", ".svg", ".html"];
        let is_file = endings.iter().any(|ending| word.ends_with(ending));
        is_file.then(|| self.0.join(word))
    }

    fn run(&self, command: &str) -> Ran {
        let words = words(command);
        match words[0].as_str() {
            "strongback" => run(&words, |word| self.place(word), &[self.0]),
            "cp" if words.len() == 3 && words[2] == "." => {
                let from = root().join(&words[1]);
                std::fs::copy(&from, self.0.join(from.file_name().unwrap())).unwrap();
                let (text, code) = (String::new(), ExitCode::SUCCESS);
                Ran { text, code }
            }
            _ => panic!("`{command}` is no command of the walk"),
        }
    }

    /// What a block shows now; or how it is not as the page has it.
    fn take(&self, block: &Block) -> Result<String, String> {
        let (kind, file) = block.info.split_once(' ').unwrap_or((block.info, ""));
        match kind {
            "console" => {
                let mut left = block
                    .lines
                    .iter()
                    .filter(|line| line.starts_with("$ "))
                    .count();
                let mut wrong = Ok(());
                let shown = console(block, |command| {
                    left -= 1;
                    let told = if left == 0 { told_end(block.before) } else { 0 };
                    let ran = self.run(command);
                    if let Err(why) = ends_with(command, &ran, told) {
                        wrong = Err(why);
                    }
                    ran.text
                });
                wrong.map(|()| shown)
            }
            "sh" => {
                for command in looped(&block.lines)? {
                    ends_with(&command, &self.run(&command), 0)?;
                }
                Ok(kept(block))
            }
            "diff" => {
                if !block.before.contains(&format!("`{file}`")) {
                    return Err(format!(
                        "nothing before the edit says that it is of `{file}`"
                    ));
                }
                let path = self.0.join(file);
                let text =
                    std::fs::read_to_string(&path).map_err(|why| format!("{file}: {why}"))?;
                let edited = edited(&text, &block.lines).map_err(|why| format!("{file}: {why}"))?;
                std::fs::write(&path, edited).unwrap();
                Ok(kept(block))
            }
            _ => Err(format!("`{kind}` is no block of the walk")),
        }
    }

    fn walk(&self, page: &str) -> String {
        renewed(page, |block| {
            self.take(block)
                .unwrap_or_else(|why| panic!("{PAGE}: {why}"))
        })
    }
}

/// What the page says that the last command of a block ends with.
fn told_end(before: &str) -> u8 {
    (1..=2)
        .find(|end| before.contains(&format!("ends with {end}")))
        .unwrap_or(0)
}

fn ends_with(command: &str, ran: &Ran, told: u8) -> Result<(), String> {
    match ran.code == ExitCode::from(told) {
        true => Ok(()),
        false => Err(format!(
            "`{command}` doesn't end with {told}, as the page says, but with {:?}:\n{}",
            ran.code, ran.text
        )),
    }
}

/// The commands of a block; those of `for part in …; do` for each of its words.
fn looped(lines: &[&str]) -> Result<Vec<String>, String> {
    let text = lines.join(" ");
    let Some(rest) = text.strip_prefix("for part in ") else {
        return Ok(lines.iter().map(|line| (*line).to_owned()).collect());
    };
    let (parts, rest) = rest.split_once("; do ").ok_or("a loop has no `do`")?;
    let command = rest.strip_suffix(" done").ok_or("a loop has no `done`")?;
    let commands = words(parts).into_iter().filter(|word| word != "\\");
    Ok(commands
        .map(|part| command.trim().replace("$part", &part))
        .collect())
}

/// The text after an edit: lines with `-` go out and lines with `+` come in, at the one place where they fit.
fn edited(text: &str, edit: &[&str]) -> Result<String, String> {
    let side = |without: char| -> Vec<&str> {
        let lines = edit.iter().filter(|line| !line.starts_with(without));
        lines.map(|line| line.get(1..).unwrap_or("")).collect()
    };
    let (old, new) = (side('+'), side('-'));
    if old.is_empty() || old == new {
        return Err("the edit changes nothing that is there".to_owned());
    }
    let lines: Vec<&str> = text.lines().collect();
    let places: Vec<usize> = lines
        .windows(old.len())
        .zip(0..)
        .filter_map(|(lines, at)| (lines == old).then_some(at))
        .collect();
    let [at] = places[..] else {
        return Err(format!(
            "what the edit takes out stands there {} times, not once:\n{}",
            places.len(),
            old.join("\n")
        ));
    };
    let after = &lines[at + old.len()..];
    let all = [&lines[..at], &new[..], after].concat();
    Ok(all.join("\n") + "\n")
}

/// A person stands in the folder, so that a file is called by its name alone, and lines break where they do
/// for that person: the walk is taken by a process of its own, which is this test once more.
#[test]
fn the_walk_shows_what_is_printed() {
    if let Some(walked) = std::env::var_os(WALKED) {
        let page = std::fs::read_to_string(root().join(PAGE)).unwrap();
        std::fs::write(walked, Workshop(Path::new("")).walk(&page)).unwrap();
        return;
    }
    let (folder, made) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let walked = made.path().join("walked.md");
    let told = Command::new(std::env::current_exe().unwrap())
        .args([
            "--exact",
            "walk::the_walk_shows_what_is_printed",
            "--nocapture",
        ])
        .env(WALKED, &walked)
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert!(
        told.status.success(),
        "{}",
        String::from_utf8_lossy(&told.stderr)
    );
    holds(PAGE, |_| std::fs::read_to_string(&walked).unwrap());
    let book = std::fs::read_to_string(folder.path().join("book.html")).unwrap();
    assert!(
        book.contains("clean baggage bay"),
        "what was agreed is in the book"
    );
}

/// Every step of a season is there, in this order.
#[test]
fn the_walk_has_every_step() {
    let page = std::fs::read_to_string(root().join(PAGE)).unwrap();
    let mut rest = page.as_str();
    for step in [
        "\n$ strongback new first-bay.ron\n",
        "\n$ strongback locate centre-fuselage.ron ",
        "\n$ strongback odds centre-fuselage.ron\n",
        " misses by ",
        "Readings(",
        "\n$ strongback readings centre-fuselage.ron\n",
        "\n$ strongback odds centre-fuselage.ron\nNo statements at odds.\n",
        "\n$ strongback why centre-fuselage.ron ",
        "\n$ strongback remedy centre-fuselage.ron ",
        "\n+                Reverse(\"seat frame\"),\n",
        "\n$ strongback try centre-fuselage.ron ",
        "MISSES, ",
        "make to new figures",
        "\n$ strongback built adopt centre-fuselage.ron ",
        "\n$ strongback built set centre-fuselage.ron ",
        " is cut now",
        "\n$ strongback built measure centre-fuselage.ron ",
        "\n$ strongback measured centre-fuselage.ron --as-built\n",
        "SUSPECT",
        "\n$ strongback joints centre-fuselage.ron ",
        "to buy",
        "\n$ strongback blanks centre-fuselage.ron ",
        "sight line",
        "\n$ strongback order centre-fuselage.ron --as-built\n",
        "Leave open:",
        "\n$ strongback book centre-fuselage.ron ",
        "is written",
    ] {
        let (_, after) = rest
            .split_once(step)
            .unwrap_or_else(|| panic!("the walk has no {step:?}, or too early"));
        rest = after;
    }
    assert!(
        page.contains("nothing here approves it"),
        "the caution stays"
    );
}

#[test]
fn another_output_than_the_page_shows_is_told() {
    let page = "In a new folder:\n\n```console\n$ strongback new first-bay.ron\nfirst-bay.ron is lost.\n```\n";
    let walked = |page: &str| Workshop(tempfile::tempdir().unwrap().path()).walk(page);
    let made = walked(page);
    let told = difference(page, &made).unwrap();
    assert!(
        told.starts_with("line 5 is\n  first-bay.ron is lost.\n"),
        "{told}"
    );
    assert!(told.contains("\n  first-bay.ron is written: "), "{told}");
    assert_eq!(difference(&made, &walked(&made)), None);
}

fn taken(workshop: &Workshop, before: &str, info: &str, lines: &[&str]) -> Result<String, String> {
    workshop.take(&Block {
        info,
        lines: lines.to_vec(),
        before,
    })
}

#[test]
fn another_end_than_the_page_tells_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let workshop = Workshop(folder.path());
    let lost = ["$ strongback locate lost.ron"];
    for before in ["Where does it lie?", "It ends with 1."] {
        let why = taken(&workshop, before, "console", &lost).unwrap_err();
        assert!(why.contains("there is no such file"), "{why}");
    }
    let told = taken(&workshop, "It ends with 2.", "console", &lost).unwrap();
    assert!(told.contains("there is no such file"), "{told}");
    let quiet = taken(
        &workshop,
        "It ends with 2.",
        "sh",
        &["strongback locate lost.ron"],
    );
    assert!(quiet.is_err());
}

#[test]
fn an_edit_that_does_not_fit_is_told() {
    let text = "one\ntwo\ntwo\nthree\n";
    assert_eq!(
        edited(text, &["-one", "+1"]).unwrap(),
        "1\ntwo\ntwo\nthree\n"
    );
    assert_eq!(
        edited(text, &[" two", "-three"]).unwrap(),
        "one\ntwo\ntwo\n"
    );
    assert_eq!(
        edited(text, &[" one", "+1 1/2"]).unwrap(),
        "one\n1 1/2\ntwo\ntwo\nthree\n"
    );
    for (edit, why) in [
        (&["-two", "+2"][..], "2 times"),
        (&["-tw", "+2"], "0 times"),
        (&["-one", "-three"], "0 times"),
        (&["+four"], "changes nothing"),
        (&[" one"], "changes nothing"),
    ] {
        let told = edited(text, edit).unwrap_err();
        assert!(told.contains(why), "{edit:?}: {told}");
    }
}

#[test]
fn an_edit_of_the_walk_says_its_file_and_fits_once() {
    let folder = tempfile::tempdir().unwrap();
    let workshop = Workshop(folder.path());
    taken(
        &workshop,
        "",
        "console",
        &["$ strongback new first-bay.ron"],
    )
    .unwrap();
    let edited =
        |edit: &[&str]| taken(&workshop, "In `first-bay.ron`:", "diff first-bay.ron", edit);
    let edit = ["-    unit: Inch,", "+    unit: Foot,"];
    let why = taken(&workshop, "In the file:", "diff first-bay.ron", &edit).unwrap_err();
    assert!(why.contains("`first-bay.ron`"), "{why}");
    let why = edited(&edit).unwrap_err();
    assert!(
        why.contains("0 times"),
        "the line has a remark behind it: {why}"
    );
    let edit = [
        "-        \"S2\": \"panel frame\",",
        "+        \"S2\": \"panel\",",
    ];
    edited(&edit).unwrap();
    let why = edited(&edit).unwrap_err();
    assert!(why.contains("0 times"), "it is made already: {why}");
}

#[test]
fn a_loop_is_run_for_each_part() {
    let lines = [
        "for part in firewall \"panel frame\" \\",
        "    floor; do",
        "  strongback built set x.ron \"$part\" fitted",
        "done",
    ];
    let commands = looped(&lines).unwrap();
    assert_eq!(commands.len(), 3);
    assert_eq!(shown::words(&commands[1])[4], "panel frame");
    assert!(looped(&lines[..3]).is_err());
}
