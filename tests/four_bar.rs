//! A planar four-bar linkage stated as parts and relations, against Freudenstein's closed form.
//!
//! F. Freudenstein, "Approximate synthesis of four-bar linkages", Trans. ASME 77 (1955) 853-861; the example is Norton,
//! Design of Machinery, example 4-1 (named from memory; its angles recomputed from the formula, 1e-6 deg). The linkage
//! lies in the plane of station (along) and waterline (up); links turn about the buttock-line axis, where a positive
//! pitch takes up to aft, so an angle counted from aft towards up is minus the pitch.

use crate::model_text::{assembled, document, layout, neighbours, part, place, solved, started};
use strongback_model::document::Document;
use strongback_model::words::Axis;
use strongback_solver::{Equation, Measure, Root};

/// Link lengths in millimetres: crank a, coupler b, rocker c, ground d; and the crank's angle in degrees.
#[derive(Clone, Copy)]
struct Linkage {
    a: f64,
    b: f64,
    c: f64,
    d: f64,
    crank: f64,
}

/// Norton, example 4-1 (from memory): d = 100, a = 40, b = 120, c = 80 mm, crank at 40 deg.
const NORTON: Linkage = Linkage {
    a: 40.0,
    b: 120.0,
    c: 80.0,
    d: 100.0,
    crank: 40.0,
};

#[derive(Clone, Copy, PartialEq)]
enum Mode {
    Open,
    Crossed,
}

impl Linkage {
    /// Angles of coupler and rocker in degrees: th = 2 atan((-B -+ sqrt(B^2 - 4AC)) / 2A), minus for the open mode.
    fn closed_form(self, mode: Mode) -> [f64; 2] {
        let Linkage { a, b, c, d, crank } = self;
        let (sin, cos) = crank.to_radians().sin_cos();
        let (k1, k2, k3) = (
            d / a,
            d / c,
            (a * a - b * b + c * c + d * d) / (2.0 * a * c),
        );
        let (k4, k5) = (d / b, (c * c - d * d - a * a - b * b) / (2.0 * a * b));
        let root = |p: f64, q: f64, r: f64| {
            let sign = if mode == Mode::Open { -1.0 } else { 1.0 };
            let angle = 2.0 * (-q + sign * (q * q - 4.0 * p * r).sqrt()).atan2(2.0 * p);
            within_half_turn(angle.to_degrees())
        };
        let coupler = root(
            cos - k1 + k4 * cos + k5,
            -2.0 * sin,
            k1 + (k4 - 1.0) * cos + k5,
        );
        let rocker = root(
            cos - k1 - k2 * cos + k3,
            -2.0 * sin,
            k1 - (k2 + 1.0) * cos + k3,
        );
        [coupler, rocker]
    }

    /// The linkage as a file; coupler and rocker are looked for near two angles.
    fn document(self, near: [f64; 2]) -> Document {
        let Linkage { a, b, c, d, crank } = self;
        let [coupler, rocker] = near;
        document(
            "Millimetre",
            &format!(
                r#"dimensions: {{
                    "a": "{a} mm", "b": "{b} mm", "c": "{c} mm", "d": "{d} mm",
                }},
                parts: {{
                    "ground": Custom(lines: {{"crank": (along: ButtockLine), "rocker": (along: ButtockLine, at: (fs: "d"))}}, at: (fs: 0, bl: 0, wl: 0)),
                    "crank": Custom(lines: {{"pivot": (along: ButtockLine), "pin": (along: ButtockLine, at: (fs: "a"))}}, at: (bl: 0), turn: (pitch: "{} deg")),
                    "coupler": Custom(lines: {{"crank": (along: ButtockLine), "rocker": (along: ButtockLine, at: (fs: "b"))}}, at: (bl: 0), turn: (pitch: Find(near: "{} deg"))),
                    "rocker": Custom(lines: {{"pivot": (along: ButtockLine), "pin": (along: ButtockLine, at: (fs: "c"))}}, at: (bl: 0), turn: (pitch: Find(near: "{} deg"))),
                }},
                relations: {{
                    "crank on ground": InLine(["ground.crank", "crank.pivot"]),
                    "rocker on ground": InLine(["ground.rocker", "rocker.pivot"]),
                    "coupler on crank": InLine(["crank.pin", "coupler.crank"]),
                    "coupler on rocker": InLine(["rocker.pin", "coupler.rocker"]),
                }},"#,
                -crank, -coupler, -rocker
            ),
        )
    }

    /// Angles of coupler and rocker as the program finds them.
    fn found(self, near: [f64; 2]) -> [f64; 2] {
        let layout = layout(&self.document(near));
        assert!(
            layout.at_odds.is_empty() && layout.loose.is_empty(),
            "{layout:#?}"
        );
        ["coupler", "rocker"].map(|link| angle(part(&layout, link).rotation))
    }
}

