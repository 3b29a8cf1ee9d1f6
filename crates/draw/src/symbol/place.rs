//! Which symbol stands at which node, in which plane, and how much of each pipe it covers.

use glam::DVec3;
use kurbo::{Point, Vec2};
use wyeline_job::model::{DeviceKind, System};
use wyeline_network::model::{Node, NodeIx, NodeKind};
use wyeline_network::{Network, way};

use super::fitting;
use super::flat::{Eye, Flat};
use super::form::Form;
use super::maker::Maker;
use super::size::SIZES;
use super::trim::remove;
use crate::ink::Pattern;
use crate::picture::{Picture, Symbol, SymbolKind};

/// A pipe's line ends at its node if it comes this near, mm: a break at a crossing may have taken the rest.
const REACH: f64 = 6.0;

/// One pipe as it leaves a node.
#[derive(Clone, Copy)]
pub(super) struct Arm {
    /// Index of its mark.
    pub(super) mark: usize,
    /// Unit direction away from the node, in space.
    pub(super) way: DVec3,
    /// Unit direction away from the node, on paper.
    pub(super) on: Vec2,
    /// Its length on paper, mm.
    pub(super) length: f64,
    /// The flow goes away from the node in it.
    pub(super) leaves: bool,
    pub(super) system: System,
}

pub(super) struct Work<'a> {
    pub(super) network: &'a Network,
    pub(super) eye: Eye,
    true_fall: bool,
    pub(super) picture: &'a mut Picture,
    mark_of: Vec<u32>,
    /// By mark: whether its line reaches the upstream, the downstream node.
    reached: Vec<(bool, bool)>,
    pub(super) arms: Vec<Arm>,
    made: Vec<Symbol>,
}

/// Adds the symbols of all nodes; returns by node whether it is seen.
pub fn add(network: &Network, eye: Eye, true_fall: bool, picture: &mut Picture) -> Vec<bool> {
    let mut seen = vec![false; network.nodes.len()];
    let mut work = Work {
        network,
        eye,
        true_fall,
        mark_of: vec![u32::MAX; network.pipes.len()],
        reached: Vec::with_capacity(picture.pipes.len()),
        arms: Vec::new(),
        made: Vec::with_capacity(picture.pipes.len()),
        picture,
    };
    let mut nodes = Vec::with_capacity(work.picture.pipes.len() + 1);
    for i in 0..work.picture.pipes.len() {
        let mark = &work.picture.pipes[i];
        let pipe = network.pipe(mark.pipe);
        work.mark_of[mark.pipe.0 as usize] = i as u32;
        let near = |node: NodeIx, end: Option<Point>| {
            work.picture.reaches(mark.pipe, node)
                && end.is_some_and(|p| p.distance(work.point(node)) < REACH)
        };
        let ends = (
            mark.pieces.first().map(|p| p.0),
            mark.pieces.last().map(|p| p.1),
        );
        let reached = (near(pipe.from, ends.0), near(pipe.to, ends.1));
        for (node, reached) in [(pipe.from, reached.0), (pipe.to, reached.1)] {
            if reached && !seen[node.0 as usize] {
                seen[node.0 as usize] = true;
                nodes.push(node);
            }
        }
        work.reached.push(reached);
    }
    for node in nodes {
        work.node(node);
    }
    let made = work.made;
    picture.symbols.extend(made);
    seen
}

