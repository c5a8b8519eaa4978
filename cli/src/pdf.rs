//! Pages as a PDF, true to size. In: pages as SVG, in mm. Out: the file.

use krilla::Document;
use krilla::geom::Size;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};

use crate::picture::Page;
use crate::picture::raster::tree;

/// Points in a millimetre: 72 in an inch.
const POINTS: f64 = 72.0 / 25.4;

/// The file.
///
/// # Errors
/// A page can't be read or written: the reason, in words.
pub(crate) fn pdf(pages: &[Page]) -> Result<Vec<u8>, String> {
    let mut document = Document::new();
    for page in pages {
        let [width, height] = page.size_mm.map(|side| (side * POINTS) as f32);
        let size = Size::from_wh(width, height).ok_or("a page has no size")?;
        let settings = PageSettings::from_wh(width, height).ok_or("a page has no size")?;
        let tree = tree(&page.svg).map_err(|error| error.to_string())?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        surface
            .draw_svg(&tree, size, SvgSettings::default())
            .ok_or("a page can't be drawn")?;
        surface.finish();
        sheet.finish();
    }
    document.finish().map_err(|error| format!("{error:?}"))
}
