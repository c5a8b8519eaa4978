//! An order as it is told. In: the question and the steps found. Out: each step with its reasons and the joints that it closes, what stays open,
//! what is drilled first.

use super::answer::{Closed, DrillFirst, End, LeftOpen, Reason, Step, WayUsed, WhyOpen};
use super::build::{Group, Question, blockers};
use super::logic::{Closing, Parts, is_free};
use crate::relation::split_name;
use crate::words::Side;

/// The side that an end of a stack looks to most.
pub(super) fn side_of(way: [f64; 3], end: End) -> Side {
    let out = match end {
        End::Head => way.map(|part| -part),
        End::Tail => way,
    };
    let along = |side: &Side| -> f64 {
        let vector = side.vector();
        out.iter().zip(vector).map(|(a, b)| a * b).sum()
    };
    Side::ALL
        .into_iter()
        .max_by(|a, b| along(a).total_cmp(&along(b)))
        .unwrap_or(Side::Up)
}

/// The parts that are in after each of the parts of an order, those of the record before all.
pub(super) struct Course {
    /// Each part with its step, counted from 0.
    parts: Vec<(usize, usize)>,
    /// What is in after so many parts.
    inside: Vec<Parts>,
}

impl Course {
    pub(super) fn of(steps: &[Vec<usize>], fitted: &Parts) -> Course {
        let numbered = steps.iter().enumerate();
        let parts: Vec<(usize, usize)> = numbered
            .flat_map(|(step, parts)| parts.iter().map(move |part| (*part, step)))
            .collect();
        let mut inside = vec![fitted.clone()];
        let mut all = fitted.clone();
        for (part, _) in &parts {
            all.insert(*part);
            inside.push(all.clone());
        }
        Course { parts, inside }
    }

    /// After how many parts all of these are in.
    fn all_in(&self, parts: &Parts) -> Option<usize> {
        self.inside
            .iter()
            .position(|inside| parts.is_subset(inside))
    }

    fn inside(&self, count: usize) -> &Parts {
        static NONE: Parts = Parts::new();
        self.inside.get(count).unwrap_or(&NONE)
    }

    /// The part that goes in as this one in turn, with its step.
    fn nth(&self, count: usize) -> Option<(usize, usize)> {
        self.parts.get(count.checked_sub(1)?).copied()
    }
}

