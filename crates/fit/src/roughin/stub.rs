//! Stub-outs, floor outlets and closet flanges of the fixtures, each where its node stands.

use wyeline_job::model::System;
use wyeline_network::model::{FixtureIx, NodeIx, NodeKind, Pipe, Port};
use wyeline_network::way;

use super::wall::Site;
use super::{Flange, Stub, StubKind};
use crate::model::{Fitted, Shape};

/// Where fixtures' pipes come out. Of a fixture with a trap arm the drain comes out at its tee, not at its outlet; the outlet of
/// a closet is its flange, and equipment is connected where it stands: neither is a stub.
pub(crate) fn stubs(site: &Site) -> Vec<Stub> {
    let mut all = Vec::new();
    for (ix, fixture) in site.network.fixtures.iter().enumerate() {
        if fixture.existing {
            continue;
        }
        let arm = fixture.ports.iter().any(|port| port.name == "tee");
        for port in &fixture.ports {
            let Some(node) = port.node else { continue };
            let Some(kind) = kind(site, port, node, arm) else {
                continue;
            };
            if kind == StubKind::Outlet && fixture.kind == "water-closet" {
                continue;
            }
            let pipe = pipe(site, node, kind);
            let invert = |pipe: &Pipe| {
                if pipe.to == node {
                    pipe.invert_to
                } else {
                    pipe.invert_from
                }
            };
            all.push(Stub {
                fixture: FixtureIx(ix as u32),
                port: port.name.clone(),
                kind,
                node,
                size: pipe.and_then(|pipe| pipe.size),
                place: site.place(site.network.node(node).at, Some(fixture.level)),
                invert_mm: pipe.and_then(invert),
            });
        }
    }
    all
}

fn kind(site: &Site, port: &Port, node: NodeIx, arm: bool) -> Option<StubKind> {
    match site.network.node(node).kind {
        _ if port.name == "tee" => Some(StubKind::Drain),
        NodeKind::Stub => Some(StubKind::Supply),
        NodeKind::Outlet if !arm => Some(StubKind::Outlet),
        _ => None,
    }
}

/// The pipe by which a fixture is reached: at a tee its arm, else what drains or feeds it.
fn pipe<'a>(site: &Site<'a>, node: NodeIx, kind: StubKind) -> Option<&'a Pipe> {
    let network = site.network;
    let here = &network.node(node).pipes;
    let mut pipes = here.iter().map(|&ix| network.pipe(ix));
    match kind {
        StubKind::Drain => pipes
            .clone()
            .find(|pipe| pipe.arm)
            .or_else(|| pipes.find(|pipe| pipe.system.drains())),
        StubKind::Outlet => pipes.find(|pipe| pipe.system.drains()),
        StubKind::Supply => pipes.find(|pipe| pipe.system != System::Vent),
    }
}

/// Closet flanges, measured from the wall behind the closet and the nearest one at its side.
pub(crate) fn flanges(site: &Site, fitted: &Fitted) -> Vec<Flange> {
    let network = site.network;
    let fittings = fitted.joints.iter().flat_map(|joint| &joint.fittings);
    let new = fittings.filter(|one| one.shape == Shape::ClosetFlange && !one.existing);
    new.map(|one| {
        let node = network.node(one.node);
        let plan = node.at.truncate();
        let fixture = node
            .fixture
            .map(|ix| (ix, &network.fixtures[ix.0 as usize]));
        let level = fixture.map(|(_, fixture)| fixture.level);
        let measured = fixture.map(|(_, fixture)| {
            let front = way(fixture.faces);
            (
                site.toward(plan, fixture.level, &[-front]),
                site.toward(plan, fixture.level, &[front.perp(), -front.perp()]),
            )
        });
        let (behind, aside) = measured.unwrap_or_default();
        Flange {
            fixture: fixture.map(|(ix, _)| ix),
            id: one.id.clone(),
            node: one.node,
            sizes: one.sizes.clone(),
            place: site.place(node.at, level.or_else(|| site.level_at(node.at.z))),
            behind,
            aside,
        }
    })
    .collect()
}
