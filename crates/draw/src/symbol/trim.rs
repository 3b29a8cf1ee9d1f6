//! Takes the stretch a symbol covers out of its pipe's pieces, so that the symbol cuts the line.

use kurbo::{Point, Vec2};

use crate::picture::PipeMark;

/// A stub of line shorter than this, mm, left between two symbols is not drawn.
const SPECK: f64 = 0.2;

/// Removes from the pipe what lies between `from` and `to` mm of `origin`, measured along `way`.
///
/// * `origin`: a point of the drawn line
/// * `way`: unit vector along it, either way
pub fn remove(mark: &mut PipeMark, origin: Point, way: Vec2, from: f64, to: f64) {
    if to <= from {
        return;
    }
    let at = |p: Point| (p - origin).dot(way);
    let hit = |a: f64, b: f64| a.min(b) < to && a.max(b) > from;
    let mut i = 0;
    while let Some(&(p, q)) = mark.pieces.get(i) {
        let (a, b) = (at(p), at(q));
        if !hit(a, b) {
            i += 1;
            continue;
        }
        let on = |s: f64| p.lerp(q, (s - a) / (b - a));
        // What remains before the cut and after it, in the piece's own direction.
        let (near, far) = if a <= b { (from, to) } else { (to, from) };
        let stays = |length: f64| length.abs() > SPECK && length.signum() == (b - a).signum();
        match (stays(near - a), stays(b - far)) {
            (true, true) => {
                mark.pieces[i] = (p, on(near));
                mark.pieces.insert(i + 1, (on(far), q));
                i += 2;
            }
            (true, false) => {
                mark.pieces[i] = (p, on(near));
                i += 1;
            }
            (false, true) => {
                mark.pieces[i] = (on(far), q);
                i += 1;
            }
            (false, false) => {
                mark.pieces.remove(i);
            }
        }
    }
    mark.arrows.retain(|(tip, _)| {
        let s = at(*tip);
        s < from || s > to
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::{Colour, Pattern, Pen};
    use wyeline_job::model::System;
    use wyeline_network::model::PipeIx;

    fn mark(pieces: &[(f64, f64)]) -> PipeMark {
        PipeMark {
            pipe: PipeIx(0),
            system: System::Cold,
            pen: Pen {
                width: 0.5,
                pattern: Pattern::Solid,
                colour: Colour::BLACK,
            },
            pieces: pieces
                .iter()
                .map(|(a, b)| (Point::new(*a, 0.0), Point::new(*b, 0.0)))
                .collect(),
            shift: Vec2::ZERO,
            arrows: Vec::new(),
        }
    }

    fn ends(mark: &PipeMark) -> Vec<(f64, f64)> {
        mark.pieces.iter().map(|(a, b)| (a.x, b.x)).collect()
    }

    #[test]
    fn an_end_is_shortened() {
        let mut m = mark(&[(0.0, 10.0)]);
        remove(&mut m, Point::ORIGIN, Vec2::new(1.0, 0.0), -1.0, 3.0);
        assert_eq!(ends(&m), [(3.0, 10.0)]);
    }

    #[test]
    fn the_middle_is_taken_out_seen_from_the_far_end() {
        // From the end at 10, looking back: 4 to 6 mm away is x = 4 to 6.
        let mut m = mark(&[(0.0, 10.0)]);
        remove(
            &mut m,
            Point::new(10.0, 0.0),
            Vec2::new(-1.0, 0.0),
            4.0,
            6.0,
        );
        assert_eq!(ends(&m), [(0.0, 4.0), (6.0, 10.0)]);
    }

    #[test]
    fn other_pieces_are_left_and_a_covered_one_goes() {
        let mut m = mark(&[(0.0, 2.0), (4.0, 6.0), (8.0, 20.0)]);
        remove(&mut m, Point::ORIGIN, Vec2::new(1.0, 0.0), 3.0, 9.0);
        assert_eq!(ends(&m), [(0.0, 2.0), (9.0, 20.0)]);
    }

    #[test]
    fn an_arrow_under_the_symbol_goes_with_the_line() {
        let mut m = mark(&[(0.0, 20.0)]);
        m.arrows = vec![
            (Point::new(5.0, 0.0), Vec2::new(1.0, 0.0)),
            (Point::new(15.0, 0.0), Vec2::new(1.0, 0.0)),
        ];
        remove(&mut m, Point::ORIGIN, Vec2::new(1.0, 0.0), 3.0, 7.0);
        assert_eq!(m.arrows.len(), 1);
    }
}
