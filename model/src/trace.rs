//! Where a shift comes from: for each part that moves, the way from what was changed, along the statements
//! that really carry it.
//!
//! The way is the chain behind the coordinate that shifts most, cut off before the last place where it
//! meets something that was changed.

use crate::assembly::Solved;
use crate::layout::Layout;
use crate::relation::split_name;
use crate::shift::{Presence, Shift};
use crate::words::Axis;

impl Solved<'_> {
    /// Notes for each part of a shift where it comes from. `layout` is this solution's own, the new one of
    /// the two that were compared.
    pub fn trace(&self, shift: &mut Shift, layout: &Layout) {
        let changed: Vec<String> = shift
            .parts
            .iter()
            .filter(|part| part.is_source(layout))
            .map(|part| part.part.clone())
            .collect();
        let dimensions: Vec<String> = shift
            .dimensions
            .iter()
            .map(|dimension| dimension.name.clone())
            .collect();
        let dropped = shift
            .parts
            .iter()
            .find(|part| part.presence == Presence::Dropped);
        let gone = dropped.map_or_else(
            || "a statement changed".to_owned(),
            |part| format!("{} left out", part.part),
        );
        for part in &mut shift.parts {
            if changed.contains(&part.part) {
                continue;
            }
            let moved = part.features.iter().flat_map(|feature| {
                Axis::ALL.map(|axis| (feature, axis, feature.shift_mm[axis.index()].abs()))
            });
            let most = moved.max_by(|a, b| a.2.total_cmp(&b.2));
            let Some((feature, axis, _)) = most else {
                continue;
            };
            let name = format!("{}.{}", part.part, feature.name);
            if let Some((from, through)) = self.way(&name, axis, &changed, &dimensions, &gone) {
                part.from = Some(from);
                part.through = through;
            }
        }
    }

    /// The source nearest to a feature, and the statements from there to it.
    fn way(
        &self,
        feature: &str,
        axis: Axis,
        changed: &[String],
        dimensions: &[String],
        gone: &str,
    ) -> Option<(String, Vec<String>)> {
        let chain = self.why(feature, Some(axis)).ok()?;
        let known = |part: &str| self.assembly.names.contains_key(part);
        for (at, step) in chain.through.iter().enumerate().rev() {
            let statement = self
                .assembly
                .statements
                .iter()
                .find(|statement| statement.name == step.statement)?;
            let by_part = statement.names.iter().find_map(|name| {
                let part = split_name(known, name).map_or(name.as_str(), |(part, _)| part);
                changed.iter().find(|source| source.as_str() == part)
            });
            let source = by_part
                .or_else(|| self.reads_one_of(statement, dimensions))
                .cloned();
            if let Some(source) = source {
                let through = &chain.through[at..];
                return Some((
                    source,
                    through.iter().map(|step| step.statement.clone()).collect(),
                ));
            }
        }
        // a size that rests on a dimension carries it without any statement between
        let leg = chain.legs.iter().find(|leg| dimensions.contains(&leg.name));
        let last = chain.through.last().map(|step| step.statement.clone());
        match (leg, last) {
            (Some(leg), last) => Some((leg.name.clone(), last.into_iter().collect())),
            // something that is no longer there: the chain's own last step is as near as can be told
            (None, Some(last)) => Some((gone.to_owned(), vec![last])),
            (None, None) => None,
        }
    }

    /// The dimension of a list that a statement's equations read.
    fn reads_one_of<'d>(
        &self,
        statement: &crate::assembly::AssembledStatement,
        dimensions: &'d [String],
    ) -> Option<&'d String> {
        statement.equations.iter().find_map(|(_, id)| {
            self.solution.reads(*id).into_iter().find_map(|var| {
                let label = self.assembly.quantities.label(var)?;
                dimensions.iter().find(|name| **name == label.text)
            })
        })
    }
}
