//! A flat pattern as DXF, for a machine that cuts or another program that reads it. In: a blank. Out: text of the format's release 12.
//!
//! Contours are closed polylines with bulges on the layer CUT, bends are lines on BEND (both tangent lines and the middle), crosses and
//! circles of holes are on MARK, words on TEXT. That release has no unit that readers honour: it is said in a text and in the file's name.
//! Source of the group codes: the published DXF reference of that release.

use std::fmt::Write;

use strongback_model::blank::Blank;
use strongback_model::pattern::{Loop, Mark};
use strongback_model::quantity::Unit;

use crate::picture::{CROSS, bend_told, tangents};

/// Layers, each with the number of its colour.
const LAYERS: [(&str, u8); 4] = [("CUT", 7), ("BEND", 5), ("MARK", 3), ("TEXT", 8)];

/// The unit of a file's coordinates: inches where the model counts in inches or feet, else millimetres.
pub(crate) fn unit_of(unit: Unit) -> Unit {
    match unit {
        Unit::Inch | Unit::Foot => Unit::Inch,
        Unit::Millimetre | Unit::Centimetre | Unit::Metre => Unit::Millimetre,
    }
}

/// The file.
pub(crate) fn dxf(blank: &Blank, unit: Unit) -> String {
    let mut file = File {
        text: String::new(),
        per_mm: 1.0 / unit_of(unit).mm(),
    };
    file.head();
    let pattern = &blank.pattern;
    for outline in std::iter::once(&pattern.outline).chain(&pattern.openings) {
        file.outline(outline);
    }
    for bend in &pattern.bends {
        for ends in tangents(bend).into_iter().chain([bend.ends_mm]) {
            file.line("BEND", ends);
        }
        let [[x0, y0], [x1, y1]] = bend.ends_mm;
        let told = format!("{}: {}", bend.name, bend_told(bend, unit));
        file.words(
            [0.5 * (x0 + x1), 0.5 * (y0 + y1)],
            (y1 - y0).atan2(x1 - x0),
            &told,
        );
    }
    for mark in &pattern.marks {
        match mark {
            Mark::Line { name, ends_mm } => {
                file.line("MARK", *ends_mm);
                file.words(ends_mm[0], 0.0, name);
            }
            Mark::Centre {
                name,
                at_mm: [x, y],
                diameter_mm,
            } => {
                file.line("MARK", [[x - CROSS, *y], [x + CROSS, *y]]);
                file.line("MARK", [[*x, y - CROSS], [*x, y + CROSS]]);
                if let Some(diameter) = diameter_mm {
                    file.circle([*x, *y], 0.5 * diameter);
                }
                file.words([x + 1.0, y + 1.0], 0.0, name);
            }
        }
    }
    let alloy = blank.alloy.as_deref().unwrap_or("alloy not stated");
    let gauge = blank.gauge_mm * file.per_mm;
    let word = match unit_of(unit) {
        Unit::Inch => "inches",
        _ => "millimetres",
    };
    let told = format!(
        "{}, {alloy}, {gauge:.4} thick, all figures in {word}, seen from {}. Geometry only is checked; nothing here approves it.",
        blank.part, blank.seen_from
    );
    file.words([0.0, -12.0], 0.0, &told);
    file.group(0, "ENDSEC");
    file.group(0, "EOF");
    file.text
}

/// The text in the making.
struct File {
    text: String,
    /// Units of the file in a millimetre.
    per_mm: f64,
}

impl File {
    fn group(&mut self, code: u16, value: &str) {
        let _ = writeln!(self.text, "{code}\n{value}");
    }

    /// A figure, to a millionth of the file's unit.
    fn figure(&mut self, code: u16, value: f64) {
        // adding zero turns a negative zero into zero
        let _ = writeln!(self.text, "{code}\n{:.7}", value + 0.0);
    }

    fn point(&mut self, codes: [u16; 2], at: [f64; 2]) {
        for (code, x) in codes.into_iter().zip(at) {
            self.figure(code, x * self.per_mm);
        }
    }

    fn head(&mut self) {
        for (code, value) in [
            (0, "SECTION"),
            (2, "HEADER"),
            (9, "$ACADVER"),
            (1, "AC1009"),
            (0, "ENDSEC"),
            (0, "SECTION"),
            (2, "TABLES"),
            (0, "TABLE"),
            (2, "LAYER"),
        ] {
            self.group(code, value);
        }
        self.group(70, &LAYERS.len().to_string());
        for (name, colour) in LAYERS {
            self.group(0, "LAYER");
            self.group(2, name);
            self.group(70, "0");
            self.group(62, &colour.to_string());
            self.group(6, "CONTINUOUS");
        }
        for (code, value) in [
            (0, "ENDTAB"),
            (0, "ENDSEC"),
            (0, "SECTION"),
            (2, "ENTITIES"),
        ] {
            self.group(code, value);
        }
    }

    fn entity(&mut self, what: &str, layer: &str) {
        self.group(0, what);
        self.group(8, layer);
    }

    fn outline(&mut self, outline: &Loop) {
        self.entity("POLYLINE", "CUT");
        self.group(66, "1");
        self.group(70, "1");
        self.point([10, 20], [0.0, 0.0]);
        for corner in &outline.corners {
            self.entity("VERTEX", "CUT");
            self.point([10, 20], corner.at_mm);
            if corner.bulge != 0.0 {
                self.figure(42, corner.bulge);
            }
        }
        self.entity("SEQEND", "CUT");
    }

    fn line(&mut self, layer: &str, [from, to]: [[f64; 2]; 2]) {
        self.entity("LINE", layer);
        self.point([10, 20], from);
        self.point([11, 21], to);
    }

    fn circle(&mut self, centre: [f64; 2], radius: f64) {
        self.entity("CIRCLE", "MARK");
        self.point([10, 20], centre);
        self.figure(40, radius * self.per_mm);
    }

    /// Words from a place on; `turned` in radians. Signs beyond ASCII are told by a mark.
    fn words(&mut self, at: [f64; 2], turned: f64, told: &str) {
        /// Height of letters, mm.
        const LETTERS: f64 = 3.0;
        self.entity("TEXT", "TEXT");
        self.point([10, 20], at);
        self.figure(40, LETTERS * self.per_mm);
        let plain = told.replace('\u{b0}', "%%d");
        let plain: String = plain
            .chars()
            .map(|sign| {
                if (' '..='~').contains(&sign) {
                    sign
                } else {
                    '?'
                }
            })
            .collect();
        self.group(1, &plain);
        self.figure(50, turned.to_degrees());
    }
}
