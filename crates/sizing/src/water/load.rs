//! Units and design flows of the outlets, summed towards the supply.
//!
//! A pipe that feeds the cold and the hot tap of a fixture carries the fixture's total, which is less than cold and hot
//! together: the difference is taken off where the two ways part. Continuous draws are added as flow.

use wyeline_codes::{NoValue, OutletNeed, Pack, Use};
use wyeline_hydraulics::unit::{GPM, LITRE};
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{Fixture, FixtureIx, NodeKind};

use super::tree::{NONE, Tree};
use crate::conditions::Conditions;
use crate::model::{Gap, GapAt};

/// Flow of a loading unit at an outlet, l/s (EN 806-3:2006, clause 5, seen).
const UNIT: f64 = 0.1;

/// The code whose design flows of single outlets are taken where the code in force has none.
pub(super) const FLOWS_OF: &str = "ipc-2021";

/// What a pipe carries; also what is drawn at its far end, before it is summed.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Carries {
    /// Units of cold taps.
    pub cold: f64,
    /// Units of hot taps.
    pub hot: f64,
    /// What is counted: totals where both taps are fed.
    pub counts: f64,
    /// Closets and urinals with flushometers, where the code counts them by their number.
    pub valves: [u32; 2],
    /// A flushometer is among them.
    pub flush: bool,
    /// Flow that runs on, l/s.
    pub continuous: f64,
    /// Sum of design flows, l/s, where the code's rule for the peak is a formula over them.
    pub design: f64,
    /// The largest flow of a single outlet, l/s.
    pub largest: f64,
    /// Taps fed.
    pub taps: u32,
}

impl Carries {
    fn add(&mut self, other: &Self) {
        self.cold += other.cold;
        self.hot += other.hot;
        self.counts += other.counts;
        self.valves[0] += other.valves[0];
        self.valves[1] += other.valves[1];
        self.flush |= other.flush;
        self.continuous += other.continuous;
        self.design += other.design;
        self.largest = self.largest.max(other.largest);
        self.taps += other.taps;
    }
}

/// A tap: an end of the tree at a fixture.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tap {
    /// The fixture.
    pub fixture: FixtureIx,
    /// Its hot tap rather than its cold one.
    pub hot: bool,
    /// The pipe that feeds it, by place.
    pub place: u32,
}

/// What the code says of a fixture.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Outlet {
    /// Cold, hot and total units, where the code lists it.
    pub units: Option<[f64; 3]>,
    /// Flow, l/s: the job's, else the code's.
    pub flow: Option<f64>,
    /// Pressure it needs, Pa.
    pub needs: Option<f64>,
    /// It is flushed by a valve in the pipe.
    pub flush: bool,
    /// Flow that runs on, l/s.
    pub continuous: Option<f64>,
    /// Design flow of each of its taps, l/s: the job's flow, else the code's, where the peak is a formula over these.
    pub design: Option<f64>,
    /// The flow is another code's, for want of one in the code in force.
    pub borrowed: bool,
}

/// The use by which a fixture is counted.
pub(super) fn usage(fixture: &Fixture, conditions: &Conditions) -> Use {
    codes_use(fixture.facts.usage.unwrap_or(conditions.usage))
}

/// A use as codes name it.
pub(super) fn codes_use(usage: wyeline_job::model::Use) -> Use {
    match usage {
        wyeline_job::model::Use::Private => Use::Private,
        wyeline_job::model::Use::Public => Use::Public,
        wyeline_job::model::Use::Assembly => Use::Assembly,
    }
}

/// The variant of its kind that the code is asked for.
pub(super) fn variant(fixture: &Fixture, pack: &Pack) -> &'static str {
    if fixture.facts.flushometer && pack.variants(&fixture.kind).contains(&"flushometer") {
        "flushometer"
    } else {
        ""
    }
}

/// Whether a fixture is flushed by a valve in the pipe. Urinals are in their usual form (common practice).
fn flushed_by_valve(fixture: &Fixture) -> bool {
    fixture.facts.flushometer || fixture.kind == "urinal"
}

