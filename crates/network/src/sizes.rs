//! Gives pipe that states no size the size that was worked out for it, and what follows: diameters and inverts.
//!
//! In: a network, and a size for each pipe. Out: the same network, its centre lines where they were. Diameters come from
//! the pipe table, as those of stated sizes do, and so do inverts.

use wyeline_job::model::System;
use wyeline_units::Size;

use crate::after::{NO_BORE, NO_SIZE};
use crate::bores::{Material, bores};
use crate::materials::usual;
use crate::model::{Doubt, DoubtKind, Lie, Network, Pipe, RunIx};

/// Height of the invert (mm) of a pipe whose centre lies at `z`: drains only, and of them what is not plumb.
///
/// * `bore`: inside diameter, mm
pub(crate) fn invert(system: System, lie: Lie, bore: Option<f64>, z: f64) -> Option<f64> {
    let bore = bore.filter(|_| system.drains() && lie != Lie::Vertical)?;
    Some(z - bore / 2.0)
}

/// Returns the network with sizes for pipe that states none: marked as worked out, with diameters and inverts.
///
/// * `sizes`: one for each pipe, in their order; of pipe that states its size they are passed over
///
/// Nothing moves: centre lines lie where they were told. Doubts follow: a run whose sizes are all known now is no
/// longer said to have none, and a material that its inverts assume is named.
pub fn with_sizes(mut network: Network, sizes: &[Option<Size>]) -> Network {
    let stated = network.pipes.iter().filter_map(|pipe| pipe.size);
    let usual = usual(network.units, stated.chain(sizes.iter().copied().flatten()));
    let mut given = vec![false; network.runs.len()];
    let Network { nodes, pipes, .. } = &mut network;
    for (pipe, size) in pipes.iter_mut().zip(sizes) {
        let Some(size) = size.filter(|_| pipe.size.is_none()) else {
            continue;
        };
        pipe.size = Some(size);
        pipe.worked_out = true;
        let diameters = material(pipe, usual).and_then(|material| bores().of(material, size));
        pipe.bore_mm = diameters.map(|diameters| diameters.bore);
        pipe.outside_mm = diameters.map(|diameters| diameters.outside);
        let [high, low] = [pipe.from, pipe.to].map(|node| nodes[node.0 as usize].at.z);
        pipe.invert_from = invert(pipe.system, pipe.lie, pipe.bore_mm, high);
        pipe.invert_to = invert(pipe.system, pipe.lie, pipe.bore_mm, low);
        given[pipe.run.0 as usize] |= pipe.system.drains();
    }
    for run in (0..given.len()).filter(|&run| given[run]) {
        doubt(&mut network, RunIx(run as u32), usual);
    }
    network.doubts.sort_by_key(|doubt| doubt.span);
    network
}

/// Its material; of drains and vents that name none, the usual one.
fn material(pipe: &Pipe, usual: Material) -> Option<Material> {
    let drainage = pipe.system.drains() || pipe.system == System::Vent;
    match &pipe.material {
        Some(name) => bores().material(name),
        None => drainage.then_some(usual),
    }
}

/// Puts right what is said to be in doubt about a run, once its pipes have sizes.
fn doubt(network: &mut Network, run: RunIx, usual: Material) {
    let whole: &Network = network;
    let told = &whole.runs[run.0 as usize];
    let pipes = || told.pipes.iter().map(|&ix| whole.pipe(ix));
    let worked_out = || pipes().filter(|pipe| pipe.worked_out);
    let words = |words: &str| format!("{}: {words}", told.name);
    let said = |pipe: &Pipe, why, text| Doubt {
        text,
        why,
        span: pipe.span,
        line: pipe.line,
    };
    let no_bore = worked_out()
        .find(|pipe| pipe.bore_mm.is_none())
        .map(|pipe| said(pipe, DoubtKind::Unknown, words(NO_BORE)));
    let assumes = |pipe: &&Pipe| pipe.material.is_none() && pipe.bore_mm.is_some();
    let assumed = worked_out().find(assumes).map(|pipe| {
        let text = words(&bores().assumed_inverts(usual));
        said(pipe, DoubtKind::Assumed, text)
    });
    let all = pipes().all(|pipe| pipe.size.is_some());
    let no_size = words(NO_SIZE);
    let doubts = &mut network.doubts;
    doubts.retain(|doubt| !all || doubt.text != no_size);
    for new in no_bore.into_iter().chain(assumed) {
        if !doubts.iter().any(|doubt| doubt.text == new.text) {
            doubts.push(new);
        }
    }
}
