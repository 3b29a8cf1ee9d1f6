//! Valves, meters and stations in their pipe: plain shapes in a plane whose x runs with the flow.
//!
//! Forms are those of the trade, from memory: gate two triangles tip to tip, globe with a dot, ball with
//! a circle, check a triangle against a bar, meter a circle with M.

use wyeline_job::model::DeviceKind;

use super::flat::Flat;
use super::maker::{Fill, Maker};
use super::size::SIZES;

/// Half the width and half the height of a softener, mm.
const VESSEL: (f64, f64) = (2.2, 3.4);

/// How far a device reaches along its pipe, mm of its own measure, back and ahead of its middle.
///
/// Nothing for one that stands on the line without cutting it. A softener stands upright in a plumb pipe too.
pub fn half_length(kind: DeviceKind, plumb: bool) -> f64 {
    use DeviceKind as D;
    match kind {
        D::PressureReducingStation => 11.0,
        D::BackflowPreventer => 4.2,
        D::BackwaterValve => 3.2,
        D::Meter | D::Pump => 2.8,
        D::Softener if plumb => VESSEL.1,
        D::Softener => VESSEL.0,
        D::Strainer | D::CheckValve => 1.8,
        D::Union => 0.8,
        D::HammerArrestor | D::ExpansionTank | D::Cleanout => 0.0,
        _ => SIZES.valve_half_length,
    }
}

/// Draws a device with its middle at the plane's origin, x with the flow.
///
/// * `half`: half its length, mm of the plane; longer than [`half_length`] for stations to scale
pub fn draw(m: &mut Maker, f: &Flat, kind: DeviceKind, half: f64) {
    use DeviceKind as D;
    let (l, w) = (SIZES.valve_half_length, SIZES.valve_half_width);
    match kind {
        D::GateValve => bow_tie(m, f, Fill::White),
        D::BallValve => {
            bow_tie(m, f, Fill::White);
            m.circle(f, (0.0, 0.0), 0.95, Fill::White);
        }
        D::GlobeValve => {
            bow_tie(m, f, Fill::White);
            m.circle(f, (0.0, 0.0), 0.85, Fill::Ink);
        }
        D::CheckValve => {
            check(m, f, 1.8, w);
            arrow(m, f, (-1.8, w + 1.2), (1.8, w + 1.2));
        }
        D::BalancingValve => {
            bow_tie(m, f, Fill::White);
            for x in [-l * 0.6, l * 0.6] {
                m.line(f, &[(x, w * 0.6), (x, w + 0.9)]);
                m.circle(f, (x, w + 1.2), 0.35, Fill::Ink);
            }
            m.circle(f, (0.0, 0.0), 0.85, Fill::Ink);
        }
        D::MixingValve => {
            bow_tie(m, f, Fill::White);
            m.area(f, &[(0.0, 0.0), (w * 0.7, -l), (-w * 0.7, -l)], Fill::White);
            m.circle(f, (0.0, 0.0), 0.7, Fill::White);
        }
        D::GasCock => {
            bow_tie(m, f, Fill::White);
            m.line(f, &[(0.0, -w), (0.0, w + 0.9)]);
            m.line(f, &[(-1.4, w + 0.9), (1.4, w + 0.9)]);
        }
        D::Meter => {
            m.circle(f, (0.0, 0.0), 2.8, Fill::White);
            m.letters("M", f.at);
        }
        D::PressureReducingValve => reducing_valve(m, f),
        D::PressureReducingStation => station(m, f, half),
        D::BackflowPreventer => {
            m.area(
                f,
                &[(-half, -2.2), (half, -2.2), (half, 2.2), (-half, 2.2)],
                Fill::White,
            );
            check(m, &f.moved(-2.0, 0.0), 1.4, 1.3);
            check(m, &f.moved(2.0, 0.0), 1.4, 1.3);
            m.line(f, &[(-0.6, 0.0), (0.6, 0.0)]);
        }
        D::BackwaterValve => {
            m.area(
                f,
                &[(-half, -1.7), (half, -1.7), (half, 1.7), (-half, 1.7)],
                Fill::White,
            );
            // The cover to get at the flap, and the flap hanging from its hinge, open with the flow.
            m.line(f, &[(-1.3, 1.7), (-1.3, 2.3), (1.3, 2.3), (1.3, 1.7)]);
            m.line(f, &[(-0.7, 1.7), (1.6, -0.9)]);
            m.line(f, &[(-0.7, -1.7), (-0.7, -0.4)]);
            m.circle(f, (-0.7, 1.7), 0.35, Fill::Ink);
        }
        D::Strainer => {
            m.line(f, &[(-half, 0.0), (half, 0.0)]);
            for x in [-half, half] {
                m.line(f, &[(x, -0.9), (x, 0.9)]);
            }
            m.line(f, &[(-0.7, 0.0), (1.5, -2.2)]);
            m.line(f, &[(0.8, -2.9), (2.2, -1.5)]);
        }
        D::Union => {
            for (x, y) in [(-0.8, 1.0), (0.0, 1.6), (0.8, 1.0)] {
                m.line(f, &[(x, -y), (x, y)]);
            }
            m.line(f, &[(-0.8, 0.0), (0.8, 0.0)]);
        }
        D::Pump => {
            m.circle(f, (0.0, 0.0), half, Fill::White);
            m.area(f, &[(-1.6, -1.9), (-1.6, 1.9), (2.5, 0.0)], Fill::Ink);
        }
        D::Softener => softener(m, f),
        D::HammerArrestor => arrestor(m, f),
        D::ExpansionTank => expansion_tank(m, f),
        D::Cleanout => {
            m.line(f, &[(0.0, 0.0), (0.0, 3.0)]);
            m.line(f, &[(-1.4, 3.0), (1.4, 3.0)]);
        }
    }
}

