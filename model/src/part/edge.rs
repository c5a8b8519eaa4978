//! The cut edge of a skin, on a plane that may be canted. In: the contour, the station of the edge at the lower end of the section,
//! and the cant in radians, top aft. Out: the station of the edge anywhere round the section, in mm.

use strongback_solver::Surface;

/// A cut through a contour.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Edge<'s> {
    surface: &'s Surface,
    station: f64,
    slope: f64,
    /// Height of the lower end, about which it leans.
    from: f64,
}

/// Edges lean less than this, in radians: 60 degrees.
pub(crate) const STEEPEST: f64 = std::f64::consts::FRAC_PI_3;

impl<'s> Edge<'s> {
    /// The cut at a station, with its cant.
    pub(crate) fn new(surface: &'s Surface, station: f64, cant: f64) -> Self {
        let first = surface.columns().first().copied().unwrap_or_default();
        Self {
            surface,
            station,
            slope: cant.clamp(-STEEPEST, STEEPEST).tan(),
            from: surface.place(first, station).0[2],
        }
    }

    /// The station of the edge at a parameter round the section.
    pub(crate) fn at(&self, u: f64) -> f64 {
        if self.slope == 0.0 {
            return self.station;
        }
        // x = s + (z(x) - z0) tan c, by secants: z changes slowly with x
        let miss = |v: f64| {
            let rise = self.surface.place(u, v).0[2] - self.from;
            self.station + rise * self.slope - v
        };
        let (mut before, mut at) = (self.station, self.station + miss(self.station));
        let mut missed = miss(before);
        for _ in 0..50 {
            let now = miss(at);
            let change = now - missed;
            if now == 0.0 || change == 0.0 {
                break;
            }
            let next = at - now * (at - before) / change;
            (before, at, missed) = (at, next, now);
            if (at - before).abs() < 1e-12 * (1.0 + at.abs()) {
                break;
            }
        }
        at
    }

    /// Its station at the lower end of the section.
    pub(crate) fn at_foot(&self) -> f64 {
        self.station
    }

    /// Whether it is canted.
    pub(crate) fn leans(&self) -> bool {
        self.slope != 0.0
    }

    /// The outward normal of a cut on the fwd side, or on the aft side.
    pub(crate) fn normal(&self, aft: bool) -> [f64; 3] {
        let length = self.slope.hypot(1.0);
        let sense = if aft { 1.0 } else { -1.0 };
        [sense / length, 0.0, -sense * self.slope / length]
    }
}
