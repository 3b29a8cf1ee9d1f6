//! The derivation of a drain's size.
//!
//! In: one drain. Out: what it is, what drains through it, the flow under EN 12056-2, the branch intervals of a stack,
//! everything the code asks of it, and which of that decided.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use wyeline_codes::{Family, Pack};
use wyeline_job::Job;
use wyeline_network::Network;
use wyeline_network::model::{NodeKind, PipeIx};

use super::{asked, drains_again, figure, plain};
use crate::definitions::definitions;
use crate::drain::sizes::Asker;
use crate::drain::upstream::kinds_cite;
use crate::drain::wants::Wants;
use crate::drain::{Drains, en};
use crate::model::{Airs, Governs, PipeResult, Role, Sized, Step};

/// Fixtures are named one by one up to so many; more are counted by kind.
const NAMED: usize = 8;

pub(super) fn steps(
    job: &Job,
    network: &Network,
    pack: &Pack,
    sized: &Sized,
    ix: PipeIx,
) -> Vec<Step> {
    let (drains, _) = drains_again(job, network, pack);
    let result = &sized.pipes[ix.0 as usize];
    let mut steps = vec![plain(role_words(result.role).to_owned())];
    steps.extend(airs(pack, &drains, ix, result));
    load(network, pack, &drains, ix, result, &mut steps);
    if pack.family() == Family::En {
        flow(job, pack, result, &mut steps);
        if let Some(needed) = result.needed {
            steps.push(asked(network, &(needed, result.governs.clone()), true));
        }
        return steps;
    }
    if result.role == Role::Stack {
        intervals(network, &drains, ix, &mut steps);
    }
    if let Some(fall) = network.pipe(ix).slope {
        let assumed = if fall.assumed {
            " (nobody stated it: assumed)"
        } else {
            ""
        };
        steps.push(plain(format!(
            "it falls {}{assumed}",
            fall.slope.show(network.units)
        )));
    }
    let mut wants = Wants::recording();
    let mut asker = Asker::new(network, pack, &drains);
    let missing = asker.ask(ix, result, &mut wants);
    asker.upstream(inflow(network, &drains, sized, ix), &mut wants);
    for want in wants.all() {
        let decided = result.needed == Some(want.0) && result.governs == want.1;
        steps.push(asked(network, want, decided));
    }
    // Where no load is known there is nothing to ask the table for.
    if let Some(none) = missing.filter(|_| result.load.drain > 0.0) {
        steps.push(Step {
            text: format!("nothing is held of {}", none.asked),
            cite: Some(none.cite),
            governs: result.needed.is_none(),
        });
    }
    steps
}

fn role_words(role: Role) -> &'static str {
    match role {
        Role::FixtureDrain => {
            "fixture drain: it serves one fixture, from its trap to the first junction"
        }
        Role::Branch => {
            "branch: what it drains goes down a stack, and no stack's discharge is in it"
        }
        Role::Stack => "stack: it passes through a storey and takes branches",
        Role::StackOffset => "offset: a level stretch of a stack, sized as a building drain",
        Role::BuildingDrain => {
            "building drain: no stack lies below it on the way to the sewer, so that it and its branches are the lowest piping"
        }
        Role::BuildingSewer => "building sewer: it lies outside the walls",
        _ => "drain",
    }
}

/// How air comes down it to other traps, and what that asks of its size.
fn airs(pack: &Pack, drains: &Drains, ix: PipeIx, result: &PipeResult) -> Option<Step> {
    let airs = result.airs?;
    let unit = pack.drain_unit();
    let text = match airs {
        Airs::Common => {
            "common vent: two fixtures at two heights take their air by it, and the upper one sizes it"
                .to_owned()
        }
        Airs::Wet => "wet vent: other traps take their air down it while it drains".to_owned(),
        Airs::Circuit => {
            let units = drains.airing.circuit(ix).map_or(0.0, |circuit| circuit.units);
            format!(
                "circuit-vented: one vent airs the fixtures along it, and it has one size for the whole branch, {} {unit}, up to the most upstream fixture",
                figure(units)
            )
        }
        Airs::Stack => {
            "fixtures of other storeys drain through it, and a trap has no other air: it is sized as a drain alone"
                .to_owned()
        }
        Airs::WasteStack => {
            "waste stack vent: no closet or urinal drains into it, each fixture by itself, and it vents itself; one size all along"
                .to_owned()
        }
        Airs::Combination => {
            let into = if drains
                .airing
                .combination(ix)
                .is_some_and(|system| system.to_building_drain)
            {
                "building drain"
            } else {
                "branch or stack"
            };
            format!(
                "combination drain and vent: floor drains, sinks, lavatories and drinking fountains alone, one vent for all; it runs into a {into}"
            )
        }
    };
    Some(Step {
        text,
        cite: kinds_cite(airs),
        governs: false,
    })
}

