//! Where each node of the key stands on a drawing that is not all right: a part that is moved as a whole is moved once.
//!
//! Every node starts at its right place. A set of nodes is moved by a shift that ends of left-over ink suggest, where that explains more ink
//! and finds more lines than it costs: the cheapest explanation is looked for step by step, and each line between nodes of different shift is a fault by itself.

mod shift;

use kurbo::{Point, Vec2};
use rustc_hash::{FxHashMap, FxHashSet};

use crate::mark::fault::is_skew;
use crate::mark::ink::{Cover, Ink, Piece, in_line};
use crate::mark::key::Key;
use crate::mark::rubric::Tolerance;

/// Rounds: faults of place that are told apart, at most.
const ROUNDS: usize = 16;
/// What it costs, in pitches, that a line is missing, that one goes wrong, and that one goes otherwise than it ought but within the tolerance.
const MISSING: f64 = 1.0;
const WRONG: f64 = 0.4;
const OFF: f64 = 0.2;
/// How a line of the key is found on the drawing.
#[derive(Clone, Debug)]
pub(crate) struct State {
    /// It is drawn.
    pub there: bool,
    /// It is a 45, and is drawn round the corner along its two legs.
    pub square: bool,
    /// How ink covers it.
    pub cover: Cover,
    cost: f64,
}

/// The key laid over a drawing, node by node.
pub(crate) struct Place<'a> {
    key: &'a Key,
    ink: &'a Ink,
    pitch: f64,
    tolerance: &'a Tolerance,
    meeting: Vec<Vec<usize>>,
    shifts: Vec<Vec2>,
    /// For each node which shift it has.
    of: Vec<usize>,
    known: FxHashMap<(usize, usize, usize), State>,
    /// For each dot how many lines lie over it.
    used: Vec<u16>,
    /// The same before anything was moved.
    still: Vec<u16>,
}

impl<'a> Place<'a> {
    /// Lays the key over ink in the key's own units.
    pub fn of(key: &'a Key, ink: &'a Ink, pitch: f64, tolerance: &'a Tolerance) -> Self {
        let mut place = Self {
            key,
            ink,
            pitch,
            tolerance,
            meeting: key.meeting(),
            shifts: vec![Vec2::ZERO],
            of: vec![0; key.nodes.len()],
            known: FxHashMap::default(),
            used: vec![0; ink.dots.len()],
            still: vec![0; ink.dots.len()],
        };
        for line in 0..key.lines.len() {
            let dots = place.state(line).cover.dots.clone();
            for dot in dots {
                place.used[dot as usize] += 1;
            }
        }
        place.still.clone_from(&place.used);
        place.allow_help();
        for _ in 0..ROUNDS {
            if !place.step() {
                break;
            }
        }
        place
    }

    /// Where a node stands on the drawing.
    pub fn node(&self, node: usize) -> Point {
        self.key.at[node] + self.shifts[self.of[node]]
    }
    /// How far a node is moved.
    pub fn moved(&self, node: usize) -> Vec2 {
        self.shifts[self.of[node]]
    }
    /// Whether both ends of a line are moved alike.
    pub fn whole(&self, line: usize) -> bool {
        let line = &self.key.lines[line];
        self.of[line.a] == self.of[line.b]
    }
    /// How a line is found.
    pub fn state(&mut self, line: usize) -> &State {
        let ends = self.key.lines[line];
        self.state_at(line, self.of[ends.a], self.of[ends.b])
    }
    /// Whether a line is drawn where its nodes stand.
    pub fn is_drawn(&self, line: usize) -> bool {
        let ends = &self.key.lines[line];
        let known = self.known.get(&(line, self.of[ends.a], self.of[ends.b]));
        known.is_none_or(|state| state.there)
    }
    /// What share of the ink lines of the key explain.
    pub fn explained(&self) -> f64 {
        let (mut used, mut all) = (0.0, 0.0);
        for (dot, lines) in self.ink.dots.iter().zip(&self.used) {
            all += dot.length;
            used += if *lines > 0 { dot.length } else { 0.0 };
        }
        if all > 0.0 { used / all } else { 0.0 }
    }
    /// Whether a line is too short on paper to be told from a point.
    pub fn is_point(&self, line: usize) -> bool {
        let (a, b) = self.key.ends(&self.key.lines[line]);
        a.distance(b) < self.tolerance.length * self.pitch
    }
    /// Takes the boxes and squares by which skew lines are built as explained: they help, and may be left out.
    pub fn allow_help(&mut self) {
        for line in &self.key.lines {
            let (from, to) = (self.key.nodes[line.a], self.key.nodes[line.b]);
            if !is_skew(to - from) {
                continue;
            }
            let shift = self.moved(line.a);
            let corner = |bits: usize| {
                let mut at = from;
                for axis in (0..3).filter(|axis| bits >> axis & 1 == 1) {
                    at[axis] = to[axis];
                }
                self.key.projection.point(at) + shift
            };
            for bits in 0..8 {
                for axis in (0..3).filter(|axis| bits >> axis & 1 == 0) {
                    let (one, other) = (corner(bits), corner(bits | 1 << axis));
                    for dot in self
                        .ink
                        .cover(one, other, self.pitch, self.tolerance, false)
                        .dots
                    {
                        self.used[dot as usize] = self.used[dot as usize].saturating_add(1);
                    }
                }
            }
        }
    }
    /// How much of a piece no line of the key explains, as a share: all of it where it is no line at all.
    pub fn free_share(&self) -> Vec<f64> {
        let mut all = vec![(0.0, 0.0); self.ink.pieces.len()];
        for (dot, used) in self.ink.dots.iter().zip(&self.used) {
            all[dot.piece].1 += dot.length;
            if *used == 0 {
                all[dot.piece].0 += dot.length;
            }
        }
        all.into_iter()
            .map(|(free, of)| if of > 0.0 { free / of } else { 1.0 })
            .collect()
    }
    /// Ink that no line of the key explains, as straight pieces; pieces of `but` are left out.
    pub fn free(&self, but: &FxHashSet<usize>) -> Vec<Piece> {
        let mut runs: Vec<Piece> = Vec::new();
        let mut last: Option<(usize, usize)> = None;
        for (ix, dot) in self.ink.dots.iter().enumerate() {
            if self.used[ix] > 0 || but.contains(&dot.piece) {
                continue;
            }
            let half = dot.way * (dot.length / 2.0);
            let goes_on = last == Some((ix.wrapping_sub(1), dot.piece));
            last = Some((ix, dot.piece));
            match runs.last_mut() {
                Some(run) if goes_on => run.to = dot.at + half,
                _ => runs.push(Piece {
                    from: dot.at - half,
                    to: dot.at + half,
                    stroke: self.ink.pieces[dot.piece].stroke,
                }),
            }
        }
        let lines = in_line(runs, self.pitch, self.tolerance);
        lines
            .into_iter()
            .filter(|line| line.length() > 0.4 * self.pitch)
            .collect()
    }

