//! [`Sheet`]s as one PDF: vector lines at exact size, lettering as searchable text in embedded subsets of the project's fonts.
//!
//! A point is 1/72 in (ISO 32000-1, 8.3.2.3), so a millimetre is 72 / 25.4 points. Coordinates are
//! turned into points in `f64` and rounded once to the `f32` of the PDF library.
//! No date and nothing random goes into the file: the same sheets give the same bytes.

use std::fmt;

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document, SerializeSettings};
use kurbo::PathEl;
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};
use wyeline_draw::ink::{Colour, Pen, Weight};
use wyeline_draw::lettering;
use wyeline_sheet::{Group, Item, Mark, Sheet, Text};

use crate::halo;

/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// Why no PDF could be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PdfError {
    /// There are no sheets, or one has no area.
    NoPage,
    /// The PDF library refused; its words.
    Library(String),
}

impl fmt::Display for PdfError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPage => f.write_str("there is no sheet to write"),
            Self::Library(words) => write!(f, "the PDF could not be put together: {words}"),
        }
    }
}

impl std::error::Error for PdfError {}

/// Returns all sheets as one PDF, a page each, in order.
///
/// # Errors
/// [`PdfError::NoPage`] where there is nothing to write; [`PdfError::Library`] where the PDF library refuses.
pub fn pdf(sheets: &[Sheet]) -> Result<Vec<u8>, PdfError> {
    let first = sheets.first().ok_or(PdfError::NoPage)?;
    let settings = SerializeSettings {
        enable_tagging: false,
        ..SerializeSettings::default()
    };
    let mut document = Document::new_with(settings);
    document.set_metadata(
        Metadata::new()
            .title(first.title.clone())
            .description(first.description.clone())
            .language("en".to_owned())
            .creator("Wyeline".to_owned()),
    );
    let pens = [Face::new(Weight::Regular)?, Face::new(Weight::SemiBold)?];
    for sheet in sheets {
        let (width, height) = sheet.size_mm;
        let settings =
            PageSettings::from_wh(points(width), points(height)).ok_or(PdfError::NoPage)?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        items(&mut surface, &pens, &sheet.items);
        surface.finish();
        page.finish();
    }
    document
        .finish()
        .map_err(|error| PdfError::Library(format!("{error:?}")))
}

/// One weight of the project's font.
struct Face {
    embedded: Font,
    font: FontRef<'static>,
    /// Glyph and advance (as a share of the em) of the Latin characters up to U+00FF.
    latin: Vec<(GlyphId, f32)>,
}

impl Face {
    fn new(weight: Weight) -> Result<Self, PdfError> {
        let bytes = lettering::font_bytes(weight);
        let refused = || PdfError::Library("the embedded font cannot be read".to_owned());
        let embedded = Font::new(bytes.into(), 0).ok_or_else(refused)?;
        let font = FontRef::new(bytes).map_err(|_| refused())?;
        let mut face = Self {
            embedded,
            font,
            latin: Vec::new(),
        };
        face.latin = (0..=u8::MAX)
            .map(|code| face.glyph(char::from(code)))
            .collect();
        Ok(face)
    }

    /// The glyph of a character and its advance as a share of the em.
    fn glyph(&self, c: char) -> (GlyphId, f32) {
        if let Some(known) = self.latin.get(c as usize) {
            return *known;
        }
        let (charmap, unscaled) = (self.font.charmap(), Size::unscaled());
        let id = charmap
            .map(c)
            .or_else(|| charmap.map(lettering::FALLBACK))
            .unwrap_or_default();
        let em = f32::from(
            self.font
                .metrics(unscaled, LocationRef::default())
                .units_per_em,
        );
        let advance = self
            .font
            .glyph_metrics(unscaled, LocationRef::default())
            .advance_width(id);
        (GlyphId::new(id.to_u32()), advance.unwrap_or_default() / em)
    }

