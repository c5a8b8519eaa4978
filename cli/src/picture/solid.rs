//! A prism as it looks from one side. In: its corners in mm. Out: the faces that look at the eye, and the edges worth a
//! line, along and up the view in mm. A face looks at the eye if its outward boundary runs counter-clockwise in the view
//! (the sign of the shoelace sum); an edge is worth a line at the limb, round an end, or at a corner, but not between the
//! short facets of a bend. Method: Foley, van Dam, Feiner, Hughes, Computer Graphics, 2nd ed., back-face culling (from memory).

use strongback_model::layout::PlacedSolid;

use super::goes_on::GoesOn;
use super::view::View;

/// Facets that meet at less than this are one bend: no line between them.
pub(super) const CREASE_DEG: f64 = 30.0;

/// A prism in a view: along and up, and with a third figure towards the eye.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Outlook<const N: usize = 2> {
    /// Boundaries of the faces towards the eye, counter-clockwise, openings clockwise: to be filled by winding number.
    pub(super) faces: Vec<Vec<[f64; N]>>,
    /// Lines; a closed one ends where it starts.
    pub(super) edges: Vec<Vec<[f64; N]>>,
}

/// Looks at a prism of which some ends go on; nothing for one with fewer than two corners.
pub(super) fn look(solid: &PlacedSolid, goes_on: GoesOn, view: View) -> Outlook {
    on_paper(&in_space(solid, goes_on, view))
}

/// Looks at what of a prism lies no nearer to the eye than a plane, mm.
pub(super) fn look_beyond(
    solid: &PlacedSolid,
    goes_on: GoesOn,
    view: View,
    nearest: f64,
) -> Outlook {
    let whole = in_space(solid, goes_on, view);
    let faces = whole.faces.iter().map(|face| beyond(face, nearest));
    let edges = whole.edges.iter().flat_map(|line| {
        let steps = line.windows(2).map(|step| beyond(step, nearest));
        steps.filter(|step| step.len() > 1).map(|mut step| {
            // walked there and back again
            step.truncate(2);
            step
        })
    });
    on_paper(&Outlook {
        faces: faces.filter(|face| face.len() > 2).collect(),
        edges: edges.collect(),
    })
}

/// What of a ring lies no nearer to the eye than a plane (Sutherland and Hodgman, 1974).
fn beyond(ring: &[[f64; 3]], nearest: f64) -> Vec<[f64; 3]> {
    let mut kept = Vec::with_capacity(ring.len() + 2);
    for (a, b) in pairs(ring) {
        let (over_a, over_b) = (a[2] - nearest, b[2] - nearest);
        if over_a <= 0.0 {
            kept.push(a);
        }
        if (over_a < 0.0 && over_b > 0.0) || (over_a > 0.0 && over_b < 0.0) {
            let share = over_a / (over_a - over_b);
            kept.push([0, 1, 2].map(|i| a[i] + (b[i] - a[i]) * share));
        }
    }
    kept
}

fn on_paper(whole: &Outlook<3>) -> Outlook {
    let flat = |lines: &[Vec<[f64; 3]>]| {
        let line = |line: &Vec<[f64; 3]>| line.iter().map(|[along, up, _]| [*along, *up]).collect();
        lines.iter().map(line).collect()
    };
    Outlook {
        faces: flat(&whole.faces),
        edges: flat(&whole.edges),
    }
}

