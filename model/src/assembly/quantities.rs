//! Named quantities and figures as variables of the system, each with a label that tells what it is.
//!
//! Every figure becomes a given variable, so that a chain of derivatives can name each of its legs.

use std::collections::{BTreeMap, HashMap};
use std::ops::Range;

use indexmap::IndexMap;
use strongback_solver::{Affine, Measure, System, Var};

use crate::document::Trust;
use crate::part::Role;
use crate::quantity::{self, BareUnit, Kind, Named, Unit};
use crate::relation::listed;
use crate::source::{Code, Fault, Given, Text};

/// Where a figure comes from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Origin {
    /// Its place in the file.
    pub span: Range<usize>,
    /// The sheet it stands on.
    pub sheet: Option<String>,
    /// Its tolerance: millimetres, or radians for an angle.
    pub within: Option<(f64, Kind)>,
    /// How far it is to be trusted.
    pub trust: Trust,
    /// Why.
    pub because: Option<String>,
    /// What it is a figure of.
    pub figure: Figure,
}

/// What a figure is one of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Figure {
    /// A named dimension.
    Dimension,
    /// A size of a part.
    Size(Role),
    /// A stated position or turn.
    #[default]
    Place,
    /// A relation.
    Relation,
    /// A must-fit: what is demanded.
    Demand,
    /// A size or a place of metal that is made.
    Made,
}

/// What a variable is.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Label {
    /// The dimension, the part or the statement.
    pub text: String,
    /// The size of the part or the figure of the statement; may be empty.
    pub detail: String,
    /// Where it comes from.
    pub origin: Origin,
}

impl Label {
    /// The label in one go: `seat frame thickness`, `bay`.
    pub fn told(&self) -> String {
        if self.detail.is_empty() {
            self.text.clone()
        } else {
            format!("{} {}", self.text, self.detail)
        }
    }
}

/// A quantity once it is understood.
#[derive(Clone, Debug)]
pub struct Resolved {
    /// Its affine form over the system's variables.
    pub form: Affine,
    /// Its value in millimetres, radians or as a number; the drawn one, when it is to be found.
    pub value: f64,
    /// Whether it is to be found, or rests on something that is.
    pub find: bool,
}

#[derive(Clone, Debug)]
struct Entry {
    kind: Kind,
    resolved: Resolved,
}

/// Value, constant, and terms (named quantity and coefficient) of a quantity that is written out.
type Written = (f64, f64, Vec<(usize, f64)>);

/// All named quantities, and the labels of all variables.
#[derive(Clone, Debug)]
pub struct Quantities {
    unit: Unit,
    names: IndexMap<String, Entry>,
    labels: BTreeMap<Var, Label>,
    /// Of a figure that is added to others in an expression: all of it.
    wholes: HashMap<Var, Affine>,
}

impl Quantities {
    pub(crate) fn new(unit: Unit) -> Self {
        Self {
            unit,
            names: IndexMap::new(),
            labels: BTreeMap::new(),
            wholes: HashMap::new(),
        }
    }

    /// The form of a named quantity.
    pub fn named(&self, name: &str) -> Option<Affine> {
        self.names
            .get(name)
            .map(|entry| entry.resolved.form.clone())
    }

    /// A named quantity.
    pub(crate) fn resolved(&self, name: &str) -> Option<&Resolved> {
        self.names.get(name).map(|entry| &entry.resolved)
    }

    /// The value of a quantity that stands for itself and becomes no variable, such as a tolerance.
    pub(crate) fn value(&self, given: &Given, kind: Kind) -> Result<f64, Fault> {
        self.resolve_text(given, kind).map(|(value, ..)| value)
    }

    /// The value of a quantity that has to be given, and can't rest on anything that is to be found.
    pub(crate) fn fixed(&self, given: &Given, kind: Kind) -> Result<f64, Fault> {
        let (value, _, terms) = self.resolve_text(given, kind)?;
        let found = |id: usize| {
            self.names
                .get_index(id)
                .is_some_and(|(_, entry)| entry.resolved.find)
        };
        if terms.iter().any(|(id, _)| found(*id)) {
            return Err(Fault::error(
                Code::BadQuantity,
                "this figure has to be given, and rests on one that is to be found",
            )
            .at(given.span(), ""));
        }
        Ok(value)
    }

    /// A figure as a form over what is named, without a variable of its own.
    pub(crate) fn plain_form(&self, given: &Given, kind: Kind) -> Result<Affine, Fault> {
        let (_, constant, terms) = self.resolve_text(given, kind)?;
        let mut form = Affine::constant(constant);
        for (id, coefficient) in &terms {
            if let Some((_, entry)) = self.names.get_index(*id) {
                form = form.plus(&entry.resolved.form.clone().times(*coefficient));
            }
        }
        Ok(form)
    }

