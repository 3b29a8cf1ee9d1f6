//! The network: absolute coordinates in millimetres, every reference followed, every default filled in.
//!
//! x runs east, y north, z up, from the job's origin and datum. Lengths typed along the axes
//! are exact to well below a micrometre; diagonals are irrational, computed in `f64` and
//! rounded only where they are printed. Nobody edits a network after it is built.

use glam::DVec3;
use wyeline_job::Span;
use wyeline_job::model::{
    BodyKind, Bound, Compass, DeviceKind, Facts, Insulation, OpeningKind, Setting, System,
    TitleData,
};
use wyeline_units::{Pressure, Size, Slope, UnitSystem};

/// Index of a node in [`Network::nodes`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct NodeIx(pub u32);
/// Index of a pipe in [`Network::pipes`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PipeIx(pub u32);
/// Index of a fixture in [`Network::fixtures`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FixtureIx(pub u32);
/// Index of a run in [`Network::runs`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct RunIx(pub u32);
/// Index of a level in [`Network::levels`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct LevelIx(pub u32);

/// The whole network and the building round it.
#[derive(Clone, Debug, Default)]
pub struct Network {
    /// Ends, turns and junctions.
    pub nodes: Vec<Node>,
    /// Straight pipes between nodes.
    pub pipes: Vec<Pipe>,
    /// Fixtures and equipment.
    pub fixtures: Vec<Fixture>,
    /// Runs as told.
    pub runs: Vec<RunSummary>,
    /// Storeys, in the order told.
    pub levels: Vec<Level>,
    /// The building as reference for the eye.
    pub building: Building,
    /// Heights that are assumed, unknown or unverified.
    pub doubts: Vec<Doubt>,
    /// Title block data, as told.
    pub title: TitleData,
    /// How lengths are printed.
    pub units: UnitSystem,
    /// The published code named in the job, as written.
    pub code: Option<String>,
    /// What has to be added to z (mm) to give the benchmark's heights, where the job names one.
    pub datum_mm: Option<f64>,
    /// Notes for the sheet.
    pub notes: Vec<String>,
    /// For each water supply that the job tells of, in that order: the height where its pressure was
    /// measured, mm, where that is said and known.
    pub supplies_mm: Vec<Option<f64>>,
    /// The code by which sizes that nobody stated were worked out, as it is printed; nothing where none were.
    pub sized_by: Option<String>,
    /// The code whose rules the network was held against, as it is printed; nothing where it was not.
    pub checked_by: Option<String>,
    /// Places where a rule is broken, to be shown; found after the network was built.
    pub flags: Vec<Flag>,
}

/// A place where a rule is broken, as the drawing shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Flag {
    /// Its number, from 1 over the whole job.
    pub number: u32,
    /// Where it stands.
    pub at: Flagged,
    /// What is wrong there, by which rule.
    pub text: String,
}

/// What a flag stands at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Flagged {
    /// A node.
    Node(NodeIx),
    /// A pipe.
    Pipe(PipeIx),
    /// A fixture.
    Fixture(FixtureIx),
    /// The job as a whole: it is only listed.
    Job,
}

/// An end, a turn, a junction, or a change along the pipe.
#[derive(Clone, Debug)]
pub struct Node {
    /// Stays the same across edits elsewhere in the job.
    pub id: String,
    /// True position of the centre line, mm.
    pub at: DVec3,
    /// Height used by the drawing, mm: every sloped run at the height of its downstream end, verticals take up the rest.
    pub z_drawn: f64,
    /// What it is.
    pub kind: NodeKind,
    /// System of the run that made it.
    pub system: System,
    /// Pipes that meet here.
    pub pipes: Vec<PipeIx>,
    /// The fixture it belongs to.
    pub fixture: Option<FixtureIx>,
    /// Device that sits here.
    pub device: Option<Device>,
    /// What the job tells of the fittings that stand here, as words; none where they are to be chosen.
    pub fitting: Vec<String>,
    /// Where it is told.
    pub span: Span,
    /// Line in the job, from 1.
    pub line: u32,
    /// Its name, where the job names it.
    pub name: Option<String>,
    /// Words said here (`note`).
    pub note: Option<String>,
    /// What lists call the fittings that stand here (`F3`), where the drawing is to say it.
    pub mark: Option<String>,
}

impl Node {
    /// Position used by the drawing, mm.
    pub fn drawn(&self) -> DVec3 {
        DVec3::new(self.at.x, self.at.y, self.z_drawn)
    }
}

