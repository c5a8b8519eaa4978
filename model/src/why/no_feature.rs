//! What is asked for and isn't there. In: a name. Out: a fault with the names that come near, or with those there are.

use crate::assembly::Solved;
use crate::relation::{SHOWN, listed, no_face, split_name, unknown};
use crate::source::{Code, Fault, Text, nearest};

impl Solved<'_> {
    /// The fault of a name that is no feature.
    pub(super) fn no_feature(&self, name: &str) -> Fault {
        let parts = &self.assembly.parts;
        let names: Vec<String> = parts
            .iter()
            .flat_map(|part| {
                part.shape
                    .features
                    .keys()
                    .map(|face| format!("{}.{face}", part.name))
            })
            .collect();
        let text = Text::unplaced(name.to_owned());
        match parts.iter().find(|part| part.name == name) {
            Some(part) => {
                let faces: Vec<&str> = part.shape.features.keys().map(String::as_str).collect();
                Fault::error(
                    Code::UnknownName,
                    format!("`{name}` is a whole part; name one of its faces as `{name}.FACE`"),
                )
                .help(format!("its faces are: {}", faces.join(", ")))
            }
            None => self.no_such(&text, name, &names),
        }
    }

    /// No part or face of a name: of a part that is there, its faces; else the nearest name, or the parts.
    fn no_such(&self, text: &Text, name: &str, faces: &[String]) -> Fault {
        let parts = &self.assembly.parts;
        let known = |part: &str| self.assembly.names.contains_key(part);
        let own = split_name(known, name).map(|(part, face)| (part.to_owned(), face.to_owned()));
        if let Some((part, face)) = own {
            let own: Vec<&str> = parts
                .iter()
                .filter(|other| other.name == part)
                .flat_map(|part| part.shape.features.keys().map(String::as_str))
                .collect();
            return no_face(&part, &own, &face, text);
        }
        if name.contains('.') && nearest(name, faces.iter().map(String::as_str)).is_some() {
            return unknown("face", text, name, faces.iter().map(String::as_str));
        }
        let names: Vec<&str> = parts.iter().map(|part| part.name.as_str()).collect();
        let help = match nearest(name, names.iter().copied()) {
            Some(near) => {
                format!("the nearest part is `{near}`; name one of its faces as `{near}.FACE`")
            }
            None => parts_there_are(name, &names),
        };
        Fault::error(
            Code::UnknownName,
            format!("there is no part or face `{name}`"),
        )
        .help(help)
    }
}

/// The parts whose names hold a word; if there are none, the first of all, with how many there are more.
fn parts_there_are(word: &str, names: &[&str]) -> String {
    let word = word.to_lowercase();
    let alike: Vec<&str> = names
        .iter()
        .copied()
        .filter(|name| name.to_lowercase().contains(&word))
        .collect();
    let (told, list) = if alike.is_empty() {
        ("there are", names)
    } else {
        ("of that name there are", &alike[..])
    };
    let shown = listed(list);
    let more = if list.len() > SHOWN {
        "; `strongback locate` lists them"
    } else {
        ""
    };
    format!("{told}: {shown}{more}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_hold_the_word_come_alone_and_long_lists_say_that_they_end() {
        let names = ["datum", "panel frame", "rail L", "side panel"];
        let told = parts_there_are("Panel", &names);
        assert_eq!(told, "of that name there are: panel frame, side panel");
        assert_eq!(
            parts_there_are("spar", &names[..2]),
            "there are: datum, panel frame"
        );
        let many = ["rib"; 15];
        let told = parts_there_are("spar", &many);
        assert!(
            told.ends_with("rib and 3 more; `strongback locate` lists them"),
            "{told}"
        );
    }
}
