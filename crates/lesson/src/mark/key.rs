//! The projection of a figure from a corner: lines between nodes, on paper at the exercise's scale.

use glam::DVec3;
use kurbo::Point;
use rustc_hash::FxHashMap;
use wyeline_draw::{Corner, Projection};
use wyeline_job::model::System;
use wyeline_units::Scale;

use crate::figure::{Figure, Role};

/// Points of a figure nearer than this are one, mm.
const SAME_MM: f64 = 0.5;

/// A figure as it is seen from a corner.
#[derive(Clone, Debug)]
pub(crate) struct Key {
    /// The corner.
    pub corner: Corner,
    /// How points in space come to paper.
    pub projection: Projection,
    /// Places where lines end, in space.
    pub nodes: Vec<DVec3>,
    /// The same on paper, mm.
    pub at: Vec<Point>,
    /// Straight lines between nodes that pass through no other node.
    pub lines: Vec<KeyLine>,
}

/// A line of a key.
#[derive(Clone, Copy, Debug)]
pub(crate) struct KeyLine {
    /// The node where it begins: upstream.
    pub a: usize,
    /// The node where it ends.
    pub b: usize,
    /// The figure's line that it is, or is a part of.
    pub line: usize,
    /// What it is.
    pub role: Role,
    /// An edge that is hidden from here.
    pub hidden: bool,
}

impl KeyLine {
    /// Whether it is drawn dashed.
    pub fn dashed(&self) -> bool {
        self.hidden || self.role.system() == Some(System::Vent)
    }
    /// Its other node.
    pub fn beyond(&self, node: usize) -> usize {
        if node == self.a { self.b } else { self.a }
    }
}

impl Key {
    /// The figure seen from a corner at a scale.
    pub fn of(figure: &Figure, corner: Corner, scale: Scale) -> Self {
        let mut key = Self {
            corner,
            projection: Projection::new(corner, scale),
            nodes: Vec::new(),
            at: Vec::new(),
            lines: Vec::new(),
        };
        let mut known: FxHashMap<[i64; 3], usize> = FxHashMap::default();
        let mut node = |nodes: &mut Vec<DVec3>, at: DVec3| {
            let cell = at.to_array().map(|along| (along / SAME_MM).round() as i64);
            // A point at the rim of its cell may be known by a cell beside it.
            for beside in 0..27 {
                let beside = [beside % 3, beside / 3 % 3, beside / 9].map(|step| step - 1);
                let cell = [0, 1, 2].map(|axis| cell[axis] + beside[axis]);
                if let Some(&ix) = known.get(&cell)
                    && nodes[ix].distance(at) < SAME_MM
                {
                    return ix;
                }
            }
            nodes.push(at);
            known.insert(cell, nodes.len() - 1);
            nodes.len() - 1
        };
        let hidden: Vec<(DVec3, DVec3)> = {
            let here = figure
                .hidden
                .iter()
                .filter(|hidden| hidden.corner == corner);
            here.map(|hidden| (hidden.from, hidden.to)).collect()
        };
        let mut ends = Vec::new();
        for line in &figure.lines {
            ends.push([line.from, line.to].map(|at| node(&mut key.nodes, at)));
        }
        for at in hidden.iter().flat_map(|(from, to)| [from, to]) {
            node(&mut key.nodes, *at);
        }
        for (line, [a, b]) in ends.into_iter().enumerate() {
            let role = figure.lines[line].role;
            let mut stops = key.between(a, b);
            stops.push(b);
            let mut from = a;
            for to in stops {
                let middle = key.nodes[from].midpoint(key.nodes[to]);
                let covers = |(a, b): &(DVec3, DVec3)| distance(middle, *a, *b) < SAME_MM;
                key.lines.push(KeyLine {
                    a: from,
                    b: to,
                    line,
                    role,
                    hidden: role == Role::Edge && hidden.iter().any(covers),
                });
                from = to;
            }
        }
        key.lines.retain(|line| line.a != line.b);
        key.at = key
            .nodes
            .iter()
            .map(|at| key.projection.point(*at))
            .collect();
        key
    }

    /// Nodes on the straight way between two, in order.
    fn between(&self, a: usize, b: usize) -> Vec<usize> {
        let (from, to) = (self.nodes[a], self.nodes[b]);
        let on = |ix: &usize| *ix != a && *ix != b && distance(self.nodes[*ix], from, to) < SAME_MM;
        let mut all: Vec<usize> = (0..self.nodes.len()).filter(on).collect();
        all.sort_by(|one, other| {
            let far = |ix: usize| self.nodes[ix].distance(from);
            far(*one).total_cmp(&far(*other))
        });
        all
    }

    /// The node at a point in space.
    pub fn node_at(&self, at: DVec3) -> Option<usize> {
        self.nodes
            .iter()
            .position(|node| node.distance(at) < SAME_MM)
    }

    /// A line as it lies on paper.
    pub fn ends(&self, line: &KeyLine) -> (Point, Point) {
        (self.at[line.a], self.at[line.b])
    }

    /// Length of all lines on paper, mm.
    pub fn length(&self) -> f64 {
        let ends = self.lines.iter().map(|line| self.ends(line));
        ends.map(|(from, to)| from.distance(to)).sum()
    }

    /// For each node the lines that meet there.
    pub fn meeting(&self) -> Vec<Vec<usize>> {
        let mut all = vec![Vec::new(); self.nodes.len()];
        for (ix, line) in self.lines.iter().enumerate() {
            all[line.a].push(ix);
            all[line.b].push(ix);
        }
        all
    }
}

/// How far a point is from a straight way between two others.
fn distance(at: DVec3, from: DVec3, to: DVec3) -> f64 {
    let way = to - from;
    let square = way.length_squared();
    if square == 0.0 {
        return at.distance(from);
    }
    let along = ((at - from).dot(way) / square).clamp(0.0, 1.0);
    at.distance(from + way * along)
}
