//! Builds the network run by run: finds what steps refer to and keeps runs waiting
//! for points that are told later.
//!
//! Every run is walked step by step (`steps`); a step that refers to a point not
//! yet placed puts its run to sleep until another run places it.

use std::collections::{BTreeSet, VecDeque};

use glam::DVec3;
use rustc_hash::{FxHashMap, FxHashSet};
use wyeline_job::model::{Job, Name, Reach as Far, Run, Start, StepKind, System};
use wyeline_job::{Diagnostic, Span};
use wyeline_units::Size;

use crate::bores::Material;
use crate::fixtures::{Placed, place_all};
use crate::kinds::Trap;
use crate::materials::{Told, assumed, told};
use crate::model::{FixtureIx, Node, NodeIx, NodeKind, Pipe, RunIx, RunSummary};
use crate::remarks::Remarks;
use crate::site::Site;
use crate::twins::{PortIx, twins};
use crate::walk::{Here, Stop, Walk};

/// Everything that is known while the network grows.
pub(crate) struct Builder<'a> {
    pub job: &'a Job,
    pub site: Site<'a>,
    pub remarks: Remarks<'a>,
    /// The materials of systems that the job tells.
    pub materials: Told<'a>,
    /// Taken for drains and vents for which neither run nor job names a material.
    pub assumed: Material,
    pub nodes: Vec<Node>,
    pub pipes: Vec<Pipe>,
    pub placed: Vec<Placed>,
    pub runs: Vec<RunSummary>,
    /// Runs that went wrong somewhere: what follows from that is not reported again.
    pub astray: Vec<bool>,
    /// Fixtures whose trap and arm stand.
    pub arms: Vec<bool>,
    /// Ports that lie on one spot with an earlier port of that name: the earlier one.
    twins: FxHashMap<PortIx, PortIx>,
    pub tags: FxHashMap<&'a str, u32>,
    /// The run that names each point.
    pub declared: FxHashMap<&'a str, usize>,
    pub points: FxHashMap<&'a str, NodeIx>,
    /// Branches laid, from node to node: the size they are told with, and where they end.
    pub branches: FxHashMap<(System, NodeIx, NodeIx), (Option<Size>, Here)>,
    /// Ends of drains named in other runs: where those go on.
    pub joined: FxHashSet<&'a str>,
    waiting: FxHashMap<&'a str, Vec<usize>>,
    woken: VecDeque<usize>,
    /// Nodes that turned out to be another one.
    merged: FxHashMap<NodeIx, NodeIx>,
}

/// What a reference leads to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Found {
    /// A node that stands.
    Node(NodeIx),
    /// A port of a fixture: fixture and port by their numbers.
    Port(u32, usize),
}

impl<'a> Builder<'a> {
    pub fn new(job: &'a Job, text: &'a str) -> Self {
        let mut remarks = Remarks::new(text, job.units);
        let site = Site::new(job, &mut remarks);
        let mut placed = place_all(job, &site, &mut remarks);
        let twins = twins(&mut placed);
        let mut declared = FxHashMap::default();
        for (run, told) in job.runs.iter().enumerate() {
            for step in &told.steps {
                if let StepKind::Point(name) = &step.kind {
                    declared.entry(name.text.as_str()).or_insert(run);
                }
            }
        }
        let mut told_tags: FxHashMap<&str, &'a str> = FxHashMap::default();
        for told in &job.fixtures {
            told_tags.entry(&told.tag.text).or_insert(&told.tag.text);
        }
        let mut tags = FxHashMap::default();
        for (ix, one) in placed.iter().enumerate() {
            if let Some(&tag) = told_tags.get(one.fixture.tag.as_str()) {
                tags.entry(tag).or_insert(ix as u32);
            }
        }
        let runs = job.runs.iter().map(summary).collect();
        let materials = told(job, &mut remarks);
        Self {
            job,
            site,
            remarks,
            materials,
            assumed: assumed(job),
            nodes: Vec::new(),
            pipes: Vec::new(),
            arms: vec![false; placed.len()],
            placed,
            twins,
            astray: vec![false; job.runs.len()],
            runs,
            tags,
            declared,
            points: FxHashMap::default(),
            branches: FxHashMap::default(),
            joined: joined_by_drains(job),
            waiting: FxHashMap::default(),
            woken: VecDeque::new(),
            merged: FxHashMap::default(),
        }
    }