/// The largest pipe flowing in at the upstream end.
fn inflow(
    network: &Network,
    drains: &Drains,
    sized: &Sized,
    ix: PipeIx,
) -> Option<(wyeline_units::Size, PipeIx)> {
    let from = network.pipe(ix).from;
    let pipes = network.node(from).pipes.iter().copied();
    pipes
        .filter(|&pipe| {
            let told = network.pipe(pipe);
            told.to == from && drains.tree.on_from(told.from) == Some(pipe)
        })
        .filter_map(|pipe| Some((sized.pipes[pipe.0 as usize].size?, pipe)))
        .max_by(|a, b| {
            let rank = |size| crate::ranks::rank(size);
            rank(a.0).cmp(&rank(b.0)).then(b.1.cmp(&a.1))
        })
}

/// What drains through a pipe, and what it counts together.
fn load(
    network: &Network,
    pack: &Pack,
    drains: &Drains,
    ix: PipeIx,
    result: &PipeResult,
    steps: &mut Vec<Step>,
) {
    let unit = pack.drain_unit();
    let mut named = Vec::new();
    let mut by_kind: BTreeMap<&str, (u32, f64)> = BTreeMap::new();
    let mut beyond = Vec::new();
    let mut unknown = Vec::new();
    let mut cites = Vec::new();
    let mut sum = 0.0;
    let mut waiting = vec![ix];
    while let Some(ix) = waiting.pop() {
        let from = network.pipe(ix).from;
        let node = network.node(from);
        if drains.tree.inlets[from.0 as usize] > 0 {
            waiting.extend(node.pipes.iter().copied().filter(|&pipe| {
                let told = network.pipe(pipe);
                told.to == from && drains.tree.on_from(told.from) == Some(pipe)
            }));
            continue;
        }
        if let Some(at) = node.fixture {
            let fixture = &network.fixtures[at.0 as usize];
            let Some(known) = drains.loads.fixture(at) else {
                unknown.push(fixture.tag.as_str());
                continue;
            };
            named.push((at, format!("{} {}", fixture.tag, figure(known.units))));
            let count = by_kind.entry(&fixture.kind).or_default();
            *count = (count.0 + 1, count.1 + known.units);
            sum += known.units;
            if let Some(cite) = &known.cite
                && !cites.contains(cite)
            {
                cites.push(cite.clone());
            }
        } else if let NodeKind::Continues {
            to,
            load: Some(load),
            ..
        } = &node.kind
        {
            beyond.push(format!("\"{to}\" {load}"));
        }
    }
    named.sort();
    let fixtures = named.len();
    let list: Vec<String> = if fixtures > NAMED {
        by_kind
            .iter()
            .map(|(kind, (count, units))| format!("{count} {kind} {}", figure(*units)))
            .collect()
    } else {
        named.into_iter().map(|(_, words)| words).collect()
    };
    if fixtures > 0 {
        let many = if fixtures == 1 { "fixture" } else { "fixtures" };
        steps.push(Step {
            text: format!(
                "{fixtures} {many} upstream: {}; each for itself {} {unit}",
                list.join(", "),
                figure(sum)
            ),
            cite: cites.first().cloned(),
            governs: false,
        });
        for cite in cites.into_iter().skip(1) {
            steps.push(Step {
                text: "some of these loads stand here".to_owned(),
                cite: Some(cite),
                governs: false,
            });
        }
    }
    beyond.sort();
    if !beyond.is_empty() {
        steps.push(plain(format!(
            "from beyond the sheet: {}",
            beyond.join(", ")
        )));
    }
    if result.load.continuous_lps > 0.0
        && let Ok(factor) = pack.continuous_factor()
    {
        steps.push(Step {
            text: format!(
                "{} l/s runs on and counts {} {unit}",
                figure(result.load.continuous_lps),
                figure(result.load.continuous_lps * factor.value)
            ),
            cite: Some(factor.cite),
            governs: false,
        });
    }
    let less = sum - result.load.drain;
    if beyond.is_empty()
        && result.load.continuous_lps == 0.0
        && less > 0.0
        && let Ok(group) = pack.group_load("")
    {
        steps.push(Step {
            text: format!(
                "a bathroom group on one storey counts {} {unit} in place of the sum of its fixtures: {} less",
                figure(group.value),
                figure(less)
            ),
            cite: Some(group.cite),
            governs: false,
        });
    }
    unknown.sort_unstable();
    unknown.dedup();
    if !unknown.is_empty() {
        steps.push(plain(format!(
            "no load is held for {}: it is not in what follows",
            unknown.join(", ")
        )));
        if fixtures == 0 && result.load.drain == 0.0 {
            return;
        }
    }
    let closets = match result.load.closets {
        0 => String::new(),
        1 => ", one water closet among them".to_owned(),
        many => format!(", {many} water closets among them"),
    };
    steps.push(plain(format!(
        "it carries {} {unit}{closets}",
        figure(result.load.drain)
    )));
}