/// What the code says of a fixture, and what it does not say.
pub(super) fn outlet(
    fixture: &Fixture,
    pack: &Pack,
    conditions: &Conditions,
) -> (Outlet, Option<NoValue>) {
    let by = usage(fixture, conditions);
    let variant = variant(fixture, pack);
    let need = pack.outlet_of(&fixture.kind, variant, by);
    let need: Option<OutletNeed> = need.ok().map(|need| need.value);
    // Codes without flows of single outlets: how much a tap draws is no matter of law.
    let own = fixture
        .facts
        .flow
        .map(|flow| flow.lps)
        .or(need.map(|need| need.flow_lps));
    let borrowed = || {
        let other = Pack::named(FLOWS_OF)?;
        let need = other.outlet_of(&fixture.kind, self::variant(fixture, other), by);
        Some(need.ok()?.value.flow_lps)
    };
    let flush = flushed_by_valve(fixture);
    let floor = if flush {
        pack.scalar("water.dynamic-pressure-flush-valve")
    } else {
        pack.scalar("water.dynamic-pressure-flush-tank")
    };
    let floor = floor.ok().map(|floor| floor.value);
    let design = pack.design_flow_of(&fixture.kind, variant, by).ok();
    // The rule of the formula may want more than the code's floor.
    let floor = [
        floor,
        design.as_ref().and_then(|design| design.value.pressure_pa),
    ]
    .into_iter()
    .flatten()
    .reduce(f64::max);
    let table = crate::conditions::table();
    let usual = || floor.unwrap_or(table.defaults.needs_kpa.is * 1e3);
    let mut outlet = Outlet {
        flow: own.or_else(borrowed),
        borrowed: own.is_none(),
        needs: Some(match need.and_then(|need| need.pressure_pa) {
            // The appendix is lower than the body of the code here and there: the larger holds.
            Some(pressure) => pressure.max(floor.unwrap_or(0.0)),
            None => usual(),
        }),
        flush,
        design: design.map(|design| {
            fixture
                .facts
                .flow
                .map_or(design.value.flow_lps, |flow| flow.lps)
        }),
        ..Outlet::default()
    };
    if let Some(draws) = fixture.facts.draws {
        outlet.continuous = Some(draws.lps);
        return (outlet, None);
    }
    match pack.water_load_of(&fixture.kind, variant, by) {
        Ok(load) => {
            let mut units = [load.value.cold, load.value.hot, load.value.total];
            if units[0] == 0.0
                && units[1] == 0.0
                && let Ok(part) = pack.scalar("water.cold-or-hot-fraction")
            {
                units[0] = units[2] * part.value;
                units[1] = units[0];
            }
            outlet.units = Some(units);
            (outlet, None)
        }
        // Flushometers that the code counts by their number have no units of their own.
        Err(_) if flush && pack.flush_valves(1, 0).is_ok() => (outlet, None),
        Err(none) => {
            // What has a flow and no units (a hose bibb) is added as flow.
            outlet.continuous = own;
            let told = outlet.continuous.is_some();
            (outlet, (!told).then_some(none))
        }
    }
}

/// Taps of the tree, and what each pipe carries.
pub(super) struct Loads {
    /// By place in the tree.
    pub carries: Vec<Carries>,
    /// Taps, cold before hot, in the order of the fixtures.
    pub taps: Vec<Tap>,
    /// By fixture.
    pub outlets: Vec<Outlet>,
}

/// Sums loads towards the supply.
pub(super) fn loads(
    network: &Network,
    tree: &Tree,
    pack: &Pack,
    conditions: &mut Conditions,
    gaps: &mut Vec<Gap>,
) -> Loads {
    let mut carries = vec![Carries::default(); tree.pipes.len()];
    let mut taps = Vec::new();
    let mut outlets = vec![Outlet::default(); network.fixtures.len()];
    let mut known: Vec<(&Fixture, Outlet)> = Vec::new();
    let by_number = pack.flush_valves(1, 0).is_ok();
    for (ix, fixture) in network.fixtures.iter().enumerate() {
        let number = FixtureIx(ix as u32);
        let ends = ["cold", "hot"].map(|name| end(network, tree, fixture, name));
        if ends == [None, None] || tree.heaters.iter().any(|heater| heater.fixture == number) {
            continue;
        }
        // A building has few sorts of fixtures: the code is asked once for each.
        let like = |other: &&(&Fixture, Outlet)| {
            other.0.kind == fixture.kind && other.0.facts == fixture.facts
        };
        let outlet = if let Some((_, outlet)) = known.iter().find(like) {
            *outlet
        } else {
            let (outlet, none) = outlet(fixture, pack, conditions);
            known.push((fixture, outlet));
            if let Some(none) = none {
                gaps.push(Gap {
                    at: GapAt::Fixture(number),
                    why: none.to_string(),
                    help: "say what it draws: `draws 0.5 gpm continuously`, or amend the code"
                        .into(),
                    span: fixture.span,
                });
            }
            outlet
        };
        outlets[ix] = outlet;
        add(
            &mut carries,
            tree,
            number,
            ends,
            &outlet,
            (by_number, fixture.kind == "urinal"),
            &mut taps,
        );
    }
    if outlets
        .iter()
        .any(|outlet| outlet.borrowed && outlet.flow.is_some())
    {
        conditions.assume(
            "flow of a tap by itself",
            "IPC 2021 Table 604.3, for want of such a table in the code in force: `flow` in the fixture's line",
        );
    }
    beyond(network, tree, &mut carries);
    for place in (0..carries.len()).rev() {
        let parent = tree.parent[place];
        if parent != NONE {
            let here = carries[place];
            carries[parent as usize].add(&here);
        }
    }
    Loads {
        carries,
        taps,
        outlets,
    }
}

