//! What the page draws its plan from: levels, walls, fixtures, pipes and nodes in millimetres, as JSON.
//!
//! All of the job's levels at once, so that changing the storey asks nobody. x runs east, y north.

use serde::Serialize;
use serde_json::{Value, json};
use wyeline_job::LineIndex;
use wyeline_job::model::{Job, OpeningKind};
use wyeline_network::Network;
use wyeline_network::kinds::kinds;
use wyeline_network::model::{Fixture, NodeKind, Pipe, RunSummary};

/// Hundredths of a millimetre are finer than any screen.
fn mm(value: f64) -> f64 {
    (value * 100.0).round() / 100.0 + 0.0
}

fn point(at: (f64, f64)) -> [f64; 2] {
    [mm(at.0), mm(at.1)]
}

/// Everything a plan is drawn from.
#[derive(Serialize)]
pub struct Plan<'a> {
    levels: Vec<Level<'a>>,
    traced: Vec<Traced>,
    walls: Vec<Wall>,
    openings: Vec<Opening>,
    rooms: Vec<Room<'a>>,
    bodies: Vec<Body<'a>>,
    fixtures: Vec<Placed<'a>>,
    nodes: Vec<Place<'a>>,
    pipes: Vec<Length<'a>>,
    runs: Vec<Run<'a>>,
    clear: Option<Clear>,
}

/// Room asked in front of and beside a fixture, mm, and where that stands.
#[derive(Serialize)]
pub struct Clear {
    /// In front.
    pub front: Option<f64>,
    /// To each side of its centre line.
    pub side: Option<f64>,
    /// Where that stands.
    pub by: Option<String>,
}

#[derive(Serialize)]
struct Level<'a> {
    name: &'a str,
    floor: f64,
    ceiling: Option<f64>,
    underside: Option<f64>,
}

#[derive(Serialize)]
struct Wall {
    level: u32,
    from: [f64; 2],
    to: [f64; 2],
    into: [f64; 2],
    thick: f64,
}

/// A wall as it was traced: what is pulled and measured is a stretch of it.
#[derive(Serialize)]
struct Traced {
    line: u32,
    level: Option<usize>,
    points: Vec<[f64; 2]>,
}

#[derive(Serialize)]
struct Opening {
    kind: &'static str,
    level: u32,
    wall: u32,
    at: [f64; 2],
    wide: f64,
}

#[derive(Serialize)]
struct Room<'a> {
    text: &'a str,
    level: u32,
    at: [f64; 2],
}

#[derive(Serialize)]
struct Body<'a> {
    kind: &'static str,
    tag: &'a str,
    corners: [[f64; 2]; 4],
    z: [f64; 2],
}

#[derive(Serialize)]
struct Placed<'a> {
    tag: &'a str,
    kind: &'a str,
    letters: &'a str,
    level: u32,
    at: [f64; 2],
    faces: &'static str,
    way: [f64; 2],
    size: [f64; 2],
    centred: bool,
    ports: Vec<Port<'a>>,
    line: u32,
}

#[derive(Serialize)]
struct Port<'a> {
    name: &'a str,
    at: [f64; 3],
    reached: bool,
}

#[derive(Serialize)]
struct Place<'a> {
    id: &'a str,
    at: [f64; 3],
    kind: &'static str,
    name: Option<&'a str>,
    line: u32,
    device: Option<&'static str>,
}

#[derive(Serialize)]
struct Length<'a> {
    id: &'a str,
    system: &'static str,
    from: u32,
    to: u32,
    run: Option<&'a str>,
    size: Option<String>,
    worked_out: bool,
    lie: &'static str,
    line: u32,
    existing: bool,
}

#[derive(Serialize)]
struct Run<'a> {
    name: &'a str,
    system: &'static str,
    line: u32,
    /// Where it may be led on, if its end is loose.
    open: Option<[f64; 3]>,
}

