//! A route of the learner's own: ink and the plan become runs of the job language, which are held against the code like any job.
//!
//! Never from ink alone: walking begins at the outlet or the service and every reading has to bring fixtures to where the plan has them.

pub mod graph;
pub mod place;
mod route;
mod settle;
mod tell;
mod walk;

use kurbo::{Line, ParamCurve, ParamCurveNearest, Point};
use wyeline_draw::Corner;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_units::Scale;
use wyeline_whole::Built;

use graph::{Graph, Inked};
use place::{Anchor, place};
use route::Route;

/// Ports are drawn where the drain's fall has not moved them yet: they may be off so much, in pitches.
const PORT: f64 = 0.75;
/// A cleanout so near to a line's end stands there, in pitches.
const AT_END: f64 = 1.0;

/// What was made of a drawing.
#[derive(Clone, Debug)]
pub struct Own {
    /// The job with the drawn runs in place of its own.
    pub text: String,
    /// The corner from which it was understood.
    pub corner: Corner,
    /// Tags of fixtures that lines come to.
    pub reached: Vec<String>,
    /// Tags of those that none comes to.
    pub missed: Vec<String>,
    /// Middles of lines that lead nowhere known, mm of the drawing's paper.
    pub unread: Vec<Point>,
}

/// Why nothing was made of a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Fewer than two fixtures are lettered at ends of lines, or they lie nowhere near the plan's.
    NotPlaced,
    /// No line begins at the outlet or the service.
    NoStart,
    /// The job has pipes of other systems, drains and water together, or groups.
    OtherSystems,
}

impl Why {
    /// In plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::NotPlaced => {
                "The drawing cannot be laid on the plan: letter at least two fixtures at the ends of their lines, as far apart as the plan has them."
            }
            Self::NoStart => "No line begins where the sewer or the service comes in.",
            Self::OtherSystems => {
                "A route of one's own is marked for waste and vents, or for cold and hot water, of jobs that are told without groups."
            }
        }
    }
}

/// How a drawing is taken.
#[derive(Clone, Copy, Debug)]
pub struct Taken<'a> {
    /// Straight lines of ink.
    pub lines: &'a [Inked],
    /// Letters and where they stand.
    pub letters: &'a [(Point, String)],
    /// Corners that it may be seen from, in order.
    pub corners: &'a [Corner],
    /// The exercise's scale.
    pub scale: Scale,
    /// The grid's pitch along an axis, mm.
    pub pitch: f64,
    /// Ends may miss each other by so much, mm.
    pub near: f64,
}

/// Tells what is drawn as runs in place of those of the job.
///
/// # Errors
/// The drawing cannot be laid on the plan, begins nowhere, or the job is of a kind that is not taken.
pub fn own(built: &Built, text: &str, taken: &Taken<'_>) -> Result<Own, Why> {
    let network = &built.network;
    let all = |known: [System; 2]| network.runs.iter().all(|run| known.contains(&run.system));
    let taken_up = all([System::Waste, System::Vent]) || all([System::Cold, System::Hot]);
    if !taken_up || built.job.runs.iter().any(|run| run.name.text.contains('/')) {
        return Err(Why::OtherSystems);
    }
    let anchors = anchors(network);
    let mut letters = Vec::new();
    for (at, words) in taken.letters {
        let words = words.trim().to_uppercase();
        for (ix, anchor) in anchors.iter().enumerate() {
            let kind = network
                .fixtures
                .iter()
                .find(|fixture| fixture.tag == anchor.tag)
                .map(|fixture| fixture.letters.to_uppercase());
            if anchor.tag.to_uppercase() == words || kind.is_some_and(|kind| kind == words) {
                letters.push((*at, ix));
            }
        }
    }
    let cleanouts: Vec<Point> = taken
        .letters
        .iter()
        .filter(|(_, words)| is_cleanout(words))
        .filter_map(|(at, _)| beside(*at, taken))
        .collect();
    let graph = Graph::of(taken.lines, &cleanouts, taken.near);
    let placed = place(
        &graph,
        &anchors,
        &letters,
        taken.corners,
        (taken.scale, PORT * taken.pitch, taken.pitch),
    )
    .ok_or(Why::NotPlaced)?;
    let route = Route::of(network, &graph, &placed, &anchors, taken);
    let cleanouts: Vec<usize> = cleanouts
        .iter()
        .filter_map(|at| graph.nearest(*at, taken.near))
        .collect();
    let sizes = taken
        .letters
        .iter()
        .filter_map(|(at, words)| sized(*at, words, &graph, taken));
    let runs = route.tell(network, &graph, &cleanouts, &sizes.collect::<Vec<_>>())?;
    let reached = |anchor: &&Anchor| {
        route
            .reached
            .iter()
            .any(|reached| reached.tag == anchor.tag)
    };
    let (come_to, missed): (Vec<&Anchor>, Vec<&Anchor>) = anchors.iter().partition(reached);
    let tags = |anchors: Vec<&Anchor>| {
        anchors
            .into_iter()
            .map(|anchor| anchor.tag.clone())
            .collect()
    };
    Ok(Own {
        text: format!("{}{}", without_runs(built, text), runs.text),
        corner: placed.corner(),
        reached: tags(come_to),
        missed: tags(missed),
        unread: runs.unread,
    })
}

