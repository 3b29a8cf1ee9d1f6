//! What an edit looks at: the page, the job read from it and the network built of that.

use std::ops::Range;

use wyeline_job::model::{Fixture, Name, PointRef, Run, Start, Step, StepKind, System};
use wyeline_job::{Job, Span};
use wyeline_network::kinds::{Kind, Trap, kinds};
use wyeline_network::model::{self as net, Pipe};
use wyeline_network::{Network, usual_port};
use wyeline_units::UnitSystem;

use crate::Refusal;
use crate::page::Page;

/// A point in space, mm.
pub type Place = [f64; 3];

/// Page, job and network of one text.
pub struct Plan<'a> {
    /// The text by lines.
    pub page: Page<'a>,
    /// What it says.
    pub job: &'a Job,
    /// What that comes to.
    pub network: &'a Network,
}

/// A pipe and the step that told it.
#[derive(Clone, Copy)]
pub struct Told<'a> {
    /// The pipe.
    pub pipe: &'a Pipe,
    /// The run's number.
    pub run: usize,
    /// The step's number in it.
    pub step: usize,
}

/// The plan distance of two points, mm.
pub fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// The distance of two points, mm.
pub fn distance(a: Place, b: Place) -> f64 {
    apart([a[0], a[1]], [b[0], b[1]]).hypot(a[2] - b[2])
}

/// A point's plan.
pub fn flat(at: Place) -> [f64; 2] {
    [at[0], at[1]]
}

/// The placement's name before a tag's or a run's own, empty outside groups.
pub fn scope(name: &str) -> &str {
    name.rsplit_once('/').map_or("", |(scope, _)| scope)
}

/// A name as it is written within a placement; nothing where that does not know it.
pub fn local<'n>(name: &'n str, within: &str) -> Option<&'n str> {
    if within.is_empty() {
        return Some(name);
    }
    name.strip_prefix(within)?.strip_prefix('/')
}

impl<'a> Plan<'a> {
    /// How lengths are written.
    pub fn units(&self) -> UnitSystem {
        self.job.units
    }

    /// The level of that name: its number and itself.
    pub fn level(&self, name: &str) -> Result<(usize, &'a net::Level), Refusal> {
        let mut all = self.network.levels.iter().enumerate();
        all.find(|(_, level)| level.name == name).ok_or_else(|| {
            let known = self.network.levels.iter().map(|level| level.name.as_str());
            Refusal::unknown("level", name, known)
        })
    }

    /// The run of that name, by its number.
    pub fn run(&self, name: &str) -> Result<usize, Refusal> {
        let mut all = self.job.runs.iter();
        all.position(|run| run.name.text == name).ok_or_else(|| {
            let known = self.job.runs.iter().map(|run| run.name.text.as_str());
            Refusal::unknown("run", name, known)
        })
    }

