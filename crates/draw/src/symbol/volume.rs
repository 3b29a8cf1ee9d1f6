//! Fixtures and equipment in the isometric: light volumes to scale, only edges that are seen.

use glam::DVec3;
use kurbo::{Point, Vec2};
use wyeline_network::model::Fixture;

use super::flat::{Eye, Flat};
use super::form::{Form, Stand, from_above, oval, rounded};
use super::maker::{Fill, Maker};
use super::size::SIZES;

/// Height of equipment whose top nobody knows, mm: 3 ft, own choice.
const TOP: f64 = 914.4;

/// Draws a fixture; nothing for what is too small to be drawn to scale or lies in the floor.
pub fn draw(m: &mut Maker, eye: Eye, depth: impl Fn(DVec3) -> f64, fixture: &Fixture) {
    let stand = Stand::of(fixture);
    let form = Form::of(&fixture.kind);
    let (w, d) = (stand.wide, stand.deep);
    if w.max(d) < SIZES.to_scale_from || matches!(form, Form::Drain | Form::FloorSink) {
        return;
    }
    let rim = fixture.rim.unwrap_or(TOP);
    let drain = stand.port(fixture, "drain");
    let cuboid = |m: &mut Maker, x: (f64, f64), y: (f64, f64), z: (f64, f64)| {
        cuboid(m, eye, &depth, &stand, x, y, z);
    };
    let all = (-w / 2.0, w / 2.0);
    match form {
        Form::Closet => {
            cuboid(m, (-w * 0.46, w * 0.46), (0.0, d * 0.28), (rim, rim * 1.9));
            let seat = oval(&stand.level(eye, rim), (0.0, d * 0.65), w * 0.37, d * 0.35);
            let foot = oval(&stand.level(eye, 0.0), (0.0, d * 0.5), w * 0.24, d * 0.3);
            sides(m, &seat, &foot);
            m.path(seat, Fill::Open);
            m.path(
                oval(&stand.level(eye, rim), (0.0, d * 0.68), w * 0.23, d * 0.23),
                Fill::Open,
            );
            m.path(foot, Fill::Open);
        }
        Form::Bidet => {
            from_above(m, &stand.level(eye, rim), form, &stand, drain);
            let rim_oval = oval(&stand.level(eye, rim), (0.0, d * 0.5), w * 0.48, d * 0.5);
            let foot = oval(&stand.level(eye, 0.0), (0.0, d * 0.5), w * 0.24, d * 0.3);
            sides(m, &rim_oval, &foot);
            m.path(foot, Fill::Open);
        }
        Form::Urinal => cuboid(m, all, (0.0, d), (rim, rim + 0.7 * rim)),
        Form::Lavatory => {
            // A slab on the wall, so much of it as one sees over the edge; no pedestal, for pipes are there.
            cuboid(m, all, (0.0, d), (rim * 0.84, rim));
            m.path(
                oval(&stand.level(eye, rim), (0.0, d * 0.57), w * 0.36, d * 0.33),
                Fill::Open,
            );
        }
        Form::Sink(_) => {
            cuboid(m, all, (0.0, d), (rim * 0.78, rim));
            from_above(m, &stand.level(eye, rim), form, &stand, drain);
        }
        Form::FloorBasin => {
            cuboid(m, all, (0.0, d), (0.0, rim));
            m.path(
                rounded(
                    &stand.level(eye, rim),
                    (-w * 0.4, 0.1 * w),
                    (w * 0.4, d - 0.1 * w),
                    0.05 * w,
                ),
                Fill::Open,
            );
        }
        Form::Bath => {
            cuboid(m, all, (0.0, d), (0.0, rim));
            m.path(
                rounded(
                    &stand.level(eye, rim),
                    (-w / 2.0 + 0.1 * d, 0.1 * d),
                    (w / 2.0 - 0.1 * d, 0.9 * d),
                    0.3 * d,
                ),
                Fill::Open,
            );
        }
        Form::Shower => from_above(m, &stand.level(eye, 0.0), form, &stand, drain),
        Form::Washer => {
            cuboid(m, all, (0.0, d), (0.0, TOP));
            // Its door, on the front.
            let by = eye.factor();
            let mut front = eye.flat(
                eye.point(stand.point(0.0, d, TOP * 0.5)),
                stand.right,
                DVec3::Z,
            );
            front.x *= by;
            front.y *= by;
            let seen = depth(stand.point(0.0, d, 0.0)) < depth(stand.point(0.0, 0.0, 0.0));
            if seen {
                m.circle(&front, (0.0, 0.0), w * 0.3, Fill::Open);
            }
        }
        Form::Cylinder => cylinder(m, eye, &stand, rim),
        Form::Box => cuboid(m, all, (0.0, d), (0.0, rim)),
        Form::Drain | Form::FloorSink => {}
    }
}

