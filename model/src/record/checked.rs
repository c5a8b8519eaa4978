//! The record held against the plan. In: the record, the plan with the deviations adopted. Out: every name that there is not, with
//! the nearest one that there is, and every figure and day that can't be, at their places in the record.

use std::collections::BTreeMap;

use super::{Adopted, MadePart, Note, Record, Stage};
use crate::assembly::{LONGEST_MM, Quantities, expand, visit_holes};
use crate::document::Document;
use crate::measurement::is_day;
use crate::part::{Part, Role};
use crate::quantity::Kind;
use crate::relation::{first_name, unknown};
use crate::source::{Code, Entry, Fault, Given, Spanned, Text};

/// What a size of a part is for, by the size's name.
pub(super) type RolesByName = BTreeMap<String, Role>;

/// The parts of the plan and of what was made of it, each under its own name, those of now before those of the plan alone.
pub(super) struct Known<'d> {
    parts: BTreeMap<String, &'d Part>,
}

impl<'d> Known<'d> {
    pub(super) fn of(plan: &'d Document, now: &'d Document) -> Self {
        let mut parts = BTreeMap::new();
        for one in expand(plan).into_iter().chain(expand(now)) {
            parts.insert(one.name, one.part);
        }
        Self { parts }
    }

    /// The part of a name.
    ///
    /// # Errors
    /// There is none, or there are two, with what would be right.
    fn part(&self, name: &Text) -> Result<&'d Part, Fault> {
        if let Some(part) = self.parts.get(&name.value) {
            return Ok(part);
        }
        let [left, right] = [" L", " R"].map(|hand| format!("{}{hand}", name.value));
        let names = self.parts.keys().map(String::as_str);
        let fault = unknown("part", name, &name.value, names);
        Err(if self.parts.contains_key(&left) {
            Fault {
                message: format!("`{}` is there on both sides", name.value),
                ..fault
            }
            .help(format!("name the one that is meant: `{left}` or `{right}`"))
        } else {
            fault
        })
    }
}

/// A part as it was bent: where the plan has its flange, back or caps on the other side by now, they are where they were.
pub(super) fn as_bent(part: &Part, made: &MadePart) -> Part {
    let mut turned = part.clone();
    if !is_so(part, made) && turned.kind_mut().reverse() && is_so(&turned, made) {
        turned
    } else {
        part.clone()
    }
}

/// Whether a part is chosen as it was when it was cut.
fn is_so(part: &Part, made: &MadePart) -> bool {
    let now = part.kind().choices();
    made.choices.iter().all(|choice| {
        now.iter()
            .any(|(name, is)| *name == choice.name.value && *is == choice.value.value)
    })
}

/// The fault of a part that the plan has otherwise by now, and that can't be turned round to what was made.
fn another(name: &Text, part: &Part, made: &MadePart) -> Option<Fault> {
    (!is_so(part, made)).then(|| {
        let list = |pairs: Vec<(String, String)>| {
            let pairs = pairs.into_iter();
            let told: Vec<String> = pairs.map(|(name, is)| format!("{name} {is}")).collect();
            told.join(", ")
        };
        let was = made.choices.iter();
        let was = was.map(|choice| (choice.name.value.clone(), choice.value.value.clone()));
        let is = part.kind().choices().into_iter();
        let is = is.map(|(name, is)| (name.to_owned(), is));
        Fault::error(
            Code::BadValue,
            format!(
                "`{}` was made with {}, and the model has it with {}",
                name.value,
                list(was.collect()),
                list(is.collect())
            ),
        )
        .at(name.span.clone(), "")
        .help("if it is to be made anew, set it back to `NotStarted`")
    })
}

/// The sizes that a part states, its holes' included, with what each is for.
pub(super) fn roles(part: &Part) -> RolesByName {
    let mut roles = BTreeMap::new();
    let mut copy = part.clone();
    let mut note = |name: String, role: Role, _: &mut Given| {
        roles.insert(name, role);
    };
    copy.kind_mut().visit_sizes(&mut note);
    visit_holes(&mut copy, &mut note);
    roles
}

