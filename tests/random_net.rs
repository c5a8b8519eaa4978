//! Random nets of bodies that stand square, held by distances along the axes, and a second way to solve them: a plain walk
//! along the edges. In: what proptest draws. Out: the system for the solver, and the walk's verdicts and positions.

use std::collections::VecDeque;

use proptest::prelude::*;
use proptest::sample::Index;
use strongback_solver::{
    Affine, BodyId, Direction, Equation, EquationId, Measure, Plane, Point, Solution, System, Turn,
    Var,
};

/// The size of the nets in millimetres, and the solver's reference length.
pub const LENGTH: f64 = 1000.0;

/// `to` lies `by` millimetres from `from` along an axis. Node 0 is the ground.
#[derive(Clone, Copy, Debug)]
pub struct Edge {
    pub axis: usize,
    pub from: usize,
    pub to: usize,
    pub by: f64,
    /// The lower, the more trusted.
    pub trust: u32,
}

#[derive(Clone, Debug)]
pub struct Net {
    /// Without the ground.
    pub nodes: usize,
    pub edges: Vec<Edge>,
    pub ground: [f64; 3],
}

/// Whether the bodies may turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Turns {
    /// They stand square: the whole system is affine.
    None,
    /// Each body has a pitch to be found, and a statement that gives it: the system is no longer affine.
    Stated,
}

/// A net as a system.
pub struct Built {
    pub system: System,
    /// The measured point of each node, the ground's first.
    pub points: Vec<Point>,
    /// The origin's variables of each node but the ground.
    pub origins: Vec<[Var; 3]>,
    /// The equation and the given distance of each edge.
    pub edges: Vec<(EquationId, Var)>,
}

impl Net {
    /// The net as a system whose edges are stated in the order of `order`.
    pub fn build(&self, turns: Turns, order: &[usize]) -> Built {
        let mut system = System::new(LENGTH);
        let ground = self
            .ground
            .map(|c| Affine::var(system.given(c, Measure::Length)));
        let ground = system.body(ground, Turn::Square);
        let own = |node: usize, axis: usize| match turns {
            Turns::None => 0.0,
            // any place of the body does: it only has to be off the origin
            Turns::Stated => ((7 * node + 3 * axis) % 11) as f64 * 4.0 - 20.0,
        };
        let point = |body: BodyId, node: usize| Point {
            body,
            at: [0, 1, 2].map(|axis| Affine::constant(own(node, axis))),
        };
        let mut points = vec![Point {
            body: ground,
            at: [(); 3].map(|()| Affine::default()),
        }];
        let mut origins = Vec::new();
        for node in 1..=self.nodes {
            let origin = [0, 1, 2].map(|axis| {
                let start = self.ground[axis] + ((5 * node + axis) % 7) as f64 * 10.0;
                system.unknown(start, Measure::Length)
            });
            let turn = match turns {
                Turns::None => Turn::Square,
                Turns::Stated => {
                    let pitch = system.unknown(0.0, Measure::Angle);
                    let stated = system.given(0.1 * node as f64 - 0.3, Measure::Angle);
                    let form = Affine::var(pitch).minus(&Affine::var(stated));
                    system.equation(
                        Equation::Held {
                            form,
                            measure: Measure::Angle,
                        },
                        0,
                    );
                    Turn::Angles {
                        roll: Affine::default(),
                        pitch: Affine::var(pitch),
                        yaw: Affine::default(),
                    }
                }
            };
            let body = system.body(origin.map(Affine::var), turn);
            points.push(point(body, node));
            origins.push(origin);
        }
        let mut edges = vec![None; self.edges.len()];
        for at in order {
            let edge = &self.edges[*at];
            let by = system.given(edge.by, Measure::Length);
            let mut vector = [0.0; 3];
            vector[edge.axis] = 1.0;
            let equation = Equation::PointOnPlane {
                point: points[edge.to].clone(),
                plane: Plane {
                    point: points[edge.from].clone(),
                    normal: Direction::Fixed {
                        body: System::FIXED,
                        vector,
                    },
                },
                offset: Affine::var(by),
            };
            edges[*at] = Some((system.equation(equation, edge.trust), by));
        }
        Built {
            system,
            points,
            origins,
            edges: edges.into_iter().map(Option::unwrap).collect(),
        }
    }

    /// The order of the file.
    pub fn as_listed(&self) -> Vec<usize> {
        (0..self.edges.len()).collect()
    }
}

impl Built {
    /// A node's coordinate in a solution.
    pub fn at(&self, solution: &Solution<'_>, node: usize, axis: usize) -> f64 {
        solution.point(&self.points[node])[axis]
    }
}

/// What the walk says of an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Walked {
    Places,
    /// It closes a loop, with this miss.
    Closes(f64),
}

/// The slow, obvious solver: edges in the order of trust; one that joins two pieces is kept, one that closes a loop is
/// compared with the walk round it.
pub struct Walk<'n> {
    net: &'n Net,
    /// Kept edges of each axis.
    kept: [Vec<usize>; 3],
    pub verdicts: Vec<Walked>,
}

impl<'n> Walk<'n> {
    pub fn new(net: &'n Net) -> Self {
        let mut walk = Walk {
            net,
            kept: [vec![], vec![], vec![]],
            verdicts: vec![Walked::Places; net.edges.len()],
        };
        let mut order = net.as_listed();
        order.sort_by_key(|at| net.edges[*at].trust);
        for at in order {
            let edge = net.edges[at];
            match walk.distance(edge.axis, edge.from, edge.to) {
                None => walk.kept[edge.axis].push(at),
                Some(apart) => walk.verdicts[at] = Walked::Closes(apart - edge.by),
            }
        }
        walk
    }