/// The edges of a box that are not behind it.
fn cuboid(
    m: &mut Maker,
    eye: Eye,
    depth: &impl Fn(DVec3) -> f64,
    stand: &Stand,
    x: (f64, f64),
    y: (f64, f64),
    z: (f64, f64),
) {
    let base = [(x.0, y.0), (x.1, y.0), (x.1, y.1), (x.0, y.1)];
    let at = |i: usize, z: f64| eye.point(stand.point(base[i % 4].0, base[i % 4].1, z));
    let far = (0..4)
        .max_by(|&a, &b| {
            let deep = |i: usize| depth(stand.point(base[i].0, base[i].1, z.0));
            deep(a).total_cmp(&deep(b))
        })
        .unwrap_or(0);
    let line = |m: &mut Maker, points: &[Point]| {
        let page = Flat::page(Point::ORIGIN);
        let points: Vec<(f64, f64)> = points.iter().map(|p| (p.x, -p.y)).collect();
        m.line(&page, &points);
    };
    line(
        m,
        &[at(0, z.1), at(1, z.1), at(2, z.1), at(3, z.1), at(0, z.1)],
    );
    // Bottom edges and uprights, but for the corner farthest away.
    line(m, &[at(far + 1, z.0), at(far + 2, z.0), at(far + 3, z.0)]);
    for i in 1..4 {
        line(m, &[at(far + i, z.0), at(far + i, z.1)]);
    }
}

/// Lines down both sides, from one ellipse's left and right ends to another's.
fn sides(m: &mut Maker, top: &kurbo::BezPath, foot: &kurbo::BezPath) {
    let page = Flat::page(Point::ORIGIN);
    let ends = |path: &kurbo::BezPath| {
        let points = path
            .segments()
            .flat_map(|s| (0..8).map(move |i| kurbo::ParamCurve::eval(&s, f64::from(i) / 8.0)));
        points.fold(
            (Point::new(f64::MAX, 0.0), Point::new(f64::MIN, 0.0)),
            |(l, r), p| (if p.x < l.x { p } else { l }, if p.x > r.x { p } else { r }),
        )
    };
    let (a, b) = (ends(top), ends(foot));
    for (p, q) in [(a.0, b.0), (a.1, b.1)] {
        m.line(&page, &[(p.x, -p.y), (q.x, -q.y)]);
    }
}

/// An upright cylinder to scale: its top, its two sides, the front half of its foot.
fn cylinder(m: &mut Maker, eye: Eye, stand: &Stand, height: f64) {
    let (d, r) = (stand.deep, stand.wide / 2.0);
    m.circle(&stand.level(eye, height), (0.0, d / 2.0), r, Fill::Open);
    // Ellipse of a level circle: sqrt(3/2) r across, sqrt(1/2) r up the page.
    let by = r * eye.factor();
    let foot = Flat {
        at: eye.point(stand.point(0.0, d / 2.0, 0.0)),
        x: Vec2::new(1.5_f64.sqrt() * by, 0.0),
        y: Vec2::new(0.0, -0.5_f64.sqrt() * by),
    };
    m.path(foot.arc((0.0, 0.0), 1.0, 180.0, 180.0), Fill::Open);
    let up = height * eye.factor();
    let page = Flat::page(foot.at);
    let x = foot.x.x;
    for x in [-x, x] {
        m.line(&page, &[(x, 0.0), (x, up)]);
    }
}
