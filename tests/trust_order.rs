//! Which statement gives way when lengths can't be met, in models small enough to see it: the least trusted one, wherever the
//! structure puts it in the order of solving, and no other.

use crate::model_text::{assembled, document, layout, place, solved};
use strongback_model::fit::FitVerdict;
use strongback_model::layout::Layout;

fn at_odds(layout: &Layout) -> Vec<&str> {
    assert!(layout.waiting.is_empty(), "{:#?}", layout.waiting);
    layout
        .at_odds
        .iter()
        .map(|odd| odd.statement.as_str())
        .collect()
}

fn point(name: &str, at: &str) -> String {
    format!(r#""{name}": Custom(points: {{"o": ()}}, at: ({at})),"#)
}

/// A strut of 36 in, taped, from the firewall to a former that a photocopy puts 40 in behind it. Beside the strut only the
/// former can yield, and it is found before the strut is looked at.
#[test]
fn a_guess_yields_to_a_measured_length_that_is_solved_after_it() {
    let found = layout(&document(
        "Inch",
        r#"parts: {
            "firewall": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (fs: 0, bl: 0, wl: 0)),
            "former": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (bl: 0, wl: 0)),
            "step": Custom(points: {"top": ()}, at: (bl: 0, wl: 20)),
            "strut": Custom(points: {"top": ()}, at: (bl: 0, wl: 20)),
        },
        relations: {
            "bay guess": (is: Spaced(from: "firewall.aft", to: "former.fwd", by: 40), trust: Doubtful, because: "photocopy"),
            "step on former": Touches("step.top", "former.fwd"),
            "strut at firewall": Touches("strut.top", "firewall.aft"),
            "strut length": (is: Spaced(from: "strut.top", to: "step.top", by: 36), trust: Measured, because: "taped"),
        },"#,
    ));
    assert_eq!(at_odds(&found), ["bay guess"]);
    let fwd = place(&found, "former", "fwd")[0] / 25.4;
    assert!((fwd - 36.032).abs() < 1e-9, "{fwd}");
    assert!((found.at_odds[0].miss / 25.4 + 4.0).abs() < 1e-9);
}

/// A rod that can't reach is given up, and takes no other statement with it, though where it misses least other derivatives
/// vanish and other rods could not be met either.
#[test]
fn what_cannot_be_met_takes_nothing_with_it() {
    let (a, q) = (
        point("a", "fs: 0, bl: 0, wl: 100"),
        point("q", "fs: 0, bl: 0"),
    );
    let p = point("p", "bl: 0, wl: 0");
    let found = layout(&document(
        "Millimetre",
        &format!(
            r#"parts: {{ {p} {q} {a} }}, relations: {{
                "m": Spaced(from: "p.o", to: "q.o", by: 50), "u": Spaced(from: "a.o", to: "p.o", by: 50),
                "v": Spaced(from: "datum.station", to: "p.o", by: 30) }}"#
        ),
    ));
    assert_eq!(at_odds(&found), ["u"]);
    // 30, 40, 50
    assert!((place(&found, "q", "o")[2].abs() - 40.0).abs() < 1e-6);

    let q = point("q", "fs: 200, bl: 0");
    let found = layout(&document(
        "Millimetre",
        &format!(
            r#"parts: {{ {p} {q} {a} }}, relations: {{
                "m": Spaced(from: "p.o", to: "q.o", by: 50), "u": Spaced(from: "a.o", to: "p.o", by: 50),
                "v": Spaced(from: "datum.station", to: "p.o", by: 200) }}"#
        ),
    ));
    assert_eq!(
        at_odds(&found),
        ["u"],
        "given up in the first round, `m` is offered again"
    );
    assert!((place(&found, "q", "o")[2].abs() - 50.0).abs() < 1e-6);

    let p = point("p", "wl: 0");
    let found = layout(&document(
        "Millimetre",
        &format!(
            r#"parts: {{ {p} {a} }}, relations: {{
                "u": Spaced(from: "a.o", to: "p.o", by: 50),
                "v": Spaced(from: "a.o", to: "p.o", by: 200), "w": Spaced(from: "datum.station", to: "p.o", by: 30) }}"#
        ),
    ));
    assert_eq!(at_odds(&found), ["u"]);
    let [fs, bl, _] = place(&found, "p", "o");
    assert!((fs - 30.0).abs() < 1e-6 && (bl.hypot(fs).hypot(100.0) - 200.0).abs() < 1e-6);
}

