//! Match marks: where a part's box cuts a pipe, a short thick bar across it, with words that say
//! where it goes on.

use kurbo::{BezPath, Point, Rect, Vec2};
use wyeline_network::model::Network;

use crate::ink::{Lettering, Stroke, Weight};
use crate::label::field::{Field, Thing};
use crate::label::shape::Oblong;
use crate::lines::PipeLine;
use crate::picture::{Symbol, SymbolKind};
use crate::style::{self, Line};
use crate::view::Part;

/// Distance from a match bar to its words, mm; own choice.
const BESIDE: f64 = 1.0;
/// A bar this near to one with the same words, mm from middle to middle, goes without: the eye takes
/// them for a row. Own choice.
const ROW: f64 = 8.0;

/// A match mark at every cut end, the words once where several stand side by side.
///
/// * `paper`: the lines' ends as drawn, mm
pub(crate) fn match_marks(
    network: &Network,
    lines: &[PipeLine],
    paper: &[[Point; 2]],
    part: &Part,
) -> Vec<Symbol> {
    let mut cuts = Vec::new();
    for (line, ends) in lines.iter().zip(paper) {
        for e in [0, 1] {
            let Some(face) = line.cut[e] else { continue };
            let out = ends[e] - ends[1 - e];
            let out = if out.hypot() > 1e-6 {
                out.normalize()
            } else {
                Vec2::new(0.0, -1.0)
            };
            cuts.push(Cut {
                at: ends[e],
                out,
                words: part.beyond[usize::from(face)].as_deref().unwrap_or(""),
                existing: network.pipe(line.pipe).existing,
            });
        }
    }
    let mut marks: Vec<Symbol> = cuts.iter().map(Cut::bar).collect();
    if cuts.iter().any(|c| !c.words.is_empty()) {
        let mut room = room(lines, paper, &marks);
        let mut said = vec![false; cuts.len()];
        for i in 0..cuts.len() {
            let said_beside = room.any(&Oblong::level(cuts[i].at, (ROW, ROW)), |_, _, thing| {
                matches!(thing, Thing::Label(k) if said[k as usize]
                    && cuts[k as usize].words == cuts[i].words
                    && cuts[k as usize].at.distance(cuts[i].at) < ROW)
            });
            if said_beside || cuts[i].words.is_empty() {
                continue;
            }
            let (set, area) = cuts[i].words_in(marks[i].boxes[0], &room);
            said[i] = true;
            room.add(Oblong::of_rect(area), Thing::Symbol);
            marks[i].boxes.push(area);
            marks[i].letters.push(set);
        }
    }
    marks
}

/// What the words have to keep clear of: the pipes, and the bars under their number.
fn room(lines: &[PipeLine], paper: &[[Point; 2]], bars: &[Symbol]) -> Field {
    let all = paper
        .iter()
        .map(|[a, b]| Rect::from_points(*a, *b))
        .reduce(|a, b| a.union(b))
        .unwrap_or(Rect::ZERO);
    let mut room = Field::new(all.inflate(ROW, ROW), lines.len() + 2 * bars.len());
    for (line, [a, b]) in lines.iter().zip(paper) {
        room.add(Oblong::of_stroke(*a, *b, line.half), Thing::Pipe(line.pipe));
    }
    for (i, bar) in bars.iter().enumerate() {
        room.add(Oblong::of_rect(bar.boxes[0]), Thing::Label(i as u32));
    }
    room
}

/// Where a pipe goes on elsewhere.
struct Cut<'a> {
    /// The end drawn.
    at: Point,
    /// Unit direction in which the pipe would go on.
    out: Vec2,
    words: &'a str,
    existing: bool,
}

