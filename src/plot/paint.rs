//! The PNG of a picture: its SVG, drawn with the embedded fonts.

use super::{PlotError, lettering};
use resvg::{tiny_skia, usvg};

/// Pixels of the PNG per unit of the picture: sharp on a phone and legible on a wall.
const SCALE: f32 = 2.0;

/// The PNG bytes of an SVG.
///
/// # Errors
/// If the SVG cannot be read or the picture is too large to paint.
pub(super) fn png(svg: &str) -> Result<Vec<u8>, PlotError> {
    let tree = usvg::Tree::from_str(svg, &lettering::reading())
        .map_err(|e| PlotError::Painting(e.to_string()))?;
    let size = tree.size().to_int_size();
    let size = size
        .scale_by(SCALE)
        .ok_or_else(|| PlotError::Painting("the picture has no size".to_owned()))?;
    let mut paper = tiny_skia::Pixmap::new(size.width(), size.height())
        .ok_or_else(|| PlotError::Painting("the picture is too large".to_owned()))?;
    resvg::render(&tree, tiny_skia::Transform::from_scale(SCALE, SCALE), &mut paper.as_mut());
    paper.encode_png().map_err(|e| PlotError::Painting(e.to_string()))
}
