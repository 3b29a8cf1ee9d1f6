//! What sizing gives: one result for each pipe and fixture of the network, in the network's order.

use wyeline_codes::Cite;
use wyeline_job::Span;
use wyeline_network::model::{FixtureIx, NodeIx, PipeIx};
use wyeline_units::Size;

use crate::conditions::Conditions;
use crate::rests::Unverified;

/// A network with its loads and sizes.
#[derive(Clone, Debug, Default)]
pub struct Sized {
    /// The code it was sized by (`ipc-2021`).
    pub code: String,
    /// For each pipe of the network.
    pub pipes: Vec<PipeResult>,
    /// For each fixture of the network.
    pub fixtures: Vec<FixtureResult>,
    /// The vents through the roof, where the code compares their area with the building sewer's.
    pub roof_vents: Option<RoofVents>,
    /// The water of the job, where it has any.
    pub water: Option<WaterSummary>,
    /// What could not be worked out, and why.
    pub gaps: Vec<Gap>,
    /// What nobody has verified, and what follows from it.
    pub unverified: Vec<Unverified>,
}

/// The vents through the roof together.
#[derive(Clone, Debug, PartialEq)]
pub struct RoofVents {
    /// Sum of their nominal areas, mm2.
    pub have_mm2: f64,
    /// Nominal area of the largest building drain or sewer required, mm2.
    pub needed_mm2: f64,
    /// The size of that.
    pub sewer: Size,
    /// Where the code asks for it.
    pub cite: Cite,
}

/// What a pipe is to the code: each kind is sized by a table of its own.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// From a trap (or a fixture with a trap of its own) to the first junction.
    FixtureDrain,
    /// Drains several fixtures to a stack; no stack's discharge is in it.
    Branch,
    /// Vertical, takes branches of one storey or more.
    Stack,
    /// A level stretch of a stack, between the vertical ones; sized as a building drain.
    StackOffset,
    /// The lowest drain, which takes the discharge of stacks, to where the sewer begins; and branches of it.
    BuildingDrain,
    /// From outside the building on.
    BuildingSewer,
    /// Vents one trap.
    IndividualVent,
    /// Vents several traps, or joins several vents.
    BranchVent,
    /// A stack's continuation above its highest branch.
    StackVent,
    /// Runs beside a stack from its base.
    VentStack,
    /// Lets air into a stack between its base and its top, or into a circuit-vented branch before the stack.
    ReliefVent,
    /// Vents the fixtures along a level branch, taken off between the two farthest upstream.
    CircuitVent,
    /// Rain water.
    Storm,
    /// From the street or well to the building.
    Service,
    /// Cold and hot water: feeds more than one fixture.
    Distribution,
    /// Feeds one fixture.
    FixtureSupply,
    /// Back to the heater.
    HotReturn,
    /// Fuel gas.
    Gas,
    /// Not known.
    #[default]
    Unknown,
}

/// How air comes down a drain in use to the traps of other fixtures; codes size such drains by sections of their own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Airs {
    /// Two traps at two heights of a plumb drain: a common vent.
    Common,
    /// A wet vent.
    Wet,
    /// A level branch, vented between its two most upstream fixtures.
    Circuit,
    /// Fixtures of other storeys drain through it, and no code lets it be a vent.
    Stack,
    /// A stack without closets that vents itself: a waste stack vent.
    WasteStack,
    /// A level drain of sinks and floor drains that vents itself: a combination drain and vent.
    Combination,
}

/// What a pipe carries.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Load {
    /// Drainage: fixture units (dfu), or the sum of discharge units (l/s) under EN 12056-2.
    pub drain: f64,
    /// Water closets among the fixtures drained.
    pub closets: u32,
    /// Water: cold, hot and total fixture units (wsfu) or loading units of the outlets fed.
    pub water: [f64; 3],
    /// Water or drain: likely peak flow, l/s, where the code gives one.
    pub flow_lps: Option<f64>,
    /// Continuous flow in it, l/s, added after the units are turned into flow.
    pub continuous_lps: f64,
    /// Gas input of the appliances fed, W.
    pub gas_w: f64,
}

