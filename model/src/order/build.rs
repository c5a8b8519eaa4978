//! The question of an order, from an assembly. In: joints as tools meet them, what is stated, what is fitted. Out: the problem on numbers, with
//! what leads back from it.

use super::access::{Reach, Way, Workshop};
use super::answer::{NotLookedAt, OutOfReach, WhyNot};
use super::logic::{Closing, Parts, Problem, is_free};
use super::stated::{AssembledFitting, Meant};
use super::tell::side_of;
use crate::assembly::{DATUM, Solved};
use crate::joint::Fastening;
use crate::record::{Progress, Stage};

/// A problem with what leads back from it.
pub(super) struct Question<'a> {
    pub(super) solved: &'a Solved<'a>,
    pub(super) problem: Problem,
    /// Of each joint of the problem.
    pub(super) groups: Vec<Group>,
    /// Of each stated order of two parts, the statement.
    pub(super) stated: Vec<&'a AssembledFitting>,
    pub(super) fastenings: Vec<Fastening>,
    pub(super) out_of_reach: Vec<OutOfReach>,
    pub(super) not_looked_at: Vec<NotLookedAt>,
    pub(super) broken: Vec<String>,
    pub(super) idle: Vec<String>,
}

/// Fasteners of a joint that close together.
pub(super) struct Group {
    /// The joint.
    pub(super) fastening: usize,
    /// Which of its places.
    pub(super) places: Vec<usize>,
    /// The ways at those of them that count, in the order of [`Closing::places`]: the place and its ways.
    pub(super) reach: Vec<(usize, Reach)>,
    /// How many of the places are out of reach.
    pub(super) lost: usize,
    /// Statements that keep it open, with the parts for which it waits.
    pub(super) until: Vec<(String, Parts)>,
}

pub(super) fn blockers(ways: &[Way]) -> Vec<Parts> {
    ways.iter().map(|way| way.blockers.clone()).collect()
}