/// What a node is.
#[derive(Clone, Debug, PartialEq)]
pub enum NodeKind {
    /// A change of direction.
    Turn,
    /// Three or more pipes meet.
    Junction,
    /// Two pipes in line (change of size, named point, device).
    Inline,
    /// Where a run begins: the building drain's outlet, a service.
    Start,
    /// A fixture's outlet (strainer, closet flange).
    Outlet,
    /// A trap.
    Trap,
    /// Where a trap arm meets its drain (fixture `tee`).
    ArmEnd,
    /// A fixture's supply or gas port.
    Stub,
    /// A port of equipment.
    Port,
    /// Closed end.
    Cap,
    /// The open end above the roof.
    RoofEnd,
    /// Goes on beyond the drawing.
    Continues {
        /// Where it goes.
        to: String,
        /// The load or demand it carries, as words.
        load: Option<String>,
        /// The same as figures, for loads and pressures.
        beyond: Beyond,
    },
    /// An end that nothing closes (a mistake in the job).
    Loose,
}

impl NodeKind {
    /// The word by which programs know it.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Turn => "turn",
            Self::Junction => "junction",
            Self::Inline => "inline",
            Self::Start => "start",
            Self::Outlet => "outlet",
            Self::Trap => "trap",
            Self::ArmEnd => "arm-end",
            Self::Stub => "stub",
            Self::Port => "port",
            Self::Cap => "cap",
            Self::RoofEnd => "roof-end",
            Self::Continues { .. } => "continues",
            Self::Loose => "loose",
        }
    }
}

/// What a pipe that goes on beyond the drawing carries there, and needs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Beyond {
    /// Amount and unit of the load (20 and `dfu`), as told.
    pub load: Option<(f64, String)>,
    /// The pressure it needs.
    pub needs: Option<Pressure>,
}

/// A valve, meter, station, cleanout in the pipe.
#[derive(Clone, Debug, PartialEq)]
pub struct Device {
    /// Its kind.
    pub kind: DeviceKind,
    /// Its tag.
    pub tag: Option<String>,
    /// How much of the pipe ahead (along the run as told) it takes up, mm.
    pub length_mm: Option<f64>,
    /// What it is set to.
    pub setting: Option<Setting>,
    /// Pressure lost in it, where told.
    pub loses: Option<Pressure>,
}

/// A straight pipe between two nodes.
#[expect(
    clippy::struct_excessive_bools,
    reason = "each says something of the pipe by itself"
)]
#[derive(Clone, Debug)]
pub struct Pipe {
    /// Stays the same across edits elsewhere in the job.
    pub id: String,
    /// What flows in it.
    pub system: System,
    /// Upstream end (vents: the drain's end).
    pub from: NodeIx,
    /// Downstream end (vents: towards the open air).
    pub to: NodeIx,
    /// The run that told it.
    pub run: RunIx,
    /// Nominal size, where stated or worked out.
    pub size: Option<Size>,
    /// The size is not stated but worked out by the code in force.
    pub worked_out: bool,
    /// What it carries by the code in force (`12 dfu`), where the drawing is to say it.
    pub load: Option<String>,
    /// What lists call its pieces (`P12`), where the drawing is to say it.
    pub mark: Option<String>,
    /// Inside diameter, mm, where size and material's standard give it.
    pub bore_mm: Option<f64>,
    /// Outside diameter, mm, where known.
    pub outside_mm: Option<f64>,
    /// Material, as written in its run or for its system.
    pub material: Option<String>,
    /// Which way it lies.
    pub lie: Lie,
    /// Its slope, for pipes that fall.
    pub slope: Option<FallSlope>,
    /// How far its centre line falls from `from` to `to`, mm (0 for level pipe, positive also for drops).
    pub fall_mm: f64,
    /// Invert at the upstream end, mm, where the bore is known and the pipe drains.
    pub invert_from: Option<f64>,
    /// Invert at the downstream end, mm.
    pub invert_to: Option<f64>,
    /// Part of a trap arm or fixture branch (drawn as such).
    pub arm: bool,
    /// Already there.
    pub existing: bool,
    /// Place or heights not verified.
    pub unverified: bool,
    /// Insulation round it, where told.
    pub insulation: Option<Insulation>,
    /// Where it is told.
    pub span: Span,
    /// Line in the job, from 1.
    pub line: u32,
}

/// Which way a pipe lies, by its drawn position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lie {
    /// Along east-west or north-south (apart from its fall).
    Axis,
    /// Plumb.
    Vertical,
    /// Level (apart from its fall) but not along an axis: a 45 in plan, or any other angle.
    LevelSkew,
    /// Tilted in a vertical plane along an axis.
    Tilted,
    /// Skew to all three axes: a rolling offset.
    Rolling,
}

