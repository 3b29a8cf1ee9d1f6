//! A part of a network as a network of its own, so that drawing a part costs what the part holds and no more.
//!
//! Names, ids and places in the text stay; indices are counted anew. Walls and bodies are cut at the part's box,
//! levels outside of it are left out, so that outlines and level marks stay with the part.

use std::collections::BTreeMap;

use wyeline_network::Network;
use wyeline_network::model::{
    Body, Building, FixtureIx, Flag, Flagged, LevelIx, NodeIx, PipeIx, RunIx, RunSummary, Wall,
};

/// No index.
const NONE: u32 = u32::MAX;

/// What of a network a part is to hold besides the pipes named and what hangs on them.
#[derive(Clone, Debug, Default)]
pub(crate) struct Keep {
    /// Pipes, ascending.
    pub pipes: Vec<PipeIx>,
    /// Levels, ascending.
    pub levels: Vec<LevelIx>,
    /// Fixtures of these levels that stand in the box, ascending; those that a pipe reaches are kept in any case.
    pub fixtures: Vec<FixtureIx>,
    /// Walls, ascending.
    pub walls: Vec<u32>,
    /// Bodies, ascending.
    pub bodies: Vec<u32>,
    /// Where walls and bodies are cut, mm.
    pub clip: Option<([f64; 3], [f64; 3])>,
}

/// Takes parts out of one network.
pub(crate) struct Subsets<'a> {
    network: &'a Network,
    /// The new index of each node, for the part being taken.
    nodes: Vec<u32>,
    /// The same for fixtures.
    fixtures: Vec<u32>,
    /// The same for pipes.
    pipes: Vec<u32>,
    /// Openings by their wall.
    openings: BTreeMap<u32, Vec<u32>>,
    /// Rooms by their level.
    rooms: BTreeMap<LevelIx, Vec<u32>>,
    /// Flags by what they stand at.
    flags: BTreeMap<Flagged, Vec<u32>>,
}

impl<'a> Subsets<'a> {
    /// Of this network.
    pub fn new(network: &'a Network) -> Self {
        let mut openings: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
        for (i, opening) in network.building.openings.iter().enumerate() {
            openings.entry(opening.wall).or_default().push(i as u32);
        }
        let mut rooms: BTreeMap<LevelIx, Vec<u32>> = BTreeMap::new();
        for (i, room) in network.building.rooms.iter().enumerate() {
            rooms.entry(room.level).or_default().push(i as u32);
        }
        let mut flags: BTreeMap<Flagged, Vec<u32>> = BTreeMap::new();
        for (i, flag) in network.flags.iter().enumerate() {
            flags.entry(flag.at).or_default().push(i as u32);
        }
        Self {
            network,
            nodes: vec![NONE; network.nodes.len()],
            fixtures: vec![NONE; network.fixtures.len()],
            pipes: vec![NONE; network.pipes.len()],
            openings,
            rooms,
            flags,
        }
    }

