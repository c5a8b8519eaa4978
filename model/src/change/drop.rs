//! A part or a statement left out.

use serde::Deserialize;

use super::{ChangeKind, cannot, not_one_hand};
use crate::document::Document;
use crate::source::{Code, Fault, Text, nearest};

/// A part or a statement is left out.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Drop(pub Text);

impl ChangeKind for Drop {
    fn says(&self) -> &'static str {
        "A relation, a must-fit or a part is left out. With a relation go the must-fits and statements of order that are about it; with a part go the must-fits, measurements, relations and statements of order that \
         name it; a bolted joint that only went through it stays, and its parts touch directly. A name that is both a \
         part's and a statement's means the part."
    }

    fn make(&self, document: &mut Document) -> Result<(), Fault> {
        not_one_hand(document, &self.0, &self.0.value)?;
        let name = self.0.value.clone();
        if document.parts.get(&name).is_some() {
            drop_part(document, &name);
            return Ok(());
        }
        if document.drop_relation(&name) || document.must_fit.remove(&name).is_some() {
            return Ok(());
        }
        let names = document
            .parts
            .names()
            .chain(document.relations.names())
            .chain(document.must_fit.names());
        let near = nearest(&name, names).map(|near| format!("the nearest is `{near}`"));
        let fault = cannot(&self.0, format!("there is no part or statement `{name}`"));
        Err(Fault {
            code: Code::UnknownName,
            ..fault
        }
        .help_if(near))
    }

    fn told(&self) -> String {
        format!("{} left out", self.0.value)
    }
}

fn drop_part(document: &mut Document, part: &str) {
    document.parts.remove(part);
    document.forget_made(part);
    let hands = [" L", " R"].map(|hand| format!("{part}{hand}"));
    let gone: Vec<String> = hands
        .into_iter()
        .filter(|name| document.parts.get(name).is_none())
        .chain([part.to_owned()])
        .collect();
    for other in document.parts.values_mut() {
        let cut_for = other.kind_mut().common_mut().cut_for;
        cut_for.retain(|text| !gone.contains(&text.value));
    }
    let named = |text: &Text| {
        let rest = text.value.strip_prefix(part);
        rest.is_some_and(|rest| {
            rest.is_empty()
                || rest.starts_with('.')
                || [" L", " R"]
                    .iter()
                    .any(|side| rest == *side || rest.starts_with(&format!("{side}.")))
        })
    };
    let mut gone = Vec::new();
    let names: Vec<String> = document.relations.names().map(str::to_owned).collect();
    for name in names {
        if let Some(stated) = document.relations.get_mut(&name) {
            let relation = stated.is.kind_mut();
            while relation.leave_out(part) {}
            if relation.names().iter().any(|text| named(text)) {
                gone.push(name);
            }
        }
    }
    for name in gone {
        document.drop_relation(&name);
    }
    crate::order::forget(document, Some(part), None);
    let names: Vec<String> = document.must_fit.names().map(str::to_owned).collect();
    for name in names {
        let names_it = document
            .must_fit
            .get_mut(&name)
            .is_some_and(|stated| stated.is.names().iter().any(|text| named(text)));
        if names_it {
            document.must_fit.remove(&name);
        }
    }
    let names: Vec<String> = document.measurements.names().map(str::to_owned).collect();
    for name in names {
        let names_it = document
            .measurements
            .get_mut(&name)
            .is_some_and(|measurement| measurement.names().iter().any(|text| named(text)));
        if names_it {
            document.measurements.remove(&name);
        }
    }
}
