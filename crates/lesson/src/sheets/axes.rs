//! The three axes with their letters, the cross where one begins, and the grid itself.

use glam::DVec3;
use kurbo::{BezPath, Point, Rect, Shape, Vec2};
use wyeline_draw::ink::{Colour, Lettering, Pattern, Pen, Stroke, Weight};
use wyeline_draw::{Corner, Projection};
use wyeline_sheet::{Group, Item, MEDIUM, Mark, NOTE, Text, line, shift};
use wyeline_units::Scale;

use super::black::THINNEST;
use super::lay::Lay;

/// Length of an axis, mm; our choice.
const AXIS: f64 = 9.0;
/// Half the length of the cross's strokes, mm; our choice.
const CROSS: f64 = 1.8;

/// The grid over a rectangle of the page, its lines through a point.
pub(super) fn grid(over: Rect, through: Point, pitch_mm: f64) -> Group {
    let by = through.to_vec2();
    let mut group = Group::new("grid");
    for stroke in wyeline_draw::grid(over - by, pitch_mm).strokes {
        let mut path = stroke.path;
        path.apply_affine(kurbo::Affine::translate(by));
        let pen = Pen {
            width: THINNEST,
            pattern: Pattern::Solid,
            colour: Colour::BLACK,
        };
        group.stroke("line", path, pen);
    }
    group
}

/// White under what has to be read on a grid.
pub(super) fn white(rect: Rect) -> Item {
    Item::Stroke(Mark {
        class: "white",
        stroke: Stroke {
            path: rect.to_path(0.1),
            pen: None,
            fill: Some(Colour::WHITE),
        },
    })
}

/// The axes in the lower left corner of a rectangle, on white: north, east and up as they go on paper from a corner.
pub(super) fn axes(corner: Corner, within: Rect) -> Group {
    let projection = Projection::new(corner, Scale(1));
    let mut group = Group::new("axes");
    let mut bounds = Rect::from_center_size(Point::ORIGIN, (1.0, 1.0));
    for (word, way) in [("E", DVec3::X), ("N", DVec3::Y), ("UP", DVec3::Z)] {
        let way: Vec2 = projection.vector(way);
        let tip = (way * AXIS).to_point();
        group.stroke("axis", line(Point::ORIGIN, tip), MEDIUM);
        let side = Vec2::new(-way.y, way.x) * 0.9;
        let mut head = BezPath::new();
        head.move_to(tip);
        head.line_to(tip - way * 2.6 + side);
        head.line_to(tip - way * 2.6 - side);
        head.close_path();
        group.items.push(Item::Stroke(Mark {
            class: "arrow",
            stroke: Stroke {
                path: head,
                pen: None,
                fill: Some(Colour::BLACK),
            },
        }));
        let at = tip + way * 2.6 + Vec2::new(0.0, NOTE / 2.0);
        let letters = Lettering::centred(word, at, NOTE, Weight::SemiBold);
        bounds = bounds
            .union(Rect::new(
                letters.at.x,
                at.y - NOTE,
                letters.at.x + letters.width,
                at.y,
            ))
            .union_pt(tip);
        group.text("axis-name", letters);
    }
    let bounds = bounds.inflate(1.5, 1.5);
    group.items.insert(0, white(bounds));
    shift(
        &mut group,
        Vec2::new(within.x0 + 1.0 - bounds.x0, within.y1 - 1.0 - bounds.y1),
    );
    group
}

/// A cross with the word that begins the drawing, on white.
pub(super) fn start(at: Point) -> Group {
    let mut group = Group::new("start");
    for side in [Vec2::new(CROSS, CROSS), Vec2::new(CROSS, -CROSS)] {
        group.stroke("cross", line(at - side, at + side), MEDIUM);
    }
    let lettering = Lettering::new(
        "START",
        at + Vec2::new(CROSS + 1.0, CROSS + NOTE),
        NOTE,
        Weight::SemiBold,
    );
    group.items.push(Item::Text(Text {
        class: "start",
        data: Vec::new(),
        lettering,
        halo: true,
    }));
    group
}

/// The grid of an exercise over a rectangle.
pub(super) fn behind(lay: &Lay, over: Rect, pitch_mm: f64) -> Group {
    grid(over, lay.at(lay.anchor), pitch_mm)
}
