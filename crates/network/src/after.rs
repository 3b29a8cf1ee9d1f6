//! Closes the network: what each node is, sums of runs, doubts, loops and what nothing reaches.

use glam::DVec2;
use wyeline_job::model::System;
use wyeline_job::{Diagnostic, Span};

use crate::bores::bores;
use crate::builder::Builder;
use crate::model::{DoubtKind, Lie, Network, NodeIx, NodeKind, Pipe};
use crate::walk::Walk;

/// What is said of a run with drains of no size.
pub(crate) const NO_SIZE: &str = "no size is said: heights are centre lines, inverts are unknown";
/// What is said of a run with drains whose bore no table has.
pub(crate) const NO_BORE: &str =
    "the bore of this size and material is not known: inverts are unknown";

impl<'a> Builder<'a> {
    /// Closes a run that has been walked to its end.
    pub fn finish(&mut self, walk: &mut Walk<'a>) {
        let name = self.run_name(walk);
        for ahead in std::mem::take(&mut walk.ahead) {
            let text = "the run ends before there is room for this";
            self.remarks
                .push(Diagnostic::mistake("no-room-for-device", ahead.span, text));
        }
        self.runs[walk.run].fall_mm = walk.highest;
        self.astray[walk.run] = walk.shaky || self.job.runs[walk.run].misread;
        if let Some(here) = walk.here {
            let told = &self.job.runs[walk.run];
            if self.runs[walk.run].pipes.is_empty() {
                if !walk.shaky {
                    let text = format!("`{name}` goes nowhere: it has no length");
                    self.remarks.push(Diagnostic::mistake(
                        "run-without-length",
                        told.name.span,
                        text,
                    ));
                }
            } else if !walk.closed {
                let node = self.node_mut(here.node);
                if node.kind == NodeKind::Turn && node.pipes.len() == 1 {
                    node.kind = NodeKind::Loose;
                }
            }
        }
        let met = std::mem::take(&mut walk.met);
        let remarks = &mut self.remarks;
        if let Some((span, slope)) = met.assumed_slope {
            let text = format!("{name}: slope {}", slope.show(remarks.units));
            remarks.doubt(DoubtKind::Assumed, span, text);
        }
        if let Some(span) = met.assumed_bore {
            let text = format!("{name}: {}", bores().assumed_inverts(self.assumed));
            remarks.doubt(DoubtKind::Assumed, span, text);
        }
        let mut doubt = |place: Option<Span>, why, words: &str| {
            if let Some(span) = place {
                remarks.doubt(why, span, format!("{name}: {words}"));
            }
        };
        doubt(met.no_size, DoubtKind::Unknown, NO_SIZE);
        doubt(met.no_bore, DoubtKind::Unknown, NO_BORE);
        doubt(
            met.unverified,
            DoubtKind::Unverified,
            "place and heights of pipe",
        );
    }