/// Whether a size that stands for an angle is meant.
pub(super) fn kind_of(role: Role) -> Kind {
    match role {
        Role::Angle | Role::Bend => Kind::Angle,
        Role::Gauge | Role::Extent | Role::Radius | Role::Coordinate => Kind::Length,
    }
}

/// Every fault of a record beside a plan, but for those of its measurements; `now` is the plan with what was adopted.
pub(super) fn faults(record: &Record, plan: &Document, now: &Document) -> Vec<Fault> {
    let mut faults = head(record, plan);
    let known = Known::of(plan, now);
    let figures = Quantities::new(record.unit.value);
    for entry in &record.parts {
        faults.extend(of_part(&figures, &known, entry));
    }
    for entry in &record.adopted {
        faults.extend(of_adopted(plan, entry));
    }
    for note in &record.notes {
        faults.extend(of_note(&known, note));
    }
    for entry in &record.measurements {
        if plan.measurements.get(&entry.name.value).is_some() {
            faults.push(
                Fault::error(
                    Code::Twice,
                    format!("the model has a measurement `{}` too", entry.name.value),
                )
                .at(entry.name.span.clone(), "")
                .help("give this one another name"),
            );
        }
    }
    faults
}

/// The faults of a part on record: its name, its day, its sizes, and where it is fitted.
fn of_part(figures: &Quantities, known: &Known<'_>, entry: &Entry<MadePart>) -> Vec<Fault> {
    let made = &entry.value;
    let mut faults: Vec<Fault> = day(&made.since).into_iter().collect();
    match known.part(&entry.name) {
        Err(fault) => faults.push(gone(fault, &|| {
            format!(
                "give the entry the name that it has in the model now, or take it out: built set MODEL \"{}\" NotStarted",
                entry.name.value
            )
        })),
        Ok(part) => {
            let part = as_bent(part, made);
            faults.extend(another(&entry.name, &part, made));
            let roles = roles(&part);
            for size in &made.sizes {
                faults.extend(of_size(figures, &entry.name, &roles, size).err());
            }
            for size in &made.made_to {
                faults.extend(of_kept(&entry.name, &roles, size).err());
            }
        }
    }
    if made.stage < Stage::Cut
        && let Some(size) = made.sizes.iter().next()
    {
        faults.push(
            Fault::error(
                Code::BadValue,
                "a part that is not cut yet has no sizes as made",
            )
            .at(size.name.span.clone(), "")
            .help("set it to `Cut` first"),
        );
    }
    let mut numbers = made.fitted.iter().flat_map(super::Fitted::numbers);
    if numbers.any(|number| !within_reason(number)) {
        faults.push(
            Fault::error(
                Code::BadValue,
                format!("`{}` can't be fitted there", entry.name.value),
            )
            .at(entry.name.span.clone(), "")
            .help("see its `fitted`: within a kilometre, in millimetres and degrees"),
        );
    }
    faults
}

/// The faults of a deviation on record: its day and its name.
fn of_adopted(plan: &Document, entry: &Entry<Adopted>) -> Vec<Fault> {
    let mut faults: Vec<Fault> = day(&entry.value.on).into_iter().collect();
    if plan.deviations.get(&entry.name.value).is_none() {
        let names = plan.deviations.names();
        let fault = unknown("deviation", &entry.name, &entry.name.value, names);
        faults.push(gone(fault, &|| {
            format!(
                "give the entry the name that it has in the model now, or take it out: built adopt MODEL \"{}\" --withdraw",
                entry.name.value
            )
        }));
    }
    faults
}

/// The faults of a note: its day, the part that it is about, its hours.
fn of_note(known: &Known<'_>, note: &Note) -> Vec<Fault> {
    let mut faults: Vec<Fault> = day(&note.on).into_iter().collect();
    let unknown = note.part.iter();
    let unknown = unknown.filter_map(|part| Some((part, known.part(part).err()?)));
    faults.extend(unknown.map(|(part, fault)| {
        gone(fault, &|| {
            format!(
                "write here what it is called in the model now, or make it a note on the whole: built set MODEL \"{}\" NotStarted",
                part.value
            )
        })
    }));
    let spent = note.hours.as_ref();
    if let Some(hours) = spent.filter(|hours| !(0.0..=LONGEST_HOURS).contains(&hours.value)) {
        // past a million in powers of ten
        let told = if hours.value.abs() < 1e6 {
            hours.value.to_string()
        } else {
            format!("{:e}", hours.value)
        };
        faults.push(
            Fault::error(
                Code::BadValue,
                format!("{told} hours are not put in at once"),
            )
            .at(hours.span.clone(), "")
            .help(format!("from 0 to {LONGEST_HOURS}")),
        );
    }
    faults
}

