//! Tells settled lines as runs of the job language: from the outlet or the service along the pipe, vents from the drain to the open air.

use std::collections::VecDeque;
use std::fmt::Write;

use glam::DVec3;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_units::{Len, UnitSystem};

use super::graph::Graph;

/// A port that a place is.
#[derive(Clone, Debug, PartialEq)]
pub struct Reached {
    /// The place.
    pub place: usize,
    /// The fixture's tag.
    pub tag: String,
    /// The port's name.
    pub port: String,
}

/// What is told from: places in space, systems of lines, where runs begin.
pub struct Lines<'a> {
    /// The drawn lines.
    pub graph: &'a Graph,
    /// Each place's point, mm.
    pub at: &'a [Option<DVec3>],
    /// Each stretch's way from `a` to `b`.
    pub way: &'a [Option<DVec3>],
    /// Each stretch's system; none where it is a fixture's own leg, or cannot be read.
    pub system: &'a [Option<System>],
    /// Ports reached.
    pub reached: &'a [Reached],
    /// Places where cleanouts stand.
    pub cleanouts: &'a [usize],
    /// Sizes lettered beside stretches.
    pub sizes: &'a [(usize, String)],
    /// The network whose levels and units are spoken in.
    pub network: &'a Network,
}

/// Tells runs; each starts where the last left points.
pub struct Teller<'a> {
    lines: Lines<'a>,
    meeting: Vec<Vec<usize>>,
    told: Vec<bool>,
    /// Names of places that runs start at or join.
    named: Vec<Option<String>>,
    text: String,
    runs: usize,
}

impl<'a> Teller<'a> {
    /// Nothing told yet.
    pub fn new(lines: Lines<'a>) -> Self {
        Self {
            meeting: lines.graph.meeting(),
            told: vec![false; lines.graph.edges.len()],
            named: vec![None; lines.graph.at.len()],
            text: String::new(),
            runs: 0,
            lines,
        }
    }

    /// The runs told.
    pub fn into_text(self) -> String {
        self.text
    }

    /// Whether a stretch has been told.
    pub fn is_told(&self, edge: usize) -> bool {
        self.told[edge]
    }

    /// Tells all pipe of a system that hangs together from a place: drains going upstream, water from its source. `start` is how the
    /// run's first line goes on after `start`; a point in space where none is given.
    pub fn tree(&mut self, system: System, from: usize, start: Option<String>) {
        let start = start.unwrap_or_else(|| self.point_in_space(from));
        let mut open = VecDeque::from([(from, start, None)]);
        while let Some((place, start, first)) = open.pop_front() {
            self.branch(system, (place, start, first), &mut open);
        }
    }

    fn branch(
        &mut self,
        system: System,
        (from, start, first): (usize, String, Option<usize>),
        open: &mut VecDeque<(usize, String, Option<usize>)>,
    ) {
        let mut next = match first {
            Some(edge) => Some(edge),
            None => self.onward(system, from, None),
        };
        if next.is_none_or(|edge| self.told[edge]) {
            return;
        }
        let mut steps: Vec<String> = Vec::new();
        let mut place = from;
        // Others that leave from where the run begins.
        if first.is_none() {
            let others = self
                .leaving(system, from)
                .into_iter()
                .filter(|edge| Some(*edge) != next);
            open.extend(
                others
                    .map(|edge| (from, start.clone(), Some(edge)))
                    .collect::<Vec<_>>(),
            );
        }
        while let Some(edge) = next {
            self.told[edge] = true;
            let beyond = self.lines.graph.edges[edge].beyond(place);
            steps.extend(self.size(edge));
            steps.extend(self.step(edge, place, beyond));
            place = beyond;
            if self.lines.cleanouts.contains(&place) {
                steps.push("cleanout".to_owned());
            }
            let here = self.ports(system, place);
            next = self.onward(system, place, Some(edge));
            let others: Vec<usize> = self
                .leaving(system, place)
                .into_iter()
                .filter(|edge| Some(*edge) != next)
                .collect();
            let vented = system == System::Waste && self.meets_vent(place);
            if !others.is_empty() || (vented && here.is_empty()) {
                let name = self.name(place);
                steps.push(format!("point {name}"));
                open.extend(
                    others
                        .into_iter()
                        .map(|edge| (place, name.clone(), Some(edge))),
                );
            }
            let count = here.len();
            for (ix, port) in here.into_iter().enumerate() {
                let last = next.is_none() && ix + 1 == count;
                let told = if system == System::Waste {
                    port.tag
                } else {
                    format!("{}.{}", port.tag, port.port)
                };
                if last {
                    // The way up to a port is part of its end.
                    if steps
                        .last()
                        .is_some_and(|step| step.starts_with("up ") || step.starts_with("down "))
                    {
                        steps.pop();
                    }
                    steps.push(format!("end {told}"));
                } else {
                    steps.push(format!("catch {told}"));
                }
            }
            if next.is_none() && count == 0 && !vented {
                steps.push("cap".to_owned());
            }
        }
        self.run(system, &start, &steps);
    }