/// Puts together everything a plan is drawn from.
pub fn plan<'a>(
    job: &Job,
    network: &'a Network,
    index: &LineIndex<'_>,
    clear: Option<Clear>,
) -> Plan<'a> {
    let levels = network.levels.iter().map(|level| Level {
        name: &level.name,
        floor: mm(level.floor),
        ceiling: level.ceiling.map(mm),
        underside: level.underside.map(mm),
    });
    let traced = job.walls.iter().map(|wall| Traced {
        line: index.line(wall.span.start),
        level: network
            .levels
            .iter()
            .position(|level| level.name == wall.level.text),
        points: wall
            .points
            .iter()
            .map(|(x, y)| point((x.mm(), y.mm())))
            .collect(),
    });
    let building = &network.building;
    let walls = building.walls.iter().map(|wall| Wall {
        level: wall.level.0,
        from: point(wall.from),
        to: point(wall.to),
        into: [wall.into.0, wall.into.1],
        thick: mm(wall.thick),
    });
    let openings = building.openings.iter().map(|opening| Opening {
        kind: match opening.kind {
            OpeningKind::Door => "door",
            OpeningKind::Window => "window",
        },
        level: opening.level.0,
        wall: opening.wall,
        at: point(opening.at),
        wide: mm(opening.width),
    });
    let rooms = building.rooms.iter().map(|room| Room {
        text: &room.text,
        level: room.level.0,
        at: point(room.at),
    });
    let bodies = building.bodies.iter().map(|body| Body {
        kind: body.kind.word(),
        tag: &body.tag,
        corners: body.corners.map(point),
        z: [mm(body.z.0), mm(body.z.1)],
    });
    let nodes = network.nodes.iter().map(|node| Place {
        id: &node.id,
        at: [mm(node.at.x), mm(node.at.y), mm(node.z_drawn)],
        kind: node.kind.word(),
        name: node.name.as_deref(),
        line: node.line,
        device: node.device.as_ref().map(|device| device.kind.word()),
    });
    Plan {
        levels: levels.collect(),
        traced: traced.collect(),
        walls: walls.collect(),
        openings: openings.collect(),
        rooms: rooms.collect(),
        bodies: bodies.collect(),
        fixtures: network.fixtures.iter().map(placed).collect(),
        nodes: nodes.collect(),
        pipes: network
            .pipes
            .iter()
            .map(|pipe| line(network, pipe))
            .collect(),
        runs: network
            .runs
            .iter()
            .map(|run| self::run(network, run, index))
            .collect(),
        clear,
    }
}

fn run<'a>(network: &Network, run: &'a RunSummary, index: &LineIndex<'_>) -> Run<'a> {
    let open = run.pipes.last().and_then(|last| {
        let pipe = network.pipe(*last);
        [pipe.from, pipe.to].into_iter().find(|end| {
            let node = network.node(*end);
            node.pipes.len() == 1 && matches!(node.kind, NodeKind::Loose)
        })
    });
    let open = open.map(|end| {
        let at = network.node(end).at;
        [mm(at.x), mm(at.y), mm(at.z)]
    });
    Run {
        name: &run.name,
        system: run.system.word(),
        line: index.line(run.span.start),
        open,
    }
}

fn placed(fixture: &Fixture) -> Placed<'_> {
    let ports = fixture.ports.iter().map(|port| Port {
        name: &port.name,
        at: [mm(port.at.x), mm(port.at.y), mm(port.at.z)],
        reached: port.node.is_some(),
    });
    let way = wyeline_network::way(fixture.faces);
    Placed {
        tag: &fixture.tag,
        kind: &fixture.kind,
        letters: &fixture.letters,
        level: fixture.level.0,
        at: [mm(fixture.anchor.x), mm(fixture.anchor.y)],
        faces: fixture.faces.word(),
        way: [way.x, way.y],
        size: [mm(fixture.size.0), mm(fixture.size.1)],
        centred: fixture.centred,
        ports: ports.collect(),
        line: fixture.line,
    }
}

fn line<'a>(network: &'a Network, pipe: &'a Pipe) -> Length<'a> {
    let run = network.runs.get(pipe.run.0 as usize);
    Length {
        id: &pipe.id,
        system: pipe.system.word(),
        from: pipe.from.0,
        to: pipe.to.0,
        run: run.map(|run| run.name.as_str()),
        size: pipe.size.map(|size| size.to_string()),
        worked_out: pipe.worked_out,
        lie: pipe.lie.word(),
        line: pipe.line,
        existing: pipe.existing,
    }
}

/// The kinds of fixtures there are, as the page offers them.
pub fn offered() -> Value {
    let all = kinds().rows().iter().map(|kind| {
        let (wide, deep) = kind.plan_mm();
        json!({
            "name": kind.name, "letters": kind.letters, "size": [mm(wide), mm(deep)],
            "centred": kind.centred, "needs": kind.needs,
        })
    });
    all.collect()
}
