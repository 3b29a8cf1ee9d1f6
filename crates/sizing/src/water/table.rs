//! Sizes by a code's own tables: pressure, length and load in one (IPC Appendix E, UPC 610.4), and loading units (EN 806-3).

use wyeline_codes::{Family, Pack};
use wyeline_network::Network;
use wyeline_units::Size;

use super::load::Loads;
use super::make::Makes;
use super::pick::Picked;
use super::pressure::Physics;
use super::tree::{NONE, Tree};
use crate::model::{Gap, GapAt, Governs, Role};
use crate::ranks::rank;

/// Pressure that a metre of rise takes by the rule that goes with the tables: 1/2 psi for each foot, Pa.
/// IPC 2021 Section E201 and UPC 2021 Section 610 (seen in editions of 2018).
const RISE: f64 = 0.5 * wyeline_hydraulics::unit::PSI / wyeline_hydraulics::unit::FOOT;

/// Sizes pipes that feed more than one tap by the table of pressure, length and load.
#[allow(
    clippy::too_many_arguments,
    reason = "each is a stage of the way, and there is but one caller"
)]
pub(super) fn by_table(
    network: &Network,
    tree: &Tree,
    loads: &Loads,
    makes: &Makes,
    physics: &Physics<'_>,
    head: &[f64],
    picked: &mut Picked,
    gaps: &mut Vec<Gap>,
) {
    let pack: &Pack = physics.pack();
    let mut length = vec![0.0; tree.pipes.len()];
    // For each source its longest way, and its highest tap.
    let mut far = vec![(0.0_f64, f64::NEG_INFINITY); tree.sources.len()];
    for place in 0..tree.pipes.len() {
        let parent = tree.parent[place];
        let before = if parent == NONE {
            0.0
        } else {
            length[parent as usize]
        };
        length[place] = before + makes.of[place].length;
    }
    for tap in &loads.taps {
        let place = tap.place as usize;
        let far = &mut far[tree.source[place] as usize];
        far.0 = far.0.max(length[place]);
        far.1 = far.1.max(makes.of[place].z);
    }
    let mut told = false;
    for place in (0..tree.pipes.len()).rev() {
        let carries = &loads.carries[place];
        let source = tree.source[place] as usize;
        if matches!(picked.role[place], Role::Service | Role::Distribution) && carries.counts > 0.0
        {
            let z = network.node(tree.sources[source]).at.z / 1e3;
            let pressure = head[source] - physics.per_metre * z - RISE * (far[source].1 - z);
            match pack.size_by_table(pressure, far[source].0 * 1e3, carries.counts, None) {
                Ok(found) => {
                    let size = makes.place(found.value.pipe) as u8;
                    if Some(size) > picked.needed[place]
                        || !matches!(picked.governs[place], Governs::Least { .. })
                    {
                        picked.needed[place] = Some(size);
                        picked.governs[place] = Governs::Table {
                            cite: found.cite,
                            allows: found.value.allows,
                            carries: carries.counts,
                            unit: "wsfu",
                        };
                    }
                }
                Err(none) if !told => {
                    told = true;
                    gaps.push(Gap {
                        at: GapAt::Pipe(tree.pipes[place]),
                        why: format!("{none}: this pipe is sized by velocity"),
                        help: "size by the pressure lost piece by piece: `method water segmented`"
                            .into(),
                        span: network.pipe(tree.pipes[place]).span,
                    });
                }
                Err(_) => {}
            }
        }
        upstream(tree, place, picked);
    }
}

/// Makes the pipe that feeds a pipe at least as large.
fn upstream(tree: &Tree, place: usize, picked: &mut Picked) {
    let parent = tree.parent[place];
    if parent != NONE && picked.needed[place] > picked.needed[parent as usize] {
        picked.needed[parent as usize] = picked.needed[place];
        picked.governs[parent as usize] = Governs::Upstream {
            pipe: tree.pipes[place],
            cite: super::pick::practice("a pipe is not smaller than one it feeds"),
        };
    }
}

/// Sizes pipes by loading units: the simultaneous use is in the table.
pub(super) fn by_loading_units(
    network: &Network,
    pack: &Pack,
    tree: &Tree,
    loads: &Loads,
    makes: &Makes,
    picked: &mut Picked,
    gaps: &mut Vec<Gap>,
) {
    debug_assert_eq!(pack.family(), Family::En);
    let alone = alone(tree, loads, makes);
    let mut told: Vec<u16> = Vec::new();
    for place in (0..tree.pipes.len()).rev() {
        let (carries, make) = (&loads.carries[place], &makes.of[place]);
        if carries.counts > 0.0 {
            let name = match makes.materials[make.material as usize].name.as_str() {
                name if name.starts_with("copper") => "copper",
                "galvanized" | "steel" => "galvanised",
                "pp-r" => "pp",
                "cpvc" => "pvc-c",
                name => name,
            };
            match pack.pipe_by_loading_units(name, carries.counts, alone[place] * 1e3) {
                Ok(found) => {
                    let size = makes.place(nominal(found.value.bore_mm)) as u8;
                    if Some(size) > picked.needed[place] {
                        picked.needed[place] = Some(size);
                        picked.governs[place] = Governs::Table {
                            cite: found.cite,
                            allows: found.value.allows,
                            carries: carries.counts,
                            unit: "LU",
                        };
                    }
                }
                Err(none) if !told.contains(&make.material) => {
                    told.push(make.material);
                    gaps.push(Gap {
                        at: GapAt::Pipe(tree.pipes[place]),
                        why: none.to_string(),
                        help: none.help,
                        span: network.pipe(tree.pipes[place]).span,
                    });
                }
                Err(_) => {}
            }
        }
        upstream(tree, place, picked);
    }
}

/// Length of the whole stretch that feeds one tap, for each of its pipes, m; 0 for others.
fn alone(tree: &Tree, loads: &Loads, makes: &Makes) -> Vec<f64> {
    let mut length = vec![0.0; tree.pipes.len()];
    let single = |place: usize| loads.carries[place].taps == 1;
    let joined = |place: usize| {
        let parent = tree.parent[place];
        (parent != NONE && single(parent as usize)).then_some(parent as usize)
    };
    for place in (0..tree.pipes.len()).rev().filter(|&place| single(place)) {
        length[place] += makes.of[place].length;
        if let Some(parent) = joined(place) {
            length[parent] += length[place];
        }
    }
    for place in (0..tree.pipes.len()).filter(|&place| single(place)) {
        if let Some(parent) = joined(place) {
            length[place] = length[parent];
        }
    }
    length
}

/// The nominal size whose DN is nearest to a bore, mm.
fn nominal(bore: f64) -> Size {
    let sizes = [10, 15, 20, 25, 32, 40, 50, 65, 80, 100];
    let off = |dn: &u16| (f64::from(*dn) - bore).abs();
    let nearest = sizes.into_iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    let size = Size::Dn(nearest.unwrap_or(100));
    debug_assert!(rank(size).mm() > 0.0);
    size
}
