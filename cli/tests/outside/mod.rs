//! Checks by programs of others, which may not be there.

use std::io::Write;

/// Tells the one who runs the tests, whether they pass or not.
pub(crate) fn tell(what: &str) {
    let _ = writeln!(std::io::stderr(), "{what}");
}

/// A check that can't be made: it is told, and where `STRONGBACK_OUTSIDE=required` it fails.
pub(crate) fn not_checked(why: &str) {
    let required = std::env::var_os("STRONGBACK_OUTSIDE").is_some_and(|it| it == "required");
    assert!(!required, "{why}");
    tell(&format!("NOT CHECKED: {why}"));
}
