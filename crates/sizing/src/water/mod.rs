//! Sizes, pressures and waits of cold, hot and returning water.
//!
//! In: the network, a code, the conditions of the job. Out: for each pipe load, flow, size, loss and pressure; for each
//! fixture what is left at its taps and how long hot water takes. By linear passes over a tree (`tree`).

mod demand;
mod hot;
mod load;
mod make;
mod pick;
mod pressure;
mod table;
mod tree;
mod way;
mod why;

use wyeline_codes::{Family, Pack, PeakFormula};
use wyeline_job::Job;
use wyeline_job::model::WaterMethod;
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, NodeIx, NodeKind, PipeIx};

use crate::conditions::Conditions;
use crate::model::{Budget, Gap, GapAt, Governs, Sized, Step, WaterResult, WaterSummary};
use crate::ranks::stated;
use demand::Demand;
use load::Loads;
use make::Makes;
use pick::Picked;
use pressure::{Physics, Pressures};
use tree::{NONE, Tree, supplies};

/// All that is worked out on the way.
pub(crate) struct Worked<'a> {
    network: &'a Network,
    pack: &'a Pack,
    conditions: Conditions,
    tree: Tree,
    loads: Loads,
    makes: Makes,
    picked: Picked,
    physics: Physics<'a>,
    pressures: Pressures,
    gaps: Vec<Gap>,
}

/// Sizes the water of a network.
///
/// Never fails: what cannot be worked out is told in [`Sized::gaps`].
pub fn size(job: &Job, network: &Network, pack: &Pack, sized: &mut Sized) {
    let Some(mut worked) = work(job, network, pack) else {
        return;
    };
    sized.gaps.append(&mut worked.gaps);
    worked.pipes(sized);
    worked.fixtures(sized);
    let circulating = hot::circulating(network, &worked.tree);
    hot::waits(
        &worked.tree,
        &worked.loads,
        &worked.makes,
        &worked.picked,
        &circulating,
        sized,
    );
    let heaters = hot::Hot {
        network,
        tree: &worked.tree,
        makes: &worked.makes,
        picked: &worked.picked,
        circulating: &circulating,
        conditions: &worked.conditions,
        physics: &worked.physics,
        pressures: &worked.pressures,
    }
    .heaters(sized);
    sized.water = Some(WaterSummary {
        governing: worked.governing(),
        beyond: worked.beyond(),
        heaters,
        conditions: worked.conditions,
    });
}

/// The pressure budget of a tap; nothing where no pipe reaches it, or the pressure of the supply is not known.
pub fn budget(
    job: &Job,
    network: &Network,
    pack: &Pack,
    fixture: FixtureIx,
    hot: bool,
) -> Option<Budget> {
    let worked = work(job, network, pack)?;
    let taps = &worked.loads.taps;
    let tap = taps
        .iter()
        .find(|tap| tap.fixture == fixture && tap.hot == hot)?;
    worked.budget(tap)
}

/// How a water pipe came by its load, flow, size and pressure.
pub fn why(job: &Job, network: &Network, pack: &Pack, sized: &Sized, pipe: PipeIx) -> Vec<Step> {
    match work(job, network, pack) {
        Some(worked) => worked.why(sized, pipe),
        None => Vec::new(),
    }
}

fn work<'a>(job: &Job, network: &'a Network, pack: &'a Pack) -> Option<Worked<'a>> {
    if !network.pipes.iter().any(supplies) {
        return None;
    }
    let mut conditions = Conditions::of(job, network);
    let mut gaps = Vec::new();
    let tree = tree::tree(network, &mut gaps);
    let loads = load::loads(network, &tree, pack, &mut conditions, &mut gaps);
    let makes = make::makes(network, &tree, pack, &mut conditions, &mut gaps);
    let demand = Demand::new(pack, &conditions);
    if let Err(none) = demand.known() {
        gaps.push(Gap {
            at: GapAt::Job,
            why: format!("{none}: velocities and pressures of water are not worked out"),
            help: none.help,
            span: crate::job_span(job),
        });
    }
    if let Some(formula) = demand.formula() {
        let PeakFormula {
            building, a, b, c, ..
        } = &formula.value;
        conditions.assume(
            &format!(
                "peak flow of water in a {building} by {}: {a} x sum^{b} - {c} l/s over the design flows",
                formula.cite
            ),
            "a national rule: EN 806-3 gives flows only as a figure. To be compared with the printed rule in force; another building: `amend rules \"water.peak-building\"`",
        );
    }
    let mut picked = pick::by_velocity(network, pack, &tree, &loads, &makes, &demand, &mut gaps);
    let physics = Physics::new(pack, &conditions, &makes);
    let running = sources(
        network,
        &tree,
        &physics,
        conditions.flowing_pa,
        conditions.flowing_at_mm,
    );
    if conditions.flowing_pa.is_none() {
        gaps.push(Gap {
            at: GapAt::Job,
            why: "the pressure of the supply is not stated: pipes are sized by velocity, and no pressures are worked out".into(),
            help: "say what the water works, or a gauge, tell: `supply pressure 55 psi`".into(),
            span: crate::job_span(job),
        });
    }
    if pack.family() == Family::En {
        table::by_loading_units(network, pack, &tree, &loads, &makes, &mut picked, &mut gaps);
    } else if conditions.flowing_pa.is_some() {
        match conditions.method {
            WaterMethod::Table => {
                table::by_table(
                    network,
                    &tree,
                    &loads,
                    &makes,
                    &physics,
                    &running,
                    &mut picked,
                    &mut gaps,
                );
            }
            WaterMethod::Segmented => {
                let allowance = pressure::allowance(
                    network, &tree, &loads, &makes, &picked, &physics, &running,
                );
                let flows = picked.flow.clone();
                let lost = |place: usize, size: usize| {
                    physics.friction(&makes, &makes.of[place], size, flows[place].unwrap_or(0.0))
                };
                pick::by_pressure(&tree, &loads, &makes, &allowance, &lost, &mut picked);
            }
        }
    }
    let standing = conditions
        .standing_pa
        .map(|pressure| (pressure, conditions.standing_at_mm));
    let standing = standing.or(conditions
        .flowing_pa
        .map(|pressure| (pressure, conditions.flowing_at_mm)));
    let (still, at) = standing.map_or((None, None), |(pressure, at)| (Some(pressure), at));
    let standing = sources(network, &tree, &physics, still, at);
    let pressures = pressure::pressures(
        network, &tree, &makes, &picked, &physics, &running, &standing,
    );
    Some(Worked {
        network,
        pack,
        conditions,
        tree,
        loads,
        makes,
        picked,
        physics,
        pressures,
        gaps,
    })
}

