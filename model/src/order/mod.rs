//! In which order parts are fitted. In: a solved assembly, and how far parts are made. Out: steps, each with its reasons, or the circle of
//! reasons why there is no order.
//!
//! A joint closes when all its parts are in, and then tools have to reach each of its fasteners (`access.rs`) beside all that is in.
//! `stated.rs` reads what the file says, `build.rs` makes numbers of it all, `logic.rs` finds an order, `circle.rs` why there is none, `tell.rs`
//! and `told_circle.rs` lead back to names. How parts are brought to their place is not looked at: only the room to drill and to set.

mod access;
mod answer;
mod build;
mod circle;
mod logic;
#[cfg(test)]
mod logic_tests;
mod rank;
mod stated;
mod tell;
#[cfg(test)]
mod tests;
mod told_circle;

pub use answer::{
    Circle, Closed, DrillFirst, End, LeftOpen, Link, LinkWhy, NotLookedAt, Order, OutOfReach,
    Reason, Step, ToolInUse, WayOut, WayUsed, WhyNot, WhyOpen,
};
pub use stated::{AssembledOrder, Fitting, OwnTool};
pub(crate) use stated::{enter, forget};

use std::collections::BTreeMap;

use crate::assembly::Solved;
use crate::record::Progress;
use crate::trade::tools::Tool;
use crate::words::other_hand;
use build::Question;
use logic::Parts;
use tell::Course;

impl Solved<'_> {
    /// An order of fitting, or why there is none. What is fitted already is in before all, and its joints are closed.
    pub fn fitting_order(&self, progress: &Progress) -> Order {
        let question = Question::of(self, progress);
        let problem = &question.problem;
        let numbers = self.assembly.parts.iter().enumerate();
        let number: BTreeMap<&str, usize> =
            numbers.map(|(at, part)| (part.name.as_str(), at)).collect();
        let twin = |part: usize| {
            let name = other_hand(&self.assembly.parts.get(part)?.name)?;
            number.get(name.as_str()).copied()
        };
        let rank = self.ranks(&question, &twin);
        let found = problem.order(&|part| rank.get(&part).copied().unwrap_or(0), &twin);
        let mut order = Order {
            fitted: question.names(&problem.fitted),
            tools: self.tools_in_use(),
            ..Order::default()
        };
        match found {
            Ok(steps) => {
                let course = Course::of(&steps, &problem.fitted);
                order.steps = question.steps(&steps, &course);
                order.left_open = question.left_open(&course);
                order.drill_first = question.drill_first(&course);
            }
            Err(stuck) => {
                let circle = problem.circle(&stuck);
                order.circle = Some(question.told_circle(&circle));
            }
        }
        order.out_of_reach = question.out_of_reach;
        order.not_looked_at = question.not_looked_at;
        order.broken = question.broken;
        order.idle = question.idle;
        order
    }

    fn ranks(
        &self,
        question: &Question<'_>,
        twin: &dyn Fn(usize) -> Option<usize>,
    ) -> BTreeMap<usize, usize> {
        let joints = question.fastenings.iter();
        let stacks: Vec<Vec<usize>> = joints.map(|joint| joint.layers.clone()).collect();
        let statements = self.assembly.statements.iter();
        let located: Vec<Parts> = statements
            .map(|statement| question.named_by(&statement.names).0)
            .collect();
        let problem = &question.problem;
        let order = rank::ranked(&problem.parts, &problem.fitted, &stacks, &located, twin);
        order.into_iter().zip(0..).collect()
    }

    fn tools_in_use(&self) -> Vec<ToolInUse> {
        let order = &self.assembly.order;
        let tools = Tool::ALL.iter().map(|tool| ToolInUse {
            tool: *tool,
            envelope: order.envelope(*tool),
            own: order.tools.contains_key(tool),
        });
        tools.collect()
    }
}
