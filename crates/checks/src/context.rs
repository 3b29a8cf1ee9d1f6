//! What rules look at, with the questions that many of them ask.
//!
//! Nothing here judges. Lengths are mm, heights are of the true centre line.

use std::cell::OnceCell;

use wyeline_codes::Pack;
use wyeline_job::Span;
use wyeline_job::model::{Job, System};
use wyeline_network::arms::TrapArm;
use wyeline_network::model::{
    Fixture, FixtureIx, LevelIx, Lie, Network, Node, NodeIx, Pipe, PipeIx,
};
use wyeline_sizing::{PipeResult, Role, Sized};
use wyeline_units::{Len, Size, UnitSystem};

use crate::finding::At;
use crate::index::Index;
use crate::kind::Kind;
use crate::supply::Supply;

/// Lengths that differ by less are the same, mm: far below what is typed or printed, far above the rounding of sums.
pub const ALIKE: f64 = 0.01;

/// What rules look at.
pub struct Context<'a> {
    /// The job as told.
    pub job: &'a Job,
    /// Its network.
    pub network: &'a Network,
    /// Its loads and sizes.
    pub sized: &'a Sized,
    /// The code in force, with the job's amendments.
    pub pack: &'a Pack,
    /// Trap arms, one for each fixture with a trap that a drain reaches.
    pub arms: Vec<TrapArm>,
    /// What lies where, worked out once.
    pub index: Index,
    supply: OnceCell<Supply>,
}

impl<'a> Context<'a> {
    /// Gathers what rules look at; the cost grows with the pipes of the network.
    pub fn new(job: &'a Job, network: &'a Network, sized: &'a Sized, pack: &'a Pack) -> Self {
        let arms = network.trap_arms();
        let index = Index::new(network, sized, &arms);
        Self {
            job,
            network,
            sized,
            pack,
            arms,
            index,
            supply: OnceCell::new(),
        }
    }
    /// Water and gas in the direction of flow, worked out when first asked for.
    pub fn supply(&self) -> &Supply {
        self.supply.get_or_init(|| Supply::new(self.network))
    }

