//! The network as JSON, for other programs and for reading closely.

use serde_json::{Value, json};
use wyeline_job::model::Compass;

use crate::model::{DoubtKind, Lie, Network, Node, NodeKind, Pipe};

/// Millimetres to a nanometre; also turns -0 into 0.
fn mm(value: f64) -> f64 {
    (value * 1e6).round() / 1e6 + 0.0
}

fn node_kind(kind: &NodeKind) -> &'static str {
    match kind {
        NodeKind::Turn => "turn",
        NodeKind::Junction => "junction",
        NodeKind::Inline => "inline",
        NodeKind::Start => "start",
        NodeKind::Outlet => "outlet",
        NodeKind::Trap => "trap",
        NodeKind::ArmEnd => "arm-end",
        NodeKind::Stub => "stub",
        NodeKind::Port => "port",
        NodeKind::Cap => "cap",
        NodeKind::RoofEnd => "roof-end",
        NodeKind::Continues { .. } => "continues",
        NodeKind::Loose => "loose",
    }
}

fn lie(lie: Lie) -> &'static str {
    match lie {
        Lie::Axis => "axis",
        Lie::Vertical => "vertical",
        Lie::LevelSkew => "level-skew",
        Lie::Tilted => "tilted",
        Lie::Rolling => "rolling",
    }
}

fn compass(way: Compass) -> &'static str {
    match way {
        Compass::East => "east",
        Compass::Northeast => "northeast",
        Compass::North => "north",
        Compass::Northwest => "northwest",
        Compass::West => "west",
        Compass::Southwest => "southwest",
        Compass::South => "south",
        Compass::Southeast => "southeast",
    }
}

fn node(network: &Network, node: &Node) -> Value {
    let mut out = json!({
        "id": node.id,
        "x": mm(node.at.x),
        "y": mm(node.at.y),
        "z": mm(node.at.z),
        "z_drawn": mm(node.z_drawn),
        "kind": node_kind(&node.kind),
        "system": node.system.word(),
        "line": node.line,
    });
    if let Some(fixture) = node.fixture {
        out["fixture"] = json!(network.fixtures[fixture.0 as usize].tag);
    }
    if let Some(name) = &node.name {
        out["name"] = json!(name);
    }
    if let Some(device) = &node.device {
        out["device"] = json!({
            "kind": device.kind.word(),
            "tag": device.tag,
            "length": device.length_mm.map(mm),
        });
    }
    if let NodeKind::Continues { to, load } = &node.kind {
        out["to"] = json!(to);
        out["load"] = json!(load);
    }
    if let Some(note) = &node.note {
        out["note"] = json!(note);
    }
    out
}

fn pipe(network: &Network, pipe: &Pipe) -> Value {
    let mut out = json!({
        "id": pipe.id,
        "system": pipe.system.word(),
        "run": network.runs[pipe.run.0 as usize].name,
        "from": network.node(pipe.from).id,
        "to": network.node(pipe.to).id,
        "lie": lie(pipe.lie),
        "length": mm(network.length_mm(pipe)),
        "fall": mm(pipe.fall_mm),
        "line": pipe.line,
    });
    if let Some(size) = pipe.size {
        out["size"] = json!(size);
    }
    if let Some(material) = &pipe.material {
        out["material"] = json!(material);
    }
    if let Some(slope) = pipe.slope {
        out["slope"] = json!(slope.slope);
        out["slope_assumed"] = json!(slope.assumed);
    }
    for (name, value) in [
        ("bore", pipe.bore_mm),
        ("outside", pipe.outside_mm),
        ("invert_from", pipe.invert_from),
        ("invert_to", pipe.invert_to),
    ] {
        if let Some(value) = value {
            out[name] = json!(mm(value));
        }
    }
    for (name, holds) in [
        ("arm", pipe.arm),
        ("existing", pipe.existing),
        ("unverified", pipe.unverified),
    ] {
        if holds {
            out[name] = json!(true);
        }
    }
    out
}

