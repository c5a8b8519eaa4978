//! What rows come to, and their derivatives by the columns. In: a state. Out: values, gradients, the sparse Jacobian.
//!
//! A row that is a sum whatever the unknowns are has its coefficients ready; one that is a sum with turns held is [taken
//! apart](crate::sums); any other is evaluated in dual numbers.

use super::{IsSum, ROUNDING, RowId, Rows};
use crate::equation::Equation;
use crate::evaluate::Derivatives;
use crate::geometry::Var;
use crate::rotation::Rotations;
use crate::sparse::{Entry, SparseRow, SparseRows};
use crate::sums::{Sum, Sums};
use crate::system::{EquationId, State, Status};

/// Room for a row and its gradient, kept from row to row so that nothing allocates.
#[derive(Debug, Default)]
pub(crate) struct Linear {
    sum: Sum,
    rotations: Rotations,
    derivatives: Derivatives,
}

impl Linear {
    /// The gradient of the last row, by columns.
    pub(crate) fn gradient(&self) -> &[Entry] {
        &self.sum.entries
    }

    /// The derivative of the last row by a column.
    pub(crate) fn by(&self, column: usize) -> f64 {
        let mut entries = self.gradient().iter();
        let own = entries.find(|(other, _)| *other == column);
        own.map_or(0.0, |(_, by)| *by)
    }
}

