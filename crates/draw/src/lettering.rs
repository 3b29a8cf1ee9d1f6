//! How wide words come out in the project's own two fonts, so that a label's box is known before it is drawn.
//!
//! In: words, height of capitals, weight. Out: advance widths and reach above and below the base
//! line, mm. Advances and outlines' boxes are read from the embedded font files (`hmtx`, `glyf`
//! and `OS/2` tables, OpenType 1.9); no kerning, so writers must set letters by advance alone.

use std::sync::OnceLock;

use kurbo::Point;
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, GlyphId, MetadataProvider};

use crate::ink::{Colour, Lettering, Weight};

/// What stands in for a character the fonts do not have.
pub const FALLBACK: char = '?';

static REGULAR: &[u8] = include_bytes!("../../../assets/fonts/IBMPlexSansCondensed-Regular.ttf");
static SEMI_BOLD: &[u8] = include_bytes!("../../../assets/fonts/IBMPlexSansCondensed-SemiBold.ttf");

/// The font file itself, for writers that embed or outline it.
pub fn font_bytes(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => REGULAR,
        Weight::SemiBold => SEMI_BOLD,
    }
}

/// One glyph's measures as shares of the em.
#[derive(Clone, Copy, Debug, Default)]
struct Glyph {
    advance: f32,
    /// Highest point above the base line.
    above: f32,
    /// Lowest point below the base line, positive down.
    below: f32,
}

/// A font's measures: the characters labels are made of in a table, the rest looked up when met.
struct Face {
    font: FontRef<'static>,
    /// Height of capitals over the em.
    capital: f64,
    /// Latin characters up to U+00FF, absent ones as the fallback.
    latin: [Glyph; 256],
    known: [bool; 256],
}

impl Face {
    /// Reads one of the two embedded files.
    fn read(bytes: &'static [u8]) -> Option<Self> {
        let font = FontRef::new(bytes).ok()?;
        let metrics = font.metrics(Size::unscaled(), LocationRef::default());
        let em = f64::from(metrics.units_per_em);
        let capital = f64::from(metrics.cap_height?) / em;
        let mut face = Self {
            font,
            capital,
            latin: [Glyph::default(); 256],
            known: [false; 256],
        };
        for code in 0..=255_u8 {
            let found = face.look_up(char::from(code));
            face.known[usize::from(code)] = found.is_some();
            face.latin[usize::from(code)] = found.or_else(|| face.look_up(FALLBACK))?;
        }
        Some(face)
    }

    fn look_up(&self, c: char) -> Option<Glyph> {
        let id: GlyphId = self.font.charmap().map(c)?;
        let metrics = self
            .font
            .glyph_metrics(Size::unscaled(), LocationRef::default());
        let em = f32::from(
            self.font
                .metrics(Size::unscaled(), LocationRef::default())
                .units_per_em,
        );
        let bounds = metrics.bounds(id).unwrap_or_default();
        Some(Glyph {
            advance: metrics.advance_width(id)? / em,
            above: bounds.y_max / em,
            below: -bounds.y_min / em,
        })
    }

    fn has(&self, c: char) -> bool {
        match self.known.get(c as usize) {
            Some(known) => *known,
            None => self.font.charmap().map(c).is_some(),
        }
    }

    fn glyph(&self, c: char) -> Glyph {
        match self.latin.get(c as usize) {
            Some(glyph) => *glyph,
            None => self.look_up(c).unwrap_or(self.latin[FALLBACK as usize]),
        }
    }
}

fn face(weight: Weight) -> &'static Face {
    static FACES: OnceLock<[Face; 2]> = OnceLock::new();
    let faces = FACES.get_or_init(|| {
        [REGULAR, SEMI_BOLD].map(|bytes| {
            Face::read(bytes).expect("the embedded fonts are sound; a test reads them")
        })
    });
    &faces[usize::from(weight == Weight::SemiBold)]
}

/// How far words reach from the start of their base line, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Extent {
    /// Sum of the advances.
    pub width: f64,
    /// Up to the highest outline.
    pub above: f64,
    /// Down to the lowest outline, 0 or more.
    pub below: f64,
}

/// Advance width of `text`, mm, its capitals `height` mm high.
pub fn width(text: &str, height: f64, weight: Weight) -> f64 {
    let face = face(weight);
    let advance = |c| f64::from(face.glyph(c).advance);
    text.chars().map(advance).sum::<f64>() * (height / face.capital)
}

/// How far `text` reaches, its capitals `height` mm high.
pub fn extent(text: &str, height: f64, weight: Weight) -> Extent {
    let face = face(weight);
    let em = height / face.capital;
    let (mut width, mut above, mut below) = (0.0_f64, 0.0_f32, 0.0_f32);
    for c in text.chars() {
        let glyph = face.glyph(c);
        width += f64::from(glyph.advance);
        above = above.max(glyph.above);
        below = below.max(glyph.below);
    }
    Extent {
        width: width * em,
        above: f64::from(above) * em,
        below: f64::from(below) * em,
    }
}

