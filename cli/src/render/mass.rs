//! `mass` as text: each part with its arm and its moment; with a deviation, what it changes.

use strongback_model::mass::{MassFrom, Masses, PartMass, Total, WhyUncounted};
use strongback_model::quantity::Unit;
use strongback_model::trade::alloys::DENSITIES;

use super::figures;
use super::table::{Stands, table, wrapped};
use crate::command::{CAUTION, ESTIMATE, MassAnswer};

/// Kilograms in a pound, exact (NIST SP 811, appendix B).
const POUND_KG: f64 = 0.453_592_37;

/// The whole answer.
pub fn text(answer: &MassAnswer, width: usize) -> String {
    let unit = answer.unit;
    let mut text = wrapped(
        &head("The modelled parts weigh", &answer.plan.total, unit),
        width,
        2,
    );
    if let Some(datum) = &answer.datum {
        text.push_str(&wrapped(
            &format!("Stations count aft from {datum}."),
            width,
            0,
        ));
    }
    text.push('\n');
    match &answer.changed {
        None if answer.plan.parts.is_empty() => {}
        None => text.push_str(&parts(&answer.plan, unit, width)),
        Some(changed) => {
            let told = head(
                &format!("With {} they weigh", changed.deviation),
                &changed.masses.total,
                unit,
            );
            text.push_str(&wrapped(&told, width, 2));
            text.push('\n');
            text.push_str(&differences(&answer.plan, &changed.masses, unit, width));
        }
    }
    let counted = answer
        .changed
        .as_ref()
        .map_or(&answer.plan, |changed| &changed.masses);
    text.push_str(&uncounted(counted, width));
    let densities = format!(
        "Densities: {} ({}).",
        DENSITIES.name,
        DENSITIES.known.words()
    );
    text.push_str(&wrapped(&densities, width, 2));
    text.push_str(&wrapped(ESTIMATE, width, 0));
    text.push_str(&wrapped(CAUTION, width, 0));
    text
}

fn head(begins: &str, total: &Total, unit: Unit) -> String {
    match total.station_mm {
        None => "No part can be weighed.".to_owned(),
        Some(station) => format!(
            "{begins} {} {}, with their middle at station {}.",
            mass(total.kg, unit),
            mass_unit(unit),
            figures::length(station, unit)
        ),
    }
}

fn parts(masses: &Masses, unit: Unit, width: usize) -> String {
    let rows = masses.parts.iter().map(|part| row(part, unit));
    let total = vec![
        "together".to_owned(),
        String::new(),
        String::new(),
        mass(masses.total.kg, unit),
        masses
            .total
            .station_mm
            .map(|station| arm(station, unit))
            .unwrap_or_default(),
        moment(masses.total.moment_kg_mm, unit),
    ];
    let (mass, arm, moment) = heads(unit);
    table(
        &[
            ("part", Stands::Left),
            ("alloy", Stands::Left),
            ("from", Stands::Left),
            (&mass, Stands::Right),
            (&arm, Stands::Right),
            (&moment, Stands::Right),
        ],
        rows.chain([total]),
        width,
    )
}

fn row(part: &PartMass, unit: Unit) -> Vec<String> {
    let from = match part.from {
        MassFrom::Blank => "blank",
        MassFrom::Section => "section",
        MassFrom::Drawn => "as drawn",
    };
    let loose = if part.settled { "" } else { ", loose" };
    vec![
        part.part.clone(),
        part.alloy.clone(),
        format!("{from}{loose}"),
        mass(part.kg, unit),
        arm(part.centre_mm[0], unit),
        moment(part.moment_kg_mm(), unit),
    ]
}