    /// Walks every run to its end.
    pub fn walk_all(&mut self) {
        let (job, assumed) = (self.job, self.assumed);
        let materials = &self.materials;
        let mut walks: Vec<Walk<'a>> = (0..job.runs.len())
            .map(|run| Walk::new(run, job, materials, assumed))
            .collect();
        let mut asleep: BTreeSet<usize> = BTreeSet::new();
        self.woken = (0..walks.len()).collect();
        loop {
            while let Some(ix) = self.woken.pop_front() {
                asleep.remove(&ix);
                if let Some(point) = self.proceed(&mut walks[ix]) {
                    self.waiting.entry(point).or_default().push(ix);
                    asleep.insert(ix);
                }
            }
            // What still sleeps waits in a circle, or for a run that never came so far.
            let Some(ix) = asleep.pop_first() else { break };
            self.report_circle(&walks[ix], &walks);
            for sleepers in self.waiting.values_mut() {
                sleepers.retain(|&sleeper| sleeper != ix);
            }
            walks[ix].skip();
            self.woken.push_back(ix);
        }
    }

    /// Walks a run as far as it goes; the point it has to wait for, where it does.
    fn proceed(&mut self, walk: &mut Walk<'a>) -> Option<&'a str> {
        let run: &'a Run = &self.job.runs[walk.run];
        while let Some(step) = run.steps.get(walk.step) {
            match self.step(walk, step) {
                Err(Stop::Wait(point)) => return Some(point),
                Ok(()) => {}
                Err(Stop::Mistake) => walk.shaky = true,
            }
            walk.step += 1;
        }
        self.finish(walk);
        None
    }

    fn report_circle(&mut self, walk: &Walk<'a>, walks: &[Walk<'a>]) {
        let step = &self.job.runs[walk.run].steps[walk.step];
        let name = match &step.kind {
            StepKind::Start(Start::From(point))
            | StepKind::Join(point)
            | StepKind::Level {
                reach: Far::Abreast(point),
                ..
            } => &point.name,
            _ => return,
        };
        let Some(&by) = self.declared.get(name.text.as_str()) else {
            return;
        };
        // A run that ended without placing the point has its own mistake.
        if walks[by].step < self.job.runs[by].steps.len() {
            let other = &self.job.runs[by];
            self.remarks.push(
                Diagnostic::mistake(
                    "points-in-a-circle",
                    name.span,
                    format!("`{}` depends on what is told here", name.text),
                )
                .note(
                    other.name.span,
                    format!("`{}` names the point", other.name.text),
                )
                .help("tell one of them by lengths"),
            );
        }
    }

    /// The node that stands for a node, which may have been merged into another.
    pub fn alive(&self, node: NodeIx) -> NodeIx {
        let mut node = node;
        while let Some(&next) = self.merged.get(&node) {
            node = next;
        }
        node
    }

    pub fn merges(&self) -> bool {
        !self.merged.is_empty()
    }

    pub fn is_merged(&self, node: NodeIx) -> bool {
        self.merged.contains_key(&node)
    }

    pub fn node(&self, ix: NodeIx) -> &Node {
        &self.nodes[self.alive(ix).0 as usize]
    }

    pub fn node_mut(&mut self, ix: NodeIx) -> &mut Node {
        let ix = self.alive(ix);
        &mut self.nodes[ix.0 as usize]
    }

    pub fn add_node(
        &mut self,
        id: String,
        at: DVec3,
        z_drawn: f64,
        kind: NodeKind,
        system: System,
        span: Span,
    ) -> NodeIx {
        let ix = NodeIx(self.nodes.len() as u32);
        let line = self.remarks.line(span);
        self.nodes.push(Node {
            id,
            at,
            z_drawn,
            kind,
            system,
            pipes: Vec::new(),
            fixture: None,
            device: None,
            fitting: Vec::new(),
            span,
            line,
            name: None,
            note: None,
            mark: None,
        });
        ix
    }