/// The angle of a link's own station axis from aft towards up, read from the turned axis itself.
fn angle(rotation: [[f64; 3]; 3]) -> f64 {
    rotation[2][0].atan2(rotation[0][0]).to_degrees()
}

fn within_half_turn(degrees: f64) -> f64 {
    degrees - 360.0 * (degrees / 360.0).round()
}

fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (0..2)
        .map(|i| within_half_turn(a[i] - b[i]).abs())
        .fold(0.0, f64::max)
}

#[test]
fn the_published_angles_come_out_in_both_modes() {
    // recomputed digits; the book's, from memory, are 20.30 and 57.33, -60.98 and -98.01 deg
    let modes = [
        (Mode::Open, [20.297_883, 57.324_880], [20.30, 57.33]),
        (Mode::Crossed, [-60.977_967, -98.004_964], [-60.98, -98.01]),
    ];
    for (mode, recomputed, book) in modes {
        let near = book.map(f64::round);
        let found = NORTON.found(near);
        assert!(apart(found, NORTON.closed_form(mode)) < 1e-6, "{found:?}");
        assert!(apart(found, recomputed) < 6e-7, "{found:?}");
        assert!(apart(found, book) < 0.0055, "{found:?}");
    }
}

#[test]
fn the_drawn_angles_alone_decide_the_mode() {
    for (mode, near) in [
        (Mode::Open, [0.0, 90.0]),
        (Mode::Open, [30.0, 40.0]),
        (Mode::Crossed, [-30.0, -60.0]),
        (Mode::Crossed, [-80.0, -120.0]),
    ] {
        let found = NORTON.found(near);
        assert!(
            apart(found, NORTON.closed_form(mode)) < 1e-6,
            "near {near:?}: {found:?}"
        );
    }
}

#[test]
fn a_whole_turn_of_the_crank_agrees_with_the_closed_form() {
    // Grashof: 40 + 120 < 80 + 100, so the crank turns all round
    for mode in [Mode::Open, Mode::Crossed] {
        let mut near = NORTON.closed_form(mode);
        for crank in (40..=400).step_by(15) {
            let linkage = Linkage {
                crank: f64::from(crank),
                ..NORTON
            };
            let found = linkage.found(near);
            assert!(
                apart(found, linkage.closed_form(mode)) < 1e-6,
                "crank {crank}: {found:?}"
            );
            near = found;
        }
    }
}

