//! Pencil lines as straight pieces and as short dots of ink that can be found by their place.
//!
//! A hand wobbles: a stroke becomes the fewest straight pieces that stay within the tolerance of it (Douglas and Peucker, The Canadian
//! Cartographer 10(2), 1973), and directions are those of the pieces.

use crate::mark::rubric::Tolerance;
mod form;

use kurbo::{Point, Vec2};

pub(crate) use form::{bulges, in_line};
use form::{is_sign, straightened};

/// Dots are this long, in grid pitches.
const DOT: f64 = 0.2;
/// The sine of the angle by which the way of a very short piece may be off: a dash of half a square wobbles as much as a line of ten, and turns by it.
const LOOSE: f64 = 0.45;
/// Cells of the grid of dots at most.
const CELLS: f64 = 1e6;
/// Dots at most; above that they are longer.
const DOTS: f64 = 60_000.0;

/// A straight piece of a stroke.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Piece {
    /// Where it begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
    /// The stroke it is of.
    pub stroke: usize,
}

impl Piece {
    /// How long it is.
    pub fn length(&self) -> f64 {
        self.from.distance(self.to)
    }
    /// Its way, one long.
    pub fn way(&self) -> Vec2 {
        unit(self.to - self.from)
    }
}

/// A short bit of ink.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Dot {
    /// Its middle.
    pub at: Point,
    /// Its way, one long.
    pub way: Vec2,
    /// How much ink it is.
    pub length: f64,
    /// The piece it is of.
    pub piece: usize,
    /// The sine of the angle by which its way may be off: the shorter the piece, the more.
    loose: f64,
}

/// All ink of a drawing.
#[derive(Clone, Debug, Default)]
pub(crate) struct Ink {
    /// Straight pieces, stroke by stroke.
    pub pieces: Vec<Piece>,
    /// Bits of them.
    pub dots: Vec<Dot>,
    cell: f64,
    low: Point,
    across: usize,
    down: usize,
    /// For each cell, row by row, where its dots begin in `inside`.
    begins: Vec<u32>,
    inside: Vec<u32>,
}

/// How a straight way is covered by ink.
#[derive(Clone, Debug, Default)]
pub(crate) struct Cover {
    /// How long it is.
    pub length: f64,
    /// What of it is uncovered where dashes are taken for a line.
    pub bare: f64,
    /// What of it is uncovered in truth.
    pub open: f64,
    /// How often the ink is broken within it.
    pub breaks: usize,
    /// The dots that lie along it.
    pub dots: Vec<u32>,
}

impl Ink {
    /// The ink of strokes; `pitch` is the grid's, in the units of the strokes.
    pub fn of(strokes: &[Vec<Point>], pitch: f64, tolerance: &Tolerance) -> Self {
        let mut ink = Self {
            cell: pitch * 0.5,
            ..Self::default()
        };
        for (ix, stroke) in strokes.iter().enumerate() {
            for pair in straightened(stroke, tolerance.wobble * pitch).windows(2) {
                if pair[0].distance(pair[1]) > 1e-6 * pitch {
                    ink.pieces.push(Piece {
                        from: pair[0],
                        to: pair[1],
                        stroke: ix,
                    });
                }
            }
        }
        let all: f64 = ink.pieces.iter().map(Piece::length).sum();
        let step = (DOT * pitch).max(all / DOTS);
        let signs: Vec<bool> = strokes
            .iter()
            .map(|stroke| is_sign(stroke, pitch, tolerance))
            .collect();
        for (ix, piece) in ink.pieces.iter().enumerate() {
            // Arrows and hooks are no lines: they lend no line their ink.
            if signs[piece.stroke] {
                continue;
            }
            let count = (piece.length() / step).ceil().max(1.0);
            for place in 0..count as usize {
                ink.dots.push(Dot {
                    at: piece.from.lerp(piece.to, (place as f64 + 0.5) / count),
                    way: piece.way(),
                    length: piece.length() / count,
                    piece: ix,
                    loose: (1.5 * tolerance.wobble * pitch / piece.length())
                        .min(LOOSE)
                        .max(tolerance.cross()),
                });
            }
        }
        ink.fill();
        ink
    }

    /// Puts the dots into cells.
    fn fill(&mut self) {
        let Some(all) = crate::mark::pose::bounds(self.dots.iter().map(|dot| &dot.at)) else {
            return;
        };
        self.low = all.origin();
        while (all.width() / self.cell + 1.0) * (all.height() / self.cell + 1.0) > CELLS {
            self.cell *= 2.0;
        }
        self.across = (all.width() / self.cell) as usize + 1;
        self.down = (all.height() / self.cell) as usize + 1;
        let place = |dot: &Dot| {
            let at = (dot.at - self.low) / self.cell;
            at.y as usize * self.across + at.x as usize
        };
        let mut begins = vec![0_u32; self.across * self.down + 1];
        for dot in &self.dots {
            begins[place(dot) + 1] += 1;
        }
        for cell in 1..begins.len() {
            begins[cell] += begins[cell - 1];
        }
        let mut next = begins.clone();
        let mut inside = vec![0; self.dots.len()];
        for (ix, dot) in self.dots.iter().enumerate() {
            let cell = place(dot);
            inside[next[cell] as usize] = ix as u32;
            next[cell] += 1;
        }
        self.begins = begins;
        self.inside = inside;
    }

