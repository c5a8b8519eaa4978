//! From the document to the solver's system, and the tables that lead back from each variable and
//! equation to what the builder wrote.

mod adjustable;
mod alloys;
mod bending;
mod contours;
mod cut_for;
mod definitions;
mod doubts;
mod hands;
mod measurements;
mod must_fits;
mod order;
mod outcome;
mod parts;
mod quantities;
mod reach;
mod relations;
mod seams;
mod solved;
mod statements;
mod stock;
mod tolerances;
mod within;

pub(crate) use definitions::names_in;
pub use measurements::AssembledMeasurement;
pub(crate) use outcome::SIZE_ROUNDING_MM;
pub(crate) use parts::{expand, visit_holes};
pub(crate) use quantities::LONGEST_MM;
pub use quantities::{Figure, Label, Origin, Quantities, Resolved};
pub use seams::{AssembledJoint, AssembledRow, AssembledSeam, SeamLayer};
pub use solved::Solved;
pub(crate) use tolerances::{TOLERANCE_IN_DEVIATIONS, Tolerances};
pub use within::Within;

use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use indexmap::IndexMap;
use strongback_solver::{Affine, BodyId, EquationId, Surface, System, Var};

use crate::blank::Rules;
use crate::document::{Document, Trust};
use crate::must_fit::Measure;
use crate::part::{Part, Role, Shape};
use crate::quantity::{Kind, Unit};
use crate::relation::{Built, Hand, Standing};
use crate::source::{Code, Fault, Text};
use crate::stock::StockSize;
use crate::trade::alloys::Alloy;