/// What the record names and the model has no more: how to go on, if it stands in a file and was not just typed.
fn gone(fault: Fault, way_out: &dyn Fn() -> String) -> Fault {
    if fault.span().is_none() {
        return fault;
    }
    let help = match &fault.help {
        Some(nearest) => format!("{nearest}; if it is gone: {}", way_out()),
        None => way_out(),
    };
    fault.help(help)
}

/// More hours than a person works in a year: what is more has a slip in it.
const LONGEST_HOURS: f64 = 5000.0;

/// The faults of the record's head.
fn head(record: &Record, plan: &Document) -> Vec<Fault> {
    let mut faults = Vec::new();
    if record.format.value != 1 {
        faults.push(
            Fault::error(
                Code::BadValue,
                format!(
                    "this program reads records of format 1; the file says {}",
                    record.format.value
                ),
            )
            .at(record.format.span.clone(), "")
            .help("write `format: 1`"),
        );
    }
    let (here, there) = (record.unit.value, plan.unit);
    if here != there {
        faults.push(
            Fault::error(
                Code::BadValue,
                format!(
                    "bare numbers of the record are in {here:?}, those of the model in {there:?}"
                ),
            )
            .at(record.unit.span.clone(), "")
            .help(format!(
                "see that each figure of the record has its unit, then write `unit: {there:?}`"
            )),
        );
    }
    faults
}

/// The fault of a text that is no day.
fn day(text: &Text) -> Option<Fault> {
    (!is_day(&text.value)).then(|| {
        Fault::error(Code::BadValue, format!("`{}` is no day", text.value))
            .at(text.span.clone(), "")
            .help("write year, month and day, as in `2026-10-03`")
    })
}

/// What a size of a part is for.
///
/// # Errors
/// The part states no such size, with the nearest one that it states.
fn role(part: &Text, roles: &RolesByName, size: &Text) -> Result<Role, Fault> {
    roles.get(&size.value).copied().ok_or_else(|| {
        let names = roles.keys().map(String::as_str);
        let what = format!("size of `{}` called", part.value);
        unknown(&what, size, &size.value, names)
    })
}

/// Whether a figure is a number, and as a length no longer than a kilometre.
fn within_reason(figure: f64) -> bool {
    figure.abs() <= LONGEST_MM
}

/// Finds fault with a size that was kept when the part was made and that can't be one.
fn of_kept(part: &Text, roles: &RolesByName, size: &Entry<Spanned<f64>>) -> Result<(), Fault> {
    let role = role(part, roles, &size.name)?;
    let figure = size.value.value;
    let metal = figure > 0.0 || !matches!(role, Role::Extent | Role::Gauge);
    if within_reason(figure) && metal {
        return Ok(());
    }
    Err(Fault::error(
        Code::BadSize,
        format!("{figure} is no size that metal can have"),
    )
    .at(size.value.span.clone(), "")
    .help("leave it out: the plan's counts then"))
}

/// Finds fault with a size as made that can't be one.
fn of_size(
    figures: &Quantities,
    part: &Text,
    roles: &RolesByName,
    size: &Entry<Given>,
) -> Result<(), Fault> {
    let role = role(part, roles, &size.name)?;
    let given = &size.value;
    if let Some(name) = first_name(given) {
        return Err(Fault::error(
            Code::BadQuantity,
            format!("a size as made stands by itself, and can't be told by `{name}`"),
        )
        .at(given.span(), "")
        .help("write the figure that was read"));
    }
    let value = figures.value(given, kind_of(role))?;
    if value <= 0.0 && matches!(role, Role::Extent | Role::Gauge) {
        return Err(
            Fault::error(Code::BadSize, "a size as made is greater than zero")
                .at(given.span(), "")
                .help("write the figure that was read"),
        );
    }
    Ok(())
}