/// Whether letters tell of a cleanout.
fn is_cleanout(words: &str) -> bool {
    let letters: String = words.chars().filter(char::is_ascii_alphabetic).collect();
    matches!(letters.to_ascii_uppercase().as_str(), "CO" | "FCO" | "WCO")
}

/// The stretch beside which a size is lettered (`2"`, `1-1/2 in`), and the size as the job language has it.
fn sized(at: Point, words: &str, graph: &Graph, taken: &Taken<'_>) -> Option<(usize, String)> {
    let number: String = words
        .trim()
        .trim_end_matches(['"', '″', '”'])
        .trim_end_matches("in")
        .trim()
        .to_owned();
    let size = format!("{number}\"");
    number
        .starts_with(|c: char| c.is_ascii_digit())
        .then_some(())?;
    size.parse::<wyeline_units::Size>().ok()?;
    let off = |edge: &graph::Edge| {
        let line = Line::new(graph.at[edge.a], graph.at[edge.b]);
        line.nearest(at, 1e-6).distance_sq.sqrt()
    };
    let all = graph.edges.iter().map(off).enumerate();
    let (edge, off) = all.min_by(|one, other| one.1.total_cmp(&other.1))?;
    (off <= place::BESIDE * taken.pitch).then_some((edge, size))
}

/// The point of a line that letters stand beside.
fn beside(at: Point, taken: &Taken<'_>) -> Option<Point> {
    let on = taken.lines.iter().map(|line| {
        let line = Line::new(line.a, line.b);
        line.eval(line.nearest(at, 1e-6).t)
    });
    let near = on.filter(|point| point.distance(at) <= place::BESIDE * taken.pitch);
    let nearest = near.min_by(|one, other| one.distance(at).total_cmp(&other.distance(at)))?;
    // A cleanout stands at an end or a turn rather than just beside it.
    let ends = taken.lines.iter().flat_map(|line| [line.a, line.b]);
    let end = ends.filter(|end| end.distance(nearest) <= AT_END * taken.pitch);
    let end = end.min_by(|one, other| one.distance(nearest).total_cmp(&other.distance(nearest)));
    Some(end.unwrap_or(nearest))
}

/// Ports that pipes of the job come to, by fixture: those that have none are left out.
fn anchors(network: &Network) -> Vec<Anchor> {
    let has = |systems: &[System]| network.runs.iter().any(|run| systems.contains(&run.system));
    let (drains, cold, hot) = (
        has(&[System::Waste, System::Vent]),
        has(&[System::Cold]),
        has(&[System::Hot]),
    );
    let wanted = |name: &str| match name {
        "drain" | "tee" => drains,
        "cold" => cold,
        "hot" => hot,
        _ => false,
    };
    let of = network.fixtures.iter().map(|fixture| Anchor {
        tag: fixture.tag.clone(),
        ports: fixture
            .ports
            .iter()
            // What no pipe of the exercise comes to is not asked for.
            .filter(|port| {
                wanted(&port.name) && fixture.ports.iter().any(|port| port.node.is_some())
            })
            .map(|port| (port.name.clone(), port.at))
            .collect(),
    });
    of.filter(|anchor| !anchor.ports.is_empty()).collect()
}

/// The job's text without the lines of its runs.
fn without_runs(built: &Built, text: &str) -> String {
    let mut kept = String::with_capacity(text.len());
    let mut at: u32 = 0;
    for line in text.split_inclusive('\n') {
        let (from, to) = (at, at + line.len() as u32);
        at = to;
        let within = built
            .job
            .runs
            .iter()
            .any(|run| run.span.start < to && run.span.end > from);
        if !within {
            kept.push_str(line);
        }
    }
    if !kept.ends_with('\n') {
        kept.push('\n');
    }
    kept
}
