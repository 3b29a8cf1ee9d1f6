//! The three axes with their letters, the cross where one begins, and the grid itself.

use glam::DVec3;
use kurbo::{BezPath, PathSeg, Point, Rect, Shape, Vec2};
use wyeline_draw::ink::{Colour, Lettering, Pattern, Pen, Stroke, Weight};
use wyeline_draw::{Corner, Projection};
use wyeline_sheet::{Group, Item, MEDIUM, Mark, NOTE, Text, line, shift};
use wyeline_units::Scale;

use super::lay::Lay;

/// Length of an axis, mm; our choice.
const AXIS: f64 = 9.0;
/// Half the length of the cross's strokes, mm; our choice.
const CROSS: f64 = 1.8;
/// Pen of the grid's dots, mm: a step of ISO 128 (from memory) above the thinnest line, for a dot is lost more easily.
const DOTS: f64 = 0.25;
/// Size of the square dots at the points of the grid, mm: to be counted from; our choice.
const POINTS: f64 = 0.6;
/// How much wider than a line the white under it is, mm; our choice.
const CLEAR: f64 = 0.9;

/// The grid over a rectangle of the page, its lines through a point.
///
/// Lines are dotted, each dot row beginning anew at every point of the grid: a copier keeps dots that it would turn to black or lose as grey, and pencil shows on them.
pub(super) fn grid(over: Rect, through: Point, pitch_mm: f64) -> Group {
    let by = through.to_vec2();
    let mut group = Group::new("grid");
    let mut points = BezPath::new();
    for stroke in wyeline_draw::grid(over - by, pitch_mm).strokes {
        let mut path = BezPath::new();
        for segment in stroke.path.segments() {
            if let PathSeg::Line(line) = segment {
                in_steps(line.p0, line.p1, pitch_mm, &mut path, &mut points);
            }
        }
        path.apply_affine(kurbo::Affine::translate(by));
        let pen = Pen {
            width: DOTS,
            pattern: Pattern::Dotted,
            colour: Colour::BLACK,
        };
        group.stroke("line", path, pen);
    }
    points.apply_affine(kurbo::Affine::translate(by));
    let pen = Pen {
        width: POINTS,
        pattern: Pattern::Solid,
        colour: Colour::BLACK,
    };
    group.stroke("point", points, pen);
    group
}

/// Adds a line of the grid through (0, 0) in pieces that begin at points of the grid; upright ones add those points, as short strokes.
fn in_steps(from: Point, to: Point, pitch: f64, path: &mut BezPath, points: &mut BezPath) {
    let (length, way) = (from.distance(to), (to - from).normalize());
    let across = pitch * 3.0_f64.sqrt() / 2.0;
    // Points of the grid stand a pitch apart on each line; on every other upright one they are half a pitch up.
    let first = if way.x.abs() < 1e-9 {
        let up = (from.x / across).round() * pitch / 2.0;
        (up - from.y) * way.y
    } else {
        -from.x / way.x
    };
    let mut at = first.rem_euclid(pitch);
    if at > 0.1 {
        path.move_to(from);
        path.line_to(from + way * at.min(length));
    }
    while at < length {
        let here = from + way * at;
        if way.x.abs() < 1e-9 {
            points.move_to(here - (POINTS / 2.0, 0.0));
            points.line_to(here + (POINTS / 2.0, 0.0));
        }
        path.move_to(here);
        at += pitch;
        path.line_to(from + way * at.min(length));
    }
}

/// White under the lines of a drawing on a grid, so that a gap in a dashed line stays a gap.
pub(super) fn cleared(drawing: &Group) -> Group {
    fn collect(items: &[Item], into: &mut Group) {
        for item in items {
            match item {
                Item::Group(group) => collect(&group.items, into),
                Item::Stroke(mark) if matches!(mark.class, "line" | "hidden" | "seen") => {
                    if let Some(pen) = mark.stroke.pen {
                        let white = Pen {
                            width: pen.width + CLEAR,
                            pattern: Pattern::Solid,
                            colour: Colour::WHITE,
                        };
                        into.stroke("white", mark.stroke.path.clone(), white);
                    }
                }
                _ => {}
            }
        }
    }
    let mut white = Group::new("cleared");
    collect(&drawing.items, &mut white);
    white
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

/// The axes in a corner of a rectangle, on white: north, east and up as they go on paper from a corner.
///
/// * `taken`: boxes that they keep clear of where any corner of the rectangle lets them, the lower left one first
pub(super) fn axes(corner: Corner, within: Rect, taken: &[Rect]) -> Group {
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
    let within = within.inset(-1.0);
    let (left, right) = (within.x0 - bounds.x0, within.x1 - bounds.x1);
    let (top, bottom) = (within.y0 - bounds.y0, within.y1 - bounds.y1);
    let places = [(left, bottom), (right, bottom), (right, top), (left, top)];
    let free = |place: &&(f64, f64)| {
        let here = bounds + Vec2::from(**place);
        taken.iter().all(|rect| !rect.overlaps(here))
    };
    let place = places.iter().find(free).unwrap_or(&places[0]);
    shift(&mut group, Vec2::from(*place));
    group
}

/// The cross where the drawing begins.
pub(super) fn cross(at: Point) -> Group {
    let mut group = Group::new("start");
    for side in [Vec2::new(CROSS, CROSS), Vec2::new(CROSS, -CROSS)] {
        group.stroke("cross", line(at - side, at + side), MEDIUM);
    }
    group
}

/// The same with its word, on white.
pub(super) fn start(at: Point) -> Group {
    let mut group = cross(at);
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
