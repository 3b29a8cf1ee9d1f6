//! The projection against the angles and lengths of an isometric drawing.
//!
//! Values with four decimals were worked out apart from this code, from u = (r - l) cos 30 and
//! v = (r + l)/2 + z; the rest is derived beside each case.

use std::f64::consts::FRAC_1_SQRT_2;

use glam::DVec3;

use super::angle_and_ratio;
use crate::view::Corner;

const EAST: DVec3 = DVec3::X;
const NORTH: DVec3 = DVec3::Y;
const UP: DVec3 = DVec3::Z;

/// The compass directions that go away to the right and to the left, by the viewer's corner.
fn away(corner: Corner) -> (DVec3, DVec3) {
    match corner {
        Corner::Sw => (EAST, NORTH),
        Corner::Se => (NORTH, -EAST),
        Corner::Ne => (-EAST, -NORTH),
        Corner::Nw => (-NORTH, EAST),
    }
}

fn check(corner: Corner, d: DVec3, angle: f64, ratio: f64) {
    let (a, r) = angle_and_ratio(corner, d);
    let off = (a - angle + 180.0).rem_euclid(360.0) - 180.0;
    assert!(
        off.abs() < 0.01,
        "{corner:?} {d}: {a} instead of {angle} degrees"
    );
    assert!(
        (r - ratio).abs() < 1e-4,
        "{corner:?} {d}: {r} instead of {ratio}"
    );
}

/// Standing south-west one sees east go up to the right (30) and north up to the left (150); each
/// corner further counter-clockwise turns the compass by one place.
#[test]
fn compass_directions_from_the_four_corners() {
    for (corner, east, north) in [
        (Corner::Sw, 30.0, 150.0),
        (Corner::Se, 330.0, 30.0),
        (Corner::Ne, 210.0, 330.0),
        (Corner::Nw, 150.0, 210.0),
    ] {
        check(corner, EAST, east, 1.0);
        check(corner, NORTH, north, 1.0);
        check(corner, -EAST, (east + 180.0) % 360.0, 1.0);
        check(corner, -NORTH, (north + 180.0) % 360.0, 1.0);
        check(corner, UP, 90.0, 1.0);
    }
}

/// The six 45s: straight away stands upright at sqrt(1/2), across lies level at sqrt(3/2); rising as they
/// go away 60 and 120 at sqrt(3/2), falling as they go away 330 and 210 at sqrt(1/2), along the other axis.
#[test]
fn the_six_45s_from_every_corner() {
    let (short, long) = (0.5_f64.sqrt(), 1.5_f64.sqrt());
    for corner in Corner::ALL {
        let (right, left) = away(corner);
        check(corner, right + left, 90.0, short);
        check(corner, right - left, 0.0, long);
        check(corner, right + UP, 60.0, long);
        check(corner, right - UP, 330.0, short);
        check(corner, left + UP, 120.0, long);
        check(corner, left - UP, 210.0, short);
    }
}

/// Fitting angle; then angle and ratio of a level run turned towards the left axis, of one turned
/// towards the front, of a rising and of a falling one in the right axis's upright plane.
#[test]
fn other_fitting_angles() {
    let table = [
        (
            22.5,
            [
                (54.3429, 0.8040),
                (13.4495, 1.1634),
                (46.5505, 1.1634),
                (5.6571, 0.8040),
            ],
        ),
        (
            60.0,
            [
                (114.8961, 0.7530),
                (351.2060, 1.1971),
                (68.7940, 1.1971),
                (305.1039, 0.7530),
            ],
        ),
        (
            11.25,
            [
                (40.8292, 0.8993),
                (21.0953, 1.0915),
                (38.9047, 1.0915),
                (19.1708, 0.8993),
            ],
        ),
        (
            72.0,
            [
                (131.4292, 0.8403),
                (343.6075, 1.1375),
                (76.3925, 1.1375),
                (288.5708, 0.8403),
            ],
        ),
    ];
    for corner in Corner::ALL {
        let (right, left) = away(corner);
        for (degrees, rows) in table {
            let (sin, cos) = f64::to_radians(degrees).sin_cos();
            for (side, (angle, ratio)) in [left, -left, UP, -UP].into_iter().zip(rows) {
                check(corner, right * cos + side * sin, angle, ratio);
            }
        }
    }
}