    /// Whether a dot in the cells of a rectangle is one looked for.
    fn any(&self, low: Point, high: Point, mut one: impl FnMut(u32, &Dot) -> bool) -> bool {
        let (from, to) = ((low - self.low) / self.cell, (high - self.low) / self.cell);
        let beyond = from.x >= self.across as f64 || from.y >= self.down as f64;
        if self.begins.is_empty() || to.x < 0.0 || to.y < 0.0 || beyond {
            return false;
        }
        let first = (from.x.max(0.0) as usize, from.y.max(0.0) as usize);
        let last = (
            (to.x as usize).min(self.across - 1),
            (to.y as usize).min(self.down - 1),
        );
        (first.1..=last.1).any(|row| {
            let begin = self.begins[row * self.across + first.0] as usize;
            let end = self.begins[row * self.across + last.0 + 1] as usize;
            self.inside[begin..end]
                .iter()
                .any(|ix| one(*ix, &self.dots[*ix as usize]))
        })
    }

    /// Whether ink passes within `near` of a point, along a way.
    pub fn passes(&self, at: Point, way: Vec2, near: f64) -> bool {
        let reach = Vec2::new(near, near);
        self.any(at - reach, at + reach, |_, dot| {
            dot.at.distance_squared(at) <= near * near && dot.way.cross(way).abs() <= dot.loose
        })
    }

    /// How ink covers the straight way from `a` to `b`; `pitch` in the units of the strokes. Where dashes are looked for, each may turn further.
    pub fn cover(
        &self,
        a: Point,
        b: Point,
        pitch: f64,
        tolerance: &Tolerance,
        dashed: bool,
    ) -> Cover {
        let length = a.distance(b);
        let way = unit(b - a);
        let mut cover = Cover {
            length,
            ..Cover::default()
        };
        // A point has no way that ink could lie along.
        if way == Vec2::ZERO {
            return cover;
        }
        let slack = 0.3 * pitch;
        let near = tolerance.distance * pitch;
        let steps = ((length / (0.1 * pitch)).ceil() as usize).clamp(1, 20_000);
        let step = length / steps as f64;
        let mut inked = vec![false; steps];
        // Stretch by stretch: a slanting line's whole rectangle would hold far more than lies along it.
        let stretches = (length / (4.0 * self.cell)).ceil().clamp(1.0, 1e4);
        let reach = Vec2::new(near + slack, near + slack);
        for stretch in 0..stretches as usize {
            let from = length * stretch as f64 / stretches;
            let to = length * (stretch + 1) as f64 / stretches;
            let all = kurbo::Rect::from_points(a + way * from, a + way * to);
            let low = if stretch == 0 { -slack } else { from };
            let high = if stretch + 1 == stretches as usize {
                length + slack + 1e-9
            } else {
                to
            };
            self.any(
                all.origin() - reach,
                Point::new(all.x1, all.y1) + reach,
                |ix, dot| {
                    let along = (dot.at - a).dot(way);
                    if (dot.at - a).cross(way).abs() > near
                        || dot.way.cross(way).abs()
                            > if dashed { 1.5 * dot.loose } else { dot.loose }
                        || !(low..high).contains(&along)
                    {
                        return false;
                    }
                    cover.dots.push(ix);
                    if step > 0.0 {
                        let half = dot.length / 2.0;
                        let first = ((along - half) / step).round().max(0.0) as usize;
                        let last = ((along + half) / step).round().max(0.0) as usize;
                        inked[first.min(steps)..last.min(steps)].fill(true);
                    }
                    false
                },
            );
        }
        let mut start = 0;
        while start < steps {
            let end = (start..steps)
                .find(|at| inked[*at] != inked[start])
                .unwrap_or(steps);
            if !inked[start] {
                let gap = (end - start) as f64 * step;
                let within = start > 0 && end < steps;
                cover.open += gap;
                cover.breaks += usize::from(within && gap > 0.08 * pitch);
                if !within || gap > tolerance.dash * pitch {
                    cover.bare += gap;
                }
            }
            start = end;
        }
        cover
    }

    /// Pieces that lie in line, one after the other with no more than a dash's gap, each as one straight line.
    pub fn lines(&self, pitch: f64, tolerance: &Tolerance) -> Vec<Piece> {
        in_line(self.pieces.clone(), pitch, tolerance)
    }
}

/// A vector one long; nothing where it has no length.
pub(crate) fn unit(way: Vec2) -> Vec2 {
    let length = way.hypot();
    if length > 0.0 {
        way / length
    } else {
        Vec2::ZERO
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dashes_cover_a_line_and_are_told_from_it() {
        let tolerance = &crate::mark::Rubric::published().tolerance;
        // Half on, a quarter off, over 3: 0 to 0.5, 0.75 to 1.25, 1.5 to 2, 2.25 to 2.75.
        let dash = |at: f64| vec![Point::new(at, 0.0), Point::new(at + 0.5, 0.0)];
        let ink = Ink::of(
            &[dash(0.0), dash(0.75), dash(1.5), dash(2.25)],
            1.0,
            tolerance,
        );
        let cover = ink.cover(Point::ORIGIN, Point::new(3.0, 0.0), 1.0, tolerance, true);
        assert_eq!(cover.breaks, 3);
        // Three gaps and a quarter at the end are open, the end alone is bare.
        assert!(
            (cover.open - 1.0).abs() < 0.15 && (cover.bare - 0.25).abs() < 0.1,
            "{cover:?}"
        );
    }
}
