//! Each symbol once, at the origin with a bit of its pipe, for the legend.

use glam::DVec3;
use kurbo::{Point, Vec2};
use wyeline_job::model::DeviceKind;
use wyeline_units::Scale;

use super::device;
use super::fitting;
use super::flat::{Eye, Flat};
use super::form::{Form, Stand, from_above};
use super::maker::Maker;
use super::size::SIZES;
use crate::ink::{Colour, Pattern, Pen, Weight};
use crate::lettering;
use crate::picture::{Symbol, SymbolKind};
use crate::project::Projection;
use crate::view::Corner;

/// Half-length of the bit of pipe a sample is drawn with, mm.
const LEAD: f64 = 4.0;

/// Devices in the order of the legend.
const DEVICES: [DeviceKind; 19] = [
    DeviceKind::GateValve,
    DeviceKind::BallValve,
    DeviceKind::GlobeValve,
    DeviceKind::CheckValve,
    DeviceKind::BalancingValve,
    DeviceKind::MixingValve,
    DeviceKind::GasCock,
    DeviceKind::Meter,
    DeviceKind::PressureReducingValve,
    DeviceKind::PressureReducingStation,
    DeviceKind::BackflowPreventer,
    DeviceKind::BackwaterValve,
    DeviceKind::Strainer,
    DeviceKind::Union,
    DeviceKind::HammerArrestor,
    DeviceKind::ExpansionTank,
    DeviceKind::Pump,
    DeviceKind::Softener,
    DeviceKind::Cleanout,
];

/// Every kind of symbol, in the order of the legend.
pub fn all_kinds() -> Vec<SymbolKind> {
    use SymbolKind as K;
    let mut kinds = vec![
        K::Bend,
        K::Junction,
        K::Reducer,
        K::Trap,
        K::Cleanout,
        K::ClosetFlange,
        K::FloorDrain,
        K::Outlet,
        K::Stub,
        K::GasOutlet,
        K::RoofEnd,
        K::Cap,
        K::Break,
        K::Match,
        K::Loose,
        K::Start,
        K::Fixture,
    ];
    // A cleanout is drawn by its own kind of symbol.
    kinds.extend(
        DEVICES
            .iter()
            .filter(|d| **d != DeviceKind::Cleanout)
            .map(|d| K::Device(*d)),
    );
    kinds.extend([K::RiserUp, K::RiserDown, K::LevelMark]);
    kinds
}

/// The symbol on a bit of level pipe that goes up to the right, its middle near the origin; paper mm.
pub fn sample(kind: SymbolKind) -> Symbol {
    sample_along(kind, DVec3::X)
}

/// The same on a pipe going another way, seen from the south-west.
pub fn sample_along(kind: SymbolKind, way: DVec3) -> Symbol {
    let eye = Eye::Iso(Projection::new(Corner::Sw, Scale(1)));
    let way = way.try_normalize().unwrap_or(DVec3::X);
    let mut s = Sample {
        eye,
        way,
        m: Maker::with(Pen {
            width: 0.5,
            pattern: Pattern::Solid,
            colour: Colour::BLACK,
        }),
    };
    s.draw(kind);
    s.m.finish(kind, None, None)
}

struct Sample {
    eye: Eye,
    way: DVec3,
    m: Maker,
}

impl Sample {
    fn flat(&self) -> Flat {
        self.eye.along(Point::ORIGIN, self.way)
    }

    /// A pipe along the sample's way, its stretches given along it.
    fn pipe(&mut self, stretches: &[(f64, f64)]) {
        let flat = self.flat();
        self.m.width(0.5);
        for (a, b) in stretches {
            self.m.line(&flat, &[(*a, 0.0), (*b, 0.0)]);
        }
        self.m.width(SIZES.pen);
    }

    /// A pipe along another way from the origin.
    fn branch(&mut self, way: DVec3, from: f64, to: f64) {
        let unit = self.eye.unit(way);
        self.m.width(0.5);
        let page = Flat::page(Point::ORIGIN);
        self.m.line(
            &page,
            &[(unit.x * from, -unit.y * from), (unit.x * to, -unit.y * to)],
        );
        self.m.width(SIZES.pen);
    }

    /// A direction square to the pipe.
    fn square(&self) -> DVec3 {
        if self.way.z.abs() > 0.9 {
            DVec3::X
        } else {
            DVec3::Z
        }
    }

