//! Collects a symbol's strokes, letters and the boxes labels must keep clear of.

use kurbo::{BezPath, Point, Rect, Shape};
use wyeline_network::model::{FixtureIx, NodeIx};

use super::flat::Flat;
use super::size::SIZES;
use crate::ink::{Colour, Lettering, Pattern, Pen, Stroke, Weight};
use crate::lettering;
use crate::picture::{Symbol, SymbolKind};

/// How a closed shape is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// Not at all.
    Open,
    /// White, so that it covers what is behind.
    White,
    /// With the pen's colour.
    Ink,
}

/// A symbol being made.
#[derive(Debug)]
pub struct Maker {
    pen: Pen,
    strokes: Vec<Stroke>,
    letters: Vec<Lettering>,
    boxes: Vec<Rect>,
    exempt: bool,
}

/// Boxes along a stroke are no longer than this, mm.
const STEP: f64 = 2.0;

impl Maker {
    /// Starts a symbol drawn in this colour with the symbols' pen.
    pub fn new(colour: Colour) -> Self {
        Self::with(Pen {
            width: SIZES.pen,
            pattern: Pattern::Solid,
            colour,
        })
    }

    /// Starts a symbol drawn with this pen.
    pub fn with(pen: Pen) -> Self {
        Self {
            pen,
            strokes: Vec::new(),
            letters: Vec::new(),
            boxes: Vec::new(),
            exempt: false,
        }
    }

    /// From here on nothing has to keep clear of what is drawn.
    #[must_use]
    pub fn exempt(mut self) -> Self {
        self.exempt = true;
        self
    }

    /// Changes the pen's width from here on, mm; returns what it was.
    pub fn width(&mut self, mm: f64) -> f64 {
        std::mem::replace(&mut self.pen.width, mm)
    }

    /// An open line through points of the plane.
    pub fn line(&mut self, flat: &Flat, points: &[(f64, f64)]) {
        self.path(flat.lines(points, false), Fill::Open);
    }

    /// A closed shape.
    pub fn area(&mut self, flat: &Flat, points: &[(f64, f64)], fill: Fill) {
        self.path(flat.lines(points, true), fill);
    }

    /// A circle of the plane.
    pub fn circle(&mut self, flat: &Flat, centre: (f64, f64), radius: f64, fill: Fill) {
        self.path(flat.circle(centre, radius), fill);
    }

    /// Any path; solid shapes are filled without an outline.
    pub fn path(&mut self, path: BezPath, fill: Fill) {
        if !self.exempt {
            cover(&path, fill, self.pen.width / 2.0, &mut self.boxes);
        }
        let (pen, fill) = match fill {
            Fill::Open => (Some(self.pen), None),
            Fill::White => (Some(self.pen), Some(Colour::WHITE)),
            Fill::Ink => (None, Some(self.pen.colour)),
        };
        self.strokes.push(Stroke { path, pen, fill });
    }

    /// Letters with their middle at a point, upright on the page.
    pub fn letters(&mut self, text: &str, middle: Point) {
        let height = SIZES.letters;
        let width = lettering::width(text, height, Weight::Regular);
        let at = Point::new(middle.x - width / 2.0, middle.y + height / 2.0);
        self.boxes
            .push(Rect::new(at.x, at.y - height, at.x + width, at.y));
        self.letters.push(Lettering {
            text: text.to_owned(),
            at,
            angle: 0.0,
            height,
            weight: Weight::Regular,
            colour: self.pen.colour,
            width,
        });
    }

    /// Takes over all that another one has drawn.
    pub fn absorb(&mut self, mut other: Self) {
        self.strokes.append(&mut other.strokes);
        self.letters.append(&mut other.letters);
        self.boxes.append(&mut other.boxes);
    }

    /// The symbol.
    pub fn finish(
        self,
        kind: SymbolKind,
        node: Option<NodeIx>,
        fixture: Option<FixtureIx>,
    ) -> Symbol {
        let boxes = match self.boxes.iter().copied().reduce(|a, b| a.union(b)) {
            // A small symbol needs no more than one box.
            Some(all) if all.width() <= 2.0 * STEP && all.height() <= 2.0 * STEP => vec![all],
            _ => self.boxes,
        };
        Symbol {
            kind,
            node,
            fixture,
            strokes: self.strokes,
            letters: self.letters,
            boxes,
        }
    }
}