    /// Writes a run; one that goes nowhere is none.
    fn run(&mut self, system: System, start: &str, steps: &[String]) {
        let goes = |step: &String| {
            !["point ", "cap", "size ", "cleanout"]
                .iter()
                .any(|word| step.starts_with(word))
        };
        let moves = steps.iter().filter(|step| goes(step)).count();
        let joins = steps.iter().any(|step| step.starts_with("join "));
        if moves == 0 || (moves == 1 && joins) {
            return;
        }
        self.runs += 1;
        let _ = writeln!(
            self.text,
            "\n{} own-{}\n  start {start}",
            system.word(),
            self.runs
        );
        for step in steps {
            let _ = writeln!(self.text, "  {step}");
        }
    }

    /// Tells vents: each group of lines that hangs together from where it leaves a drain to an open end above the roof (`above`, for each
    /// place), or the highest place where none is; others into it.
    pub fn vents(&mut self, above: &[bool]) {
        while let Some((from, path)) = self.next_vent(above) {
            let start = self.vent_start(from);
            let mut place = from;
            let mut steps = Vec::new();
            for edge in path {
                self.told[edge] = true;
                let beyond = self.lines.graph.edges[edge].beyond(place);
                steps.extend(self.size(edge));
                steps.extend(self.step(edge, place, beyond));
                place = beyond;
                if !self.leaving(System::Vent, place).is_empty() && self.named[place].is_none() {
                    let name = self.name(place);
                    steps.push(format!("point {name}"));
                }
            }
            let ends = self.meeting[place].len() == 1;
            let plumb = steps.last().is_some_and(|step| step.starts_with("up to"));
            let joined = self.named[place].clone().filter(|_| !ends);
            match joined {
                Some(name) => steps.push(format!("join {name}")),
                None if above[place] && ends && plumb => {
                    steps.pop();
                    steps.push("up through roof".to_owned());
                }
                None => steps.push("cap".to_owned()),
            }
            self.run(System::Vent, &start, &steps);
        }
    }

    /// Where the next vent begins and the stretches it goes along: to the roof where nothing of its group is told yet, else to what is.
    fn next_vent(&self, above: &[bool]) -> Option<(usize, Vec<usize>)> {
        let untold = |edge: &usize| !self.told[*edge] && self.is(*edge, System::Vent);
        let from =
            (0..self.lines.graph.at.len()).filter(|place| self.meeting[*place].iter().any(untold));
        let mut from: Vec<usize> = from.collect();
        // Where a drain is left comes before a loose end.
        from.sort_by_key(|place| !self.leaves_drain(*place));
        let from = *from.first()?;
        let mut came: Vec<Option<(usize, usize)>> = vec![None; self.lines.graph.at.len()];
        let mut open = VecDeque::from([from]);
        let mut seen = vec![false; came.len()];
        seen[from] = true;
        let mut goal: Option<(i64, usize)> = None;
        while let Some(place) = open.pop_front() {
            let known = place != from
                && self.meeting[place]
                    .iter()
                    .any(|edge| self.told[*edge] && self.is(*edge, System::Vent));
            let high = self.lines.at[place].map_or(f64::MIN, |at| at.z);
            let open_end = self.meeting[place].len() == 1;
            // What is told already is nearest; else the open end at the roof, else the highest place.
            let worth = if known {
                i64::MAX
            } else {
                high as i64
                    + if open_end && above[place] {
                        1_000_000
                    } else {
                        0
                    }
            };
            if place != from && goal.is_none_or(|(best, _)| worth > best) {
                goal = Some((worth, place));
            }
            if known {
                continue;
            }
            for edge in self.meeting[place].iter().filter(|edge| untold(edge)) {
                let beyond = self.lines.graph.edges[*edge].beyond(place);
                if !seen[beyond] {
                    seen[beyond] = true;
                    came[beyond] = Some((place, *edge));
                    open.push_back(beyond);
                }
            }
        }
        let (_, mut place) = goal?;
        let mut path = Vec::new();
        while let Some((before, edge)) = came[place] {
            path.push(edge);
            place = before;
        }
        path.reverse();
        Some((from, path))
    }

    fn vent_start(&mut self, place: usize) -> String {
        if let Some(name) = &self.named[place] {
            return name.clone();
        }
        let tee = self
            .lines
            .reached
            .iter()
            .find(|reached| reached.place == place && reached.port == "tee");
        tee.map_or_else(
            || self.point_in_space(place),
            |reached| format!("{}.tee", reached.tag),
        )
    }

    fn leaves_drain(&self, place: usize) -> bool {
        self.named[place].is_some()
            || self
                .lines
                .reached
                .iter()
                .any(|reached| reached.place == place)
    }

