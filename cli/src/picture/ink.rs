//! What pictures are drawn with: colours, line widths and text sizes, all in mm of paper.
//! The palette is our own. Two rules: whatever a colour says, a second sign says too (a line width, a hatch, a symbol, a
//! dash), so grey print and colour-blind eyes lose nothing; and the two accents, rust and teal, differ in lightness.

/// Outlines and most text.
pub(super) const INK: &str = "#26292d";
/// Text of less weight, leaders, ruler marks.
pub(super) const PALE_INK: &str = "#6b6f75";
/// Lines that help the eye along.
pub(super) const GUIDE: &str = "#dcdad4";
/// Metal.
pub(super) const METAL: &str = "#eceae3";
/// Wide sheets seen face on, which lie beneath everything else.
pub(super) const SHEET: &str = "#f7f6f2";
/// Where a part was.
pub(super) const GHOST: &str = "#85898f";
/// Outlines and bars of what moved.
pub(super) const MOVED: &str = "#9c4312";
/// Fill of what moved.
pub(super) const MOVED_FILL: &str = "#edc19e";
/// Outlines and hatch of what is picked out.
pub(super) const PICKED: &str = "#0f5562";
/// Ground of the hatch of what is picked out.
pub(super) const PICKED_FILL: &str = "#d3e6e8";

/// Outline of a part.
pub(super) const LINE: f64 = 0.18;
/// Outline of a part that moved or is picked out.
pub(super) const BOLD: f64 = 0.34;
/// Leaders, guides and ruler marks.
pub(super) const FINE: f64 = 0.12;

/// The title.
pub(super) const TITLE: f64 = 4.4;
/// Captions and figures.
pub(super) const CAPTION: f64 = 2.7;
/// Numbers of ruler and ribbon.
pub(super) const NUMBER: f64 = 2.3;
/// The note at the bottom.
pub(super) const NOTE: f64 = 2.2;
