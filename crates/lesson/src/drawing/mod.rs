//! What a learner drew: pencil lines and letters on isometric paper, as the page saves them, or read from an SVG.
//!
//! Whoever sends a drawing is not trusted: what is too large is refused, figures that are no numbers too.

use std::fmt;

use serde::{Deserialize, Serialize};

mod key;
mod svg;

/// A file larger than this is refused, bytes.
const BYTES: usize = 8 << 20;
/// Points of all pencil lines together.
const POINTS: usize = 200_000;
/// Letters, by places.
const PLACES: usize = 2_000;
/// Signs at one place.
const SIGNS: usize = 200;
/// Farther than this from the paper's corner nothing is drawn, mm.
const FAR: f64 = 1e5;

/// Why a file is no drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DrawingError {
    /// Neither a drawing as the page saves it nor an SVG; with what the reader says.
    Form(String),
    /// Larger than anybody draws; what of it, and how much may be.
    Large(&'static str, usize),
    /// A place that is no place: not a number, or far off the paper.
    Place,
}

impl fmt::Display for DrawingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Form(why) => write!(
                f,
                "this is neither a drawing saved by the practice page nor an SVG: {why}"
            ),
            Self::Large(what, most) => {
                write!(
                    f,
                    "the drawing is too large to be marked: at most {most} {what}"
                )
            }
            Self::Place => f.write_str("the drawing has a point that is not on any paper"),
        }
    }
}

impl std::error::Error for DrawingError {}

/// A drawing, in mm of paper, x right and y down.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Drawing {
    /// The code of the exercise, as written; empty where not said.
    #[serde(default)]
    pub exercise: String,
    /// Who drew it; empty where not said.
    #[serde(default)]
    pub learner: String,
    /// The corner (`sw`) that the learner says it is seen from; none where not said.
    #[serde(default)]
    pub corner: Option<String>,
    /// Whether it is a route of the learner's own, to be held against the code rather than the key.
    #[serde(default)]
    pub own_route: bool,
    /// Pencil lines: the points through which the pencil went.
    #[serde(default)]
    pub strokes: Vec<Vec<[f64; 2]>>,
    /// Letters.
    #[serde(default)]
    pub letters: Vec<Letters>,
}

/// Letters set at a place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Letters {
    /// Their middle.
    pub at: [f64; 2],
    /// The letters.
    pub text: String,
    /// Height of capitals, mm.
    pub height: f64,
}

impl Drawing {
    /// Reads a drawing as the page saves it (JSON), or an SVG.
    ///
    /// # Errors
    /// It is neither, or too large, or has points that are none.
    pub fn read(bytes: &[u8]) -> Result<Self, DrawingError> {
        if bytes.len() > BYTES {
            return Err(DrawingError::Large("bytes", BYTES));
        }
        let text = std::str::from_utf8(bytes)
            .map_err(|_| DrawingError::Form("it is not text".to_owned()))?;
        let text = text.trim_start_matches('\u{feff}');
        let drawing = if text.trim_start().starts_with('<') {
            svg::read(text)?
        } else {
            serde_json::from_str(text).map_err(|why| DrawingError::Form(why.to_string()))?
        };
        drawing.within_limits()?;
        Ok(drawing)
    }

    /// Whether it can be marked: not too large, and every point on some paper.
    ///
    /// # Errors
    /// It is too large, or has points that are none.
    pub fn within_limits(&self) -> Result<(), DrawingError> {
        if self
            .strokes
            .iter()
            .map(|stroke| stroke.len().max(1))
            .sum::<usize>()
            > POINTS
        {
            return Err(DrawingError::Large("points", POINTS));
        }
        if self.letters.len() > PLACES {
            return Err(DrawingError::Large("places with letters", PLACES));
        }
        if self
            .letters
            .iter()
            .any(|letters| letters.text.chars().count() > SIGNS)
        {
            return Err(DrawingError::Large("letters at one place", SIGNS));
        }
        let on_paper = |at: &[f64; 2]| at.iter().all(|along| along.abs() < FAR);
        let points = self.strokes.iter().flatten();
        let places = self.letters.iter().map(|letters| &letters.at);
        let height = |letters: &Letters| (0.0..FAR).contains(&letters.height);
        if points.chain(places).all(on_paper) && self.letters.iter().all(height) {
            Ok(())
        } else {
            Err(DrawingError::Place)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_drawing_is_refused_in_words() {
        for (bytes, wanted) in [
            (&b"\xff\xfe"[..], "not text"),
            (b"", "EOF"),
            (b"{\"strokes\":[[[1e999,0]]]}", "number"),
            (b"{\"strokes\":[[[1e9,0]]]}", "not on any paper"),
            (b"<svg", "svg"),
        ] {
            let said = Drawing::read(bytes).expect_err("no drawing").to_string();
            assert!(
                said.to_lowercase().contains(&wanted.to_lowercase()),
                "{said}"
            );
        }
        assert_eq!(Drawing::read(b"{}"), Ok(Drawing::default()));
        let long = vec![vec![[0.0; 2]; POINTS + 1]];
        let drawing = Drawing {
            strokes: long,
            ..Drawing::default()
        };
        assert_eq!(
            drawing.within_limits(),
            Err(DrawingError::Large("points", POINTS))
        );
        let nan = Drawing {
            strokes: vec![vec![[f64::NAN, 0.0]]],
            ..Drawing::default()
        };
        assert_eq!(nan.within_limits(), Err(DrawingError::Place));
    }
}
