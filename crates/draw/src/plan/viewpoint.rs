//! The mark beside a plan that shows from which corner the isometric looks.

use kurbo::{Point, Rect, Vec2};

use crate::ink::{Pattern, Pen, Stroke};
use crate::picture::SymbolKind;
use crate::style::{self, Line};
use crate::symbol::flat::Flat;
use crate::symbol::maker::{Fill, Maker};
use crate::view::Corner;

/// Radius of the mark's circle, mm; own choice.
const RADIUS: f64 = 2.2;
/// How far the mark stands off the plan's corner, mm; own choice.
const OFF: f64 = 5.0;

/// An eye at the corner the viewer stands at, looking into the plan at 45 degrees.
///
/// * `plan`: what the plan covers on paper, mm, north up the page
pub fn viewpoint_mark(plan: Rect, corner: Corner) -> Vec<Stroke> {
    // Page directions, y down: from the corner into the plan.
    let (at, into) = match corner {
        Corner::Sw => (Point::new(plan.x0, plan.y1), Vec2::new(1.0, -1.0)),
        Corner::Se => (Point::new(plan.x1, plan.y1), Vec2::new(-1.0, -1.0)),
        Corner::Ne => (Point::new(plan.x1, plan.y0), Vec2::new(-1.0, 1.0)),
        Corner::Nw => (Point::new(plan.x0, plan.y0), Vec2::new(1.0, 1.0)),
    };
    let x = into.normalize();
    let flat = Flat {
        at: at - x * OFF,
        x,
        y: Vec2::new(-x.y, x.x),
    };
    let pen = Pen {
        pattern: Pattern::Solid,
        ..style::line(Line::Symbol)
    };
    let mut m = Maker::with(pen).exempt();
    m.circle(&flat, (0.0, 0.0), RADIUS, Fill::White);
    // A filled wedge on the circle points the way one looks; two rays open the view.
    m.area(
        &flat,
        &[
            (RADIUS + 2.2, 0.0),
            (RADIUS * 0.5, RADIUS * 0.87),
            (RADIUS * 0.5, -RADIUS * 0.87),
        ],
        Fill::Ink,
    );
    m.circle(&flat, (0.0, 0.0), RADIUS * 0.35, Fill::Ink);
    m.finish(SymbolKind::LevelMark, None, None).strokes
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape;

    #[test]
    fn the_eye_stands_outside_the_corner_it_is_named_for() {
        let plan = Rect::new(0.0, 0.0, 100.0, 60.0);
        // North is up the page, so the north-east corner is at the top right: x > 100, y < 0.
        let strokes = viewpoint_mark(plan, Corner::Ne);
        let centre = strokes[0].path.bounding_box().center();
        assert!(centre.x > 100.0 && centre.y < 0.0, "{centre:?}");
        // The wedge's tip is nearer the plan's middle than the circle.
        let middle = plan.center();
        let nearest = |s: &Stroke| {
            s.path
                .segments()
                .map(|g| kurbo::ParamCurve::start(&g).distance(middle))
                .fold(f64::MAX, f64::min)
        };
        assert!(nearest(&strokes[1]) < nearest(&strokes[0]));
    }
}