    /// Returns the part as a network.
    pub fn take(&mut self, keep: &Keep) -> Network {
        let from = self.network;
        let mut part = Network {
            units: from.units,
            title: from.title.clone(),
            code: from.code.clone(),
            datum_mm: from.datum_mm,
            sized_by: from.sized_by.clone(),
            checked_by: from.checked_by.clone(),
            levels: keep
                .levels
                .iter()
                .map(|l| from.levels[l.0 as usize].clone())
                .collect(),
            ..Network::default()
        };
        let level = |l: LevelIx| {
            keep.levels
                .binary_search(&l)
                .ok()
                .map(|i| LevelIx(i as u32))
        };
        // The runs met, and of each its pipes here: a long run costs what lies in the part.
        let mut runs: BTreeMap<RunIx, u32> = BTreeMap::new();
        let mut of_runs: Vec<(RunIx, Vec<PipeIx>)> = Vec::new();
        let mut old_nodes: Vec<NodeIx> = Vec::new();
        for (i, ix) in keep.pipes.iter().enumerate() {
            self.pipes[ix.0 as usize] = i as u32;
            let mut pipe = from.pipe(*ix).clone();
            for end in [&mut pipe.from, &mut pipe.to] {
                let new = &mut self.nodes[end.0 as usize];
                if *new == NONE {
                    *new = old_nodes.len() as u32;
                    old_nodes.push(*end);
                }
                *end = NodeIx(*new);
            }
            let known = *runs.entry(pipe.run).or_insert_with(|| {
                of_runs.push((pipe.run, Vec::new()));
                of_runs.len() as u32 - 1
            });
            of_runs[known as usize].1.push(PipeIx(i as u32));
            pipe.run = RunIx(known);
            part.pipes.push(pipe);
        }
        part.runs = of_runs
            .into_iter()
            .filter_map(|(old, pipes)| {
                let run = from.runs.get(old.0 as usize)?;
                Some(RunSummary {
                    name: run.name.clone(),
                    pipes,
                    fits: Vec::new(),
                    ..*run
                })
            })
            .collect();
        let old_fixtures = self.take_fixtures(keep, &old_nodes, &level, &mut part);
        for old in &old_nodes {
            let mut node = from.node(*old).clone();
            node.pipes = node.pipes.iter().filter_map(|p| self.pipe(*p)).collect();
            node.fixture = node
                .fixture
                .and_then(|f| new(&self.fixtures, f.0))
                .map(FixtureIx);
            part.nodes.push(node);
        }
        part.building = self.building(keep, &level);
        part.flags = self.flags(keep, &old_nodes, &old_fixtures);
        for old in old_nodes {
            self.nodes[old.0 as usize] = NONE;
        }
        for old in old_fixtures {
            self.fixtures[old.0 as usize] = NONE;
        }
        for old in &keep.pipes {
            self.pipes[old.0 as usize] = NONE;
        }
        part
    }

    /// The flags that stand at what is kept, in their old order.
    fn flags(&self, keep: &Keep, nodes: &[NodeIx], fixtures: &[FixtureIx]) -> Vec<Flag> {
        if self.flags.is_empty() {
            return Vec::new();
        }
        let nodes = nodes.iter().map(|ix| Flagged::Node(*ix));
        let pipes = keep.pipes.iter().map(|ix| Flagged::Pipe(*ix));
        let fixtures = fixtures.iter().map(|ix| Flagged::Fixture(*ix));
        let places = nodes.chain(pipes).chain(fixtures).chain([Flagged::Job]);
        let mut old: Vec<u32> = places
            .filter_map(|place| self.flags.get(&place))
            .flatten()
            .copied()
            .collect();
        old.sort_unstable();
        let kept = |i: u32| {
            let flag = &self.network.flags[i as usize];
            let at = match flag.at {
                Flagged::Node(ix) => Flagged::Node(new(&self.nodes, ix.0).map(NodeIx)?),
                Flagged::Pipe(ix) => Flagged::Pipe(self.pipe(ix)?),
                Flagged::Fixture(ix) => Flagged::Fixture(new(&self.fixtures, ix.0).map(FixtureIx)?),
                Flagged::Job => Flagged::Job,
            };
            Some(Flag { at, ..flag.clone() })
        };
        old.into_iter().filter_map(kept).collect()
    }

    fn pipe(&self, old: PipeIx) -> Option<PipeIx> {
        new(&self.pipes, old.0).map(PipeIx)
    }

    /// Fixtures that a pipe reaches and those asked for, in their old order; returns which.
    fn take_fixtures(
        &mut self,
        keep: &Keep,
        nodes: &[NodeIx],
        level: &impl Fn(LevelIx) -> Option<LevelIx>,
        part: &mut Network,
    ) -> Vec<FixtureIx> {
        let from = self.network;
        let mut old: Vec<FixtureIx> = nodes.iter().filter_map(|n| from.node(*n).fixture).collect();
        old.extend(&keep.fixtures);
        old.sort_unstable();
        old.dedup();
        // A fixture whose level is left out has no floor to stand on.
        old.retain(|ix| {
            from.fixtures
                .get(ix.0 as usize)
                .is_some_and(|f| level(f.level).is_some())
        });
        for (i, ix) in old.iter().enumerate() {
            let mut fixture = from.fixtures[ix.0 as usize].clone();
            fixture.level = level(fixture.level).unwrap_or(fixture.level);
            for port in &mut fixture.ports {
                port.node = port.node.and_then(|n| new(&self.nodes, n.0)).map(NodeIx);
            }
            self.fixtures[ix.0 as usize] = i as u32;
            part.fixtures.push(fixture);
        }
        old
    }

