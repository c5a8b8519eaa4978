//! Flat cuts through metal. In: prisms, and a plane in which a joint lies. Out: what of the metal lies in it, as polygons; how far a
//! place is from their edges; along which stretches of a line square to it there is metal. Millimetres.
//!
//! A part's prisms may touch or overlap: an edge counts as far as no other polygon goes on beyond it. That is judged a micrometre outside
//! of it: prisms that meet are one piece whatever the rounding, where a boolean union of polygons would leave slivers.

use nalgebra::{Vector2, Vector3};
use parry3d_f64::math::Vector;

use crate::fit::clearance::convex_outlines;
use crate::layout::PlacedSolid;

/// Metal this close together is in contact.
const TOUCH: f64 = crate::clash::CONTACT_MM;

pub(super) type Flat = Vector2<f64>;

/// A plane with two axes in it, and a line square to it.
#[derive(Clone, Debug)]
pub(super) struct Frame {
    pub(super) origin: Vector3<f64>,
    pub(super) u: Vector3<f64>,
    pub(super) v: Vector3<f64>,
    pub(super) way: Vector3<f64>,
}

impl Frame {
    /// Square to a way of length one.
    pub(super) fn new(origin: Vector3<f64>, way: Vector3<f64>) -> Frame {
        // u along the airframe's axis that lies flattest in the plane
        let axis = (0..3)
            .min_by(|a, b| way[*a].abs().total_cmp(&way[*b].abs()))
            .unwrap_or(0);
        let mut along = Vector3::zeros();
        along[axis] = 1.0;
        let u = (along - way * way.dot(&along)).normalize();
        Frame {
            origin,
            u,
            v: way.cross(&u),
            way,
        }
    }

    /// A place in the plane, and how far along the way it lies.
    pub(super) fn flat(&self, at: Vector3<f64>) -> (Flat, f64) {
        let from = at - self.origin;
        (
            Flat::new(from.dot(&self.u), from.dot(&self.v)),
            from.dot(&self.way),
        )
    }

    /// Back again.
    pub(super) fn place(&self, at: Flat, along: f64) -> Vector3<f64> {
        self.origin + self.u * at.x + self.v * at.y + self.way * along
    }
}

/// A polygon with its openings.
#[derive(Clone, Debug)]
pub(super) struct Polygon {
    rings: Vec<Vec<Flat>>,
}

fn sides(ring: &[Flat]) -> impl Iterator<Item = (Flat, Flat)> + '_ {
    ring.iter()
        .zip(ring.iter().cycle().skip(1))
        .map(|(a, b)| (*a, *b))
}

impl Polygon {
    fn sides(&self) -> impl Iterator<Item = (Flat, Flat)> + '_ {
        self.rings.iter().flat_map(|ring| sides(ring))
    }

    fn holds(&self, at: Flat) -> bool {
        self.sides().fold(false, |inside, (a, b)| {
            let crosses = (a.y > at.y) != (b.y > at.y)
                && at.x < a.x + (at.y - a.y) / (b.y - a.y) * (b.x - a.x);
            inside != crosses
        })
    }
}

/// What of some metal lies in a plane.
#[derive(Clone, Debug, Default)]
pub(super) struct Section {
    polygons: Vec<Polygon>,
    pub(super) edges: Vec<(Flat, Flat)>,
}

impl Section {
    /// The metal in the plane that lies `along` the frame's way.
    pub(super) fn of(solids: &[PlacedSolid], frame: &Frame, along: f64) -> Section {
        let polygons: Vec<Polygon> = solids
            .iter()
            .flat_map(|solid| cut(solid, frame, along))
            .collect();
        let edges = edges(&polygons);
        Section { polygons, edges }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.polygons.is_empty()
    }

    pub(super) fn holds(&self, at: Flat) -> bool {
        self.polygons.iter().any(|polygon| polygon.holds(at))
            || self.polygons.len() > 1 && {
                // on the line where two polygons meet
                let near = [(1.0, 0.3), (-1.0, -0.3), (0.3, -1.0), (-0.3, 1.0)];
                near.iter().all(|(x, y)| {
                    let beside = at + Flat::new(*x, *y) * TOUCH;
                    self.polygons.iter().any(|polygon| polygon.holds(beside))
                })
            }
    }