/// Font size, mm per em, that makes capitals `height` mm high.
pub fn em(height: f64, weight: Weight) -> f64 {
    height / face(weight).capital
}

/// Whether the font has this character.
pub fn has(c: char, weight: Weight) -> bool {
    face(weight).has(c)
}

impl Lettering {
    /// Level lettering in black starting at `at`; characters the font lacks become [`FALLBACK`].
    ///
    /// * `at`: start of the base line, mm
    /// * `height`: height of capitals, mm
    pub fn new(text: &str, at: Point, height: f64, weight: Weight) -> Self {
        let face = face(weight);
        let text: String = if text.chars().all(|c| face.has(c)) {
            text.to_owned()
        } else {
            text.chars()
                .map(|c| if face.has(c) { c } else { FALLBACK })
                .collect()
        };
        let width = width(&text, height, weight);
        Self {
            text,
            at,
            angle: 0.0,
            height,
            weight,
            colour: Colour::BLACK,
            width,
        }
    }

    /// The same, its base line's middle at `at`.
    pub fn centred(text: &str, at: Point, height: f64, weight: Weight) -> Self {
        let mut made = Self::new(text, at, height, weight);
        made.at.x -= made.width / 2.0;
        made
    }

    /// The same, its base line ending at `at`.
    pub fn ending(text: &str, at: Point, height: f64, weight: Weight) -> Self {
        let mut made = Self::new(text, at, height, weight);
        made.at.x -= made.width;
        made
    }

    /// The same in another colour.
    #[must_use]
    pub fn coloured(mut self, colour: Colour) -> Self {
        self.colour = colour;
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_character_of_our_own_words_is_in_both_fonts() {
        let letters = ('A'..='Z').chain('a'..='z').chain('0'..='9');
        for c in letters.chain(" '\"°Ø-+/.,:;*()%#&=×".chars()) {
            assert!(has(c, Weight::Regular) && has(c, Weight::SemiBold), "{c}");
        }
    }

    #[test]
    fn a_character_the_font_lacks_becomes_a_question_mark_of_its_width() {
        // U+4E00 is a Han character; the fonts are Latin, Greek and Cyrillic.
        let made = Lettering::new("a\u{4e00}b", Point::ZERO, 3.0, Weight::Regular);
        assert_eq!(made.text, "a?b");
        assert_eq!(
            width("\u{4e00}", 3.0, Weight::Regular),
            width("?", 3.0, Weight::Regular)
        );
    }

    #[test]
    fn capitals_come_out_at_the_height_asked_for() {
        // H is flat at top and bottom: its outline is exactly as high as the capital height.
        for weight in [Weight::Regular, Weight::SemiBold] {
            let h = extent("H", 3.0, weight);
            assert!(
                (h.above - 3.0).abs() < 1e-4 && h.below.abs() < 1e-6,
                "{h:?}"
            );
        }
    }

    #[test]
    fn the_em_follows_from_the_fonts_capital_height() {
        // OS/2 sCapHeight of both fonts is 698 in 1000 units: 3 mm capitals need an em of 3 / 0.698.
        for weight in [Weight::Regular, Weight::SemiBold] {
            assert!((em(3.0, weight) - 3.0 / 0.698).abs() < 1e-6);
        }
    }

    #[test]
    fn width_is_the_sum_of_advances_and_grows_with_height() {
        let whole = width("3\" 4'-6\"", 3.0, Weight::Regular);
        let parts: f64 = "3\" 4'-6\""
            .chars()
            .map(|c| width(&c.to_string(), 3.0, Weight::Regular))
            .sum();
        assert!((whole - parts).abs() < 1e-9);
        assert!((width("3\" 4'-6\"", 6.0, Weight::Regular) - 2.0 * whole).abs() < 1e-9);
    }

    #[test]
    fn parentheses_reach_below_the_base_line_and_figures_do_not() {
        assert!(extent("(E)", 3.0, Weight::Regular).below > 0.3);
        assert!(extent("117", 3.0, Weight::Regular).below < 0.1);
    }

    #[test]
    fn lettering_set_from_its_end_or_middle_starts_its_width_before() {
        let at = Point::new(10.0, 5.0);
        let w = width("VTR", 3.0, Weight::Regular);
        assert!(
            (Lettering::ending("VTR", at, 3.0, Weight::Regular).at.x - (10.0 - w)).abs() < 1e-9
        );
        assert!(
            (Lettering::centred("VTR", at, 3.0, Weight::Regular).at.x - (10.0 - w / 2.0)).abs()
                < 1e-9
        );
    }
}
