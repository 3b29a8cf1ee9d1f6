//! Where devices sit in their pipes, how much of them they take up, and which way cleanouts look.

use glam::DVec3;
use kurbo::Point;
use wyeline_job::model::DeviceKind;
use wyeline_network::model::{Device, NodeIx, NodeKind};

use super::device;
use super::fitting;
use super::flat::{Eye, Flat};
use super::maker::Maker;
use super::place::{Arm, Work, fit};
use super::size::SIZES;
use crate::ink::Pattern;
use crate::picture::SymbolKind;

/// Clear line between a node and a device placed beside it, mm.
const APART: f64 = 1.2;

impl Work<'_> {
    /// A device at a node: in the middle of two pipes in line, else on the pipe ahead of the node or at the end.
    pub(super) fn device(&mut self, ix: NodeIx, told: &Device, at: Point) {
        let kind = SymbolKind::Device(told.kind);
        let first = self.arms[0];
        // "Ahead" is along the run as told: upstream for what drains, with the flow for all else.
        let ahead = |a: &&Arm| a.leaves != a.system.drains();
        let ahead = self.arms.iter().find(ahead).copied().unwrap_or(first);
        let opposite = self
            .arms
            .iter()
            .find(|a| a.mark != ahead.mark && a.way.dot(ahead.way) < -0.9)
            .copied();
        if told.kind == DeviceKind::Cleanout {
            self.cleanout(ix, at, &ahead);
            return;
        }
        if matches!(
            told.kind,
            DeviceKind::HammerArrestor | DeviceKind::ExpansionTank
        ) {
            let mut m = self.maker(&first);
            let line = self.eye.along(at, first.way);
            // At an end the chamber goes on with the pipe, in line it stands on it.
            let flat = if self.arms.len() == 1 {
                Flat {
                    at,
                    x: line.y,
                    y: -line.x,
                }
            } else {
                line
            };
            device::draw(&mut m, &flat, told.kind, 0.0);
            self.keep(m, kind, ix);
            return;
        }
        let flow = if ahead.leaves { ahead.way } else { -ahead.way };
        let scaled = told.length_mm.unwrap_or(0.0);
        let to_scale = if scaled > SIZES.to_scale_from {
            scaled * self.eye.factor() / 2.0
        } else {
            0.0
        };
        let plumb = flow.z.abs() > 0.9 && matches!(self.eye, Eye::Iso(_));
        let own = device::half_length(told.kind, plumb);
        let stretch = self.eye.along(at, flow).x.hypot();
        let centred = opposite.filter(|_| told.length_mm.is_none() && self.arms.len() == 2);
        let room = centred.map_or(ahead.length - APART, |o| {
            2.0 * ahead.length.min(o.length) * 0.8
        });
        let k = fit(room / 2.0 / stretch, own);
        let half = (own * k * stretch).max(to_scale * stretch);
        let offset = if centred.is_some() {
            0.0
        } else {
            half.max(scaled * self.eye.factor() * stretch / 2.0)
                + if told.length_mm.is_some() { 0.0 } else { APART }
        };
        let middle = at + ahead.on * offset;
        let mut m = self.maker(&ahead);
        let mut flat = self.eye.along(middle, flow);
        if told.kind == DeviceKind::MixingValve
            && let Some(third) = self.arms.iter().find(|a| a.way.dot(ahead.way).abs() < 0.3)
        {
            // The port to the third pipe points towards it.
            flat.y = -self.eye.unit(third.way);
        }
        if told.kind == DeviceKind::Softener && plumb {
            // A vessel stands upright however its pipe runs.
            flat = self.eye.flat(middle, DVec3::X, DVec3::Z);
        }
        device::draw(&mut m, &flat.scaled(k), told.kind, half / k / stretch);
        self.cut(&ahead, at, offset - half, offset + half);
        if let Some(other) = opposite.filter(|_| offset < half) {
            self.cut(&other, at, -1.0, half - offset);
        }
        self.keep(m, kind, ix);
    }

    /// A cleanout: the end of a line, or a short stub off it, closed by bar and plug; its letters are a label's.
    fn cleanout(&mut self, ix: NodeIx, at: Point, ahead: &Arm) {
        let pen = self.picture.pipes[ahead.mark].pen;
        let mut m = Maker::with(crate::ink::Pen {
            width: pen.width,
            pattern: Pattern::Solid,
            colour: pen.colour,
        });
        let start = self.network.node(ix).kind == NodeKind::Start;
        let corner = self.arms.iter().find(|a| a.way.z.abs() < 0.3).filter(|l| {
            self.arms.len() == 2
                && self
                    .arms
                    .iter()
                    .any(|o| o.mark != l.mark && o.way.dot(l.way).abs() < 0.3)
        });
        // In plan the stack over it is no arm, but hides its end.
        let hidden = self.network.node(ix).pipes.len() > 1;
        let (way, stub) = if self.arms.len() == 1 && !start {
            (-ahead.way, if hidden { 3.0 } else { 0.0 })
        } else if let Some(level) = corner {
            // At the foot of a stack it looks on along the level drain.
            (-level.way, 3.0)
        } else if ahead.way.z.abs() > 0.7 {
            // In a stack it looks out square to it, to the right on paper.
            (
                if self.eye.unit(DVec3::X).x > 0.0 {
                    DVec3::X
                } else {
                    DVec3::NEG_X
                },
                3.0,
            )
        } else {
            (DVec3::Z, 3.0)
        };
        let flat = match self.eye {
            // From above, a cleanout that rises is drawn beside the line.
            Eye::Plan(_) if way.z > 0.5 => {
                let line = self.eye.along(at, ahead.way);
                Flat {
                    at,
                    x: line.y,
                    y: line.x,
                }
            }
            _ => self.eye.along(at, way),
        };
        if stub > 0.0 {
            m.line(&flat, &[(0.0, 0.0), (stub, 0.0)]);
        }
        m.width(SIZES.pen);
        let end = flat.moved(stub, 0.0);
        fitting::cleanout_end(&mut m, &end);
        self.keep(m, SymbolKind::Cleanout, ix);
    }
}