impl<'a> Question<'a> {
    pub(super) fn of(solved: &'a Solved<'a>, progress: &Progress) -> Question<'a> {
        let parts = solved.assembly.parts.iter().enumerate();
        let (fitted, rest): (Vec<_>, Vec<_>) = parts
            .filter(|(_, part)| part.name != DATUM)
            .partition(|(_, part)| progress.of(&part.name).stage == Stage::Fitted);
        let numbers = |list: Vec<(usize, _)>| list.into_iter().map(|(at, _)| at).collect();
        let mut question = Question {
            solved,
            problem: Problem {
                parts: numbers(rest),
                fitted: numbers(fitted),
                ..Problem::default()
            },
            groups: Vec::new(),
            stated: Vec::new(),
            fastenings: solved.fastenings(),
            out_of_reach: Vec::new(),
            not_looked_at: Vec::new(),
            broken: Vec::new(),
            idle: Vec::new(),
        };
        question.take_stated();
        let workshop = Workshop::of(solved);
        for at in 0..question.fastenings.len() {
            question.take_joint(at, &workshop);
        }
        question
    }

    pub(super) fn name(&self, part: usize) -> String {
        let part = self.solved.assembly.parts.get(part);
        part.map_or_else(String::new, |part| part.name.clone())
    }

    pub(super) fn names(&self, parts: &Parts) -> Vec<String> {
        parts.iter().map(|part| self.name(*part)).collect()
    }

    fn take_stated(&mut self) {
        for statement in &self.solved.assembly.order.statements {
            match &statement.is {
                Meant::Before(first, then) => {
                    let pairs = first
                        .iter()
                        .flat_map(|a| then.iter().map(move |b| [*a, *b]));
                    for [a, b] in pairs {
                        let [a_is_in, b_is_in] =
                            [a, b].map(|part| self.problem.fitted.contains(&part));
                        if b_is_in && !a_is_in && !self.broken.contains(&statement.name) {
                            self.broken.push(statement.name.clone());
                        }
                        if !a_is_in && !b_is_in {
                            self.problem.before.push([a, b]);
                            self.stated.push(statement);
                        }
                    }
                }
                Meant::OpenUntil(joints, _) => {
                    if joints.is_empty() {
                        self.idle.push(statement.name.clone());
                    }
                }
            }
        }
    }

    /// The statements that keep a joint open, with the parts until which.
    fn until(&self, joint: &str) -> Vec<(String, Parts)> {
        let statements = self.solved.assembly.order.statements.iter();
        let until = statements.filter_map(|statement| match &statement.is {
            Meant::OpenUntil(joints, until) => joints
                .iter()
                .any(|name| name == joint)
                .then(|| (statement.name.clone(), until.iter().copied().collect())),
            Meant::Before(..) => None,
        });
        until.collect()
    }

    /// Why access to a joint can't be looked at.
    fn why_not(&self, joint: &Fastening) -> Option<WhyNot> {
        let parts = &self.solved.assembly.parts;
        let mut layers = joint.layers.iter().filter_map(|part| parts.get(*part));
        if joint.fastener.is_none() {
            Some(WhyNot::NoFastener)
        } else if joint.places.is_empty() {
            Some(WhyNot::NoPlaces)
        } else if layers.any(|part| !self.solved.is_settled(part)) {
            Some(WhyNot::Loose)
        } else {
            None
        }
    }

    fn take_joint(&mut self, at: usize, workshop: &Workshop) {
        let Some(joint) = self.fastenings.get(at).cloned() else {
            return;
        };
        let layers: Parts = joint.layers.iter().copied().collect();
        let until = self.until(&joint.statement);
        let closes_with: Parts = until
            .iter()
            .flat_map(|(_, parts)| parts)
            .chain(&layers)
            .copied()
            .collect();
        let why_not = self.why_not(&joint);
        let reach = match (why_not, joint.fastener) {
            (None, Some(fastener)) => workshop.reach(&joint, fastener),
            _ => Vec::new(),
        };
        // fasteners that go through a part more wait for it; the others don't
        let mut groups: Vec<(Parts, Vec<usize>)> = Vec::new();
        for place in 0..joint.places.len() {
            let also = joint.also.iter();
            let also: Parts = also
                .filter(|(_, places)| places.contains(&place))
                .map(|(part, _)| *part)
                .collect();
            match groups.iter_mut().find(|(known, _)| *known == also) {
                Some((_, places)) => places.push(place),
                None => groups.push((also, vec![place])),
            }
        }
        if groups.is_empty() {
            groups.push((Parts::new(), Vec::new()));
        }
        let mut closed_before = true;
        let mut lost: [Vec<(usize, Parts, &Reach)>; 2] = [Vec::new(), Vec::new()];
        for (also, places) in groups {
            let waits_for: Parts = closes_with.union(&also).copied().collect();
            let is_closed = waits_for.is_subset(&self.problem.fitted);
            closed_before &= is_closed;
            let own: Parts = layers.union(&also).copied().collect();
            let with_fitted: Parts = own.union(&self.problem.fitted).copied().collect();
            let mut counts = Vec::new();
            let mut lost_here = 0;
            for place in &places {
                let Some(reach) = reach.get(*place).filter(|_| !is_closed) else {
                    continue;
                };
                let ways = blockers(&reach.set);
                let lost_to = match (is_free(&ways, &own), is_free(&ways, &with_fitted)) {
                    (false, _) => Some((0, &own)),
                    (true, false) => Some((1, &with_fitted)),
                    (true, true) => None,
                };
                match lost_to {
                    Some((which, inside)) => {
                        lost_here += 1;
                        let met = least_met(&ways, inside);
                        if let Some(list) = lost.get_mut(which) {
                            list.push((*place, met, reach));
                        }
                    }
                    None => counts.push((*place, reach.clone())),
                }
            }
            self.problem.joints.push(Closing {
                waits_for,
                places: counts
                    .iter()
                    .map(|(_, reach)| blockers(&reach.set))
                    .collect(),
            });
            self.groups.push(Group {
                fastening: at,
                places,
                reach: counts,
                lost: lost_here,
                until: until.clone(),
            });
        }
        if let Some(why) = why_not.filter(|_| !closed_before) {
            self.not_looked_at.push(NotLookedAt {
                joint: joint.statement.clone(),
                why,
            });
        }
        for (list, own) in lost.iter().zip([true, false]) {
            self.out_of_reach.extend(self.told_lost(&joint, list, own));
        }
    }

    fn told_lost(
        &self,
        joint: &Fastening,
        list: &[(usize, Parts, &Reach)],
        own: bool,
    ) -> Option<OutOfReach> {
        let (first, ..) = list.first()?;
        let met: Parts = list.iter().flat_map(|(_, met, _)| met).copied().collect();
        let fixed: Parts = joint
            .layers
            .iter()
            .chain(&self.problem.fitted)
            .copied()
            .collect();
        let pull_from = [super::answer::End::Head, super::answer::End::Tail]
            .into_iter()
            .find(|end| {
                list.iter().all(|(_, _, reach)| {
                    let ways = reach.pull.iter();
                    let mut ways = ways.filter(|way| way.tools.iter().all(|(_, at)| at == end));
                    ways.any(|way| way.blockers.is_disjoint(&fixed))
                })
            });
        Some(OutOfReach {
            joint: joint.statement.clone(),
            places: list.len(),
            at_mm: joint.places.get(*first)?.head,
            in_the_way: self.names(&met),
            own,
            pull_from: pull_from.map(|end| side_of(joint.way, end)),
        })
    }
}

/// Of parts that are in, as few as block each of the ways: one for each that isn't blocked by those before it.
pub(super) fn least_met(ways: &[Parts], inside: &Parts) -> Parts {
    let mut met = Parts::new();
    for way in ways.iter().filter(|way| !way.is_disjoint(inside)) {
        if way.is_disjoint(&met) {
            met.extend(way.intersection(inside).next());
        }
    }
    met
}