/// A part as the system sees it.
#[derive(Clone, Debug)]
pub struct AssembledPart {
    /// Its name, with ` L` or ` R` for one of two.
    pub name: String,
    /// The word of its kind.
    pub word: &'static str,
    /// Its place in the file.
    pub span: std::ops::Range<usize>,
    /// What the file states of it; nothing for the datum.
    pub stated: Option<Part>,
    /// Its body.
    pub body: BodyId,
    /// The coordinates of its origin.
    pub origin: [Affine; 3],
    /// Its turns: name and form, where any is stated.
    pub turns: Vec<(&'static str, Affine)>,
    /// Its sizes.
    pub sizes: Vec<AssembledSize>,
    /// Features and metal.
    pub shape: Shape,
    /// The contour that it follows.
    pub(crate) contour: Option<Arc<Surface>>,
    /// What is chosen and not measured.
    pub choices: Vec<(&'static str, String)>,
    /// What it is made of, if it is stated.
    pub alloy: Option<&'static Alloy>,
    /// The hand in which it is built.
    pub(crate) hand: Hand,
    /// The parts for which it has a notch or hole that is not drawn.
    pub(crate) cut_for: Vec<String>,
}

/// A size of a part.
#[derive(Clone, Debug)]
pub struct AssembledSize {
    /// Its name within the part.
    pub name: String,
    /// What it is for.
    pub role: Role,
    /// Its form, its drawn value, and whether it rests on something that is found.
    pub resolved: Resolved,
    /// Whether the part itself says `Find`, or nobody states it.
    pub says_find: bool,
    /// Whether it follows from other sizes of the part and is stated nowhere.
    pub derived: bool,
    /// Its place in the file.
    pub span: std::ops::Range<usize>,
}

/// A named dimension as the system sees it.
#[derive(Clone, Debug)]
pub struct AssembledDimension {
    /// Its name.
    pub name: String,
    /// Length, angle or number.
    pub kind: Kind,
    /// Its form, its drawn value, and whether it rests on something that is found.
    pub resolved: Resolved,
}

/// A statement as the system sees it.
#[derive(Clone, Debug)]
pub struct AssembledStatement {
    /// Its name, with ` L` or ` R` for one of two.
    pub name: String,
    /// The word of its kind.
    pub word: &'static str,
    /// Its place in the file.
    pub span: std::ops::Range<usize>,
    /// The sheet it stands on.
    pub sheet: Option<String>,
    /// How far it is to be trusted.
    pub trust: Trust,
    /// Why.
    pub because: Option<String>,
    /// Which of several readings it is.
    pub reading: Option<String>,
    /// How far it may be off and still agree.
    pub within: Option<Within>,
    /// Its equations, each with what it compares.
    pub equations: Vec<(String, EquationId)>,
    /// The features that it names, as `PART.FACE` or `PART`.
    pub names: Vec<String>,
}

/// A must-fit as the system sees it.
#[derive(Clone, Debug)]
pub struct AssembledFit {
    /// Its name, with ` L` or ` R` for one of two.
    pub name: String,
    /// The word of its kind.
    pub word: &'static str,
    /// Its place in the file.
    pub span: std::ops::Range<usize>,
    /// Its tolerance.
    pub within: Within,
    /// What is measured.
    pub measures: Vec<Measure>,
    /// The features that it names.
    pub names: Vec<String>,
    /// The variables in the figures that it demands.
    pub figures: BTreeSet<Var>,
}

/// A document as a system to be solved.
#[derive(Clone, Debug)]
pub struct Assembly {
    /// The equations and their unknowns.
    pub system: System,
    /// What the model is of.
    pub title: String,
    /// What stations are counted from.
    pub datum: Option<String>,
    /// The unit of the file.
    pub unit: Unit,
    /// Named quantities and the labels of variables.
    pub quantities: Quantities,
    /// The named dimensions.
    pub dimensions: Vec<AssembledDimension>,
    /// The contours' surfaces by name.
    pub(crate) contours: IndexMap<String, Arc<Surface>>,
    /// The parts; the first one is the datum.
    pub parts: Vec<AssembledPart>,
    /// The parts' names in order.
    pub names: IndexMap<String, ()>,
    /// The relations.
    pub statements: Vec<AssembledStatement>,
    /// For each equation, the statement it belongs to.
    pub owner: Vec<usize>,
    /// The place of each statement by its name.
    statement_at: HashMap<String, usize>,
    /// The equations that are assumed, not stated: they give way without a word.
    pub assumed: BTreeSet<EquationId>,
    /// Figures of relations that can't be less than zero.
    pub(crate) gaps: Vec<Affine>,
    /// The tolerance of lengths that state none: millimetres.
    pub within: Option<f64>,
    /// The tolerance of a must-fit that states none: millimetres.
    pub fit: f64,
    /// Stock as it can be bought.
    pub stock: Vec<StockSize>,
    /// How sheet is bent.
    pub bending: Rules,
    /// Whether stated positions are statements that may give way: something in the file is trusted more.
    pub(crate) positions_yield: bool,
    /// The must-fits.
    pub fits: Vec<AssembledFit>,
    /// The measurements.
    pub measurements: Vec<AssembledMeasurement>,
    /// The joints.
    pub joints: Vec<AssembledJoint>,
    /// Layers held together that other statements locate.
    pub seams: Vec<AssembledSeam>,
    /// What is stated of the order of fitting.
    pub order: crate::order::AssembledOrder,
    /// What is probably a slip, though it can be built so: sentences.
    pub(crate) doubts: Vec<String>,
}

/// The name of the part that stands for the airframe's axes.
pub const DATUM: &str = "datum";

/// The word of a stated position that is a statement and may give way.
pub(crate) const STATED_POSITION: &str = "at";

/// Makes a system of a document.
///
/// # Errors
/// Everything found wrong with it, in the order of the file.
pub fn assemble(document: &Document) -> Result<Assembly, Vec<Fault>> {
    let mut faults = check_head(document);
    let mut assembly = Assembly {
        system: System::new(1.0),
        title: document.title.value.clone(),
        datum: document.datum.as_ref().map(|text| text.value.clone()),
        unit: document.unit,
        quantities: Quantities::new(document.unit),
        dimensions: Vec::new(),
        contours: IndexMap::new(),
        parts: Vec::new(),
        names: IndexMap::new(),
        statements: Vec::new(),
        owner: Vec::new(),
        statement_at: HashMap::new(),
        assumed: BTreeSet::new(),
        gaps: Vec::new(),
        within: None,
        fit: 0.0,
        stock: Vec::new(),
        bending: Rules::default(),
        positions_yield: document
            .relations
            .iter()
            .map(|entry| entry.value.as_it_counts().remarks)
            .chain(
                document
                    .dimensions
                    .iter()
                    .map(|entry| entry.value.remarks.clone()),
            )
            .any(|remarks| remarks.trusted() < Trust::Plain),
        fits: Vec::new(),
        measurements: Vec::new(),
        joints: Vec::new(),
        seams: Vec::new(),
        order: crate::order::AssembledOrder::default(),
        doubts: Vec::new(),
    };
    let sheets = |sheet: Option<&Text>, faults: &mut Vec<Fault>| -> Option<String> {
        let sheet = sheet?;
        if !document.sheets.is_empty() && document.sheets.get(&sheet.value).is_none() {
            faults.push(crate::relation::unknown(
                "sheet",
                sheet,
                &sheet.value,
                document.sheets.names(),
            ));
        }
        Some(sheet.value.clone())
    };
    let parts = parts::expand(document);
    let head = faults.len();
    parts::distinct(&parts, &mut faults);
    if faults.len() == head {
        definitions::define(&mut assembly, document, &parts, &sheets, &mut faults);
    }
    if faults.len() == head {
        contours::enter(&mut assembly, document, &sheets, &mut faults);
    }
    // a shape can't be judged by figures that aren't understood
    if faults.len() == head {
        parts::build(&mut assembly, &parts, &mut faults);
    }
    if faults.is_empty() {
        doubts::enter(&mut assembly);
        cut_for::enter(&mut assembly, &parts, &mut faults);
        alloys::enter(&mut assembly, document, &parts, &mut faults);
        stock::enter(&mut assembly, document, &mut faults);
        bending::enter(&mut assembly, document, &mut faults);
        statements::general(&mut assembly, document, &mut faults);
        relations::relations(&mut assembly, document, &sheets, &mut faults);
        must_fits::must_fits(&mut assembly, document, &sheets, &mut faults);
        measurements::measurements(&mut assembly, document, &mut faults);
        order::enter(&mut assembly, document, &sheets, &mut faults);
    }
    // a part may seem out of reach only because a statement about it is at fault
    if faults.is_empty() {
        reach::check(&assembly, document, &mut faults);
    }
    if faults.is_empty() {
        let length = reference_length(&assembly);
        assembly.system.set_reference_length(length);
        Ok(assembly)
    } else {
        faults.sort_by_key(|fault| fault.span().map(|span| span.start));
        // what is wrong with a part on both sides is wrong twice, and told once
        faults.dedup_by(|a, b| {
            a == b || (a.code == b.code && a.span().is_some() && a.span() == b.span())
        });
        Err(faults)
    }
}

fn check_head(document: &Document) -> Vec<Fault> {
    let mut faults = Vec::new();
    if document.format != 1 {
        faults.push(
            Fault::error(
                Code::BadValue,
                format!(
                    "this program reads format 1; the file says {}",
                    document.format
                ),
            )
            .help("write `format: 1`"),
        );
    }
    if document.parts.is_empty() {
        faults.push(
            Fault::error(Code::Empty, "the model has no parts")
                .at(document.title.span.clone(), "")
                .help("add a part under `parts`; `strongback new` writes a first model"),
        );
    }
    faults
}

/// A length of the size of the whole model: the largest figure in it, at least a foot.
fn reference_length(assembly: &Assembly) -> f64 {
    let sizes = assembly
        .parts
        .iter()
        .flat_map(|part| part.sizes.iter().map(|size| size.resolved.value.abs()));
    let offsets = assembly
        .parts
        .iter()
        .flat_map(|part| part.origin.iter())
        .map(|form| assembly.system.form_drawn(form).abs());
    sizes
        .chain(offsets)
        .fold(assembly.system.longest().max(304.8), f64::max)
}

impl Assembly {
    /// The statement of a name.
    pub fn statement(&self, name: &str) -> Option<&AssembledStatement> {
        let at = self.statement_at.get(name)?;
        self.statements.get(*at)
    }

    /// The statement that an equation belongs to.
    pub fn statement_of(&self, equation: EquationId) -> &AssembledStatement {
        &self.statements[self.owner[equation.index()]]
    }

    /// Adds a statement's equations to the system.
    fn enter(&mut self, statement: AssembledStatement, equations: Vec<Built>) {
        let index = self.statements.len();
        // a stated position goes by its part and axis, which a relation may be called too
        if let Some(position) = self.statement_at.insert(statement.name.clone(), index) {
            let name = format!("{} (at)", statement.name);
            self.statements[position].name.clone_from(&name);
            self.statement_at.insert(name, position);
        }
        let equations = equations
            .into_iter()
            .map(|built| {
                self.owner.push(index);
                let priority = match built.standing {
                    Standing::Stated => statement.trust as u32,
                    Standing::Assumed => u32::MAX,
                };
                let id = self.system.equation(built.equation, priority);
                if built.standing == Standing::Assumed {
                    self.assumed.insert(id);
                }
                (built.what, id)
            })
            .collect();
        self.statements.push(AssembledStatement {
            equations,
            ..statement
        });
    }
}
