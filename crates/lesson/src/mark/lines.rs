//! Names what is wrong with lines: missing, too many, or drawn otherwise than the key has them.

use glam::DVec3;
use kurbo::{Point, Vec2};
use rustc_hash::FxHashSet;
use wyeline_job::model::System;

use super::fault::{Found, is_skew, name_of, on_paper, squares, way_of};
use super::key::{Key, KeyLine};
use super::place::Place;
use super::rubric::Tolerance;
use crate::figure::{Figure, Role, What};

/// Faults of a line drawn otherwise, those that say most first: of several lines that lead to one moved part the first names it.
const ORDER: [&str; 15] = [
    "vent-below-rim",
    "drop-missing",
    "vent-missing",
    "pipe-missing",
    "edge-missing",
    "level-on-paper",
    "forty-five-at-45",
    "against-flow",
    "slant-measured",
    "forty-five-as-riser",
    "wrong-way",
    "vent-wrong-way",
    "off-angle",
    "wrong-length",
    "vent-length",
];

/// What is looked at.
pub(crate) struct Lines<'a, 'b> {
    /// The figure.
    pub figure: &'a Figure,
    /// The figure on paper.
    pub key: &'a Key,
    /// The key on the drawing.
    pub place: &'b mut Place<'a>,
    /// The grid's pitch, in the key's units.
    pub pitch: f64,
    /// What a free hand may do.
    pub tolerance: &'a Tolerance,
    /// Places where a V tells a vent.
    pub vees: &'a [Point],
    /// Places where letters say that a pipe goes up or down.
    pub risers: &'a [Point],
}

impl Lines<'_, '_> {
    /// Faults of lines that are in the key.
    pub fn faults(&mut self) -> Vec<Found> {
        let mut all = self.drawn_otherwise();
        all.extend(self.missing());
        all.extend(self.not_dashed());
        all.extend(self.taken_for_risers());
        all
    }

    /// Level 45s that stand upright on paper and are lettered as risers.
    fn taken_for_risers(&mut self) -> Vec<Found> {
        let mut out = Vec::new();
        for ix in 0..self.key.lines.len() {
            let line = self.key.lines[ix];
            let (from, to) = (self.place.node(line.a), self.place.node(line.b));
            let space = self.space(&line);
            let upright = (to - from).x.abs() < 0.1 * (to - from).hypot();
            let near = |at: &&Point| off(**at, from, to) <= self.tolerance.symbol * self.pitch;
            // Letters by a true riser speak of that.
            let risers = self
                .key
                .lines
                .iter()
                .filter(|other| !is_skew(self.space(other)) && self.space(other).z != 0.0);
            let own = |at: &Point| {
                risers.clone().all(|other| {
                    off(*at, self.place.node(other.a), self.place.node(other.b))
                        > off(*at, from, to)
                })
            };
            let lettered = self.risers.iter().filter(near).find(|at| own(at));
            if is_skew(space)
                && space.z.abs() < 1.0
                && upright
                && let Some(at) = lettered
            {
                out.push(self.found("forty-five-as-riser", &line, *at));
            }
        }
        out
    }

    /// Ink that nothing of the key explains; pieces of `but` are something else.
    pub fn too_many(&mut self, but: &FxHashSet<usize>) -> Vec<Found> {
        let free = self.place.free(but).into_iter();
        free.filter(|line| line.length() >= self.pitch)
            .map(|line| Found::at("line-too-many", line.from.midpoint(line.to)))
            .collect()
    }

    fn space(&self, line: &KeyLine) -> DVec3 {
        self.key.nodes[line.b] - self.key.nodes[line.a]
    }
    fn found(&self, fault: &'static str, line: &KeyLine, at: Point) -> Found {
        Found::at(fault, at)
            .what(name_of(self.figure, line))
            .way(way_of(self.key, line, self.pitch))
    }

    /// One fault for each part that is moved as a whole against the part it hangs on.
    fn drawn_otherwise(&mut self) -> Vec<Found> {
        let part = self.parts();
        let mut groups: Vec<((usize, usize), Vec<usize>)> = Vec::new();
        for (ix, line) in self.key.lines.iter().enumerate() {
            let (a, b) = (part[line.a], part[line.b]);
            if self.place.whole(ix) {
                continue;
            }
            let pair = (a.min(b), a.max(b));
            match groups.iter_mut().find(|group| group.0 == pair) {
                Some(group) => group.1.push(ix),
                None => groups.push((pair, vec![ix])),
            }
        }
        let mut out = Vec::new();
        for (_, lines) in groups {
            let mut named: Vec<(usize, Found)> = Vec::new();
            for ix in lines {
                let line = self.key.lines[ix];
                if let Some(fault) = self.named(&line) {
                    let order = ORDER
                        .iter()
                        .position(|name| *name == fault)
                        .unwrap_or(ORDER.len());
                    let (from, to) = (self.place.node(line.a), self.place.node(line.b));
                    let got = to - from;
                    let got = format!("{} {}", squares(got.hypot() / self.pitch), on_paper(got));
                    named.push((order, self.found(fault, &line, from.midpoint(to)).got(got)));
                }
            }
            // The first of the best: `min_by_key` keeps it.
            out.extend(
                named
                    .into_iter()
                    .min_by_key(|(order, _)| *order)
                    .map(|(_, found)| found),
            );
        }
        out
    }

