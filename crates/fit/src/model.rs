//! What fitting gives: for each node the fittings that stand there, for each straight between two of
//! them the pieces to cut. All lengths are millimetres along the true centre line; nothing is rounded here.

use serde::Deserialize;
use serde::de::value::{Error as ValueError, StrDeserializer};
use wyeline_codes::Cite;
use wyeline_job::Span;
use wyeline_job::model::{DeviceKind, System};
use wyeline_network::model::{FixtureIx, LevelIx, NodeIx, PipeIx};
use wyeline_units::Size;

/// A sized network with its fittings and pieces.
#[derive(Clone, Debug, Default)]
pub struct Fitted {
    /// For each pipe of the network: what it is made of.
    pub stuff: Vec<Stuff>,
    /// For each node of the network: what stands there.
    pub joints: Vec<Joint>,
    /// Straights between joints, in the order of their first pipe.
    pub straights: Vec<Straight>,
    /// What no stock fitting makes, what is too short.
    pub findings: Vec<Finding>,
    /// Dimensions that are not held: pieces wait for them.
    pub missing: Vec<Wanted>,
    /// Dimensions that are only estimated: pieces rest on them.
    pub estimated: Vec<Wanted>,
}

/// A dimension that somebody should measure.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// Which one.
    pub what: String,
    /// What was taken instead, and its likely error, mm, where something was.
    pub taken: Option<(f64, Option<f64>)>,
    /// The line that would tell the job, or what else to do about it.
    pub tell: Option<String>,
    /// The pieces that rest on it or wait for it, by their numbers.
    pub pieces: Vec<u32>,
}

/// A way of making pipe and fittings: what belongs together on the shelf.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Deserialize, serde::Serialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Family {
    /// PVC drainage pipe and fittings, Schedule 40, cemented.
    PvcDwv,
    /// ABS drainage pipe and fittings, Schedule 40, cemented.
    AbsDwv,
    /// PVC-U soil and waste pipe of metric outside diameter.
    PvcU,
    /// Polypropylene waste pipe of metric outside diameter.
    Pp,
    /// Cast iron without hubs, joined by couplings with a gasket.
    NoHub,
    /// Copper tube with soldered pressure fittings.
    Copper,
    /// Copper drainage tube with soldered drainage fittings.
    CopperDwv,
    /// CPVC of copper tube size, cemented.
    Cpvc,
    /// PEX with inserted or expanded ends.
    Pex,
    /// PVC pressure pipe, Schedule 40, cemented.
    PvcPressure,
    /// Steel pipe with malleable iron fittings, threaded; galvanized or black.
    Steel,
    /// Any other material: named, but no fittings of it are on the shelf here.
    Other,
}

/// What a pipe is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Stuff {
    /// Where its fittings are found.
    pub family: Family,
    /// The material by its name in the job language (`copper-l`).
    pub material: String,
    /// Nominal size, where stated or worked out.
    pub size: Option<Size>,
    /// Nobody said the material: the rule of this system gave it.
    pub by_rule: bool,
}

