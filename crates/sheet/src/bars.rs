//! The graphic scale bar of a view, the check bar of a sheet and the north arrow.
//!
//! A scale bar keeps its meaning on a print that came out too small; the check bar tells that it did.

use glam::DVec3;
use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};
use wyeline_draw::ink::{Colour, Lettering, Stroke, Weight};
use wyeline_draw::{Corner, Projection};
use wyeline_units::{Scale, UnitSystem};

use crate::block::{CAPTION, MEDIUM, NOTE, THIN};
use crate::page::{Datum, Group, Item, Mark, line, outline};

/// Millimetres in a foot (international foot, 1959).
const FOOT: f64 = 304.8;
/// Radius of the north arrow's circle, mm; our choice.
const NORTH: f64 = 5.5;
/// The longest scale bar, mm; our choice.
const LONGEST: f64 = 64.0;

/// How far a bar reaches, in the units its words use, and how long one of them is in the building, mm.
fn span(scale: Scale, units: UnitSystem) -> (f64, f64, &'static str) {
    let (unit, word, steps): (f64, &str, &[f64]) = if units.is_metric() {
        (1000.0, "m", &[0.4, 1.0, 2.0, 4.0, 10.0, 20.0, 40.0])
    } else {
        (FOOT, "ft", &[1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0])
    };
    let reach = steps
        .iter()
        .rev()
        .find(|s| scale.paper(**s * unit) <= LONGEST)
        .unwrap_or(&steps[0]);
    (*reach, unit, word)
}

/// A filled shape.
fn filled(path: BezPath) -> Item {
    Item::Stroke(Mark {
        class: "",
        stroke: Stroke {
            path,
            pen: None,
            fill: Some(Colour::BLACK),
        },
    })
}

/// The scale bar: marks at 0, a quarter, a half and all of its length, upper left corner at (0, 0).
///
/// Returns the group and its width and height, mm.
pub fn scale_bar(scale: Scale, units: UnitSystem) -> (Group, f64, f64) {
    let (reach, unit, word) = span(scale, units);
    let length = scale.paper(reach * unit);
    let mut group = Group::new("scale-bar")
        .with("length", Datum::Measure(length))
        .with("stands-for", Datum::Measure(reach * unit));
    let top = CAPTION + 1.5;
    let bar = Rect::new(0.0, top, length, top + 1.8);
    group.stroke("", outline(bar), THIN);
    for (from, to, upper) in [(0.0, 0.25, true), (0.25, 0.5, false), (0.5, 1.0, true)] {
        let (y0, y1) = if upper {
            (bar.y0, bar.y0 + 0.9)
        } else {
            (bar.y0 + 0.9, bar.y1)
        };
        group.items.push(filled(outline(Rect::new(
            length * from,
            y0,
            length * to,
            y1,
        ))));
    }
    for share in [0.0, 0.25, 0.5, 1.0] {
        let words = if share == 1.0 {
            format!("{reach} {word}")
        } else {
            format!("{}", reach * share)
        };
        let at = Point::new(length * share, CAPTION);
        let letters = if share == 0.0 || share == 1.0 {
            Lettering::new(&words, at, CAPTION, Weight::Regular)
        } else {
            Lettering::centred(&words, at, CAPTION, Weight::Regular)
        };
        group.text("", letters);
    }
    let last = Lettering::new(
        &format!("{reach} {word}"),
        Point::ZERO,
        CAPTION,
        Weight::Regular,
    );
    (group, length + last.width, bar.y1)
}

/// The check bar: a line of known length, its left end at (0, 2), with words after it.
///
/// Returns the group and its width and height, mm.
pub fn check_bar(units: UnitSystem) -> (Group, f64, f64) {
    let (length, words) = if units.is_metric() {
        (100.0, "100 mm")
    } else {
        (101.6, "4 in")
    };
    let mut group = Group::new("check-bar").with("length", Datum::Measure(length));
    group.stroke("check", line((0.0, 2.0), (length, 2.0)), MEDIUM);
    for x in [0.0, length] {
        group.stroke("", line((x, 0.0), (x, 4.0)), MEDIUM);
    }
    let said = format!("{words} long if printed at full size");
    let letters = Lettering::new(&said, Point::new(0.0, 4.0 + NOTE), NOTE, Weight::Regular);
    let mut at = letters.clone();
    at.at.x = (length - letters.width) / 2.0;
    group.text("", at);
    (group, length, 4.0 + NOTE + 0.8)
}

