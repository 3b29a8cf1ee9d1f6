//! Sizes of drains by tables of fixture units (IPC, NPC, UPC), in the order of flow.
//!
//! In: roles, loads, intervals. Out: for each drain the least size that its table, the least sizes, the closets
//! upstream and the pipes upstream allow together, and which of them decided.

use wyeline_codes::{Family, NoValue, Pack};
use wyeline_network::Network;
use wyeline_network::model::{Lie, Pipe, PipeIx};
use wyeline_units::{Size, Slope};

use super::Drains;
use super::line::is_vertical;
use super::pick::{self, Picked};
use super::wants::{Inflow, Wants, settle};
use crate::model::{Airs, Gap, GapAt, Governs, PipeResult, Role, Sized, measure};
use crate::ranks::rank;

/// The slope that a drain is sized by: its own; that of an offset, which is steeper than any level piece and
/// tells none itself, is the flattest of its run. Nothing is sized by a slope that is not known.
pub(super) fn slope_for(network: &Network, pipe: &Pipe) -> Option<Slope> {
    let own = pipe.slope.map(|fall| fall.slope);
    let offset = matches!(pipe.lie, Lie::Tilted | Lie::Rolling);
    let (a, b) = network.true_ends(pipe);
    let level = (a - b).truncate().length();
    let of_run = || {
        let pipes = network.runs[pipe.run.0 as usize].pipes.iter();
        pipes
            .filter_map(|&other| network.pipe(other).slope)
            .map(|fall| fall.slope)
            .min_by(|a, b| a.ratio().total_cmp(&b.ratio()))
            .filter(|slope| pipe.fall_mm >= slope.ratio() * level)
    };
    own.or_else(|| offset.then(of_run).flatten())
        .filter(|slope| slope.ratio() > 0.0)
}

/// Sizes all drains, and returns for each pipe the size that its load requires, stated sizes left aside.
pub(crate) fn size(
    network: &Network,
    pack: &Pack,
    drains: &Drains,
    sized: &mut Sized,
) -> Vec<Option<Size>> {
    let mut inflow = Inflow::new(network);
    let mut asker = Asker::new(network, pack, drains);
    let mut assumed_slope = vec![false; network.runs.len()];
    for &ix in &drains.tree.order {
        let pipe = network.pipe(ix);
        let result = &sized.pipes[ix.0 as usize];
        let mut wants = Wants::default();
        let missing = asker.ask(ix, result, &mut wants);
        let empty = result.load.drain == 0.0
            && result.role != Role::FixtureDrain
            && result.airs != Some(Airs::WasteStack);
        assumed_slope[pipe.run.0 as usize] |=
            by_slope(result.role) && pipe.slope.is_some_and(|fall| fall.assumed);
        inflow.require(network, ix, wants.size());
        asker.upstream(inflow.at(pipe), &mut wants);
        let mut want = wants.take();
        if let Some(none) = missing.filter(|_| !empty) {
            want = None;
            sized.gaps.push(Gap {
                at: GapAt::Pipe(ix),
                why: none.to_string(),
                help: none.help,
                span: pipe.span,
            });
        } else if empty && inflow.at(pipe).is_none() {
            // Nothing drains through it: a stub for later, or what goes on beyond the sheet without a load.
            want = None;
        }
        settle(network, sized, ix, want);
        inflow.pass(network, ix, sized.pipes[ix.0 as usize].size);
    }
    tell_assumed(network, &assumed_slope, sized);
    inflow.required()
}

/// Whether a drain of that role is sized by its slope.
fn by_slope(role: Role) -> bool {
    matches!(
        role,
        Role::StackOffset | Role::BuildingDrain | Role::BuildingSewer
    )
}

/// The least that a stack may be anywhere.
#[derive(Clone, Copy)]
enum Top {
    NotAsked,
    Asked(Option<Size>),
}

/// Puts to the code all that it asks of a drain.
pub(crate) struct Asker<'a> {
    network: &'a Network,
    pack: &'a Pack,
    drains: &'a Drains,
    rules: pick::Rules,
    /// For each line the least that its stack may be anywhere; asked when its first pipe comes.
    tops: Vec<Top>,
}