    /// The pipe.
    pub fn pipe(&self, ix: PipeIx) -> &'a Pipe {
        self.network.pipe(ix)
    }
    /// The node.
    pub fn node(&self, ix: NodeIx) -> &'a Node {
        self.network.node(ix)
    }
    /// The fixture.
    pub fn fixture(&self, ix: FixtureIx) -> &'a Fixture {
        &self.network.fixtures[ix.0 as usize]
    }
    /// What the fixture is, without comparing names.
    pub fn kind(&self, ix: FixtureIx) -> Kind {
        self.index.kinds[ix.0 as usize]
    }
    /// What sizing says of the pipe.
    pub fn result(&self, ix: PipeIx) -> Option<&'a PipeResult> {
        self.sized.pipes.get(ix.0 as usize)
    }
    /// What the pipe is to the code.
    pub fn role(&self, ix: PipeIx) -> Role {
        self.result(ix).map_or(Role::Unknown, |result| result.role)
    }
    /// The size it has: stated, else the least the code allows.
    pub fn size(&self, ix: PipeIx) -> Option<Size> {
        let found = self.result(ix).and_then(|result| result.size);
        found.or(self.pipe(ix).size)
    }
    /// Nominal diameter, mm.
    pub fn diameter(&self, ix: PipeIx) -> Option<f64> {
        self.size(ix).map(nominal_mm)
    }
    /// Drainage load, in the code's units.
    pub fn load(&self, ix: PipeIx) -> f64 {
        self.result(ix).map_or(0.0, |result| result.load.drain)
    }

    /// All pipes of a system.
    pub fn pipes_of(&self, system: System) -> impl Iterator<Item = (PipeIx, &'a Pipe)> {
        let pipes = self.network.pipes.iter().enumerate();
        pipes.filter_map(move |(ix, pipe)| {
            (pipe.system == system).then_some((PipeIx(ix as u32), pipe))
        })
    }
    /// The drain that leads on from a node.
    pub fn down(&self, node: NodeIx) -> Option<PipeIx> {
        self.index.down[node.0 as usize]
    }
    /// The vent that leads on from a node to the open air.
    pub fn vent_out(&self, node: NodeIx) -> Option<PipeIx> {
        self.index.vent_out[node.0 as usize]
    }
    /// Drains that flow into a node.
    pub fn drains_into(&self, node: NodeIx) -> impl Iterator<Item = PipeIx> {
        self.into(node, System::Waste)
    }
    /// Vents that come to a node from drains.
    pub fn vents_into(&self, node: NodeIx) -> impl Iterator<Item = PipeIx> {
        self.into(node, System::Vent)
    }
    fn into(&self, node: NodeIx, system: System) -> impl Iterator<Item = PipeIx> {
        let pipes = self.node(node).pipes.iter().copied();
        pipes.filter(move |&pipe| {
            let pipe = self.pipe(pipe);
            pipe.system == system && pipe.to == node
        })
    }
    /// The pipes of a drain from a node downstream to where it ends.
    pub fn downstream(&self, node: NodeIx) -> impl Iterator<Item = PipeIx> {
        let mut next = self.down(node);
        // A mistaken network may hold a ring.
        let mut left = self.network.pipes.len();
        std::iter::from_fn(move || {
            let here = next?;
            left = left.checked_sub(1)?;
            next = self.down(self.pipe(here).to);
            Some(here)
        })
    }
    /// The pipes of a vent from a pipe on to the open air.
    pub fn to_the_air(&self, pipe: PipeIx) -> impl Iterator<Item = PipeIx> {
        let mut next = Some(pipe);
        let mut left = self.network.pipes.len();
        std::iter::from_fn(move || {
            let here = next?;
            left = left.checked_sub(1)?;
            next = self.vent_out(self.pipe(here).to);
            Some(here)
        })
    }

    /// Centre-to-centre length, mm: of a plumb pipe the true height between its ends, of any other the length as drawn,
    /// without what its fall adds (0.02 percent at 1/4 in per ft, which no table means).
    pub fn length(&self, pipe: PipeIx) -> f64 {
        let told = self.pipe(pipe);
        if told.lie == Lie::Vertical {
            told.fall_mm.abs()
        } else {
            self.network.length_mm(told)
        }
    }
    /// Sine of the angle at which the pipe rises above level, going from its upstream end: -1 for a drop.
    pub fn rise(&self, pipe: PipeIx) -> f64 {
        let (a, b) = self.network.true_ends(self.pipe(pipe));
        (b - a).normalize_or_zero().z
    }
    /// Height of the flood rim, mm; of a fixture without one (a floor drain, a shower whose curb is not known) the finished floor.
    pub fn rim(&self, fixture: FixtureIx) -> f64 {
        let fixture = self.fixture(fixture);
        fixture.anchor.z + fixture.rim.unwrap_or(0.0)
    }
    /// The storey a height belongs to: the highest floor that is not above it.
    pub fn storey_at(&self, z: f64) -> Option<LevelIx> {
        let floors = &self.index.floors;
        let above = floors.partition_point(|(floor, _)| *floor <= z + 1.0);
        above.checked_sub(1).map(|at| floors[at].1)
    }

    /// Place in the job.
    pub fn span(&self, at: At) -> Span {
        match at {
            At::Node(ix) => self.node(ix).span,
            At::Pipe(ix) => self.pipe(ix).span,
            At::Fixture(ix) => self.fixture(ix).span,
            At::Job => self.job.code.as_ref().map_or_else(
                || {
                    let title = self.job.title.job.as_ref();
                    title.map_or(Span { start: 0, end: 0 }, |name| name.span)
                },
                |code| code.span,
            ),
        }
    }
    /// Whether it is existing work: for a node, all that meets there.
    pub fn existing(&self, at: At) -> bool {
        match at {
            At::Node(ix) => {
                let pipes = &self.node(ix).pipes;
                !pipes.is_empty() && pipes.iter().all(|&pipe| self.pipe(pipe).existing)
            }
            At::Pipe(ix) => self.pipe(ix).existing,
            At::Fixture(ix) => self.fixture(ix).existing,
            At::Job => false,
        }
    }
    /// What of it nobody has verified.
    pub fn unverified(&self, at: At) -> Vec<String> {
        let run = |pipe: PipeIx| format!("place and heights of {}", self.run(pipe));
        match at {
            At::Node(ix) => {
                let pipes = &self.node(ix).pipes;
                let doubtful = pipes.iter().find(|&&pipe| self.pipe(pipe).unverified);
                doubtful.map(|&pipe| run(pipe)).into_iter().collect()
            }
            At::Pipe(ix) if self.pipe(ix).unverified => vec![run(ix)],
            At::Fixture(ix) if self.fixture(ix).unverified => {
                vec![format!("place and heights of {}", self.fixture(ix).tag)]
            }
            _ => Vec::new(),
        }
    }

    /// The run that told the pipe, by its name.
    pub fn run(&self, pipe: PipeIx) -> &'a str {
        &self.network.runs[self.pipe(pipe).run.0 as usize].name
    }
    /// The fixture's tag.
    pub fn tag(&self, fixture: FixtureIx) -> &'a str {
        &self.fixture(fixture).tag
    }
    /// A length in the job's units, to 1/16 in or 1 mm.
    pub fn show(&self, mm: f64) -> String {
        let text = Len::from_mm(mm).show(self.network.units, 16);
        match self.network.units {
            UnitSystem::Millimetres => text + " mm",
            UnitSystem::Metres => text + " m",
            UnitSystem::FeetInches | UnitSystem::Inches => text,
        }
    }
}

