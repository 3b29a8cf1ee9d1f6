//! Tests of the isometric's geometry, on networks built by hand.

mod corners;
mod crossings;
mod frames;
mod overlaps;
mod parts;
mod tables;

use glam::DVec3;
use wyeline_job::Span;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{Lie, Node, NodeIx, NodeKind, Pipe, PipeIx, RunIx};
use wyeline_units::Scale;

use crate::iso::{IsoOptions, iso};
use crate::view::{Corner, Part};
use crate::{Picture, Projection};

/// Runs of pipe from point to point, mm; points at the same place are one node.
fn network(runs: &[(System, Vec<[f64; 3]>)]) -> Network {
    let mut net = Network::default();
    for (run, (system, points)) in runs.iter().enumerate() {
        let nodes: Vec<NodeIx> = points
            .iter()
            .map(|p| node_at(&mut net, *system, (*p).into()))
            .collect();
        for pair in nodes.windows(2) {
            let ix = PipeIx(net.pipes.len() as u32);
            let (a, b) = (net.node(pair[0]).at, net.node(pair[1]).at);
            net.pipes.push(Pipe {
                id: format!("{run}/{}", ix.0),
                system: *system,
                from: pair[0],
                to: pair[1],
                run: RunIx(run as u32),
                size: None,
                bore_mm: None,
                outside_mm: None,
                material: None,
                lie: lie(b - a),
                slope: None,
                fall_mm: 0.0,
                invert_from: None,
                invert_to: None,
                arm: false,
                existing: false,
                unverified: false,
                worked_out: false,
                load: None,
                mark: None,
                insulation: None,
                span: Span::default(),
                line: 1,
            });
            for n in pair {
                net.nodes[n.0 as usize].pipes.push(ix);
            }
        }
    }
    for node in &mut net.nodes {
        node.kind = if node.pipes.len() > 2 {
            NodeKind::Junction
        } else {
            NodeKind::Turn
        };
    }
    net
}

fn node_at(net: &mut Network, system: System, at: DVec3) -> NodeIx {
    if let Some(i) = net.nodes.iter().position(|n| n.at == at) {
        return NodeIx(i as u32);
    }
    let ix = NodeIx(net.nodes.len() as u32);
    net.nodes.push(Node {
        id: format!("n{}", ix.0),
        at,
        z_drawn: at.z,
        kind: NodeKind::Turn,
        system,
        pipes: Vec::new(),
        fixture: None,
        device: None,
        fitting: Vec::new(),
        span: Span::default(),
        line: 1,
        name: None,
        note: None,
        mark: None,
    });
    ix
}

fn lie(d: DVec3) -> Lie {
    match [d.x, d.y, d.z].map(|v| v.abs() > 1e-9) {
        [false, false, _] => Lie::Vertical,
        [true, false, false] | [false, true, false] => Lie::Axis,
        [true, true, false] => Lie::LevelSkew,
        [true, true, true] => Lie::Rolling,
        _ => Lie::Tilted,
    }
}

/// The whole network at a scale, from a corner.
fn drawn(net: &Network, corner: Corner, scale: u32) -> Picture {
    let options = IsoOptions {
        corner,
        scale: Scale(scale),
        true_fall: false,
        part: Part::default(),
        labels_along: false,
        grid: false,
    };
    iso(net, &options)
}

/// Angle on paper, degrees counter-clockwise from the right, 0 up to 360, and length over true length.
fn angle_and_ratio(corner: Corner, d: DVec3) -> (f64, f64) {
    let v = Projection::new(corner, Scale(1)).vector(d);
    let angle = (-v.y).atan2(v.x).to_degrees().rem_euclid(360.0);
    (
        if angle > 359.999 { 0.0 } else { angle },
        v.hypot() / d.length(),
    )
}
