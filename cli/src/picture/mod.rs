//! Pictures of a layout. In: where the parts lie, and what a deviation moves. Out: an SVG in mm of paper, or its dots as PNG.
//!
//! In the order in which data flows: `subject` finds what there is to draw and `solid` how a prism looks; `scene` gathers it and
//! `view` puts it to a round scale; `parts` (as `look` says), `names` (by `labels`), `ruler`, `ribbon` (by `ribbon_levels` and
//! `ribbon_names`), `caption` and `legend` each give their piece, and `composition` stacks them on a `sheet`. `section` does the
//! same for a cut across the fuselage, of which `sawn` finds what is seen. `measured` marks what is measured; `ways` draws
//! chains of figures, `histogram` the samples of a stack-up and `joint` a joint, each on a sheet of its own. Nothing here
//! locates or compares anything: that is done in the model.

mod caption;
mod clusters;
mod composition;
mod doubts;
pub mod font;
mod goes_on;
mod histogram;
mod histogram_axis;
mod ink;
mod joined;
mod joint;
mod labels;
mod leaders;
mod legend;
mod look;
mod measured;
mod names;
mod pages;
mod parts;
mod pattern;
#[cfg(test)]
mod properties;
pub(crate) mod raster;
mod ribbon;
mod ribbon_drawing;
mod ribbon_levels;
mod ribbon_names;
mod ruler;
mod ruler_up;
#[cfg(test)]
mod sample;
mod sawn;
mod scene;
mod section;
mod sheet;
mod solid;
mod spread;
mod subject;
#[cfg(test)]
mod tests;
mod view;
mod ways;

use strongback_model::layout::Layout;
use strongback_model::recut::Verdicts;
use strongback_model::shift::Shift;

pub use histogram::{Samples, histogram};
pub use joint::joint;
pub(crate) use pages::{Page, Paper, pages};
pub(crate) use pattern::{CROSS, tangents, template, told as bend_told};
pub use raster::{PictureError, png};
pub(crate) use section::cut_told;
pub use section::{Saw, section};
pub(crate) use sheet::escaped;
pub use view::View;
pub use ways::{Way, ways};

/// Width of every picture, mm: prints at 100 % within the margins of A4 and of letter paper, both lying.
pub const PAPER: f64 = 262.0;
/// Around everything, mm.
const MARGIN: f64 = 6.0;

/// What a picture is to show.
#[derive(Clone, Copy, Debug)]
pub struct Drawing<'a> {
    /// Where everything lies.
    pub layout: &'a Layout,
    /// The layout to compare with; it is drawn as a ghost, with the ribbon of what moved.
    pub before: Option<Before<'a>>,
    /// The title.
    pub title: &'a str,
    /// A line under it; may be empty.
    pub subtitle: &'a str,
    /// From which side.
    pub view: View,
    /// Names of parts to pick out, such as those of a chain.
    pub highlight: &'a [String],
    /// Places to mark and to join by a line, such as those of what a must-fit measures; in mm of the aircraft.
    pub measured: &'a [[f64; 3]],
    /// Names of parts about which a statement doesn't hold.
    pub at_odds: &'a [String],
    /// How many parts are not in the layout because they were left out on purpose; the picture says so.
    pub left_out: usize,
    /// Starts all ids, so that several pictures can stand on one page; letters, digits and hyphens of it are kept.
    pub id: &'a str,
}

/// What a layout is compared with.
#[derive(Clone, Copy, Debug)]
pub struct Before<'a> {
    /// The old layout.
    pub layout: &'a Layout,
    /// What moved from it to the new one.
    pub shift: &'a Shift,
    /// What is to be done with each part.
    pub recut: &'a Verdicts,
    /// What the change is called.
    pub deviation: &'a str,
}

impl<'a> Drawing<'a> {
    /// A plain picture with the layout's own title.
    #[must_use]
    pub fn new(layout: &'a Layout, view: View) -> Self {
        Self {
            layout,
            before: None,
            title: &layout.title,
            subtitle: "",
            view,
            highlight: &[],
            measured: &[],
            at_odds: &[],
            left_out: 0,
            id: "",
        }
    }
}

/// The picture as SVG: [`PAPER`] mm wide, as high as it needs, one user unit a millimetre of paper.
///
/// Each part is a group with `data-part` and a title; bars and marks of the ruler carry the part's name too.
/// The same drawing gives the same text.
#[must_use]
pub fn svg(drawing: &Drawing<'_>) -> String {
    composition::compose(drawing)
}
