//! Counts what the drawing itself shows: pipe by its pieces, fittings where they stand, and what comes with fixtures.

use wyeline_job::model::System;
use wyeline_network::kinds::kinds;
use wyeline_network::model::{NodeIx, NodeKind};

use super::data::{ALLOWANCES, PHASES};
use super::tally::Key;
use super::{Amount, Taking, What};
use crate::cutting::too_short;
use crate::model::{Fitting, Mark, Phase, Piece, Shape, Straight};
use crate::{marks, name};

const CUT: &str = "cut lengths of the pieces";
const CENTRES: &str = "cut lengths of the pieces; centre to centre where a dimension is missing";
const STANDS: &str = "as they stand on the drawing";
const SET: &str = "one with each closet flange (common practice)";
const COVER: &str = "one over each cleanout (common practice)";

/// Pipe: what is cut. A piece that is too short for its fittings cannot be cut and counts nothing; a note says so.
pub(super) fn pipe(taking: &mut Taking) {
    let too_short = too_short(taking.fitted);
    let mut left_out = Vec::new();
    for straight in &taking.fitted.straights {
        let couplings = straight.coupling_mm.iter().map(|part| part.mm).chain([0.0]);
        let mut at = straight.takeouts[0].mm().unwrap_or(0.0);
        for (piece, coupling) in straight.pieces.iter().zip(couplings) {
            let long = piece.cut_mm.unwrap_or(straight.centre_mm).max(0.0);
            let z = height(taking, straight, at + long / 2.0);
            at += long + coupling;
            if piece.existing {
                continue;
            }
            let overlap = piece.cut_mm.is_some_and(|mm| mm < 0.0);
            if overlap || too_short.contains(&piece.pipe) {
                left_out.push(piece.mark);
                continue;
            }
            if long == 0.0 {
                continue;
            }
            let key = Key {
                material: piece.stuff.material.clone(),
                name: "pipe".to_owned(),
                sizes: piece.stuff.size.into_iter().collect(),
                plumb: piece.plumb,
                ..taking.key(What::Pipe, piece.system, z)
            };
            let key = if is_tail(taking, piece) {
                Key {
                    phase: Phase::Finish,
                    ..key
                }
            } else {
                key
            };
            let guess = piece.cut_mm.is_none();
            let source = if guess { CENTRES } else { CUT };
            let mark = [Mark::Piece(piece.mark)];
            taking.tally.add(
                key,
                Amount::Length(long),
                mark,
                source,
                piece.estimated || guess,
            );
        }
    }
    if !left_out.is_empty() {
        taking.notes.push(format!(
            "{} not counted: too short for the fittings at the ends.",
            marks::several('P', &left_out)
        ));
    }
}

/// The height of a point so far along a straight, mm.
fn height(taking: &Taking, straight: &Straight, along: f64) -> f64 {
    let [from, to] = straight.ends.map(|node| taking.network.node(node).at.z);
    if straight.centre_mm > 0.0 {
        from + (to - from) * (along / straight.centre_mm).clamp(0.0, 1.0)
    } else {
        from
    }
}

/// The piece hangs between a fixture and a trap that is set with it.
fn is_tail(taking: &Taking, piece: &Piece) -> bool {
    let pipe = taking.network.pipe(piece.pipe);
    let [from, to] = [pipe.from, pipe.to].map(|node| &taking.network.node(node).kind);
    *from == NodeKind::Outlet && *to == NodeKind::Trap && set_late(taking, pipe.to)
}

/// The trap at a node is set with its fixture.
fn set_late(taking: &Taking, node: NodeIx) -> bool {
    let fixture = taking.network.node(node).fixture;
    let kind = fixture.and_then(|ix| kinds().get(&taking.network.fixtures[ix.0 as usize].kind));
    kind.is_some_and(|kind| PHASES.finish.traps.contains(&kind.trap))
}

/// Fittings at nodes and between pieces; with a flange its bolts and ring, with a cleanout its cover.
pub(super) fn fittings(taking: &mut Taking) {
    for joint in &taking.fitted.joints {
        for fitting in &joint.fittings {
            let z = taking.network.node(fitting.node).at.z;
            one(taking, fitting, z);
        }
    }
    for straight in &taking.fitted.straights {
        let z = height(taking, straight, straight.centre_mm / 2.0);
        for coupling in &straight.couplings {
            one(taking, coupling, z);
        }
    }
}

fn one(taking: &mut Taking, fitting: &Fitting, z: f64) {
    if fitting.existing {
        return;
    }
    let what = match fitting.shape {
        Shape::RoofFlashing => What::Flashing,
        Shape::NoHubCoupling => What::Joint,
        shape => What::Fitting(shape),
    };
    let mut key = Key {
        material: name::family(fitting.family).to_owned(),
        name: name::fitting(fitting, taking.network.units),
        sizes: fitting.sizes.clone(),
        ..taking.key(what, fitting.system, z)
    };
    if fitting.shape == Shape::PTrap && set_late(taking, fitting.node) {
        key.phase = Phase::Finish;
    }
    let mark = || [Mark::Fitting(fitting.id.clone())];
    taking
        .tally
        .add(key, Amount::Count(1), mark(), STANDS, false);
    let with = match fitting.shape {
        Shape::ClosetFlange => Some((What::ClosetSet, "closet bolts and ring", SET)),
        Shape::CleanoutPlug => Some((What::CleanoutCover, "cleanout cover", COVER)),
        _ => None,
    };
    if let Some((what, name, source)) = with {
        let key = Key {
            name: name.to_owned(),
            sizes: fitting.sizes.clone(),
            ..taking.key(what, fitting.system, z)
        };
        taking
            .tally
            .add(key, Amount::Count(1), mark(), source, false);
    }
}

/// A stop and a supply tube at each new stub of water for a fixture that wants them.
pub(super) fn stops(taking: &mut Taking) {
    let network = taking.network;
    let stops = &ALLOWANCES.stops;
    for node in &network.nodes {
        let Some(ix) = node.fixture.filter(|_| node.kind == NodeKind::Stub) else {
            continue;
        };
        let fixture = &network.fixtures[ix.0 as usize];
        let pipe = node.pipes.iter().map(|pipe| network.pipe(*pipe));
        let mut water =
            pipe.filter(|pipe| matches!(pipe.system, System::Cold | System::Hot) && !pipe.existing);
        let Some(pipe) = water.next().filter(|_| stops.kinds.contains(&fixture.kind)) else {
            continue;
        };
        for (what, name) in [(What::Stop, "stop"), (What::SupplyTube, "supply tube")] {
            let key = Key {
                name: name.to_owned(),
                sizes: pipe.size.into_iter().collect(),
                level: Some(fixture.level),
                ..taking.key(what, pipe.system, node.at.z)
            };
            taking.tally.add(
                key,
                Amount::Count(1),
                [Mark::Fixture(ix)],
                &stops.source,
                false,
            );
        }
    }
}