impl Question<'_> {
    fn joint_name(&self, group: &Group) -> String {
        let joint = self.fastenings.get(group.fastening);
        joint.map_or_else(String::new, |joint| joint.statement.clone())
    }

    fn groups(&self) -> impl Iterator<Item = (&Group, &Closing)> {
        self.groups.iter().zip(&self.problem.joints)
    }

    pub(super) fn steps(&self, steps: &[Vec<usize>], course: &Course) -> Vec<Step> {
        let mut list: Vec<Step> = steps
            .iter()
            .map(|parts| Step {
                parts: parts.iter().map(|part| self.name(*part)).collect(),
                reasons: Vec::new(),
                closes: Vec::new(),
            })
            .collect();
        for (count, (part, step)) in course.parts.iter().enumerate() {
            if let Some(step) = list.get_mut(*step) {
                for reason in self.reasons(*part, course, count) {
                    add(&mut step.reasons, reason);
                }
            }
        }
        for (group, closing) in self.groups() {
            let count = course.all_in(&closing.waits_for);
            let Some((_, step)) = count.and_then(|count| course.nth(count)) else {
                continue;
            };
            if let Some((step, count)) = list.get_mut(step).zip(count) {
                step.closes.push(self.closed(group, course.inside(count)));
            }
        }
        list
    }

    fn closed(&self, group: &Group, inside: &Parts) -> Closed {
        let joint = self.fastenings.get(group.fastening);
        let way = joint.map(|joint| joint.way);
        let mut ways: Vec<WayUsed> = Vec::new();
        for (_, reach) in &group.reach {
            let free = reach
                .set
                .iter()
                .find(|way| way.blockers.is_disjoint(inside));
            let Some((free, way)) = free.zip(way) else {
                continue;
            };
            let tools = free.tools.iter();
            let tools: Vec<_> = tools
                .map(|(tool, end)| (*tool, side_of(way, *end)))
                .collect();
            match ways.iter_mut().find(|used| used.tools == tools) {
                Some(used) => used.places += 1,
                None => ways.push(WayUsed { tools, places: 1 }),
            }
        }
        Closed {
            joint: self.joint_name(group),
            places: group.places.len(),
            of: joint.map_or(0, |joint| joint.places.len()),
            out_of_reach: group.lost,
            ways,
        }
    }

    /// Why a part goes in after so many others.
    fn reasons(&self, part: usize, course: &Course, count: usize) -> Vec<Reason> {
        let mut list = Vec::new();
        let inside = course.inside(count);
        let pairs = self.problem.before.iter().zip(&self.stated);
        for ([first, then], statement) in pairs.clone() {
            if *then == part {
                let reason = Reason::After {
                    statement: statement.name.clone(),
                    parts: vec![self.name(*first)],
                    because: statement.because.clone(),
                };
                add(&mut list, reason);
            }
        }
        for (group, closing) in self.groups() {
            let Some(closed) = course.all_in(&closing.waits_for).filter(|at| *at <= count) else {
                continue;
            };
            let mut with_it = course.inside(closed).clone();
            with_it.insert(part);
            let mut now = inside.clone();
            now.insert(part);
            // by itself, or as the last of several
            let shuts = closing.blocked(&with_it).is_some()
                || (closing.blocked(inside).is_none() && closing.blocked(&now).is_some());
            if closed > 0 && shuts {
                let joints = vec![self.joint_name(group)];
                add(&mut list, Reason::OutOfTheWay { joints });
            }
        }
        if !list.is_empty() {
            return list;
        }
        for ([first, then], statement) in pairs {
            if *first == part {
                let reason = Reason::Before {
                    statement: statement.name.clone(),
                    parts: vec![self.name(*then)],
                    because: statement.because.clone(),
                };
                add(&mut list, reason);
            }
        }
        let (mut joints, mut parts) = (Vec::new(), Parts::new());
        for joint in &self.fastenings {
            let layers: Parts = joint.layers.iter().copied().collect();
            if layers.contains(&part) && !layers.is_disjoint(inside) {
                joints.push(joint.statement.clone());
                parts.extend(layers.intersection(inside));
            }
        }
        if !joints.is_empty() {
            let parts = self.names(&parts);
            list.push(Reason::JoinsOn { joints, parts });
        }
        if list.is_empty() {
            let located = self.located(part, inside);
            list.push(located.unwrap_or(Reason::AsInTheFile));
        }
        list
    }

    /// The first statement that locates a part from what is in.
    fn located(&self, part: usize, inside: &Parts) -> Option<Reason> {
        self.solved
            .assembly
            .statements
            .iter()
            .find_map(|statement| {
                let (parts, from_datum) = self.named_by(&statement.names);
                let others: Parts = parts.iter().copied().filter(|at| *at != part).collect();
                let stands = parts.contains(&part)
                    && others.is_subset(inside)
                    && (from_datum || !others.is_empty());
                stands.then(|| Reason::LocatedFrom {
                    statements: vec![statement.name.clone()],
                    parts: self.names(&others),
                })
            })
    }

    /// The parts that a statement names, and whether it names the datum.
    pub(super) fn named_by(&self, names: &[String]) -> (Parts, bool) {
        let assembly = self.solved.assembly;
        let known = |name: &str| assembly.names.contains_key(name);
        let stems = names.iter().map(|name| {
            let whole = known(name).then_some(name.as_str());
            whole.or_else(|| split_name(known, name).map(|(part, _)| part))
        });
        let stems: Vec<&str> = stems.flatten().collect();
        let parts = assembly.parts.iter().enumerate();
        let named: Parts = parts
            .filter(|(_, part)| stems.contains(&part.name.as_str()))
            .map(|(at, _)| at)
            .collect();
        let others: Parts = named
            .iter()
            .copied()
            .filter(|at| self.name(*at) != crate::assembly::DATUM)
            .collect();
        let from_datum = others.len() < named.len();
        (others, from_datum)
    }

    pub(super) fn left_open(&self, course: &Course) -> Vec<LeftOpen> {
        let mut list = Vec::new();
        for (group, closing) in self.groups() {
            let Some(joint) = self.fastenings.get(group.fastening) else {
                continue;
            };
            let layers: Parts = joint.layers.iter().copied().collect();
            let closes = course.all_in(&closing.waits_for);
            let Some((count, (_, step))) = closes.and_then(|at| Some((at, course.nth(at)?))) else {
                continue;
            };
            // open from the moment that two of its layers are in
            let from = course
                .inside
                .iter()
                .position(|inside| inside.intersection(&layers).count() > 1);
            let Some(from) = from.filter(|from| *from < count) else {
                continue;
            };
            if course.nth(from).is_some_and(|(_, first)| first == step) {
                continue;
            }
            let before = course.inside(from);
            let late: Parts = closing.waits_for.difference(before).copied().collect();
            let stated = group
                .until
                .iter()
                .find(|(_, until)| !until.is_disjoint(&late));
            let why = match stated {
                Some((statement, _)) => WhyOpen::Stated(statement.clone()),
                None if layers.is_disjoint(&late) => WhyOpen::Shared,
                None => WhyOpen::Layers,
            };
            let all = joint.places.len();
            list.push(LeftOpen {
                joint: joint.statement.clone(),
                only: (group.places.len() < all).then_some(group.places.len()),
                until: self.names(&late),
                step: step + 1,
                why,
            });
        }
        list
    }

    pub(super) fn drill_first(&self, course: &Course) -> Vec<DrillFirst> {
        let mut list: Vec<DrillFirst> = Vec::new();
        for (group, closing) in self.groups() {
            let Some(joint) = self.fastenings.get(group.fastening) else {
                continue;
            };
            let Some(closes) = course.all_in(&closing.waits_for).filter(|at| *at > 0) else {
                continue;
            };
            for (_, reach) in &group.reach {
                let ways = blockers(&reach.drill);
                if is_free(&ways, course.inside(closes)) {
                    continue;
                }
                let last = (0..closes).rfind(|at| is_free(&ways, course.inside(*at)));
                let before = last.and_then(|at| course.nth(at + 1));
                let inside = last.map(|at| course.inside(at));
                let layers: Parts = joint.layers.iter().copied().collect();
                let drilled: Parts = inside.map_or_else(Parts::new, |inside| {
                    layers.intersection(inside).copied().collect()
                });
                let one = DrillFirst {
                    joint: joint.statement.clone(),
                    places: 1,
                    layers: self.names(&drilled),
                    before: before.map(|(part, _)| self.name(part)),
                    step: before.map(|(_, step)| step + 1),
                    own: before.is_some_and(|(part, _)| layers.contains(&part)),
                };
                let same = |other: &&mut DrillFirst| {
                    other.joint == one.joint && other.before == one.before
                };
                match list.iter_mut().find(same) {
                    Some(known) => known.places += 1,
                    None => list.push(one),
                }
            }
        }
        list
    }
}