/// Returns the network as JSON: an object with
///
/// * `unit`: always `"mm"`; all lengths and heights are millimetres from the job's origin and datum, to a nanometre
/// * `datum`: what to add to heights to give the benchmark's, or null
/// * `levels`: `name`, `floor`, `ceiling`, `underside`
/// * `nodes`: `id`, `x`, `y`, `z`, `z_drawn`, `kind`, `system`, `line`, and where they apply
///   `fixture`, `name`, `device`, `to`, `load`, `note`
/// * `pipes`: `id`, `system`, `run`, `from` and `to` (node ids, the way it flows), `lie`, `length` (as drawn),
///   `fall`, `line`, and where known `size`, `material`, `slope`, `slope_assumed`, `bore`, `outside`,
///   `invert_from`, `invert_to`, `arm`, `existing`, `unverified`
/// * `fixtures`: `tag`, `kind`, `level`, `x`, `y`, `z`, `faces`, `line`, `ports` (`name`, `x`, `y`, `z`, `node` or null)
/// * `runs`: `name`, `system`, `pipes` (ids, in the order told), `developed`, `rise`, `fall`,
///   `fits` (`node`, `wanted`, `got`, `run`, `available`)
/// * `doubts`: `text`, `why` (`assumed`, `unverified`, `unknown`), `line`
pub fn to_json(network: &Network) -> Value {
    let levels: Vec<Value> = network
        .levels
        .iter()
        .map(|level| {
            json!({
                "name": level.name,
                "floor": mm(level.floor),
                "ceiling": level.ceiling.map(mm),
                "underside": level.underside.map(mm),
            })
        })
        .collect();
    let fixtures: Vec<Value> = network
        .fixtures
        .iter()
        .map(|fixture| {
            let ports: Vec<Value> = fixture
                .ports
                .iter()
                .map(|port| {
                    json!({
                        "name": port.name,
                        "x": mm(port.at.x),
                        "y": mm(port.at.y),
                        "z": mm(port.at.z),
                        "node": port.node.map(|node| &network.node(node).id),
                    })
                })
                .collect();
            json!({
                "tag": fixture.tag,
                "kind": fixture.kind,
                "level": network.levels[fixture.level.0 as usize].name,
                "x": mm(fixture.anchor.x),
                "y": mm(fixture.anchor.y),
                "z": mm(fixture.anchor.z),
                "faces": compass(fixture.faces),
                "line": fixture.line,
                "ports": ports,
            })
        })
        .collect();
    let runs: Vec<Value> = network
        .runs
        .iter()
        .map(|run| {
            let fits: Vec<Value> = run
                .fits
                .iter()
                .map(|fit| {
                    json!({
                        "node": network.node(fit.node).id,
                        "wanted": mm(fit.wanted_mm),
                        "got": mm(fit.got_mm),
                        "run": mm(fit.run_mm),
                        "available": fit.available,
                    })
                })
                .collect();
            json!({
                "name": run.name,
                "system": run.system.word(),
                "pipes": run.pipes.iter().map(|&pipe| &network.pipe(pipe).id).collect::<Vec<_>>(),
                "developed": mm(run.developed_mm),
                "rise": mm(run.rise_mm),
                "fall": mm(run.fall_mm),
                "fits": fits,
            })
        })
        .collect();
    let doubts: Vec<Value> = network
        .doubts
        .iter()
        .map(|doubt| {
            let why = match doubt.why {
                DoubtKind::Assumed => "assumed",
                DoubtKind::Unverified => "unverified",
                DoubtKind::Unknown => "unknown",
            };
            json!({ "text": doubt.text, "why": why, "line": doubt.line })
        })
        .collect();
    json!({
        "unit": "mm",
        "datum": network.datum_mm.map(mm),
        "levels": levels,
        "nodes": network.nodes.iter().map(|one| node(network, one)).collect::<Vec<_>>(),
        "pipes": network.pipes.iter().map(|one| pipe(network, one)).collect::<Vec<_>>(),
        "fixtures": fixtures,
        "runs": runs,
        "doubts": doubts,
    })
}