/// Two lengths between the same two points contradict each other, whatever is loose.
#[test]
fn a_plain_contradiction_does_not_wait() {
    let a = point("a", "fs: 0, bl: 0, wl: 100");
    let p = point("p", "fs: Find(near: 50), bl: Find(near: 100), wl: 0");
    let found = layout(&document(
        "Millimetre",
        &format!(
            r#"parts: {{ {p} {a} }}, relations: {{
                "u": Spaced(from: "a.o", to: "p.o", by: 50),
                "v": Spaced(from: "a.o", to: "p.o", by: 200) }}"#
        ),
    ));
    assert_eq!(at_odds(&found), ["u"]);
    assert!((found.at_odds[0].miss.abs() - 150.0).abs() < 1e-6);
}

/// A distance whose first derivative vanishes where things lie in line rests on what is loose all the same.
#[test]
fn a_must_fit_on_something_loose_is_open_at_a_dead_centre_too() {
    let document = document(
        "Millimetre",
        r#"parts: {
            "a": Custom(points: {"o": ()}, at: (fs: 100, bl: 0, wl: 0)),
            "q": Custom(points: {"o": ()}, planes: {"f": (looks: Aft)}, at: (wl: 0)),
        },
        relations: { "q": Spaced(from: "datum.station", to: "q.o", by: 0) },
        must_fit: { "rod": Spaced(from: "a.o", to: "q.o", by: 100) }"#,
    );
    let assembly = assembled(&document);
    assert_eq!(solved(&assembly).fits()[0].verdict, FitVerdict::Open);
}

/// A distance far beyond all that is drawn.
#[test]
fn a_long_distance_between_small_parts_is_met() {
    let found = layout(&document(
        "Millimetre",
        r#"parts: {
            "p": Plate(lies: Across, thickness: 1, width: 100, height: 100, at: (fs: 0, bl: 0, wl: 0)),
            "q": Plate(lies: Across, thickness: 1, width: 100, height: 100, at: (bl: 0, wl: 0)),
        },
        relations: { "m": Spaced(from: "p.fwd", to: "q.fwd", by: 70000) }"#,
    ));
    assert!(found.is_sound());
    assert!((place(&found, "q", "fwd")[0] - 70_000.0).abs() < 1e-6);
}

/// What was taped is trusted more than a station that stands in the file without a word.
#[test]
fn a_stated_station_yields_to_a_measured_length() {
    let frame = |name: &str, fs: f64| {
        format!(
            r#""{name}": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: (fs: {fs:?}, bl: 0, wl: 0)),"#
        )
    };
    for (trust, odd, station) in [("Measured", "g fs", 20.125), ("Plain", "tape", 20.0)] {
        let found = layout(&document(
            "Inch",
            &format!(
                r#"parts: {{ {} {} }}, relations: {{
                    "tape": (is: Spaced(from: "f.fwd", to: "g.fwd", by: "20 1/8 in"), trust: {trust}, because: "taped twice") }}"#,
                frame("f", 0.0),
                frame("g", 20.0)
            ),
        ));
        assert_eq!(at_odds(&found), [odd]);
        assert!((found.at_odds[0].miss.abs() / 25.4 - 0.125).abs() < 1e-9);
        let fwd = place(&found, "g", "fwd")[0] / 25.4;
        assert!((fwd - station).abs() < 1e-9, "{fwd}");
    }
}

/// A relation that doesn't say how far it is trusted is trusted as the figure that it names, for the reason given there; one
/// that does, isn't.
#[test]
fn a_relation_is_trusted_as_its_named_figure() {
    let frame = |name: &str, at: &str| {
        format!(
            r#""{name}": Plate(lies: Across, thickness: "0.032 in", width: 30, height: 20, at: ({at}bl: 0, wl: 0)),"#
        )
    };
    for (own, odd, reason) in [
        ("", "copied", "photocopy"),
        (r#"trust: Measured, because: "taped""#, "drawn", ""),
    ] {
        let document = document(
            "Inch",
            &format!(
                r#"dimensions: {{ "bay": (is: "20 in", trust: Doubtful, because: "photocopy") }}, parts: {{ {} {} }}, relations: {{
                    "copied": (is: Spaced(from: "f.fwd", to: "g.fwd", by: "bay"), {own}),
                    "drawn": Spaced(from: "f.fwd", to: "g.fwd", by: "21 in") }}"#,
                frame("f", "fs: 0, "),
                frame("g", "")
            ),
        );
        let assembly = assembled(&document);
        let told = solved(&assembly).contradictions();
        assert_eq!(told.len(), 1);
        assert_eq!(told[0].statement, odd);
        assert_eq!(told[0].because.as_deref().unwrap_or(""), reason);
    }
}
