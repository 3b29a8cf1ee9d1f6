//! The moves by which the key is fitted to a drawing: what is suggested by left-over ink, and what it gains.

use kurbo::Vec2;
use rustc_hash::{FxHashMap, FxHashSet};

use super::Place;
use crate::mark::ink::Piece;

/// Left-over lines that suggest shifts, the longest, at most.
const FREE: usize = 60;
/// Shifts that are tried in a round, at most.
const SHIFTS: usize = 24;
/// What has to be gained by a move, in pitches.
const GAIN: f64 = 0.2;

impl Place<'_> {
    /// What is gained, in pitches, by moving nodes to a shift; moves them where `keep`.
    fn gain(&mut self, nodes: &[usize], shift: usize, keep: bool) -> f64 {
        let mut lines: Vec<usize> = nodes
            .iter()
            .flat_map(|node| self.meeting[*node].clone())
            .collect();
        lines.sort_unstable();
        lines.dedup();
        let mut gain = 0.0;
        let mut dots = Vec::new();
        for &line in &lines {
            let state = self.state(line);
            gain += state.cost;
            dots.extend(state.cover.dots.iter().map(|dot| (*dot, false)));
        }
        let before: Vec<usize> = nodes.iter().map(|node| self.of[*node]).collect();
        for &node in nodes {
            self.of[node] = shift;
        }
        for &line in &lines {
            let state = self.state(line);
            gain -= state.cost;
            dots.extend(state.cover.dots.iter().map(|dot| (*dot, true)));
        }
        let mut changed: FxHashMap<u32, i32> = FxHashMap::default();
        for (dot, now) in &dots {
            *changed.entry(*dot).or_default() += if *now { 1 } else { -1 };
        }
        let mut ink = 0.0;
        for (dot, by) in &changed {
            let used = i32::from(self.used[*dot as usize]);
            let length = self.ink.dots[*dot as usize].length / self.pitch;
            match (used > 0, used + by > 0) {
                (false, true) => ink += length,
                (true, false) => ink -= length,
                _ => {}
            }
        }
        if keep {
            for (dot, by) in changed {
                let used = i32::from(self.used[dot as usize]) + by;
                self.used[dot as usize] = u16::try_from(used).unwrap_or(0);
            }
        } else {
            for (node, before) in nodes.iter().zip(before) {
                self.of[*node] = before;
            }
        }
        gain + ink
    }

    /// Makes the move that gains most; whether there was one.
    pub(super) fn step(&mut self) -> bool {
        let absent: Vec<usize> = (0..self.key.lines.len())
            .filter(|line| !self.is_point(*line) && !self.state(*line).there)
            .collect();
        let mut free = self.free(&FxHashSet::default());
        free.retain(|ink| ink.length() > 0.6 * self.pitch);
        free.truncate(FREE);
        if free.is_empty() {
            return false;
        }
        let mut best: (f64, Vec<usize>, usize) = (GAIN, Vec::new(), 0);
        for (shift, from) in self.suggested(&absent, &free) {
            for nodes in self.sets(&absent, shift, from) {
                let gain = self.gain(&nodes, shift, false);
                if gain > best.0 + 1e-9 {
                    best = (gain, nodes, shift);
                }
            }
        }
        if best.1.is_empty() {
            return false;
        }
        self.gain(&best.1, best.2, true);
        true
    }

    /// Shifts that ends of free ink suggest; with the node that would stand at an end, where ink leads to it from a node that stands.
    fn suggested(&mut self, absent: &[usize], free: &[Piece]) -> Vec<(usize, Option<usize>)> {
        let touch = 0.6 * self.pitch;
        let mut alike: Vec<(Vec2, f64)> = Vec::new();
        let mut led: Vec<(Vec2, usize, f64)> = Vec::new();
        let mut lead = |node: usize, shift: Vec2, weight: f64| {
            let same = |other: &(Vec2, usize, f64)| {
                other.1 == node && (other.0 - shift).hypot() < touch / 2.0
            };
            if !led.iter().any(same) {
                led.push((shift, node, weight));
            }
        };
        for ink in free {
            for &line in absent {
                let ends = self.key.lines[line];
                let (a, b) = (self.key.at[ends.a], self.key.at[ends.b]);
                let way = b - a;
                let same_way = ink.way().cross(way).abs() / way.hypot() < 0.12;
                let (from, to) = if way.dot(ink.to - ink.from) >= 0.0 {
                    (ink.from, ink.to)
                } else {
                    (ink.to, ink.from)
                };
                if same_way {
                    let weight = ink.length().min(way.hypot());
                    alike.push((from - a, weight));
                    alike.push((to - b, weight));
                }
                for (node, other) in [(ends.a, ends.b), (ends.b, ends.a)] {
                    for (near, far) in [(ink.from, ink.to), (ink.to, ink.from)] {
                        if self.node(node).distance(near) < touch {
                            lead(other, far - self.key.at[other], ink.length());
                        }
                    }
                }
            }
            // Ink that goes on where a line ought to end.
            for node in 0..self.key.nodes.len() {
                for (near, far) in [(ink.from, ink.to), (ink.to, ink.from)] {
                    let goes_on = |line: &usize| {
                        let other = self.node(self.key.lines[*line].beyond(node));
                        let way = self.node(node) - other;
                        (far - near).cross(way).abs() < 0.2 * way.hypot() * ink.length()
                    };
                    if self.node(node).distance(near) < touch
                        && self.meeting[node].iter().any(goes_on)
                    {
                        lead(node, far - self.key.at[node], ink.length());
                    }
                }
            }
        }
        // Shifts that several ends agree on come first.
        let mut heaps: Vec<(Vec2, f64)> = Vec::new();
        for (shift, weight) in alike {
            match heaps
                .iter_mut()
                .find(|heap| (heap.0 - shift).hypot() < touch / 2.0)
            {
                Some(heap) => heap.1 += weight,
                None => heaps.push((shift, weight)),
            }
        }
        heaps.sort_by(|one, other| other.1.total_cmp(&one.1));
        led.sort_by(|one, other| other.2.total_cmp(&one.2));
        let heaps = heaps
            .into_iter()
            .take(SHIFTS)
            .map(|(shift, _)| (shift, None));
        let led = led
            .into_iter()
            .take(2 * SHIFTS)
            .map(|(shift, node, _)| (shift, Some(node)));
        let all: Vec<_> = heaps.chain(led).collect();
        all.into_iter()
            .map(|(shift, node)| (self.shift(shift), node))
            .collect()
    }

    /// The number of a shift: an older one where it is the same.
    fn shift(&mut self, shift: Vec2) -> usize {
        let same = |other: &Vec2| (*other - shift).hypot() < 0.15 * self.pitch;
        self.shifts.iter().position(same).unwrap_or_else(|| {
            self.shifts.push(shift);
            self.shifts.len() - 1
        })
    }

    /// Sets of nodes that may be moved together by a shift.
    fn sets(&mut self, absent: &[usize], shift: usize, from: Option<usize>) -> Vec<Vec<usize>> {
        let mut sets: Vec<Vec<usize>> = Vec::new();
        // Lines that would be found there, joined where they meet.
        let found: FxHashSet<usize> = absent
            .iter()
            .copied()
            .filter(|line| self.state_at(*line, shift, shift).there)
            .collect();
        let missing: FxHashSet<usize> = absent.iter().copied().collect();
        let starts: Vec<usize> = match from {
            Some(node) => vec![node],
            None => found.iter().map(|line| self.key.lines[*line].a).collect(),
        };
        let mut done: FxHashSet<usize> = FxHashSet::default();
        let mut starts = starts;
        starts.sort_unstable();
        for start in starts {
            if !done.insert(start) {
                continue;
            }
            let mut set = self.reach(start, |line| found.contains(&line));
            done.extend(&set);
            set.sort_unstable();
            sets.push(set);
            let points = |line: usize| found.contains(&line) || self.is_point(line);
            sets.push(self.reach(start, points));
            if from.is_some() {
                sets.push(vec![start]);
                sets.push(self.reach(start, |line| missing.contains(&line)));
                // All that hangs on one of its lines alone.
                for &line in &self.meeting[start] {
                    sets.push(self.reach(start, |other| other != line));
                }
            }
        }
        sets.retain(|set| !set.is_empty() && set.len() < self.key.nodes.len());
        sets.sort();
        sets.dedup();
        sets
    }

    /// Nodes that are reached from one over lines that let pass.
    fn reach(&self, start: usize, passes: impl Fn(usize) -> bool) -> Vec<usize> {
        let mut seen = vec![false; self.key.nodes.len()];
        seen[start] = true;
        let mut open = vec![start];
        while let Some(node) = open.pop() {
            for &line in self.meeting[node].iter().filter(|line| passes(**line)) {
                let other = self.key.lines[line].beyond(node);
                if !seen[other] {
                    seen[other] = true;
                    open.push(other);
                }
            }
        }
        (0..seen.len()).filter(|node| seen[*node]).collect()
    }
}