impl Work<'_> {
    fn at(&self, node: NodeIx) -> DVec3 {
        let node = self.network.node(node);
        if self.true_fall {
            node.at
        } else {
            node.drawn()
        }
    }

    /// Where a node is drawn, pulled aside or not.
    fn point(&self, node: NodeIx) -> Point {
        self.eye.point(self.at(node)) + self.picture.moved(node)
    }

    /// Collects the pipes that leave a node on paper.
    fn collect(&mut self, ix: NodeIx) {
        self.arms.clear();
        let here = self.at(ix);
        let here_on_paper = self.eye.point(here);
        for &pipe_ix in &self.network.node(ix).pipes {
            let mark = self.mark_of[pipe_ix.0 as usize] as usize;
            if mark >= self.picture.pipes.len() {
                continue;
            }
            let pipe = self.network.pipe(pipe_ix);
            let leaves = pipe.from == ix;
            let other = self.at(if leaves { pipe.to } else { pipe.from });
            let on = self.eye.point(other) - here_on_paper;
            let reached = self.reached[mark];
            let reached = if leaves { reached.0 } else { reached.1 };
            let (Some(way), true) = ((other - here).try_normalize(), on.hypot() > 1e-6 && reached)
            else {
                continue;
            };
            let (length, on) = (on.hypot(), on.normalize());
            self.arms.push(Arm {
                mark,
                way,
                on,
                length,
                leaves,
                system: pipe.system,
            });
        }
    }

    /// Starts a symbol in the colour and weight of a pipe.
    pub(super) fn maker(&self, arm: &Arm) -> Maker {
        let pen = self.picture.pipes[arm.mark].pen;
        // Symbols on existing pipe are as thin as the pipe.
        Maker::with(crate::ink::Pen {
            width: SIZES.pen.min(pen.width),
            pattern: Pattern::Solid,
            colour: pen.colour,
        })
    }

    /// Cuts a pipe from one distance of the node to another.
    pub(super) fn cut(&mut self, arm: &Arm, at: Point, from: f64, to: f64) {
        remove(&mut self.picture.pipes[arm.mark], at, arm.on, from, to);
    }

    pub(super) fn keep(&mut self, m: Maker, kind: SymbolKind, ix: NodeIx) {
        let fixture = self.network.node(ix).fixture;
        self.made.push(m.finish(kind, Some(ix), fixture));
    }

    fn node(&mut self, ix: NodeIx) {
        self.collect(ix);
        let Some(first) = self.arms.first().copied() else {
            return;
        };
        let network = self.network;
        let node = network.node(ix);
        let at = self.point(ix);
        let single = self.arms.len() == 1;
        match &node.kind {
            NodeKind::Turn | NodeKind::Junction | NodeKind::Inline | NodeKind::ArmEnd => {
                self.joint(ix, at);
            }
            NodeKind::Port => {}
            NodeKind::Trap => self.trap(ix, at),
            NodeKind::Outlet => self.outlet(ix, node, at, &first),
            _ if !single => self.joint(ix, at),
            NodeKind::Start => self.start(ix, at, &first),
            NodeKind::Stub => self.stub(ix, node, at, &first),
            NodeKind::Cap if end_device(node).is_none() => {
                let mut m = self.maker(&first);
                fitting::cap(&mut m, &self.eye.along(at, -first.way));
                self.keep(m, SymbolKind::Cap, ix);
            }
            NodeKind::Cap => {}
            NodeKind::RoofEnd => self.roof_end(ix, node, at, &first),
            NodeKind::Continues { .. } => {
                let mut m = self.maker(&first);
                fitting::break_mark(&mut m, &Flat::sign(at, -first.on));
                self.keep(m, SymbolKind::Break, ix);
            }
            NodeKind::Loose => {
                let mut m = Maker::new(fitting::FAULT);
                fitting::loose(&mut m, at, -first.on);
                self.keep(m, SymbolKind::Loose, ix);
            }
        }
        if let Some(told) = &node.device {
            self.device(ix, told, at);
        }
    }

    /// A bend, a joint of three or more, a change of size, or nothing.
    fn joint(&mut self, ix: NodeIx, at: Point) {
        match self.arms.len() {
            0 | 1 => {}
            2 => {
                let (a, b) = (self.arms[0], self.arms[1]);
                let straight = a.way.dot(b.way) < -0.995;
                if !straight {
                    self.bend(ix, at, &a, &b);
                }
                // A change of size at a tee is in the tee, also where its branch is not in the picture.
                if self.network.node(ix).pipes.len() == 2 {
                    self.reducer(
                        ix,
                        at,
                        &a,
                        &b,
                        if straight {
                            0.0
                        } else {
                            SIZES.bend + fitting::REDUCER + 0.4
                        },
                    );
                }
            }
            _ => self.junction(ix, at),
        }
    }

    fn bend(&mut self, ix: NodeIx, at: Point, a: &Arm, b: &Arm) {
        let reach = |arm: &Arm| SIZES.bend.min(0.4 * arm.length);
        let pen = self.picture.pipes[if a.leaves { b.mark } else { a.mark }].pen;
        let mut m = Maker::with(crate::ink::Pen {
            pattern: Pattern::Solid,
            ..pen
        });
        fitting::bend(&mut m, at, a.on, b.on, (reach(a), reach(b)));
        self.cut(a, at, -1.0, reach(a));
        self.cut(b, at, -1.0, reach(b));
        self.keep(m, SymbolKind::Bend, ix);
    }

    fn junction(&mut self, ix: NodeIx, at: Point) {
        let drains = self.arms.iter().filter(|a| a.system.drains()).count();
        let out = self
            .arms
            .iter()
            .find(|a| a.system.drains() && a.leaves)
            .copied();
        let chief = out.unwrap_or(self.arms[0]);
        let pen = self.picture.pipes[chief.mark].pen;
        let mut m = Maker::with(crate::ink::Pen {
            pattern: Pattern::Solid,
            width: SIZES.pen,
            ..pen
        });
        let mut throats = 0;
        if let Some(out) = out.filter(|_| drains >= 2) {
            for i in 0..self.arms.len() {
                let arm = self.arms[i];
                let square = arm.way.dot(out.way).abs() < 0.3;
                if !arm.system.drains() || arm.leaves || !square {
                    continue;
                }
                let level = arm.way.z.abs() < 0.3 && out.way.z.abs() < 0.3;
                let legs = if level {
                    SIZES.throat_level
                } else {
                    SIZES.throat_upright
                };
                let legs = legs.min(0.4 * arm.length).min(0.4 * out.length);
                fitting::throat(&mut m, at, arm.on * legs, out.on * legs);
                throats += 1;
            }
        }
        if throats == 0 {
            fitting::dot(
                &mut m,
                at,
                if drains >= 2 {
                    SIZES.drain_dot
                } else {
                    SIZES.joint_dot
                },
            );
        }
        self.keep(m, SymbolKind::Junction, ix);
    }

    /// A reducer on the smaller of two pipes in line, `offset` mm from the node.
    fn reducer(&mut self, ix: NodeIx, at: Point, a: &Arm, b: &Arm, offset: f64) {
        let size = |arm: &Arm| {
            let pipe = self.network.pipe(self.picture.pipes[arm.mark].pipe);
            pipe.size.zip(pipe.bore_mm.or(pipe.size.map(nominal_mm)))
        };
        let (Some((size_a, bore_a)), Some((size_b, bore_b))) = (size(a), size(b)) else {
            return;
        };
        if size_a == size_b {
            return;
        }
        let (small, large) = if bore_a < bore_b { (*a, *b) } else { (*b, *a) };
        let k = fit(
            if offset > 0.0 {
                small.length - offset
            } else {
                small.length.min(large.length)
            },
            fitting::REDUCER,
        );
        let half = fitting::REDUCER * k;
        let middle = at + small.on * offset;
        let mut m = self.maker(&large);
        fitting::reducer(&mut m, &self.eye.along(middle, small.way).scaled(k));
        let x = self.eye.along(middle, small.way).x.hypot();
        self.cut(&small, at, offset - half * x, offset + half * x);
        self.cut(&large, at, -half * x - offset, half * x - offset);
        self.keep(m, SymbolKind::Reducer, ix);
    }

    fn start(&mut self, ix: NodeIx, at: Point, arm: &Arm) {
        let mut m = self.maker(arm);
        let flat = if arm.leaves {
            // The flow comes out of the arrow's tip into the pipe.
            Flat::sign(at, arm.on).moved(-fitting::START, 0.0)
        } else {
            Flat::sign(at, -arm.on)
        };
        fitting::start(&mut m, &flat);
        self.keep(m, SymbolKind::Start, ix);
    }

    fn stub(&mut self, ix: NodeIx, node: &Node, at: Point, arm: &Arm) {
        let mut m = self.maker(arm);
        let flat = self.eye.along(at, -arm.way);
        if arm.system == System::Gas {
            fitting::gas_outlet(&mut m, &Flat::sign(at, -arm.on));
            self.keep(m, SymbolKind::GasOutlet, ix);
            return;
        }
        let faces = node
            .fixture
            .and_then(|f| self.network.fixtures.get(f.0 as usize))
            .map(|f| f.faces);
        match faces.map(|faces| way(faces).extend(0.0)) {
            Some(room) => fitting::stub_into(
                &mut m,
                &self.eye.along(at, room),
                self.picture.pipes[arm.mark].pen.width,
            ),
            None => fitting::stub(&mut m, &flat),
        }
        self.keep(m, SymbolKind::Stub, ix);
    }

    fn outlet(&mut self, ix: NodeIx, node: &Node, at: Point, arm: &Arm) {
        let fixture = node
            .fixture
            .and_then(|f| self.network.fixtures.get(f.0 as usize));
        let form = fixture.map(|f| Form::of(&f.kind));
        let level = self.eye.level(at);
        let mut m = self.maker(arm);
        // How far each ellipse or lozenge reaches up and down the page, which is how much of a riser it hides.
        let (kind, half) = match form {
            Some(Form::Closet) => (
                SymbolKind::ClosetFlange,
                2.3 * std::f64::consts::FRAC_1_SQRT_2,
            ),
            Some(Form::Drain) => (SymbolKind::FloorDrain, 2.3),
            Some(Form::FloorSink) => (SymbolKind::FloorDrain, 2.6),
            _ => (SymbolKind::Outlet, 1.2 * std::f64::consts::FRAC_1_SQRT_2),
        };
        if matches!(self.eye, Eye::Plan(_)) && kind != SymbolKind::ClosetFlange {
            return;
        }
        match form {
            Some(Form::Closet) => fitting::closet_flange(&mut m, &level),
            Some(Form::Drain) => fitting::floor_drain(&mut m, &level),
            Some(Form::FloorSink) => fitting::floor_sink(&mut m, &level),
            _ => fitting::outlet(&mut m, &level),
        }
        self.cut(arm, at, -1.0, half.min(0.45 * arm.length));
        self.keep(m, kind, ix);
    }

    fn trap(&mut self, ix: NodeIx, at: Point) {
        let level = self.arms.iter().find(|a| a.way.z.abs() < 0.5).copied();
        let upright = self.arms.iter().find(|a| a.way.z > 0.5).copied();
        let Some(arm) = level.or_else(|| self.arms.iter().find(|a| a.leaves).copied()) else {
            return;
        };
        let pen = self.picture.pipes[arm.mark].pen;
        let mut m = Maker::with(crate::ink::Pen {
            pattern: Pattern::Solid,
            ..pen
        });
        if matches!(self.eye, Eye::Plan(_)) {
            m.width(SIZES.pen);
            fitting::trap_from_above(&mut m, &self.eye.along(at, arm.way));
            self.cut(&arm, at, -1.0, 1.0_f64.min(0.45 * arm.length));
            self.keep(m, SymbolKind::Trap, ix);
            return;
        }
        // The arm's other end is a tee or bend that needs little of it.
        let r = SIZES
            .trap_radius
            .min(0.7 * arm.length / fitting::trap_reach(1.0))
            .max(0.5);
        let x = if level.is_some() {
            self.eye.unit(arm.way)
        } else {
            self.eye.unit(DVec3::X)
        };
        let flat = Flat {
            at,
            x,
            y: self.eye.unit(DVec3::Z),
        };
        fitting::trap(&mut m, &flat, r, upright.is_none());
        if level.is_some() {
            self.cut(
                &arm,
                at,
                -1.0,
                (fitting::trap_reach(r) * x.hypot()).min(0.9 * arm.length),
            );
        }
        self.keep(m, SymbolKind::Trap, ix);
    }

    fn roof_end(&mut self, ix: NodeIx, node: &Node, at: Point, arm: &Arm) {
        let mut m = self.maker(arm);
        let here = self.at(ix);
        let top = std::f64::consts::FRAC_1_SQRT_2;
        if let Some(roof) = self.network.building.roof_at(node.at.x, node.at.y) {
            // Below the end by its true height, but never so near that collar and end run together.
            let down = ((here.z - roof) * self.eye.factor()).max(fitting::CONE + top + 0.6);
            if arm.way.z < -0.99 && down + fitting::COLLAR < arm.length {
                fitting::collar(&mut m, &self.eye.level(at + arm.on * down));
                self.cut(arm, at, down - fitting::CONE, down + fitting::COLLAR);
            }
        }
        fitting::open_end(&mut m, &self.eye.level(at));
        self.cut(arm, at, -1.0, top);
        self.keep(m, SymbolKind::RoofEnd, ix);
    }
}

/// A device that takes the place of the end's own symbol.
fn end_device(node: &Node) -> Option<DeviceKind> {
    node.device.as_ref().map(|d| d.kind).filter(|k| {
        matches!(
            k,
            DeviceKind::HammerArrestor | DeviceKind::ExpansionTank | DeviceKind::Cleanout
        )
    })
}

/// By how much a symbol of half length `half` shrinks to leave most of `room` mm visible; never under a half.
pub(super) fn fit(room: f64, half: f64) -> f64 {
    (0.9 * room / half).clamp(0.5, 1.0)
}

/// Nominal size as a length, mm, to tell the larger from the smaller.
fn nominal_mm(size: wyeline_units::Size) -> f64 {
    match size {
        wyeline_units::Size::Inch { eighths } => f64::from(eighths) * 25.4 / 8.0,
        wyeline_units::Size::Dn(mm) => f64::from(mm),
    }
}