/// What a fitting is, apart from its size and material.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Deserialize, serde::Serialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// 90 degrees, short pattern.
    QuarterBend,
    /// 90 degrees, sweep between short and long.
    ShortSweep,
    /// 90 degrees, long sweep.
    LongSweep,
    /// 72 degrees.
    FifthBend,
    /// 60 degrees.
    SixthBend,
    /// 45 degrees.
    EighthBend,
    /// 30 degrees.
    TwelfthBend,
    /// 22-1/2 degrees.
    SixteenthBend,
    /// 11-1/4 degrees.
    ThirtySecondBend,
    /// 5-5/8 degrees.
    SixtyFourthBend,
    /// 90 degrees from a closet flange's riser, larger above.
    ClosetBend,
    /// 90 degrees, tight, for dry vents.
    VentElbow,
    /// Branch at 90 degrees with a sweep downwards.
    SanitaryTee,
    /// Branch at 45 degrees.
    Wye,
    /// Branch at 90 degrees by a wye with an eighth bend.
    Combination,
    /// Branch at 90 degrees, tight, for dry vents.
    VentTee,
    /// Tee with a plug, in line with the pipe.
    TestTee,
    /// Two opposite branches at 90 degrees with sweeps.
    DoubleSanitaryTee,
    /// Two opposite branches at 45 degrees.
    DoubleWye,
    /// Two opposite branches at 90 degrees by wyes with eighth bends.
    DoubleCombination,
    /// Two opposite branches with deep throats, for fixtures back to back.
    DoubleFixtureFitting,
    /// Joins two pipes in line.
    Coupling,
    /// Joins two pipes in line, without a stop.
    SlipCoupling,
    /// Gasket and shield that join two ends of no-hub pipe.
    NoHubCoupling,
    /// Joins two pipes of different size in line.
    Reducer,
    /// Makes a socket of a fitting smaller.
    Bushing,
    /// Joins two materials.
    Adapter,
    /// Holds the closet to the floor.
    ClosetFlange,
    /// Trap with its seal.
    PTrap,
    /// Plug in an adapter, to clean through.
    CleanoutPlug,
    /// Closes an end from outside.
    Cap,
    /// Closes a socket.
    Plug,
    /// Sheet or boot round a pipe where it goes through the roof.
    RoofFlashing,
    /// 90 degrees, pressure.
    #[serde(rename = "elbow-90")]
    Elbow90,
    /// 45 degrees, pressure.
    #[serde(rename = "elbow-45")]
    Elbow45,
    /// Branch at 90 degrees, pressure.
    Tee,
    /// Two opposite branches at 90 degrees, pressure.
    Cross,
    /// Can be taken apart.
    Union,
    /// Elbow fastened to the wall, or a length through it, where a fixture is fed.
    StubOut,
    /// A valve, meter or the like that the job tells of.
    #[serde(skip_deserializing)]
    Device(DeviceKind),
}

impl Shape {
    /// The shape by its word in the job language (`long-sweep`); devices are told by steps of their own.
    pub fn named(word: &str) -> Option<Self> {
        let word = StrDeserializer::<ValueError>::new(word);
        Self::deserialize(word).ok()
    }
}

/// A fitting: one article on the shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitting {
    /// Where it stands.
    pub node: NodeIx,
    /// Stays the same across edits elsewhere in the job: the node's id and a letter where several stand there.
    pub id: String,
    /// Its family. An adapter belongs to the first; [`Fitting::other`] names the second.
    pub family: Family,
    /// The second family of an adapter.
    pub other: Option<Family>,
    /// What it is.
    pub shape: Shape,
    /// Its ends as the trade names them: run inlet, run outlet, branch, second branch; equal ends once (`3"`, then `3" x 3" x 2"`).
    pub sizes: Vec<Size>,
    /// What flows in it.
    pub system: System,
    /// One end is a spigot that goes straight into the socket of its neighbour.
    pub street: bool,
    /// Already there.
    pub existing: bool,
    /// What makes it lawful here, where the code speaks of it.
    pub cite: Option<Cite>,
    /// Where it is told.
    pub span: Span,
}

/// How sure a dimension is.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Trust {
    /// The job says it was measured.
    Measured,
    /// Well founded.
    High,
    /// Founded, not read in the standard.
    Medium,
    /// A working estimate: warn.
    Low,
}

/// A length that a fitting takes from the centre line.
#[derive(Clone, Debug, PartialEq)]
pub struct Allowance {
    /// In words: `3" long sweep, centre to stop`.
    pub what: String,
    /// How much, mm; negative where the pipe reaches beyond the node.
    pub mm: f64,
    /// How sure it is.
    pub trust: Trust,
    /// Likely error, mm, where known.
    pub error_mm: Option<f64>,
    /// Document, table, or how it was come by.
    pub source: String,
    /// The line that would tell the job what it truly is, where there is one.
    pub tell: Option<String>,
}

/// A dimension that is not on the shelf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// What is missing: `3" x 1-1/2" reducer of ABS DWV, stop to stop`.
    pub what: String,
    /// The line that would tell the job, or what else to do about it.
    pub tell: String,
}

/// How far from its node a pipe stops.
#[derive(Clone, Debug, PartialEq)]
pub enum Takeout {
    /// The sum of these; none at all where the pipe ends at the node itself.
    Known(Vec<Allowance>),
    /// A dimension is not on the shelf: to be measured, and told by the job.
    Missing(Missing),
}

