//! Lines laid on the plan: where each lies in space, which ports it comes to, what flows in it, and the runs that come of it.

use glam::DVec3;
use kurbo::Point;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::NodeKind;

use super::graph::Graph;
use super::place::{Anchor, Placed};
use super::tell::{Lines, Reached, Teller};
use super::{PORT, Taken, Why, settle, walk};

/// A line's end lies so far beside the port that it comes to, in pitches, at most: what a free hand does.
const ASIDE: f64 = 0.5;
/// A fixture's own leg (trap arm, trap, tailpiece) has at most so many stretches.
const LEG: usize = 3;

/// Lines laid on the plan.
pub struct Route {
    at: Vec<Option<DVec3>>,
    way: Vec<Option<DVec3>>,
    system: Vec<Option<System>>,
    /// Ports that lines come to.
    pub reached: Vec<Reached>,
    starts: Vec<(System, usize)>,
    /// A vent that ends so far under the roof's surface is meant to go through it, mm.
    roof_mm: f64,
}

/// Runs as told, and lines that are in none.
pub struct Runs {
    /// The runs.
    pub text: String,
    /// Middles of lines that are in none, mm of the drawing's paper.
    pub unread: Vec<Point>,
}

impl Route {
    /// Finds where each line lies in space, and what flows in it.
    pub fn of(
        network: &Network,
        graph: &Graph,
        placed: &Placed,
        anchors: &[Anchor],
        taken: &Taken<'_>,
    ) -> Self {
        let near = PORT * taken.pitch;
        let mut fixed: Vec<(usize, DVec3)> = Vec::new();
        let mut starts = Vec::new();
        for node in network
            .nodes
            .iter()
            .filter(|node| node.kind == NodeKind::Start)
        {
            if let Some(place) = graph.nearest(placed.point(node.drawn()), 2.0 * near) {
                starts.push((node.system, place));
                fixed.push((place, node.drawn()));
            }
        }
        let mut ports = Vec::new();
        for anchor in anchors {
            for (port, at) in &anchor.ports {
                if let Some(place) = graph.nearest(placed.point(*at), near) {
                    ports.push((place, *at, anchor.tag.clone(), port.clone()));
                }
            }
        }
        let known: Vec<(usize, DVec3)> =
            ports.iter().map(|(place, at, ..)| (*place, *at)).collect();
        let from: Vec<(usize, DVec3)> = fixed.iter().chain(&known).copied().collect();
        let walk = walk::walk(graph, placed, &from, &known, near);
        // Another port may lie on the same line of sight: only what lies there in space is reached.
        // What falls does so in height alone.
        let aside = ASIDE * taken.pitch * placed.building();
        let high = 2.0 * near * placed.building();
        ports.retain(|(place, at, ..)| {
            let off = walk.at[*place].map(|walked| walked - *at);
            off.is_some_and(|off| off.truncate().length() <= aside && off.z.abs() <= high)
        });
        fixed.extend(ports.iter().map(|(place, at, ..)| (*place, *at)));
        let at = settle::settle(graph, &walk, &fixed, network.units);
        let reached: Vec<Reached> = ports
            .into_iter()
            .map(|(place, _, tag, port)| Reached { place, tag, port })
            .collect();
        for reached in reached.iter().filter(|reached| reached.port == "hot") {
            let heats = |fixture: &&wyeline_network::model::Fixture| {
                fixture.tag == reached.tag && fixture.kind.contains("heater")
            };
            if network.fixtures.iter().any(|fixture| heats(&fixture)) {
                starts.push((System::Hot, reached.place));
            }
        }
        let mut route = Self {
            system: vec![None; graph.edges.len()],
            way: walk.way,
            at,
            reached,
            starts,
            roof_mm: ROOF * taken.pitch * placed.building(),
        };
        route.systems(graph);
        route.legs(graph);
        route
    }

    /// What flows in each line: drains are full, vents dashed; water is what its source gives.
    fn systems(&mut self, graph: &Graph) {
        let water = |system: &System| matches!(system, System::Cold | System::Hot);
        if !self.starts.iter().any(|(system, _)| water(system)) {
            for (edge, system) in graph.edges.iter().zip(&mut self.system) {
                *system = Some(if edge.dashed {
                    System::Vent
                } else {
                    System::Waste
                });
            }
            return;
        }
        let meeting = graph.meeting();
        for (system, start) in self.starts.clone() {
            let mut open = vec![start];
            while let Some(place) = open.pop() {
                for edge in &meeting[place] {
                    if self.system[*edge].is_none() {
                        self.system[*edge] = Some(system);
                        open.push(graph.edges[*edge].beyond(place));
                    }
                }
            }
        }
    }

    /// A fixture's own leg, from its tee by the trap to its outlet, is told by its end.
    fn legs(&mut self, graph: &Graph) {
        let meeting = graph.meeting();
        for one in &self.reached {
            let others: Vec<usize> = self
                .reached
                .iter()
                .filter(|other| other.tag == one.tag && one.port == "tee" && other.port == "drain")
                .map(|other| other.place)
                .collect();
            let mut open: Vec<(usize, Vec<usize>)> = vec![(one.place, Vec::new())];
            while let Some((place, path)) = open.pop() {
                if others.contains(&place) {
                    for edge in &path {
                        self.system[*edge] = None;
                    }
                    break;
                }
                for &edge in meeting[place]
                    .iter()
                    .filter(|edge| !path.contains(edge) && path.len() < LEG)
                {
                    let mut longer = path.clone();
                    longer.push(edge);
                    open.push((graph.edges[edge].beyond(place), longer));
                }
            }
        }
    }

    /// Tells the lines as runs.
    ///
    /// # Errors
    /// No line begins at the outlet or the service.
    pub fn tell(
        &self,
        network: &Network,
        graph: &Graph,
        cleanouts: &[usize],
        sizes: &[(usize, String)],
    ) -> Result<Runs, Why> {
        if self.starts.is_empty() {
            return Err(Why::NoStart);
        }
        let mut teller = Teller::new(Lines {
            graph,
            at: &self.at,
            way: &self.way,
            system: &self.system,
            reached: &self.reached,
            cleanouts,
            sizes,
            network,
        });
        for (system, start) in &self.starts {
            let port = self
                .reached
                .iter()
                .find(|reached| reached.place == *start && reached.port == "hot");
            let start_words = port
                .filter(|_| *system == System::Hot)
                .map(|port| format!("{}.hot", port.tag));
            teller.tree(*system, *start, start_words);
        }
        let through = |at: &DVec3| {
            network
                .building
                .roof_at(at.x, at.y)
                .is_some_and(|roof| at.z >= roof - self.roof_mm)
        };
        let above: Vec<bool> = self
            .at
            .iter()
            .map(|at| at.as_ref().is_some_and(through))
            .collect();
        teller.vents(&above);
        let untold = graph
            .edges
            .iter()
            .enumerate()
            .filter(|(ix, _)| self.system[*ix].is_some() && !teller.is_told(*ix));
        let unread = untold
            .map(|(_, edge)| graph.at[edge.a].midpoint(graph.at[edge.b]))
            .collect();
        Ok(Runs {
            text: teller.into_text(),
            unread,
        })
    }
}

/// A vent that ends so far under the roof's surface is meant to go through it, in pitches: its last dash may be short.
const ROOF: f64 = 1.0;
