//! Reads and builds a job, and asks the network in inches or millimetres.
#![allow(dead_code, reason = "each test file uses its own part")]

use glam::DVec3;
use wyeline_job::Severity;
use wyeline_network::model::{Network, Node, Pipe};
use wyeline_network::{Built, build};

pub const INCH: f64 = 25.4;

/// Builds a job whose text has no mistake of its own.
pub fn built(text: &str) -> Built {
    let reading = wyeline_job::read(text);
    assert!(
        reading.diagnostics.is_empty(),
        "the text is mistaken: {:#?}",
        reading.diagnostics
    );
    build(&reading.job, text)
}

/// The network of a job in which nothing is mistaken.
pub fn network(text: &str) -> Network {
    let built = built(text);
    let mistakes: Vec<_> = built
        .diagnostics
        .iter()
        .filter(|d| d.severity == Severity::Mistake)
        .collect();
    assert!(mistakes.is_empty(), "{mistakes:#?}");
    built.network
}

pub fn node<'n>(network: &'n Network, id: &str) -> &'n Node {
    network
        .nodes
        .iter()
        .find(|node| node.id == id)
        .unwrap_or_else(|| {
            let ids: Vec<_> = network.nodes.iter().map(|node| node.id.as_str()).collect();
            panic!("no node {id} among {ids:?}")
        })
}

pub fn pipe<'n>(network: &'n Network, id: &str) -> &'n Pipe {
    network
        .pipes
        .iter()
        .find(|pipe| pipe.id == id)
        .unwrap_or_else(|| {
            let ids: Vec<_> = network.pipes.iter().map(|pipe| pipe.id.as_str()).collect();
            panic!("no pipe {id} among {ids:?}")
        })
}

/// True place of a node, inches.
pub fn inches(network: &Network, id: &str) -> DVec3 {
    node(network, id).at / INCH
}

#[track_caller]
pub fn near(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got - expected).abs() <= tolerance,
        "expected {expected}, got {got}"
    );
}

/// A node lies there, in inches, to a nanometre.
#[track_caller]
pub fn lies(network: &Network, id: &str, x: f64, y: f64, z: f64) {
    let got = inches(network, id);
    assert!(
        got.distance(DVec3::new(x, y, z)) < 1e-7,
        "{id}: expected {x}, {y}, {z}, got {got}"
    );
}

/// An invert to the 1/16 in that is printed.
#[track_caller]
pub fn invert_in(got: Option<f64>, expected: f64) {
    near(got.expect("an invert") / INCH, expected, 1.0 / 32.0);
}

/// Codes of what was found, in order.
pub fn codes(built: &Built) -> Vec<&'static str> {
    built.diagnostics.iter().map(|d| d.code).collect()
}
