//! What pictures are drawn with: colours, line widths and text sizes, all in mm of paper.
//! The palette is our own. Two rules: whatever a colour says, a second sign says too (a line width, a hatch, a symbol, a
//! dash), so grey print and colour-blind eyes lose nothing; ochre and rust, which meet most often, differ in lightness too.

/// Outlines and most text.
pub(super) const INK: &str = "#26292d";
/// Text of less weight, leaders, ruler marks.
pub(super) const PALE_INK: &str = "#6b6f75";
/// Lines that help the eye along.
pub(super) const GUIDE: &str = "#dcdad4";
/// Metal.
pub(super) const METAL: &str = "#eceae3";
/// Ground of the hatch of metal that is cut.
pub(super) const CUT_FILL: &str = "#cdc7b9";
/// Outlines of what lies ahead of a cut.
pub(super) const AHEAD: &str = "#b4b1aa";
/// Fill of it.
pub(super) const AHEAD_FILL: &str = "#f8f7f4";
/// Where a part was.
pub(super) const GHOST: &str = "#85898f";
/// Outlines and bars of what lies elsewhere and is made as before: ochre.
pub(super) const MOVED: &str = "#966009";
/// Fill of it.
pub(super) const MOVED_FILL: &str = "#f4e0b2";
/// Outlines, hatch and bars of what is made differently: rust.
pub(super) const REMADE: &str = "#8a2b12";
/// Ground of the hatch.
pub(super) const REMADE_FILL: &str = "#f2cdb9";
/// Outlines and dots of what is new: indigo.
pub(super) const ADDED: &str = "#3a3e90";
/// Ground of the dots.
pub(super) const ADDED_FILL: &str = "#dadbf0";
/// Outlines of what is picked out: teal.
pub(super) const PICKED: &str = "#0f5562";

/// Outline of a part.
pub(super) const LINE: f64 = 0.18;
/// Outline of a part that changes.
pub(super) const BOLD: f64 = 0.34;
/// Outline of a part that is picked out.
pub(super) const BROAD: f64 = 0.75;
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