/// Units of [`Governs::Table`] by which rules tell one kind of limit from another.
pub mod measure {
    /// Load of the whole branch that a circuit vent serves: it has one size all along.
    pub const CIRCUIT: &str = "dfu on the whole circuit-vented branch";
    /// Load of a drain that is a wet vent as well.
    pub const WET_VENT: &str = "dfu on a wet vent";
    /// Water closets that a drain of the next smaller size may carry.
    pub const CLOSETS: &str = "closets on the next smaller size";
    /// Level length that a vent of the next smaller size may have, mm.
    pub const LEVEL_VENT: &str = "mm level, for the next smaller size";
}

/// What decided a pipe's size.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Governs {
    /// Nothing is known that would.
    #[default]
    Nothing,
    /// The line of a table: how much it allows and what was asked of it, in the table's unit.
    Table {
        /// Where it stands.
        cite: Cite,
        /// What the line allows.
        allows: f64,
        /// What the pipe carries.
        carries: f64,
        /// Unit of both (`dfu`, `l/s`, `ft`, `wsfu`, `cfh`).
        unit: &'static str,
    },
    /// A least size whatever the load.
    Least {
        /// Where it stands.
        cite: Cite,
        /// In words: `a water closet is upstream`.
        why: &'static str,
    },
    /// As large as what flows into it.
    Upstream {
        /// The pipe upstream.
        pipe: PipeIx,
        /// The rule against reducing.
        cite: Cite,
    },
    /// The limit on velocity.
    Velocity {
        /// The limit, m/s.
        limit: f64,
        /// Where it stands.
        cite: Cite,
    },
    /// The pressure left for the farthest fixture.
    Pressure {
        /// The fixture that governs.
        fixture: FixtureIx,
    },
    /// The size stated in the job.
    Stated,
}

/// The result for a pipe.
#[derive(Clone, Debug, Default)]
pub struct PipeResult {
    /// What it is to the code.
    pub role: Role,
    /// Drains: how air comes down it to other traps, where it does.
    pub airs: Option<Airs>,
    /// What it carries.
    pub load: Load,
    /// The least size the code allows, where it can be told.
    pub needed: Option<Size>,
    /// Drains: the size that the loads in it require, whatever larger size is stated upstream.
    pub required: Option<Size>,
    /// The size it has: stated in the job, else the least.
    pub size: Option<Size>,
    /// The size is stated in the job.
    pub stated: bool,
    /// What decided the least size.
    pub governs: Governs,
    /// Vents: developed length that counts for its size, mm.
    pub developed_mm: Option<f64>,
    /// Pressures and flow, for water.
    pub water: Option<WaterResult>,
    /// Where the rule stands that turned its load into a peak flow of water; nothing for a single tap.
    pub flow_by: Option<Cite>,
}

/// Flow and pressure in a water pipe.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WaterResult {
    /// Peak flow, l/s.
    pub flow_lps: f64,
    /// Velocity, m/s.
    pub velocity: f64,
    /// Friction loss in it, fittings and devices included, Pa.
    pub loss_pa: f64,
    /// Pressure at its downstream end while water runs at its peak, Pa, where the supply's is known.
    pub pressure_pa: Option<f64>,
    /// Pressure at its downstream end while none runs, Pa, where the supply's is known.
    pub standing_pa: Option<f64>,
}

/// The result for a fixture.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FixtureResult {
    /// Drainage fixture units or discharge units.
    pub drain: Option<f64>,
    /// Least trap size by the code.
    pub trap: Option<Size>,
    /// Cold, hot and total supply units.
    pub water: Option<[f64; 3]>,
    /// Pressure left at its cold and hot stub, Pa.
    pub residual_pa: [Option<f64>; 2],
    /// Pressure it needs, Pa.
    pub needs_pa: Option<f64>,
    /// Hot water: seconds until it arrives, and litres run to waste until then.
    pub hot_wait: Option<(f64, f64)>,
    /// Pressure at its cold and hot stub while no water runs, Pa; by the supply's standing pressure, else by its
    /// running one, which is less.
    pub standing_pa: [Option<f64>; 2],
    /// Developed length of hot pipe from the heater, or from the circulation, mm.
    pub hot_length_mm: Option<f64>,
    /// That length begins at a circulation.
    pub hot_from_loop: bool,
    /// Water that stands in it, l.
    pub hot_volume_l: Option<f64>,
}

