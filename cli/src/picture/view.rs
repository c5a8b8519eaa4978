//! From which side one looks, and to what scale. In: station, buttock line, waterline in mm. Out: mm of paper.
//! Seen from the left or from above, the nose is at the left, so station runs to the right and waterline (from the left) or
//! buttock line (from above, the aircraft's right-hand side on top) runs up the paper; seen from behind, the right-hand side is at
//! the right. No view is mirrored.

use serde::Deserialize;

/// From which side one looks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum View {
    /// From the left: station by waterline.
    #[default]
    Side,
    /// From above: station by buttock line, the right-hand side at the top.
    Plan,
    /// From behind, looking forward: buttock line by waterline, the right-hand side at the right.
    Front,
}

/// What there is to say of a view.
pub(super) struct Aspect {
    /// What it is, in words.
    pub(super) words: &'static str,
    /// A word for ids.
    pub(super) id: &'static str,
    /// The coordinates along the paper, up the paper and towards the eye, each with its sign.
    axes: [(usize, f64); 3],
    /// The axis that runs up the paper at its 0, as the trade abbreviates it.
    pub(super) up_short: &'static str,
    /// What lies at the top and at the bottom of the paper.
    pub(super) ends: [&'static str; 2],
    /// One of the ways along the paper.
    pub(super) way: &'static str,
    /// What the ruler along the bottom counts.
    pub(super) along: &'static str,
    /// The highest that it gets, mm of paper.
    pub(super) highest: f64,
    /// Whether stations run along the paper: then parts are marked on the ruler, and the ribbon of shifts stands below it.
    pub(super) by_station: bool,
}

const SIDE: Aspect = Aspect {
    words: "Side view, seen from the left",
    id: "side",
    axes: [(0, 1.0), (2, 1.0), (1, -1.0)],
    up_short: "WL 0",
    ends: ["up", "down"],
    way: "← nose",
    along: "Station in {unit}, aft positive",
    highest: 88.0,
    by_station: true,
};

const PLAN: Aspect = Aspect {
    words: "Plan view, seen from above",
    id: "plan",
    axes: [(0, 1.0), (1, 1.0), (2, 1.0)],
    up_short: "BL 0",
    ends: ["right", "left"],
    ..SIDE
};

const FRONT: Aspect = Aspect {
    words: "Seen from behind, looking forward",
    id: "front",
    axes: [(1, 1.0), (2, 1.0), (0, 1.0)],
    way: "right →",
    along: "Buttock line in {unit} along the bottom, right positive; waterline up the side",
    highest: 112.0,
    by_station: false,
    ..SIDE
};

impl View {
    /// All of them.
    pub const ALL: [View; 3] = [View::Side, View::Plan, View::Front];

    /// What there is to say of it.
    pub(super) fn aspect(self) -> &'static Aspect {
        match self {
            View::Side => &SIDE,
            View::Plan => &PLAN,
            View::Front => &FRONT,
        }
    }

    /// A point as the view has it: along the paper, up the paper, and towards the eye.
    pub(super) fn turned(self, at: [f64; 3]) -> [f64; 3] {
        self.aspect().axes.map(|(axis, sign)| sign * at[axis])
    }
}

/// A scale: so many mm of the aircraft are so many mm of paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Scale {
    /// mm of paper for a mm of the aircraft.
    pub(super) paper_per_mm: f64,
    paper: f64,
    real: f64,
}

/// Round scales within a power of ten. ISO 5455 recommends 1, 2 and 5; the ones between waste less paper.
const ROUND: [f64; 10] = [1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0];

impl Scale {
    /// The greatest round scale at which `extent` mm fit on `room` mm of paper, both ways.
    pub(super) fn fitting(extent: [f64; 2], room: [f64; 2]) -> Scale {
        let needed = (extent[0] / room[0]).max(extent[1] / room[1]);
        // Not drawn larger than ten times: a small part is then a small picture.
        let needed = if needed.is_finite() {
            needed.clamp(0.1, 1e12)
        } else {
            1.0
        };
        let power = 10f64.powi((needed.log10() + 1e-9).floor() as i32);
        let step = ROUND
            .iter()
            .find(|&&step| step * power >= needed * (1.0 - 1e-9))
            .map_or(10.0, |&step| step);
        let ratio = step * power;
        if ratio >= 1.0 {
            Scale {
                paper_per_mm: 1.0 / ratio,
                paper: 1.0,
                real: ratio,
            }
        } else {
            // 1 : 0.4 is told as 2.5 : 1
            Scale {
                paper_per_mm: 1.0 / ratio,
                paper: 1.0 / ratio,
                real: 1.0,
            }
        }
    }

    /// `1 : 20`.
    pub(super) fn words(self) -> String {
        let short = |x: f64| super::sheet::number((x * 100.0).round() / 100.0);
        format!("{} : {}", short(self.paper), short(self.real))
    }
}

/// Where the points of a view lie on the paper.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mapping {
    pub(super) scale: Scale,
    /// Station at the paper's `left`.
    pub(super) station: f64,
    /// Paper x of that station.
    pub(super) left: f64,
    /// What is uppermost in the view, mm.
    pub(super) uppermost: f64,
    /// Paper y of it.
    pub(super) top: f64,
}

impl Mapping {
    /// Paper x of a station.
    pub(super) fn x(&self, station: f64) -> f64 {
        self.left + (station - self.station) * self.scale.paper_per_mm
    }

    /// The station at a paper x.
    pub(super) fn station_at(&self, x: f64) -> f64 {
        self.station + (x - self.left) / self.scale.paper_per_mm
    }

    /// Paper y of a height in the view.
    pub(super) fn y(&self, up: f64) -> f64 {
        self.top + (self.uppermost - up) * self.scale.paper_per_mm
    }

    /// Both, of a point along and up.
    pub(super) fn point(&self, [along, up]: [f64; 2]) -> [f64; 2] {
        [self.x(along), self.y(up)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_are_round_and_fit() {
        let scale = |extent| Scale::fitting([extent, 1.0], [100.0, 100.0]);
        assert_eq!(scale(100.0).words(), "1 : 1");
        assert_eq!(scale(2000.0).words(), "1 : 20");
        assert_eq!(scale(2001.0).words(), "1 : 25");
        assert_eq!(scale(8500.0).words(), "1 : 100");
        assert_eq!(scale(40.0).words(), "2.5 : 1");
        assert_eq!(scale(0.0).words(), "10 : 1");
        assert_eq!(scale(f64::NAN).words(), "10 : 1");
        for extent in [0.3, 7.0, 99.9, 100.1, 4321.0, 5e8] {
            let on_paper = extent * scale(extent).paper_per_mm;
            assert!(on_paper <= 100.0 + 1e-6, "{extent} is {on_paper}");
        }
    }

    #[test]
    fn neither_view_is_mirrored() {
        // Along × up must point to the eye, or the picture is a mirror image.
        for view in View::ALL {
            let [a, b, c] =
                [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]].map(|v| view.turned(v));
            let turned: f64 = a[0] * (b[1] * c[2] - b[2] * c[1])
                - a[1] * (b[0] * c[2] - b[2] * c[0])
                + a[2] * (b[0] * c[1] - b[1] * c[0]);
            assert_eq!(turned, 1.0);
        }
    }
}