/// Adds a reason, or its parts to the one of the same statement.
fn add(list: &mut Vec<Reason>, reason: Reason) {
    for known in list.iter_mut() {
        match (known, &reason) {
            (
                Reason::After {
                    statement, parts, ..
                },
                Reason::After {
                    statement: other,
                    parts: more,
                    ..
                },
            )
            | (
                Reason::Before {
                    statement, parts, ..
                },
                Reason::Before {
                    statement: other,
                    parts: more,
                    ..
                },
            ) if statement == other => {
                merge(parts, more);
                return;
            }
            (Reason::OutOfTheWay { joints }, Reason::OutOfTheWay { joints: others }) => {
                merge(joints, others);
                return;
            }
            (
                Reason::JoinsOn { joints, parts },
                Reason::JoinsOn {
                    joints: others,
                    parts: more,
                },
            )
            | (
                Reason::LocatedFrom {
                    statements: joints,
                    parts,
                },
                Reason::LocatedFrom {
                    statements: others,
                    parts: more,
                },
            ) => {
                merge(joints, others);
                merge(parts, more);
                return;
            }
            (known, reason) if known == reason => return,
            _ => {}
        }
    }
    list.push(reason);
}

fn merge(list: &mut Vec<String>, more: &[String]) {
    for one in more {
        if !list.contains(one) {
            list.push(one.clone());
        }
    }
}