impl Lie {
    /// The word by which programs know it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Axis => "axis",
            Self::Vertical => "vertical",
            Self::LevelSkew => "level-skew",
            Self::Tilted => "tilted",
            Self::Rolling => "rolling",
        }
    }
}

/// A slope and how it came to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FallSlope {
    /// The slope.
    pub slope: Slope,
    /// Nobody stated it: common practice.
    pub assumed: bool,
}

/// A run as told, summed up.
#[derive(Clone, Debug)]
pub struct RunSummary {
    /// Its name.
    pub name: String,
    /// Its system.
    pub system: System,
    /// Its pipes in the order told.
    pub pipes: Vec<PipeIx>,
    /// Centre-to-centre length of all its pipes, mm.
    pub developed_mm: f64,
    /// Sum of its vertical rises, mm.
    pub rise_mm: f64,
    /// Fall from its most upstream to its most downstream point along its level pipe, mm.
    pub fall_mm: f64,
    /// Where ends are fixed (`arrives`): what there is room for.
    pub fits: Vec<Fit>,
    /// Where it is told.
    pub span: Span,
}

/// A level stretch whose far end has to lie at a height, or on one side of it.
#[derive(Clone, Debug)]
pub struct Fit {
    /// The node that has to lie at the height.
    pub node: NodeIx,
    /// The height asked for (centre line, mm).
    pub wanted_mm: f64,
    /// The height the slopes give (centre line, mm).
    pub got_mm: f64,
    /// Whether it has to lie there, or there at most or at least.
    pub bound: Bound,
    /// Level length from the last fixed height, mm.
    pub run_mm: f64,
    /// Slope that would meet both ends (fall per run; negative: uphill; 0 where no level length leads there).
    pub available: f64,
    /// For a bound: whether that is the steepest or the flattest slope that still fits.
    pub limit: Option<Limit>,
    /// Where it is said.
    pub span: Span,
}

/// Which end of the slopes that fit a bound sets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// A steeper slope does not fit.
    Steepest,
    /// A flatter slope does not fit.
    Flattest,
}

impl Fit {
    /// Room left before the height asked for, mm; below 0 the point misses it by as much.
    ///
    /// At a height told exactly there is never room: 0 or below.
    pub fn spare_mm(&self) -> f64 {
        let miss = self.got_mm - self.wanted_mm;
        match self.bound {
            Bound::Exactly => -miss.abs(),
            Bound::AtOrBelow => -miss,
            Bound::AtOrAbove => miss,
        }
    }
}

/// A storey.
#[derive(Clone, Debug)]
pub struct Level {
    /// Name.
    pub name: String,
    /// Finished floor, mm.
    pub floor: f64,
    /// Ceiling, mm, where said.
    pub ceiling: Option<f64>,
    /// Underside of joists or slab, mm, where said.
    pub underside: Option<f64>,
    /// Joists under the floor.
    pub joists: Option<wyeline_job::model::Joists>,
}

/// The building as reference: everything in mm.
#[derive(Clone, Debug, Default)]
pub struct Building {
    /// Walls.
    pub walls: Vec<Wall>,
    /// Doors and windows.
    pub openings: Vec<Opening>,
    /// Words in rooms.
    pub rooms: Vec<Room>,
    /// Bodies.
    pub bodies: Vec<Body>,
    /// Roof planes as height = z0 + sx * x + sy * y; the surface is the lowest of them.
    pub roof: Vec<RoofPlane>,
    /// Height of the ground round the building, where told.
    pub grade: Option<f64>,
}

/// One straight stretch of a wall.
#[derive(Clone, Debug)]
pub struct Wall {
    /// Storey it stands on.
    pub level: LevelIx,
    /// Finished room face, one end.
    pub from: (f64, f64),
    /// Finished room face, other end.
    pub to: (f64, f64),
    /// Unit vector from the finished room face into the wall.
    pub into: (f64, f64),
    /// Thickness between faces; a default from common practice where not said.
    pub thick: f64,
    /// Floor and top of the wall.
    pub z: (f64, f64),
}

/// A door or window.
#[derive(Clone, Debug)]
pub struct Opening {
    /// Door or window.
    pub kind: OpeningKind,
    /// Storey.
    pub level: LevelIx,
    /// Index of the wall it is in.
    pub wall: u32,
    /// Centre on the wall's finished face.
    pub at: (f64, f64),
    /// Width.
    pub width: f64,
}

/// Words in a room.
#[derive(Clone, Debug)]
pub struct Room {
    /// The words.
    pub text: String,
    /// Storey.
    pub level: LevelIx,
    /// Where they stand.
    pub at: (f64, f64),
}