    /// How far a place is from the nearest edge; less than nothing outside of the metal. None where there is no metal.
    pub(super) fn edge_distance(&self, at: Flat) -> Option<f64> {
        let nearest = self
            .edges
            .iter()
            .map(|edge| to_segment(at, *edge))
            .min_by(f64::total_cmp)?;
        Some(if self.holds(at) { nearest } else { -nearest })
    }

    /// Least and greatest distance of all of it along a direction.
    pub(super) fn extent(&self, way: Flat) -> Option<[f64; 2]> {
        let corners = self
            .polygons
            .iter()
            .flat_map(|polygon| polygon.rings.iter().flatten());
        range(corners.map(|corner| corner.dot(&way)))
    }

    /// From the first to the last metal along a line.
    pub(super) fn along(&self, from: Flat, way: Flat) -> Option<[f64; 2]> {
        let across = Flat::new(-way.y, way.x);
        let sides = self.polygons.iter().flat_map(Polygon::sides);
        let crossings = sides.filter_map(|(a, b)| {
            let (da, db) = ((a - from).dot(&across), (b - from).dot(&across));
            ((da > 0.0) != (db > 0.0)).then(|| {
                let at = a + (b - a) * (da / (da - db));
                (at - from).dot(&way)
            })
        });
        range(crossings)
    }

    /// Middles of its polygons that lie in metal.
    pub(super) fn middles(&self) -> impl Iterator<Item = Flat> + '_ {
        let middle = |polygon: &Polygon| {
            let ring = polygon.rings.first()?;
            let sum = ring.iter().fold(Flat::zeros(), |sum, corner| sum + corner);
            Some(sum / ring.len() as f64)
        };
        let middles = self.polygons.iter().filter_map(middle);
        // of a sheet with an opening in its middle, what lies between an edge and the opening
        let inside = self.edges.iter().filter_map(|(a, b)| {
            let length = (b - a).norm();
            let normal = Flat::new(a.y - b.y, b.x - a.x) / length.max(TOUCH);
            let deep = normal * (0.1 * length).min(10.0);
            let mid = (a + b) * 0.5;
            [mid + deep, mid - deep]
                .into_iter()
                .find(|at| self.holds(*at))
        });
        middles.chain(inside).filter(|at| self.holds(*at))
    }
}

fn range(values: impl Iterator<Item = f64>) -> Option<[f64; 2]> {
    values.fold(None, |range, value| {
        let [least, most] = range.unwrap_or([value, value]);
        Some([value.min(least), value.max(most)])
    })
}

