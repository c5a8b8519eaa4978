//! Words of place: axes, sides, how a part lies or runs.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// An axis of the airframe.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, PartialOrd, Ord,
)]
pub enum Axis {
    /// Station: aft is positive.
    Station,
    /// Buttock line: right is positive.
    ButtockLine,
    /// Waterline: up is positive.
    Waterline,
}

impl Axis {
    /// The three axes in order.
    pub const ALL: [Axis; 3] = [Axis::Station, Axis::ButtockLine, Axis::Waterline];

    /// 0, 1 or 2.
    pub fn index(self) -> usize {
        match self {
            Axis::Station => 0,
            Axis::ButtockLine => 1,
            Axis::Waterline => 2,
        }
    }

    /// The unit vector.
    pub fn vector(self) -> [f64; 3] {
        let mut v = [0.0; 3];
        v[self.index()] = 1.0;
        v
    }

    /// The side that lies in the positive sense.
    pub fn positive(self) -> Side {
        match self {
            Axis::Station => Side::Aft,
            Axis::ButtockLine => Side::Right,
            Axis::Waterline => Side::Up,
        }
    }

    /// The two sides that lie along it, the one in the negative sense first.
    pub fn sides(self) -> [Side; 2] {
        [self.positive().opposite(), self.positive()]
    }

    /// The trade's short form.
    pub fn short(self) -> &'static str {
        match self {
            Axis::Station => "fs",
            Axis::ButtockLine => "bl",
            Axis::Waterline => "wl",
        }
    }

    /// The two other axes, in order.
    pub fn others(self) -> [Axis; 2] {
        match self {
            Axis::Station => [Axis::ButtockLine, Axis::Waterline],
            Axis::ButtockLine => [Axis::Station, Axis::Waterline],
            Axis::Waterline => [Axis::Station, Axis::ButtockLine],
        }
    }

    /// The axis along which a vector is longest.
    pub fn dominant(v: [f64; 3]) -> Axis {
        let mut best = Axis::Station;
        for axis in Axis::ALL {
            if v[axis.index()].abs() > v[best.index()].abs() + 1e-12 {
                best = axis;
            }
        }
        best
    }
}

/// One of the six sides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Side {
    /// Towards the nose.
    Fwd,
    /// Towards the tail.
    Aft,
    /// To the pilot's left.
    Left,
    /// To the pilot's right.
    Right,
    /// Downwards.
    Down,
    /// Upwards.
    Up,
}

impl Side {
    /// All sides.
    pub const ALL: [Side; 6] = [
        Side::Fwd,
        Side::Aft,
        Side::Left,
        Side::Right,
        Side::Down,
        Side::Up,
    ];

    /// The axis it lies along.
    pub fn axis(self) -> Axis {
        match self {
            Side::Fwd | Side::Aft => Axis::Station,
            Side::Left | Side::Right => Axis::ButtockLine,
            Side::Down | Side::Up => Axis::Waterline,
        }
    }

    /// Whether it lies in the positive sense of its axis.
    pub fn is_positive(self) -> bool {
        matches!(self, Side::Aft | Side::Right | Side::Up)
    }

    /// +1 or -1.
    pub fn sign(self) -> f64 {
        if self.is_positive() { 1.0 } else { -1.0 }
    }

    /// The unit vector towards it.
    pub fn vector(self) -> [f64; 3] {
        self.axis().vector().map(|c| c * self.sign())
    }

    /// The side across.
    pub fn opposite(self) -> Side {
        match self {
            Side::Fwd => Side::Aft,
            Side::Aft => Side::Fwd,
            Side::Left => Side::Right,
            Side::Right => Side::Left,
            Side::Down => Side::Up,
            Side::Up => Side::Down,
        }
    }

    /// The same side in a mirror at buttock line 0.
    pub fn mirrored(self) -> Side {
        match self {
            Side::Left | Side::Right => self.opposite(),
            _ => self,
        }
    }

    /// The side to which a direction leads most.
    pub fn towards(v: [f64; 3]) -> Side {
        let axis = Axis::dominant(v);
        let positive = axis.positive();
        if v[axis.index()] < 0.0 {
            positive.opposite()
        } else {
            positive
        }
    }

    /// In a sentence: `up`.
    pub fn word(self) -> &'static str {
        match self {
            Side::Fwd => "fwd",
            Side::Aft => "aft",
            Side::Left => "left",
            Side::Right => "right",
            Side::Down => "down",
            Side::Up => "up",
        }
    }

    /// The name of a face that looks there.
    pub fn face(self) -> &'static str {
        match self {
            Side::Fwd => "fwd",
            Side::Aft => "aft",
            Side::Left => "left",
            Side::Right => "right",
            Side::Down => "bottom",
            Side::Up => "top",
        }
    }
}

/// How a flat part lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Lies {
    /// Across the fuselage, like a bulkhead.
    Across,
    /// Along the fuselage and upright, like a keel or a rib.
    FwdAft,
    /// Flat, like a floor.
    Flat,
}

impl Lies {
    /// The axis through its thickness.
    pub fn through(self) -> Axis {
        match self {
            Lies::Across => Axis::Station,
            Lies::FwdAft => Axis::ButtockLine,
            Lies::Flat => Axis::Waterline,
        }
    }
}

/// How a long part runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Runs {
    /// Along the fuselage.
    FwdAft,
    /// Across it.
    Across,
    /// Up and down.
    UpDown,
}

impl Runs {
    /// The axis it runs along.
    pub fn along(self) -> Axis {
        match self {
            Runs::FwdAft => Axis::Station,
            Runs::Across => Axis::ButtockLine,
            Runs::UpDown => Axis::Waterline,
        }
    }

    /// The names of its two ends, the one of the least coordinate first.
    pub fn ends(self) -> [&'static str; 2] {
        match self {
            Runs::FwdAft => ["fwd_end", "aft_end"],
            Runs::Across => ["left_end", "right_end"],
            Runs::UpDown => ["lower_end", "upper_end"],
        }
    }
}

/// On which sides of the fuselage a part is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, Default)]
pub enum Sides {
    /// Only as written.
    #[default]
    AsWritten,
    /// As written for the right-hand side, and mirrored for the left; names end in ` R` and ` L`.
    Both,
}

/// The name without the ` L` or ` R` of one of two, if it ends in one.
pub fn without_hand(name: &str) -> Option<&str> {
    name.strip_suffix(" L").or_else(|| name.strip_suffix(" R"))
}

/// What a name may mean that says no hand: itself, or either of two.
pub fn with_hands(name: &str) -> [String; 3] {
    [name.to_owned(), format!("{name} L"), format!("{name} R")]
}

/// The name of the other one of two, if it ends in a hand.
pub fn other_hand(name: &str) -> Option<String> {
    let of = |hand: &str, other: &str| Some(format!("{}{other}", name.strip_suffix(hand)?));
    of(" L", " R").or_else(|| of(" R", " L"))
}
