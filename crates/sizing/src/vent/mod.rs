//! Vents: roles, developed lengths and sizes, from the drains up to the open air.
//!
//! In: sized drains and a code. Out: role, load, developed length and least size of every vent, and, where the code
//! asks for it, the area of all vents through the roof. Start at [`size`].

mod air;
mod rise;
mod takeoff;

use wyeline_codes::{Cited, Family, Fit, NoValue, Pack};
use wyeline_job::Job;
use wyeline_network::Network;
use wyeline_network::model::{NodeKind, PipeIx};
use wyeline_units::Size;

use crate::drain::Drains;
use crate::drain::pick::{self, Picked};
use crate::drain::wants::{Wants, settle};
use crate::model::{Gap, GapAt, Load, PipeResult, Role, RoofVents, Sized, measure};
use crate::ranks::{larger, rank};
pub(crate) use air::Through;
use rise::Rise;
use takeoff::Takeoffs;

/// What a length may be over its limit, for rounding, mm.
const CLOSE: f64 = 0.001;

/// What a part may be over its limit: a third stands in the codes' data as 0.3333.
const SHARE: f64 = 0.0001;

/// What the same temperature may differ by in two scales, for rounding, degrees.
const DEGREE: f64 = 1e-6;

/// Sizes all vents.
pub(crate) fn size(job: &Job, network: &Network, pack: &Pack, drains: &Drains, sized: &mut Sized) {
    let rise = Rise::of(network);
    let order = &rise.tree.order;
    if order.is_empty() {
        return;
    }
    let through = {
        let takeoffs = Takeoffs::of(network, drains, &sized.pipes);
        air::trace(network, &rise, |node| takeoffs.at(node))
    };
    let rules = Rules::of(job, pack);
    for (&ix, air) in order.iter().zip(&through) {
        let result = &mut sized.pipes[ix.0 as usize];
        result.role = air.role;
        result.load = Load {
            drain: air.units,
            ..Load::default()
        };
        result.developed_mm = Some(air.developed_mm);
        let mut wants = Wants::default();
        let asked = ask(pack, &rules, air, &mut wants);
        frost(network, &rules, ix, &mut wants);
        let want = match asked {
            Ok(()) => wants.take(),
            Err(none) => {
                sized.gaps.push(Gap {
                    at: GapAt::Pipe(ix),
                    why: none.to_string(),
                    help: none.help,
                    span: network.pipe(ix).span,
                });
                None
            }
        };
        settle(network, sized, ix, want);
    }
    roof_vents(network, pack, drains, order, sized);
}

/// What goes through one vent, and everything the code asks of it, for its derivation.
pub(crate) fn asked(
    job: &Job,
    network: &Network,
    pack: &Pack,
    drains: &Drains,
    pipes: &[PipeResult],
    ix: PipeIx,
) -> Option<(Through, Result<Wants, NoValue>)> {
    let rise = Rise::of(network);
    let takeoffs = Takeoffs::of(network, drains, pipes);
    let through = air::trace(network, &rise, |node| takeoffs.at(node));
    let at = rise.tree.order.iter().position(|pipe| *pipe == ix)?;
    let mut wants = Wants::recording();
    let rules = Rules::of(job, pack);
    let asked = ask(pack, &rules, &through[at], &mut wants);
    frost(network, &rules, ix, &mut wants);
    Some((through[at], asked.map(|()| wants)))
}

fn ask(pack: &Pack, rules: &Rules, air: &Through, wants: &mut Wants) -> Result<(), NoValue> {
    match pack.family() {
        Family::En => en(pack, air, wants),
        Family::DfuIpc | Family::DfuUpc => by_units(pack, rules, air, wants),
    }
}

/// Rules for vents, asked once.
struct Rules {
    /// Most part of the permitted length that may lie level.
    level: Option<Cited<f64>>,
    /// Least vent of a closet.
    closet: Option<Cited<Size>>,
    /// The vent of a waste stack is as large as the stack.
    waste_stack: Option<Cited<bool>>,
    /// Least vent through the roof, where the winter of the job is as cold as the code says.
    frost: Option<Cited<Size>>,
}

impl Rules {
    fn of(job: &Job, pack: &Pack) -> Self {
        let winter = job.design.winter.map(|(winter, _)| winter.celsius);
        let cold = pack.scalar("terminal.frost-temperature").ok();
        let freezes = winter
            .zip(cold)
            .is_some_and(|(winter, cold)| winter <= cold.value + DEGREE);
        Self {
            frost: pack
                .size_rule("terminal.frost-size")
                .ok()
                .filter(|_| freezes),
            level: pack.scalar("vent.horizontal-fraction").ok(),
            closet: pack.size_rule("vent.closet-least").ok(),
            waste_stack: pack
                .flag("wash.stack-vent-full-size")
                .ok()
                .filter(|rule| rule.value),
        }
    }
}