    /// The building round the part.
    fn building(&self, keep: &Keep, level: &impl Fn(LevelIx) -> Option<LevelIx>) -> Building {
        let from = &self.network.building;
        let mut building = Building {
            roof: from.roof.clone(),
            ..Building::default()
        };
        for ix in &keep.walls {
            let wall = &from.walls[*ix as usize];
            let Some((level, wall)) = level(wall.level).zip(cut(wall, keep.clip)) else {
                continue;
            };
            for opening in self.openings.get(ix).into_iter().flatten() {
                let mut opening = from.openings[*opening as usize].clone();
                if inside(opening.at, keep.clip) {
                    opening.level = level;
                    opening.wall = building.walls.len() as u32;
                    building.openings.push(opening);
                }
            }
            building.walls.push(Wall { level, ..wall });
        }
        for (i, old) in keep.levels.iter().enumerate() {
            for room in self.rooms.get(old).into_iter().flatten() {
                let mut room = from.rooms[*room as usize].clone();
                if inside(room.at, keep.clip) {
                    room.level = LevelIx(i as u32);
                    building.rooms.push(room);
                }
            }
        }
        building.bodies = keep
            .bodies
            .iter()
            .filter_map(|i| cut_body(&from.bodies[*i as usize], keep.clip))
            .collect();
        building
    }
}

/// A new index, where there is one.
fn new(indices: &[u32], old: u32) -> Option<u32> {
    indices.get(old as usize).copied().filter(|i| *i != NONE)
}

/// Whether a point of the plan lies in the box.
fn inside((x, y): (f64, f64), clip: Option<([f64; 3], [f64; 3])>) -> bool {
    clip.is_none_or(|(low, high)| x >= low[0] && x <= high[0] && y >= low[1] && y <= high[1])
}

/// What of a wall lies in the box.
fn cut(wall: &Wall, clip: Option<([f64; 3], [f64; 3])>) -> Option<Wall> {
    let mut wall = wall.clone();
    let Some((low, high)) = clip else {
        return Some(wall);
    };
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (axis, (from, to)) in [(wall.from.0, wall.to.0), (wall.from.1, wall.to.1)]
        .into_iter()
        .enumerate()
    {
        let along = to - from;
        if along.abs() < 1e-9 {
            if from < low[axis] || from > high[axis] {
                return None;
            }
            continue;
        }
        let (a, b) = ((low[axis] - from) / along, (high[axis] - from) / along);
        enter = enter.max(a.min(b));
        leave = leave.min(a.max(b));
    }
    wall.z = (wall.z.0.max(low[2]), wall.z.1.min(high[2]));
    if enter >= leave || wall.z.0 >= wall.z.1 {
        return None;
    }
    let at = |t: f64| {
        let along = |from: f64, to: f64| from + (to - from) * t;
        (along(wall.from.0, wall.to.0), along(wall.from.1, wall.to.1))
    };
    (wall.from, wall.to) = (at(enter), at(leave));
    Some(wall)
}

