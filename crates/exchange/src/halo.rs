//! The white that stands behind lettering: the box of its letters with a rim, turned as they are.
//!
//! A box and not an outline of the letters: a thin line behind a label then ends beside it, where an outline
//! would leave bits of it between the letters. All writers use it, so that they show the same.

use kurbo::{Affine, PathEl, Point, Rect};
use wyeline_draw::ink::Lettering;
use wyeline_draw::lettering;

/// White kept round lettering, mm.
const RIM: f64 = 0.3;

/// The closed path round the box, mm on the page.
pub(crate) fn outline(letters: &Lettering) -> [PathEl; 5] {
    let [a, b, c, d] = corners(letters);
    [
        PathEl::MoveTo(a),
        PathEl::LineTo(b),
        PathEl::LineTo(c),
        PathEl::LineTo(d),
        PathEl::ClosePath,
    ]
}

/// The corners of the box, in turn.
fn corners(letters: &Lettering) -> [Point; 4] {
    let reach = lettering::extent(&letters.text, letters.height, letters.weight);
    let Point { x, y } = letters.at;
    let Rect { x0, y0, x1, y1 } =
        Rect::new(x, y - reach.above, x + letters.width, y + reach.below).inset(RIM);
    let turn = Affine::rotate_about(letters.angle.to_radians(), letters.at);
    [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(|corner| turn * Point::from(corner))
}

#[cfg(test)]
mod tests {
    use super::*;
    use wyeline_draw::ink::{Colour, Weight};

    /// An `H` stands on the base line and is as high as capitals are.
    fn letters(angle: f64) -> Lettering {
        Lettering {
            text: "H".to_owned(),
            at: Point::new(10.0, 20.0),
            angle,
            height: 3.0,
            weight: Weight::Regular,
            colour: Colour::BLACK,
            width: 2.0,
        }
    }

    fn near(corners: [Point; 4], expected: [(f64, f64); 4]) {
        for (corner, (x, y)) in corners.into_iter().zip(expected) {
            assert!(
                (corner.x - x).abs() < 1e-6 && (corner.y - y).abs() < 1e-6,
                "{corners:?}"
            );
        }
    }

    #[test]
    fn level_lettering_stands_in_a_box_a_rim_wider_on_each_side() {
        // 10 to 12 mm across and 17 to 20 down, 0.3 mm more all round.
        near(
            corners(&letters(0.0)),
            [(9.7, 16.7), (12.3, 16.7), (12.3, 20.3), (9.7, 20.3)],
        );
    }

    #[test]
    fn turned_lettering_has_its_box_turned_about_the_start_of_its_base_line() {
        // A quarter turn clockwise takes (along, down) to (-down, along): the level box is -0.3 to 2.3 along and
        // -3.3 to 0.3 down.
        near(
            corners(&letters(90.0)),
            [(13.3, 19.7), (13.3, 22.3), (9.7, 22.3), (9.7, 19.7)],
        );
    }
}
