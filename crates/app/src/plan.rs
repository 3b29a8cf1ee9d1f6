//! What the page draws its plan from: levels, walls, fixtures, pipes and nodes in millimetres, as JSON.
//!
//! All of the job's levels at once, so that changing the storey asks nobody. x runs east, y north.

use serde_json::{Value, json};
use wyeline_job::LineIndex;
use wyeline_job::model::{Job, OpeningKind};
use wyeline_network::Network;
use wyeline_network::kinds::kinds;
use wyeline_network::model::{Fixture, NodeKind, Pipe};

/// Hundredths of a millimetre are finer than any screen.
fn mm(value: f64) -> f64 {
    (value * 100.0).round() / 100.0 + 0.0
}

fn point(at: (f64, f64)) -> [f64; 2] {
    [mm(at.0), mm(at.1)]
}

/// Everything a plan is drawn from.
pub fn plan(job: &Job, network: &Network, index: &LineIndex<'_>) -> Value {
    let levels = network.levels.iter().map(|level| {
        json!({
            "name": level.name,
            "floor": mm(level.floor),
            "ceiling": level.ceiling.map(mm),
            "underside": level.underside.map(mm),
        })
    });
    let building = &network.building;
    let walls = building.walls.iter().map(|wall| {
        json!({
            "level": wall.level.0, "from": point(wall.from), "to": point(wall.to),
            "into": [wall.into.0, wall.into.1], "thick": mm(wall.thick),
        })
    });
    // Walls as they were traced: what is pulled and measured is a stretch of these.
    let traced = job.walls.iter().map(|wall| {
        let level = network.levels.iter().position(|level| level.name == wall.level.text);
        let points = wall.points.iter().map(|(x, y)| point((x.mm(), y.mm())));
        json!({ "line": index.line(wall.span.start), "level": level, "points": points.collect::<Vec<_>>() })
    });
    let openings = building.openings.iter().map(|opening| {
        let kind = match opening.kind {
            OpeningKind::Door => "door",
            OpeningKind::Window => "window",
        };
        json!({
            "kind": kind, "level": opening.level.0, "wall": opening.wall,
            "at": point(opening.at), "wide": mm(opening.width),
        })
    });
    let rooms = building.rooms.iter();
    let rooms =
        rooms.map(|room| json!({ "text": room.text, "level": room.level.0, "at": point(room.at) }));
    let bodies = building.bodies.iter().map(|body| {
        json!({
            "kind": body.kind.word(), "tag": body.tag,
            "corners": body.corners.map(point), "z": [mm(body.z.0), mm(body.z.1)],
        })
    });
    let nodes = network.nodes.iter().map(|node| {
        json!({
            "id": node.id, "at": [mm(node.at.x), mm(node.at.y), mm(node.z_drawn)],
            "kind": node.kind.word(), "name": node.name, "line": node.line,
            "device": node.device.as_ref().map(|device| device.kind.word()),
        })
    });
    let pipes = network.pipes.iter().map(|pipe| self::pipe(network, pipe));
    let runs = network.runs.iter().map(|run| {
        let open = run.pipes.last().map(|last| {
            let pipe = network.pipe(*last);
            [pipe.from, pipe.to].into_iter().find(|end| {
                let node = network.node(*end);
                node.pipes.len() == 1 && matches!(node.kind, NodeKind::Loose)
            })
        });
        let open = open.flatten().map(|end| {
            let at = network.node(end).at;
            [mm(at.x), mm(at.y), mm(at.z)]
        });
        json!({ "name": run.name, "system": run.system.word(), "line": index.line(run.span.start), "open": open })
    });
    json!({
        "levels": levels.collect::<Vec<_>>(),
        "traced": traced.collect::<Vec<_>>(),
        "walls": walls.collect::<Vec<_>>(),
        "openings": openings.collect::<Vec<_>>(),
        "rooms": rooms.collect::<Vec<_>>(),
        "bodies": bodies.collect::<Vec<_>>(),
        "fixtures": network.fixtures.iter().map(fixture).collect::<Vec<_>>(),
        "nodes": nodes.collect::<Vec<_>>(),
        "pipes": pipes.collect::<Vec<_>>(),
        "runs": runs.collect::<Vec<_>>(),
    })
}

fn fixture(fixture: &Fixture) -> Value {
    let ports = fixture.ports.iter().map(|port| {
        json!({
            "name": port.name, "at": [mm(port.at.x), mm(port.at.y), mm(port.at.z)],
            "reached": port.node.is_some(),
        })
    });
    let way = wyeline_network::way(fixture.faces);
    json!({
        "tag": fixture.tag, "kind": fixture.kind, "letters": fixture.letters, "level": fixture.level.0,
        "at": [mm(fixture.anchor.x), mm(fixture.anchor.y)], "faces": fixture.faces.word(), "way": [way.x, way.y],
        "size": [mm(fixture.size.0), mm(fixture.size.1)], "centred": fixture.centred,
        "ports": ports.collect::<Vec<_>>(), "line": fixture.line,
    })
}

fn pipe(network: &Network, pipe: &Pipe) -> Value {
    json!({
        "id": pipe.id, "system": pipe.system.word(), "from": pipe.from.0, "to": pipe.to.0,
        "run": network.runs.get(pipe.run.0 as usize).map(|run| &run.name),
        "size": pipe.size.map(|size| size.to_string()), "worked_out": pipe.worked_out,
        "lie": pipe.lie.word(), "line": pipe.line, "existing": pipe.existing,
    })
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
