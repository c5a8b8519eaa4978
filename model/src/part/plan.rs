//! What a sheet part is before it is bent. In: its sizes in mm. Out: its web or legs as they are measured, over the outsides of the
//! bends, and where it is bent; `blank` unfolds it.

use super::outline::Uv;
use crate::words::{Axis, Side};

/// A sheet part, as its kind states it.
#[derive(Clone, Debug, PartialEq)]
pub enum Plan {
    /// A web, with a flange on some of its sides.
    Web(Web),
    /// A strip bent along its length.
    Strip(Strip),
    /// A disc.
    Disc {
        /// Its diameter.
        diameter: f64,
        /// The axis through its thickness.
        through: Axis,
    },
    /// A skin that follows the contour.
    Skin {
        /// Station of its fwd edge.
        from: f64,
        /// Station of its aft edge.
        to: f64,
        /// Angles in radians by which the fwd and the aft edge lean, top aft.
        cants: [f64; 2],
    },
}

/// A web with its flanges.
#[derive(Clone, Debug, PartialEq)]
pub struct Web {
    /// The own axes of its two coordinates, in the order station, buttock line, waterline.
    pub axes: [Axis; 2],
    /// Corners over the outsides of the flanges, counter-clockwise.
    pub outline: Vec<[f64; 2]>,
    /// Openings.
    pub openings: Vec<Vec<[f64; 2]>>,
    /// For each side of the outline, from a corner to the next one, its flange.
    pub flanges: Vec<Option<Flange>>,
}

/// A flange.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flange {
    /// From the web's outside face to its edge: to the mold line.
    pub width: f64,
    /// Radians bent from flat.
    pub angle: f64,
    /// The own side to which it is bent.
    pub towards: Side,
}

/// A strip.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// Length along the bends.
    pub length: f64,
    /// Legs in order, with their names, each measured to the mold lines at its ends.
    pub legs: Vec<(&'static str, f64)>,
    /// The bends between them: radians from flat, and whether bent up.
    pub bends: Vec<(f64, bool)>,
    /// From where the pattern is seen.
    pub seen_from: &'static str,
}

/// A right angle.
const RIGHT: f64 = std::f64::consts::FRAC_PI_2;

impl Plan {
    /// A flat rectangle.
    pub(super) fn rectangle(axes: [Axis; 2], [u, v]: [[f64; 2]; 2]) -> Plan {
        let outline = vec![[u[0], v[0]], [u[1], v[0]], [u[1], v[1]], [u[0], v[1]]];
        Plan::Web(Web {
            axes,
            flanges: vec![None; outline.len()],
            outline,
            openings: Vec::new(),
        })
    }

    /// A web with a square flange of one width on every side.
    pub(super) fn flanged(
        axes: [Axis; 2],
        corners: &[Uv],
        openings: Vec<Vec<[f64; 2]>>,
        width: f64,
        towards: Side,
    ) -> Plan {
        let flange = Flange {
            width,
            angle: RIGHT,
            towards,
        };
        Plan::Web(Web {
            axes,
            outline: corners.iter().map(|corner| corner.1).collect(),
            openings,
            flanges: vec![Some(flange); corners.len()],
        })
    }

    /// The plan of the left-hand one of two.
    pub(crate) fn mirrored(self) -> Plan {
        match self {
            Plan::Web(web) => Plan::Web(web.mirrored()),
            Plan::Strip(_) | Plan::Disc { .. } | Plan::Skin { .. } => self,
        }
    }
}

impl Web {
    /// The side from which its pattern is seen: the one to which u × v looks.
    pub fn seen_from(&self) -> Side {
        match self.axes {
            [Axis::ButtockLine, _] => Side::Aft,
            [_, Axis::Waterline] => Side::Left,
            _ => Side::Up,
        }
    }

    fn mirrored(self) -> Web {
        let across = self.axes.iter().position(|axis| *axis == Axis::ButtockLine);
        let flip = |mut at: [f64; 2]| {
            if let Some(at) = across.and_then(|across| at.get_mut(across)) {
                *at = -*at;
            }
            at
        };
        let flange = |flange: Option<Flange>| {
            flange.map(|flange| Flange {
                towards: flange.towards.mirrored(),
                ..flange
            })
        };
        let openings = self.openings.into_iter();
        let mut web = Web {
            axes: self.axes,
            outline: self.outline.into_iter().map(flip).collect(),
            openings: openings
                .map(|opening| opening.into_iter().map(flip).collect())
                .collect(),
            flanges: self.flanges.into_iter().map(flange).collect(),
        };
        if across.is_some() {
            // a mirror turns the way round; the side between the last two corners becomes the first
            web.outline.reverse();
            web.flanges.reverse();
            if !web.flanges.is_empty() {
                web.flanges.rotate_left(1);
            }
        }
        web
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn in_the_mirror_each_flange_stays_on_its_side() {
        let flange = |width| {
            Some(Flange {
                width,
                angle: RIGHT,
                towards: Side::Aft,
            })
        };
        let web = Web {
            axes: [Axis::ButtockLine, Axis::Waterline],
            outline: vec![[0.0, 0.0], [4.0, 0.0], [0.0, 3.0]],
            openings: Vec::new(),
            flanges: vec![flange(1.0), flange(2.0), None],
        };
        let sides = |web: &Web| -> Vec<([f64; 2], [f64; 2], Option<f64>)> {
            (0..3)
                .map(|side| {
                    let ends = [web.outline[side], web.outline[(side + 1) % 3]];
                    (
                        ends[0],
                        ends[1],
                        web.flanges[side].map(|flange| flange.width),
                    )
                })
                .collect()
        };
        let mirrored = web.clone().mirrored();
        for (from, to, width) in sides(&web) {
            let flip = |at: [f64; 2]| [-at[0], at[1]];
            assert!(sides(&mirrored).contains(&(flip(to), flip(from), width)));
        }
        assert_eq!(mirrored.mirrored(), web);
    }
}
