//! A [`Sheet`] as PNG: our own SVG drawn by a pure Rust renderer with the project's fonts, never the machine's.

use std::fmt;
use std::sync::{Arc, OnceLock};

use png::{BitDepth, ColorType, Compression, Encoder, PixelDimensions, Unit};
use resvg::tiny_skia::{Color, Pixmap};
use resvg::usvg::{self, fontdb};
use wyeline_draw::ink::Weight;
use wyeline_draw::lettering::font_bytes;
use wyeline_sheet::Sheet;

use crate::svg::svg;

/// Dots per inch where nothing else is asked for: lettering of 2.5 mm is then 20 dots high.
pub const USUAL_DPI: f64 = 200.0;
/// More dots than this are refused: 36 x 48 in at 600 dots per inch has 622 million.
const MOST_DOTS: f64 = 700e6;

/// Why no PNG could be written.
#[derive(Clone, Debug, PartialEq)]
pub enum PngError {
    /// The picture would have no dots or too many; its width and height in dots.
    Size(f64, f64),
    /// The renderer or the PNG library refused; its words.
    Library(String),
}

impl fmt::Display for PngError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Size(width, height) => write!(
                f,
                "a picture of {width:.0} by {height:.0} dots cannot be made"
            ),
            Self::Library(words) => write!(f, "the picture could not be made: {words}"),
        }
    }
}

impl std::error::Error for PngError {}

/// Returns the sheet as an opaque PNG at so many dots per inch, which the file states.
///
/// # Errors
/// [`PngError::Size`] where there would be no dots or too many; [`PngError::Library`] where a library refuses.
pub fn png(sheet: &Sheet, dpi: f64) -> Result<Vec<u8>, PngError> {
    let pixels = pixels(&svg(sheet), sheet.size_mm, dpi)?;
    encoded(&pixels, dpi)
}

/// Draws SVG text on white.
fn pixels(svg: &str, (width, height): (f64, f64), dpi: f64) -> Result<Pixmap, PngError> {
    let factor = dpi / 25.4;
    let (wide, high) = ((width * factor).round(), (height * factor).round());
    let sound = wide >= 1.0 && high >= 1.0 && wide * high <= MOST_DOTS;
    if !sound {
        return Err(PngError::Size(wide, high));
    }
    let options = usvg::Options {
        fontdb: fonts(),
        ..usvg::Options::default()
    };
    let tree = usvg::Tree::from_str(svg, &options).map_err(|e| PngError::Library(e.to_string()))?;
    let mut pixels = Pixmap::new(wide as u32, high as u32).ok_or(PngError::Size(wide, high))?;
    pixels.fill(Color::WHITE);
    let size = tree.size();
    let transform = resvg::tiny_skia::Transform::from_scale(
        wide as f32 / size.width(),
        high as f32 / size.height(),
    );
    resvg::render(&tree, transform, &mut pixels.as_mut());
    Ok(pixels)
}

/// The project's two fonts, without the tables that put other letters in place of some.
fn fonts() -> Arc<fontdb::Database> {
    static FONTS: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    let load = || {
        let mut fonts = fontdb::Database::new();
        for weight in [Weight::Regular, Weight::SemiBold] {
            fonts.load_font_source(fontdb::Source::Binary(Arc::new(plain(font_bytes(weight)))));
        }
        Arc::new(fonts)
    };
    FONTS.get_or_init(load).clone()
}

/// The font with its glyph substitution and glyph positioning tables under names that nobody looks for.
///
/// Lettering is set letter by letter by its advance alone, as its box was measured. The renderer kerns not if told so,
/// but it has no switch for ligatures: `fi` would come out as one glyph. The table directory begins after 12 bytes, with
/// the number of tables at byte 4, and has 16 bytes a table, first its tag (OpenType 1.9, "Organization of an OpenType
/// font"); the changed tags stay in order.
fn plain(font: &[u8]) -> Vec<u8> {
    let mut font = font.to_vec();
    let tables = font
        .get(4..6)
        .map_or(0, |n| usize::from(u16::from_be_bytes([n[0], n[1]])));
    if let Some(directory) = font.get_mut(12..12 + 16 * tables) {
        for entry in directory.chunks_exact_mut(16) {
            match &entry[..4] {
                b"GSUB" => entry[..4].copy_from_slice(b"GSUZ"),
                b"GPOS" => entry[..4].copy_from_slice(b"GPOZ"),
                _ => {}
            }
        }
    }
    font
}

/// The dots as a PNG file; quick compression, since line drawings are small whatever the effort.
fn encoded(pixels: &Pixmap, dpi: f64) -> Result<Vec<u8>, PngError> {
    // Drawn on white, every dot is opaque, so the red, green and blue bytes are the colour itself.
    let rgb: Vec<u8> = pixels
        .data()
        .chunks_exact(4)
        .flat_map(|dot| [dot[0], dot[1], dot[2]])
        .collect();
    let mut out = Vec::new();
    let mut encoder = Encoder::new(&mut out, pixels.width(), pixels.height());
    encoder.set_color(ColorType::Rgb);
    encoder.set_depth(BitDepth::Eight);
    encoder.set_compression(Compression::Fast);
    let per_metre = (dpi / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: Unit::Meter,
    }));
    let refused = |error: png::EncodingError| PngError::Library(error.to_string());
    let mut writer = encoder.write_header().map_err(refused)?;
    writer.write_image_data(&rgb).map_err(refused)?;
    writer.finish().map_err(refused)?;
    Ok(out)
}