/// A vent through the roof is not so small that hoar frost closes it.
fn frost(network: &Network, rules: &Rules, ix: PipeIx, wants: &mut Wants) {
    if let Some(least) = &rules.frost
        && network.node(network.pipe(ix).to).kind == NodeKind::RoofEnd
    {
        wants.least(
            Some((least.value, least.cite.clone())),
            "it goes through the roof, and the winter is so cold that frost closes a smaller one",
        );
    }
}

fn by_length(fit: Cited<Fit>, developed_mm: f64) -> Picked {
    Picked {
        size: fit.value.size,
        allows: fit.value.allows,
        carries: developed_mm,
        unit: "mm",
        cite: fit.cite,
    }
}

/// By fixture units and developed length (IPC, NPC, UPC).
fn by_units(pack: &Pack, rules: &Rules, air: &Through, wants: &mut Wants) -> Result<(), NoValue> {
    let whole = matches!(
        air.role,
        Role::StackVent | Role::VentStack | Role::ReliefVent
    );
    let picked = match (whole, air.stack, air.drain) {
        (true, Some(stack), _) => by_length(
            pack.vent_by_length(stack, air.units, air.developed_mm - CLOSE)?,
            air.developed_mm,
        ),
        (_, _, Some(mut drain)) => {
            // Vents that have joined: as for the branch that would drain all that they vent.
            if air.role == Role::BranchVent && pack.family() == Family::DfuIpc && air.units > 0.0 {
                drain = larger(drain, pick::branch(pack, air.units, None)?.size);
            }
            by_length(
                pack.other_vent(drain, air.units, air.developed_mm - CLOSE)?,
                air.developed_mm,
            )
        }
        // It vents nothing that is sized: a drain with a gap of its own.
        _ => return Ok(()),
    };
    // Where only a part of the permitted length may lie level, a vent with more of it is one size larger.
    if let Some(rule) = &rules.level
        && picked.allows.is_finite()
        && air.level_mm > picked.allows * (rule.value + SHARE)
        && let Some(size) = pack.next_size(picked.size)
    {
        wants.table(Picked {
            size,
            allows: picked.allows * rule.value,
            carries: air.level_mm,
            unit: measure::LEVEL_VENT,
            cite: rule.cite.clone(),
        });
    }
    wants.table(picked);
    if let (Some(stack), Some(rule)) = (air.waste_stack, &rules.waste_stack) {
        wants.least(
            Some((stack, rule.cite.clone())),
            "the waste stack below it vents itself: its vent is as large as the stack",
        );
    }
    if air.closet
        && let Some(least) = &rules.closet
    {
        wants.least(
            Some((least.value, least.cite.clone())),
            "it vents a water closet",
        );
    }
    Ok(())
}

/// By EN 12056-2: a stack goes on in its own size, a vent pipe beside it by the stack, a branch's vent by its flow.
fn en(pack: &Pack, air: &Through, wants: &mut Wants) -> Result<(), NoValue> {
    match (air.role, air.stack) {
        (Role::StackVent, Some(stack)) => {
            let cite = pack
                .discharge_stack(0.0, wyeline_codes::Entry::Square, false)?
                .cite;
            wants.least(
                Some((stack, cite)),
                "a stack goes on to the air in its own size",
            );
        }
        (Role::VentStack | Role::ReliefVent, Some(stack)) => {
            let vent = pack.stack_vent_pipe(stack)?;
            wants.least(
                Some((vent.value, vent.cite)),
                "it stands beside a stack of that size",
            );
        }
        _ if air.flow_lps > 0.0 => {
            let found = pack.ventilated_branch(air.flow_lps)?;
            wants.table(Picked {
                size: found.value.vent,
                allows: found.value.allows,
                carries: air.flow_lps,
                unit: "l/s",
                cite: found.cite,
            });
        }
        _ => {}
    }
    Ok(())
}

/// The vents through the roof together, where the code compares their area with the building sewer's.
fn roof_vents(
    network: &Network,
    pack: &Pack,
    drains: &Drains,
    order: &[PipeIx],
    sized: &mut Sized,
) {
    let Some(rule) = pack
        .flag("vent.area-as-sewer")
        .ok()
        .filter(|rule| rule.value)
    else {
        return;
    };
    let area = |size: Size| std::f64::consts::FRAC_PI_4 * rank(size).mm() * rank(size).mm();
    let mut have_mm2 = 0.0;
    let mut known = true;
    for &ix in order {
        if network.node(network.pipe(ix).to).kind == NodeKind::RoofEnd {
            match sized.pipes[ix.0 as usize].size {
                Some(size) => have_mm2 += area(size),
                None => known = false,
            }
        }
    }
    let sewers = drains.tree.order.iter().filter(|pipe| {
        let role = sized.pipes[pipe.0 as usize].role;
        matches!(role, Role::BuildingDrain | Role::BuildingSewer)
    });
    let sewer = sewers
        .filter_map(|&pipe| drains.required(pipe))
        .reduce(larger);
    if let Some(sewer) = sewer.filter(|_| known) {
        sized.roof_vents = Some(RoofVents {
            have_mm2,
            needed_mm2: area(sewer),
            sewer,
            cite: rule.cite,
        });
    }
}
