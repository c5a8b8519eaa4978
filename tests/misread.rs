//! A measurement on record that proves misread later: it is taken back by itself, and what was entered since stays.

use crate::built::begun;

#[test]
fn a_misread_measurement_is_taken_back() {
    let shop = begun();
    let with = |name: &'static str, rest: &[&'static str]| {
        [&["built", "measure", "MODEL", name], rest].concat()
    };
    let read = |name, is| {
        let size = ["--size", "stiffener.length", "--uncertainty", "1/32 in"];
        with(name, &[&size[..], &["--is", is]].concat())
    };
    shop.well(&read("misread", "25 in"));
    shop.well(&read("again", "19 3/8 in"));
    let told = shop.refused(&read("misread", "19 3/8 in"));
    assert!(told.contains("\"misread\" --withdraw"), "{told}");
    let told = shop.refused(&with("misred", &["--withdraw"]));
    assert!(told.contains("`misread`"), "{told}");
    let told = shop.well(&with("misread", &["--withdraw"]));
    assert!(
        told.contains("`misread` does not count any more."),
        "{told}"
    );
    let record = shop.well(&["built", "show", "MODEL"]);
    assert!(
        record.contains("again") && !record.contains("misread"),
        "{record}"
    );
    // a figure is asked for where nothing is taken back, and refused where something is
    assert!(shop.refused(&with("third", &[])).contains("--is"));
    let both = with("again", &["--withdraw", "--is", "1 in"]);
    assert!(shop.refused(&both).contains("cannot be used with"));
}