/// A pipe's thread through a group of devices: the straight bits between them.
fn thread(m: &mut Maker, f: &Flat, stops: &[(f64, f64)]) {
    for pair in stops.windows(2) {
        m.line(f, &[(pair[0].1, 0.0), (pair[1].0, 0.0)]);
    }
}

fn bow_tie(m: &mut Maker, f: &Flat, fill: Fill) {
    let (l, w) = (SIZES.valve_half_length, SIZES.valve_half_width);
    m.area(f, &[(-l, -w), (l, w), (l, -w), (-l, w)], fill);
}

/// A triangle against a bar; the flow goes towards the bar.
fn check(m: &mut Maker, f: &Flat, l: f64, w: f64) {
    m.area(f, &[(-l, -w), (-l, w), (l, 0.0)], Fill::White);
    m.line(f, &[(l, -w), (l, w)]);
}

/// A thin arrow beside a symbol.
fn arrow(m: &mut Maker, f: &Flat, from: (f64, f64), to: (f64, f64)) {
    m.line(f, &[from, to]);
    m.area(
        f,
        &[to, (to.0 - 1.3, to.1 - 0.5), (to.0 - 1.3, to.1 + 0.5)],
        Fill::Ink,
    );
}

/// Two triangles under a diaphragm's dome.
fn reducing_valve(m: &mut Maker, f: &Flat) {
    bow_tie(m, f, Fill::White);
    let foot = SIZES.valve_half_width + 0.3;
    m.line(f, &[(0.0, 0.0), (0.0, foot)]);
    let mut dome = f.arc((0.0, foot), 1.4, 0.0, 180.0);
    dome.close_path();
    m.path(dome, Fill::White);
}

