//! The equations that the peers solve are the solver's own, and outside arithmetic finds the same place.

use crate::long_fuselage;
use crate::peers;
use std::collections::BTreeSet;

use num_dual::DualNum;
use strongback_solver::geometry::Direction;
use strongback_solver::{
    Affine, Equation, Measure, Solution, State, System, Tolerances, Verdict, solve,
};

use crate::long_fuselage::Family;
use crate::peers::cholesky::Cholesky;
use crate::peers::evaluate::Evaluator;
use crate::peers::export::{Exported, export};
use crate::peers::fuselage::{Fuselage, fuselage};
use crate::peers::gauss_newton::gauss_newton;
use crate::peers::qr::Qr;
use crate::peers::text::arrays;

/// Three bays of each family, and 26, of which one has a figure that contradicts the others.
fn fuselages() -> Vec<Fuselage> {
    let of = |(family, bays)| {
        let (text, planted) = long_fuselage::model(family, bays);
        fuselage(&text, &planted.at_odds).unwrap()
    };
    let mut all: Vec<_> = Family::ALL.map(|family| (family, 3)).into();
    all.push((Family::Chain, 26));
    all.into_iter().map(of).collect()
}

fn solved(fuselage: &Fuselage) -> (Solution<'_>, Exported) {
    let system = &fuselage.assembly.system;
    (
        solve(system, &Tolerances::default()).unwrap(),
        export(system, &fuselage.at_odds).unwrap(),
    )
}

/// The residuals of the solver in the order of the rows exported.
fn residuals(exported: &Exported, solution: &Solution<'_>, state: &State) -> Vec<f64> {
    let system = solution.system();
    let equations = exported.ids.iter().map(|id| system.get_equation(*id));
    let residual = |equation: &Equation| {
        let scale = match equation.measure() {
            Measure::Length => 1.0,
            Measure::Angle => system.reference_length(),
        };
        system.miss(equation, state)[0] * scale
    };
    equations.map(residual).collect()
}

fn values(exported: &Exported, state: &State) -> Vec<f64> {
    let unknowns = exported.unknowns.iter();
    unknowns.map(|var| state.value(*var)).collect()
}

#[test]
fn what_is_left_out_is_what_the_solver_finds_at_odds() {
    for fuselage in fuselages() {
        let (solution, exported) = solved(&fuselage);
        let at_odds = |verdict| matches!(verdict, Verdict::AtOdds { .. });
        for (id, _) in fuselage.assembly.system.equations() {
            let left_out = !exported.ids.contains(&id);
            assert_eq!(left_out, at_odds(solution.verdict(id)));
        }
    }
}

#[test]
fn residuals_are_the_solvers_own_at_the_start_and_at_the_solution() {
    for fuselage in fuselages() {
        let (solution, exported) = solved(&fuselage);
        let mut evaluator = Evaluator::new(&exported.equations);
        let start = fuselage.assembly.system.start();
        assert_eq!(values(&exported, &start), exported.equations.start);
        for state in [&start, solution.state()] {
            evaluator.evaluate(&values(&exported, state));
            let theirs = residuals(&exported, &solution, state);
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
    for fuselage in fuselages() {
        let (solution, exported) = solved(&fuselage);
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
    for fuselage in fuselages() {
        let (solution, exported) = solved(&fuselage);
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

#[test]
fn what_other_programs_read_is_what_is_solved_here() {
    for fuselage in fuselages() {
        let exported = export(&fuselage.assembly.system, &fuselage.at_odds).unwrap();
        let equations = &exported.equations;
        let read = arrays(&equations.to_string()).unwrap();
        let whole = |values: &[usize]| values.iter().map(|v| *v as f64).collect::<Vec<_>>();
        assert_eq!(read["start"], equations.start);
        assert_eq!(read["within"], [equations.within]);
        assert_eq!(read["first_term"], whole(&equations.first_term));
        assert_eq!(read["first_factor"], whole(&equations.first_factor));
        assert_eq!(read["factor"], whole(&equations.factor));
        for (name, forms) in [("angle", &equations.angles), ("amount", &equations.amounts)] {
            let array = |what: &str| &read[&format!("{name}_{what}")];
            assert_eq!(*array("constant"), forms.constant);
            assert_eq!(*array("first"), whole(&forms.first));
            assert_eq!(*array("unknown"), whole(&forms.unknown));
            assert_eq!(*array("coefficient"), forms.coefficient);
        }
    }
}

#[test]
fn what_has_no_place_in_the_neutral_form_is_an_error() {
    let mut system = System::new(1000.0);
    let turn = system.free_turn();
    let body = system.body([0.0; 3].map(Affine::constant), turn);
    let a = Direction::Fixed {
        body,
        vector: [1.0, 0.0, 0.0],
    };
    let b = Direction::Fixed {
        body: System::FIXED,
        vector: [1.0, 0.0, 0.0],
    };
    system.equation(Equation::Parallel { a, b }, 0);
    let error = export(&system, &BTreeSet::new()).err().unwrap();
    assert!(error.contains("Parallel"), "{error}");
}
