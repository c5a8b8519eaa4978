//! What of the build record counts where a command is asked: without `--as-built` nothing, in any command, but for what a change is
//! tried beside, which says so. In: a model whose record has adopted a deviation, and the same model without a record. Out: equal
//! answers, or answers that name what was adopted.

use std::fs;

use crate::built::plain;
use crate::command_line::{demo, run, steady};

const ADOPTED: &str = "shorter bay";

/// Words of each command that asks a question, without its model. `OUT` stands for a file that it writes.
const QUESTIONS: &[&[&str]] = &[
    &["locate", "MODEL"],
    &["locate", "MODEL", "--with", "panel flanges forward"],
    &["fit", "MODEL"],
    &["why", "MODEL", "floor.aft"],
    &["odds", "MODEL"],
    &["readings", "MODEL"],
    &["loose", "MODEL"],
    &["measured", "MODEL"],
    &["stack", "MODEL", "--samples", "200"],
    &["joints", "MODEL"],
    &["order", "MODEL"],
    &["blanks", "MODEL"],
    &["mass", "MODEL"],
    &["mass", "MODEL", "panel flanges forward"],
    &["draw", "MODEL", "-o", "OUT.svg"],
];

/// The same of each that tries a change.
const TRIALS: &[&[&str]] = &[
    &["try", "MODEL", "panel flanges forward"],
    &["recut", "MODEL", "panel flanges forward"],
    &["remedy", "MODEL", "panel flanges forward"],
    &["draw", "MODEL", "panel flanges forward", "-o", "OUT.svg"],
];

struct Shop(tempfile::TempDir);

impl Shop {
    /// The first bay; with a record that has adopted a deviation, if it is to have one.
    fn new(recorded: bool) -> Self {
        let shop = Self(tempfile::tempdir().unwrap());
        fs::copy(demo("first-bay.ron"), shop.path("bay.ron")).unwrap();
        if recorded {
            shop.ask(&["built", "adopt", "MODEL", ADOPTED]);
            shop.ask(&["built", "set", "MODEL", "floor", "cut"]);
        }
        shop
    }

    fn path(&self, name: &str) -> String {
        self.0.path().join(name).to_str().unwrap().to_owned()
    }

    /// What a command prints, with the file that it writes; the folder's own name left out.
    fn ask(&self, words: &[&str]) -> String {
        let typed = words.iter().map(|word| match *word {
            "MODEL" => self.path("bay.ron"),
            word => word.replace("OUT", &self.path("out")),
        });
        let typed: Vec<String> = typed.collect();
        let typed: Vec<&str> = typed.iter().map(String::as_str).collect();
        let (out, err, status) = run(&typed);
        assert_eq!(err, "", "{words:?}");
        assert!(status < 2, "{words:?}");
        let written = match words.contains(&"OUT.svg") {
            true => fs::read_to_string(self.path("out.svg")).unwrap(),
            false => String::new(),
        };
        let folder = format!("{}/", self.0.path().display());
        steady(&(out + &written)).replace(&folder, "")
    }
}

#[test]
fn a_question_is_of_the_plan_as_the_file_states_it() {
    let (plan, recorded) = (Shop::new(false), Shop::new(true));
    for words in QUESTIONS {
        assert_eq!(recorded.ask(words), plan.ask(words), "{words:?}");
    }
}

#[test]
fn what_is_built_counts_the_adopted_deviation_in() {
    let (plan, recorded) = (Shop::new(false), Shop::new(true));
    // half an inch less of the floor and of the bay: all that is read of lengths differs
    for command in ["locate", "fit", "stack", "blanks", "mass"] {
        let words = [command, "MODEL"];
        let built = [command, "MODEL", "--as-built"];
        assert_ne!(recorded.ask(&built), plan.ask(&words), "{command}");
    }
}

#[test]
fn a_change_is_tried_beside_the_plan_with_what_was_adopted_and_says_so() {
    let (plan, recorded) = (Shop::new(false), Shop::new(true));
    for words in TRIALS {
        let told = recorded.ask(words).replace('\n', " ");
        let named = format!("lan with adopted {ADOPTED}");
        assert!(told.contains(&named), "{words:?}: {told}");
        let bare = plan.ask(words);
        assert!(!bare.contains("adopted"), "{words:?}: {bare}");
    }
}

#[test]
fn the_book_tells_the_plan_but_for_its_deviations() {
    let book = |shop: &Shop| {
        shop.ask(&["book", "MODEL"]);
        let html = fs::read_to_string(shop.path("bay.book.html")).unwrap();
        let chapters = html.split("<section id=\"chapter-");
        chapters.map(steady).collect::<Vec<_>>()
    };
    let (plan, recorded) = (book(&Shop::new(false)), book(&Shop::new(true)));
    assert_eq!(plan.len(), recorded.len());
    for (plan, recorded) in plan.iter().zip(&recorded) {
        if recorded.contains("<h2>Deviations</h2>") {
            assert!(recorded.contains("Tried beside the plan with adopted shorter bay"));
        } else {
            assert_eq!(plan, recorded);
        }
    }
}

/// Every command of the program is asked above, or has nothing to ask of a model's record.
#[test]
fn no_command_is_left_out() {
    let asked = QUESTIONS.iter().chain(TRIALS);
    let asked: Vec<&str> = asked.filter_map(|words| words.first().copied()).collect();
    let help = plain(&run(&["--help"]).0);
    let listed = help.split("Commands:").nth(1).unwrap();
    let names = listed.lines().filter_map(|line| {
        let rest = line.strip_prefix("  ")?;
        rest.split_whitespace()
            .next()
            .filter(|_| !rest.starts_with(' '))
    });
    let names: Vec<&str> = names.filter(|name| !name.starts_with('-')).collect();
    assert!(names.len() > 15, "{help}");
    for name in names {
        let apart = ["page", "book", "built", "new", "help"];
        assert!(asked.contains(&name) || apart.contains(&name), "{name}");
    }
}
