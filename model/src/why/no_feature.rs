//! What is asked for and isn't there. In: a name. Out: a fault with the names that come near, or with those there are.

use crate::assembly::Solved;
use crate::relation::{split_name, unknown};
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
            let help = match nearest(&face, own.iter().copied()) {
                Some(near) => format!("the nearest is `{near}`"),
                None => format!("its faces are: {}", own.join(", ")),
            };
            let message = format!("`{part}` has no face `{face}`");
            return Fault::error(Code::UnknownName, message).help(help);
        }
        if name.contains('.') && nearest(name, faces.iter().map(String::as_str)).is_some() {
            return unknown("face", text, name, faces.iter().map(String::as_str));
        }
        let names = || parts.iter().map(|part| part.name.as_str());
        let help = match nearest(name, names()) {
            Some(near) => {
                format!("the nearest part is `{near}`; name one of its faces as `{near}.FACE`")
            }
            None => format!("there are: {}", names().collect::<Vec<_>>().join(", ")),
        };
        Fault::error(
            Code::UnknownName,
            format!("there is no part or face `{name}`"),
        )
        .help(help)
    }
}