/// Boxes that together cover a stroke, or a filled shape, tightly.
fn cover(path: &BezPath, fill: Fill, half: f64, out: &mut Vec<Rect>) {
    let all = path.control_box();
    if all.width() <= 1.5 * STEP && all.height() <= 1.5 * STEP {
        out.push(path.bounding_box().inflate(half, half));
        return;
    }
    let mut points = Vec::new();
    kurbo::flatten(path.elements().iter().copied(), 0.05, |el| match el {
        kurbo::PathEl::MoveTo(p) | kurbo::PathEl::LineTo(p) => points.push(p),
        kurbo::PathEl::ClosePath => points.extend(points.first().copied()),
        _ => {}
    });
    if fill == Fill::Open {
        along(&points, half, out);
    } else {
        strips(&points, half, out);
    }
}

/// Boxes along a broken line.
fn along(points: &[Point], half: f64, out: &mut Vec<Rect>) {
    for pair in points.windows(2) {
        let count = (pair[0].distance(pair[1]) / STEP).ceil().max(1.0);
        for i in 0..count as usize {
            let at = |k: usize| pair[0].lerp(pair[1], k as f64 / count);
            out.push(Rect::from_points(at(i), at(i + 1)).inflate(half, half));
        }
    }
}

/// Boxes over a filled shape: level strips, each as wide as the shape is within it.
fn strips(points: &[Point], half: f64, out: &mut Vec<Rect>) {
    let (top, bottom) = points
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(t, b), p| {
            (t.min(p.y), b.max(p.y))
        });
    let count = ((bottom - top) / STEP).ceil().max(1.0);
    let height = (bottom - top) / count;
    for i in 0..count as usize {
        let (y0, y1) = (top + height * i as f64, top + height * (i as f64 + 1.0));
        let (mut left, mut right) = (f64::INFINITY, f64::NEG_INFINITY);
        for pair in points.windows(2) {
            let (a, b) = if pair[0].y <= pair[1].y {
                (pair[0], pair[1])
            } else {
                (pair[1], pair[0])
            };
            if b.y < y0 || a.y > y1 {
                continue;
            }
            for y in [a.y.max(y0), b.y.min(y1)] {
                let t = if b.y > a.y {
                    (y - a.y) / (b.y - a.y)
                } else {
                    0.0
                };
                let x = a.x + (b.x - a.x) * t;
                left = left.min(x);
                right = right.max(x);
            }
            if b.y <= a.y {
                left = left.min(b.x);
                right = right.max(b.x);
            }
        }
        if left <= right {
            out.push(Rect::new(left, y0, right, y1).inflate(half, half));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_slanting_line_is_covered_by_small_boxes() {
        let mut out = Vec::new();
        cover(
            &Flat::page(Point::ORIGIN).lines(&[(0.0, 0.0), (17.32, 10.0)], false),
            Fill::Open,
            0.0,
            &mut out,
        );
        // 20 mm long in steps of 2 mm: ten boxes of 1.732 x 1.
        assert_eq!(out.len(), 10);
        assert!(out.iter().all(|r| r.width() < 1.74 && r.height() < 1.01));
    }

    #[test]
    fn a_filled_lozenge_is_covered_by_strips_not_by_its_box() {
        let mut out = Vec::new();
        let lozenge = Flat::page(Point::ORIGIN).lines(
            &[(-10.0, 0.0), (0.0, 10.0), (10.0, 0.0), (0.0, -10.0)],
            true,
        );
        cover(&lozenge, Fill::White, 0.0, &mut out);
        let sum: f64 = out.iter().map(Rect::area).sum();
        // The lozenge has 200 mm2, its box 400; ten strips cover it with 240 (each strip as wide as its wider end).
        assert!((sum - 240.0).abs() < 1e-6, "{sum}");
    }
}
