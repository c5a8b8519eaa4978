//! A statement of the drawing that can be understood in several ways.

use indexmap::IndexMap;
use serde::{Deserialize, Deserializer};

use super::{Recipe, Relation, RelationKind};
use crate::document::{Remarks, Stated};
use crate::source::{Code, Entries, Fault, Text, Unread, refuse};

/// Several ways to understand one statement; the first counts until another one is taken.
#[derive(Clone, Debug, schemars::JsonSchema)]
pub struct Readings(pub Entries<Stated<Relation>>);

impl<'de> Deserialize<'de> for Readings {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let value = Unread::deserialize(deserializer)?;
        let readings: Entries<Stated<Relation>> = value.read()?;
        if readings.is_empty() {
            return Err(refuse(
                Fault::error(Code::Empty, "there is no reading here")
                    .at(value.span(), "")
                    .help("name each way to understand it, as in `{\"from the web\": Spaced(…), \"from the flange\": Spaced(…)}`"),
            ));
        }
        Ok(Readings(readings))
    }
}

impl RelationKind for Readings {
    fn says(&self) -> &'static str {
        "One statement that can be understood in several ways, each by its name; a reading may have remarks of its own. \
         The first one counts, until a deviation or `--take` takes another; `strongback readings` tries them all."
    }

    fn equations(&self, recipe: &mut Recipe<'_>) -> Result<(), Fault> {
        match self.0.iter().next() {
            Some(first) => first.value.is.kind().equations(recipe),
            None => Ok(()),
        }
    }

    fn names(&mut self) -> Vec<&mut Text> {
        self.0
            .values_mut()
            .flat_map(|reading| reading.is.kind_mut().names())
            .collect()
    }

    fn leave_out(&mut self, part: &str) -> bool {
        let mut left = false;
        for reading in self.0.values_mut() {
            left |= reading.is.kind_mut().leave_out(part);
        }
        left
    }

    fn readings(&self) -> Option<&Entries<Stated<Relation>>> {
        Some(&self.0)
    }
}

impl Stated<Relation> {
    /// The statement as it counts: of several readings the first.
    pub(crate) fn as_it_counts(&self) -> Stated<Relation> {
        let first = |stated: &Self| {
            let readings = stated.is.kind().readings()?;
            let name = readings.names().next()?.to_owned();
            stated.read_as(&name)
        };
        let mut counts = self.clone();
        while let Some(reading) = first(&counts) {
            counts = reading;
        }
        counts
    }

    /// The statement understood in one of its ways; none if there is no reading of that name. A reading's own remarks
    /// come before the statement's.
    pub(crate) fn read_as(&self, reading: &str) -> Option<Stated<Relation>> {
        let entry = self.is.kind().readings()?.entry(reading)?;
        let (own, whole) = (&entry.value.remarks, &self.remarks);
        let name = match &whole.reading {
            Some(outer) => Text::unplaced(format!("{}, {}", outer.value, entry.name.value)),
            None => entry.name.clone(),
        };
        Some(Stated {
            is: entry.value.is.clone(),
            remarks: Remarks {
                sheet: own.sheet.clone().or_else(|| whole.sheet.clone()),
                within: own.within.clone().or_else(|| whole.within.clone()),
                trust: own.trust.or(whole.trust),
                because: own.because.clone().or_else(|| whole.because.clone()),
                reading: Some(name),
                adjustable: own.adjustable.clone().or_else(|| whole.adjustable.clone()),
                apart: whole.apart.clone(),
            },
        })
    }

    /// All ways to understand it that hold no further readings, by their names; of nested ones `outer, inner`.
    pub(crate) fn all_readings(&self) -> IndexMap<String, Stated<Relation>> {
        let mut all = IndexMap::new();
        let Some(readings) = self.is.kind().readings() else {
            return all;
        };
        for name in readings.names() {
            let Some(reading) = self.read_as(name) else {
                continue;
            };
            let within = reading.all_readings();
            if within.is_empty() {
                let told = reading.remarks.reading.as_ref();
                all.insert(
                    told.map_or_else(|| name.to_owned(), |told| told.value.clone()),
                    reading,
                );
            } else {
                all.extend(within);
            }
        }
        all
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::document::{Document, Trust};
    use crate::source::read;

    fn statement(text: &str) -> Result<Stated<Relation>, Fault> {
        let model = format!(
            r#"(format: 1, title: "x", unit: Inch, fit: 1, relations: {{ "rail": {text} }})"#
        );
        let document: Document = read(&model)?;
        Ok(document.relations.get("rail").unwrap().clone())
    }

    #[test]
    fn the_first_counts_with_remarks_of_its_own() {
        let stated = statement(
            r#"(is: Readings({ "web": (is: Flush("a.fwd", "b.fwd"), sheet: "S2"), "flange": Flush("a.aft", "b.aft") }), sheet: "S1", trust: Doubtful)"#,
        )
        .unwrap();
        let counts = stated.as_it_counts();
        assert_eq!(counts.is.word(), "Flush");
        assert_eq!(counts.remarks.sheet.unwrap().value, "S2");
        assert_eq!(counts.remarks.trust, Some(Trust::Doubtful));
        assert_eq!(counts.remarks.reading.unwrap().value, "web");
        let other = stated.read_as("flange").unwrap();
        assert_eq!(other.remarks.sheet.unwrap().value, "S1");
        assert!(stated.read_as("skin").is_none());
    }

    #[test]
    fn readings_within_readings_are_all_told() {
        let stated = statement(
            r#"Readings({ "one": Flush("a.fwd", "b.fwd"), "two": Readings({ "up": Level("a.top"), "down": Level("a.bottom") }) })"#,
        )
        .unwrap();
        let all = stated.all_readings();
        let names: Vec<&str> = all.keys().map(String::as_str).collect();
        assert_eq!(names, ["one", "two, up", "two, down"]);
    }

    #[test]
    fn none_at_all_is_refused_at_its_place() {
        let fault = statement("Readings({})").unwrap_err();
        assert_eq!(fault.message, "there is no reading here");
        assert!(fault.span().is_some());
    }
}