/// The pipe that ends at a fixture's port.
fn end(network: &Network, tree: &Tree, fixture: &Fixture, name: &str) -> Option<u32> {
    let port = fixture.ports.iter().find(|port| port.name == name)?;
    let place = *tree.feeds.get(port.node?.0 as usize)?;
    let system = if name == "hot" {
        System::Hot
    } else {
        System::Cold
    };
    (place != NONE && network.pipe(tree.pipes[place as usize]).system == system).then_some(place)
}

/// Adds what a fixture draws at the pipes that end at it.
fn add(
    carries: &mut [Carries],
    tree: &Tree,
    fixture: FixtureIx,
    ends: [Option<u32>; 2],
    outlet: &Outlet,
    (by_number, urinal): (bool, bool),
    taps: &mut Vec<Tap>,
) {
    let units = outlet.units.unwrap_or_default();
    let mixes = ends[0].is_some() && ends[1].is_some() && units[0] > 0.0 && units[1] > 0.0;
    for (side, end) in ends.into_iter().enumerate() {
        let Some(place) = end else { continue };
        taps.push(Tap {
            fixture,
            hot: side == 1,
            place,
        });
        let here = &mut carries[place as usize];
        here.taps += 1;
        *(if side == 0 {
            &mut here.cold
        } else {
            &mut here.hot
        }) += units[side];
        here.counts += units[side];
        // A mixing tap takes its design flow on either side; what has no units on a side draws nothing there.
        if units[side] > 0.0 {
            here.design += outlet.design.unwrap_or(0.0);
        }
        if outlet.continuous.is_none() {
            // What a mixing tap draws of each side goes by the code's own units: hot or cold to total.
            let part = if mixes && units[2] > 0.0 {
                (units[side] / units[2]).min(1.0)
            } else {
                1.0
            };
            here.largest = here.largest.max(outlet.flow.unwrap_or(0.0) * part);
        }
        // A valve flushes with cold water, and what runs on runs from the cold tap where there is one.
        if side == 0 || ends[0].is_none() {
            here.flush |= outlet.flush;
            if outlet.flush && by_number && outlet.units.is_none() {
                here.valves[usize::from(urinal)] += 1;
            }
            here.continuous += outlet.continuous.unwrap_or(0.0);
        }
    }
    if let [Some(cold), Some(hot)] = ends
        && let Some(meet) = meet(tree, cold, hot)
    {
        carries[meet as usize].counts += units[2] - units[0] - units[1];
    }
}

/// The last pipe that feeds both of two pipes.
fn meet(tree: &Tree, mut a: u32, mut b: u32) -> Option<u32> {
    // A pipe stands after the one that feeds it, so the later of the two is never the one that feeds both.
    while a != b {
        if a == NONE || b == NONE {
            return None;
        }
        if a > b {
            a = tree.parent[a as usize];
        } else {
            b = tree.parent[b as usize];
        }
    }
    (a != NONE).then_some(a)
}

/// Adds what goes on beyond the drawing.
fn beyond(network: &Network, tree: &Tree, carries: &mut [Carries]) {
    for (ix, node) in network.nodes.iter().enumerate() {
        let NodeKind::Continues { beyond, .. } = &node.kind else {
            continue;
        };
        let place = tree.feeds[ix];
        let (Some((amount, unit)), false) = (&beyond.load, place == NONE) else {
            continue;
        };
        let here = &mut carries[place as usize];
        here.taps += 2;
        match unit.as_str() {
            "gpm" => here.continuous += amount * GPM / LITRE,
            "l/s" => here.continuous += amount,
            _ => {
                here.counts += amount;
                here.design += amount * UNIT;
                let hot = network.pipe(tree.pipes[place as usize]).system == System::Hot;
                *(if hot { &mut here.hot } else { &mut here.cold }) += amount;
            }
        }
    }
}
