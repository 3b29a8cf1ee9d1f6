//! Arrows and traps in the ink: an arrow is two short straight pieces that meet, a trap a short stroke that turns back or closes.
//!
//! Both are told by form alone; which they are of the key is told by where they stand. A form that may be either counts for what is asked for there.

use kurbo::{Point, Vec2};
use rustc_hash::{FxHashMap, FxHashSet};

use super::fault::{Found, direction};
use super::ink::{Ink, bulges, unit};
use super::key::{Key, KeyLine};
use super::lines::off;
use super::place::Place;
use crate::figure::{Figure, What};
use wyeline_job::model::System;

/// Short pieces that may be legs of arrows, at most.
const SHORT: usize = 600;

/// Two short pieces that meet.
#[derive(Clone, Copy, Debug)]
struct Arrow {
    tip: Point,
    way: Vec2,
    pieces: [usize; 2],
}

/// A short stroke that turns back.
#[derive(Clone, Copy, Debug)]
struct Hook {
    at: Point,
    stroke: usize,
}

/// What arrows and traps were found, and what is wrong with them.
#[derive(Default)]
pub(crate) struct Symbols {
    /// What is missing or wrong.
    pub faults: Vec<Found>,
    /// Pieces of ink that are arrows or traps.
    pub pieces: FxHashSet<usize>,
}

/// What is looked at.
pub(crate) struct Signs<'a, 'b> {
    pub figure: &'a Figure,
    pub key: &'a Key,
    pub place: &'b Place<'a>,
    pub ink: &'a Ink,
    pub strokes: &'a [Vec<Point>],
    pub pitch: f64,
    /// How far a sign may be from its place, in the key's units.
    pub near: f64,
    /// Places where letters tell a trap.
    pub trap_letters: &'a [Point],
}

impl Signs<'_, '_> {
    /// Finds arrows and traps and holds them against what the figure asks for.
    pub fn judge(&self) -> Symbols {
        let arrows = self.arrows();
        let hooks = self.hooks();
        let mut out = Symbols::default();
        for arrow in &arrows {
            out.pieces.extend(arrow.pieces);
        }
        let strokes: FxHashSet<usize> = hooks.iter().map(|hook| hook.stroke).collect();
        let of_hooks =
            (0..self.ink.pieces.len()).filter(|ix| strokes.contains(&self.ink.pieces[*ix].stroke));
        out.pieces.extend(of_hooks);
        out.faults.extend(self.flow(&arrows));
        out.faults.extend(self.traps(&hooks));
        out
    }

    fn arrows(&self) -> Vec<Arrow> {
        let free = self.place.free_share();
        let mut short: Vec<usize> = (0..self.ink.pieces.len())
            .filter(|ix| {
                let length = self.ink.pieces[*ix].length() / self.pitch;
                (0.12..1.4).contains(&length)
            })
            .collect();
        short.truncate(SHORT);
        let bows: Vec<bool> = self.strokes.iter().map(|stroke| bulges(stroke)).collect();
        let mut of_stroke: FxHashMap<usize, usize> = FxHashMap::default();
        for piece in &self.ink.pieces {
            *of_stroke.entry(piece.stroke).or_default() += 1;
        }
        let mut all: Vec<(f64, Arrow)> = Vec::new();
        for (place, &one) in short.iter().enumerate() {
            for &other in &short[place + 1..] {
                let (p, q) = (&self.ink.pieces[one], &self.ink.pieces[other]);
                // One stroke of two legs is an arrow wherever it is; of two strokes neither may lie along a pipe.
                let one_stroke = p.stroke == q.stroke && of_stroke[&p.stroke] == 2;
                if p.stroke == q.stroke && bows[p.stroke] {
                    continue;
                }
                if !one_stroke && (free[one] < 0.5 || free[other] < 0.5) {
                    continue;
                }
                for (a, b) in [(p.from, p.to), (p.to, p.from)] {
                    for (c, d) in [(q.from, q.to), (q.to, q.from)] {
                        let gap = a.distance(c);
                        let (one_way, other_way) = (unit(b - a), unit(d - c));
                        let between = one_way.dot(other_way).clamp(-1.0, 1.0).acos().to_degrees();
                        let ratio = p.length() / q.length();
                        if gap <= 0.3 * self.pitch
                            && (15.0..115.0).contains(&between)
                            && (0.4..2.5).contains(&ratio)
                        {
                            let way = unit(-one_way - other_way);
                            all.push((
                                gap,
                                Arrow {
                                    tip: a.midpoint(c),
                                    way,
                                    pieces: [one, other],
                                },
                            ));
                        }
                    }
                }
            }
        }
        all.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut taken: FxHashSet<usize> = FxHashSet::default();
        let mut out = Vec::new();
        for (_, arrow) in all {
            if arrow.pieces.iter().all(|piece| !taken.contains(piece)) {
                taken.extend(arrow.pieces);
                out.push(arrow);
            }
        }
        out
    }