    /// A glyph for each character, set by its advance alone.
    fn glyphs(&self, text: &str) -> Vec<KrillaGlyph> {
        text.char_indices()
            .map(|(at, c)| {
                let (id, advance) = self.glyph(c);
                KrillaGlyph::new(id, advance, 0.0, 0.0, 0.0, at..at + c.len_utf8(), None)
            })
            .collect()
    }
}

/// Millimetres as points.
fn points(mm: f64) -> f32 {
    (mm * POINTS) as f32
}

fn point(p: kurbo::Point) -> Point {
    Point::from_xy(points(p.x), points(p.y))
}

fn fill(Colour(r, g, b): Colour) -> Fill {
    Fill {
        paint: rgb::Color::new(r, g, b).into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::NonZero,
    }
}

fn stroke(pen: Pen) -> Stroke {
    let Colour(r, g, b) = pen.colour;
    let lengths = pen.pattern.lengths();
    let dash = (!lengths.is_empty()).then(|| StrokeDash {
        array: lengths.iter().map(|mm| points(*mm)).collect(),
        offset: 0.0,
    });
    Stroke {
        paint: rgb::Color::new(r, g, b).into(),
        width: points(pen.width),
        line_join: LineJoin::Round,
        dash,
        ..Stroke::default()
    }
}

/// Draws items in order.
fn items(surface: &mut Surface, faces: &[Face; 2], items: &[Item]) {
    for item in items {
        match item {
            Item::Stroke(mark) => self::mark(surface, mark),
            Item::Text(text) => self::text(surface, faces, text),
            Item::Group(Group { items, .. }) => self::items(surface, faces, items),
        }
    }
}

/// Draws a path with its fill and pen.
fn mark(surface: &mut Surface, mark: &Mark) {
    let Some(path) = path(mark.stroke.path.elements()) else {
        return;
    };
    if mark.stroke.fill.is_none() && mark.stroke.pen.is_none() {
        return;
    }
    surface.set_fill(mark.stroke.fill.map(fill));
    surface.set_stroke(mark.stroke.pen.map(stroke));
    surface.draw_path(&path);
}

/// The path in points; nothing where it has no extent.
fn path(elements: &[PathEl]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for element in elements {
        match *element {
            PathEl::MoveTo(p) => builder.move_to(points(p.x), points(p.y)),
            PathEl::LineTo(p) => builder.line_to(points(p.x), points(p.y)),
            PathEl::QuadTo(a, p) => {
                builder.quad_to(points(a.x), points(a.y), points(p.x), points(p.y));
            }
            PathEl::CurveTo(a, b, p) => {
                builder.cubic_to(
                    points(a.x),
                    points(a.y),
                    points(b.x),
                    points(b.y),
                    points(p.x),
                    points(p.y),
                );
            }
            PathEl::ClosePath => builder.close(),
        }
    }
    builder.finish()
}

/// Sets one line of lettering, on white where it asks for that.
fn text(surface: &mut Surface, faces: &[Face; 2], text: &Text) {
    let letters = &text.lettering;
    if letters.text.is_empty() {
        return;
    }
    let face = &faces[usize::from(letters.weight == Weight::SemiBold)];
    surface.set_stroke(None);
    if text.halo
        && let Some(white) = path(&halo::outline(letters))
    {
        surface.set_fill(Some(fill(Colour::WHITE)));
        surface.draw_path(&white);
    }
    let turned = letters.angle != 0.0;
    if turned {
        let at = point(letters.at);
        surface.push_transform(&Transform::from_rotate_at(letters.angle as f32, at.x, at.y));
    }
    surface.set_fill(Some(fill(letters.colour)));
    let size = points(lettering::em(letters.height, letters.weight));
    surface.draw_glyphs(
        point(letters.at),
        &face.glyphs(&letters.text),
        face.embedded.clone(),
        &letters.text,
        size,
        false,
    );
    if turned {
        surface.pop();
    }
}