impl<'a> Asker<'a> {
    pub fn new(network: &'a Network, pack: &'a Pack, drains: &'a Drains) -> Self {
        Self {
            network,
            pack,
            drains,
            rules: pick::Rules::of(pack),
            tops: vec![Top::NotAsked; drains.lines.all.len()],
        }
    }

    /// All that is asked of a drain by itself; and what the code says nothing of.
    pub fn ask(&mut self, ix: PipeIx, result: &PipeResult, wants: &mut Wants) -> Option<NoValue> {
        let (role, load) = (result.role, result.load);
        let pipe = self.network.pipe(ix);
        let vertical = is_vertical(self.network, pipe);
        let mut missing = None;
        let airing = &self.drains.airing;
        let waste_stack = result.airs == Some(Airs::WasteStack);
        let circuit = airing.circuit(ix);
        let (closets, on_branch) = circuit.map_or((load.closets, role), |circuit| {
            (circuit.closets.max(load.closets), circuit.role)
        });
        let by_load = if waste_stack {
            self.drains
                .lines
                .line(ix)
                .map(|line| pick::waste_stack(self.pack, line.units, line.heaviest_above(0.0)))
        } else if let Some(circuit) = circuit {
            let whole = self.by_load(ix, pipe, on_branch, circuit.units, vertical);
            whole.map(|picked| {
                picked.map(|picked| Picked {
                    unit: measure::CIRCUIT,
                    ..picked
                })
            })
        } else {
            self.by_load(ix, pipe, role, load.drain, vertical)
        };
        match by_load {
            Some(Ok(picked)) => wants.table(picked),
            Some(Err(none)) => missing = Some(none),
            None => {}
        }
        if let Some(system) = airing.combination(ix) {
            match pick::combination(self.pack, load.drain, system.to_building_drain) {
                Ok(picked) => wants.table(picked),
                Err(none) => missing = Some(none),
            }
        }
        match role {
            Role::FixtureDrain => {
                let trap = self.drains.sole(ix);
                let trap = trap.and_then(|known| known.trap.zip(known.cite.clone()));
                wants.least(trap, "the trap is of that size");
            }
            Role::Stack if !waste_stack => self.least_of_stack(ix, wants),
            _ => {}
        }
        let rules = &self.rules;
        if closets > 0 {
            let least = match on_branch {
                Role::Stack => &rules.closet_stack,
                Role::FixtureDrain | Role::Branch => &rules.closet_branch,
                _ => &rules.closet_building,
            };
            wants.least(least.clone(), "it drains a water closet");
            if on_branch != Role::FixtureDrain {
                pick::closets(self.pack, closets, vertical, wants);
            }
        }
        if matches!(role, Role::Branch | Role::Stack)
            && washer_enters(self.network, self.drains, pipe)
        {
            wants.least(rules.washer.clone(), "a clothes washer drains into it");
        }
        if matches!(result.airs, Some(Airs::Wet | Airs::Common))
            && role != Role::Stack
            && load.drain > 0.0
        {
            match wet_size(self.pack, self.drains, ix, load.drain, vertical) {
                Ok(picked) => wants.table(picked),
                Err(none) => missing = Some(none),
            }
        }
        missing
    }

    /// By the table of its role; nothing where the role has none.
    fn by_load(
        &self,
        ix: PipeIx,
        pipe: &Pipe,
        role: Role,
        units: f64,
        vertical: bool,
    ) -> Option<Result<Picked, NoValue>> {
        let (pack, drains) = (self.pack, self.drains);
        let upc = pack.family() == Family::DfuUpc;
        let slope = slope_for(self.network, pipe);
        Some(match role {
            // The UPC's table holds from the trap arm on.
            Role::FixtureDrain if upc && !pipe.arm => pick::upc(pack, units, vertical, slope),
            Role::Stack | Role::Branch if upc => pick::upc(pack, units, vertical, slope),
            Role::Stack => {
                let line = drains.lines.line(ix)?;
                let heaviest = line.heaviest_above(drains.lines.along[ix.0 as usize]);
                pick::stack(pack, units, line.intervals, heaviest)
            }
            Role::Branch => pick::branch(pack, units, None),
            _ if by_slope(role) && !vertical => level(pack, units, slope, role),
            // A drop that only hands on what flows in at its top is as large as that.
            _ if by_slope(role) && drains.tree.inlets[pipe.from.0 as usize] > 1 => {
                if upc {
                    pick::upc(pack, units, true, None)
                } else {
                    pick::stack(pack, units, 1, units)
                }
            }
            _ => return None,
        })
    }