#[test]
fn a_pin_moves_with_the_crank_length_as_why_says() {
    // d(pin)/da by differentiating the loop a e^(i th2) + b e^(i th3) = d + c e^(i th4) by a:
    // th4' = cos(th2 - th3) / (c sin(th3 - th4)), and the pin lies at d + c e^(i th4)
    let near = NORTON.closed_form(Mode::Open);
    let [coupler, rocker] = near.map(f64::to_radians);
    let crank = NORTON.crank.to_radians();
    let rate = (crank - coupler).cos() / (NORTON.c * (coupler - rocker).sin());
    let exact = [
        -NORTON.c * rocker.sin() * rate,
        NORTON.c * rocker.cos() * rate,
    ];

    let assembly = assembled(&NORTON.document(near));
    let solved = solved(&assembly);
    for (axis, exact) in [Axis::Station, Axis::Waterline].into_iter().zip(exact) {
        let chain = solved.why("rocker.pin", Some(axis)).unwrap();
        let leg = chain.legs.iter().find(|leg| leg.name == "a").unwrap();
        assert!(
            (leg.factor - exact).abs() < 1e-9,
            "{} for {exact}",
            leg.factor
        );
        let step = 1e-3;
        let pin = |by: f64| {
            let linkage = Linkage {
                a: NORTON.a + by,
                ..NORTON
            };
            place(&layout(&linkage.document(near)), "rocker", "pin")[axis.index()]
        };
        let difference = (pin(step) - pin(-step)) / (2.0 * step);
        assert!(
            (leg.factor - difference).abs() < 1e-6,
            "{} for {difference}",
            leg.factor
        );
        let names: Vec<&str> = chain
            .through
            .iter()
            .map(|step| step.statement.as_str())
            .collect();
        for statement in [
            "crank on ground",
            "coupler on crank",
            "coupler on rocker",
            "rocker on ground",
        ] {
            assert!(names.contains(&statement), "{names:?}");
        }
    }
}

#[test]
fn the_coupler_turns_with_each_length_as_the_loop_says() {
    // with u = th4 as the direction projected on: th3' = -(Re of the other terms) / (b sin(th4 - th3))
    let near = NORTON.closed_form(Mode::Crossed);
    let [coupler, rocker] = near.map(f64::to_radians);
    let crank = NORTON.crank.to_radians();
    let turn = NORTON.b * (rocker - coupler).sin();
    let exact = [
        ("a", -(crank - rocker).cos() / turn),
        ("b", -(coupler - rocker).cos() / turn),
        ("c", 1.0 / turn),
        ("d", rocker.cos() / turn),
    ];
    let assembly = assembled(&NORTON.document(near));
    let solved = solved(&assembly);
    let link = assembly
        .parts
        .iter()
        .find(|part| part.name == "coupler")
        .unwrap();
    let pitch = link
        .turns
        .iter()
        .find(|(name, _)| *name == "pitch")
        .unwrap()
        .1
        .clone();
    let held = Equation::Held {
        form: pitch,
        measure: Measure::Angle,
    };
    let told = solved.solution.sensitivity(&held).pop().unwrap();
    for (name, exact) in exact {
        let by = told.givens.iter().find(|(var, _)| {
            assembly
                .quantities
                .label(*var)
                .is_some_and(|label| label.told() == name)
        });
        // angles count as lengths at the reference length, and the pitch is minus the angle
        let rate = -by.unwrap().1 / assembly.system.reference_length();
        assert!((rate - exact).abs() < 1e-10, "{name}: {rate} for {exact}");
    }
}

#[test]
fn a_linkage_that_cannot_close_puts_its_last_joint_at_odds() {
    // the pins that a coupler of 300 mm joins are at most 80 mm + |A O4| = 154 mm apart, with the crank's pin A at 40 deg
    let long = Linkage { b: 300.0, ..NORTON };
    let layout = layout(&long.document([20.0, 57.0]));
    let [odd] = &layout.at_odds[..] else {
        panic!("{:#?}", layout.at_odds)
    };
    assert_eq!(odd.statement, "coupler on rocker");
    let (sin, cos) = long.crank.to_radians().sin_cos();
    let reach = long.c + (long.a * cos - long.d).hypot(long.a * sin);
    let [rocker, coupler] =
        [("rocker", "pin"), ("coupler", "rocker")].map(|(link, pin)| place(&layout, link, pin));
    let gap = (rocker[0] - coupler[0]).hypot(rocker[2] - coupler[2]);
    assert!(gap >= long.b - reach - 1e-6, "{gap} for {}", long.b - reach);
    // the joints that are stated before it hold exactly
    let [crank, ground] = [
        place(&layout, "coupler", "crank"),
        place(&layout, "rocker", "pivot"),
    ];
    assert!((crank[0] - long.a * cos).abs() < 1e-8 && (crank[2] - long.a * sin).abs() < 1e-8);
    assert!((ground[0] - long.d).abs() < 1e-8 && ground[2].abs() < 1e-8);
}

