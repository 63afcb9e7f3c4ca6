//! A picture in pixels, from an SVG text, with the fonts that travel with the program.

use std::{fmt, sync::Arc};

use resvg::{tiny_skia, usvg};

use crate::drawing::text_shaping::Typeface;

/// Why a picture could not be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PngError {
    /// The SVG text cannot be read.
    Unreadable(String),
    /// The picture would have no pixel, or too many.
    Size {
        /// Its width in pixels.
        width: u32,
        /// Its height in pixels.
        height: u32,
    },
    /// The picture cannot be packed.
    Packing(String),
}

impl fmt::Display for PngError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable(why) => write!(f, "The drawing could not be read back ({why})."),
            Self::Size { width, height } => {
                write!(
                    f,
                    "A picture of {width} by {height} pixels cannot be made. Ask for another resolution."
                )
            }
            Self::Packing(why) => write!(f, "The picture could not be packed ({why})."),
        }
    }
}

impl std::error::Error for PngError {}

/// Most pixels along a side.
const MOST_PIXELS: f64 = 20_000.0;

/// A picture in memory.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pixels {
    /// Its width.
    pub width: usize,
    /// Its height.
    pub height: usize,
    /// Red, green, blue and opacity of each pixel, row by row from the top; the colours are already dimmed by it.
    pub rgba: Vec<u8>,
}

/// Draws an SVG text whose size is in millimetres, at so many pixels a millimetre, as a PNG file.
///
/// # Errors
/// [`PngError`].
pub fn png(svg: &str, pixels_per_mm: f64) -> Result<Vec<u8>, PngError> {
    drawn(svg, pixels_per_mm)?.encode_png().map_err(|error| PngError::Packing(error.to_string()))
}

/// Draws an SVG text that covers all of its sheet, at so many pixels a millimetre, into memory.
///
/// # Errors
/// [`PngError`].
pub fn pixels(svg: &str, pixels_per_mm: f64) -> Result<Pixels, PngError> {
    let drawn = drawn(svg, pixels_per_mm)?;
    let (width, height) = (drawn.width() as usize, drawn.height() as usize);
    Ok(Pixels { width, height, rgba: drawn.take() })
}

/// Packs pixels as a PNG file.
///
/// # Errors
/// [`PngError`].
pub fn packed(pixels: Pixels) -> Result<Vec<u8>, PngError> {
    let Pixels { width, height, rgba } = pixels;
    let (width, height) = (width as u32, height as u32);
    let size = tiny_skia::IntSize::from_wh(width, height).ok_or(PngError::Size { width, height })?;
    let map = tiny_skia::Pixmap::from_vec(rgba, size).ok_or(PngError::Size { width, height })?;
    map.encode_png().map_err(|error| PngError::Packing(error.to_string()))
}

fn drawn(svg: &str, pixels_per_mm: f64) -> Result<tiny_skia::Pixmap, PngError> {
    let mut fonts = usvg::fontdb::Database::new();
    for typeface in Typeface::ALL {
        fonts.load_font_data(typeface.data().to_vec());
    }
    let options = usvg::Options { fontdb: Arc::new(fonts), dpi: 25.4, ..usvg::Options::default() };
    let tree =
        usvg::Tree::from_str(svg, &options).map_err(|error| PngError::Unreadable(error.to_string()))?;
    // At 25.4 dots an inch a unit of the tree is a millimetre.
    let side = |mm: f32| (f64::from(mm) * pixels_per_mm).ceil().clamp(0.0, MOST_PIXELS) as u32;
    let (width, height) = (side(tree.size().width()), side(tree.size().height()));
    let mut pixels = tiny_skia::Pixmap::new(width, height).ok_or(PngError::Size { width, height })?;
    // The last row and column may stand over the edge of the sheet by a part of a pixel.
    pixels.fill(tiny_skia::Color::WHITE);
    let scale = pixels_per_mm as f32;
    resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut pixels.as_mut());
    Ok(pixels)
}
