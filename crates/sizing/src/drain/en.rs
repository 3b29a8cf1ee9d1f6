//! Sizes of drains by EN 12056-2: the flow is K times the root of the summed discharge units, never less than the
//! largest unit, with flows that run on added in full; then the tables of branches, stacks and drains.
//!
//! In: summed units. Out: flow, least size and what decided it, for every drain. Where the drawing does not tell
//! (how a branch enters a stack, how full a drain may run) the reading that holds less is taken.

use wyeline_codes::{Cited, Entry, Filling, Fit, NoValue, Pack, Use};
use wyeline_job::Job;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::NodeIx;
use wyeline_units::Size;

use super::Drains;
use super::line::is_vertical;
use super::load::usage;
use super::pick::{Picked, Rules};
use super::sizes::slope_for;
use super::wants::{Inflow, Wants, settle};
use crate::job_span;
use crate::model::{Gap, GapAt, Governs, Role, Sized};

/// The use by whose frequency factor a job's flows are worked out: EN 12056-2 Table 3 names dwellings and offices
/// intermittent, toilets open to the public congested.
pub(crate) fn frequency(job: &Job) -> &'static str {
    match usage(job, None) {
        Use::Private => "intermittent",
        Use::Public | Use::Assembly => "congested",
    }
}

/// Sizes all drains, and returns for each pipe the size that its load requires. `largest` is, for each pipe, the largest single discharge unit upstream.
pub(super) fn size(
    job: &Job,
    network: &Network,
    pack: &Pack,
    drains: &Drains,
    largest: &[f64],
    sized: &mut Sized,
) -> Vec<Option<Size>> {
    let mut inflow = Inflow::new(network);
    let frequency = match pack.frequency(frequency(job)) {
        Ok(found) => found.value,
        Err(none) => {
            sized.gaps.push(Gap {
                at: GapAt::Job,
                why: none.to_string(),
                help: none.help,
                span: job_span(job),
            });
            return inflow.required();
        }
    };
    let rules = Rules::of(pack);
    let beside = vented_beside(network, drains);
    let most_drop = |ventilated| {
        let limits = pack.branch_limits(ventilated);
        limits.map_or(f64::INFINITY, |limits| limits.value.drop_mm)
    };
    let drops = [most_drop(false), most_drop(true)];
    let mut vented = vec![false; network.nodes.len()];
    for &ix in &drains.tree.order {
        let pipe = network.pipe(ix);
        let here = ix.0 as usize;
        let load = &mut sized.pipes[here].load;
        let flow = (frequency * load.drain.sqrt()).max(largest[here]) + load.continuous_lps;
        load.flow_lps = Some(flow);
        let (load, role) = (*load, sized.pipes[here].role);
        let from = pipe.from.0 as usize;
        vented[from] |= has_vent(network, pipe.from);
        let vertical = is_vertical(network, pipe);
        let ventilated = vented[from];
        vented[pipe.to.0 as usize] |= ventilated && role != Role::Stack;
        // What drops further than a branch may is a stack, whatever it serves.
        let tall = drains.lines.line(ix).is_some_and(|line| {
            let height = network.node(line.top).at.z - network.node(line.bottom).at.z;
            height > drops[usize::from(ventilated)]
        });
        let found = match role {
            Role::FixtureDrain | Role::Branch if !tall => {
                if ventilated {
                    pack.ventilated_branch(flow).map(|found| Cited {
                        value: Fit {
                            size: found.value.size,
                            allows: found.value.allows,
                        },
                        cite: found.cite,
                    })
                } else {
                    pack.unventilated_branch(flow)
                }
            }
            Role::FixtureDrain | Role::Branch | Role::Stack => {
                let line = drains.lines.of[here] as usize;
                pack.discharge_stack(flow, Entry::Square, beside.get(line) == Some(&true))
            }
            _ if vertical => pack.discharge_stack(flow, Entry::Square, false),
            _ => match slope_for(network, pipe) {
                Some(slope) => pack.discharge_drain(flow, slope, Filling::Half),
                None => Err(NoValue {
                    cite: wyeline_codes::Cite {
                        document: pack.document().into(),
                        place: "Annex B".into(),
                        how: wyeline_codes::How::Memory,
                    },
                    asked: "a drain whose slope is not told".to_owned(),
                    help: "say the slope of the run".to_owned(),
                }),
            },
        };
        let mut wants = Wants::default();
        let empty = flow == 0.0;
        match found {
            Ok(fit) if !empty => wants.table(Picked {
                size: fit.value.size,
                allows: fit.value.allows,
                carries: flow,
                unit: "l/s",
                cite: fit.cite,
            }),
            Ok(_) => {}
            Err(_) if empty => {}
            Err(none) => {
                sized.gaps.push(Gap {
                    at: GapAt::Pipe(ix),
                    why: none.to_string(),
                    help: none.help,
                    span: pipe.span,
                });
                settle(network, sized, ix, None);
                inflow.pass(network, ix, sized.pipes[here].size);
                continue;
            }
        }
        if load.closets > 0 {
            let least = match role {
                Role::Stack => &rules.closet_stack,
                Role::FixtureDrain | Role::Branch => &rules.closet_branch,
                _ => &rules.closet_building,
            };
            wants.least(least.clone(), "it drains a water closet");
        }
        inflow.require(network, ix, wants.size());
        if let (Some((size, from)), Some(cite)) = (inflow.at(pipe), &rules.reduction) {
            wants.add(size, || Governs::Upstream {
                pipe: from,
                cite: cite.clone(),
            });
        }
        settle(network, sized, ix, wants.take());
        inflow.pass(network, ix, sized.pipes[here].size);
    }
    inflow.required()
}

fn has_vent(network: &Network, node: NodeIx) -> bool {
    let mut pipes = network.node(node).pipes.iter();
    pipes.any(|&pipe| network.pipe(pipe).system == System::Vent)
}

/// For each vertical line, whether a vent pipe stands beside it: one leaves it at its base.
fn vented_beside(network: &Network, drains: &Drains) -> Vec<bool> {
    let lines = &drains.lines.all;
    let mut beside: Vec<bool> = lines
        .iter()
        .map(|line| has_vent(network, line.bottom))
        .collect();
    for &ix in &drains.tree.order {
        let line = drains.lines.of[ix.0 as usize] as usize;
        let from = network.pipe(ix).from;
        let Some(told) = lines.get(line) else {
            continue;
        };
        let lowest = told.entries.last().map_or(0.0, |entry| entry.along);
        beside[line] |= from != told.top
            && drains.lines.along[ix.0 as usize] <= lowest
            && has_vent(network, from);
    }
    beside
}