    /// The network of everything that was understood.
    pub fn close(mut self) -> (Network, Vec<Diagnostic>) {
        self.look_for_loops();
        self.look_for_unreached();
        self.look_for_unfinished();
        if self.merges() {
            self.drop_merged();
        }
        for ix in 0..self.nodes.len() {
            let node = &self.nodes[ix];
            // Where another run goes on from its end, a run is neither capped nor loose.
            let goes_on =
                node.pipes.len() > 1 && matches!(node.kind, NodeKind::Cap | NodeKind::Loose);
            if goes_on || node.kind == NodeKind::Turn {
                self.nodes[ix].kind = match node.pipes.as_slice() {
                    [] | [_] => NodeKind::Loose,
                    [a, b]
                        if self.in_line(
                            NodeIx(ix as u32),
                            &self.pipes[a.0 as usize],
                            &self.pipes[b.0 as usize],
                        ) =>
                    {
                        NodeKind::Inline
                    }
                    [_, _] => NodeKind::Turn,
                    _ => NodeKind::Junction,
                };
            }
        }
        let job = self.job;
        let datum_mm = job.datum.as_ref().and_then(|datum| {
            let level = self.site.level(&datum.level)?;
            let add = datum.is.mm() - self.site.levels[level.0 as usize].floor;
            (add != 0.0).then_some(add)
        });
        let supplies_mm = self.supplies();
        let mut network = Network {
            nodes: self.nodes,
            pipes: self.pipes,
            fixtures: self.placed.into_iter().map(|one| one.fixture).collect(),
            runs: self.runs,
            levels: self.site.levels,
            building: self.site.building,
            doubts: Vec::new(),
            title: job.title.clone(),
            units: job.units,
            code: job.code.as_ref().map(|code| code.text.clone()),
            datum_mm,
            notes: job.notes.clone(),
            supplies_mm,
            sized_by: None,
            checked_by: None,
            flags: Vec::new(),
        };
        sum_up(&mut network);
        let mut diagnostics = self.remarks.diagnostics;
        crate::clash::find(&network, &mut diagnostics);
        crate::junction::find_faults(&network, &self.astray, &mut diagnostics);
        diagnostics.sort_by_key(|diagnostic| diagnostic.span);
        network.doubts = self.remarks.doubts;
        network.doubts.sort_by_key(|doubt| doubt.span);
        (network, diagnostics)
    }

    /// The heights at which the pressures of the supplies were measured.
    fn supplies(&mut self) -> Vec<Option<f64>> {
        let mut heights = Vec::new();
        for supply in &self.job.design.supplies {
            let Some(height) = &supply.at else {
                heights.push(None);
                continue;
            };
            if height.unverified {
                let text = "height at which the pressure was measured".to_owned();
                self.remarks.doubt(DoubtKind::Unverified, height.span, text);
            }
            // A supply has no place in plan; only a roof would ask for one.
            let at = self.site.surface(height, DVec2::ZERO, &mut self.remarks);
            heights.push(at);
        }
        heights
    }

    /// Two pipes lie in line where their far ends lie on opposite sides, as drawn.
    fn in_line(&self, node: NodeIx, a: &Pipe, b: &Pipe) -> bool {
        let here = self.nodes[node.0 as usize].drawn();
        let way = |pipe: &Pipe| {
            let far = if pipe.from == node {
                pipe.to
            } else {
                pipe.from
            };
            (self.nodes[far.0 as usize].drawn() - here).normalize_or_zero()
        };
        way(a).dot(way(b)) < -0.999_999
    }

    /// In a drain two ways from one point to another are a mistake: water finds only one.
    fn look_for_loops(&mut self) {
        let mut leader: Vec<u32> = (0..self.nodes.len() as u32).collect();
        let mut reported = vec![false; self.runs.len()];
        for pipe in &self.pipes {
            if !pipe.system.drains() {
                continue;
            }
            let (a, b) = (
                leader_of(&mut leader, pipe.from.0),
                leader_of(&mut leader, pipe.to.0),
            );
            let run = pipe.run.0 as usize;
            if a != b {
                leader[a as usize] = b;
            } else if !std::mem::replace(&mut reported[run], true) {
                let text = "the drain closes a loop here";
                let help = "let one end of it stop short: a drain has one way to its outlet";
                self.remarks
                    .push(Diagnostic::mistake("drain-loop", pipe.span, text).help(help));
            }
        }
    }

    /// Fixtures that need a system the job has, and have none.
    fn look_for_unreached(&mut self) {
        let has = System::ALL.map(|system| self.job.runs.iter().any(|run| run.system == system));
        for one in &self.placed {
            if one.fixture.existing {
                continue;
            }
            for system in System::ALL
                .into_iter()
                .zip(has)
                .filter(|(_, has)| *has)
                .map(|(system, _)| system)
            {
                if !one.kind.needs.iter().any(|need| need == system.word()) {
                    continue;
                }
                let usual = crate::refs::usual_port(one.kind, system);
                let reached = one.fixture.ports.iter().any(|port| {
                    port.name == usual && port.node.is_some_and(|node| self.carries(node, system))
                });
                if !reached {
                    let text = format!("no {} run reaches {}", system.word(), one.fixture.tag);
                    let help = format!(
                        "`catch {}` or `end {}` in a {} run",
                        one.fixture.tag,
                        one.fixture.tag,
                        system.word()
                    );
                    self.remarks.push(
                        Diagnostic::warning("unreached-fixture", one.fixture.span, text).help(help),
                    );
                }
            }
        }
    }