/// Whether a pipe lies level apart from its fall.
pub fn is_level(pipe: &Pipe) -> bool {
    matches!(pipe.lie, Lie::Axis | Lie::LevelSkew)
}

/// Nominal diameter, mm.
pub fn nominal_mm(size: Size) -> f64 {
    match size {
        Size::Inch { eighths } => f64::from(eighths) * 25.4 / 8.0,
        Size::Dn(mm) => f64::from(mm),
    }
}

/// Whether one nominal size is smaller than another. An inch size and its metric twin (4 in, DN100) are
/// the same; neighbours in either series differ by more than the 7 percent allowed here for their rounding.
pub fn smaller(a: Size, b: Size) -> bool {
    match (a, b) {
        (Size::Inch { eighths: a }, Size::Inch { eighths: b }) | (Size::Dn(a), Size::Dn(b)) => {
            a < b
        }
        _ => nominal_mm(a) < nominal_mm(b) * 0.93,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 4 in and DN100 are twins, as are 1-1/2 in and DN40; 3 in is less than DN100 and DN90 less than 4 in.
    #[test]
    fn twins_of_inch_and_metric() {
        let inch = |eighths| Size::Inch { eighths };
        for (eighths, dn) in [
            (10, 32),
            (12, 40),
            (16, 50),
            (24, 75),
            (24, 80),
            (32, 100),
            (48, 150),
        ] {
            assert!(
                !smaller(inch(eighths), Size::Dn(dn)),
                "{eighths}/8 and {dn}"
            );
            assert!(
                !smaller(Size::Dn(dn), inch(eighths)),
                "{eighths}/8 and {dn}"
            );
        }
        assert!(smaller(inch(24), Size::Dn(100)));
        assert!(smaller(Size::Dn(90), inch(32)));
        assert!(smaller(inch(12), inch(16)) && !smaller(inch(16), inch(16)));
    }
}