    fn hooks(&self) -> Vec<Hook> {
        let mut out = Vec::new();
        for (ix, stroke) in self.strokes.iter().enumerate() {
            let [first, .., last] = stroke.as_slice() else {
                continue;
            };
            let length: f64 = stroke
                .windows(2)
                .map(|pair| pair[0].distance(pair[1]))
                .sum();
            if !(0.3 * self.pitch..2.2 * self.pitch).contains(&length) {
                continue;
            }
            let closes = first.distance(*last) < 0.25 * length;
            if closes || bulges(stroke) {
                let sum = stroke.iter().fold(Vec2::ZERO, |sum, at| sum + at.to_vec2());
                out.push(Hook {
                    at: (sum / stroke.len() as f64).to_point(),
                    stroke: ix,
                });
            }
        }
        out
    }

    /// Waste pipes of the key as they are drawn.
    fn waste(&self) -> impl Iterator<Item = &KeyLine> {
        let lines = self.key.lines.iter();
        lines.filter(|line| line.role.system() == Some(System::Waste))
    }

    fn flow(&self, arrows: &[Arrow]) -> Vec<Found> {
        let ends = |line: &KeyLine| (self.place.node(line.a), self.place.node(line.b));
        // How far an arrow is from where it tells the flow of a spot: on the pipe that goes out, or at the end of the one that comes in.
        let serves = |arrow: &Arrow, node: usize| {
            let reach = |line: &KeyLine| {
                let (from, to) = ends(line);
                let far = off(arrow.tip, from, to);
                let within =
                    line.a == node || arrow.tip.distance(self.place.node(node)) <= 2.0 * self.near;
                (far <= self.near / 2.0 && within).then(|| {
                    let along = unit(to - from);
                    let from_node = 0.1 * arrow.tip.distance(self.place.node(node));
                    // The pipe that goes out is told first: on the one that comes in an arrow may be that of another place.
                    let comes_in = if line.a == node {
                        0.0
                    } else {
                        10.0 * self.pitch
                    };
                    (far + from_node + comes_in, arrow.way.dot(along))
                })
            };
            self.waste()
                .filter(|line| line.a == node || line.b == node)
                .filter_map(reach)
                .filter(|(_, along)| along.abs() > 0.8)
                .min_by(|one, other| one.0.total_cmp(&other.0))
        };
        let spots: Vec<(usize, &crate::figure::Spot, glam::DVec3)> = self
            .figure
            .spots
            .iter()
            .filter_map(|spot| match spot.what {
                What::Flow { along } => Some((self.key.node_at(spot.at)?, spot, along)),
                _ => None,
            })
            .collect();
        let mut pairs: Vec<(bool, f64, usize, usize)> = Vec::new();
        for (spot, (node, ..)) in spots.iter().enumerate() {
            for (ix, arrow) in arrows.iter().enumerate() {
                if let Some((far, along)) = serves(arrow, *node) {
                    pairs.push((along < 0.0, far, spot, ix));
                }
            }
        }
        // Arrows that are right find their places first, the nearest before the others.
        pairs.sort_by(|one, other| one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)));
        let mut told: Vec<Option<(bool, usize)>> = vec![None; spots.len()];
        let mut taken: FxHashSet<usize> = FxHashSet::default();
        for (wrong, _, spot, arrow) in pairs {
            if told[spot].is_none() && taken.insert(arrow) {
                told[spot] = Some((wrong, arrow));
            }
        }
        let mut out = Vec::new();
        // Where the pipe itself is missing there is nothing to set an arrow on: that is one fault.
        let drawn = |node: usize, along: glam::DVec3| {
            let mut out = (0..self.key.lines.len()).filter(|ix| {
                let line = &self.key.lines[*ix];
                let way = self.key.nodes[line.b] - self.key.nodes[line.a];
                line.a == node && way.normalize().dot(along) > 0.99
            });
            out.all(|ix| self.place.is_drawn(ix))
        };
        for ((node, spot, along), told) in spots.iter().zip(&told) {
            if told.is_none() && !drawn(*node, *along) {
                continue;
            }
            let place = self.place_in_words(*node);
            match told {
                Some((false, _)) => {}
                Some((true, arrow)) => {
                    out.push(
                        Found::at("flow-wrong", arrows[*arrow].tip)
                            .what(place)
                            .way(direction(*along)),
                    );
                }
                None => {
                    let at = self.place.node(self.key.node_at(spot.at).unwrap_or(*node));
                    out.push(
                        Found::at("flow-missing", at)
                            .what(place)
                            .way(format!("pointing {}", direction(*along))),
                    );
                }
            }
        }
        // An arrow that nobody asked for has to be right too.
        for (_, arrow) in arrows
            .iter()
            .enumerate()
            .filter(|(ix, _)| !taken.contains(ix))
        {
            let nearest = self.waste().min_by(|one, other| {
                let far = |line: &KeyLine| off(arrow.tip, ends(line).0, ends(line).1);
                far(one).total_cmp(&far(other))
            });
            let Some(line) = nearest else { continue };
            let (from, to) = ends(line);
            if off(arrow.tip, from, to) <= 0.3 * self.pitch && arrow.way.dot(unit(to - from)) < -0.9
            {
                let way = self.key.nodes[line.b] - self.key.nodes[line.a];
                out.push(
                    Found::at("flow-wrong", arrow.tip)
                        .what("on this pipe")
                        .way(direction(way)),
                );
            }
        }
        out
    }

    /// `below WC1`, `where the pipe turns level`.
    fn place_in_words(&self, node: usize) -> String {
        let at = self.key.nodes[node];
        let told = self.figure.spots.iter().find_map(|spot| match &spot.what {
            What::Fixture { tag, .. } | What::Trap { tag } if spot.at.distance(at) < 1.0 => {
                Some(tag)
            }
            _ => None,
        });
        told.map_or_else(
            || "where the pipe turns from plumb to level".to_owned(),
            |tag| format!("at {tag}"),
        )
    }

    fn traps(&self, hooks: &[Hook]) -> Vec<Found> {
        let mut taken: FxHashSet<usize> = FxHashSet::default();
        let mut letters: Vec<Point> = self.trap_letters.to_vec();
        let mut out = Vec::new();
        for spot in &self.figure.spots {
            let What::Trap { tag } = &spot.what else {
                continue;
            };
            let Some(node) = self.key.node_at(spot.at) else {
                continue;
            };
            let at = self.place.node(node);
            let nearest = hooks
                .iter()
                .filter(|hook| !taken.contains(&hook.stroke) && hook.at.distance(at) <= self.near)
                .min_by(|one, other| one.at.distance(at).total_cmp(&other.at.distance(at)));
            if let Some(hook) = nearest {
                taken.insert(hook.stroke);
            } else if let Some(ix) = letters
                .iter()
                .position(|there| there.distance(at) <= 2.0 * self.near)
            {
                letters.swap_remove(ix);
            } else {
                out.push(Found::at("trap-missing", at).what(tag.clone()));
            }
        }
        out
    }
}