    /// The kept edges from one node to another, each with +1 where it is walked forwards and -1 where backwards.
    pub fn path(&self, axis: usize, from: usize, to: usize) -> Option<Vec<(usize, f64)>> {
        let mut came: Vec<Option<(usize, f64)>> = vec![None; self.net.nodes + 1];
        let mut queue = VecDeque::from([from]);
        while let Some(here) = queue.pop_front() {
            for at in &self.kept[axis] {
                let edge = self.net.edges[*at];
                for (near, far, sense) in [(edge.from, edge.to, 1.0), (edge.to, edge.from, -1.0)] {
                    if near == here && far != from && came[far].is_none() {
                        came[far] = Some((*at, sense));
                        queue.push_back(far);
                    }
                }
            }
        }
        let mut path = Vec::new();
        let mut here = to;
        while here != from {
            let (at, sense) = came[here]?;
            path.push((at, sense));
            let edge = self.net.edges[at];
            here = if sense > 0.0 { edge.from } else { edge.to };
        }
        path.reverse();
        Some(path)
    }

    /// The distance from one node to another along the kept edges, if there is a way.
    pub fn distance(&self, axis: usize, from: usize, to: usize) -> Option<f64> {
        let path = self.path(axis, from, to)?;
        Some(
            path.iter()
                .map(|(at, sense)| sense * self.net.edges[*at].by)
                .sum(),
        )
    }

    /// The sets of nodes that hang together but not on the ground, as (axis, nodes).
    pub fn adrift(&self) -> Vec<(usize, Vec<usize>)> {
        let mut sets: Vec<(usize, Vec<usize>)> = Vec::new();
        for axis in 0..3 {
            for node in 1..=self.net.nodes {
                if self.path(axis, 0, node).is_some() {
                    continue;
                }
                let with = sets
                    .iter_mut()
                    .find(|(of, set)| *of == axis && self.path(axis, set[0], node).is_some());
                match with {
                    Some((_, set)) => set.push(node),
                    None => sets.push((axis, vec![node])),
                }
            }
        }
        sets
    }
}

/// A tree for each axis, each node but the ground hung on an earlier one, edges told in either direction.
pub fn trees() -> impl Strategy<Value = Net> {
    (1..9_usize).prop_flat_map(|nodes| {
        let edge = (any::<Index>(), -300.0..300.0_f64, any::<bool>());
        (
            proptest::collection::vec(edge, 3 * nodes),
            [-50.0..50.0_f64, -50.0..50.0, -50.0..50.0],
        )
            .prop_map(move |(drawn, ground)| {
                let edges = drawn
                    .into_iter()
                    .enumerate()
                    .map(|(at, (parent, by, forwards))| {
                        let (axis, child) = (at % 3, at / 3 + 1);
                        let parent = parent.index(child);
                        let (from, to, by) = if forwards {
                            (parent, child, by)
                        } else {
                            (child, parent, -by)
                        };
                        Edge {
                            axis,
                            from,
                            to,
                            by,
                            trust: 2,
                        }
                    })
                    .collect();
                Net {
                    nodes,
                    edges,
                    ground,
                }
            })
    })
}

/// Edges to be added to a tree: axis, two nodes, and by how much each is off; nothing off makes it agree.
pub fn extras(count: usize) -> impl Strategy<Value = Vec<(usize, Index, Index, f64)>> {
    let off = prop_oneof![Just(0.0), 0.01..40.0_f64, -40.0..-0.01_f64];
    proptest::collection::vec((0..3_usize, any::<Index>(), any::<Index>(), off), 0..=count)
}

/// A tree with extra edges of a trust behind it.
pub fn with_extras(mut net: Net, extras: &[(usize, Index, Index, f64)], trust: u32) -> Net {
    let tree = net.clone();
    let walk = Walk::new(&tree);
    for (axis, from, to, off) in extras {
        let (from, to) = (from.index(net.nodes + 1), to.index(net.nodes + 1));
        let apart = walk.distance(*axis, from, to).unwrap();
        net.edges.push(Edge {
            axis: *axis,
            from,
            to,
            by: apart + off,
            trust,
        });
    }
    net
}

/// Any net at all: edges between any nodes, of any trust, some of which agree with drawn positions and some don't.
pub fn any_net() -> impl Strategy<Value = Net> {
    (1..8_usize, proptest::collection::vec(-300.0..300.0_f64, 24)).prop_flat_map(
        |(nodes, places)| {
            let off = prop_oneof![3 => Just(0.0), 1 => 0.01..40.0_f64, 1 => -40.0..-0.01_f64];
            let edge = (0..3_usize, 0..=nodes, 0..=nodes, off, 0..4_u32);
            proptest::collection::vec(edge, 0..5 * nodes).prop_map(move |drawn| {
                let at = |node: usize, axis: usize| {
                    if node == 0 {
                        0.0
                    } else {
                        places[3 * (node - 1) + axis]
                    }
                };
                let edges = drawn
                    .into_iter()
                    .map(|(axis, from, to, off, trust)| Edge {
                        axis,
                        from,
                        to,
                        by: at(to, axis) - at(from, axis) + off,
                        trust,
                    })
                    .collect();
                Net {
                    nodes,
                    edges,
                    ground: [0.0; 3],
                }
            })
        },
    )
}