/// The north arrow lying in the level plane of an isometric, or plain for a plan, centred on (0, 0).
///
/// Returns the group and the box it needs, mm.
pub fn north(corner: Option<Corner>) -> (Group, Rect) {
    let on_paper = |east: f64, north: f64| -> Vec2 {
        match corner {
            Some(corner) => Projection::new(corner, Scale(1)).vector(DVec3::new(east, north, 0.0)),
            None => Vec2::new(east, -north),
        }
    };
    let (e, n) = (on_paper(1.0, 0.0), on_paper(0.0, 1.0));
    let place = |east: f64, north: f64| (e * east + n * north).to_point();
    // The unit circle of the level plane, as the picture shows it.
    let to_paper = Affine::new([e.x, e.y, n.x, n.y, 0.0, 0.0]);
    let mut group =
        Group::new("north").with("angle", Datum::Measure((-n.y).atan2(n.x).to_degrees()));
    let circle = to_paper * kurbo::Circle::new(Point::ZERO, NORTH).to_path(0.01);
    group.stroke("", circle, THIN);
    group.stroke(
        "shaft",
        line(place(0.0, -NORTH), place(0.0, NORTH * 1.35)),
        MEDIUM,
    );
    let mut head = BezPath::new();
    head.move_to(place(0.0, NORTH * 1.35));
    head.line_to(place(-NORTH * 0.28, NORTH * 0.55));
    head.line_to(place(NORTH * 0.28, NORTH * 0.55));
    head.close_path();
    group.items.push(filled(head));
    let letter = place(0.0, NORTH * 1.35) + n.normalize() * 2.6;
    let mut letters = Lettering::centred("N", letter, 3.0, Weight::SemiBold);
    letters.at.y += 1.5;
    group.text("", letters);
    let mut bounds = Rect::from_center_size(Point::ZERO, (0.0, 0.0));
    for p in [
        place(NORTH, 0.0),
        place(-NORTH, 0.0),
        place(0.0, NORTH),
        place(0.0, -NORTH),
    ] {
        bounds = bounds.union_pt(p);
    }
    // Half axes of the ellipse: the circle's enlarged by sqrt(3/2) along the paper's horizontal.
    let reach = if corner.is_some() {
        1.5_f64.sqrt() * NORTH
    } else {
        NORTH
    };
    bounds = bounds.union_pt((-reach, 0.0)).union_pt((reach, 0.0));
    bounds = bounds.union(Rect::from_center_size(letter, (3.0, 3.4)));
    (group, bounds)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measure(group: &Group, name: &str) -> f64 {
        group
            .data
            .iter()
            .find_map(|(n, v)| match v {
                Datum::Measure(mm) if *n == name => Some(*mm),
                _ => None,
            })
            .expect("told along")
    }

    #[test]
    fn a_quarter_inch_scale_bar_of_eight_feet_is_two_inches_long() {
        // 8 ft at 1/4 in a foot = 2 in = 50.8 mm; 16 ft would be 101.6 mm, longer than the longest bar.
        let (group, ..) = scale_bar(Scale(48), UnitSystem::FeetInches);
        assert!((measure(&group, "length") - 50.8).abs() < 1e-9);
        assert!((measure(&group, "stands-for") - 8.0 * 304.8).abs() < 1e-9);
    }

    #[test]
    fn a_one_in_fifty_scale_bar_of_two_metres_is_forty_millimetres_long() {
        let (group, ..) = scale_bar(Scale(50), UnitSystem::Metres);
        assert!((measure(&group, "length") - 40.0).abs() < 1e-9);
    }

    #[test]
    fn the_check_bar_is_as_long_as_it_says() {
        for (units, said, mm) in [
            (UnitSystem::FeetInches, "4 in", 4.0 * 25.4),
            (UnitSystem::Metres, "100 mm", 100.0),
        ] {
            let (group, ..) = check_bar(units);
            let Item::Stroke(bar) = &group.items[0] else {
                panic!("the bar comes first")
            };
            assert!((bar.stroke.path.bounding_box().width() - mm).abs() < 1e-9);
            assert!(
                group
                    .items
                    .iter()
                    .any(|i| matches!(i, Item::Text(t) if t.lettering.text.starts_with(said)))
            );
        }
    }

    #[test]
    fn north_points_where_the_axes_of_each_corner_put_it() {
        // Degrees on paper, counter-clockwise from the right: at the south-west corner east goes up to the right (30)
        // and north up to the left (150); the rest follows by turning the building.
        for (corner, degrees) in [
            (Corner::Sw, 150.0),
            (Corner::Se, 30.0),
            (Corner::Ne, -30.0),
            (Corner::Nw, -150.0),
        ] {
            let (group, _) = north(Some(corner));
            assert!(
                (measure(&group, "angle") - degrees).abs() < 1e-6,
                "{corner:?}"
            );
        }
        assert!((measure(&north(None).0, "angle") - 90.0).abs() < 1e-6);
    }
}