    fn draw(&mut self, kind: SymbolKind) {
        use SymbolKind as K;
        let flat = self.flat();
        let level = self.eye.level(Point::ORIGIN);
        let origin = Point::ORIGIN;
        self.m.width(SIZES.pen);
        match kind {
            K::Bend => {
                let r = SIZES.bend;
                self.pipe(&[(-LEAD, -r)]);
                self.branch(self.square(), r, LEAD);
                self.m.width(0.5);
                let to = self.eye.unit(self.square());
                fitting::bend(&mut self.m, origin, -flat.x, to, (r, r));
            }
            K::Junction => {
                self.pipe(&[(-LEAD, LEAD)]);
                let side = if self.way.z.abs() > 0.9 {
                    DVec3::X
                } else {
                    self.way.cross(DVec3::Z)
                };
                self.branch(side, 0.0, LEAD);
                let unit = self.eye.unit(side);
                let legs = SIZES.throat_level;
                fitting::throat(&mut self.m, origin, unit * legs, flat.x * legs);
            }
            K::Reducer => {
                let r = fitting::REDUCER;
                self.pipe(&[(-LEAD, -r), (r, LEAD)]);
                fitting::reducer(&mut self.m, &flat);
            }
            K::Trap => self.trap(),
            K::Cleanout | K::Device(DeviceKind::Cleanout) => {
                self.pipe(&[(-LEAD, 0.0)]);
                fitting::cleanout_end(&mut self.m, &flat);
                let width = lettering::width("CO", SIZES.letters, Weight::Regular);
                let at = fitting::beyond(flat.point((0.9, 0.0)), flat.x, width, SIZES.letters);
                self.m.letters("CO", at);
            }
            K::ClosetFlange => {
                self.branch(-DVec3::Z, 1.7, LEAD);
                fitting::closet_flange(&mut self.m, &level);
            }
            K::FloorDrain => {
                self.branch(-DVec3::Z, 2.3, LEAD);
                fitting::floor_drain(&mut self.m, &level);
            }
            K::Outlet => {
                self.branch(-DVec3::Z, 0.9, LEAD);
                fitting::outlet(&mut self.m, &level);
            }
            K::Stub => {
                self.pipe(&[(-LEAD, 0.0)]);
                let room = if self.way.y.abs() > 0.9 {
                    -DVec3::X
                } else {
                    -DVec3::Y
                };
                fitting::stub_into(&mut self.m, &self.eye.along(origin, room), 0.5);
            }
            K::GasOutlet => {
                self.pipe(&[(-LEAD, 0.0)]);
                fitting::gas_outlet(&mut self.m, &Flat::sign(origin, flat.x));
            }
            K::RoofEnd => {
                self.branch(-DVec3::Z, 0.7, 2.6);
                self.branch(-DVec3::Z, 4.5 + fitting::COLLAR, 9.0);
                let down = self.eye.unit(-DVec3::Z);
                fitting::collar(&mut self.m, &self.eye.level(origin + down * 4.5));
                fitting::open_end(&mut self.m, &level);
            }
            K::Cap => {
                self.pipe(&[(-LEAD, 0.0)]);
                fitting::cap(&mut self.m, &flat);
            }
            K::Break => {
                self.pipe(&[(-LEAD, 0.0)]);
                fitting::break_mark(&mut self.m, &Flat::sign(origin, flat.x));
            }
            K::Match => {
                self.pipe(&[(-LEAD, 0.0)]);
                fitting::match_bar(&mut self.m, &Flat::sign(origin, flat.x));
            }
            K::Loose => {
                self.pipe(&[(-LEAD, 0.0)]);
                let mut fault = Maker::new(fitting::FAULT);
                fitting::loose(&mut fault, origin, flat.x);
                self.m.absorb(fault);
            }
            K::Start => {
                self.pipe(&[(-LEAD, 0.0)]);
                fitting::start(&mut self.m, &Flat::sign(origin, flat.x));
            }
            K::Fixture => {
                self.m = Maker::with(Pen {
                    width: SIZES.fixture_pen,
                    pattern: Pattern::Solid,
                    colour: Colour::BLACK,
                });
                // A lavatory, 8 mm across on the sheet.
                let stand = Stand {
                    back: DVec3::ZERO,
                    right: DVec3::X,
                    out: -DVec3::Y,
                    wide: 8.0,
                    deep: 7.0,
                };
                from_above(
                    &mut self.m,
                    &stand.level(self.eye, 0.0),
                    Form::Lavatory,
                    &stand,
                    None,
                );
            }
            K::Device(device) => self.device(device),
            K::RiserUp => fitting::riser(&mut self.m, origin, true),
            K::RiserDown => fitting::riser(&mut self.m, origin, false),
            K::LevelMark => fitting::level_mark(&mut self.m, origin),
        }
    }

    fn trap(&mut self) {
        let r = SIZES.trap_radius;
        let x = if self.way.z.abs() > 0.9 {
            DVec3::X
        } else {
            self.way
        };
        let flat = Flat {
            at: Point::ORIGIN,
            x: self.eye.unit(x),
            y: self.eye.unit(DVec3::Z),
        };
        self.m.width(0.5);
        self.m
            .line(&flat, &[(fitting::trap_reach(r), 0.0), (LEAD + 3.0, 0.0)]);
        self.m.line(&flat, &[(0.0, LEAD), (0.0, 0.0)]);
        fitting::trap(&mut self.m, &flat, r, false);
    }

    fn device(&mut self, kind: DeviceKind) {
        let plumb = self.way.z.abs() > 0.9;
        let half = device::half_length(kind, plumb);
        if matches!(kind, DeviceKind::HammerArrestor | DeviceKind::ExpansionTank) {
            self.pipe(&[(-LEAD, LEAD)]);
        } else {
            self.pipe(&[(-half - 2.5, -half), (half, half + 2.5)]);
        }
        let mut flat = self.flat();
        if kind == DeviceKind::Softener && plumb {
            flat = self.eye.flat(Point::ORIGIN, DVec3::X, DVec3::Z);
        }
        if kind == DeviceKind::MixingValve {
            let unit: Vec2 = -flat.y;
            let (from, to) = (SIZES.valve_half_length, SIZES.valve_half_length + 2.5);
            self.m.width(0.5);
            let page = Flat::page(Point::ORIGIN);
            self.m.line(
                &page,
                &[(unit.x * from, -unit.y * from), (unit.x * to, -unit.y * to)],
            );
            self.m.width(SIZES.pen);
        }
        device::draw(&mut self.m, &flat, kind, half);
    }
}
