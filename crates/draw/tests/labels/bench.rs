//! Small networks and pictures built by hand, and random ones, to try labels on.

use glam::DVec3;
use kurbo::{Point, Rect, Vec2};
use wyeline_draw::picture::{Picture, PipeMark, Symbol, SymbolKind};
use wyeline_draw::{Corner, Projection, View, style};
use wyeline_job::Span;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{Level, Lie, Node, NodeIx, NodeKind, Pipe, PipeIx, RunIx};
use wyeline_units::{Scale, Size};

pub const FOOT: f64 = 304.8;
pub const INCH: f64 = 25.4;

/// Adds a node at so many feet east, north and up.
pub fn node(net: &mut Network, feet: (f64, f64, f64), kind: NodeKind, system: System) -> NodeIx {
    let at = DVec3::new(feet.0, feet.1, feet.2) * FOOT;
    net.nodes.push(Node {
        id: format!("n{}", net.nodes.len()),
        at,
        z_drawn: at.z,
        kind,
        system,
        pipes: Vec::new(),
        fixture: None,
        device: None,
        fitting: Vec::new(),
        span: Span::default(),
        line: 1,
        name: None,
        note: None,
        mark: None,
    });
    NodeIx(net.nodes.len() as u32 - 1)
}

/// Adds a pipe of a size in inches, flowing from one node to another; its lie follows from these.
pub fn pipe(net: &mut Network, from: NodeIx, to: NodeIx, inches: u16) -> PipeIx {
    let (a, b) = (net.node(from).at, net.node(to).at);
    let d = b - a;
    let moves = [d.x, d.y, d.z].iter().filter(|c| c.abs() > 1e-6).count();
    let lie = match (moves, d.z.abs() > 1e-6) {
        (1, true) => Lie::Vertical,
        (3, _) => Lie::Rolling,
        (2, true) => Lie::Tilted,
        (2, false) => Lie::LevelSkew,
        _ => Lie::Axis,
    };
    let ix = PipeIx(net.pipes.len() as u32);
    net.pipes.push(Pipe {
        id: format!("p{}", ix.0),
        system: net.node(from).system,
        from,
        to,
        run: RunIx(0),
        size: Some(Size::Inch {
            eighths: inches * 8,
        }),
        bore_mm: None,
        outside_mm: None,
        material: None,
        lie,
        slope: None,
        fall_mm: 0.0,
        invert_from: None,
        invert_to: None,
        arm: false,
        existing: false,
        unverified: false,
        worked_out: false,
        load: None,
        mark: None,
        insulation: None,
        span: Span::default(),
        line: 1,
    });
    net.nodes[from.0 as usize].pipes.push(ix);
    net.nodes[to.0 as usize].pipes.push(ix);
    ix
}

/// The isometric lines of a network from the south-west, without symbols, breaks or labels.
pub fn picture(net: &Network, scale: u32) -> Picture {
    let view = View::Iso {
        corner: Corner::Sw,
        true_fall: false,
    };
    let mut picture = Picture::new(view, String::new(), Scale(scale));
    let paper = Projection::new(Corner::Sw, Scale(scale));
    for (i, pipe) in net.pipes.iter().enumerate() {
        let (a, b) = net.drawn(pipe);
        let (a, b) = (paper.point(a), paper.point(b));
        let length = a.distance(b);
        let mut arrows = Vec::new();
        if length > 20.0 && pipe.system.drains() {
            arrows.push((a.lerp(b, 0.5), (b - a) / length));
        }
        picture.pipes.push(PipeMark {
            pipe: PipeIx(i as u32),
            system: pipe.system,
            pen: style::pen(pipe.system, pipe.existing),
            pieces: vec![(a, b)],
            shift: Vec2::ZERO,
            arrows,
        });
    }
    picture
}

/// Adds a symbol whose box reaches `half` to every side of a node.
pub fn symbol(picture: &mut Picture, net: &Network, node: NodeIx, half: f64) {
    let paper = Projection::new(Corner::Sw, picture.scale);
    let at: Point = paper.point(net.node(node).drawn());
    picture.symbols.push(Symbol {
        kind: SymbolKind::Junction,
        node: Some(node),
        fixture: None,
        strokes: Vec::new(),
        letters: Vec::new(),
        boxes: vec![Rect::from_points(at, at).inflate(half, half)],
    });
}

/// Whole numbers that look random, the same on every machine (a linear congruential generator,
/// constants of Knuth's MMIX generator, from memory).
pub struct Dice(pub u64);

impl Dice {
    /// The next number below `limit`.
    pub fn below(&mut self, limit: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit
    }
}

/// A random tangle: `runs` runs of `legs` pipes each, starting anywhere on a field so many feet
/// square, going along the axes and at 45 degrees.
pub fn tangle(seed: u64, runs: u64, legs: u64, feet: u64) -> (Network, Picture) {
    const SYSTEMS: [System; 4] = [System::Waste, System::Vent, System::Cold, System::Hot];
    const WAYS: [(i64, i64, i64); 8] = [
        (1, 0, 0),
        (-1, 0, 0),
        (0, 1, 0),
        (0, -1, 0),
        (0, 0, 1),
        (0, 0, -1),
        (1, 1, 0),
        (-1, 1, 0),
    ];
    let mut dice = Dice(seed);
    let mut net = Network::default();
    for (name, floor) in [("low", 0.0), ("high", 9.0)] {
        net.levels.push(Level {
            name: name.to_owned(),
            floor: floor * FOOT,
            ceiling: Some((floor + 8.0) * FOOT),
            underside: None,
            joists: None,
        });
    }
    for _ in 0..runs {
        let system = SYSTEMS[dice.below(4) as usize];
        let mut at = [
            dice.below(feet) as f64,
            dice.below(feet) as f64,
            dice.below(10) as f64,
        ];
        let mut last = node(&mut net, (at[0], at[1], at[2]), NodeKind::Start, system);
        for leg in 0..legs {
            let way = WAYS[dice.below(8) as usize];
            // From 6 in to 8 ft.
            let far = (dice.below(16) + 1) as f64 / 2.0;
            for (x, w) in at.iter_mut().zip([way.0, way.1, way.2]) {
                *x += w as f64 * far;
            }
            let kind = if leg + 1 == legs {
                NodeKind::Cap
            } else {
                NodeKind::Turn
            };
            let next = node(&mut net, (at[0], at[1], at[2]), kind, system);
            pipe(&mut net, last, next, 1 + dice.below(4) as u16);
            last = next;
        }
    }
    let mut picture = picture(&net, 48);
    for i in (0..net.nodes.len()).step_by(3) {
        symbol(&mut picture, &net, NodeIx(i as u32), 1.5);
    }
    (net, picture)
}
