//! Fittings and ends: bends, joints, reducers, traps, flanges, drains, caps, breaks, starts, roof ends.
//!
//! Each takes planes and paper vectors made by the caller, draws, and leaves the cutting of pipes to it.

use kurbo::{BezPath, Point, Vec2};

use super::flat::Flat;
use super::maker::{Fill, Maker};
use crate::ink::Colour;

/// A mistake in the job stands out: pure red, own choice.
pub const FAULT: Colour = Colour(200, 0, 0);

/// The rounding of a corner between two unit directions, `reach` mm along each.
pub fn bend(m: &mut Maker, at: Point, a: Vec2, b: Vec2, reach: (f64, f64)) {
    let mut path = BezPath::new();
    path.move_to(at + a * reach.0);
    path.quad_to(at, at + b * reach.1);
    m.path(path, Fill::Open);
}

/// The filled throat between a branch and the way the flow goes on.
pub fn throat(m: &mut Maker, at: Point, branch: Vec2, downstream: Vec2) {
    let flat = Flat {
        at,
        x: branch,
        y: downstream,
    };
    m.area(&flat, &[(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)], Fill::Ink);
}

/// A round dot on the page.
pub fn dot(m: &mut Maker, at: Point, diameter: f64) {
    m.circle(&Flat::page(at), (0.0, 0.0), diameter / 2.0, Fill::Ink);
}

/// Half the length of a reducer, mm.
pub const REDUCER: f64 = 1.7;

/// A reducer, its large end towards negative x.
pub fn reducer(m: &mut Maker, f: &Flat) {
    m.area(
        f,
        &[
            (-REDUCER, -1.4),
            (-REDUCER, 1.4),
            (REDUCER, 0.55),
            (REDUCER, -0.55),
        ],
        Fill::White,
    );
}

/// How far a trap of radius `r` covers its arm: the U and the bend into the arm.
pub fn trap_reach(r: f64) -> f64 {
    2.75 * r
}

/// A trap: down from the outlet, through the U, up to the weir and into the arm along x; y is up.
pub fn trap(m: &mut Maker, f: &Flat, r: f64, stub_above: bool) {
    let dip = -1.1 * r;
    let mut path = BezPath::new();
    path.move_to(f.point((0.0, if stub_above { 2.0 * r } else { 0.0 })));
    path.line_to(f.point((0.0, dip)));
    for el in f.arc((r, dip), r, 180.0, 180.0).elements().iter().skip(1) {
        path.push(*el);
    }
    path.line_to(f.point((2.0 * r, -0.75 * r)));
    path.quad_to(f.point((2.0 * r, 0.0)), f.point((trap_reach(r), 0.0)));
    m.path(path, Fill::Open);
}

/// A trap from above: its U is a slot round the inlet.
pub fn trap_from_above(m: &mut Maker, f: &Flat) {
    m.circle(f, (0.0, 0.0), 1.0, Fill::White);
    m.circle(f, (0.0, 0.0), 0.35, Fill::Ink);
}

/// The bar and plug of a cleanout at the end of a line, x away from the line.
pub fn cleanout_end(m: &mut Maker, f: &Flat) {
    m.line(f, &[(0.0, -1.7), (0.0, 1.7)]);
    m.area(
        f,
        &[(0.0, -0.7), (0.9, -0.7), (0.9, 0.7), (0.0, 0.7)],
        Fill::White,
    );
}

/// The middle of letters beyond a point, clear of it, in a direction on the page.
pub fn beyond(at: Point, way: Vec2, width: f64, height: f64) -> Point {
    let way = if way.hypot() < 1e-9 {
        Vec2::new(0.0, -1.0)
    } else {
        way.normalize()
    };
    at + way * 0.8 + Vec2::new(way.x * width / 2.0, way.y * height / 2.0)
}

/// A closet flange on the floor.
pub fn closet_flange(m: &mut Maker, level: &Flat) {
    m.circle(level, (0.0, 0.0), 2.3, Fill::White);
    m.circle(level, (0.0, 0.0), 1.3, Fill::White);
    for (x, y) in [(1.8, 0.0), (-1.8, 0.0)] {
        m.circle(level, (x, y), 0.28, Fill::Ink);
    }
}

/// A floor drain: circle in square, with a few slots.
pub fn floor_drain(m: &mut Maker, level: &Flat) {
    square(m, level, 2.3, Fill::White);
    m.circle(level, (0.0, 0.0), 1.8, Fill::White);
    for x in [-0.8, 0.0, 0.8] {
        m.line(level, &[(x, -0.9), (x, 0.9)]);
    }
}

/// A floor sink: square in square, its dome strainer in the middle.
pub fn floor_sink(m: &mut Maker, level: &Flat) {
    square(m, level, 2.6, Fill::White);
    square(m, level, 1.8, Fill::White);
    m.circle(level, (0.0, 0.0), 0.8, Fill::Ink);
}

