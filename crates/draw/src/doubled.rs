//! Outlines left out where a pipe runs along them: beside its line or under it they make it look doubled.
//!
//! In: a picture with its pipes, outlines and fixtures. Out: the same with those stretches gone. Only lines along the three axes are
//! looked at; others meet pipes by chance and at an angle. Pipes are kept in rows by axis and distance from it, so that
//! each stretch of outline looks at its own rows alone.

use kurbo::{BezPath, PathEl, PathSeg, Point, Vec2};

use crate::ink::Stroke;
use crate::picture::{OutlineKind, Picture, PipeMark, SymbolKind};
use crate::style;

/// The axes on paper, y down: upright, and 30 degrees either way.
const AXES: [Vec2; 3] = [
    Vec2::new(0.0, 1.0),
    Vec2::new(0.866_025_403_784_438_6, 0.5),
    Vec2::new(0.866_025_403_784_438_6, -0.5),
];
/// Sine of the largest angle at which a line counts as lying along an axis.
const ALONG: f64 = 1e-3;
/// How far apart rows are, mm; own choice: less than two lines side by side.
const ROW: f64 = 0.5;

/// Leaves out of all outlines and fixtures what runs along a pipe.
pub(crate) fn clear(picture: &mut Picture) {
    let pipes = Pipes::of(&picture.pipes);
    // What has no line left takes up no room either.
    let cut = |strokes: &mut Vec<Stroke>| {
        strokes.retain_mut(|stroke| {
            pipes.cut(stroke);
            stroke.path.segments().next().is_some()
        });
    };
    for outline in &mut picture.outlines {
        if outline.of != OutlineKind::Grid {
            cut(&mut outline.strokes);
        }
    }
    for symbol in &mut picture.symbols {
        if symbol.kind == SymbolKind::Fixture {
            cut(&mut symbol.strokes);
        }
    }
}

/// A stretch of pipe.
struct Entry {
    /// Axis and row.
    row: (usize, i64),
    from: f64,
    to: f64,
    /// Distance from the axis, mm.
    off: f64,
    /// Half the width of its pen, mm.
    half: f64,
    /// The largest `to` in its row so far.
    farthest: f64,
}

struct Pipes {
    /// By row, then by where they begin.
    entries: Vec<Entry>,
    /// Rows that hold something, ascending, with the first of their entries; after them the end of all.
    rows: Vec<((usize, i64), usize)>,
    /// Half the widest pen, mm.
    widest: f64,
}

/// The axis along which a line lies, its distance from it and its ends along it.
fn along(a: Point, b: Point) -> Option<(usize, f64, f64, f64)> {
    let way = b - a;
    let length = way.hypot();
    let axis = AXES
        .iter()
        .position(|u| u.cross(way).abs() <= ALONG * length)?;
    let u = AXES[axis];
    let (s, t) = (u.dot(a.to_vec2()), u.dot(b.to_vec2()));
    (length > 1e-6).then(|| (axis, u.cross(a.to_vec2()), s, t))
}

fn row(off: f64) -> i64 {
    (off / ROW).floor() as i64
}

impl Pipes {
    fn of(marks: &[PipeMark]) -> Self {
        let pieces = marks.iter().flat_map(|mark| {
            let half = mark.pen.width / 2.0;
            mark.pieces.iter().map(move |&(a, b)| (a, b, half))
        });
        let mut entries: Vec<Entry> = pieces
            .filter_map(|(a, b, half)| {
                let (axis, off, s, t) = along(a, b)?;
                Some(Entry {
                    row: (axis, row(off)),
                    from: s.min(t),
                    to: s.max(t),
                    off,
                    half,
                    farthest: s.max(t),
                })
            })
            .collect();
        entries.sort_by(|a, b| a.row.cmp(&b.row).then(a.from.total_cmp(&b.from)));
        for i in 1..entries.len() {
            if entries[i].row == entries[i - 1].row {
                entries[i].farthest = entries[i].farthest.max(entries[i - 1].farthest);
            }
        }
        let first = |i: &usize| *i == 0 || entries[*i].row != entries[i - 1].row;
        let mut rows: Vec<_> = (0..entries.len())
            .filter(first)
            .map(|i| (entries[i].row, i))
            .collect();
        rows.push(((AXES.len(), 0), entries.len()));
        let widest = entries.iter().map(|e| e.half).fold(0.0, f64::max);
        Self {
            entries,
            rows,
            widest,
        }
    }