impl Cut<'_> {
    /// The bar, without words.
    fn bar(&self) -> Symbol {
        let mut pen = style::line(Line::Match);
        if self.existing {
            pen.width /= 2.0;
        }
        let half = Vec2::new(-self.out.y, self.out.x) * (style::sizes().match_bar / 2.0);
        let (p, q) = (self.at - half, self.at + half);
        let mut path = BezPath::new();
        path.move_to(p);
        path.line_to(q);
        Symbol {
            kind: SymbolKind::Match,
            node: None,
            fixture: None,
            strokes: vec![Stroke {
                path,
                pen: Some(pen),
                fill: None,
            }],
            letters: Vec::new(),
            boxes: vec![Rect::from_points(p, q).inflate(pen.width / 2.0, pen.width / 2.0)],
        }
    }

    /// The words and the box they need: beyond the bar, or further out or to the side where they would
    /// touch something there.
    fn words_in(&self, bar: Rect, room: &Field) -> (Lettering, Rect) {
        let height = style::sizes().lettering_notes;
        let mut set = Lettering::new(self.words, self.at, height, Weight::Regular);
        // The words' box stands off the bar's in the direction in which the pipe would go on.
        let reach = |half_box: f64, half_bar: f64| half_box + half_bar + BESIDE;
        let sideways = self.out.x.abs() >= 0.5;
        let first = if sideways {
            Vec2::new(
                self.out.x.signum() * reach(set.width / 2.0, bar.width() / 2.0),
                self.out.y * height,
            )
        } else {
            Vec2::new(
                0.0,
                self.out.y.signum() * reach(height / 2.0, bar.height() / 2.0),
            )
        };
        let (row, aside) = (height * 1.6, set.width / 2.0);
        let down = if self.out.y > 0.0 { row } else { -row };
        let steps = [0.0, 1.0, 2.0, 3.0].into_iter().flat_map(|k| {
            let outward = Vec2::new(0.0, down * k);
            let around = if sideways {
                [Vec2::ZERO, Vec2::new(0.0, -2.0 * down * k)]
            } else {
                [Vec2::new(-aside, 0.0), Vec2::new(aside, 0.0)]
            };
            [outward, outward + around[0], outward + around[1]]
        });
        let base = bar.center() + first;
        let width = set.width;
        let area = |step: Vec2| {
            let (x, y) = (
                base.x + step.x - width / 2.0,
                base.y + step.y + height / 2.0,
            );
            Rect::new(x, y - height, x + width, y + height * 0.25).inflate(0.3, 0.3)
        };
        let step = steps
            .into_iter()
            .find(|s| !room.hits(&Oblong::of_rect(area(*s))))
            .unwrap_or(Vec2::ZERO);
        set.at = base + step + Vec2::new(-set.width / 2.0, height / 2.0);
        (set, area(step))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(at: Point, out: Vec2) -> Cut<'static> {
        Cut {
            at,
            out,
            words: "Level 2",
            existing: false,
        }
    }

    /// The bar stands square to the pipe and the words beyond it, on neither the bar nor the pipe.
    #[test]
    fn the_words_stand_beyond_the_bar() {
        let room = Field::new(Rect::ZERO, 1);
        for degrees in [30.0_f64, 90.0, 150.0, 210.0, 270.0, 330.0, 0.0, 60.0] {
            let a = degrees.to_radians();
            let out = Vec2::new(a.cos(), -a.sin());
            let cut = cut(Point::ZERO, out);
            let bar = cut.bar().boxes[0];
            let (_, words) = cut.words_in(bar, &room);
            assert!(words.intersect(bar).is_zero_area(), "{degrees}");
            // The pipe comes from the other side: from (0, 0) to -out * 20.
            assert!(!words.contains(Point::ZERO - out * 3.0), "{degrees}");
            assert!(out.dot(words.center().to_vec2()) > 0.0, "{degrees}");
        }
    }

    /// A line 3 mm above an upward cut lies where the words would stand; they stand clear of it.
    #[test]
    fn the_words_step_out_of_the_way_of_a_line() {
        let mut room = Field::new(Rect::new(-50.0, -50.0, 50.0, 50.0), 1);
        let line = Oblong::of_stroke(Point::new(-40.0, -3.0), Point::new(40.0, -3.0), 0.25);
        room.add(line, Thing::Symbol);
        let cut = cut(Point::ZERO, Vec2::new(0.0, -1.0));
        let (_, words) = cut.words_in(cut.bar().boxes[0], &room);
        assert!(words.y1 <= -3.25 && words.y1 > -15.0, "{words:?}");
    }
}