fn in_space(solid: &PlacedSolid, goes_on: GoesOn, view: View) -> Outlook<3> {
    let sweep = solid.sweep_mm;
    let mut outlook = Outlook::<3>::default();
    let outline = sensed(&solid.outline_mm, sweep, Sense::Along);
    let openings: Vec<_> = solid
        .openings_mm
        .iter()
        .map(|opening| sensed(opening, sweep, Sense::Against))
        .collect();
    // The two ends look opposite ways, so at most one of them looks at the eye.
    let flat = |ring: &[[f64; 3]], by: [f64; 3]| -> Vec<[f64; 3]> {
        ring.iter()
            .map(|&corner| view.turned(add(corner, by)))
            .collect()
    };
    let end = shoelace(&flat(&outline, sweep));
    let (tip_shows, base_shows) = (end > LEAST_AREA, end < -LEAST_AREA);
    for ring in std::iter::once(&outline).chain(&openings) {
        let (base, tip) = (flat(ring, [0.0; 3]), flat(ring, sweep));
        if tip_shows {
            outlook.faces.push(tip.clone());
        }
        if base_shows {
            outlook.faces.push(base.iter().rev().copied().collect());
        }
        sides(
            ring,
            [&base, &tip],
            [base_shows, tip_shows],
            goes_on,
            &mut outlook,
        );
    }
    if outlook.edges.is_empty() && !outline.is_empty() {
        // Seen along its plane and without thickness: still a line.
        outlook.edges.push(closed(flat(&outline, [0.0; 3])));
    }
    outlook
}

/// Square mm below which a face is seen edge on.
const LEAST_AREA: f64 = 1e-6;

#[derive(Clone, Copy, PartialEq)]
enum Sense {
    Along,
    Against,
}

/// A boundary that runs counter-clockwise round the sweep, or clockwise.
fn sensed(ring: &[[f64; 3]], sweep: [f64; 3], sense: Sense) -> Vec<[f64; 3]> {
    // Newell's normal of the polygon.
    let mut normal = [0.0; 3];
    for (a, b) in pairs(ring) {
        let by = cross(a, b);
        normal = add(normal, by);
    }
    let against = dot(normal, sweep) < 0.0;
    let mut ring = ring.to_vec();
    if against == (sense == Sense::Along) {
        ring.reverse();
    }
    ring
}

/// The faces along the sweep, and all edges of this boundary.
fn sides(
    ring: &[[f64; 3]],
    [base, tip]: [&[[f64; 3]]; 2],
    ends_show: [bool; 2],
    goes_on: GoesOn,
    outlook: &mut Outlook<3>,
) {
    let count = ring.len();
    if count < 2 {
        return;
    }
    let next = |at: usize| (at + 1) % count;
    let mut shows = Vec::with_capacity(count);
    for at in 0..count {
        let face = vec![base[at], base[next(at)], tip[next(at)], tip[at]];
        let towards = shoelace(&face) > LEAST_AREA;
        shows.push(towards);
        if towards {
            outlook.faces.push(face);
        }
    }
    let lines = |points: &[[f64; 3]], end_shows: bool, edges: &mut Vec<Vec<[f64; 3]>>| {
        let drawn: Vec<bool> = shows.iter().map(|&side| side || end_shows).collect();
        runs(points, &drawn, edges);
    };
    for ((end, shows), goes_on) in [base, tip].into_iter().zip(ends_show).zip(goes_on) {
        if !goes_on {
            lines(end, shows, &mut outlook.edges);
        }
    }
    for at in 0..count {
        let before = (at + count - 1) % count;
        let limb = shows[at] != shows[before];
        let corner = shows[at]
            && shows[before]
            && turn_deg(ring[before], ring[at], ring[next(at)]) > CREASE_DEG;
        if limb || corner {
            outlook.edges.push(vec![base[at], tip[at]]);
        }
    }
}

/// Joins the edges that are drawn into lines as long as they go.
fn runs(points: &[[f64; 3]], drawn: &[bool], edges: &mut Vec<Vec<[f64; 3]>>) {
    let count = points.len();
    let Some(gap) = drawn.iter().position(|&edge| !edge) else {
        edges.push(closed(points.to_vec()));
        return;
    };
    let mut line: Vec<[f64; 3]> = Vec::new();
    for step in 1..=count {
        let at = (gap + step) % count;
        if drawn[at] {
            if line.is_empty() {
                line.push(points[at]);
            }
            line.push(points[(at + 1) % count]);
        } else if !line.is_empty() {
            edges.push(std::mem::take(&mut line));
        }
    }
}

fn closed(mut line: Vec<[f64; 3]>) -> Vec<[f64; 3]> {
    if let Some(&first) = line.first() {
        line.push(first);
    }
    line
}