/// The flow by EN 12056-2.
fn flow(job: &Job, pack: &Pack, result: &PipeResult, steps: &mut Vec<Step>) {
    let Some(flow) = result.load.flow_lps else {
        return;
    };
    if let Ok(k) = pack.frequency(en::frequency(job)) {
        let root = k.value * result.load.drain.sqrt();
        let mut text = format!(
            "{} x sqrt({}) = {root:.3} l/s, for {} use",
            figure(k.value),
            figure(result.load.drain),
            en::frequency(job)
        );
        let rest = flow - result.load.continuous_lps;
        if rest > root + 1e-9 {
            let _ = write!(
                text,
                "; the largest single unit, {} l/s, is more",
                figure(rest)
            );
        }
        if result.load.continuous_lps > 0.0 {
            let _ = write!(
                text,
                "; with {} l/s that runs on {flow:.3} l/s",
                figure(result.load.continuous_lps)
            );
        }
        steps.push(Step {
            text,
            cite: Some(k.cite),
            governs: false,
        });
    }
    if result.role == Role::Stack {
        steps.push(plain(
            "how branches enter the stack is not told: square entries, which hold less, are taken"
                .to_owned(),
        ));
    }
    if matches!(result.governs, Governs::Table { .. })
        && matches!(
            result.role,
            Role::BuildingDrain | Role::BuildingSewer | Role::StackOffset
        )
    {
        steps.push(plain(
            "how full it may run is not told: half full, which holds less, is taken".to_owned(),
        ));
    }
}

/// The branch intervals of a stack, from the top down to a pipe.
fn intervals(network: &Network, drains: &Drains, ix: PipeIx, steps: &mut Vec<Step>) {
    let Some(line) = drains.lines.line(ix) else {
        return;
    };
    let along = drains.lines.along[ix.0 as usize];
    let interval = &definitions().branch_interval;
    steps.push(Step {
        text: format!(
            "the stack has {} branch interval{}: entries nearer than {} to the first above count together",
            line.intervals,
            if line.intervals == 1 { "" } else { "s" },
            super::length(interval.value, network.units)
        ),
        cite: Some(interval.cite.clone()),
        governs: false,
    });
    let entries: Vec<String> = line
        .entries
        .iter()
        .filter(|entry| entry.along >= along - 0.01)
        .map(|entry| figure(entry.units))
        .collect();
    steps.push(plain(format!(
        "entering at or above it, from the top down: {}; the heaviest interval {}",
        entries.join(", "),
        figure(line.heaviest_above(along))
    )));
}
