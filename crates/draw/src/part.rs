//! Match marks: where a part's box cuts a pipe, a short thick bar across it, with words that say
//! where it goes on.

use kurbo::{BezPath, Point, Rect, Vec2};
use wyeline_network::model::Network;

use crate::ink::{Lettering, Stroke, Weight};
use crate::lines::PipeLine;
use crate::picture::{Symbol, SymbolKind};
use crate::style::{self, Line};
use crate::view::Part;

/// Distance from a match bar to its words, mm; own choice.
const BESIDE: f64 = 1.0;

/// A match mark at every cut end.
///
/// * `paper`: the lines' ends as drawn, mm
pub(crate) fn match_marks(
    network: &Network,
    lines: &[PipeLine],
    paper: &[[Point; 2]],
    part: &Part,
) -> Vec<Symbol> {
    let mut marks = Vec::new();
    for (line, ends) in lines.iter().zip(paper) {
        for e in [0, 1] {
            let Some(face) = line.cut[e] else { continue };
            let out = ends[e] - ends[1 - e];
            let out = if out.hypot() > 1e-6 {
                out.normalize()
            } else {
                Vec2::new(0.0, -1.0)
            };
            let words = part.beyond[usize::from(face)].as_deref().unwrap_or("");
            let existing = network.pipe(line.pipe).existing;
            marks.push(mark(ends[e], out, words, existing));
        }
    }
    marks
}

fn mark(at: Point, out: Vec2, words: &str, existing: bool) -> Symbol {
    let sizes = style::sizes();
    let mut pen = style::line(Line::Match);
    if existing {
        pen.width /= 2.0;
    }
    let half = Vec2::new(-out.y, out.x) * (sizes.match_bar / 2.0);
    let mut path = BezPath::new();
    path.move_to(at - half);
    path.line_to(at + half);
    let bar = Rect::from_points(at - half, at + half).inflate(pen.width / 2.0, pen.width / 2.0);
    let mut boxes = vec![bar];
    let mut letters = Vec::new();
    if !words.is_empty() {
        let height = sizes.lettering_notes;
        let mut set = Lettering::new(words, at, height, Weight::Regular);
        // The words' box stands off the bar's in the direction in which the pipe would go on.
        let centre = bar.center();
        let reach = |half_box: f64, half_bar: f64| half_box + half_bar + BESIDE;
        let (dx, dy) = if out.x.abs() >= 0.5 {
            (
                out.x.signum() * reach(set.width / 2.0, bar.width() / 2.0),
                out.y * height,
            )
        } else {
            (
                0.0,
                out.y.signum() * reach(height / 2.0, bar.height() / 2.0),
            )
        };
        set.at = Point::new(
            centre.x + dx - set.width / 2.0,
            centre.y + dy + height / 2.0,
        );
        let (x, y) = (set.at.x, set.at.y);
        boxes.push(Rect::new(x, y - height, x + set.width, y + height * 0.25).inflate(0.3, 0.3));
        letters.push(set);
    }
    Symbol {
        kind: SymbolKind::Match,
        node: None,
        fixture: None,
        strokes: vec![Stroke {
            path,
            pen: Some(pen),
            fill: None,
        }],
        letters,
        boxes,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The bar stands square to the pipe and the words beyond it, on neither the bar nor the pipe.
    #[test]
    fn the_words_stand_beyond_the_bar() {
        for degrees in [30.0_f64, 90.0, 150.0, 210.0, 270.0, 330.0, 0.0, 60.0] {
            let a = degrees.to_radians();
            let out = Vec2::new(a.cos(), -a.sin());
            let symbol = mark(Point::ZERO, out, "Level 2", false);
            let words = symbol.boxes[1];
            assert!(words.intersect(symbol.boxes[0]).is_zero_area(), "{degrees}");
            // The pipe comes from the other side: from (0, 0) to -out * 20.
            assert!(!words.contains(Point::ZERO - out * 3.0), "{degrees}");
            assert!(out.dot(words.center().to_vec2()) > 0.0, "{degrees}");
        }
    }
}