/// What of a body lies in the box; a body askew to the axes is kept whole.
fn cut_body(body: &Body, clip: Option<([f64; 3], [f64; 3])>) -> Option<Body> {
    let mut body = body.clone();
    let Some((low, high)) = clip else {
        return Some(body);
    };
    let clear = |values: [f64; 4], axis: usize| {
        values.iter().all(|v| *v <= low[axis]) || values.iter().all(|v| *v >= high[axis])
    };
    if clear(body.corners.map(|c| c.0), 0)
        || clear(body.corners.map(|c| c.1), 1)
        || body.z.1 <= low[2]
        || body.z.0 >= high[2]
    {
        return None;
    }
    let square = (0..4).all(|i| {
        let (a, b) = (body.corners[i], body.corners[(i + 1) % 4]);
        (a.0 - b.0).abs() < 1e-6 || (a.1 - b.1).abs() < 1e-6
    });
    if square {
        body.corners = body
            .corners
            .map(|(x, y)| (x.clamp(low[0], high[0]), y.clamp(low[1], high[1])));
    }
    body.z = (body.z.0.max(low[2]), body.z.1.min(high[2]));
    Some(body)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{network, pipe};
    use wyeline_job::model::System;

    fn wall(from: (f64, f64), to: (f64, f64)) -> Wall {
        Wall {
            level: LevelIx(0),
            from,
            to,
            into: (0.0, -1.0),
            thick: 100.0,
            z: (0.0, 2400.0),
        }
    }

    #[test]
    fn a_part_keeps_the_flags_of_what_it_shows() {
        let mut whole = network(&[
            pipe(System::Cold, [0.0; 3], [1000.0, 0.0, 0.0]),
            pipe(System::Hot, [0.0; 3], [0.0, 2000.0, 0.0]),
        ]);
        let flag = |number, at| Flag {
            number,
            at,
            text: String::new(),
        };
        let far = whole.pipes[1].to;
        whole.flags = vec![
            flag(1, Flagged::Pipe(PipeIx(0))),
            flag(2, Flagged::Pipe(PipeIx(1))),
            flag(3, Flagged::Node(far)),
            flag(4, Flagged::Job),
        ];
        let keep = Keep {
            pipes: vec![PipeIx(1)],
            levels: vec![LevelIx(0)],
            ..Keep::default()
        };
        let part = Subsets::new(&whole).take(&keep);
        // The second pipe is the part's first, and its far end the part's second node.
        assert_eq!(
            part.flags,
            [
                flag(2, Flagged::Pipe(PipeIx(0))),
                flag(3, Flagged::Node(NodeIx(1))),
                flag(4, Flagged::Job),
            ]
        );
    }

    #[test]
    fn a_part_keeps_ids_and_lengths_and_counts_its_indices_anew() {
        let whole = network(&[
            pipe(System::Cold, [0.0; 3], [1000.0, 0.0, 0.0]),
            pipe(System::Hot, [0.0; 3], [0.0, 2000.0, 0.0]),
            pipe(System::Cold, [0.0; 3], [0.0, 0.0, 3000.0]),
        ]);
        let keep = Keep {
            pipes: vec![PipeIx(1), PipeIx(2)],
            levels: vec![LevelIx(0)],
            ..Keep::default()
        };
        let part = Subsets::new(&whole).take(&keep);
        let told: Vec<(&str, f64, &str)> = part
            .pipes
            .iter()
            .map(|p| {
                (
                    p.id.as_str(),
                    part.length_mm(p),
                    part.runs[p.run.0 as usize].name.as_str(),
                )
            })
            .collect();
        assert_eq!(told, [("p1", 2000.0, "run1"), ("p2", 3000.0, "run2")]);
        for (i, node) in part.nodes.iter().enumerate() {
            for pipe in &node.pipes {
                let pipe = part.pipe(*pipe);
                assert!([pipe.from, pipe.to].contains(&NodeIx(i as u32)));
            }
        }
    }

    #[test]
    fn parts_taken_one_after_the_other_do_not_mix() {
        let whole = network(&[
            pipe(System::Cold, [0.0; 3], [1000.0, 0.0, 0.0]),
            pipe(System::Hot, [0.0; 3], [0.0, 2000.0, 0.0]),
        ]);
        let mut subsets = Subsets::new(&whole);
        for ix in [0, 1, 0] {
            let part = subsets.take(&Keep {
                pipes: vec![PipeIx(ix)],
                ..Keep::default()
            });
            assert_eq!(
                (part.pipes.len(), part.nodes.len(), part.runs.len()),
                (1, 2, 1)
            );
        }
    }

    #[test]
    fn a_wall_ends_at_the_box_it_is_cut_at() {
        // From x = 0 to 10 m, cut at 4 and 6 m and at 2 m of height.
        let clip = Some(([4000.0, -1.0, 0.0], [6000.0, 1.0, 2000.0]));
        let wall = cut(&wall((0.0, 0.0), (10_000.0, 0.0)), clip).expect("it crosses the box");
        assert!((wall.from.0 - 4000.0).abs() < 1e-6 && (wall.to.0 - 6000.0).abs() < 1e-6);
        assert_eq!(wall.z, (0.0, 2000.0));
    }

    #[test]
    fn a_wall_beside_the_box_is_left_out() {
        let clip = Some(([4000.0, 100.0, 0.0], [6000.0, 200.0, 2000.0]));
        assert!(cut(&wall((0.0, 0.0), (10_000.0, 0.0)), clip).is_none());
    }
}