/// The water of a job as a whole.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WaterSummary {
    /// What it rests on, with what was assumed.
    pub conditions: Conditions,
    /// The way to the tap with the least to spare, or the greatest want.
    pub governing: Option<Budget>,
    /// Equipment that hot water leaves.
    pub heaters: Vec<HeaterResult>,
    /// Ends that go on beyond the drawing: pressure there, and pressure needed, Pa.
    pub beyond: Vec<(NodeIx, Option<f64>, Option<f64>)>,
}

/// The pressure budget of a tap: what is lost on the way to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Budget {
    /// The fixture.
    pub fixture: FixtureIx,
    /// Its hot tap rather than its cold one.
    pub hot: bool,
    /// Pressure at the beginning of the way, Pa.
    pub supply_pa: f64,
    /// The pipes on the way, from the supply on.
    pub rows: Vec<BudgetRow>,
    /// What is left at the tap, Pa.
    pub residual_pa: f64,
    /// What it needs, Pa.
    pub needs_pa: f64,
}

impl Budget {
    /// What is left above what is needed, Pa; below 0 it is short by as much.
    pub fn spare_pa(&self) -> f64 {
        self.residual_pa - self.needs_pa
    }
}

/// A pipe of a pressure budget.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BudgetRow {
    /// The pipe.
    pub pipe: PipeIx,
    /// Taken off by a reducing valve, Pa.
    pub reduced_pa: f64,
    /// Lost to height, Pa; below 0 where it falls.
    pub height_pa: f64,
    /// Lost in devices, Pa.
    pub devices_pa: f64,
    /// Lost to friction, fittings included, Pa.
    pub friction_pa: f64,
    /// Length of its fittings as straight pipe, mm.
    pub fittings_mm: f64,
    /// Left at its far end, Pa.
    pub left_pa: f64,
}

/// Equipment that hot water leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct HeaterResult {
    /// The fixture.
    pub fixture: FixtureIx,
    /// Heat that its circulation loses on the way out, W; 0 where none circulates.
    pub circulation_heat_w: f64,
    /// Flow that makes up for it, l/s.
    pub circulation_lps: f64,
    /// What its longest circuit loses at that flow, Pa: the head of its pump.
    pub circulation_head_pa: f64,
    /// A device between the supply and the heater that keeps swelling water from going back; the one nearest to the supply.
    pub closed_by: Option<NodeIx>,
    /// The job has an expansion tank.
    pub tank_there: bool,
    /// The tank it asks for where it is closed off, for a heater of an assumed volume.
    pub tank: Option<ExpansionTank>,
}

/// An expansion tank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExpansionTank {
    /// Volume of the heater, l: assumed.
    pub heater_l: f64,
    /// Pressure it is charged to, Pa.
    pub charge_pa: f64,
    /// Most pressure reckoned with, Pa.
    pub most_pa: f64,
    /// Water it takes in, l.
    pub acceptance_l: f64,
    /// Its least volume, l.
    pub volume_l: f64,
}

/// Something that could not be worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// What it concerns.
    pub at: GapAt,
    /// What is not known, and why: `the slope is not stated`, `IPC 2021 Table 709.1 says nothing of a bar sink`.
    pub why: String,
    /// What would fill it.
    pub help: String,
    /// Its place in the job.
    pub span: Span,
}

/// What a gap concerns.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum GapAt {
    /// The job as a whole.
    Job,
    /// A pipe.
    Pipe(PipeIx),
    /// A node.
    Node(NodeIx),
    /// A fixture.
    Fixture(FixtureIx),
}

/// One step of a derivation, in words, with where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// `3 fixtures upstream: WC1 3 dfu, SHR1 2 dfu, LAV1 1 dfu; together 6 dfu`.
    pub text: String,
    /// Where it stands.
    pub cite: Option<Cite>,
    /// This step decided the result.
    pub governs: bool,
}