/// Rise 8 in and roll 12 in to the north on a heading east: advance sqrt(8² + 12²) = 14.422; with 45 degree
/// fittings the run is as long, with 22.5 it is 2.41421 times that. Angle, paper length in, by corner.
#[test]
fn rolling_offset_of_8_and_12() {
    let advance = (8.0_f64 * 8.0 + 12.0 * 12.0).sqrt();
    let table = [
        (
            1.0,
            [
                (Corner::Sw, 84.35, 21.31),
                (Corner::Se, 16.52, 23.87),
                (Corner::Ne, 248.07, 5.62),
                (Corner::Nw, 158.07, 24.67),
            ],
        ),
        (
            2.414_213_56,
            [
                (Corner::Sw, 57.82, 37.11),
                (Corner::Se, 355.19, 40.69),
                (Corner::Ne, 217.95, 25.06),
                (Corner::Nw, 154.42, 44.95),
            ],
        ),
    ];
    for (run, rows) in table {
        let travel = DVec3::new(advance * run, 12.0, 8.0);
        for (corner, angle, length) in rows {
            let (a, r) = angle_and_ratio(corner, travel);
            assert!(
                (a - angle).abs() < 0.0051,
                "{corner:?}: {a} instead of {angle}"
            );
            assert!((r * travel.length() - length).abs() < 0.0051, "{corner:?}");
        }
    }
}

/// P0 (0, 0), 4 ft east to P1, 45 to the north-east with 3 ft legs to P2 (7, 3), 4 ft north to P3: u = (r - l) cos 30 and
/// v = (r + l)/2 in feet, for instance P2 from south-east: r = 3, l = -7: u = 8.660, v = -2.
#[test]
fn a_level_45_with_3_ft_legs() {
    let c = 3.0_f64.sqrt() / 2.0;
    let points = [
        DVec3::new(4.0, 0.0, 0.0),
        DVec3::new(7.0, 3.0, 0.0),
        DVec3::new(7.0, 7.0, 0.0),
    ];
    for (corner, expected) in [
        (Corner::Sw, [(4.0 * c, 2.0), (4.0 * c, 5.0), (0.0, 7.0)]),
        (
            Corner::Se,
            [(4.0 * c, -2.0), (10.0 * c, -2.0), (14.0 * c, 0.0)],
        ),
        (
            Corner::Ne,
            [(-4.0 * c, -2.0), (-4.0 * c, -5.0), (0.0, -7.0)],
        ),
        (
            Corner::Nw,
            [(-4.0 * c, 2.0), (-10.0 * c, 2.0), (-14.0 * c, 0.0)],
        ),
    ] {
        let projection = crate::Projection::new(corner, wyeline_units::Scale(1));
        for (p, (u, v)) in points.into_iter().zip(expected) {
            let at = projection.point(p);
            assert!(
                (at.x - u).abs() < 1e-9 && (-at.y - v).abs() < 1e-9,
                "{corner:?} {p}: {at}"
            );
        }
    }
}

/// 1/4 in per ft is 1 in 48. On the right axis, falling as it goes away, v = 1/2 - 1/48 over u = cos 30.
#[test]
fn slopes_turn_the_line_by_a_degree_or_two() {
    for (fall, away_falling, away_rising) in [
        (1.0 / 96.0, 29.4804, 30.5142),
        (1.0 / 48.0, 28.9555, 31.0230),
        (1.0 / 24.0, 27.8895, 32.0244),
    ] {
        for corner in Corner::ALL {
            let (right, _) = away(corner);
            let angle = |d| angle_and_ratio(corner, d).0;
            assert!((angle(right - UP * fall) - away_falling).abs() < 0.01);
            assert!((angle(right + UP * fall) - away_rising).abs() < 0.01);
        }
    }
}

/// A circle of diameter 1 in any of the three planes: greatest diameter sqrt(3/2), least sqrt(1/2), the
/// least along the paper direction of the axis square to the plane.
#[test]
fn circles_are_ellipses_in_their_plane() {
    for corner in Corner::ALL {
        let (right, left) = away(corner);
        let projection = crate::Projection::new(corner, wyeline_units::Scale(1));
        for (a, b, square) in [(right, left, UP), (right, UP, left), (left, UP, right)] {
            let diameters: Vec<_> = (0..3600)
                .map(|k| f64::from(k) * std::f64::consts::PI / 3600.0)
                .map(|t| projection.vector(a * t.cos() + b * t.sin()))
                .collect();
            let least = diameters
                .iter()
                .min_by(|p, q| p.hypot().total_cmp(&q.hypot()))
                .unwrap();
            let most = diameters.iter().map(|d| d.hypot()).fold(0.0, f64::max);
            assert!((most - 1.5_f64.sqrt()).abs() < 1e-6);
            assert!((least.hypot() - FRAC_1_SQRT_2).abs() < 1e-6);
            let axis = projection.vector(square);
            assert!(
                least.normalize().cross(axis).abs() < 1e-3,
                "{corner:?} {square}"
            );
        }
    }
}
