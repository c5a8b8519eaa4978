//! Measurements that say too little, or what nobody can measure.

use super::{SOUND, model_refused};

/// A measurement under this name, put into the sound model.
fn measurement(is: &str) -> String {
    format!(r#"measurements: {{ "tape": ({is}) }}, deviations: {{"#)
}

#[test]
fn measurements_that_nobody_can_mean() {
    let across = r#"from: "firewall.aft", to: "frame.web_fwd""#;
    let figures = r#"is: "11 in", uncertainty: "1/32 in""#;
    let cases = [
        (
            "face of a measurement",
            format!(r#"from: "firewall.aft", to: "frame.web_fdw", {figures}"#),
        ),
        ("no uncertainty", format!(r#"{across}, is: "11 in""#)),
        (
            "uncertainty of nothing",
            format!(r#"{across}, is: "11 in", uncertainty: 0"#),
        ),
        (
            "angle for a distance",
            format!(r#"{across}, is: "11 deg", uncertainty: "1/32 in""#),
        ),
        (
            "uncertainty of another kind",
            format!(r#"{across}, is: "11 in", uncertainty: "1 deg""#),
        ),
        ("length for an angle", format!(r#"size: "lean", {figures}"#)),
        (
            "a tape below nought",
            format!(r#"{across}, is: "-11 in", uncertainty: "1/32 in""#),
        ),
        (
            "told by the plan",
            format!(r#"{across}, is: "bay + 1/8 in", uncertainty: "1/32 in""#),
        ),
        (
            "found",
            format!(r#"{across}, is: Find, uncertainty: "1/32 in""#),
        ),
        ("nothing measured", figures.to_owned()),
        ("one end", format!(r#"from: "firewall.aft", {figures}"#)),
        (
            "a distance and a size",
            format!(r#"{across}, size: "bay", {figures}"#),
        ),
        (
            "a size to a side",
            format!(r#"size: "bay", toward: Aft, {figures}"#),
        ),
        (
            "faces square to each other",
            format!(r#"from: "firewall.aft", to: "frame.top", {figures}"#),
        ),
        (
            "from a thing to itself",
            format!(r#"from: "rail R.top", to: "rail R.top", {figures}"#),
        ),
        ("field", format!(r#"{across}, {figures}, by: "tape""#)),
        (
            "size that is none",
            format!(r#"size: "rail R.lenght", {figures}"#),
        ),
        (
            "one of two, not said which",
            format!(r#"from: "firewall.aft", to: "rail.aft_end", {figures}"#),
        ),
        (
            "a size of one of two",
            format!(r#"size: "rail.length", {figures}"#),
        ),
        (
            "no day of the calendar",
            format!(r#"{across}, {figures}, on: "2026-02-30""#),
        ),
        (
            "a day in words",
            format!(r#"{across}, {figures}, on: "last Tuesday""#),
        ),
    ];
    let all: String = cases
        .iter()
        .map(|(what, is)| {
            let to = measurement(is);
            let message = model_refused(&SOUND.replacen("deviations: {", &to, 1));
            assert!(
                message.contains("model.ron:") && message.contains('^'),
                "{what}: {message}"
            );
            format!("## {what}: {is}\n{}\n\n", message.trim_end())
        })
        .collect();
    insta::assert_snapshot!(all);
}
