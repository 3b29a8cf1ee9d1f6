//! Flags: the numbers of the rules that are broken at a place, which the sheet's list repeats.

use std::collections::BTreeMap;

use kurbo::Rect;
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, Flagged, NodeIx, PipeIx};

use super::block::Item;
use super::content::ends;
use super::paper::Paper;
use super::points::Shown;
use super::want::{Spot, Want};
use crate::picture::{About, LabelClass, Picture};
use crate::style;

/// The flags that stand at what is shown, all those of a place side by side.
pub(super) fn flags(net: &Network, picture: &Picture, shown: &Shown, into: &mut Vec<Want>) {
    let mut places: BTreeMap<Flagged, Vec<u32>> = BTreeMap::new();
    for flag in &net.flags {
        places.entry(flag.at).or_default().push(flag.number);
    }
    for (at, numbers) in places {
        let found = match at {
            Flagged::Job => None,
            Flagged::Pipe(pipe) => beside_pipe(picture, pipe).map(|spot| (About::Pipe(pipe), spot)),
            Flagged::Node(node) => {
                at_node(net, picture, shown, node).map(|spot| (About::Node(node), spot))
            }
            Flagged::Fixture(fixture) => {
                at_fixture(net, picture, shown, fixture).map(|spot| (About::Fixture(fixture), spot))
            }
        };
        let Some((about, spot)) = found else { continue };
        let height = style::sizes().lettering;
        let items = numbers.iter().map(|&n| Item::flag(n, height)).collect();
        into.push(Want::new(about, LabelClass::Flag, items, spot));
    }
}

fn beside_pipe(picture: &Picture, pipe: PipeIx) -> Option<Spot> {
    let at = picture.pipes.partition_point(|mark| mark.pipe < pipe);
    let ordered = picture.pipes.get(at).filter(|mark| mark.pipe == pipe);
    let mark = ordered.or_else(|| picture.pipes.iter().find(|mark| mark.pipe == pipe))?;
    let (a, b) = ends(mark)?;
    Some(Spot::Line {
        a,
        b,
        half: mark.pen.width / 2.0,
    })
}

fn at_node(net: &Network, picture: &Picture, shown: &Shown, node: NodeIx) -> Option<Spot> {
    if !shown.has(node) {
        return None;
    }
    let symbols = picture.symbols.iter().filter(|s| s.node == Some(node));
    let rects = symbols.flat_map(|s| s.boxes.iter().copied());
    if let Some(rect) = rects.reduce(|a, b| a.union(b)) {
        return Some(Spot::Box(rect));
    }
    let at = Paper::of(picture).node(net.node(node)) + picture.moved(node);
    Some(Spot::At { at, reach: 0.4 })
}

/// The first of its nodes that is shown, or else its own outline.
fn at_fixture(net: &Network, picture: &Picture, shown: &Shown, fixture: FixtureIx) -> Option<Spot> {
    let ports = net.fixtures.get(fixture.0 as usize)?.ports.iter();
    let at_port = ports
        .filter_map(|port| port.node)
        .find_map(|node| at_node(net, picture, shown, node));
    let outline = || {
        let symbols = picture
            .symbols
            .iter()
            .filter(|s| s.fixture == Some(fixture));
        let rects = symbols.flat_map(|s| s.boxes.iter().copied());
        rects.reduce(|a: Rect, b| a.union(b)).map(Spot::Box)
    };
    at_port.or_else(outline)
}
