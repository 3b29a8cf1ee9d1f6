//! Flows, losses and pressures of a tree of pipes, by one pass up and one pass down.
//!
//! In: for each pipe the one it is fed from (listed before it), what is drawn at its far end, and its
//! make. Out: what flows in it, what is lost, what pressure is left. A tree has one way to each
//! tap, so nothing has to be tried again and again as in a looped network.

use crate::friction::{friction, reynolds, velocity};
use crate::loss::hazen_williams;
use crate::unit::GRAVITY;
use crate::water::Water;

/// Instead of a parent: the pipe is fed from the source.
pub const SOURCE: u32 = u32::MAX;

/// A pipe of the tree.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Branch {
    /// Inside diameter, m.
    pub bore: f64,
    /// Length, equivalent length of fittings included where those are told so, m.
    pub length: f64,
    /// Roughness, m (Darcy and Weisbach).
    pub roughness: f64,
    /// Coefficient of Hazen and Williams.
    pub c: f64,
    /// Sum of the K of its fittings, where those are told so.
    pub k: f64,
    /// Lost in devices at its flow, Pa.
    pub devices: f64,
    /// How much its far end lies above its near end, m.
    pub rise: f64,
}

/// Which formula gives the friction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Law {
    /// Darcy and Weisbach with Colebrook and White.
    DarcyWeisbach,
    /// Hazen and Williams.
    HazenWilliams,
}

/// What a tree carries; one value a pipe.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pressures {
    /// Lost to friction, fittings and devices, Pa.
    pub loss: Vec<f64>,
    /// Pressure at the far end, Pa.
    pub pressure: Vec<f64>,
}

/// A list of pipes is no tree in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Disordered {
    /// This pipe is listed before, or as, the one it is fed from; or that one is not there.
    Parent(u32),
    /// The lists differ in length.
    Lengths,
}

/// Adds to each pipe's value those of all pipes fed through it.
///
/// * `parents`: for each pipe the one it is fed from, listed before it, or [`SOURCE`]
/// * `values`: what is drawn at each pipe's far end; becomes what flows in it
///
/// # Errors
/// Where a pipe is listed before its parent; `values` is as it was then.
pub fn gather(parents: &[u32], values: &mut [f64]) -> Result<(), Disordered> {
    in_order(parents, values.len())?;
    for pipe in (0..parents.len()).rev() {
        if parents[pipe] != SOURCE {
            values[parents[pipe] as usize] += values[pipe];
        }
    }
    Ok(())
}

fn in_order(parents: &[u32], length: usize) -> Result<(), Disordered> {
    if parents.len() != length {
        return Err(Disordered::Lengths);
    }
    let wrong = (0_u32..)
        .zip(parents)
        .find(|&(pipe, &parent)| parent != SOURCE && parent >= pipe);
    match wrong {
        Some((pipe, _)) => Err(Disordered::Parent(pipe)),
        None => Ok(()),
    }
}

/// Loss of a flow (m3/s) in a pipe, Pa: friction, fittings and devices.
pub fn loss(pipe: &Branch, flow: f64, water: Water, law: Law) -> f64 {
    if !(flow > 0.0 && pipe.bore > 0.0) {
        return pipe.devices;
    }
    let velocity = velocity(flow, pipe.bore);
    let dynamic = water.density * velocity * velocity / 2.0;
    let pipe_loss = match law {
        Law::DarcyWeisbach => {
            let re = reynolds(velocity, pipe.bore, water);
            friction(re, pipe.roughness / pipe.bore).factor * pipe.length / pipe.bore * dynamic
        }
        Law::HazenWilliams => {
            hazen_williams(flow, pipe.length, pipe.bore, pipe.c) * water.density * GRAVITY
        }
    };
    pipe_loss + pipe.k * dynamic + pipe.devices
}