impl Rows<'_> {
    /// The sparse rows of the Jacobian at a state, in the order of [`Rows::ids`].
    pub(crate) fn jacobian(&self, state: &State) -> SparseRows {
        self.jacobian_of(state, |_| true)
    }

    /// The same of some rows; the others are empty.
    pub(crate) fn jacobian_of(&self, state: &State, of: impl Fn(usize) -> bool) -> SparseRows {
        let mut matrix = SparseRows::with_capacity(self.ids.len(), self.sums.entries().len());
        let mut room = Linear::default();
        for (row, id) in self.ids.iter().enumerate() {
            if !of(row) {
                matrix.push([]);
            } else if self.is_sum[id.equation.index()] == IsSum::Always {
                matrix.push(self.sums.row(row).iter().copied());
            } else {
                self.linear(row, state, &mut room);
                matrix.push(room.gradient().iter().copied());
            }
        }
        matrix
    }

    /// The gradient of a row of any equation, by the unknowns.
    pub(crate) fn gradient(&self, equation: &Equation, state: &State) -> Vec<SparseRow> {
        let reads = self.system.variables_of(equation, Some(Status::Unknown));
        let derivatives = self.system.derivatives(equation, state, &reads);
        derivatives
            .iter()
            .take(equation.rows())
            .map(|values| self.sparse(&reads, values).collect())
            .collect()
    }

    /// Derivatives by unknowns as the entries of a row, without what is rounding.
    pub(crate) fn sparse<'r>(
        &'r self,
        reads: &'r [Var],
        values: &'r [f64],
    ) -> impl Iterator<Item = Entry> + 'r {
        reads.iter().zip(values).filter_map(|(var, value)| {
            let column = self.column_of[var.index()]?;
            self.is_entry(column, *value).then_some((column, *value))
        })
    }

    /// Whether a derivative is more than rounding.
    pub(super) fn is_entry(&self, column: usize, value: f64) -> bool {
        let per_angle = self.system.scale.max(1.0);
        value.abs()
            > if self.angular[column] {
                ROUNDING * per_angle
            } else {
                ROUNDING
            }
    }

    /// What a row comes to at a state, and its gradient by the columns, left in the room given.
    pub(crate) fn linear(&self, row: usize, state: &State, room: &mut Linear) -> f64 {
        let RowId { equation: id, row } = self.ids[row];
        let equation = self.system.get_equation(id);
        let Linear {
            sum,
            rotations,
            derivatives,
        } = room;
        let is_sum = equation.is_sum_with_turns_held();
        if is_sum && Sums::at(self, state, rotations).row(equation, row, sum) {
            let value = sum.value(|column| state.values[self.unknowns[column].index()]);
            sum.join_turns();
            sum.entries
                .retain(|(column, by)| self.is_entry(*column, *by));
            return value;
        }
        let reads = self.unknowns_of(id);
        let values = (self.system).derivatives_into(equation, state, reads, derivatives);
        sum.entries.clear();
        sum.entries.extend(self.sparse(reads, &derivatives[row]));
        values[row]
    }

    /// What all rows come to in a state with the givens of the system: as [`Rows::value`], by its sum where a row is one.
    pub(crate) fn values(&self, state: &State) -> Vec<f64> {
        let mut values = Vec::with_capacity(self.ids.len());
        for (at, equation) in self.system.equations.iter().enumerate() {
            if self.is_sum[at] == IsSum::No {
                let all = self.system.residual(equation, state);
                values.extend(all.into_iter().take(equation.rows()));
                continue;
            }
            for row in self.of(EquationId(at as u32)) {
                let entries = self.sums.row(row).iter();
                values.push(entries.fold(self.constants[row], |sum, (column, by)| {
                    sum + by * state.values[self.unknowns[*column].index()]
                }));
            }
        }
        values
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::equation::Measure;
    use crate::geometry::{Affine, Axis, BodyId, Direction, Plane, Point, Turn};
    use crate::system::System;

    /// Two bodies, turned in one of four ways each, and an equation of each kind that is a sum with turns held.
    fn system(turns: [u8; 2], numbers: &[f64]) -> System {
        let mut numbers = numbers.iter().copied().cycle();
        let mut number = || numbers.next().unwrap_or(1.0);
        let mut system = System::new(500.0);
        let length = |system: &mut System, by: f64| {
            let var = system.unknown(by, Measure::Length);
            Affine::var(var).times(0.5).plus(&Affine::constant(3.0))
        };
        let bodies: Vec<BodyId> = turns
            .iter()
            .map(|turn| {
                let origin = [(); 3].map(|()| length(&mut system, number()));
                let mut angle =
                    |system: &mut System| system.unknown(number() / 50.0, Measure::Angle);
                let turn = match turn {
                    0 => Turn::Square,
                    1 => Turn::Angles {
                        roll: Affine::default(),
                        pitch: Affine::var(angle(&mut system)),
                        yaw: Affine::default(),
                    },
                    2 => Turn::Angles {
                        roll: Affine::var(system.given(0.3, Measure::Angle)),
                        pitch: Affine::var(angle(&mut system)),
                        yaw: Affine::var(angle(&mut system)).times(2.0),
                    },
                    _ => system.free_turn(),
                };
                system.body(origin, turn)
            })
            .collect();
        let point = |system: &mut System, body: BodyId| Point {
            body,
            at: [(); 3].map(|()| length(system, 7.0)),
        };
        let normal = |body: BodyId| Direction::Fixed {
            body,
            vector: [0.6, -0.3, 0.9],
        };
        let [a, b] = [bodies[0], bodies[1]];
        let p = point(&mut system, a);
        let plane = |system: &mut System, body: BodyId| Plane {
            point: point(system, body),
            normal: normal(body),
        };
        let planes = [a, b].map(|body| plane(&mut system, body));
        let equations = [
            Equation::PointOnPlane {
                point: p.clone(),
                plane: planes[1].clone(),
                offset: Affine::constant(2.0),
            },
            Equation::PointOnPlane {
                point: planes[1].point.clone(),
                plane: planes[0].clone(),
                offset: Affine::constant(1.0),
            },
            Equation::PointOnAxis {
                point: p.clone(),
                axis: Axis {
                    point: planes[1].point.clone(),
                    direction: normal(b),
                },
            },
            Equation::Midway {
                point: p,
                between: Box::new(planes),
            },
        ];
        for equation in equations {
            system.equation(equation, 0);
        }
        system
    }

    proptest! {
        #[test]
        fn sums_with_turns_have_the_values_and_derivatives_of_dual_numbers(
            turns in [0..4_u8, 0..4_u8],
            numbers in prop::collection::vec(-40.0..40.0_f64, 7),
        ) {
            let system = system(turns, &numbers);
            let rows = Rows::new(&system);
            let mut state = system.start();
            for column in 0..rows.unknowns.len() {
                rows.step(&mut state, column, 0.01 * (column as f64 - 5.0));
            }
            let mut room = Linear::default();
            for (row, id) in rows.ids.iter().enumerate() {
                let equation = rows.equation(row);
                prop_assert!(equation.is_sum_with_turns_held());
                let value = rows.linear(row, &state, &mut room);
                prop_assert!((value - rows.value(row, &state)).abs() < 1e-9);
                let exact = system.derivatives(equation, &state, &rows.unknowns);
                for (column, by) in exact[id.row].iter().enumerate() {
                    prop_assert!((by - room.by(column)).abs() < 1e-9, "row {} column {}", row, column);
                }
            }
        }
    }
}
