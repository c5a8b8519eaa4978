//! Which ends of a part's prisms go on in another one, so that no line is drawn between them: the pieces of a bent tube. In: the prisms.
//! Out: of each, whether its base and its tip go on.

use strongback_model::layout::PlacedSolid;

use super::solid::{CREASE_DEG, add, dot, sub};

/// Whether the base and the tip of a prism go on in another one: there is no line between the pieces of a bent tube.
pub(super) type GoesOn = [bool; 2];

/// Of each of a part's prisms, which ends go on: those of round pieces, in one of the same section that starts there, and turns away
/// by less than a crease. Plates that lie on one another are pieces of their own.
pub(super) fn going_on(solids: &[&PlacedSolid]) -> Vec<GoesOn> {
    /// No piece that isn't round has as many corners.
    const ROUND: usize = 24;
    /// Ends are one when their middles are nearer than this share of the section's size.
    const ONE: f64 = 0.2;
    let ends: Vec<_> = solids.iter().map(|solid| Ends::of(solid)).collect();
    let one = |at: usize, end: usize| {
        let this = &ends[at];
        let others = ends.iter().enumerate().filter(|(other, _)| *other != at);
        let mut ends = others.flat_map(|(_, other)| [(other, 0), (other, 1)]);
        ends.any(|(other, its)| {
            let apart = sub(this.middles[end], other.middles[its]);
            let turned = dot(this.way, other.way) * if end == its { -1.0 } else { 1.0 };
            this.corners >= ROUND
                && this.corners == other.corners
                && (this.size - other.size).abs() < 0.02 * this.size
                && dot(apart, apart).sqrt() < ONE * this.size
                && turned > CREASE_DEG.to_radians().cos()
        })
    };
    (0..ends.len()).map(|at| [one(at, 0), one(at, 1)]).collect()
}

/// The ends of a prism.
struct Ends {
    middles: [[f64; 3]; 2],
    /// Of length 1, from the base to the tip.
    way: [f64; 3],
    corners: usize,
    /// From the middle of the section to its furthest corner.
    size: f64,
}

impl Ends {
    fn of(solid: &PlacedSolid) -> Self {
        let corners = solid.outline_mm.len();
        let sum = solid.outline_mm.iter().copied().fold([0.0; 3], add);
        let middle = sum.map(|of_all| of_all / corners.max(1) as f64);
        let far = |corner: &[f64; 3]| {
            let by = sub(*corner, middle);
            dot(by, by).sqrt()
        };
        let length = dot(solid.sweep_mm, solid.sweep_mm).sqrt();
        Self {
            middles: [middle, add(middle, solid.sweep_mm)],
            way: solid.sweep_mm.map(|by| by / length),
            corners,
            size: solid.outline_mm.iter().map(far).fold(0.0, f64::max),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ENDS: GoesOn = [false; 2];

    /// A web and the leg of a cap on it, both long and thin, lie on one another and keep their lines; a tube that turns by five degrees
    /// goes on where its pieces meet, and only there.
    #[test]
    fn only_round_pieces_go_on_in_one_another() {
        let strip = |at: f64, width: f64| PlacedSolid {
            outline_mm: vec![
                [at, 0.0, 0.0],
                [at, 1000.0, 0.0],
                [at, 1000.0, width],
                [at, 0.0, width],
            ],
            openings_mm: Vec::new(),
            sweep_mm: [1.0, 0.0, 0.0],
        };
        let spar = [strip(0.0, 25.0), strip(1.0, 24.0)];
        assert_eq!(going_on(&[&spar[0], &spar[1]]), [ENDS; 2]);
        let piece = |from: f64, turned_deg: f64| {
            let (sine, cosine) = f64::to_radians(turned_deg).sin_cos();
            let corner = |at: u32| {
                let (second, first) = (f64::from(at) * std::f64::consts::TAU / 48.0).sin_cos();
                [
                    from - 8.0 * first * sine,
                    8.0 * first * cosine,
                    8.0 * second,
                ]
            };
            PlacedSolid {
                outline_mm: (0..48).map(corner).collect(),
                openings_mm: Vec::new(),
                sweep_mm: [50.0 * cosine, 50.0 * sine, 0.0],
            }
        };
        let tube = [piece(0.0, 0.0), piece(50.0, 5.0)];
        let told = going_on(&[&tube[0], &tube[1]]);
        assert_eq!(told, [[false, true], [true, false]]);
    }
}