    fn meets_vent(&self, place: usize) -> bool {
        self.meeting[place]
            .iter()
            .any(|edge| self.is(*edge, System::Vent))
    }

    fn is(&self, edge: usize, system: System) -> bool {
        self.lines.system[edge] == Some(system)
    }

    /// Stretches of a system that go on from a place and are not told.
    fn leaving(&self, system: System, place: usize) -> Vec<usize> {
        let all = self.meeting[place].iter().copied();
        all.filter(|edge| !self.told[*edge] && self.is(*edge, system))
            .collect()
    }

    /// The stretch along which a run goes on: straight ahead, else the first.
    fn onward(&self, system: System, place: usize, came: Option<usize>) -> Option<usize> {
        let leaving = self.leaving(system, place);
        let straight = came.and_then(|came| {
            let from = self.lines.graph.edges[came].beyond(place);
            let way = self.way(came, from)?;
            leaving
                .iter()
                .copied()
                .find(|edge| self.way(*edge, place) == Some(way))
        });
        straight.or_else(|| leaving.first().copied())
    }

    fn way(&self, edge: usize, from: usize) -> Option<DVec3> {
        let way = self.lines.way[edge]?;
        Some(if self.lines.graph.edges[edge].a == from {
            way
        } else {
            -way
        })
    }

    fn ports(&self, system: System, place: usize) -> Vec<Reached> {
        let fits = |port: &str| match system {
            System::Waste => matches!(port, "drain" | "tee"),
            other => port == other.word(),
        };
        let here = self
            .lines
            .reached
            .iter()
            .filter(|reached| reached.place == place && fits(&reached.port));
        here.cloned().collect()
    }

    fn name(&mut self, place: usize) -> String {
        let count = self.named.iter().flatten().count();
        self.named[place]
            .get_or_insert_with(|| format!("OWN-{}", count + 1))
            .clone()
    }

    fn len(&self, mm: f64) -> String {
        // A length that stands alone needs its mark.
        let (units, len) = (self.lines.network.units, Len::from_mm(mm));
        match units {
            UnitSystem::FeetInches | UnitSystem::Inches => len.exact(units),
            UnitSystem::Millimetres | UnitSystem::Metres => {
                format!("{}mm", (mm * 1000.0).round() / 1000.0)
            }
        }
    }

    fn plan(&self, at: DVec3) -> String {
        format!("{},{}", self.len(at.x), self.len(at.y))
    }

    fn height(&self, z: f64) -> String {
        let below = self
            .lines
            .network
            .levels
            .iter()
            .filter(|level| level.floor <= z + TOUCH_MM);
        let level = below
            .max_by(|one, other| one.floor.total_cmp(&other.floor))
            .or(self.lines.network.levels.first());
        let Some(level) = level else {
            return format!("datum {}", self.signed(z));
        };
        format!("{} floor {}", level.name, self.signed(z - level.floor))
            .trim_end()
            .to_owned()
    }

    fn signed(&self, mm: f64) -> String {
        if mm.abs() < 0.01 {
            return String::new();
        }
        let sign = if mm < 0.0 { '-' } else { '+' };
        format!("{sign}{}", self.len(mm.abs()))
    }

    fn point_in_space(&self, place: usize) -> String {
        let at = self.lines.at[place].unwrap_or_default();
        format!("{} {}", self.plan(at), self.height(at.z))
    }

    /// A size lettered beside a stretch: it holds from there to the run's end.
    fn size(&self, edge: usize) -> Option<String> {
        let size = self.lines.sizes.iter().find(|(at, _)| *at == edge);
        size.map(|(_, size)| format!("size {size}"))
    }

    /// The words of one stretch; nothing where both its ends lie together.
    fn step(&self, edge: usize, from: usize, to: usize) -> Option<String> {
        let (a, b) = (self.lines.at[from]?, self.lines.at[to]?);
        if a.distance(b) < TOUCH_MM {
            return None;
        }
        let way = self.way(edge, from)?;
        let compass = match (way.x as i8, way.y as i8) {
            (1, 0) => "east",
            (1, 1) => "northeast",
            (0, 1) => "north",
            (-1, 1) => "northwest",
            (-1, 0) => "west",
            (-1, -1) => "southwest",
            (0, -1) => "south",
            (1, -1) => "southeast",
            _ => "",
        };
        let level_too = compass.is_empty();
        Some(match way.z as i8 {
            0 if compass.len() > 5 => format!("{compass} legs {}", self.len((b - a).x.abs())),
            0 => format!("{compass} to abreast {}", self.plan(b)),
            up => {
                let word = if up > 0 { "up" } else { "down" };
                if level_too {
                    format!("{word} to {}", self.height(b.z))
                } else {
                    format!("{word} {} at 45 {compass}", self.len((b - a).z.abs()))
                }
            }
        })
    }
}

/// Nearer than this points are one, mm.
const TOUCH_MM: f64 = 13.0;