impl Takeout {
    /// The sum, mm, where nothing is missing.
    pub fn mm(&self) -> Option<f64> {
        match self {
            Self::Known(parts) => Some(parts.iter().map(|part| part.mm).sum()),
            Self::Missing(_) => None,
        }
    }
}

/// How a pipe's end is joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Join {
    /// Solvent cement.
    Cemented,
    /// Solder.
    Soldered,
    /// Thread.
    Threaded,
    /// Crimp ring, clamp or expansion.
    Crimped,
    /// Gasket and shield.
    Clamped,
    /// Ring seal in a socket.
    Pushed,
    /// None: an open end.
    Open,
}

/// The end of one pipe at a node.
#[derive(Clone, Debug, PartialEq)]
pub struct Leg {
    /// The pipe.
    pub pipe: PipeIx,
    /// How far from the node it stops.
    pub takeout: Takeout,
    /// How it is joined.
    pub join: Join,
    /// How much of it stands inside the fitting (socket depth, thread), mm, where known.
    pub makeup_mm: Option<f64>,
}

/// What stands at a node.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Joint {
    /// Its fittings; none where the pipe goes through.
    pub fittings: Vec<Fitting>,
    /// For each pipe that meets here, in the order of the node's pipes.
    pub legs: Vec<Leg>,
    /// The pipe goes through uncut: both legs belong to one straight.
    pub through: bool,
}

/// What is cut between two joints: one piece, or several with couplings where no bar is long enough.
#[derive(Clone, Debug, PartialEq)]
pub struct Straight {
    /// Its pipes in the network, in line, upstream first.
    pub pipes: Vec<PipeIx>,
    /// The nodes at its ends, upstream first.
    pub ends: [NodeIx; 2],
    /// Centre to centre, mm.
    pub centre_mm: f64,
    /// What is taken off at its ends.
    pub takeouts: [Takeout; 2],
    /// How much of it stands inside the fittings at its ends, mm, where known.
    pub makeups: [Option<f64>; 2],
    /// Couplings between its pieces.
    pub couplings: Vec<Fitting>,
    /// What each of those keeps its two pieces apart, mm.
    pub coupling_mm: Vec<Allowance>,
    /// Its pieces, upstream first.
    pub pieces: Vec<Piece>,
}

/// A piece of pipe to be cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Stays the same across edits elsewhere in the job: the first pipe's id, and a number where several pieces make a straight.
    pub id: String,
    /// Its number on lists and drawing, from 1 over the whole job.
    pub mark: u32,
    /// What it is made of.
    pub stuff: Stuff,
    /// What flows in it.
    pub system: System,
    /// The pipe of the network in which it begins.
    pub pipe: PipeIx,
    /// Length to cut, mm; nothing where a dimension is missing.
    pub cut_mm: Option<f64>,
    /// It rests on a working estimate.
    pub estimated: bool,
    /// It stands plumb.
    pub plumb: bool,
    /// Already there: nothing to cut.
    pub existing: bool,
}

/// When work is done.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Deserialize, serde::Serialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Phase {
    /// Before the lowest floor is closed.
    Underground,
    /// Before walls and ceilings are closed.
    Rough,
    /// When the fixtures are set.
    Finish,
}

/// What something on a list leads back to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Mark {
    /// A piece, by its number.
    Piece(u32),
    /// A fitting, by its id.
    Fitting(String),
    /// A fixture.
    Fixture(FixtureIx),
    /// A place where a pipe goes through floor or wall.
    Crossing(PipeIx, LevelIx),
}

/// Something that does not go as the job tells it.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// A short code, as mistakes have (`no-such-fitting`, `fitting-not-allowed`, `piece-too-short`, `piece-may-be-short`).
    pub code: &'static str,
    /// Where.
    pub at: Where,
    /// The fact, in words of the trade.
    pub message: String,
    /// What would mend it.
    pub help: Option<String>,
    /// It rests on estimates that may be off by as much as it tells: to be looked at rather than mended.
    pub doubtful: bool,
    /// Where it is told.
    pub span: Span,
}

/// Where a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Where {
    /// At a node.
    Node(NodeIx),
    /// In a pipe.
    Pipe(PipeIx),
}
