//! What of the record counts where something is asked of a model: decided here and nowhere else. In: a model, and whether what is built
//! is asked. Out: the document that is asked of, with a name for it.
//!
//! Without `--as-built` a question is of the plan as the file states it: nothing of the record counts. With it the question is of what is
//! built: the deviations adopted, parts as made, fitted ones where they are. Only a change that is tried beside the plan has the adopted
//! deviations beside it, since parts are made to them: what is told of it names them.

use strongback_model::record::Built;

use super::RecordFile;
use crate::load::{Loaded, Refused};

/// What is asked of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Basis {
    /// The plan as the file states it.
    Plan,
    /// The plan with deviations that were adopted.
    WithAdopted(Vec<String>),
    /// What is built.
    AsBuilt,
}

impl Basis {
    /// Within a sentence: `the plan`, `the plan with adopted shorter bay`.
    pub(crate) fn told(&self) -> String {
        match self {
            Basis::Plan => "the plan".to_owned(),
            Basis::WithAdopted(names) => format!("the plan with adopted {}", names.join(", ")),
            Basis::AsBuilt => "what is built".to_owned(),
        }
    }

    /// Ahead of what is told of it: `Plan`, `Plan with adopted shorter bay`.
    pub(crate) fn head(&self) -> String {
        match self {
            Basis::Plan => "Plan".to_owned(),
            Basis::WithAdopted(names) => format!("Plan with adopted {}", names.join(", ")),
            Basis::AsBuilt => "As built".to_owned(),
        }
    }
}

impl Loaded {
    /// What a question is asked of: the plan as the file states it, or what is built.
    pub(crate) fn taken_as(self, built: bool) -> Result<Loaded, Refused> {
        if !built {
            return Ok(self);
        }
        let file = RecordFile::beside(&self.file);
        let kept = file.needed()?;
        let built = Built::of(&self.document, &kept.record)
            .map_err(|trouble| file.trouble(&self, &kept.text, trouble))?;
        Ok(Loaded {
            document: built.document.clone(),
            basis: Basis::AsBuilt,
            record: Some(kept.record),
            built: Some(built),
            ..self
        })
    }

    /// What a change is tried beside: what is built; or, where there is a record, the plan with the deviations that were adopted.
    pub(crate) fn tried_beside(self, built: bool) -> Result<Loaded, Refused> {
        let file = RecordFile::beside(&self.file);
        let kept = match file.read()? {
            Some(kept) if !built => kept,
            _ => return self.taken_as(built),
        };
        let made = Built::of(&self.document, &kept.record)
            .map_err(|trouble| file.trouble(&self, &kept.text, trouble))?;
        let adopted = kept.record.adopted.iter();
        let adopted: Vec<String> = adopted
            .map(|entry| entry.name.value.clone())
            .filter(|name| self.document.deviations.get(name).is_some())
            .collect();
        Ok(Loaded {
            document: made.adopted.clone(),
            basis: match adopted.is_empty() {
                true => Basis::Plan,
                false => Basis::WithAdopted(adopted),
            },
            record: Some(kept.record),
            built: Some(made),
            ..self
        })
    }
}