/// Distance of a place to a stretch of a line.
pub(super) fn to_segment(at: Flat, (a, b): (Flat, Flat)) -> f64 {
    let way = b - a;
    let square = way.norm_squared();
    let share = if square > 0.0 {
        ((at - a).dot(&way) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (a + way * share - at).norm()
}

/// The stretches of the sides beyond which no polygon goes on.
fn edges(polygons: &[Polygon]) -> Vec<(Flat, Flat)> {
    let mut edges = Vec::new();
    for (index, polygon) in polygons.iter().enumerate() {
        let others = || {
            let list = polygons.iter().enumerate();
            list.filter(move |(at, _)| *at != index)
                .map(|(_, other)| other)
        };
        for (a, b) in polygon.sides() {
            let way = b - a;
            let length = way.norm();
            if length <= TOUCH * 1e-3 {
                continue;
            }
            let normal = Flat::new(way.y, -way.x) / length;
            let mut cuts = vec![0.0, 1.0];
            for (c, d) in others().flat_map(Polygon::sides) {
                cuts.extend(crossings((a, way), (c, d)));
            }
            cuts.sort_by(f64::total_cmp);
            for pair in cuts.windows(2) {
                let [from, to] = [pair[0], pair[1]];
                if (to - from) * length <= TOUCH * 1e-3 {
                    continue;
                }
                let mid = a + way * (0.5 * (from + to));
                let outside = [normal, -normal]
                    .map(|side| mid + side * TOUCH)
                    .into_iter()
                    .find(|at| !polygon.holds(*at));
                if outside.is_some_and(|at| !others().any(|other| other.holds(at))) {
                    edges.push((a + way * from, a + way * to));
                }
            }
        }
    }
    edges
}

/// Where along a side another one meets it, as shares of it: also at the other one's ends, where they lie on it.
fn crossings((a, way): (Flat, Flat), (c, d): (Flat, Flat)) -> Vec<f64> {
    let square = way.norm_squared();
    let cross = |p: Flat, q: Flat| p.x * q.y - p.y * q.x;
    let other = d - c;
    let det = cross(way, other);
    if det.abs() > 1e-9 * way.norm() * other.norm() {
        let share = cross(c - a, other) / det;
        let there = cross(c - a, way) / det;
        let slack = TOUCH / other.norm().max(TOUCH);
        let meets = share > 0.0 && share < 1.0 && there > -slack && there < 1.0 + slack;
        return meets.then_some(share).into_iter().collect();
    }
    let shares = [c, d].map(|p| (p - a).dot(&way) / square);
    shares
        .into_iter()
        .filter(|s| *s > 0.0 && *s < 1.0)
        .collect()
}

/// What of a prism lies in a plane.
fn cut(solid: &PlacedSolid, frame: &Frame, along: f64) -> Vec<Polygon> {
    let sweep = Vector3::from(solid.sweep_mm);
    let rise = sweep.dot(&frame.way);
    let rings = || std::iter::once(&solid.outline_mm).chain(&solid.openings_mm);
    let height = |at: &[f64; 3]| frame.flat(Vector3::from(*at)).1;
    let heights = range(solid.outline_mm.iter().map(height));
    let Some([low, high]) = heights else {
        return Vec::new();
    };
    if low + rise.min(0.0) > along || high + rise.max(0.0) < along {
        return Vec::new();
    }
    // the plane runs through all the sweep
    let whole = rise.abs() > 1e-9 && high + rise.min(0.0) <= along && low + rise.max(0.0) >= along;
    if whole {
        let onto = |at: &[f64; 3]| {
            let at = Vector3::from(*at);
            let (_, from) = frame.flat(at);
            frame.flat(at + sweep * ((along - from) / rise)).0
        };
        return vec![Polygon {
            rings: rings()
                .map(|ring| ring.iter().map(onto).collect())
                .collect(),
        }];
    }
    if rise.abs() <= 1e-9 * sweep.norm() {
        let (across, _) = frame.flat(frame.origin + sweep);
        return strips(rings(), frame, along, across);
    }
    let pieces = convex_outlines(solid);
    let polygon = |outline: Vec<Vector>| {
        let ring = hull(&outline, sweep, frame, along);
        (ring.len() > 2).then(|| Polygon { rings: vec![ring] })
    };
    pieces.into_iter().filter_map(polygon).collect()
}

/// Of a prism that is swept within the plane: strips from one crossing of its outline to the next.
fn strips<'a>(
    rings: impl Iterator<Item = &'a Vec<[f64; 3]>>,
    frame: &Frame,
    along: f64,
    across: Flat,
) -> Vec<Polygon> {
    let mut crossings: Vec<Flat> = Vec::new();
    for ring in rings {
        let corners: Vec<(Flat, f64)> = ring
            .iter()
            .map(|at| frame.flat(Vector3::from(*at)))
            .collect();
        for ((a, ha), (b, hb)) in corners.iter().zip(corners.iter().cycle().skip(1)) {
            if (*ha > along) != (*hb > along) {
                crossings.push(a + (b - a) * ((along - ha) / (hb - ha)));
            }
        }
    }
    let square = Flat::new(-across.y, across.x);
    crossings.sort_by(|a, b| a.dot(&square).total_cmp(&b.dot(&square)));
    let pairs = crossings.chunks_exact(2).map(|pair| Polygon {
        rings: vec![vec![pair[0], pair[1], pair[1] + across, pair[0] + across]],
    });
    pairs.collect()
}

/// The convex polygon in which a plane cuts a convex prism.
fn hull(outline: &[Vector], sweep: Vector3<f64>, frame: &Frame, along: f64) -> Vec<Flat> {
    let near: Vec<Vector3<f64>> = outline
        .iter()
        .map(|at| Vector3::from(at.to_array()))
        .collect();
    let count = near.len();
    let mut segments = Vec::with_capacity(3 * count);
    for (at, corner) in near.iter().enumerate() {
        let next = near[(at + 1) % count];
        segments.extend([
            (*corner, next),
            (corner + sweep, next + sweep),
            (*corner, corner + sweep),
        ]);
    }
    let mut points: Vec<Flat> = Vec::new();
    for (a, b) in segments {
        let ((a, ha), (b, hb)) = (frame.flat(a), frame.flat(b));
        if (ha > along) != (hb > along) {
            points.push(a + (b - a) * ((along - ha) / (hb - ha)));
        }
    }
    let middle = points.iter().fold(Flat::zeros(), |sum, p| sum + p) / points.len().max(1) as f64;
    let angle = |p: &Flat| (p.y - middle.y).atan2(p.x - middle.x);
    points.sort_by(|a, b| angle(a).total_cmp(&angle(b)));
    points
}

/// The stretches of a line along the frame's way on which there is metal, those that touch made one, in order.
pub(super) fn stretches(solids: &[PlacedSolid], frame: &Frame, at: Flat) -> Vec<[f64; 2]> {
    let from = frame.place(at, 0.0);
    let mut list: Vec<[f64; 2]> = solids
        .iter()
        .flat_map(|solid| {
            let sweep = Vector3::from(solid.sweep_mm);
            let pieces = convex_outlines(solid).into_iter();
            pieces.filter_map(move |outline| through(&outline, sweep, from, frame.way))
        })
        .collect();
    list.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut joined: Vec<[f64; 2]> = Vec::new();
    for [from, to] in list {
        match joined.last_mut() {
            Some(last) if from <= last[1] + TOUCH => last[1] = last[1].max(to),
            _ => joined.push([from, to]),
        }
    }
    joined
}

/// From where to where a line lies in a convex prism.
fn through(
    outline: &[Vector],
    sweep: Vector3<f64>,
    from: Vector3<f64>,
    way: Vector3<f64>,
) -> Option<[f64; 2]> {
    let near: Vec<Vector3<f64>> = outline
        .iter()
        .map(|at| Vector3::from(at.to_array()))
        .collect();
    let first = near.first()?;
    let count = near.len() as f64;
    let middle = near.iter().fold(Vector3::zeros(), |sum, at| sum + at) / count + sweep * 0.5;
    let area = near
        .iter()
        .zip(near.iter().cycle().skip(1))
        .fold(Vector3::zeros(), |sum: Vector3<f64>, (a, b)| {
            sum + (a - first).cross(&(b - first))
        });
    let mut planes = vec![(*first, area), (first + sweep, area)];
    for (a, b) in near.iter().zip(near.iter().cycle().skip(1)) {
        planes.push((*a, (b - a).cross(&sweep)));
    }
    let (mut least, mut most) = (f64::NEG_INFINITY, f64::INFINITY);
    for (point, normal) in planes {
        let Some(normal) = normal.try_normalize(1e-12) else {
            continue;
        };
        let outward = if (middle - point).dot(&normal) > 0.0 {
            -normal
        } else {
            normal
        };
        let (off, rate) = ((from - point).dot(&outward), way.dot(&outward));
        if rate.abs() < 1e-9 {
            if off > 1e-6 {
                return None;
            }
        } else if rate > 0.0 {
            most = most.min(-off / rate);
        } else {
            least = least.max(-off / rate);
        }
    }
    (least.is_finite() && most.is_finite() && most - least > 1e-9).then_some([least, most])
}

#[cfg(test)]
mod tests;
