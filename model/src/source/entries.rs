//! Named things in the order of the file, as in `parts: { "main spar": …, … }`. A name given twice is refused with
//! both places; a plain map would silently keep the last.

use std::fmt;
use std::marker::PhantomData;

use indexmap::IndexMap;
use indexmap::map::Entry as Slot;
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::fault::{Code, Fault, shortened};
use super::reading::refuse;
use super::spanned::Text;

/// Things by name, in the order of the file.
#[derive(Clone, Debug)]
pub struct Entries<T> {
    by_name: IndexMap<String, Entry<T>>,
}

/// One named thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry<T> {
    /// Its name, with the place of the key.
    pub name: Text,
    /// What bears the name.
    pub value: T,
}

impl<T> Entries<T> {
    /// None at all.
    pub fn new() -> Self {
        Self::default()
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.by_name.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.by_name.is_empty()
    }

    /// All of them, in the order of the file.
    pub fn iter(&self) -> indexmap::map::Values<'_, String, Entry<T>> {
        self.by_name.values()
    }

    /// The values, in the order of the file, to be changed.
    pub fn values_mut(&mut self) -> impl Iterator<Item = &mut T> {
        self.by_name.values_mut().map(|entry| &mut entry.value)
    }

    /// The names, in the order of the file.
    pub fn names(&self) -> impl Iterator<Item = &str> + Clone {
        self.by_name.keys().map(String::as_str)
    }

    /// The value of this name.
    pub fn get(&self, name: &str) -> Option<&T> {
        self.entry(name).map(|entry| &entry.value)
    }

    /// The value of this name, to be changed.
    pub fn get_mut(&mut self, name: &str) -> Option<&mut T> {
        self.by_name.get_mut(name).map(|entry| &mut entry.value)
    }

    /// The name as written, and its value.
    pub fn entry(&self, name: &str) -> Option<&Entry<T>> {
        self.by_name.get(name)
    }

    /// Where in the order this name stands, from 0.
    pub fn position(&self, name: &str) -> Option<usize> {
        self.by_name.get_index_of(name)
    }

    /// Adds one at the end.
    ///
    /// # Errors
    /// The name is there already: nothing is changed.
    pub fn push(&mut self, name: Text, value: T) -> Result<(), Fault> {
        match self.by_name.entry(name.value.clone()) {
            Slot::Occupied(first) => Err(twice(&first.get().name, &name)),
            Slot::Vacant(place) => {
                place.insert(Entry { name, value });
                Ok(())
            }
        }
    }

    /// Takes one out; the others keep their order.
    pub fn remove(&mut self, name: &str) -> Option<Entry<T>> {
        self.by_name.shift_remove(name)
    }

    /// Puts another value in the place of this name's and gives back the old one. Without such a name nothing is
    /// changed and the new value comes back as the error.
    ///
    /// # Errors
    /// The new value, if the name isn't there.
    pub fn replace(&mut self, name: &str, value: T) -> Result<T, T> {
        match self.by_name.get_mut(name) {
            Some(entry) => Ok(std::mem::replace(&mut entry.value, value)),
            None => Err(value),
        }
    }
}

fn twice(first: &Text, second: &Text) -> Fault {
    let name = shortened(&second.value);
    Fault::error(Code::Twice, format!("the name \"{name}\" is given twice"))
        .at(second.span.clone(), "again here")
        .also(first.span.clone(), "first here")
        .help("give one of them another name, or take it out")
}

/// The fault of a name that can't be told from another one, or can't be shown.
fn unfit(name: &Text) -> Option<Fault> {
    let (message, help) = if name.trim().is_empty() {
        ("a name is missing", "write one between the quotes")
    } else if name.trim().len() < name.len() && !name.contains([':', ',']) {
        // with a colon or a comma in it, a quote is missing: the reader of the text says so
        ("a name begins or ends with a blank", "take the blank out")
    } else if name.chars().any(char::is_control) {
        (
            "a name holds a sign that can't be shown",
            "take line ends and tabs out of it",
        )
    } else {
        return None;
    };
    Some(
        Fault::error(Code::BadValue, message)
            .at(name.span.clone(), "")
            .help(help),
    )
}

impl<T> Default for Entries<T> {
    fn default() -> Self {
        let by_name = IndexMap::new();
        Self { by_name }
    }
}

/// Equal if the same names stand in the same order with equal values.
impl<T: PartialEq> PartialEq for Entries<T> {
    fn eq(&self, other: &Self) -> bool {
        self.iter().eq(other.iter())
    }
}

impl<'a, T> IntoIterator for &'a Entries<T> {
    type Item = &'a Entry<T>;
    type IntoIter = indexmap::map::Values<'a, String, Entry<T>>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl<T> IntoIterator for Entries<T> {
    type Item = Entry<T>;
    type IntoIter = indexmap::map::IntoValues<String, Entry<T>>;

    fn into_iter(self) -> Self::IntoIter {
        self.by_name.into_values()
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Entries<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(EntriesVisitor(PhantomData))
    }
}

struct EntriesVisitor<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for EntriesVisitor<T> {
    type Value = Entries<T>;

    // Must not begin with "struct ": the RON reader takes such a map for a flattened struct.
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("names and what they stand for, in curly brackets")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut entries = Entries::new();
        while let Some(name) = map.next_key::<Text>()? {
            if let Some(first) = entries.entry(&name) {
                return Err(refuse(twice(&first.name, &name)));
            }
            if let Some(fault) = unfit(&name) {
                return Err(refuse(fault));
            }
            let value = map.next_value()?;
            entries.push(name, value).map_err(refuse)?;
        }
        Ok(entries)
    }
}

impl<T: Serialize> Serialize for Entries<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.iter().map(|entry| (&entry.name, &entry.value)))
    }
}