fn square(m: &mut Maker, f: &Flat, half: f64, fill: Fill) {
    m.area(
        f,
        &[(-half, -half), (half, -half), (half, half), (-half, half)],
        fill,
    );
}

/// A strainer at the top of a tailpiece.
pub fn outlet(m: &mut Maker, level: &Flat) {
    m.circle(level, (0.0, 0.0), 1.2, Fill::White);
    m.line(level, &[(-1.2, 0.0), (1.2, 0.0)]);
    m.line(level, &[(0.0, -1.2), (0.0, 1.2)]);
}

/// The bar at the end of a supply, x away from the pipe.
pub fn stub(m: &mut Maker, f: &Flat) {
    m.line(f, &[(0.0, -1.3), (0.0, 1.3)]);
}

/// A supply that comes out of the wall: a short piece of pipe along x, into the room, and a bar at its end.
pub fn stub_into(m: &mut Maker, f: &Flat, pipe: f64) {
    let line = m.width(pipe);
    m.line(f, &[(0.0, 0.0), (2.2, 0.0)]);
    m.width(line);
    stub(m, &f.moved(2.2, 0.0));
}

/// A gas outlet: a bar and a triangle towards the appliance, x away from the pipe.
pub fn gas_outlet(m: &mut Maker, f: &Flat) {
    m.line(f, &[(0.0, -1.7), (0.0, 1.7)]);
    m.area(f, &[(0.0, -1.2), (0.0, 1.2), (2.4, 0.0)], Fill::White);
}

/// A cap, x away from the pipe.
pub fn cap(m: &mut Maker, f: &Flat) {
    m.line(f, &[(-1.3, 1.3), (0.0, 1.3), (0.0, -1.3), (-1.3, -1.3)]);
}

/// A break mark across the end of a line that goes on.
pub fn break_mark(m: &mut Maker, f: &Flat) {
    m.line(
        f,
        &[
            (0.0, 2.8),
            (0.0, 0.8),
            (1.0, 0.35),
            (-1.0, -0.35),
            (0.0, -0.8),
            (0.0, -2.8),
        ],
    );
}

/// How far a loose end's triangle stands from the end, mm.
const LOOSE: f64 = 3.4;

/// A loose end: a triangle with a question mark beyond the end.
pub fn loose(m: &mut Maker, at: Point, way: Vec2) {
    let way = if way.hypot() < 1e-9 {
        Vec2::new(0.0, 1.0)
    } else {
        way.normalize()
    };
    let page = Flat::page(at + way * LOOSE);
    m.area(&page, &[(-2.9, -1.9), (2.9, -1.9), (0.0, 3.1)], Fill::White);
    m.letters("?", page.point((0.0, -0.35)));
}

/// How far the arrow of a start reaches, mm.
pub const START: f64 = 4.4;

/// The arrow where a run begins: x with the flow, its base at the origin.
pub fn start(m: &mut Maker, f: &Flat) {
    m.area(f, &[(0.0, -1.5), (0.0, 1.5), (START, 0.0)], Fill::White);
    m.line(f, &[(0.0, -2.2), (0.0, 2.2)]);
}

/// Height of the flashing cone above the roof, mm.
pub const CONE: f64 = 1.9;
/// Half the height of the collar's ellipse: 1.8 mm radius at 0.7071.
pub const COLLAR: f64 = 1.8 * std::f64::consts::FRAC_1_SQRT_2;

/// The collar of a roof penetration: an ellipse in the roof, a cone of flashing up the pipe.
pub fn collar(m: &mut Maker, level: &Flat) {
    m.circle(level, (0.0, 0.0), 1.8, Fill::White);
    let page = Flat::page(level.at);
    m.area(
        &page,
        &[(-1.3, 0.1), (-0.5, CONE), (0.5, CONE), (1.3, 0.1)],
        Fill::White,
    );
}

/// The open end of a vent.
pub fn open_end(m: &mut Maker, level: &Flat) {
    m.circle(level, (0.0, 0.0), 1.0, Fill::White);
}

/// A riser in plan: a circle, with a dot where it goes up; open where it drops.
pub fn riser(m: &mut Maker, at: Point, up: bool) {
    let page = Flat::page(at);
    m.circle(&page, (0.0, 0.0), 1.4, Fill::White);
    if up {
        m.circle(&page, (0.0, 0.0), 0.45, Fill::Ink);
    }
}

/// The mark of a height: a triangle standing on the level, with a stroke under it.
pub fn level_mark(m: &mut Maker, at: Point) {
    let page = Flat::page(at);
    m.area(&page, &[(0.0, 0.0), (1.6, 2.4), (-1.6, 2.4)], Fill::White);
    m.line(&page, &[(-2.4, 0.0), (5.0, 0.0)]);
}

/// The bar of a match mark across a cut line.
pub fn match_bar(m: &mut Maker, f: &Flat) {
    m.width(1.0);
    m.line(f, &[(0.0, -2.5), (0.0, 2.5)]);
}