/// By how much the way from `a` over `b` to `c` turns, in degrees.
fn turn_deg(a: [f64; 3], b: [f64; 3], c: [f64; 3]) -> f64 {
    let (u, v) = (sub(b, a), sub(c, b));
    let across = cross(u, v);
    dot(across, across).sqrt().atan2(dot(u, v)).to_degrees()
}

/// Area inside a boundary, positive counter-clockwise.
pub(super) fn shoelace<const N: usize>(ring: &[[f64; N]]) -> f64 {
    let Some(&first) = ring.first() else {
        return 0.0;
    };
    let [x, y] = [first[0], first[1]];
    // Relative to the first corner: far from the datum the products would swamp the area.
    let twice: f64 = pairs(ring)
        .map(|(a, b)| (a[0] - x) * (b[1] - y) - (b[0] - x) * (a[1] - y))
        .sum();
    0.5 * twice
}

fn pairs<T: Copy>(ring: &[T]) -> impl Iterator<Item = (T, T)> {
    ring.iter()
        .copied()
        .zip(ring.iter().copied().cycle().skip(1))
}

pub(super) fn add(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|i| a[i] + b[i])
}

pub(super) fn sub(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|i| a[i] - b[i])
}

pub(super) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    const ENDS: GoesOn = [false; 2];

    /// A plate across the fuselage, 2 mm thick, 100 wide, 50 high, with a square opening.
    fn plate() -> PlacedSolid {
        let ring = |w: f64, low: f64, high: f64| {
            vec![
                [0.0, -w, low],
                [0.0, w, low],
                [0.0, w, high],
                [0.0, -w, high],
            ]
        };
        PlacedSolid {
            outline_mm: ring(50.0, 0.0, 50.0),
            openings_mm: vec![ring(10.0, 20.0, 30.0)],
            sweep_mm: [2.0, 0.0, 0.0],
        }
    }

    fn area(outlook: &Outlook) -> f64 {
        outlook.faces.iter().map(|face| shoelace(face)).sum()
    }

    #[test]
    fn a_plate_seen_edge_on() {
        let side = look(&plate(), ENDS, View::Side);
        // its left edge, and the right wall of the opening that looks left
        assert!((area(&side) - (2.0 * 50.0 + 2.0 * 10.0)).abs() < 1e-9);
        assert!(!side.edges.is_empty());
    }

    #[test]
    fn a_plate_seen_face_on_has_its_opening() {
        let mut lying = plate();
        let up = |c: &mut [f64; 3]| *c = [c[2], c[1], 0.0];
        lying.outline_mm.iter_mut().for_each(up);
        lying.openings_mm.iter_mut().flatten().for_each(up);
        for sweep in [[0.0, 0.0, 2.0], [0.0, 0.0, -2.0]] {
            lying.sweep_mm = sweep;
            let plan = look(&lying, ENDS, View::Plan);
            assert!((area(&plan) - (100.0 * 50.0 - 20.0 * 10.0)).abs() < 1e-9);
            assert_eq!(plan.edges.len(), 2, "outline and opening");
        }
    }

    #[test]
    fn no_lines_along_a_round_bar() {
        let round: Vec<_> = (0..24)
            .map(|i| f64::from(i) * std::f64::consts::TAU / 24.0)
            .map(|a| [0.0, 10.0 * a.cos(), 10.0 * a.sin()])
            .collect();
        let bar = PlacedSolid {
            outline_mm: round,
            openings_mm: Vec::new(),
            sweep_mm: [300.0, 0.0, 0.0],
        };
        let side = look(&bar, ENDS, View::Side);
        let along = side
            .edges
            .iter()
            .filter(|line| (line[0][0] - line[1][0]).abs() > 1.0);
        assert_eq!(along.count(), 2, "only the limbs");
    }

    #[test]
    fn degenerate_prisms_are_still_seen() {
        let mut flat = plate();
        flat.sweep_mm = [0.0; 3];
        assert!(!look(&flat, ENDS, View::Side).edges.is_empty());
        flat.outline_mm.clear();
        flat.openings_mm.clear();
        assert_eq!(look(&flat, ENDS, View::Side), Outlook::default());
    }
}