/// A body a pipe must miss.
#[derive(Clone, Debug)]
pub struct Body {
    /// What it is.
    pub kind: BodyKind,
    /// Tag.
    pub tag: String,
    /// Corners in plan, counter-clockwise.
    pub corners: [(f64, f64); 4],
    /// Bottom and top.
    pub z: (f64, f64),
    /// Where it is told.
    pub span: Span,
}

/// A plane of the roof.
#[derive(Clone, Copy, Debug)]
pub struct RoofPlane {
    /// Height at the origin.
    pub z0: f64,
    /// Rise per unit east.
    pub sx: f64,
    /// Rise per unit north.
    pub sy: f64,
}

impl Building {
    /// Height of the roof's surface at a point, mm; nothing where the job tells of no roof.
    pub fn roof_at(&self, x: f64, y: f64) -> Option<f64> {
        self.roof
            .iter()
            .map(|p| p.z0 + p.sx * x + p.sy * y)
            .reduce(f64::min)
    }
}

/// A fixture in space.
#[derive(Clone, Debug)]
pub struct Fixture {
    /// Tag.
    pub tag: String,
    /// Kind, a name of the rough-in table (`water-closet`).
    pub kind: String,
    /// Letters drawn beside it where it has no tag of its own; from the rough-in table (`WC`).
    pub letters: String,
    /// Storey.
    pub level: LevelIx,
    /// Anchor on the finished wall face at its centre line (or its centre), on the finished floor, mm.
    pub anchor: DVec3,
    /// The way its front looks.
    pub faces: Compass,
    /// Width across and depth out from the wall, mm.
    pub size: (f64, f64),
    /// The anchor is its centre rather than on a wall.
    pub centred: bool,
    /// Rim or top above the finished floor, mm, where the table knows.
    pub rim: Option<f64>,
    /// Its ports.
    pub ports: Vec<Port>,
    /// What its line says of its use, flow and heat.
    pub facts: Facts,
    /// Already there.
    pub existing: bool,
    /// Not verified.
    pub unverified: bool,
    /// Where it is told.
    pub span: Span,
    /// Line in the job, from 1.
    pub line: u32,
}

/// A port of a fixture.
#[derive(Clone, Debug)]
pub struct Port {
    /// Its name (`drain`, `tee`, `cold` …).
    pub name: String,
    /// Where it is, mm.
    pub at: DVec3,
    /// The node that stands there, once a run reaches it.
    pub node: Option<NodeIx>,
}

/// A height that is not known for certain.
#[derive(Clone, Debug)]
pub struct Doubt {
    /// What is in doubt, in words, with the height as printed.
    pub text: String,
    /// Why.
    pub why: DoubtKind,
    /// Where it is told.
    pub span: Span,
    /// Line in the job, from 1.
    pub line: u32,
}

/// Why a height is in doubt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DoubtKind {
    /// Nobody said it; a default of common practice was taken.
    Assumed,
    /// Said, but nobody has verified it.
    Unverified,
    /// It cannot be worked out from what is said (an invert without a size).
    Unknown,
}

impl DoubtKind {
    /// The word by which programs know it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Assumed => "assumed",
            Self::Unverified => "unverified",
            Self::Unknown => "unknown",
        }
    }
}

impl Network {
    /// The node.
    pub fn node(&self, ix: NodeIx) -> &Node {
        &self.nodes[ix.0 as usize]
    }
    /// The pipe.
    pub fn pipe(&self, ix: PipeIx) -> &Pipe {
        &self.pipes[ix.0 as usize]
    }
    /// The systems whose pipes meet at a node, each once, in the order they are listed: more than one
    /// where a drain goes on as its vent.
    pub fn systems_at(&self, ix: NodeIx) -> Vec<System> {
        let here = |system: &System| {
            let mut pipes = self.node(ix).pipes.iter();
            pipes.any(|&pipe| self.pipe(pipe).system == *system)
        };
        System::ALL.into_iter().filter(here).collect()
    }
    /// Both ends of a pipe as drawn, mm, upstream first.
    pub fn drawn(&self, pipe: &Pipe) -> (DVec3, DVec3) {
        (self.node(pipe.from).drawn(), self.node(pipe.to).drawn())
    }
    /// Both ends of a pipe as they truly lie, mm, upstream first.
    pub fn true_ends(&self, pipe: &Pipe) -> (DVec3, DVec3) {
        (self.node(pipe.from).at, self.node(pipe.to).at)
    }
    /// Centre-to-centre length along the pipe as it is printed: the drawn length, mm.
    pub fn length_mm(&self, pipe: &Pipe) -> f64 {
        let (a, b) = self.drawn(pipe);
        a.distance(b)
    }
}