/// Parts that weigh otherwise, or lie elsewhere along the fuselage.
fn differences(plan: &Masses, changed: &Masses, unit: Unit, width: usize) -> String {
    /// A hundredth of a gram, and what that is at a metre: less is rounding.
    const SAME: [f64; 2] = [1e-5, 1e-2];
    let names = plan.parts.iter().map(|part| part.part.as_str());
    let new = changed.parts.iter().map(|part| part.part.as_str());
    let new = new.filter(|name| plan.part(name).is_none());
    let mut rows: Vec<Vec<String>> = names
        .chain(new)
        .filter_map(|name| {
            let of = |masses: &Masses| {
                masses
                    .part(name)
                    .map_or([0.0; 2], |part| [part.kg, part.moment_kg_mm()])
            };
            let (before, after) = (of(plan), of(changed));
            let [kg, moved] = [after[0] - before[0], after[1] - before[1]];
            (kg.abs() > SAME[0] || moved.abs() > SAME[1]).then(|| {
                vec![
                    name.to_owned(),
                    mass(before[0], unit),
                    mass(after[0], unit),
                    signed(mass(kg.abs(), unit), kg),
                    signed(moment(moved.abs(), unit), moved),
                ]
            })
        })
        .collect();
    if rows.is_empty() {
        return "Nothing weighs otherwise or lies elsewhere along the fuselage.\n\n".to_owned();
    }
    let [kg, moved] = [
        changed.total.kg - plan.total.kg,
        changed.total.moment_kg_mm - plan.total.moment_kg_mm,
    ];
    rows.push(vec![
        "together".to_owned(),
        mass(plan.total.kg, unit),
        mass(changed.total.kg, unit),
        signed(mass(kg.abs(), unit), kg),
        signed(moment(moved.abs(), unit), moved),
    ]);
    let (weight, _, moment) = heads(unit);
    table(
        &[
            ("part", Stands::Left),
            ("before", Stands::Right),
            (&format!("then, {}", mass_unit(unit)), Stands::Right),
            (&format!("more {weight}"), Stands::Right),
            (&format!("more {moment}"), Stands::Right),
        ],
        rows,
        width,
    )
}

fn uncounted(masses: &Masses, width: usize) -> String {
    let of = |why: WhyUncounted| -> Vec<&str> {
        let list = masses.uncounted.iter().filter(|part| part.why == why);
        list.map(|part| part.part.as_str()).collect()
    };
    let mut text = String::new();
    for (why, told) in [
        (
            WhyUncounted::NoAlloy,
            "Not counted, since no alloy is stated (`alloy`, of the part or once for the file)",
        ),
        (
            WhyUncounted::NoMetal,
            "Not counted, since no metal of it is drawn",
        ),
    ] {
        let names = of(why);
        if !names.is_empty() {
            text.push_str(&wrapped(
                &format!("{told}: {}.", names.join(", ")),
                width,
                2,
            ));
        }
    }
    text
}

fn is_in_pounds(unit: Unit) -> bool {
    matches!(unit, Unit::Inch | Unit::Foot)
}

fn mass_unit(unit: Unit) -> &'static str {
    if is_in_pounds(unit) { "lb" } else { "kg" }
}

/// Heads of the columns of mass, arm and moment.
fn heads(unit: Unit) -> (String, String, String) {
    let (mass, length) = (mass_unit(unit), unit.symbol());
    (
        format!("mass, {mass}"),
        format!("arm, {length}"),
        format!("moment, {mass} {length}"),
    )
}

/// A mass to a thousandth.
fn mass(kg: f64, unit: Unit) -> String {
    let figure = if is_in_pounds(unit) {
        kg / POUND_KG
    } else {
        kg
    };
    // adding zero turns a negative zero into zero
    format!("{:.3}", figure + 0.0)
}

fn arm(mm: f64, unit: Unit) -> String {
    format!("{:.2}", mm / unit.mm() + 0.0)
}

fn moment(kg_mm: f64, unit: Unit) -> String {
    let mass = if is_in_pounds(unit) {
        kg_mm / POUND_KG
    } else {
        kg_mm
    };
    format!("{:.2}", mass / unit.mm() + 0.0)
}

fn signed(figure: String, of: f64) -> String {
    let nothing = figure.chars().all(|sign| matches!(sign, '0' | '.'));
    match (nothing, of < 0.0) {
        (true, _) => figure,
        (false, true) => format!("-{figure}"),
        (false, false) => format!("+{figure}"),
    }
}
