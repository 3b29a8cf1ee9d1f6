//! Symbols: fittings, ends, devices and fixtures, at the nodes of the pipes a picture shows.
//!
//! In: the network and a picture with its pipes in place. Out: the same picture with symbols, the
//! pipes cut where a symbol sits in line. Symbols have a fixed size on paper (`data/symbols.toml`) and lie in
//! the plane of their pipe; fixtures and equipment are to scale. Start at `place`; forms are in `fitting`, `device`, `form`.

mod device;
mod fitting;
pub(crate) mod flat;
pub(crate) mod form;
mod inline;
pub(crate) mod maker;
mod place;
mod sample;
pub(crate) mod size;
mod trim;
mod volume;

use wyeline_network::Network;
use wyeline_network::model::{Fixture, FixtureIx, NodeIx};

use crate::ink::{Pattern, Pen};
use crate::picture::{Picture, Symbol, SymbolKind};
use crate::project::Projection;
use crate::style::{self, Line};

pub use sample::{all_kinds, sample, sample_along};

use flat::Eye;
use form::{Form, Stand};
use maker::Maker;
use size::SIZES;

/// Adds the symbols of an isometric to a picture whose pipes are in place, and cuts the pipes for them.
///
/// * `true_fall`: the pipes were drawn at their true heights
///
/// Only nodes that a pipe of the picture reaches get one; fixtures only where one of their ports is such a node.
/// Fixtures come first in [`Picture::symbols`], so that a painter that keeps the order has them behind.
pub fn add_iso(network: &Network, projection: Projection, true_fall: bool, picture: &mut Picture) {
    let eye = Eye::Iso(projection);
    let seen = place::add(network, eye, true_fall, picture);
    let mut fixtures = Vec::new();
    for (ix, fixture) in shown(network, &seen) {
        let mut m = Maker::with(fixture_pen(&fixture.kind)).exempt();
        volume::draw(&mut m, eye, |p| projection.depth(p), fixture);
        let symbol = m.finish(SymbolKind::Fixture, None, Some(ix));
        if !symbol.strokes.is_empty() {
            fixtures.push(symbol);
        }
    }
    behind(picture, fixtures);
}

/// Adds the symbols of a plan: nodes in line, and the outlines of the fixtures given.
pub(crate) fn add_plan(
    network: &Network,
    factor: f64,
    fixtures: impl Iterator<Item = FixtureIx>,
    picture: &mut Picture,
) {
    let eye = Eye::Plan(factor);
    place::add(network, eye, false, picture);
    let mut outlines = Vec::new();
    for ix in fixtures {
        let fixture = &network.fixtures[ix.0 as usize];
        let stand = Stand::of(fixture);
        let mut m = Maker::with(fixture_pen(&fixture.kind)).exempt();
        form::from_above(
            &mut m,
            &stand.level(eye, 0.0),
            Form::of(&fixture.kind),
            &stand,
            stand.port(fixture, "drain"),
        );
        outlines.push(m.finish(SymbolKind::Fixture, None, Some(ix)));
    }
    behind(picture, outlines);
}

/// The mark of a riser in plan: a circle, with a dot where it goes up.
pub(crate) fn riser(
    at: kurbo::Point,
    up: bool,
    colour: crate::ink::Colour,
    kind: SymbolKind,
    node: NodeIx,
) -> Symbol {
    let mut m = Maker::new(colour);
    fitting::riser(&mut m, at, up);
    m.finish(kind, Some(node), None)
}

/// Puts symbols before those already there.
fn behind(picture: &mut Picture, mut first: Vec<Symbol>) {
    first.append(&mut picture.symbols);
    picture.symbols = first;
}

/// Fixtures one of whose ports is a node that is seen.
fn shown<'a>(
    network: &'a Network,
    seen: &'a [bool],
) -> impl Iterator<Item = (FixtureIx, &'a Fixture)> {
    network
        .fixtures
        .iter()
        .enumerate()
        .filter_map(move |(i, fixture)| {
            let any = fixture
                .ports
                .iter()
                .filter_map(|p| p.node)
                .any(|n| seen.get(n.0 as usize) == Some(&true));
            any.then_some((FixtureIx(i as u32), fixture))
        })
}

/// The light pen of fixtures, the heavier one of equipment.
fn fixture_pen(kind: &str) -> Pen {
    let width = if Form::of(kind).equipment() {
        SIZES.equipment_pen
    } else {
        SIZES.fixture_pen
    };
    Pen {
        width,
        pattern: Pattern::Solid,
        colour: style::line(Line::Structure).colour,
    }
}
