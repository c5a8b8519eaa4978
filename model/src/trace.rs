//! Where a shift comes from: for each part that moves, the way from what was changed, along the statements
//! that really carry it.
//!
//! The way is the chain behind the coordinate that shifts most, cut off before the last place where it
//! meets something that was changed.

use crate::assembly::Solved;
use crate::layout::Layout;
use crate::relation::split_name;
use crate::restated::Restated;
use crate::shift::{Presence, Shift};
use crate::words::Axis;

/// What a shift can come from.
struct Sources<'a> {
    /// Parts that are changed themselves.
    parts: &'a [String],
    /// Dimensions with another figure.
    dimensions: &'a [String],
    /// What is stated differently of places.
    restated: &'a Restated,
    /// What to tell of something that is in no chain any more.
    gone: &'a str,
}

impl Solved<'_> {
    /// Notes for each part of a shift where it comes from. `layout` is this solution's own, the new one of
    /// the two that were compared; `restated` is what their documents state differently of places.
    pub fn trace(&self, shift: &mut Shift, layout: &Layout, restated: &Restated) {
        let changed: Vec<String> = shift
            .parts
            .iter()
            .filter(|part| part.is_source(layout) || restated.parts.contains(&part.part))
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
        let gone = match (dropped, &restated.gone[..]) {
            (Some(part), _) => format!("{} left out", part.part),
            (None, [only]) => format!("{only} left out"),
            (None, _) => "a statement changed".to_owned(),
        };
        let sources = Sources {
            parts: &changed,
            dimensions: &dimensions,
            restated,
            gone: &gone,
        };
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
            // what no chain reaches any more, since nothing holds it, was held by what is gone
            let way = self.way(&name, axis, &sources);
            let (from, through) = way.unwrap_or_else(|| (gone.clone(), Vec::new()));
            part.from = Some(from);
            part.through = through;
        }
    }

    /// The source nearest to a feature, and the statements from there to it.
    fn way(
        &self,
        feature: &str,
        axis: Axis,
        sources: &Sources<'_>,
    ) -> Option<(String, Vec<String>)> {
        let chain = self.why(feature, Some(axis)).ok()?;
        let known = |part: &str| self.assembly.names.contains_key(part);
        for (at, step) in chain.through.iter().enumerate().rev() {
            let statement = self.assembly.statement(&step.statement)?;
            let by_part = statement.names.iter().find_map(|name| {
                let part = split_name(known, name).map_or(name.as_str(), |(part, _)| part);
                sources.parts.iter().find(|source| source.as_str() == part)
            });
            let source = by_part
                .or_else(|| self.reads_one_of(statement, sources.dimensions))
                .cloned();
            let from = |at: usize| {
                let through = chain.through[at..].iter();
                through.map(|step| step.statement.clone()).collect()
            };
            if let Some(source) = source {
                return Some((source, from(at)));
            }
            if let Some(new) = sources.restated.new_relation(&step.statement) {
                return Some(match (&new.without, &new.reading) {
                    (Some(part), _) => (format!("{part} left out"), from(at)),
                    (None, Some(_)) => (format!("{}, read otherwise", new.name), from(at + 1)),
                    (None, None) => (format!("{}, new", new.name), from(at + 1)),
                });
            }
        }
        // a size that rests on a dimension carries it without any statement between
        let leg = chain
            .legs
            .iter()
            .find(|leg| sources.dimensions.contains(&leg.name));
        let last = chain.through.last().map(|step| step.statement.clone());
        match (leg, last) {
            (Some(leg), last) => Some((leg.name.clone(), last.into_iter().collect())),
            // something that is no longer there: the chain's own last step is as near as can be told
            (None, Some(last)) => Some((sources.gone.to_owned(), vec![last])),
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