    /// A stack does not shrink below a part of its largest size, going up.
    fn least_of_stack(&mut self, ix: PipeIx, wants: &mut Wants) {
        let Some(rule) = &self.rules.stack_top else {
            return;
        };
        let number = self.drains.lines.of[ix.0 as usize] as usize;
        let Some(line) = self.drains.lines.all.get(number) else {
            return;
        };
        let top = match self.tops[number] {
            Top::Asked(top) => top,
            Top::NotAsked => {
                let whole = line.heaviest_above(0.0);
                let largest = pick::stack(self.pack, line.units, line.intervals, whole).ok();
                largest.and_then(|largest| pick::at_least_part(self.pack, largest.size, rule.value))
            }
        };
        self.tops[number] = Top::Asked(top);
        wants.least(
            top.map(|top| (top, rule.cite.clone())),
            "a stack does not shrink further, going up",
        );
    }

    /// The largest pipe flowing in, which it may not be smaller than.
    pub fn upstream(&self, inflow: Option<(Size, PipeIx)>, wants: &mut Wants) {
        if let (Some((size, pipe)), Some(cite)) = (inflow, &self.rules.reduction) {
            wants.add(size, || Governs::Upstream {
                pipe,
                cite: cite.clone(),
            });
        }
    }
}

/// The least level drain at its slope; a large sewer by the table of sewers where the code has one.
fn level(pack: &Pack, units: f64, slope: Option<Slope>, role: Role) -> Result<Picked, NoValue> {
    let drain = pack.least_building_drain(units, slope)?;
    let unit = pack.drain_unit();
    if role == Role::BuildingSewer
        && let Some(slope) = slope
        && let Some(sewer) = pick::sizes(pack).iter().find_map(|&size| {
            let row = pack.sewer_allows(size, slope).ok()?;
            let holds = row.value.0 >= units && rank(size) <= rank(drain.value.size);
            holds.then_some(Picked {
                size,
                allows: row.value.0,
                carries: units,
                unit,
                cite: row.cite,
            })
        })
    {
        return Ok(sewer);
    }
    Ok(Picked {
        size: drain.value.size,
        allows: drain.value.allows,
        carries: units,
        unit,
        cite: drain.cite,
    })
}

/// Sizes that rest on a slope nobody stated are named, once for each run.
fn tell_assumed(network: &Network, runs: &[bool], sized: &mut Sized) {
    for (run, _) in network
        .runs
        .iter()
        .zip(runs)
        .filter(|(_, assumed)| **assumed)
    {
        let Some((at, fall)) = run.pipes.iter().find_map(|&pipe| {
            let fall = network.pipe(pipe).slope?;
            let by_slope = matches!(
                sized.pipes[pipe.0 as usize].role,
                Role::StackOffset | Role::BuildingDrain | Role::BuildingSewer
            );
            (by_slope && fall.assumed).then_some((pipe, fall))
        }) else {
            continue;
        };
        sized.gaps.push(Gap {
            at: GapAt::Pipe(at),
            why: format!(
                "the slope of {} is not stated: its sizes rest on {}, which is assumed",
                run.name,
                fall.slope.show(network.units)
            ),
            help: "say the slope of the run, as in `slope 1/4 in per ft`".to_owned(),
            span: network.pipe(at).span,
        });
    }
}

/// Whether a clothes washer's own drain runs into the upstream end of a pipe.
fn washer_enters(network: &Network, drains: &Drains, pipe: &Pipe) -> bool {
    network.node(pipe.from).pipes.iter().any(|&other| {
        network.pipe(other).to == pipe.from && drains.sole(other).is_some_and(|known| known.washer)
    })
}

/// The size that a drain needs as the vent of others: of one fixture above others by the rule of common vents.
fn wet_size(
    pack: &Pack,
    drains: &Drains,
    ix: PipeIx,
    units: f64,
    vertical: bool,
) -> Result<Picked, NoValue> {
    if vertical && drains.sole(ix).is_some() {
        pick::common_vent(pack, units)
    } else {
        pick::wet_vent(pack, units)
    }
}