    fn there(&self, cover: &Cover) -> bool {
        let point = self.tolerance.length * self.pitch;
        cover.length < point
            || (cover.open <= 0.65 * cover.length && cover.bare <= point + 0.05 * cover.length)
    }

    /// Whether a line drawn as `got` is what `wanted` asks, within the tolerance of angle and length.
    pub fn is_near(&self, wanted: Vec2, got: Vec2) -> bool {
        let length = self.tolerance.length * self.pitch;
        let angle = self.tolerance.angle.to_radians().sin() * wanted.hypot();
        (got.hypot() - wanted.hypot()).abs() <= length
            && wanted.dot(got) > 0.0
            && wanted.cross(got).abs() / got.hypot() <= angle.max(length)
    }

    fn state_at(&mut self, line: usize, a: usize, b: usize) -> &State {
        if !self.known.contains_key(&(line, a, b)) {
            let ends = &self.key.lines[line];
            let (from, to) = (
                self.key.at[ends.a] + self.shifts[a],
                self.key.at[ends.b] + self.shifts[b],
            );
            let mut cover = self
                .ink
                .cover(from, to, self.pitch, self.tolerance, ends.dashed());
            let wanted = self.key.at[ends.b] - self.key.at[ends.a];
            let turned = (to - from).cross(wanted).abs()
                > self.tolerance.angle.to_radians().sin() * wanted.hypot() * from.distance(to);
            // A line that goes otherwise needs ink of its own: what another line stands on says nothing of it.
            let there = self.there(&cover) && !(a != b && turned && self.borrowed(line, &cover));
            let mut square = false;
            let mut cost = 0.0;
            if a != b {
                cost += if self.is_near(wanted, to - from) {
                    OFF
                } else {
                    WRONG
                };
            }
            if !there && a == b {
                let legs = self.legs(line, self.shifts[a]);
                square = !legs.is_empty();
                cover.dots.extend(legs);
            }
            if square {
                cost += WRONG;
            } else if !there {
                cost += MISSING + cover.bare / self.pitch;
            }
            let state = State {
                there,
                square,
                cover,
                cost,
            };
            self.known.insert((line, a, b), state);
        }
        &self.known[&(line, a, b)]
    }

    /// Whether more than half of the ink that covers a line is that of other lines where they ought to be.
    fn borrowed(&self, line: usize, cover: &Cover) -> bool {
        let own: FxHashSet<u32> = self
            .known
            .get(&(line, 0, 0))
            .into_iter()
            .flat_map(|state| state.cover.dots.clone())
            .collect();
        let length = |dot: &u32| self.ink.dots[*dot as usize].length;
        let others = |dot: &&u32| self.still[**dot as usize] > u16::from(own.contains(dot));
        let all: f64 = cover.dots.iter().map(length).sum();
        cover.dots.iter().filter(others).map(length).sum::<f64>() > all / 2.0
    }

    /// The ink of both legs of a 45 that is drawn round the corner; nothing where it is none, or not so drawn.
    fn legs(&self, line: usize, shift: Vec2) -> Vec<u32> {
        let ends = &self.key.lines[line];
        let (from, to) = (self.key.nodes[ends.a], self.key.nodes[ends.b]);
        let space = to - from;
        let legs: Vec<usize> = (0..3)
            .filter(|axis| space[*axis].abs() > 1e-3 * space.length())
            .collect();
        if legs.len() != 2 {
            return Vec::new();
        }
        for axis in legs {
            let mut corner = from;
            corner[axis] = to[axis];
            let corner = self.key.projection.point(corner) + shift;
            let ends = [
                (self.key.at[ends.a] + shift, corner),
                (corner, self.key.at[ends.b] + shift),
            ];
            let covers =
                ends.map(|(from, to)| self.ink.cover(from, to, self.pitch, self.tolerance, false));
            if covers
                .iter()
                .all(|cover| cover.length > self.pitch && self.there(cover))
            {
                return covers.into_iter().flat_map(|cover| cover.dots).collect();
            }
        }
        Vec::new()
    }

    /// What the drawing and the key have not of each other, in pitches: lines missing or wrong, ink that nothing explains.
    pub fn unexplained(&mut self) -> f64 {
        let lines: f64 = (0..self.key.lines.len())
            .map(|line| self.state(line).cost)
            .sum();
        let dots = self.ink.dots.iter().zip(&self.used);
        let ink: f64 = dots
            .filter(|(_, used)| **used == 0)
            .map(|(dot, _)| dot.length)
            .sum();
        lines + ink / self.pitch
    }
}
