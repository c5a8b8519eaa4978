//! One reading of a statement that has several.

use serde::Deserialize;

use super::{ChangeKind, cannot};
use crate::document::Document;
use crate::source::{Code, Fault, Text, nearest};

/// A statement is understood in one of its ways.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
pub struct Take(pub Text, pub Text);

impl ChangeKind for Take {
    fn says(&self) -> &'static str {
        "Of a statement with several readings, one is taken, by its name; of readings within one another as `outer, inner`."
    }

    fn make(&self, document: &mut Document) -> Result<(), Fault> {
        let (statement, reading) = (&self.0, &self.1);
        let Some(stated) = document.relations.get(&statement.value) else {
            let many = document
                .relations
                .iter()
                .filter(|entry| entry.value.is.kind().readings().is_some());
            let names: Vec<&str> = many.map(|entry| entry.name.value.as_str()).collect();
            let help = match nearest(&statement.value, names.iter().copied()) {
                Some(near) => format!("the nearest is `{near}`"),
                None if names.is_empty() => {
                    "no statement of the model has several readings".to_owned()
                }
                None => format!("statements with several readings: {}", names.join(", ")),
            };
            let fault = cannot(
                statement,
                format!("there is no statement `{}`", statement.value),
            );
            return Err(Fault {
                code: Code::UnknownName,
                ..fault
            }
            .help(help));
        };
        let all = stated.all_readings();
        if all.is_empty() {
            let told = match &stated.remarks.reading {
                Some(taken) => format!(
                    "of `{}` the reading `{}` is taken already",
                    statement.value, taken.value
                ),
                None => format!("`{}` has one reading only", statement.value),
            };
            return Err(cannot(statement, told));
        }
        let Some(taken) = all.get(&reading.value).cloned() else {
            let names = || all.keys().map(String::as_str);
            let help = match nearest(&reading.value, names()) {
                Some(near) => format!("the nearest is `{near}`"),
                None => format!(
                    "its readings are: {}",
                    names().collect::<Vec<_>>().join("; ")
                ),
            };
            let fault = cannot(
                reading,
                format!("`{}` has no reading `{}`", statement.value, reading.value),
            );
            return Err(Fault {
                code: Code::UnknownName,
                ..fault
            }
            .help(help));
        };
        // the name is there: it was just found
        let _ = document.relations.replace(&statement.value, taken);
        Ok(())
    }

    fn sets(&self, _document: &Document) -> Option<String> {
        Some(self.0.value.clone())
    }

    fn told(&self) -> String {
        format!("{} read as {}", self.0.value, self.1.value)
    }
}