/// Pressure of each source as Pa at height 0; not a number where none is known.
fn sources(
    network: &Network,
    tree: &Tree,
    physics: &Physics<'_>,
    pressure: Option<f64>,
    at: Option<f64>,
) -> Vec<f64> {
    let of = |source: &NodeIx| {
        let z = at.unwrap_or(network.node(*source).at.z) / 1e3;
        pressure.map_or(f64::NAN, |pressure| pressure + physics.per_metre * z)
    };
    tree.sources.iter().map(of).collect()
}

fn known(pressure: f64) -> Option<f64> {
    pressure.is_finite().then_some(pressure)
}

impl Worked<'_> {
    /// Puts what was found into the results of the pipes.
    fn pipes(&mut self, sized: &mut Sized) {
        for (place, &ix) in self.tree.pipes.iter().enumerate() {
            let result = &mut sized.pipes[ix.0 as usize];
            let make = &self.makes.of[place];
            let carries = &self.loads.carries[place];
            result.role = self.picked.role[place];
            result.load.water = [carries.cold, carries.hot, carries.counts];
            result.load.flow_lps = self.picked.flow[place];
            result.flow_by = self.picked.flow_by[place].take();
            result.load.continuous_lps = carries.continuous;
            let stated = stated(self.network.pipe(ix));
            result.needed = self.picked.needed[place].map(|size| self.makes.sizes[size as usize]);
            result.size = stated.or(result.needed);
            result.stated = stated.is_some();
            result.governs = std::mem::take(&mut self.picked.governs[place]);
            if result.needed.is_none() && result.stated {
                result.governs = Governs::Stated;
            }
            let size = self.picked.size(place, make);
            let bore = size.and_then(|size| self.makes.bore(make, size as usize));
            result.water = self.picked.flow[place].map(|flow| WaterResult {
                flow_lps: flow,
                velocity: bore.map_or(0.0, |bore| {
                    wyeline_hydraulics::friction::velocity(
                        flow * wyeline_hydraulics::unit::LITRE,
                        bore,
                    )
                }),
                loss_pa: self.pressures.loss[place],
                pressure_pa: known(self.pressures.running[place]),
                standing_pa: known(self.pressures.standing[place]),
            });
        }
        // What no source reaches keeps the size that is stated.
        for (ix, pipe) in self.network.pipes.iter().enumerate() {
            if supplies(pipe) && self.tree.place[ix] == NONE {
                let result = &mut sized.pipes[ix];
                result.size = stated(pipe);
                result.stated = result.size.is_some();
            }
        }
    }

    /// Puts what was found into the results of the fixtures.
    fn fixtures(&self, sized: &mut Sized) {
        for tap in &self.loads.taps {
            let outlet = &self.loads.outlets[tap.fixture.0 as usize];
            let result = &mut sized.fixtures[tap.fixture.0 as usize];
            let side = usize::from(tap.hot);
            result.water = outlet.units;
            result.needs_pa = outlet.needs;
            if self.picked.flow[tap.place as usize].is_some() {
                result.residual_pa[side] = known(self.pressures.running[tap.place as usize]);
            }
            result.standing_pa[side] = known(self.pressures.standing[tap.place as usize]);
        }
    }

    /// The budget of the tap that has the least to spare.
    fn governing(&self) -> Option<Budget> {
        let spare = |tap: &load::Tap| {
            let needs = self.loads.outlets[tap.fixture.0 as usize]
                .needs
                .unwrap_or(0.0);
            self.pressures.running[tap.place as usize] - needs
        };
        let runs = |tap: &&load::Tap| self.picked.flow[tap.place as usize].is_some();
        let taps = self
            .loads
            .taps
            .iter()
            .filter(runs)
            .filter(|tap| spare(tap).is_finite());
        let least = taps.min_by(|a, b| spare(a).total_cmp(&spare(b)))?;
        self.budget(least)
    }

    /// Ends that go on beyond the drawing.
    fn beyond(&self) -> Vec<(NodeIx, Option<f64>, Option<f64>)> {
        let mut found = Vec::new();
        for (ix, node) in self.network.nodes.iter().enumerate() {
            let NodeKind::Continues { beyond, .. } = &node.kind else {
                continue;
            };
            let place = self.tree.feeds[ix];
            if place != NONE {
                let left = known(self.pressures.running[place as usize]);
                found.push((NodeIx(ix as u32), left, beyond.needs.map(|needs| needs.pa)));
            }
        }
        found
    }
}
