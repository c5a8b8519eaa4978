//! A circle as it is told. In: the question and the smallest circle. Out: why none of its parts can go in last, and what would break it.

use super::answer::{Circle, End, Link, LinkWhy, WayOut};
use super::build::{Question, least_met};
use super::circle::Smallest;
use super::logic::{Held, Parts};
use super::tell::side_of;

impl Question<'_> {
    pub(super) fn told_circle(&self, found: &Smallest) -> Circle {
        let mut links: Vec<Link> = Vec::new();
        let mut ways_out = Vec::new();
        for part in &found.parts {
            let Some(held) = self.problem.held(*part, &found.parts) else {
                continue;
            };
            let Some((why, out)) = self.link(held, &found.parts) else {
                continue;
            };
            match links.iter_mut().find(|link| link.why == why) {
                Some(link) => link.parts.push(self.name(*part)),
                None => links.push(Link {
                    parts: vec![self.name(*part)],
                    why,
                }),
            }
            for one in out {
                if !ways_out.contains(&one) {
                    ways_out.push(one);
                }
            }
        }
        Circle {
            parts: self.names(&found.parts),
            links,
            smallest: found.proved,
            ways_out,
        }
    }

    fn link(&self, held: Held, among: &Parts) -> Option<(LinkWhy, Vec<WayOut>)> {
        match held {
            Held::Stated(at) => {
                let [_, then] = self.problem.before.get(at)?;
                let statement = self.stated.get(at)?;
                let why = LinkWhy::Stated {
                    statement: statement.name.clone(),
                    before: self.name(*then),
                    because: statement.because.clone(),
                };
                Some((why, vec![WayOut::TakeBack(statement.name.clone())]))
            }
            Held::Joint { joint, place } => {
                let group = self.groups.get(joint)?;
                let fastening = self.fastenings.get(group.fastening)?;
                let (at, reach) = group.reach.get(place)?;
                let inside: Parts = among.union(&self.problem.fitted).copied().collect();
                let kept_open_by: Vec<String> = group
                    .until
                    .iter()
                    .filter(|(_, until)| !until.is_disjoint(&inside))
                    .map(|(statement, _)| statement.clone())
                    .collect();
                let closing = self.problem.joints.get(joint)?;
                let ways = closing.places.get(place)?;
                let why = LinkWhy::Joint {
                    joint: fastening.statement.clone(),
                    at_mm: fastening.places.get(*at)?.head,
                    in_the_way: self.names(&least_met(ways, &inside)),
                    kept_open_by: kept_open_by.clone(),
                };
                let mut out: Vec<WayOut> = kept_open_by.into_iter().map(WayOut::TakeBack).collect();
                let pulled = [End::Head, End::Tail].into_iter().find(|end| {
                    let blocked = group.reach.iter();
                    let mut blocked = blocked.filter(|(_, reach)| {
                        reach
                            .set
                            .iter()
                            .all(|way| !way.blockers.is_disjoint(&inside))
                    });
                    !reach.pull.is_empty()
                        && blocked.all(|(_, reach)| {
                            reach.pull.iter().any(|way| {
                                way.blockers.is_disjoint(&inside)
                                    && way.tools.iter().all(|(_, at)| at == end)
                            })
                        })
                });
                let joint = fastening.statement.clone();
                out.extend(pulled.map(|end| WayOut::Pull {
                    joint: joint.clone(),
                    from: side_of(fastening.way, end),
                }));
                out.push(WayOut::OtherTools(joint));
                Some((why, out))
            }
        }
    }
}
