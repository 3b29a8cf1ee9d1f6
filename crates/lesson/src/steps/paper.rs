//! What lies under a step's picture: the isometric grid, and the axes with their letters.

use glam::DVec3;
use kurbo::{BezPath, Point, Rect, Vec2};
use wyeline_draw::Projection;
use wyeline_draw::ink::{Colour, Lettering, Pattern, Pen, Weight};
use wyeline_draw::style::{Line, line};
use wyeline_sheet::Group;

use super::style::style;

/// Half the tangent of 30 degrees doubled: how far a line along a level axis climbs over the paper.
const TAN_30: f64 = 0.577_350_269_189_625_8;
/// cos 30 degrees: upright lines stand so many pitches apart.
const COS_30: f64 = 0.866_025_403_784_438_6;

/// The grid's lines over a region, `pitch` mm apart along the axes, one of each family through `origin`.
pub(super) fn grid(over: Rect, pitch: f64, origin: Point) -> Group {
    let mut path = BezPath::new();
    let region = over - origin.to_vec2();
    let mut add = |a: (f64, f64), b: (f64, f64)| {
        path.move_to(Point::from(a) + origin.to_vec2());
        path.line_to(Point::from(b) + origin.to_vec2());
    };
    for x in multiples(pitch * COS_30, region.x0, region.x1) {
        add((x, region.y0), (x, region.y1));
    }
    for slope in [TAN_30, -TAN_30] {
        let (a, b) = (slope * region.x0, slope * region.x1);
        for y in multiples(pitch, region.y0 - a.max(b), region.y1 - a.min(b)) {
            // y = slope * x + the multiple, as far as it lies in the region.
            let at = |v: f64| (v - y) / slope;
            let x0 = region.x0.max(at(region.y0).min(at(region.y1)));
            let x1 = region.x1.min(at(region.y0).max(at(region.y1)));
            if x0 < x1 {
                add((x0, slope * x0 + y), (x1, slope * x1 + y));
            }
        }
    }
    let mut group = Group::new("grid");
    group.stroke("", path, line(Line::Grid));
    group
}

/// The multiples of a step between two bounds; none where there would be more than any sheet holds.
fn multiples(step: f64, from: f64, to: f64) -> impl Iterator<Item = f64> {
    let first = (from / step).ceil();
    let count = ((to / step).floor() - first + 1.0).clamp(0.0, 4000.0) as u32;
    (0..count).map(move |k| (first + f64::from(k)) * step)
}

/// How much room the axes need, mm: the reach of the longest arrow with its letter.
pub(super) fn room(pitch: f64) -> f64 {
    style().axes * pitch + 2.5 * style().letters
}

/// The three axes from a point, with their letters.
pub(crate) fn axes(projection: Projection, at: Point, pitch: f64, new: bool) -> Group {
    let width = if new {
        style().pen.axis
    } else {
        style().pen.old_axis
    };
    let mut group = Group::new("axes");
    for (way, letters) in [(DVec3::X, "E"), (DVec3::Y, "N"), (DVec3::Z, "up")] {
        let way = projection.vector(way).normalize();
        let tip = at + way * (style().axes * pitch);
        let side = Vec2::new(-way.y, way.x) * 0.8;
        let mut path = BezPath::new();
        path.move_to(at);
        path.line_to(tip);
        path.move_to(tip - way * 2.4 + side);
        path.line_to(tip);
        path.line_to(tip - way * 2.4 - side);
        group.stroke("", path, pen(width));
        group.text("", centred(letters, tip + way * (1.1 * style().letters)));
    }
    group
}

/// A ring round a point.
pub(super) fn ring(at: Point) -> Group {
    let mut group = Group::new("ring");
    let path = kurbo::Shape::to_path(&kurbo::Circle::new(at, style().ring), 0.01);
    group.stroke("", path, pen(style().pen.ring));
    group
}

/// A black, unbroken pen.
pub(super) fn pen(width: f64) -> Pen {
    Pen {
        width,
        pattern: Pattern::Solid,
        colour: Colour::BLACK,
    }
}

/// Letters with their middle at a point.
fn centred(text: &str, middle: Point) -> Lettering {
    let mut letters = Lettering::new(text, middle, style().letters, Weight::SemiBold);
    letters.at = middle + Vec2::new(-letters.width / 2.0, letters.height / 2.0);
    letters
}

#[cfg(test)]
mod tests {
    use wyeline_sheet::Item;

    use super::*;

    /// 5 mm along the axes: upright lines stand 5 * cos 30 = 4.330 mm apart, and one goes through the origin.
    #[test]
    fn upright_lines_stand_the_pitch_times_cos_30_apart() {
        let grid = grid(Rect::new(0.0, 0.0, 20.0, 20.0), 5.0, Point::new(10.0, 10.0));
        let Item::Stroke(mark) = &grid.items[0] else {
            panic!("a stroke");
        };
        let mut uprights: Vec<f64> = mark
            .stroke
            .path
            .segments()
            .filter_map(|segment| match segment {
                kurbo::PathSeg::Line(line) if line.p0.x == line.p1.x => Some(line.p0.x),
                _ => None,
            })
            .collect();
        uprights.sort_by(f64::total_cmp);
        // 10 - 2 * 4.330 = 1.340 to 10 + 2 * 4.330 = 18.660.
        let expected = [1.340, 5.670, 10.0, 14.330, 18.660];
        assert_eq!(uprights.len(), 5, "{uprights:?}");
        for (x, at) in uprights.iter().zip(expected) {
            assert!((x - at).abs() < 1e-3, "{uprights:?}");
        }
    }
}
