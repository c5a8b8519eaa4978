//! Fasteners by their standard's number: one list, a line each. In: the word in a file. Out: what it is, and its nominal diameter.

use serde::{Deserialize, Deserializer, Serialize};

use crate::source::{Code, Fault, Unread, refuse};

/// What a fastener is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Make {
    /// A bolt with a hexagon head, AN3 to AN8; the number counts sixteenths of an inch.
    Bolt(u8),
    /// A solid rivet with a universal head, MS20470; the number counts thirty-seconds of an inch.
    Universal(u8),
    /// A solid rivet with a countersunk head of 100 degrees, MS20426; likewise.
    Countersunk(u8),
}

macro_rules! fasteners {
    ($($name:ident => $make:expr;)*) => {
        /// A fastener by its standard's number, without the length that the joint asks for.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
        #[allow(missing_docs)]
        pub enum Fastener { $($name,)* }

        impl Fastener {
            /// All of them.
            pub const ALL: &[Fastener] = &[$(Fastener::$name,)*];

            /// What it is.
            pub fn make(self) -> Make {
                use Make::*;
                match self { $(Fastener::$name => $make,)* }
            }

            /// Its standard's number.
            pub fn name(self) -> &'static str {
                match self { $(Fastener::$name => stringify!($name),)* }
            }
        }
    };
}

fasteners! {
    AN3 => Bolt(3);
    AN4 => Bolt(4);
    AN5 => Bolt(5);
    AN6 => Bolt(6);
    AN7 => Bolt(7);
    AN8 => Bolt(8);
    MS20470AD3 => Universal(3);
    MS20470AD4 => Universal(4);
    MS20470AD5 => Universal(5);
    MS20470AD6 => Universal(6);
    MS20470AD8 => Universal(8);
    MS20426AD3 => Countersunk(3);
    MS20426AD4 => Countersunk(4);
    MS20426AD5 => Countersunk(5);
    MS20426AD6 => Countersunk(6);
    MS20426AD8 => Countersunk(8);
}

/// Read by hand, so that a number in quotes or one that isn't there is told those that are.
impl<'de> Deserialize<'de> for Fastener {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let written = Unread::deserialize(deserializer)?;
        let known = Fastener::ALL
            .iter()
            .find(|it| written.word() == Some(it.name()));
        let names: Vec<&str> = Fastener::ALL.iter().map(|it| it.name()).collect();
        match known {
            None => Err(refuse(written.unknown_word(&names))),
            Some(fastener) if written.text().trim() == fastener.name() => Ok(*fastener),
            Some(fastener) => {
                let message = format!("`{}` stands alone, without brackets", fastener.name());
                Err(refuse(
                    Fault::error(Code::WrongCount, message).at(written.span(), "takes no values"),
                ))
            }
        }
    }
}

impl Fastener {
    /// Nominal diameter in millimetres. The threads of AN4 to AN8 are 1/4 to 1/2 in by a bolt supplier's sizing guide (read); AN3 is
    /// called 3/16, though its shank, of a number 10 thread, is 0.190 (second-hand). A rivet's first dash number counts thirty-seconds (read).
    pub fn diameter_mm(self) -> f64 {
        match self.make() {
            Make::Bolt(sixteenths) => f64::from(sixteenths) * 25.4 / 16.0,
            Make::Universal(thirty_seconds) | Make::Countersunk(thirty_seconds) => {
                f64::from(thirty_seconds) * 25.4 / 32.0
            }
        }
    }

    /// Whether it is a rivet: both its ends have to be reached to set it.
    pub fn is_rivet(self) -> bool {
        !matches!(self.make(), Make::Bolt(_))
    }
}
