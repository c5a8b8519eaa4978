//! The equations that the peers solve are the solver's own, and outside arithmetic finds the same place.

#[path = "long_fuselage/mod.rs"]
mod long_fuselage;

#[path = "peers/mod.rs"]
mod peers;

use num_dual::DualNum;
use strongback_model::assembly::{Assembly, assemble};
use strongback_model::document::Document;
use strongback_model::source::read;
use strongback_solver::{Solution, State, Tolerances, Verdict, solve};

use long_fuselage::Family;
use peers::cholesky::Cholesky;
use peers::evaluate::Evaluator;
use peers::export::{Exported, export};
use peers::gauss_newton::gauss_newton;
use peers::qr::Qr;

/// Three bays of each family.
fn assemblies() -> Vec<Assembly> {
    let assembly = |family| {
        let (text, _) = long_fuselage::model(family, 3);
        let document: Document = read(&text).unwrap();
        assemble(&document).unwrap()
    };
    Family::ALL.map(assembly).into()
}

fn solved(assembly: &Assembly) -> Solution<'_> {
    solve(&assembly.system, &Tolerances::default()).unwrap()
}

/// The residuals of the solver in the order of the rows exported.
fn residuals(solution: &Solution<'_>, state: &State) -> Vec<f64> {
    let system = solution.system();
    system
        .equations()
        .filter(|(id, _)| !matches!(solution.verdict(*id), Verdict::AtOdds { .. }))
        .map(|(_, equation)| {
            let scale = match equation.measure() {
                strongback_solver::Measure::Length => 1.0,
                strongback_solver::Measure::Angle => system.reference_length(),
            };
            system.miss(equation, state)[0] * scale
        })
        .collect()
}

fn values(exported: &Exported, state: &State) -> Vec<f64> {
    let unknowns = exported.unknowns.iter();
    unknowns.map(|var| state.value(*var)).collect()
}

#[test]
fn residuals_are_the_solvers_own_at_the_start_and_at_the_solution() {
    for assembly in assemblies() {
        let solution = solved(&assembly);
        let exported = export(&solution).unwrap();
        let mut evaluator = Evaluator::new(&exported.equations);
        let start = assembly.system.start();
        assert_eq!(values(&exported, &start), exported.equations.start);
        for state in [&start, solution.state()] {
            evaluator.evaluate(&values(&exported, state));
            let theirs = residuals(&solution, state);
            assert_eq!(evaluator.residuals.len(), theirs.len());
            for (ours, theirs) in evaluator.residuals.iter().zip(theirs) {
                assert!((ours - theirs).abs() < 1e-9, "{ours} {theirs}");
            }
        }
    }
}

/// A row of the neutral form over numbers that carry derivatives, by its definition.
fn row<D: DualNum<f64> + Copy>(exported: &Exported, row: usize, x: &[D]) -> D {
    let equations = &exported.equations;
    let form = |forms: &peers::equations::Forms, form: usize| {
        let entries = forms.entries(form);
        entries.fold(D::from(forms.constant[form]), |sum, (unknown, by)| {
            sum + x[unknown] * by
        })
    };
    let terms = equations.terms_of(row).map(|term| {
        let factors = equations.factors_of(term).iter().map(|factor| {
            let angle = form(&equations.angles, factor / 2);
            if factor % 2 == 0 {
                angle.sin()
            } else {
                angle.cos()
            }
        });
        factors.fold(form(&equations.amounts, term), |product, factor| {
            product * factor
        })
    });
    terms.fold(D::from(0.0), |sum, term| sum + term)
}

#[test]
fn derivatives_are_those_of_dual_numbers() {
    for assembly in assemblies() {
        let solution = solved(&assembly);
        let exported = export(&solution).unwrap();
        let mut evaluator = Evaluator::new(&exported.equations);
        // beside the solution, where no derivative vanishes by accident; twice, since the second must not add to the first
        for by in [0.01, 0.02] {
            let mut x = values(&exported, solution.state());
            x.iter_mut()
                .enumerate()
                .for_each(|(at, x)| *x += by * (at as f64).sin());
            evaluator.evaluate(&x);
            evaluator.differentiate(&x);
            let mut dual: Vec<num_dual::Dual64> = x.iter().copied().map(From::from).collect();
            for at in 0..exported.equations.rows() {
                let (columns, derivatives) = evaluator.jacobian.row(at);
                for (column, derivative) in columns.iter().zip(derivatives) {
                    dual[*column].eps = 1.0;
                    let theirs = row(&exported, at, &dual).eps;
                    dual[*column].eps = 0.0;
                    let within = 1e-12 * theirs.abs().max(1.0);
                    assert!(
                        (derivative - theirs).abs() < within,
                        "{derivative} {theirs}"
                    );
                }
            }
        }
    }
}

#[test]
fn gauss_and_newton_find_the_same_place() {
    for assembly in assemblies() {
        let solution = solved(&assembly);
        let exported = export(&solution).unwrap();
        let found = values(&exported, solution.state());
        let mut evaluator = Evaluator::new(&exported.equations);
        for search in [gauss_newton::<Cholesky>, gauss_newton::<Qr>] {
            let ended = search(&exported.equations, &mut evaluator).unwrap();
            for (theirs, ours) in ended.x.iter().zip(&found) {
                assert!((theirs - ours).abs() < 1e-6, "{theirs} {ours}");
            }
        }
    }
}