/// From either mode the solver finds the other one, and nothing else. The rockers of both are 155 deg apart: no builder is
/// told of what looks so different.
#[test]
fn the_other_mode_is_found_beside_either() {
    for (mode, other) in [(Mode::Open, Mode::Crossed), (Mode::Crossed, Mode::Open)] {
        let document = NORTON.document(NORTON.closed_form(mode).map(f64::round));
        let assembly = assembled(&document);
        let solved = solved(&assembly);
        let told = solved.solution.neighbours().found;
        let [only] = &told[..] else {
            panic!("{told:#?}")
        };
        let Root::Another(state) = &only.is else {
            panic!("{only:#?}")
        };
        let found = ["coupler", "rocker"].map(|link| {
            let link = assembly
                .parts
                .iter()
                .find(|part| part.name == link)
                .unwrap();
            angle(assembly.system.rotation_at(link.body, state))
        });
        assert!(apart(found, NORTON.closed_form(other)) < 1e-6, "{found:?}");
        assert!(neighbours(&document).others.is_empty());
    }
}

/// The same links with coupler and rocker nearly in line: crank at 40 deg and a ground of 200 mm. Both modes are told with
/// their angles, and the start as told leads from either to the other.
#[test]
fn modes_that_lie_close_are_told_and_the_start_leads_from_one_to_the_other() {
    let stretched = Linkage { d: 200.0, ..NORTON };
    for (mode, other) in [(Mode::Open, Mode::Crossed), (Mode::Crossed, Mode::Open)] {
        let document = stretched.document(stretched.closed_form(mode).map(f64::round));
        let told = neighbours(&document);
        let [only] = &told.others[..] else {
            panic!("{told:#?}")
        };
        let expected = stretched.closed_form(other);
        for (name, expected) in ["coupler pitch", "rocker pitch"].into_iter().zip(expected) {
            let figure = only
                .figures
                .iter()
                .find(|figure| figure.name == name)
                .unwrap();
            assert!(figure.angle && figure.difference.abs() < 90.0);
            assert!(
                within_half_turn(figure.other + expected).abs() < 1e-6,
                "{figure:?} for {expected}"
            );
        }
        let there = layout(&started(&document, only));
        let found = ["coupler", "rocker"].map(|link| angle(part(&there, link).rotation));
        assert!(apart(found, expected) < 1e-6, "{found:?}");
    }
}

/// Toggle, where B^2 = 4AC: coupler and rocker in line, both modes in one. The pins are |A O4| = b + c apart.
#[test]
fn a_linkage_at_toggle_is_told_as_a_dead_centre() {
    let (sin, cos) = NORTON.crank.to_radians().sin_cos();
    // (d - a cos)^2 + (a sin)^2 = (b + c)^2, for d
    let reach = NORTON.b + NORTON.c;
    let d = NORTON.a * cos + (reach * reach - (NORTON.a * sin).powi(2)).sqrt();
    let toggle = Linkage {
        d: d - 1e-9,
        ..NORTON
    };
    let told =
        neighbours(&toggle.document(toggle.closed_form(Mode::Open).map(|angle| angle + 0.5)));
    assert!(told.others.is_empty(), "{told:#?}");
    let [dead] = &told.dead_centres[..] else {
        panic!("{told:#?}")
    };
    for name in ["coupler pitch", "rocker pitch"] {
        assert!(dead.figures.iter().any(|figure| figure == name), "{dead:?}");
    }
}
