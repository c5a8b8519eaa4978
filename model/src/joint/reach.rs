//! Where tools go to drill for fasteners and set them. In: the joints of a solved assembly. Out: of each fastener the two ends of its stack,
//! other metal that lies against it counted in, in millimetres.

use nalgebra::Vector3;

use super::around::Metal;
use super::measured::Measured;
use crate::assembly::Solved;
use crate::trade::fastener::Fastener;

/// A joint as its tools meet it.
#[derive(Clone, Debug)]
pub(crate) struct Fastening {
    /// The statement that makes it.
    pub(crate) statement: String,
    /// Its layers, by the parts' numbers, the one under the head first.
    pub(crate) layers: Vec<usize>,
    /// Parts that it doesn't name and through which the fasteners at some of its places go too.
    pub(crate) also: Vec<(usize, Vec<usize>)>,
    /// The fastener, if it is stated.
    pub(crate) fastener: Option<Fastener>,
    /// From the head to the tail, of length one.
    pub(crate) way: [f64; 3],
    /// Where fasteners go; none where no row is stated.
    pub(crate) places: Vec<Ends>,
}

/// The two ends of a stack at a fastener.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ends {
    /// On the outer face under the head.
    pub(crate) head: [f64; 3],
    /// On the outer face under the tail.
    pub(crate) tail: [f64; 3],
}

impl Solved<'_> {
    /// All joints, in the order of [`Solved::joints`].
    pub(crate) fn fastenings(&self) -> Vec<Fastening> {
        let stand = self.stand();
        let metal = Metal::of(self);
        let measured = stand.stacked().into_iter().map(|s| stand.measure_joint(s));
        measured.map(|one| fastening(&one, &metal)).collect()
    }
}

fn fastening(one: &Measured<'_>, metal: &Metal) -> Fastening {
    let stacked = &one.stacked;
    let against = match one.has_places() {
        true => metal.against(one),
        false => Vec::new(),
    };
    let thick: f64 = one.layers.iter().map(|layer| layer.thickness).sum();
    let ends = |at: usize| {
        let under = one.under_head(at);
        let from = stacked.frame.flat(under).1;
        // a layer that follows a contour has no span: it counts with its thickness
        let to = one
            .reach(at)
            .map_or(from + thick, |reach| reach[1].max(from + thick));
        let others = against.iter().flat_map(|(_, places)| places);
        let others = others.filter(|(place, _)| *place == at);
        let [from, to] = others.fold([from, to], |[a, b], (_, span)| {
            [a.min(span[0]), b.max(span[1])]
        });
        let along = |to: f64| -> [f64; 3] {
            let start: Vector3<f64> = under - stacked.frame.way * stacked.frame.flat(under).1;
            (start + stacked.frame.way * to).into()
        };
        Ends {
            head: along(from),
            tail: along(to),
        }
    };
    Fastening {
        statement: stacked.statement.to_owned(),
        layers: stacked.layers.iter().map(|layer| layer.part).collect(),
        fastener: stacked.fastener,
        way: stacked.frame.way.into(),
        places: match one.has_places() {
            true => (0..one.at.len()).map(ends).collect(),
            false => Vec::new(),
        },
        also: against
            .into_iter()
            .map(|(part, places)| (part, places.into_iter().map(|(at, _)| at).collect()))
            .collect(),
    }
}