    /// For each node the part it is in: all that is not moved is one, what is moved is joined by lines of which both ends are moved alike.
    fn parts(&self) -> Vec<usize> {
        let still = (0..self.key.nodes.len()).find(|node| self.place.moved(*node) == Vec2::ZERO);
        let of = |node: usize| {
            let stays = self.place.moved(node) == Vec2::ZERO;
            still.filter(|_| stays).unwrap_or(node)
        };
        let mut part: Vec<usize> = (0..self.key.nodes.len()).map(of).collect();
        let mut changed = true;
        while changed {
            changed = false;
            for (ix, line) in self.key.lines.iter().enumerate() {
                let least = part[line.a].min(part[line.b]);
                if self.place.whole(ix) && (part[line.a] != least || part[line.b] != least) {
                    part[line.a] = least;
                    part[line.b] = least;
                    changed = true;
                }
            }
        }
        part
    }

    /// What a line is wrong in that is drawn between nodes moved unlike; none where it is within the tolerance.
    fn named(&self, line: &KeyLine) -> Option<&'static str> {
        let wanted = self.key.at[line.b] - self.key.at[line.a];
        let got = self.place.node(line.b) - self.place.node(line.a);
        if self.place.is_near(wanted, got) {
            return None;
        }
        let vent = line.role.system() == Some(System::Vent);
        let slack = self.tolerance.length * self.pitch;
        if got.hypot() < slack {
            return Some(self.missing_name(line));
        }
        let space = self.space(line);
        let skew = is_skew(space);
        let near = |angle: f64| {
            let way = Vec2::new(angle.to_radians().cos(), -angle.to_radians().sin());
            // The ends of a short line are not known finely enough for its angle.
            let off = self.tolerance.angle.to_radians().sin() * got.hypot();
            got.cross(way).abs() <= off.max(0.5 * slack)
        };
        let along = got.cross(wanted).abs() / got.hypot() / wanted.hypot().max(1e-9)
            <= self.tolerance.angle.to_radians().sin();
        if along && got.dot(wanted) > 0.0 {
            let true_length = space.length() * self.key.projection.factor();
            let slanting = skew && (got.hypot() - true_length).abs() <= slack;
            return Some(match (slanting, vent) {
                (true, _) => "slant-measured",
                (false, true) if self.below_rim(line) => "vent-below-rim",
                (false, true) => "vent-length",
                (false, false) => "wrong-length",
            });
        }
        if !skew && space.z == 0.0 && near(0.0) {
            return Some("level-on-paper");
        }
        if skew && (near(45.0) || near(135.0)) {
            return Some("forty-five-at-45");
        }
        if skew && self.against_flow(line, got) {
            return Some("against-flow");
        }
        if skew && near(90.0) {
            return Some("forty-five-as-riser");
        }
        let on_axis = [30.0, 90.0, 150.0].into_iter().any(near);
        Some(match (on_axis, vent) {
            (true, true) => "vent-wrong-way",
            (true, false) => "wrong-way",
            (false, _) => "off-angle",
        })
    }

    /// Whether a vent that rises from a fixture is drawn so short that it ends below that fixture's flood rim.
    fn below_rim(&self, line: &KeyLine) -> bool {
        let space = self.space(line);
        if space.x.abs() + space.y.abs() > 1.0 || space.z <= 0.0 {
            return false;
        }
        let got = self.place.node(line.b) - self.place.node(line.a);
        let top = self.key.nodes[line.a].z + got.hypot() / self.key.projection.factor();
        let foot = self.key.nodes[line.a];
        let rims = self.figure.spots.iter().filter_map(|spot| match spot.what {
            What::Fixture { rim: Some(rim), .. } => Some((spot.at, rim)),
            _ => None,
        });
        // The fixture whose drain is nearest to the vent's foot.
        let plan = |at: DVec3| (at - foot).truncate().length();
        let nearest = rims
            .filter(|(_, rim)| *rim > foot.z && *rim < self.key.nodes[line.b].z)
            .min_by(|one, other| plan(one.0).total_cmp(&plan(other.0)));
        nearest.is_some_and(|(_, rim)| top < rim)
    }

    /// Whether a slanting branch is drawn as if what it joins ran the other way.
    fn against_flow(&self, line: &KeyLine, got: Vec2) -> bool {
        let space = self.space(line);
        let meets = |other: &&KeyLine| other.a == line.b || other.b == line.b;
        if self.key.lines.iter().filter(meets).count() < 3 {
            return false;
        }
        let mains = self.key.lines.iter().filter(|main| {
            (main.a == line.b || main.b == line.b)
                && main.line != line.line
                && !is_skew(self.space(main))
        });
        mains.into_iter().any(|main| {
            let along = self.space(main).normalize();
            let turned = space - 2.0 * space.dot(along) * along;
            let turned = self.key.projection.vector(turned);
            space.dot(along).abs() > 1.0 && self.place.is_near(turned, got)
        })
    }

    fn missing_name(&self, line: &KeyLine) -> &'static str {
        let space = self.space(line);
        let plumb = space.x.abs() + space.y.abs() < 1.0;
        match line.role {
            Role::Edge if line.hidden => "hidden-missing",
            Role::Edge => "edge-missing",
            Role::Branch(System::Vent) | Role::Pipe(System::Vent) => "vent-missing",
            Role::Branch(_) if plumb => "drop-missing",
            Role::Branch(_) | Role::Pipe(_) => "pipe-missing",
        }
    }

    /// Lines that are not drawn, those in line as one.
    fn missing(&mut self) -> Vec<Found> {
        let absent: Vec<usize> = (0..self.key.lines.len())
            .filter(|ix| {
                self.place.whole(*ix) && !self.place.is_point(*ix) && !self.place.state(*ix).there
            })
            .collect();
        let mut out = Vec::new();
        for group in self.in_line(&absent) {
            let line = self.key.lines[group[0]];
            let (from, to) = (self.place.node(line.a), self.place.node(line.b));
            let fault = if self.place.state(group[0]).square {
                "forty-five-square"
            } else {
                self.missing_name(&line)
            };
            out.push(self.found(fault, &line, from.midpoint(to)));
        }
        out
    }

    /// Lines that meet and lie in line, together.
    fn in_line(&self, lines: &[usize]) -> Vec<Vec<usize>> {
        let mut groups: Vec<Vec<usize>> = Vec::new();
        for &ix in lines {
            let line = self.key.lines[ix];
            let way = self.space(&line).normalize();
            let joins = |other: &usize| {
                let other = self.key.lines[*other];
                let meet = [other.a, other.b]
                    .iter()
                    .any(|node| [line.a, line.b].contains(node));
                let alike = self.missing_name(&line) == self.missing_name(&other);
                meet && alike && self.space(&other).normalize().cross(way).length() < 1e-3
            };
            let (joined, rest): (Vec<_>, Vec<_>) = groups
                .into_iter()
                .partition(|group| group.iter().any(joins));
            groups = rest;
            let mut group: Vec<usize> = joined.into_iter().flatten().collect();
            group.push(ix);
            group.sort_unstable();
            groups.push(group);
        }
        groups.sort();
        groups
    }

    /// Vents and hidden edges that are drawn like any other line.
    fn not_dashed(&mut self) -> Vec<Found> {
        let mut full: Vec<usize> = Vec::new();
        let mut lettered: FxHashSet<String> = FxHashSet::default();
        for ix in 0..self.key.lines.len() {
            let line = self.key.lines[ix];
            if !line.dashed() {
                continue;
            }
            let (from, to) = (self.place.node(line.a), self.place.node(line.b));
            let near = |at: &&Point| off(**at, from, to) <= self.tolerance.symbol * self.pitch;
            if !line.hidden && self.vees.iter().any(|at| near(&at)) {
                lettered.insert(self.figure.lines[line.line].part.clone());
            }
            // A short vent has too few gaps for a free hand; edges of a block are short.
            let long = if line.hidden { 1.5 } else { 3.0 } * self.pitch;
            let state = self.place.state(ix);
            let dashed = state.cover.breaks > 0 || state.cover.open > 0.15 * state.cover.length;
            if state.there && !dashed && state.cover.length >= long && !self.coincides(ix) {
                full.push(ix);
            }
        }
        let mut parts: FxHashSet<String> = FxHashSet::default();
        let mut out = Vec::new();
        for group in self.in_line(&full) {
            let line = self.key.lines[group[0]];
            let at = self.place.node(line.a).midpoint(self.place.node(line.b));
            if line.hidden {
                out.push(self.found("hidden-full", &line, at));
                continue;
            }
            let part = self.figure.lines[line.line].part.clone();
            if !lettered.contains(&part) && parts.insert(part) {
                out.push(self.found("vent-full", &line, at));
            }
        }
        out
    }

    /// Whether a line lies on paper over another one, so that its gaps may be filled by that.
    fn coincides(&self, ix: usize) -> bool {
        let line = self.key.lines[ix];
        let (from, to) = self.key.ends(&line);
        // Both may be off by the tolerance.
        let reach = 2.0 * self.tolerance.distance * self.pitch;
        self.key
            .lines
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != ix)
            .any(|(_, other)| {
                let (a, b) = self.key.ends(other);
                let along = (b - a).cross(to - from).abs()
                    <= self.tolerance.cross() * a.distance(b) * from.distance(to);
                let shares = [0.1, 0.3, 0.5, 0.7, 0.9].into_iter();
                let over = shares
                    .filter(|share| off(from.lerp(to, *share), a, b) <= reach)
                    .count();
                along && over >= if other.dashed() { 2 } else { 1 }
            })
    }
}

/// How far a point is from a straight way.
pub(crate) fn off(at: Point, from: Point, to: Point) -> f64 {
    kurbo::ParamCurveNearest::nearest(&kurbo::Line::new(from, to), at, 1e-9)
        .distance_sq
        .sqrt()
}