    /// The kind of a figure that may be a length or an angle: what its expression comes to, and a length if that
    /// can't be told.
    pub(crate) fn kind_of(&self, given: &Given) -> Kind {
        match given {
            Given::Number(_) | Given::Find { near: None, .. } => Kind::Length,
            Given::Find {
                near: Some(near), ..
            } => self.kind_of(near),
            Given::Text(text) => {
                let bare = BareUnit {
                    unit: self.unit,
                    alone: Kind::Length,
                };
                let kind = quantity::parse(&text.value)
                    .and_then(|tree| quantity::evaluate(&tree, &|name| self.look_up(name), bare))
                    .map(|affine| affine.kind);
                match kind {
                    Ok(Kind::Angle) => Kind::Angle,
                    Ok(Kind::Length | Kind::Number) | Err(_) => Kind::Length,
                }
            }
        }
    }

    /// The kind of a named quantity.
    pub(crate) fn kind(&self, name: &str) -> Option<Kind> {
        self.names.get(name).map(|entry| entry.kind)
    }

    /// A named quantity as an expression uses it.
    fn look_up(&self, name: &str) -> Option<Named> {
        let (id, _, entry) = self.names.get_full(name)?;
        Some(Named {
            id,
            kind: entry.kind,
            value: Some(entry.resolved.value),
            find: entry.resolved.find,
        })
    }

    /// All names.
    pub fn names(&self) -> impl Iterator<Item = &str> + Clone {
        self.names.keys().map(String::as_str)
    }

    /// What a variable is, if it has a label.
    pub fn label(&self, var: Var) -> Option<&Label> {
        self.labels.get(&var)
    }

    /// The figure that a variable stands for: of `bay - 1/8 in` all of it, and not the eighth alone.
    pub(crate) fn whole(&self, var: Var) -> Affine {
        let whole = self.wholes.get(&var);
        whole.cloned().unwrap_or_else(|| Affine::var(var))
    }

    /// All variables with their labels, in order.
    pub(crate) fn labels(&self) -> impl Iterator<Item = (Var, &Label)> {
        self.labels.iter().map(|(var, label)| (*var, label))
    }

    /// Enters a quantity under a name.
    pub(crate) fn define(&mut self, name: String, kind: Kind, resolved: Resolved) {
        self.names.insert(name, Entry { kind, resolved });
    }

    /// A variable to be found.
    pub(crate) fn unknown(
        &mut self,
        system: &mut System,
        start: f64,
        kind: Kind,
        label: Label,
    ) -> Var {
        let var = system.unknown(start, measure(kind));
        self.labels.insert(var, label);
        var
    }

    fn given(&mut self, system: &mut System, value: f64, kind: Kind, label: Label) -> Var {
        let var = system.given(value, measure(kind));
        self.labels.insert(var, label);
        var
    }

    /// Understands a quantity and makes the variables it needs.
    pub(crate) fn resolve(
        &mut self,
        system: &mut System,
        given: &Given,
        kind: Kind,
        label: Label,
    ) -> Result<Resolved, Fault> {
        match given {
            Given::Find { near, .. } => {
                let start = match near {
                    None => 0.0,
                    Some(near) => self.resolve_text(near, kind)?.0,
                };
                Ok(Resolved {
                    form: Affine::var(self.unknown(system, start, kind, label)),
                    value: start,
                    find: true,
                })
            }
            _ => {
                let (value, constant, terms) = self.resolve_text(given, kind)?;
                let mut form = Affine::default();
                let mut find = false;
                for (id, coefficient) in &terms {
                    if let Some((_, entry)) = self.names.get_index(*id) {
                        form = form.plus(&entry.resolved.form.clone().times(*coefficient));
                        find |= entry.resolved.find;
                    }
                }
                // a figure that follows from others and has a tolerance of its own is off by itself
                let off_by_itself = label.origin.within.is_some_and(|(_, own)| own == kind);
                if constant != 0.0 || terms.is_empty() || off_by_itself {
                    let own = self.given(system, constant, kind, label);
                    form = form.plus(&Affine::var(own));
                    if !terms.is_empty() {
                        self.wholes.insert(own, form.clone());
                    }
                }
                Ok(Resolved { form, value, find })
            }
        }
    }

