//! The network as JSON, for other programs and for reading closely.

use serde_json::{Value, json};
use wyeline_job::model::Bound;

use crate::arms::TrapArm;
use crate::junction::{Meeting, Openings};
use crate::model::{Limit, Network, Node, NodeIx, NodeKind, Pipe, PipeIx};

/// Millimetres to a nanometre; also turns -0 into 0.
fn mm(value: f64) -> f64 {
    (value * 1e6).round() / 1e6 + 0.0
}

fn node(network: &Network, ix: usize, node: &Node) -> Value {
    let mut out = json!({
        "id": node.id,
        "x": mm(node.at.x),
        "y": mm(node.at.y),
        "z": mm(node.at.z),
        "z_drawn": mm(node.z_drawn),
        "kind": node.kind.word(),
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
    if !node.fitting.is_empty() {
        out["fitting"] = json!(node.fitting);
    }
    let ix = NodeIx(ix as u32);
    let many = |meeting: &Meeting| meeting.openings() > Openings::Single;
    if let Some(meeting) = network.meeting(ix).filter(many) {
        out["junction"] = json!(meeting.openings().word());
        out["branches"] = ids(network, &meeting.branches);
    }
    let systems = network.systems_at(ix);
    if systems.len() > 1 {
        out["systems"] = systems.iter().map(|system| system.word()).collect();
    }
    if let NodeKind::Continues { to, load, .. } = &node.kind {
        out["to"] = json!(to);
        out["load"] = json!(load);
    }
    if let Some(note) = &node.note {
        out["note"] = json!(note);
    }
    out
}

fn ids(network: &Network, pipes: &[PipeIx]) -> Value {
    pipes
        .iter()
        .map(|&pipe| network.pipe(pipe).id.as_str())
        .collect()
}

/// How a fixture is drained and vented, added to what is told of it.
fn arm(network: &Network, arm: &TrapArm, out: &mut Value) {
    let id = |node: NodeIx| network.node(node).id.as_str();
    out["trap"] = json!(id(arm.trap));
    out["arm"] = ids(network, &arm.pipes);
    out["joins"] = json!(id(arm.joins));
    out["vent"] = arm.vent.map_or(Value::Null, |vent| {
        json!({ "at": id(vent.at), "from": id(vent.from), "pipe": network.pipe(vent.pipe).id })
    });
}

fn bound(bound: Bound) -> &'static str {
    match bound {
        Bound::Exactly => "exactly",
        Bound::AtOrBelow => "at-or-below",
        Bound::AtOrAbove => "at-or-above",
    }
}

fn limit(limit: Limit) -> &'static str {
    match limit {
        Limit::Steepest => "steepest",
        Limit::Flattest => "flattest",
    }
}

fn pipe(network: &Network, pipe: &Pipe) -> Value {
    let mut out = json!({
        "id": pipe.id,
        "system": pipe.system.word(),
        "run": network.runs[pipe.run.0 as usize].name,
        "from": network.node(pipe.from).id,
        "to": network.node(pipe.to).id,
        "lie": pipe.lie.word(),
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
/// * `grade`: height of the ground round the building, or null
/// * `levels`: `name`, `floor`, `ceiling`, `underside`
/// * `nodes`: `id`, `x`, `y`, `z`, `z_drawn`, `kind`, `system`, `line`, and where they apply
///   `fixture`, `name`, `device`, `fitting` (names that the job tells), `to`, `load`, `note`; where four or more pipes meet `junction` (`double`,
///   `triple`, `quadruple`) and `branches` (ids of the pipes that are not its barrel); where pipes of more than
///   one system meet `systems`
/// * `pipes`: `id`, `system`, `run`, `from` and `to` (node ids, the way it flows), `lie`, `length` (as drawn),
///   `fall`, `line`, and where known `size`, `material`, `slope`, `slope_assumed`, `bore`, `outside`,
///   `invert_from`, `invert_to`, `arm`, `existing`, `unverified`
/// * `fixtures`: `tag`, `kind`, `level`, `x`, `y`, `z`, `faces`, `line`, `ports` (`name`, `x`, `y`, `z`, `node` or null);
///   where a drain reaches their trap `trap` (a node), `arm` (ids of the pipes from there to `joins`, the node where another
///   pipe meets them) and `vent` (`at` and `from`, nodes, and `pipe`, as in [`crate::arms::VentTaken`]; or null)
/// * `runs`: `name`, `system`, `pipes` (ids, in the order told), `developed`, `rise`, `fall`,
///   `fits` (`node`, `bound`, `wanted`, `got`, `spare`, `run`, `available`, and `limit`: whether that is the
///   `steepest` or the `flattest` slope that fits, or null)
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
    let mut fixtures: Vec<Value> = network
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
                "faces": fixture.faces.word(),
                "line": fixture.line,
                "ports": ports,
            })
        })
        .collect();
    for found in network.trap_arms() {
        arm(network, &found, &mut fixtures[found.fixture.0 as usize]);
    }
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
                        "bound": bound(fit.bound),
                        "wanted": mm(fit.wanted_mm),
                        "got": mm(fit.got_mm),
                        "spare": mm(fit.spare_mm()),
                        "run": mm(fit.run_mm),
                        "available": fit.available,
                        "limit": fit.limit.map(limit),
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
            let why = doubt.why.word();
            json!({ "text": doubt.text, "why": why, "line": doubt.line })
        })
        .collect();
    json!({
        "unit": "mm",
        "datum": network.datum_mm.map(mm),
        "grade": network.building.grade.map(mm),
        "levels": levels,
        "nodes": network.nodes.iter().enumerate().map(|(ix, one)| node(network, ix, one)).collect::<Vec<_>>(),
        "pipes": network.pipes.iter().map(|one| pipe(network, one)).collect::<Vec<_>>(),
        "fixtures": fixtures,
        "runs": runs,
        "doubts": doubts,
    })
}
