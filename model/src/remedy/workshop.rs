//! What a workshop can set. In: a range of millimetres or radians. Out: the figures in it that can be marked on metal or made up of sheet,
//! and the text of each.

use crate::quantity::format::{self, Style};
use crate::quantity::{Angle, Length, Unit};
use crate::trade::gauges::IN_USE;

/// Packing is made up of so many layers at most, as of so many washers under a bolt: common practice, no source.
const LAYERS: usize = 3;
/// Two thicknesses nearer than this are one, in millimetres: sheet is no truer.
const SAME_MM: f64 = 0.02;
/// A quarter of a degree.
const QUARTER_DEGREE: f64 = std::f64::consts::PI / 720.0;
/// Figures of one range are at most so many.
const MOST: usize = 4000;

/// How something is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Scale {
    /// By a rule: to 1/64 in, or to half a millimetre.
    Rule,
    /// By layers of sheet: a thickness.
    Layers,
    /// By a protractor, to a quarter of a degree: an angle in radians.
    Protractor,
}

/// The figures within a range that can be set.
pub(super) fn figures(scale: Scale, unit: Unit, range: [f64; 2]) -> Vec<f64> {
    let [least, most] = range;
    match scale {
        Scale::Rule | Scale::Protractor => {
            let step = match scale {
                Scale::Protractor => QUARTER_DEGREE,
                _ => rule(unit),
            };
            marks([least, most], step)
        }
        Scale::Layers => thicknesses()
            .into_iter()
            .filter(|thickness| (least..=most).contains(thickness))
            .collect(),
    }
}

/// The marks of a scale within a range: multiples of a step, at most some thousands.
pub fn marks([least, most]: [f64; 2], step: f64) -> Vec<f64> {
    let first = (least / step).ceil();
    let count = ((most - first * step) / step).floor();
    let count = if count.is_finite() && count >= 0.0 {
        (count as usize + 1).min(MOST)
    } else {
        0
    };
    (0..count).map(|at| (first + at as f64) * step).collect()
}

/// The finest mark of a rule, in millimetres.
fn rule(unit: Unit) -> f64 {
    match unit {
        Unit::Inch | Unit::Foot => 25.4 / 64.0,
        _ => 0.5,
    }
}

/// How often the step of a scale has to be halved before a figure is a mark: of a whole inch, a millimetre, a degree. The less, the
/// rounder. Sheets are as they are.
pub(super) fn fineness(scale: Scale, unit: Unit, value: f64) -> u32 {
    /// Sixty-fourths.
    const FINEST: u32 = 6;
    let whole = match (scale, unit) {
        (Scale::Layers, _) => return 0,
        (Scale::Protractor, _) => std::f64::consts::PI / 180.0,
        (Scale::Rule, Unit::Inch | Unit::Foot) => 25.4,
        (Scale::Rule, _) => 1.0,
    };
    let is_mark = |halved: &u32| {
        let steps = value / whole * f64::from(1_u32 << halved);
        (steps - steps.round()).abs() < 1e-6
    };
    (0..FINEST).find(is_mark).unwrap_or(FINEST)
}

/// Thicknesses that layers of sheet come to, in millimetres; of nearly equal ones that of fewest layers.
fn thicknesses() -> Vec<f64> {
    let mut all: Vec<f64> = Vec::new();
    let mut last: Vec<f64> = vec![0.0];
    for _ in 0..LAYERS {
        let mut next: Vec<f64> = Vec::new();
        for below in &last {
            for gauge in IN_USE {
                let thickness = below + gauge * 25.4;
                let known = |other: &f64| (other - thickness).abs() < SAME_MM;
                if !all.iter().any(known) {
                    all.push(thickness);
                    next.push(thickness);
                }
            }
        }
        last = next;
    }
    all
}