/// Valve, strainer, gauge, reducer, gauge, valve, and over them the bypass with its own valve.
fn station(m: &mut Maker, f: &Flat, half: f64) {
    let k = 0.6;
    let small = |x: f64, y: f64| f.moved(x, y).scaled(k);
    let (valve, end) = (SIZES.valve_half_length * k, half);
    let at = [-0.68 * end, -0.4 * end, 0.0, 0.68 * end];
    let strainer = half_length(DeviceKind::Strainer, false) * k;
    thread(
        m,
        f,
        &[
            (-end, -end),
            (at[0] - valve, at[0] + valve),
            (at[1] - strainer, at[1] + strainer),
            (at[2] - valve, at[2] + valve),
            (at[3] - valve, at[3] + valve),
            (end, end),
        ],
    );
    bow_tie(m, &small(at[0], 0.0), Fill::White);
    draw(
        m,
        &small(at[1], 0.0),
        DeviceKind::Strainer,
        half_length(DeviceKind::Strainer, false),
    );
    reducing_valve(m, &small(at[2], 0.0));
    bow_tie(m, &small(at[3], 0.0), Fill::White);
    for x in [-0.24 * end, 0.3 * end] {
        m.line(f, &[(x, 0.0), (x, 1.2)]);
        m.circle(f, (x, 1.9), 0.7, Fill::White);
        m.line(f, &[(x, 1.9), (x + 0.35, 2.25)]);
    }
    let (up, out) = (4.6, 0.9 * end);
    m.line(f, &[(-out, 0.0), (-out, up), (-valve, up)]);
    m.line(f, &[(valve, up), (out, up), (out, 0.0)]);
    for x in [-out, out] {
        m.circle(f, (x, 0.0), 0.45, Fill::Ink);
    }
    let bypass = small(0.0, up);
    bow_tie(m, &bypass, Fill::White);
    m.circle(&bypass, (0.0, 0.0), 0.85, Fill::Ink);
}

/// A bed of resin in an upright vessel.
fn softener(m: &mut Maker, f: &Flat) {
    let (w, h) = VESSEL;
    let mut vessel = f.arc((0.0, h - w), w, 0.0, 180.0);
    vessel.line_to(f.point((-w, -h)));
    vessel.line_to(f.point((w, -h)));
    vessel.close_path();
    m.path(vessel, Fill::White);
    m.line(f, &[(-w, 0.6), (w, 0.6)]);
    for (x, y) in [
        (-1.2, -0.3),
        (0.0, -0.9),
        (1.2, -0.3),
        (-1.2, -1.7),
        (1.2, -1.7),
        (0.0, -2.3),
    ] {
        m.circle(f, (x, y), 0.3, Fill::Ink);
    }
}

/// A closed chamber over the line, its piston drawn across; y points to its closed end.
fn arrestor(m: &mut Maker, f: &Flat) {
    m.line(f, &[(0.0, 0.0), (0.0, 1.6)]);
    let mut chamber = f.arc((0.0, 4.6), 1.1, 0.0, 180.0);
    chamber.line_to(f.point((-1.1, 1.6)));
    chamber.line_to(f.point((1.1, 1.6)));
    chamber.close_path();
    m.path(chamber, Fill::White);
    m.area(
        f,
        &[(-1.1, 2.9), (1.1, 2.9), (1.1, 3.5), (-1.1, 3.5)],
        Fill::Ink,
    );
}

/// A small round-ended tank with its diaphragm.
fn expansion_tank(m: &mut Maker, f: &Flat) {
    m.line(f, &[(0.0, 0.0), (0.0, 1.4)]);
    let mut tank = f.arc((0.0, 5.4), 2.0, 0.0, 180.0);
    tank.line_to(f.point((-2.0, 3.4)));
    for el in f
        .arc((0.0, 3.4), 2.0, 180.0, 180.0)
        .elements()
        .iter()
        .skip(1)
    {
        tank.push(*el);
    }
    tank.close_path();
    m.path(tank, Fill::White);
    m.line(f, &[(-2.0, 4.4), (-0.7, 4.0), (0.7, 4.8), (2.0, 4.4)]);
}