    /// Value, constant and terms of a quantity that is written out.
    fn resolve_text(&self, given: &Given, kind: Kind) -> Result<Written, Fault> {
        match given {
            Given::Number(number) => {
                let unit = match kind {
                    Kind::Length => self.unit.mm(),
                    Kind::Angle => std::f64::consts::PI / 180.0,
                    Kind::Number => 1.0,
                };
                let value = number.value * unit;
                within_reason(value, kind, number.span.clone())?;
                Ok((value, value, Vec::new()))
            }
            Given::Text(text) => {
                let affine = quantity::parse(&text.value)
                    .and_then(|tree| {
                        quantity::evaluate_as(kind, &tree, &|name| self.look_up(name), self.unit)
                    })
                    .map_err(|fault| self.fault(text, &fault))?;
                within_reason(affine.value, kind, text.span.clone())?;
                Ok((affine.value, affine.constant, affine.terms))
            }
            Given::Find { span, .. } => Err(Fault::error(
                Code::BadQuantity,
                "a figure is wanted here, not `Find`",
            )
            .at(span.clone(), "")),
        }
    }

    /// A fault inside of a quoted quantity, at its place in the file.
    pub(crate) fn fault(&self, text: &Text, fault: &quantity::ExpressionFault) -> Fault {
        let fault = fault.clone().with_nearest(self.names());
        // the text stands in quotes: one byte on each side; with escapes in it the whole is marked
        let quoted = text.span.len() == text.value.len() + 2;
        let span = if quoted {
            let start = text.span.start + 1;
            start + fault.span.start..start + fault.span.end
        } else {
            text.span.clone()
        };
        // what was typed stands in no file: it is quoted, since no place can be shown
        let message = if text.span.is_empty() {
            format!("in \"{}\": {fault}", text.value)
        } else {
            fault.to_string()
        };
        let stated = self.stated_behind(text, &fault.kind);
        let told = stated.into_iter().fold(
            Fault::error(Code::BadQuantity, message).at(span, ""),
            |told, (name, place)| told.also(place, format!("`{name}` is stated here")),
        );
        told.help_if(
            quantity::mixed_number_meant(&text.value)
                .map(|meant| format!("for the mixed number write `{meant}`"))
                .or_else(|| fault.help())
                .or_else(|| self.names_there_are(&fault.kind)),
        )
    }

    /// Where the dimensions of a text are stated, when something of another kind is wanted: one of them may be at fault.
    fn stated_behind(
        &self,
        text: &Text,
        kind: &quantity::FaultKind,
    ) -> Vec<(String, Range<usize>)> {
        use quantity::FaultKind::{KindsDiffer, WrongKind};
        let of_kinds = matches!(kind, WrongKind { .. } | KindsDiffer { .. });
        let Some(tree) = quantity::parse(&text.value).ok().filter(|_| of_kinds) else {
            return Vec::new();
        };
        let place = |name: &str| {
            let entry = self.names.get(name)?;
            let mut labels = entry.resolved.form.vars().filter_map(|var| self.label(var));
            let own = labels
                .find(|label| label.text == name && label.origin.figure == Figure::Dimension)?;
            Some((name.to_owned(), own.origin.span.clone()))
        };
        let names = quantity::names(&tree);
        names
            .into_iter()
            .filter_map(|(name, _)| place(name))
            .collect()
    }

    /// What may be called by name, when something unknown was and nothing is like it.
    fn names_there_are(&self, kind: &quantity::FaultKind) -> Option<String> {
        let quantity::FaultKind::UnknownName { name, .. } = kind else {
            return None;
        };
        // a size written as one speaks of it, with a blank for the point
        let with_point = name
            .rmatch_indices(' ')
            .map(|(at, _)| format!("{}.{}", &name[..at], &name[at + 1..]))
            .find(|name| self.names.contains_key(name));
        if let Some(size) = with_point {
            return Some(format!("did you mean `{}`?", quantity::name_text(&size)));
        }
        let dimensions: Vec<&str> = self.names().filter(|name| !name.contains('.')).collect();
        let sizes = "a size goes by PART.SIZE";
        if dimensions.is_empty() {
            return Some(sizes.to_owned());
        }
        let shown = listed(&dimensions);
        Some(format!("dimensions so far: {shown}; {sizes}"))
    }
}

fn measure(kind: Kind) -> Measure {
    match kind {
        Kind::Length | Kind::Number => Measure::Length,
        Kind::Angle => Measure::Angle,
    }
}

/// The largest length a model may hold: a kilometre. What is longer has a slip in its unit.
pub(crate) const LONGEST_MM: f64 = 1e6;

fn within_reason(value: f64, kind: Kind, span: Range<usize>) -> Result<(), Fault> {
    if !value.is_finite() {
        return Err(Fault::error(Code::NotFinite, "this is no finite number").at(span, ""));
    }
    if kind == Kind::Length && value.abs() > LONGEST_MM {
        return Err(
            Fault::error(Code::BadSize, "this is longer than a kilometre")
                .at(span, "")
                .help("look at the unit"),
        );
    }
    Ok(())
}
