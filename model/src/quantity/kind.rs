//! What a value is: a length, an angle or a plain number, and the powers of both that arise inside an expression.
//! In: powers of length and angle, added in a product and taken away in a quotient. Out: the kind, if there is one.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

/// The kinds that a field or a named value can have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, JsonSchema)]
pub enum Kind {
    /// A length, in mm.
    Length,
    /// An angle, in rad.
    Angle,
    /// A plain number, such as a count or a ratio.
    Number,
}

/// Powers of length and angle, such as length 2 for an area. `bay * bay / pitch` passes through an area and ends as a length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Powers {
    /// Power of length.
    pub length: i16,
    /// Power of angle.
    pub angle: i16,
}

impl Powers {
    /// Those of a plain number.
    pub const NONE: Self = Self {
        length: 0,
        angle: 0,
    };

    /// Those of a product.
    #[must_use]
    pub const fn times(self, other: Self) -> Self {
        Self {
            length: self.length.saturating_add(other.length),
            angle: self.angle.saturating_add(other.angle),
        }
    }

    /// Those of a quotient.
    #[must_use]
    pub const fn over(self, other: Self) -> Self {
        Self {
            length: self.length.saturating_sub(other.length),
            angle: self.angle.saturating_sub(other.angle),
        }
    }

    /// The kind with these powers, if it is one that a field can have.
    #[must_use]
    pub const fn kind(self) -> Option<Kind> {
        match (self.length, self.angle) {
            (1, 0) => Some(Kind::Length),
            (0, 1) => Some(Kind::Angle),
            (0, 0) => Some(Kind::Number),
            _ => None,
        }
    }
}

impl From<Kind> for Powers {
    fn from(kind: Kind) -> Self {
        match kind {
            Kind::Length => Self {
                length: 1,
                angle: 0,
            },
            Kind::Angle => Self {
                length: 0,
                angle: 1,
            },
            Kind::Number => Self::NONE,
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Length => "a length",
            Self::Angle => "an angle",
            Self::Number => "a plain number",
        })
    }
}

impl fmt::Display for Powers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(kind) = self.kind() {
            return kind.fmt(f);
        }
        match (self.length, self.angle) {
            (2, 0) => f.write_str("an area"),
            (3, 0) => f.write_str("a volume"),
            (-1, 0) => f.write_str("one over a length"),
            (0, -1) => f.write_str("one over an angle"),
            (1, 1) => f.write_str("a length times an angle"),
            (1, -1) => f.write_str("a length over an angle"),
            (-1, 1) => f.write_str("an angle over a length"),
            (length, 0) => write!(f, "a length to the power {length}"),
            (0, angle) => write!(f, "an angle to the power {angle}"),
            (length, angle) => write!(
                f,
                "a length to the power {length} times an angle to the power {angle}"
            ),
        }
    }
}