/// The layers that a thickness is made up of, in inches, the fewest; nothing when there are none.
pub(super) fn layers(mm: f64) -> Vec<f64> {
    fn made_of(mm: f64, most: usize, up_to: f64) -> Option<Vec<f64>> {
        if mm.abs() < SAME_MM {
            return Some(Vec::new());
        }
        if most == 0 || mm < 0.0 {
            return None;
        }
        let thin = IN_USE.iter().rev().filter(|gauge| **gauge <= up_to);
        thin.copied().find_map(|gauge| {
            let mut rest = made_of(mm - gauge * 25.4, most - 1, gauge)?;
            rest.insert(0, gauge);
            Some(rest)
        })
    }
    let thickest = IN_USE[IN_USE.len() - 1];
    (1..=LAYERS)
        .find_map(|most| made_of(mm, most, thickest))
        .unwrap_or_default()
}

/// A figure as the model's text has it: of millimetres or radians.
pub(super) fn text(scale: Scale, unit: Unit, value: f64) -> String {
    match scale {
        Scale::Rule => format::length(Length::from_mm(value), unit, Style::Short),
        Scale::Layers => format::length(Length::from_mm(value), unit, Style::Decimal),
        Scale::Protractor => format::angle(Angle::from_rad(value)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rule_has_marks_at_sixty_fourths() {
        let list = figures(Scale::Rule, Unit::Inch, [25.0, 26.2]);
        let inches: Vec<f64> = list.iter().map(|mm| mm / 25.4 * 64.0).collect();
        // 63/64 lies at 25.003 mm, 1 2/64 at 26.194 mm
        assert_eq!(
            inches
                .iter()
                .map(|mark| mark.round() as i64)
                .collect::<Vec<_>>(),
            [63, 64, 65, 66]
        );
        assert!(inches.iter().all(|mark| (mark - mark.round()).abs() < 1e-9));
    }

    #[test]
    fn whole_inches_are_rounder_than_quarters() {
        let of = |inches: f64| fineness(Scale::Rule, Unit::Inch, inches * 25.4);
        assert_eq!([21.0, 21.5, 21.75, 0.0].map(of), [0, 1, 2, 0]);
        assert_eq!([1.0 / 32.0, 21.0 + 51.0 / 64.0].map(of), [5, 6]);
        assert_eq!(fineness(Scale::Rule, Unit::Millimetre, 12.5), 1);
        let degrees = |degrees: f64| fineness(Scale::Protractor, Unit::Inch, degrees.to_radians());
        assert_eq!([3.0, 3.25].map(degrees), [0, 2]);
    }

    #[test]
    fn packing_is_made_of_the_fewest_layers() {
        assert_eq!(layers(0.063 * 25.4), [0.063]);
        // 0.157 is no gauge, and of two: 0.125 + 0.032
        assert_eq!(layers(0.157 * 25.4), [0.125, 0.032]);
        assert!(layers(50.0).is_empty());
        for thickness in thicknesses() {
            let sum: f64 = layers(thickness).iter().sum();
            assert!(
                (sum * 25.4 - thickness).abs() < 2.0 * SAME_MM,
                "{thickness}"
            );
        }
    }

    #[test]
    fn a_figure_is_read_back_as_it_was() {
        use crate::quantity::Kind;
        for (scale, kind, mm) in [
            (Scale::Rule, Kind::Length, 25.4 * 23.515625),
            (Scale::Layers, Kind::Length, 0.157 * 25.4),
            (Scale::Protractor, Kind::Angle, 49.0 * QUARTER_DEGREE),
        ] {
            let text = text(scale, Unit::Inch, mm);
            let read = crate::quantity::parse(&text).map(|tree| {
                crate::quantity::evaluate_as(kind, &tree, &|_| None, Unit::Inch)
                    .map(|affine| affine.value)
            });
            let read = read.ok().and_then(Result::ok).unwrap_or(f64::NAN);
            assert!((read - mm).abs() < 1e-9, "{text}: {read}");
        }
    }
}