    /// The fixture of that tag, as told.
    pub fn fixture(&self, tag: &str) -> Result<&'a Fixture, Refusal> {
        let mut all = self.job.fixtures.iter();
        all.find(|one| one.tag.text == tag).ok_or_else(|| {
            let known = self.job.fixtures.iter().map(|one| one.tag.text.as_str());
            Refusal::unknown("fixture", tag, known)
        })
    }

    /// The kind of that name.
    pub fn kind(name: &str) -> Result<&'static Kind, Refusal> {
        kinds()
            .get(name)
            .ok_or_else(|| Refusal::unknown("kind of fixture", name, kinds().names()))
    }

    /// The first and the last line of a run.
    pub fn lines(&self, run: &Run) -> (u32, u32) {
        let last = run.span.end.saturating_sub(1).max(run.span.start);
        (self.page.line_of(run.span.start), self.page.line_of(last))
    }

    /// The line of a place in the text.
    pub fn line(&self, span: Span) -> u32 {
        self.page.line_of(span.start)
    }

    /// The bytes of a place in the text.
    pub fn bytes(span: Span) -> Range<usize> {
        span.start as usize..span.end as usize
    }

    /// The pipe of that id, with the step that told it.
    pub fn pipe(&self, id: &str) -> Result<Told<'a>, Refusal> {
        let found = self.network.pipes.iter().find(|pipe| pipe.id == id);
        let pipe = found.ok_or_else(|| {
            Refusal::new(
                format!("there is no pipe `{id}`"),
                "choose a pipe of the drawing",
            )
        })?;
        self.told(pipe).ok_or_else(|| {
            Refusal::new(
                "no step of a run tells this pipe by itself",
                "it follows from the fixture it belongs to",
            )
        })
    }

    /// The step that told a pipe; nothing for the arm of a fixture.
    pub fn told(&self, pipe: &'a Pipe) -> Option<Told<'a>> {
        let run = pipe.run.0 as usize;
        let steps = &self.job.runs.get(run)?.steps;
        let step = steps.iter().position(|step| step.span == pipe.span)?;
        Some(Told { pipe, run, step })
    }

    /// Where both ends of a pipe lie, mm.
    pub fn ends(&self, pipe: &Pipe) -> (Place, Place) {
        let (from, to) = self.network.true_ends(pipe);
        (from.into(), to.into())
    }

    /// Where a run lies after each of its steps; nothing where its start is not known.
    pub fn track(&self, run: usize) -> Option<Vec<Place>> {
        self.follow(run, 0)
    }

    fn follow(&self, run: usize, depth: usize) -> Option<Vec<Place>> {
        let told = &self.job.runs[run];
        let mut at = match &told.steps.first()?.kind {
            StepKind::Start(Start::At { .. }) => {
                let id = format!("{}:0", told.name.text);
                let node = self.network.nodes.iter().find(|node| node.id == id);
                match node {
                    Some(node) => node.at.into(),
                    None => self.first_end(run)?,
                }
            }
            StepKind::Start(Start::From(point)) => self.find(point, told.system, depth)?,
            _ => return None,
        };
        let pipes = &self.network.runs.get(run)?.pipes;
        let mut places = Vec::with_capacity(told.steps.len());
        let mut next = 0;
        for step in &told.steps {
            while let Some(pipe) = pipes.get(next).map(|&ix| self.network.pipe(ix)) {
                if pipe.span != step.span {
                    break;
                }
                next += 1;
                if !matches!(step.kind, StepKind::Catch { .. }) {
                    let (a, b) = self.ends(pipe);
                    at = if distance(a, at) <= distance(b, at) {
                        b
                    } else {
                        a
                    };
                }
            }
            places.push(at);
        }
        Some(places)
    }

    /// Where the first pipe of a run begins as it is told.
    fn first_end(&self, run: usize) -> Option<Place> {
        let pipe = self
            .network
            .pipe(*self.network.runs.get(run)?.pipes.first()?);
        let (from, to) = self.ends(pipe);
        let upstream = self.job.runs[run].system.drains();
        Some(if upstream { to } else { from })
    }

    /// Where a port or a named point lies.
    pub fn find(&self, point: &PointRef, system: System, depth: usize) -> Option<Place> {
        let name = point.name.text.as_str();
        let fixture = self.network.fixtures.iter().find(|one| one.tag == name);
        if let Some(fixture) = fixture {
            let port = match &point.port {
                Some(port) => port.text.as_str(),
                None => usual_port(kinds().get(&fixture.kind)?, system),
            };
            let port = fixture.ports.iter().find(|one| one.name == port)?;
            return Some(port.at.into());
        }
        self.point(name, depth)
    }

    /// Where a named point lies. A node shows one name only; of others the run that tells it knows.
    pub fn point(&self, name: &str, depth: usize) -> Option<Place> {
        let mut nodes = self.network.nodes.iter();
        if let Some(node) = nodes.find(|node| node.name.as_deref() == Some(name)) {
            return Some(node.at.into());
        }
        if depth > 16 {
            return None;
        }
        for (ix, run) in self.job.runs.iter().enumerate() {
            let step = run.steps.iter().position(|step| names(step, name));
            if let Some(step) = step {
                return self.follow(ix, depth + 1)?.get(step).copied();
            }
        }
        None
    }

    /// Every name that is taken, without the placements' names before it.
    fn taken(&self) -> impl Iterator<Item = &'a str> {
        let steps = self.job.runs.iter().flat_map(|run| &run.steps);
        let points = steps.filter_map(|step| match &step.kind {
            StepKind::Point(name) => Some(name),
            StepKind::Device { tag, .. } => tag.as_ref(),
            _ => None,
        });
        let fixtures = self.job.fixtures.iter().map(|one| &one.tag);
        let bodies = self.job.bodies.iter().map(|one| &one.tag);
        let all = points.chain(fixtures).chain(bodies);
        all.map(|name: &Name| name.text.rsplit('/').next().unwrap_or_default())
    }

    /// Names that begin with these letters and are free, from the number 1 on.
    pub fn free(&self, letters: &str) -> impl Iterator<Item = String> + use<'a> {
        let taken: Vec<&'a str> = self.taken().collect();
        let letters = letters.to_owned();
        (1..)
            .map(move |number: u32| format!("{letters}{number}"))
            .filter(move |name| !taken.contains(&name.as_str()))
    }

    /// A free name for a point.
    pub fn free_point(&self) -> String {
        self.free("P").next().unwrap_or_default()
    }
}

/// Whether a step names a point so.
pub fn names(step: &Step, name: &str) -> bool {
    matches!(&step.kind, StepKind::Point(point) if point.text == name)
}

/// Free-standing equipment without a trap.
pub fn is_equipment(kind: &Kind) -> bool {
    kind.centred && kind.trap == Trap::None
}