    /// Makes `from` and `into` the same node.
    pub fn merge(&mut self, from: NodeIx, into: NodeIx) {
        let (from, into) = (self.alive(from), self.alive(into));
        if from == into {
            return;
        }
        let old = &mut self.nodes[from.0 as usize];
        let pipes = std::mem::take(&mut old.pipes);
        let (device, name, note) = (old.device.take(), old.name.take(), old.note.take());
        let fitting = std::mem::take(&mut old.fitting);
        for &ix in &pipes {
            let pipe = &mut self.pipes[ix.0 as usize];
            if pipe.from == from {
                pipe.from = into;
            }
            if pipe.to == from {
                pipe.to = into;
            }
        }
        let kept = &mut self.nodes[into.0 as usize];
        kept.pipes.extend(pipes);
        kept.device = kept.device.take().or(device);
        kept.fitting.extend(fitting);
        kept.name = kept.name.take().or(name);
        kept.note = kept.note.take().or(note);
        self.merged.insert(from, into);
    }

    /// Names a node, and wakes the runs that wait for the name.
    pub fn name_point(&mut self, name: &'a Name, node: NodeIx) {
        let node_name = &mut self.node_mut(node).name;
        if node_name.is_none() {
            *node_name = Some(name.text.clone());
        }
        self.points.entry(&name.text).or_insert(node);
        if let Some(sleepers) = self.waiting.remove(name.text.as_str()) {
            self.woken.extend(sleepers);
        }
    }

    /// Where what was found lies.
    pub fn place_of(&self, found: Found) -> DVec3 {
        match found {
            Found::Node(node) => self.node(node).at,
            Found::Port(fixture, port) => self.placed[fixture as usize].fixture.ports[port].at,
        }
    }

    /// The node that stands for what was found; a port's node is made when first reached.
    pub fn node_of(&mut self, found: Found) -> NodeIx {
        let (fixture, port) = match found {
            Found::Node(node) => return self.alive(node),
            Found::Port(fixture, port) => (fixture, port),
        };
        let one = &self.placed[fixture as usize];
        let told = &one.fixture.ports[port];
        if let Some(node) = told.node {
            return self.alive(node);
        }
        if let Some(&(first, same)) = self.twins.get(&(fixture, port)) {
            let node = self.node_of(Found::Port(first, same));
            self.placed[fixture as usize].fixture.ports[port].node = Some(node);
            return node;
        }
        let equipment = one.kind.trap == Trap::None;
        let kind = match told.name.as_str() {
            "tee" => NodeKind::ArmEnd,
            "drain" => NodeKind::Outlet,
            _ if equipment && one.kind.centred => NodeKind::Port,
            _ => NodeKind::Stub,
        };
        let system = match told.name.as_str() {
            "cold" => System::Cold,
            "hot" => System::Hot,
            "return" => System::HotReturn,
            "gas" => System::Gas,
            "vent" => System::Vent,
            "drain"
                if one
                    .kind
                    .needs
                    .iter()
                    .any(|need| need == System::Storm.word()) =>
            {
                System::Storm
            }
            _ => System::Waste,
        };
        let id = [&*one.fixture.tag, ".", &*told.name].concat();
        let (at, span) = (told.at, one.fixture.span);
        let node = self.add_node(id, at, at.z, kind, system, span);
        self.nodes[node.0 as usize].fixture = Some(FixtureIx(fixture));
        self.placed[fixture as usize].fixture.ports[port].node = Some(node);
        node
    }
}

/// Points that drains end at by `join`.
fn joined_by_drains(job: &Job) -> FxHashSet<&str> {
    let drains = job.runs.iter().filter(|run| run.system.drains());
    drains
        .filter_map(|run| match &run.steps.last()?.kind {
            StepKind::Join(point) if point.port.is_none() => Some(point.name.text.as_str()),
            _ => None,
        })
        .collect()
}

fn summary(told: &Run) -> RunSummary {
    RunSummary {
        name: told.name.text.clone(),
        system: told.system,
        pipes: Vec::new(),
        developed_mm: 0.0,
        rise_mm: 0.0,
        fall_mm: 0.0,
        fits: Vec::new(),
        span: told.span,
    }
}

/// A run by its number.
pub(crate) fn run_ix(run: usize) -> RunIx {
    RunIx(run as u32)
}
