//! Properties that hold for every text and every tree: reading never panics, what is printed reads back, and values and derivatives agree
//! with plain arithmetic on the same tree, which this file does for itself.
#![allow(clippy::unwrap_used, clippy::panic)]

use proptest::prelude::*;

use super::format::{self, Style};
use super::{BareUnit, Kind, Length, Named, Unit, evaluate, evaluate_as, parse};

/// A length expression over `x0`, `x1`, `x2` (lengths) and `n` (a number).
#[derive(Debug, Clone)]
enum Tree {
    Mm(f64),
    Inches(u32, u32),
    X(usize),
    Negative(Box<Tree>),
    Add(Box<Tree>, Box<Tree>),
    Subtract(Box<Tree>, Box<Tree>),
    Times(Box<Tree>, f64),
    TimesN(Box<Tree>),
    DividedBy(Box<Tree>, f64),
    TimesRatio(Box<Tree>, Box<Tree>),
}

impl Tree {
    fn text(&self) -> String {
        match self {
            Self::Mm(mm) => format!("{mm} mm"),
            Self::Inches(whole, part) => format!("{whole} {part}/64 in"),
            Self::X(i) => format!("x{i}"),
            Self::Negative(a) => format!("-({})", a.text()),
            Self::Add(a, b) => format!("{} + {}", a.text(), b.text()),
            Self::Subtract(a, b) => format!("{} - ({})", a.text(), b.text()),
            Self::Times(a, k) => format!("{k} * ({})", a.text()),
            Self::TimesN(a) => format!("({}) * n", a.text()),
            Self::DividedBy(a, k) => format!("({}) / {k}", a.text()),
            Self::TimesRatio(a, b) => format!("({}) * ({})/(x2 + 10 mm)", a.text(), b.text()),
        }
    }

    /// In mm, with values of x0, x1, x2 and n.
    fn value(&self, at: &[f64; 4]) -> f64 {
        match self {
            Self::Mm(mm) => *mm,
            Self::Inches(whole, part) => (f64::from(*whole) + f64::from(*part) / 64.0) * 25.4,
            Self::X(i) => at[*i],
            Self::Negative(a) => -a.value(at),
            Self::Add(a, b) => a.value(at) + b.value(at),
            Self::Subtract(a, b) => a.value(at) - b.value(at),
            Self::Times(a, k) => k * a.value(at),
            Self::TimesN(a) => a.value(at) * at[3],
            Self::DividedBy(a, k) => a.value(at) / k,
            Self::TimesRatio(a, b) => a.value(at) * b.value(at) / (at[2] + 10.0),
        }
    }

    /// The largest size that arises on the way, as a measure for rounding.
    fn scale(&self, at: &[f64; 4]) -> f64 {
        let inner = match self {
            Self::Mm(_) | Self::Inches(..) | Self::X(_) => 1.0,
            Self::Negative(a) | Self::Times(a, _) | Self::TimesN(a) | Self::DividedBy(a, _) => {
                a.scale(at) * 5.0
            }
            Self::Add(a, b) | Self::Subtract(a, b) => a.scale(at) + b.scale(at),
            Self::TimesRatio(a, b) => a.scale(at) * b.scale(at),
        };
        inner.max(self.value(at).abs()).max(1.0)
    }
}

fn tree() -> impl Strategy<Value = Tree> {
    let leaf = prop_oneof![
        (-1e3..1e3f64)
            .prop_filter("no minus as first sign of a term", |mm| *mm >= 0.0)
            .prop_map(Tree::Mm),
        (0..60u32, 1..64u32).prop_map(|(whole, part)| Tree::Inches(whole, part)),
        (0..3usize).prop_map(Tree::X),
    ];
    leaf.prop_recursive(4, 24, 2, |inner| {
        let one = || inner.clone().prop_map(Box::new);
        prop_oneof![
            one().prop_map(Tree::Negative),
            (one(), one()).prop_map(|(a, b)| Tree::Add(a, b)),
            (one(), one()).prop_map(|(a, b)| Tree::Subtract(a, b)),
            (one(), 0.1..5.0f64).prop_map(|(a, k)| Tree::Times(a, k)),
            one().prop_map(Tree::TimesN),
            (one(), 0.2..5.0f64).prop_map(|(a, k)| Tree::DividedBy(a, k)),
            (one(), one()).prop_map(|(a, b)| Tree::TimesRatio(a, b)),
        ]
    })
}

fn lookup(at: [f64; 4], found: Option<usize>) -> impl Fn(&str) -> Option<Named> {
    move |name| {
        let id = ["x0", "x1", "x2", "n"]
            .iter()
            .position(|known| *known == name)?;
        let kind = if id == 3 { Kind::Number } else { Kind::Length };
        Some(Named {
            id,
            kind,
            value: Some(at[id]),
            find: found == Some(id),
        })
    }
}

