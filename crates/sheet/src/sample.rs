//! Small networks built by hand for this crate's own tests.

use glam::DVec3;
use wyeline_job::Span;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{Level, Lie, Node, NodeIx, NodeKind, Pipe, PipeIx, RunIx, RunSummary};

/// A pipe from one point to another, mm.
pub(crate) fn pipe(system: System, from: [f64; 3], to: [f64; 3]) -> (System, [f64; 3], [f64; 3]) {
    (system, from, to)
}

/// A network of unconnected pipes over one level whose floor is at 0.
pub(crate) fn network(pipes: &[(System, [f64; 3], [f64; 3])]) -> Network {
    let mut network = Network {
        levels: vec![Level {
            name: "main".to_owned(),
            floor: 0.0,
            ceiling: Some(2400.0),
            underside: None,
            joists: None,
        }],
        ..Network::default()
    };
    for (i, (system, from, to)) in pipes.iter().enumerate() {
        let ix = PipeIx(i as u32);
        let mut end = |at: &[f64; 3], which: &str| {
            network.nodes.push(Node {
                id: format!("n{i}{which}"),
                at: DVec3::from_array(*at),
                z_drawn: at[2],
                kind: NodeKind::Turn,
                system: *system,
                pipes: vec![ix],
                fixture: None,
                device: None,
                fitting: Vec::new(),
                span: Span::default(),
                line: 1,
                name: None,
                note: None,
                mark: None,
            });
            NodeIx(network.nodes.len() as u32 - 1)
        };
        let (from, to) = (end(from, "a"), end(to, "b"));
        network.pipes.push(Pipe {
            id: format!("p{i}"),
            system: *system,
            from,
            to,
            run: RunIx(i as u32),
            size: None,
            bore_mm: None,
            outside_mm: None,
            material: None,
            lie: Lie::Axis,
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
            line: i as u32 + 1,
        });
        network.runs.push(RunSummary {
            name: format!("run{i}"),
            system: *system,
            pipes: vec![ix],
            developed_mm: 0.0,
            rise_mm: 0.0,
            fall_mm: 0.0,
            fits: Vec::new(),
            span: Span::default(),
        });
    }
    network
}
