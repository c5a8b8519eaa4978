//! Dots from a picture. In: SVG text and a width in dots. Out: a PNG on white ground, drawn with the font of [`super::font`],
//! that says how many dots a metre has, so that it prints as large as the SVG and its scale is true on paper
//! (PNG, ISO/IEC 15948, chunk pHYs).

use resvg::{tiny_skia, usvg};

use super::font::{FAMILY, FONT};

/// Dots of a user unit of an SVG in mm: CSS has 96 to the inch.
const DOTS_PER_MM: f64 = 96.0 / 25.4;
/// The widest PNG, and the highest, in dots: what still opens everywhere.
const MOST_DOTS: u32 = 16_384;

/// Why there is no PNG.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// The text is no SVG.
    #[error("the picture can't be read: {0}")]
    Svg(String),
    /// The size asked for.
    #[error("a picture {0} dots wide and {1} high can't be made: each must be 1 to {MOST_DOTS}")]
    Size(u32, u32),
    /// The encoder failed.
    #[error("the picture can't be written as PNG: {0}")]
    Png(String),
}

/// Reads SVG text with our font at hand.
pub(crate) fn tree(svg: &str) -> Result<usvg::Tree, PictureError> {
    let mut options = usvg::Options {
        font_family: FAMILY.into(),
        ..usvg::Options::default()
    };
    options.fontdb_mut().load_font_data(FONT.to_vec());
    usvg::Tree::from_str(svg, &options).map_err(|fault| PictureError::Svg(fault.to_string()))
}

/// Draws SVG text as a PNG of that width in dots; the height follows.
///
/// # Errors
/// If the text is no SVG or the picture would have no dots or too many.
pub fn png(svg: &str, width_px: u32) -> Result<Vec<u8>, PictureError> {
    let tree = tree(svg)?;
    let size = tree.size();
    let scale = width_px as f32 / size.width();
    // Saturates where it doesn't fit, and is refused just below.
    let height_px = (size.height() * scale).ceil() as u32;
    let fits = |dots: u32| (1..=MOST_DOTS).contains(&dots);
    if !fits(width_px) || !fits(height_px) {
        return Err(PictureError::Size(width_px, height_px));
    }
    let mut dots = tiny_skia::Pixmap::new(width_px, height_px)
        .ok_or(PictureError::Size(width_px, height_px))?;
    dots.fill(tiny_skia::Color::WHITE);
    let transform = tiny_skia::Transform::from_scale(scale, scale);
    resvg::render(&tree, transform, &mut dots.as_mut());
    let paper_mm = f64::from(size.width()) / DOTS_PER_MM;
    encoded(dots, f64::from(width_px) / paper_mm)
        .map_err(|fault| PictureError::Png(fault.to_string()))
}

/// The file, with its resolution.
fn encoded(dots: tiny_skia::Pixmap, per_mm: f64) -> Result<Vec<u8>, png::EncodingError> {
    let per_metre = (per_mm * 1000.0).round() as u32;
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, dots.width(), dots.height());
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_pixel_dims(Some(png::PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: png::Unit::Meter,
    }));
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&dots.take_demultiplied())?;
    writer.finish()?;
    Ok(file)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_png_of_the_width_asked_for() {
        let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='20mm' height='10mm'/>";
        let png = png(svg, 400).unwrap();
        assert_eq!(png.get(..8).unwrap(), b"\x89PNG\r\n\x1a\n");
        // PNG (ISO/IEC 15948), IHDR: width and height are the two big-endian words at byte 16.
        assert_eq!(png.get(16..24).unwrap(), [0, 0, 1, 144, 0, 0, 0, 200]);
    }

    #[test]
    fn a_png_prints_as_large_as_the_picture() {
        let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='20mm' height='10mm'/>";
        // 20 mm are 400 dots, so a metre is 20,000 of them; unit 1 is the metre.
        let png = png(svg, 400).unwrap();
        let at = png.windows(4).position(|four| four == b"pHYs").unwrap();
        let dots = 20_000u32.to_be_bytes();
        assert_eq!(png.get(at + 4..at + 8).unwrap(), dots);
        assert_eq!(
            png.get(at + 8..at + 13).unwrap(),
            [&dots[..], &[1]].concat()
        );
    }

    #[test]
    fn refusals() {
        let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='20mm' height='10mm'/>";
        assert!(matches!(png(svg, 0), Err(PictureError::Size(0, _))));
        assert!(matches!(png(svg, u32::MAX), Err(PictureError::Size(..))));
        assert!(matches!(png("no picture", 10), Err(PictureError::Svg(_))));
    }
}