    /// Where pipes run along the line from `a` to `b`, as distances from `a`, ascending and apart.
    fn beside(&self, a: Point, b: Point, half: f64) -> Vec<(f64, f64)> {
        let sizes = style::sizes();
        let Some((axis, off, s, t)) = along(a, b) else {
            return Vec::new();
        };
        let reach = |pipe: f64| pipe + half + sizes.side_gap_missed;
        let (low, high) = (s.min(t), s.max(t));
        let mut found = Vec::new();
        let (first, last) = (row(off - reach(self.widest)), row(off + reach(self.widest)));
        let begin = self.rows.partition_point(|r| r.0 < (axis, first));
        for pair in self.rows[begin..].windows(2) {
            if pair[0].0 > (axis, last) {
                break;
            }
            let here = &self.entries[pair[0].1..pair[1].1];
            let begun = here.partition_point(|e| e.from < high);
            for e in here[..begun].iter().rev() {
                if e.farthest <= low {
                    break;
                }
                if e.to > low && (e.off - off).abs() < reach(e.half) {
                    found.push((e.from.max(low) - low, e.to.min(high) - low));
                }
            }
        }
        if s > t {
            for (from, to) in &mut found {
                (*from, *to) = (high - low - *to, high - low - *from);
            }
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut apart: Vec<(f64, f64)> = Vec::with_capacity(found.len());
        for (from, to) in found {
            // What is left between two pipes in a row would be a crumb.
            match apart.last_mut() {
                Some(last) if from - last.1 < sizes.overlap_least => last.1 = last.1.max(to),
                _ => apart.push((from, to)),
            }
        }
        apart.retain(|(from, to)| to - from >= sizes.overlap_least);
        apart
    }

    /// Leaves out of a stroke what runs along a pipe; a filled shape stays whole.
    fn cut(&self, stroke: &mut Stroke) {
        let Some(pen) = stroke.pen.filter(|_| stroke.fill.is_none()) else {
            return;
        };
        let half = pen.width / 2.0;
        // Most strokes stay as they are.
        let cut = |side: PathSeg| match side {
            PathSeg::Line(line) => !self.beside(line.p0, line.p1, half).is_empty(),
            PathSeg::Quad(_) | PathSeg::Cubic(_) => false,
        };
        if !stroke.path.segments().any(cut) {
            return;
        }
        let mut path = BezPath::new();
        let (mut start, mut at) = (Point::ZERO, Point::ZERO);
        let side = |path: &mut BezPath, a: Point, b: Point| {
            let gaps = self.beside(a, b, half);
            let way = (b - a) / a.distance(b).max(1e-9);
            let crumb = style::sizes().overlap_least;
            let mut done = 0.0;
            for (from, to) in gaps {
                if from - done >= crumb {
                    path.line_to(a + way * from);
                }
                path.move_to(a + way * to);
                done = to;
            }
            if done == 0.0 || a.distance(b) - done >= crumb {
                path.line_to(b);
            } else {
                path.move_to(b);
            }
        };
        for element in stroke.path.elements() {
            match *element {
                PathEl::MoveTo(p) => {
                    path.move_to(p);
                    (start, at) = (p, p);
                }
                PathEl::LineTo(p) => {
                    side(&mut path, at, p);
                    at = p;
                }
                PathEl::QuadTo(_, p) | PathEl::CurveTo(_, _, p) => {
                    path.push(*element);
                    at = p;
                }
                PathEl::ClosePath => {
                    // Once opened a path cannot be closed; its last side is a line like the others.
                    side(&mut path, at, start);
                    at = start;
                }
            }
        }
        stroke.path = path;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::{Colour, Pattern, Pen};
    use kurbo::Shape;
    use wyeline_job::model::System;
    use wyeline_network::model::PipeIx;

    /// An upright drain 0.7 mm wide at `x` from y = 10 to 30.
    fn drain(x: f64) -> PipeMark {
        PipeMark {
            pipe: PipeIx(0),
            system: System::Waste,
            pen: Pen {
                width: 0.7,
                pattern: Pattern::Solid,
                colour: Colour::BLACK,
            },
            pieces: vec![(Point::new(x, 10.0), Point::new(x, 30.0))],
            shift: Vec2::ZERO,
            arrows: Vec::new(),
        }
    }

    fn thin(path: BezPath) -> Stroke {
        Stroke {
            path,
            pen: Some(Pen {
                width: 0.18,
                pattern: Pattern::Solid,
                colour: Colour::BLACK,
            }),
            fill: None,
        }
    }

    fn upright(x: f64, from: f64, to: f64) -> Stroke {
        let mut path = BezPath::new();
        path.move_to((x, from));
        path.line_to((x, to));
        thin(path)
    }

    fn length(stroke: &Stroke) -> f64 {
        stroke.path.perimeter(1e-6)
    }

    fn cut(mut stroke: Stroke, drains: &[PipeMark]) -> Stroke {
        Pipes::of(drains).cut(&mut stroke);
        stroke
    }

    #[test]
    fn an_outline_under_a_drain_goes_where_the_drain_runs() {
        // From 0 to 50 under a drain from 10 to 30: 30 mm stay.
        let stroke = cut(upright(100.0, 0.0, 50.0), &[drain(100.0)]);
        assert!((length(&stroke) - 30.0).abs() < 1e-9);
        // Told the other way round it is the same.
        let stroke = cut(upright(100.0, 50.0, 0.0), &[drain(100.0)]);
        assert!((length(&stroke) - 30.0).abs() < 1e-9);
    }

    #[test]
    fn an_outline_beside_a_drain_goes_unless_the_gap_shows() {
        // Half of 0.7 mm and half of 0.18 mm make 0.44 mm, and lines show as two with 0.5 mm of white between: 0.94 mm.
        for (off, stays) in [(0.93, 30.0), (0.95, 50.0), (-0.93, 30.0), (-0.95, 50.0)] {
            let stroke = cut(upright(100.0 + off, 0.0, 50.0), &[drain(100.0)]);
            assert!((length(&stroke) - stays).abs() < 1e-9, "{off}");
        }
    }

    #[test]
    fn an_outline_wholly_under_a_drain_takes_up_no_room() {
        let view = crate::view::View::Iso {
            corner: crate::view::Corner::Sw,
            true_fall: false,
        };
        let mut picture = Picture::new(view, String::new(), wyeline_units::Scale(48));
        picture.pipes.push(drain(100.0));
        picture.outlines.push(crate::picture::Outline {
            of: OutlineKind::Wall,
            strokes: vec![upright(100.0, 15.0, 25.0)],
        });
        clear(&mut picture);
        // A path without a line would have a box at (0, 0).
        assert!(picture.outlines[0].strokes.is_empty());
    }

    #[test]
    fn an_outline_that_crosses_a_drain_stays() {
        let mut path = BezPath::new();
        path.move_to((90.0, 20.0));
        path.line_to((110.0, 20.0 + 20.0 / 3.0_f64.sqrt()));
        let stroke = cut(thin(path.clone()), &[drain(100.0)]);
        assert_eq!(stroke.path, path);
    }

    #[test]
    fn a_closed_outline_loses_one_side_alone() {
        // A box of 20 mm from (100, 0): its left side lies under the drain from 10 on; the side that closes it as well as any.
        let path = kurbo::Rect::new(100.0, 0.0, 120.0, 20.0).to_path(0.1);
        let stroke = cut(thin(path), &[drain(100.0)]);
        assert!((length(&stroke) - 70.0).abs() < 1e-9);
    }

    #[test]
    fn a_long_pipe_that_begins_far_off_is_not_missed_behind_short_ones() {
        let mut long = drain(100.0);
        long.pieces = vec![(Point::new(100.0, 0.0), Point::new(100.0, 200.0))];
        let mut short = drain(100.0);
        short.pieces = (0..20)
            .map(|i| f64::from(i) * 5.0)
            .map(|y| (Point::new(100.0, y + 1.0), Point::new(100.0, y + 2.0)))
            .collect();
        let stroke = cut(upright(100.0, 150.0, 180.0), &[long, short]);
        assert!(length(&stroke) < 1e-9);
    }
}
