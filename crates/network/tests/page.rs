//! Examples of the language page that show how pipes meet build what the page says of them.

mod support;

use support::network;
use wyeline_network::junction::Openings;
use wyeline_network::model::{Network, NodeIx};

const PAGE: &str = include_str!("../../../docs/job-language.md");

/// The house of the page, and the example in which some words stand.
fn example(words: &str) -> Network {
    let block = |kind: &str, words: &str| {
        let blocks = PAGE.split("```").skip(1).step_by(2);
        blocks
            .filter_map(|block| block.strip_prefix(kind)?.strip_prefix('\n'))
            .find(|block| block.contains(words))
            .unwrap_or_else(|| panic!("no {kind} with {words}"))
    };
    network(&format!(
        "{}{}",
        block("wye-house", ""),
        block("wye", words)
    ))
}

fn doubles(network: &Network) -> usize {
    let all = (0..network.nodes.len() as u32).map(NodeIx);
    all.filter_map(|ix| network.meeting(ix))
        .filter(|meeting| meeting.openings() == Openings::Double)
        .count()
}

/// Back to back: drain, two arms and the vent at one point.
#[test]
fn two_lavatories_back_to_back() {
    assert_eq!(doubles(&example("waste back-to-back")), 1);
}

/// One stack told both ways, with a branch from each side of the first.
#[test]
fn stacks_that_go_on_as_vents() {
    let n = example("vent stack-vent-2");
    assert_eq!(doubles(&n), 1);
    let changes = (0..n.nodes.len() as u32)
        .map(NodeIx)
        .filter(|&ix| n.systems_at(ix).len() == 2)
        .count();
    assert_eq!(changes, 2);
}

/// A floor of two half baths, placed twice: at each a double branch of the drain and a cross of the vents.
#[test]
fn a_floor_placed_twice() {
    assert_eq!(doubles(&example("group floor")), 4);
}
