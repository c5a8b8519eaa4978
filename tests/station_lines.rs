//! Stations and tolerances against FAA handbooks. The mark beside each value says how it is known.

use crate::model_text;
use crate::model_text::{assembled, document, place, solved};
use strongback_model::fit::FitVerdict;

const INCH: f64 = 25.4;

/// FAA-H-8083-31, ch. 1, "Location Numbering Systems" (read): frame station 137 lies 137 in aft of the zero, if the zero is the nose.
/// Points at WL 100, FS 93 and WL 101, FS 276 (read, a figure's caption in an encyclopedia) lie 183.003 in apart (computed).
#[test]
fn stations() {
    let model = document(
        "Inch",
        r#"parts: {
            "frame": Plate(lies: Across, thickness: "0.032 in", width: "30 in", height: "20 in", at: (bl: 0, wl: 0)),
            "one": Custom(points: {"p": (fs: 0)}, at: (fs: 93, bl: 0, wl: 100)),
            "two": Custom(points: {"p": (fs: 0)}, at: (fs: 276, bl: 0, wl: 101)),
        },
        relations: { "s": Spaced(from: "datum.station", to: "frame.fwd", by: 137) },"#,
    );
    let layout = model_text::layout(&model);
    assert!((place(&layout, "frame", "fwd")[0] - 137.0 * INCH).abs() < 1e-6);
    let [a, b] = ["one", "two"].map(|part| place(&layout, part, "p"));
    let square: f64 = a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum();
    assert!((square.sqrt() / INCH - 183.003).abs() < 0.001);
}

/// FAA general handbook, drawings (read): 0.225 +0.0025 -0.0005 is anything from 0.2245 to 0.2275, 0.0030 in all.
#[test]
fn a_tolerance_to_two_sides() {
    let fit = |apart: &str| {
        let model = document(
            "Inch",
            &format!(
                r#"parts: {{
                    "a": Plate(lies: Across, thickness: "0.032 in", width: "3 in", height: "2 in", at: (fs: 0, bl: 0, wl: 0)),
                    "b": Plate(lies: Across, thickness: "0.032 in", width: "3 in", height: "2 in", at: (bl: 0, wl: 0)),
                }},
                relations: {{ "s": Spaced(from: "a.aft", to: "b.fwd", by: "{apart}") }},
                must_fit: {{ "gap": Between(from: "a.aft", to: "b.fwd", at_least: "0.225 in - 0.0005 in", at_most: "0.225 in + 0.0025 in") }},"#
            ),
        );
        let assembly = assembled(&model);
        solved(&assembly).fits().into_iter().next().unwrap()
    };
    let limits = fit("0.225 in");
    let measured = limits.worst().unwrap();
    let [least, most] = [measured.least, measured.most].map(|limit| limit.unwrap() / INCH);
    assert!((least - 0.2245).abs() < 1e-6 && (most - 0.2275).abs() < 1e-6);
    assert!((most - least - 0.0030).abs() < 1e-6);
    for (apart, verdict) in [
        ("0.2245 in", FitVerdict::Fits),
        ("0.2275 in", FitVerdict::Fits),
        ("0.2244 in", FitVerdict::Misses),
        ("0.2276 in", FitVerdict::Misses),
    ] {
        assert_eq!(fit(apart).verdict, verdict, "{apart}");
    }
}
