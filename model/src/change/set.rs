//! Another figure for a dimension, a size, a position or a turn.

use serde::Deserialize;

use super::{ChangeKind, cannot, not_one_hand};
use crate::document::Document;
use crate::source::{Code, Fault, Given, Text, nearest};
use crate::words::Axis;

/// A named quantity gets another figure.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Set(pub Text, pub Given);

impl ChangeKind for Set {
    fn says(&self) -> &'static str {
        "A dimension, a size (`PART.SIZE`), a stated coordinate (`PART.fs`, `.bl`, `.wl`) or a turn (`PART.pitch`) \
         gets another figure, or `Find`."
    }

    fn make(&self, document: &mut Document) -> Result<(), Fault> {
        set(document, &self.0, &self.1)
    }

    fn told(&self) -> String {
        let figure = match &self.1 {
            Given::Text(text) => text.value.clone(),
            Given::Number(number) => number.value.to_string(),
            Given::Find { .. } => "found".to_owned(),
        };
        format!("{} = {figure}", self.0.value)
    }
}

/// Gives a named quantity another figure.
///
/// # Errors
/// No quantity of that name.
pub fn set(document: &mut Document, name: &Text, to: &Given) -> Result<(), Fault> {
    if let Some(dimension) = document.dimensions.get_mut(&name.value) {
        dimension.is = to.clone();
        return Ok(());
    }
    let split = crate::relation::split_name(|part| document.parts.get(part).is_some(), &name.value)
        .map(|(part, size)| (part.to_owned(), size.to_owned()));
    let Some((part_name, size)) = split else {
        if let Some((part, _)) = name.value.rsplit_once('.') {
            not_one_hand(document, name, part)?;
        }
        return Err(unknown(document, name));
    };
    let Some(part) = document.parts.get_mut(&part_name) else {
        return Err(unknown(document, name));
    };
    let part = part.kind_mut();
    let mut found = false;
    part.visit_sizes(&mut |own, _, given| {
        if own == size {
            *given = to.clone();
            found = true;
        }
    });
    let common = part.common_mut();
    for axis in Axis::ALL {
        if axis.short() == size {
            *common.at.along_mut(axis) = Some(to.clone());
            found = true;
        }
    }
    if let Some(slot) = common.turn.named_mut(&size) {
        *slot = Some(to.clone());
        found = true;
    }
    if found {
        Ok(())
    } else {
        Err(unknown(document, name))
    }
}

fn unknown(document: &Document, name: &Text) -> Fault {
    let mut names: Vec<String> = document.dimensions.names().map(str::to_owned).collect();
    for entry in document.parts.iter() {
        let mut copy = entry.value.clone();
        copy.kind_mut()
            .visit_sizes(&mut |size, _, _| names.push(format!("{}.{size}", entry.name.value)));
    }
    let near = nearest(&name.value, names.iter().map(String::as_str)).map(str::to_owned);
    let fault = cannot(
        name,
        format!("there is no dimension or size `{}`", name.value),
    );
    Fault {
        code: Code::UnknownName,
        ..fault
    }
    .help_if(near.map(|near| format!("the nearest is `{near}`")))
}