    /// Runs that stop at a named point where nothing goes on.
    fn look_for_unfinished(&mut self) {
        for (ix, run) in self.job.runs.iter().enumerate() {
            let Some(name) = run.last_point() else {
                continue;
            };
            let ends_there = self.points.get(name.text.as_str());
            if self.astray[ix] || ends_there.is_none_or(|&node| self.node(node).pipes.len() != 1) {
                continue;
            }
            let text = format!(
                "the run `{}` just stops at `{}`, where no other goes on",
                run.name.text, name.text
            );
            let help = format!(
                "let another run begin with `start {}`, or finish this one with `cap`",
                name.text
            );
            self.remarks
                .push(Diagnostic::mistake("run-not-finished", name.span, text).help(help));
        }
    }

    /// Whether pipe of a system meets a node; water counts from its outlet as well.
    fn carries(&self, node: NodeIx, system: System) -> bool {
        self.node(node)
            .pipes
            .iter()
            .any(|pipe| self.pipes[pipe.0 as usize].system == system)
    }

    /// Takes out nodes that turned out to be another one.
    fn drop_merged(&mut self) {
        let mut new = Vec::with_capacity(self.nodes.len());
        let mut kept = 0;
        for ix in 0..self.nodes.len() {
            new.push(NodeIx(kept));
            if !self.is_merged(NodeIx(ix as u32)) {
                kept += 1;
            }
        }
        let renamed: Vec<NodeIx> = (0..self.nodes.len())
            .map(|ix| new[self.alive(NodeIx(ix as u32)).0 as usize])
            .collect();
        let gone: Vec<bool> = (0..self.nodes.len())
            .map(|ix| self.is_merged(NodeIx(ix as u32)))
            .collect();
        let mut ix = 0;
        self.nodes.retain(|_| {
            ix += 1;
            !gone[ix - 1]
        });
        for pipe in &mut self.pipes {
            pipe.from = renamed[pipe.from.0 as usize];
            pipe.to = renamed[pipe.to.0 as usize];
        }
        for port in self
            .placed
            .iter_mut()
            .flat_map(|one| &mut one.fixture.ports)
        {
            port.node = port.node.map(|node| renamed[node.0 as usize]);
        }
        for fit in self.runs.iter_mut().flat_map(|run| &mut run.fits) {
            fit.node = renamed[fit.node.0 as usize];
        }
    }
}

fn leader_of(leader: &mut [u32], of: u32) -> u32 {
    let mut at = of;
    while leader[at as usize] != at {
        leader[at as usize] = leader[leader[at as usize] as usize];
        at = leader[at as usize];
    }
    at
}

/// Lengths and rises of every run, by its pipes as drawn.
fn sum_up(network: &mut Network) {
    for ix in 0..network.runs.len() {
        let run = &network.runs[ix];
        let (mut developed, mut rise) = (0.0, 0.0);
        for &pipe in &run.pipes {
            let pipe = network.pipe(pipe);
            developed += network.length_mm(pipe);
            if matches!(pipe.lie, Lie::Vertical | Lie::Tilted | Lie::Rolling) {
                let (from, to) = network.drawn(pipe);
                let told = if run.system.drains() {
                    from.z - to.z
                } else {
                    to.z - from.z
                };
                rise += told.max(0.0);
            }
        }
        let run = &mut network.runs[ix];
        run.developed_mm = developed;
        run.rise_mm = rise;
    }
}