fn read_mm(text: &str, unit: Unit) -> f64 {
    let expression = parse(text).unwrap_or_else(|fault| panic!("{text}: {fault}"));
    evaluate_as(Kind::Length, &expression, &|_| None, unit)
        .unwrap()
        .value
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_text_panics(text in any::<String>()) {
        check_any_text(&text)?;
    }

    #[test]
    fn no_text_of_likely_pieces_panics(pieces in prop::collection::vec(
        prop::sample::select(vec![
            "1", "23", "0", "1/2", "5/8", "/", "*", "+", "-", "(", ")", "[", "]", " ", " ", ".", "'", "\"", "in", "ft", "mm", "deg",
            "°", "bay", "x.length", "½", "−", "×", "é", "e\u{301}", "\u{a0}", "9999999999", ",", "_", "″", "’",
        ]),
        0..160,
    )) {
        check_any_text(&pieces.concat())?;
    }

    #[test]
    fn sixty_fourths_read_back(count in -100_000i64..100_000, unit in prop::sample::select(vec![Unit::Inch, Unit::Foot])) {
        let length = Length::from_inches(count as f64 / 64.0);
        for style in [Style::Long, Style::Short] {
            let text = format::length(length, unit, style);
            // Read in a file in mm: what is printed carries its own unit throughout.
            prop_assert!((read_mm(&text, Unit::Millimetre) - length.mm()).abs() < 1e-9, "{}", text);
            prop_assert!(!text.contains("64 in +") && !text.contains('.'), "{}", text);
        }
    }

    #[test]
    fn any_length_reads_back_to_what_is_shown(
        mm in -5e4..5e4f64,
        unit in prop::sample::select(vec![Unit::Inch, Unit::Foot, Unit::Millimetre, Unit::Centimetre, Unit::Metre]),
        style in prop::sample::select(vec![Style::Long, Style::Short, Style::Decimal]),
    ) {
        let step = if matches!(unit, Unit::Inch | Unit::Foot) { 1e-4 * 25.4 } else { 1e-3 };
        // a half is rounded up although a way through another unit took something off it
        let lost = 1e-9 + 2e-12 * mm.abs();
        for text in [format::length(Length::from_mm(mm), unit, style), format::shift(Length::from_mm(mm), unit, style)] {
            prop_assert!((read_mm(&text, Unit::Metre) - mm).abs() <= 0.5 * step + lost, "{}", text);
        }
        let figure = format::figure(Length::from_mm(mm), unit, style, format::Sign::MinusOnly);
        prop_assert!((read_mm(&figure, unit) - mm).abs() <= 0.5 * step + lost, "{}", figure);
    }

    #[test]
    fn values_and_derivatives_agree_with_plain_arithmetic(
        tree in tree(), x0 in -300.0..300.0f64, x1 in -300.0..300.0f64, x2 in 50.0..300.0f64, n in 1.0..6.0f64,
    ) {
        let at = [x0, x1, x2, n];
        let text = tree.text();
        let expression = parse(&text).unwrap_or_else(|fault| panic!("{text}: {fault}"));
        let affine = evaluate(&expression, &lookup(at, None), BareUnit::length(Unit::Inch)).unwrap();
        let scale = tree.scale(&at);
        prop_assert!((affine.value - tree.value(&at)).abs() <= 1e-12 * scale, "{}", text);
        prop_assert!((affine.at(|id| at[id]) - affine.value).abs() <= 1e-11 * scale, "{}", text);
        for id in 0..4 {
            let stated = affine.terms.iter().find(|term| term.0 == id).map_or(0.0, |term| term.1);
            let step = 1e-3;
            let (mut above, mut below) = (at, at);
            above[id] += step;
            below[id] -= step;
            let difference = (tree.value(&above) - tree.value(&below)) / (2.0 * step);
            prop_assert!((stated - difference).abs() <= 1e-5 * scale.max(stated.abs()), "d/d{id} of {}: {} {}", text, stated, difference);
        }
    }

    #[test]
    fn a_form_over_a_value_to_be_found_is_exact_for_each(
        tree in tree(), x0 in -300.0..300.0f64, x1 in -300.0..300.0f64, x2 in 50.0..300.0f64, n in 1.0..6.0f64, moved in -300.0..300.0f64,
    ) {
        let at = [x0, x1, x2, n];
        let expression = parse(&tree.text()).unwrap();
        if let Ok(affine) = evaluate(&expression, &lookup(at, Some(0)), BareUnit::length(Unit::Inch)) {
            let elsewhere = [moved, x1, x2, n];
            let scale = tree.scale(&at).max(tree.scale(&elsewhere));
            prop_assert!((affine.at(|id| elsewhere[id]) - tree.value(&elsewhere)).abs() <= 1e-10 * scale, "{}", tree.text());
        }
    }
}

/// Reads and evaluates; a fault has its place on the borders of characters, and a sentence.
fn check_any_text(text: &str) -> Result<(), TestCaseError> {
    let named = |_: &str| {
        Some(Named {
            id: 0,
            kind: Kind::Length,
            value: Some(1.0),
            find: false,
        })
    };
    let outcome = parse(text).and_then(|expression| {
        assert!(text.get(expression.span()).is_some(), "{text:?}");
        evaluate(&expression, &named, BareUnit::length(Unit::Inch))
    });
    if let Err(fault) = outcome {
        prop_assert!(
            text.get(fault.span.clone()).is_some(),
            "{:?}: {:?}",
            text,
            fault
        );
        prop_assert!(!fault.to_string().is_empty() && fault.help() != Some(String::new()));
    }
    Ok(())
}
