//! The document that is asked of: the plan, or what is built, with deviations of the file and changes that were typed. In: what was
//! typed. Out: another document, with a name for it.

use strongback_model::document::Document;
use strongback_model::record::Record;
use strongback_model::source::{Code, Fault};

use crate::args::{Asked, Changes};
use crate::load::{Loaded, Refused};

impl Loaded {
    /// Refuses the model for faults found later than reading.
    pub fn refuse(&self, faults: Vec<Fault>) -> Refused {
        Refused {
            path: self.path.clone(),
            text: self.text.clone(),
            faults,
        }
    }

    /// The document, with deviations of the file made and readings taken where some are named.
    pub(super) fn asked(&self, asked: &Asked) -> Result<Document, Refused> {
        let changes = Changes {
            take: asked.take.clone(),
            ..Changes::default()
        };
        let with = asked.with.as_deref();
        if !asked.as_built {
            return Ok(self.changed(with, &changes)?.document);
        }
        let built = self.clone().taken_as(true)?;
        Ok(built.changed(with, &changes)?.document)
    }

    /// The document with deviations of the file, joined by `+`, and changes that were typed.
    pub(super) fn changed(
        &self,
        deviation: Option<&str>,
        changes: &Changes,
    ) -> Result<Changed, Refused> {
        let mut document = self.document.clone();
        let mut told = Vec::new();
        let refuse = |fault: Fault| self.refuse(vec![fault]);
        let names: Vec<&str> = match deviation {
            None => Vec::new(),
            Some(whole) if self.document.deviations.get(whole).is_some() => vec![whole],
            Some(several) => several.split('+').map(str::trim).collect(),
        };
        let mut decided: Vec<(String, &str)> = Vec::new();
        for name in &names {
            if let Some(deviation) = self.document.deviations.get(name) {
                let own = deviation.changes.iter();
                for what in own.filter_map(|change| change.kind().sets(&self.document)) {
                    if let Some((_, other)) = decided
                        .iter()
                        .find(|(known, by)| *known == what && by != name)
                    {
                        return Err(refuse(two_decide(&what, [other, name])));
                    }
                    decided.push((what, name));
                }
            }
            if let Some(record) = &self.record {
                not_adopted(record, name).map_err(refuse)?;
            }
            document = document.with_deviation(name).map_err(refuse)?;
            if let Some(deviation) = self.document.deviations.get(name) {
                told.extend(deviation.changes.iter().map(|change| change.kind().told()));
            }
        }
        let typed = typed_changes(changes).map_err(refuse)?;
        document = document.with_changes(&typed).map_err(refuse)?;
        let own: Vec<String> = typed.iter().map(|change| change.kind().told()).collect();
        let name = names
            .iter()
            .map(|name| (*name).to_owned())
            .chain(own.iter().cloned())
            .collect::<Vec<_>>()
            .join(" + ");
        told.extend(own);
        Ok(Changed {
            document,
            name,
            changes: told,
        })
    }
}

fn two_decide(what: &str, [one, other]: [&str; 2]) -> Fault {
    let message = format!("`{one}` and `{other}` both decide on `{what}`");
    Fault::error(Code::Twice, message)
        .help("try them one after the other, or say with --set what it is to be")
}

/// Finds fault with a deviation that is part of what is built already.
fn not_adopted(record: &Record, name: &str) -> Result<(), Fault> {
    match record.adopted.get(name) {
        None => Ok(()),
        Some(adopted) => Err(Fault::error(
            Code::BadChange,
            format!(
                "`{name}` was adopted on {}: it is part of what it would be tried beside",
                adopted.on.value
            ),
        )
        .help("leave it out")),
    }
}

/// A document with changes made.
pub(super) struct Changed {
    pub(super) document: Document,
    /// The deviations, and the changes typed, in one line.
    pub(super) name: String,
    /// Each change in a few words.
    pub(super) changes: Vec<String>,
}

fn typed_changes(changes: &Changes) -> Result<Vec<strongback_model::change::Change>, Fault> {
    use strongback_model::change::Change;
    let mut list = Vec::new();
    once("set", &changes.set)?;
    once("read", &changes.take)?;
    once("set apart", &changes.apart)?;
    for typed in &changes.set {
        list.push(Change::set_typed(typed)?);
    }
    list.extend(changes.reverse.iter().map(|part| Change::reverse(part)));
    for typed in &changes.take {
        list.push(Change::take_typed(typed)?);
    }
    for typed in &changes.apart {
        list.push(Change::apart_typed(typed)?);
    }
    Ok(list)
}

/// Finds fault with a name that gets two things: the second would silently be the one that counts.
pub(super) fn once(done: &str, typed: &[String]) -> Result<(), Fault> {
    let mut names: Vec<&str> = Vec::new();
    for typed in typed {
        let name = typed
            .rsplit_once('=')
            .map_or(typed.as_str(), |(name, _)| name)
            .trim();
        if names.contains(&name) {
            let message = format!("`{name}` is {done} twice");
            return Err(Fault::error(Code::Twice, message)
                .help("say one thing of it; to compare two, try them one after the other"));
        }
        names.push(name);
    }
    Ok(())
}
