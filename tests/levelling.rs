//! A level net, stated once and adjusted twice: by the solver directly, and as a model file whose waterlines are heights.
//! In: known heights, unknown ones, observed differences with their standard deviations, in the unit of the source.

use nalgebra::{DMatrix, DVector};
use strongback_model::assembly::assemble;
use strongback_model::document::Document;
use strongback_model::reconcile::Reconciled;
use strongback_model::source;
use strongback_solver::adjustment::Observations;

/// A level net.
#[derive(Clone)]
pub struct Net {
    /// The unit as a model file calls it, with its millimetres.
    pub unit: (&'static str, f64),
    /// Points whose heights are known.
    pub known: Vec<(&'static str, f64)>,
    /// Points whose heights are sought, with heights somewhere near.
    pub sought: Vec<(&'static str, f64)>,
    /// From, to, observed difference, standard deviation.
    pub observed: Vec<(&'static str, &'static str, f64, f64)>,
}

impl Net {
    /// The net with an error added to an observation, counted from 1 as the sources do.
    #[allow(dead_code, reason = "not every test needs it")]
    pub fn with_error(&self, observation: usize, by: f64) -> Net {
        let mut net = self.clone();
        net.observed[observation - 1].2 += by;
        net
    }

    /// The linear model: unknowns are the sought heights.
    pub fn observations(&self) -> Observations {
        let (rows, columns) = (self.observed.len(), self.sought.len());
        let mut design = DMatrix::zeros(rows, columns);
        let mut values = DVector::zeros(rows);
        for (row, (from, to, difference, _)) in self.observed.iter().enumerate() {
            values[row] = *difference;
            for (point, sign) in [(to, 1.0), (from, -1.0)] {
                match self.sought.iter().position(|(name, _)| name == point) {
                    Some(column) => design[(row, column)] += sign,
                    None => values[row] -= sign * self.height(point),
                }
            }
        }
        let deviations = DVector::from_iterator(rows, self.observed.iter().map(|one| one.3));
        Observations::new(design, values, deviations).unwrap()
    }

    fn height(&self, point: &str) -> f64 {
        self.known
            .iter()
            .find(|(name, _)| *name == point)
            .unwrap()
            .1
    }

    /// The same as a model: known heights are exact, sought ones stand on a drawing that leaves them nearly any room.
    pub fn reconciled(&self) -> Reconciled {
        let mut text = format!(
            "(format: 1, title: \"levels\", unit: {}, fit: \"1 mm\", dimensions: {{",
            self.unit.0
        );
        for (name, height) in &self.sought {
            text += &format!("\"height of {name}\": (is: {height}, within: \"900 m\"),");
        }
        text += "}, parts: {";
        for (name, height) in &self.known {
            text += &format!(
                "\"{name}\": Custom(points: {{\"p\": ()}}, at: (fs: 0, bl: 0, wl: {height})),"
            );
        }
        for (name, _) in &self.sought {
            text += &format!(
                "\"{name}\": Custom(points: {{\"p\": ()}}, at: (fs: 0, bl: 0, wl: \"height of {name}\")),"
            );
        }
        text += "}, measurements: {";
        for (at, (from, to, difference, deviation)) in self.observed.iter().enumerate() {
            text += &format!(
                "\"{}\": (from: \"{from}.p\", to: \"{to}.p\", toward: Up, is: {difference:.6}, uncertainty: {deviation}),",
                at + 1
            );
        }
        text += "})";
        let document =
            source::read::<Document>(&text).unwrap_or_else(|fault| panic!("{fault:?}\n{text}"));
        let assembly = assemble(&document).unwrap_or_else(|faults| panic!("{faults:#?}"));
        assembly.solve().unwrap().reconcile().unwrap()
    }

    /// The adjusted heights, both ways, after holding them to each other.
    pub fn heights(&self) -> Vec<f64> {
        let direct = self.observations().adjust().unwrap().unknowns;
        let told = self.reconciled();
        assert_eq!(told.figures.len(), direct.len());
        for ((figure, height), (name, _)) in told.figures.iter().zip(&direct).zip(&self.sought) {
            assert_eq!(figure.name, format!("height of {name}"));
            let as_model = figure.after / self.unit.1;
            assert!(
                (as_model - height).abs() < 1e-6,
                "{name}: {as_model} and {height}"
            );
        }
        direct
    }
}

/// Holds figures to those of a source.
pub fn agree(what: &str, got: impl IntoIterator<Item = f64>, expected: &[f64], within: f64) {
    let got: Vec<f64> = got.into_iter().collect();
    assert_eq!(got.len(), expected.len(), "{what}: {got:?}");
    for (one, expected) in got.iter().zip(expected) {
        assert!(
            (one - expected).abs() <= within,
            "{what}: {got:?} for {expected}"
        );
    }
}