/// Losses and pressures of a tree whose flows are known.
///
/// * `parents`: for each pipe the one it is fed from, listed before it, or [`SOURCE`]
/// * `flows`: m3/s in each pipe
/// * `source`: pressure at the source, Pa
///
/// # Errors
/// Where a pipe is listed before its parent, or a list is too short.
pub fn pressures(
    parents: &[u32],
    pipes: &[Branch],
    flows: &[f64],
    source: f64,
    water: Water,
    law: Law,
) -> Result<Pressures, Disordered> {
    in_order(parents, pipes.len())?;
    if flows.len() != pipes.len() {
        return Err(Disordered::Lengths);
    }
    let mut found = Pressures {
        loss: Vec::with_capacity(pipes.len()),
        pressure: Vec::with_capacity(pipes.len()),
    };
    let weight = water.density * GRAVITY;
    for ((pipe, &parent), &flow) in pipes.iter().zip(parents).zip(flows) {
        let lost = loss(pipe, flow, water, law);
        let before = match parent {
            SOURCE => source,
            parent => found.pressure[parent as usize],
        };
        found.loss.push(lost);
        found.pressure.push(before - lost - weight * pipe.rise);
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Trunk 0 feeds 1 and 2, 2 feeds 3: 1 + 2 + 3 litres meet in the trunk.
    #[test]
    fn flows_add_up_towards_the_source() {
        let mut flows = [0.0, 1.0, 2.0, 3.0];
        gather(&[SOURCE, 0, 0, 2], &mut flows).unwrap();
        assert_eq!(flows, [6.0, 1.0, 5.0, 3.0]);
    }

    #[test]
    fn a_pipe_before_its_parent_is_refused() {
        let mut flows = [1.0, 1.0];
        assert_eq!(gather(&[1, SOURCE], &mut flows), Err(Disordered::Parent(0)));
        assert_eq!(gather(&[SOURCE, 1], &mut flows), Err(Disordered::Parent(1)));
        assert_eq!(gather(&[SOURCE], &mut flows), Err(Disordered::Lengths));
        assert_eq!(flows, [1.0, 1.0]);
    }

    /// Still water: 10 m up there is rho g 10 less, and devices take their own.
    #[test]
    fn still_water_stands_by_height() {
        let pipe = Branch {
            bore: 0.02,
            length: 10.0,
            rise: 10.0,
            ..Branch::default()
        };
        let water = Water {
            density: 1_000.0,
            viscosity: 1e-3,
        };
        let found = pressures(&[SOURCE], &[pipe], &[0.0], 4e5, water, Law::DarcyWeisbach).unwrap();
        assert!((found.pressure[0] - (4e5 - 98_066.5)).abs() < 1e-9);
        assert_eq!(found.loss[0], 0.0);
    }

    fn tree() -> impl Strategy<Value = (Vec<u32>, Vec<f64>)> {
        prop::collection::vec((any::<prop::sample::Index>(), 0.0..1e-3_f64), 1..60).prop_map(
            |pipes| {
                let parents = (0..pipes.len())
                    .map(|n| {
                        if n == 0 {
                            SOURCE
                        } else {
                            pipes[n].0.index(n) as u32
                        }
                    })
                    .collect();
                (parents, pipes.iter().map(|pipe| pipe.1).collect())
            },
        )
    }

    proptest! {
        /// The pressure at a tap is the source's less everything on the way, summed from the tap back.
        #[test]
        fn every_path_adds_up((parents, draws) in tree()) {
            let mut flows = draws;
            gather(&parents, &mut flows).unwrap();
            let pipe = Branch { bore: 0.02, length: 3.0, roughness: 1.5e-6, c: 140.0, k: 2.0, devices: 10.0, rise: 0.5 };
            let pipes = vec![pipe; parents.len()];
            let water = Water::at(10.0);
            for law in [Law::DarcyWeisbach, Law::HazenWilliams] {
                let found = pressures(&parents, &pipes, &flows, 5e5, water, law).unwrap();
                for tap in 0..parents.len() {
                    let (mut at, mut left) = (tap as u32, 5e5);
                    while at != SOURCE {
                        left -= found.loss[at as usize] + water.density * GRAVITY * 0.5;
                        at = parents[at as usize];
                    }
                    prop_assert!((left - found.pressure[tap]).abs() < 1e-3);
                }
            }
        }
    }
}
