//! What says that one part's metal may lie in another's: a notch or hole that is stated and not drawn, and a joint of the layers that it
//! holds together. In: two parts as they are assembled. Out: whether, and of a joint which of their solids.

use std::collections::HashMap;

use parry3d_f64::math::Vector;

use super::CONTACT_MM;
use super::overlap::Metal;
use crate::assembly::{AssembledPart, Assembly, Solved};

/// Whether one of them is cut for the other.
pub(super) fn by_a_cut([a, b]: [&AssembledPart; 2]) -> bool {
    a.cut_for.contains(&b.name) || b.cut_for.contains(&a.name)
}

/// Solids of two parts that a joint holds together: how those lie on one another is told by the joint.
pub(super) struct Layers([Vec<usize>; 2]);

impl Layers {
    /// Whether it holds these two.
    pub(super) fn hold(&self, a: usize, b: usize) -> bool {
        self.0[0].contains(&a) && self.0[1].contains(&b)
    }
}

/// For each part the joints that it is in, by their places.
pub(super) struct Joints(HashMap<usize, Vec<usize>>);

impl Joints {
    /// Those of an assembly.
    pub(super) fn of(assembly: &Assembly) -> Joints {
        let mut of_part: HashMap<usize, Vec<usize>> = HashMap::new();
        for (at, joint) in assembly.joints.iter().enumerate() {
            for part in [joint.to, joint.part].iter().chain(&joint.spacers) {
                of_part.entry(*part).or_default().push(at);
            }
        }
        Joints(of_part)
    }

    /// The joints of a part.
    fn of_part(&self, part: usize) -> &[usize] {
        self.0.get(&part).map_or(&[], Vec::as_slice)
    }
}

impl Solved<'_> {
    /// The layers of two parts in each joint that both are in.
    pub(super) fn clamped(
        &self,
        joints: &Joints,
        parts: [usize; 2],
        metal: [&Metal; 2],
    ) -> Vec<Layers> {
        let of_both = joints.of_part(parts[0]).iter();
        let of_both = of_both.filter(|at| joints.of_part(parts[1]).contains(at));
        of_both
            .filter_map(|at| {
                let joint = self.assembly.joints.get(*at)?;
                let layer = |which: usize| {
                    let part = parts[which];
                    let face = if joint.to == part {
                        Some(&joint.faces.0)
                    } else if joint.part == part {
                        Some(&joint.faces.1)
                    } else if joint.spacers.contains(&part) {
                        None
                    } else {
                        return Vec::new();
                    };
                    let face = face.map(|plane| {
                        let normal = Vector::from(self.solution.direction(&plane.normal));
                        (
                            normal,
                            Vector::from(self.solution.point(&plane.point)).dot(normal),
                        )
                    });
                    solids_on(metal[which], face)
                };
                let layers = [layer(0), layer(1)];
                let both = layers.iter().all(|layer| !layer.is_empty());
                both.then_some(Layers(layers))
            })
            .collect()
    }
}

/// The solids that come up to a plane and no farther along its normal; all of them where there is none.
fn solids_on(metal: &Metal, plane: Option<(Vector, f64)>) -> Vec<usize> {
    let mut list: Vec<usize> = metal
        .pieces
        .iter()
        .filter(|piece| {
            plane.is_none_or(|(normal, offset)| {
                (piece.prism.range(normal)[1] - offset).abs() <= CONTACT_MM
            })
        })
        .map(|piece| piece.solid)
        .collect();
    list.dedup();
    list
}
