//! The Job: what the text says, every group already placed, every reference still a name.
//!
//! Coordinates are plan east, north from the job's origin, exact. Placed groups
//! have been moved, turned and mirrored here, so that nothing after this stage
//! needs to know of groups: tags carry the placement's name before a slash
//! (`U2A/WC`), compass words and hands are already turned.

use serde::Serialize;
use wyeline_units::{Len, Pressure, Size, Slope, UnitSystem};

use crate::Span;

pub mod design;
pub mod fitting;

pub use design::{
    Amendment, DemandReading, Design, Facts, Friction, GasKind, GasMethod, GasSupply, Methods,
    Setting, Supply, Use, WaterMethod, WaterSource,
};
pub use fitting::{Bar, FittingData, Kerf, Leg, Measured, Offcut, Spare, SpareOf, Stock};

/// A name with its place in the text.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Name {
    /// The name, in full.
    pub text: String,
    /// Where it stands.
    pub span: Span,
}

/// Everything a job says.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Job {
    /// What stands on the title block.
    pub title: TitleData,
    /// How lengths are read and printed.
    pub units: UnitSystem,
    /// The published code chosen, as written (`ipc-2021`); checked by a later stage.
    pub code: Option<Name>,
    /// The height that counts as zero, and what it is above the benchmark named.
    pub datum: Option<Datum>,
    /// The slope of waste and storm that say none, where the job states one.
    pub slope: Option<(Slope, Span)>,
    /// Storeys, in the order told.
    pub levels: Vec<Level>,
    /// The planes of the roof; its surface at a point is the lowest of them.
    pub roofs: Vec<RoofPlane>,
    /// Walls, each along its finished room face.
    pub walls: Vec<Wall>,
    /// Doors and windows.
    pub openings: Vec<Opening>,
    /// Names written in rooms on the plan.
    pub rooms: Vec<RoomName>,
    /// Beams, girders, ducts, footings, slabs and other bodies a pipe must miss.
    pub bodies: Vec<Body>,
    /// Fixtures and equipment.
    pub fixtures: Vec<Fixture>,
    /// Runs of pipe, as told.
    pub runs: Vec<Run>,
    /// Notes for the sheet.
    pub notes: Vec<String>,
    /// What sizes and checks rest on.
    pub design: Design,
    /// What fittings, cut lengths and bars rest on.
    pub fitting: FittingData,
    /// Length of the text read, bytes.
    pub text_len: usize,
}

/// What the title block carries, as far as it is said.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct TitleData {
    /// The job's name.
    pub job: Option<Name>,
    /// Address line.
    pub address: Option<String>,
    /// Who drew it.
    pub drawn_by: Option<String>,
    /// Licence or registration number, as written.
    pub licence: Option<String>,
    /// Date, as written.
    pub date: Option<String>,
    /// Issue mark and what changed.
    pub issue: Option<String>,
}

/// `datum main floor is 101.450m`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Datum {
    /// The level whose finished floor is meant.
    pub level: Name,
    /// What its height is called.
    pub is: Len,
    /// Where it is said.
    pub span: Span,
}

/// A storey.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Level {
    /// Its name.
    pub name: Name,
    /// Finished floor, absolute.
    pub floor: Len,
    /// Ceiling above that floor.
    pub ceiling: Option<Len>,
    /// Joists under the floor.
    pub joists: Option<Joists>,
    /// Thickness of a slab at the floor (its top is the finished floor).
    pub slab: Option<Len>,
    /// Thickness of the floor's finish and boards over joists or slab.
    pub finish: Option<Len>,
    /// The floor's height rests on what nobody has verified.
    pub unverified: bool,
    /// Where it is said.
    pub span: Span,
}

/// Joists under a floor.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Joists {
    /// Depth.
    pub depth: Len,
    /// They run east-west (otherwise north-south).
    pub east_west: bool,
    /// Centre to centre.
    pub spacing: Option<Len>,
    /// Where one of them has its centre (north for east-west joists, east for the others).
    pub from: Option<Len>,
    /// They are of engineered wood: I-joists, laminated veneer, open webs.
    pub engineered: bool,
}

/// One plane of the roof.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RoofPlane {
    /// Height of the roof surface: everywhere, or along the eave.
    pub height: Len,
    /// A pitched plane: a point of its eave, the direction it rises, rise and run.
    pub pitch: Option<Pitch>,
    /// Where it is said.
    pub span: Span,
}

/// How a roof plane rises.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pitch {
    /// A point on the eave (east, north).
    pub eave: (Len, Len),
    /// Up the slope.
    pub rising: Compass,
    /// Rise per run, exact.
    pub rise: Slope,
}

/// A wall along its finished room face.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Wall {
    /// The level it stands on.
    pub level: Name,
    /// Corners of the finished face, in order; closed where first and last agree.
    pub points: Vec<(Len, Len)>,
    /// Thickness between finished faces; nothing where not said.
    pub thick: Option<Len>,
    /// Where the thickness lies.
    pub lies: WallSide,
    /// Where it is said.
    pub span: Span,
}

/// On which side of its line a wall's thickness lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WallSide {
    /// Away from the room: outside a closed line, right of an open one as it is walked.
    #[default]
    Away,
    /// On the other side: left of an open line as it is walked, inside a closed one.
    Left,
    /// Half on each side.
    Centre,
}

/// A door or window in a wall.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Opening {
    /// Door or window.
    pub kind: OpeningKind,
    /// The level it is on.
    pub level: Name,
    /// Its centre on the wall's line.
    pub at: (Len, Len),
    /// Its width.
    pub width: Len,
    /// Where it is said.
    pub span: Span,
}

/// Kinds of openings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum OpeningKind {
    /// A door.
    Door,
    /// A window.
    Window,
}

/// A name written in a room on the plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RoomName {
    /// The words.
    pub text: String,
    /// The level.
    pub level: Name,
    /// Where they stand.
    pub at: (Len, Len),
}

/// A body a pipe must miss or pass with care.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Body {
    /// What it is.
    pub kind: BodyKind,
    /// Its tag.
    pub tag: Name,
    /// Its shape in plan.
    pub shape: BodyShape,
    /// Its top.
    pub top: Height,
    /// From its top down.
    pub deep: Len,
    /// Where it is said.
    pub span: Span,
}

/// Kinds of bodies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum BodyKind {
    /// A beam.
    Beam,
    /// A girder.
    Girder,
    /// A duct.
    Duct,
    /// A footing.
    Footing,
    /// A slab.
    Slab,
    /// A column or post.
    Column,
}

/// A body's shape in plan.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum BodyShape {
    /// Along a centre line, so wide.
    Along {
        /// One end of the centre line.
        from: (Len, Len),
        /// The other end.
        to: (Len, Len),
        /// Width across the line.
        wide: Len,
    },
    /// A rectangle between two opposite corners.
    Between {
        /// One corner.
        from: (Len, Len),
        /// The opposite corner.
        to: (Len, Len),
    },
}

/// A fixture or a piece of equipment.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fixture {
    /// Its tag, with the placement's name before a slash.
    pub tag: Name,
    /// Its kind, a name from the rough-in table (`water-closet`); checked by the network stage.
    pub kind: Name,
    /// The level it stands on.
    pub level: Name,
    /// The anchor: on the finished wall face at its centre line, or its centre for floor drains and free-standing equipment.
    pub at: (Coord, Coord),
    /// The way its front looks.
    pub faces: Compass,
    /// What the line says of its ports.
    pub ports: Vec<PortOverride>,
    /// Already there.
    pub existing: bool,
    /// Its place or heights are not verified.
    pub unverified: bool,
    /// Placed mirrored: the sides that its kind gives its ports are swapped, except hot and cold
    /// (what the line says of its ports has been swapped here already).
    pub mirrored: bool,
    /// How far its placement is raised above the level's finished floor (0 outside groups).
    pub raised: Len,
    /// What its line says of its use, flow and heat.
    pub facts: Facts,
    /// Where it is said.
    pub span: Span,
}

/// What a fixture's line says of one of its ports.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PortOverride {
    /// `drain`, `tee`, `cold`, `hot`, `vent`, `gas`, `return` ….
    pub port: Name,
    /// The side it is on, as seen facing the fixture.
    pub hand: Option<Hand>,
    /// Out from the wall face, along the way the fixture faces.
    pub out: Option<Len>,
    /// To the right as seen facing the fixture (left is negative).
    pub right: Option<Len>,
    /// Above the finished floor.
    pub up: Option<Len>,
}

/// Which side, as seen facing the fixture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hand {
    /// On the left.
    Left,
    /// On the centre line.
    Centre,
    /// On the right.
    Right,
}

/// One plan coordinate as written.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Coord {
    /// A length from the origin.
    At(Len),
    /// The centre of the core of the outermost wall on that side (`west-wall`).
    Wall(Compass),
}

/// The eight level directions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Compass {
    /// +x.
    East,
    /// 45 degrees between.
    Northeast,
    /// +y.
    North,
    /// 45 degrees between.
    Northwest,
    /// -x.
    West,
    /// 45 degrees between.
    Southwest,
    /// -y.
    South,
    /// 45 degrees between.
    Southeast,
}

/// A direction along one of the three axes, or a level 45.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Direction {
    /// A level direction.
    Level(Compass),
    /// Straight up.
    Up,
    /// Straight down.
    Down,
}

/// A height, said from a named surface.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Height {
    /// The surface it is measured from.
    pub from: Surface,
    /// Above it (below is negative).
    pub offset: Len,
    /// Which part of the pipe is meant.
    pub part: PipePart,
    /// Nobody has verified it.
    pub unverified: bool,
    /// Where it is said.
    pub span: Span,
}

/// A surface heights are measured from.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Surface {
    /// Finished floor of a level.
    Floor(Name),
    /// Ceiling of a level.
    Ceiling(Name),
    /// Underside of the joists (or slab) under a level's floor.
    Joists(Name),
    /// The roof's surface at the point.
    Roof,
    /// The job's zero.
    Datum,
}

/// Which part of the pipe a height is of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PipePart {
    /// Centre line.
    #[default]
    Centre,
    /// Lowest point of the bore.
    Invert,
    /// Highest point of the outside.
    Top,
}

/// What flows in a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum System {
    /// Waste and soil.
    Waste,
    /// Vent.
    Vent,
    /// Cold water.
    Cold,
    /// Hot water.
    Hot,
    /// Hot water return.
    HotReturn,
    /// Storm water.
    Storm,
    /// Fuel gas.
    Gas,
}

impl System {
    /// All systems, in the order they are listed and drawn.
    pub const ALL: [Self; 7] = [
        Self::Waste,
        Self::Vent,
        Self::Storm,
        Self::Cold,
        Self::Hot,
        Self::HotReturn,
        Self::Gas,
    ];
    /// The word the job language uses.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Waste => "waste",
            Self::Vent => "vent",
            Self::Cold => "cold",
            Self::Hot => "hot",
            Self::HotReturn => "hot-return",
            Self::Storm => "storm",
            Self::Gas => "gas",
        }
    }
    /// Told from its outlet upstream (waste, storm), so that it is drained by falling towards its start.
    pub const fn drains(self) -> bool {
        matches!(self, Self::Waste | Self::Storm)
    }
}

/// A run of pipe as told by walking along it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Run {
    /// What flows in it.
    pub system: System,
    /// Its name, with the placement's name before a slash.
    pub name: Name,
    /// Its steps in order; the first is its start where the run has one.
    pub steps: Vec<Step>,
    /// Some of its lines were not understood (each has been reported) and are missing from `steps`.
    pub misread: bool,
    /// From its first word to its last step.
    pub span: Span,
}

impl Run {
    /// The name of the point it stops at, where it has one and no step ends the run.
    pub fn last_point(&self) -> Option<&Name> {
        let last = self.steps.iter().rev().map(|step| &step.kind);
        last.take_while(|kind| !kind.leads_on())
            .find_map(|kind| match kind {
                StepKind::Point(name) => Some(name),
                _ => None,
            })
    }
}

/// One line of a run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Step {
    /// What it says.
    pub kind: StepKind,
    /// Where it says it.
    pub span: Span,
}

/// What one line of a run says.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum StepKind {
    /// `start …`: where the run begins.
    Start(Start),
    /// `east 5'`: a level move.
    Level {
        /// The way.
        way: Compass,
        /// How far.
        reach: Reach,
    },
    /// `up 2'`, `down to main floor -8"`.
    Vertical {
        /// Up rather than down.
        up: bool,
        /// How far.
        reach: Rise,
    },
    /// `up 3' at 45 north`: tilted, with the angle measured from level.
    Tilt {
        /// Up rather than down.
        up: bool,
        /// The rise (or drop) along the vertical, positive.
        rise: Len,
        /// Angle from level, in hundredths of a degree.
        angle: u32,
        /// The level way it leans.
        way: Compass,
    },
    /// `offset up 8" north 12" at 45`: a rolling offset in one move.
    Offset {
        /// First displacement square to the heading, with its amount.
        first: (Direction, Len),
        /// Second displacement square to both, with its amount.
        second: (Direction, Len),
        /// Fitting angle, in hundredths of a degree.
        angle: u32,
        /// The heading; the last move's where not said.
        going: Option<Direction>,
    },
    /// `to 5',6' [HEIGHT]`: straight to a point.
    To {
        /// East and north.
        at: (Coord, Coord),
        /// Its height; the present one where not said.
        height: Option<Height>,
    },
    /// `catch TAG`: a branch from here to a fixture's port.
    Catch {
        /// Fixture and, where said, port.
        target: PortRef,
        /// Lean 45 degrees so that the branch enters with the flow.
        at_45: bool,
        /// Size of that branch alone.
        size: Option<Size>,
    },
    /// `end TAG`: the last leg, as a catch, and the run is finished.
    End {
        /// Fixture and, where said, port.
        target: PortRef,
        /// Size of that leg alone.
        size: Option<Size>,
    },
    /// `cap`: closed here.
    Cap,
    /// `join POINT`: into a named point of another run, or a port.
    Join(PointRef),
    /// `continues "to east wing" load 20 dfu`.
    Continues {
        /// Where it goes.
        to: String,
        /// The load it carries, as amount and unit words (`20`, `dfu`).
        load: Option<(String, String)>,
        /// The pressure it needs, as amount and unit words.
        pressure: Option<(String, String)>,
    },
    /// `point P1`: names the present point.
    Point(Name),
    /// `size 2" [crowns|inverts]`: from here on.
    Size {
        /// The size.
        size: Size,
        /// What meets where the size changes.
        meet: Meet,
    },
    /// `slope 1/4 in per ft`: from here on.
    Slope(Slope),
    /// `material pvc`: from here on.
    Material(Name),
    /// A valve, meter, station, cleanout … at the present point.
    Device {
        /// Its kind.
        kind: DeviceKind,
        /// Its tag.
        tag: Option<Name>,
        /// How much of the pipe ahead it takes up.
        length: Option<Len>,
        /// What it is set to.
        setting: Option<Setting>,
        /// Pressure lost in it.
        loses: Option<Pressure>,
    },
    /// `insulated [1/2"]` (the thickness, where told) or `bare`: from here on.
    Insulated(Option<Insulation>),
    /// `existing` (true) or `new` (false): from here on.
    Existing(bool),
    /// `unverified` (true) or `verified` (false): from here on.
    Unverified(bool),
    /// `arrives [at-or-below|at-or-above] HEIGHT`: this point has to lie at that height, or on that side of it.
    Arrives {
        /// Exactly there, or there at most or at least.
        bound: Bound,
        /// The height.
        height: Height,
    },
    /// `fitting NAME [NAME…]`: what stands at the present point, instead of what would be chosen.
    Fitting(Vec<Name>),
    /// `note "…"`: words at the present point.
    Note(String),
}

impl StepKind {
    /// Whether it leads the run away from its present point, or ends it.
    pub const fn leads_on(&self) -> bool {
        matches!(
            self,
            Self::Level { .. }
                | Self::Vertical { .. }
                | Self::Tilt { .. }
                | Self::Offset { .. }
                | Self::To { .. }
                | Self::End { .. }
                | Self::Join(_)
                | Self::Cap
                | Self::Continues { .. }
        )
    }
}

impl StepKind {
    /// The fixture or the named point that it speaks of, where it is led by one.
    pub const fn speaks_of(&self) -> Option<&Name> {
        match self {
            Self::Start(Start::From(point))
            | Self::Join(point)
            | Self::Level {
                reach: Reach::Abreast(point),
                ..
            } => Some(&point.name),
            Self::Catch { target, .. } | Self::End { target, .. } => Some(&target.tag),
            _ => None,
        }
    }
}

/// Where a run starts.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Start {
    /// At a point in space.
    At {
        /// East and north.
        at: (Coord, Coord),
        /// Height.
        height: Height,
    },
    /// At a fixture's port or a named point of another run.
    From(PointRef),
}

/// A named point of a run (`P1`), or a fixture's port (`LAV1.tee`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PointRef {
    /// Point name, or fixture tag.
    pub name: Name,
    /// The port, for fixtures.
    pub port: Option<Name>,
}

/// A fixture and, where said, one of its ports.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PortRef {
    /// Fixture tag.
    pub tag: Name,
    /// Port; the one the run's system uses where not said.
    pub port: Option<Name>,
}

/// How far a level move goes.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reach {
    /// So far along the pipe.
    Travel(Len),
    /// A 45 told by its two equal legs.
    Legs(Len),
    /// Until the point is square to the side.
    Abreast(PointRef),
    /// Until it is square to a point of the plan, given by its coordinates.
    AbreastAt((Coord, Coord)),
    /// As far as the centre of the core of the next wall.
    IntoWall,
}

/// How far a vertical move goes.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rise {
    /// So far.
    By(Len),
    /// To a height.
    To(Height),
    /// Through the roof, ending so far above it; that ends the run.
    ThroughRoof(Option<Len>),
}

/// How a point has to lie to the height it `arrives` at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Bound {
    /// At that height.
    #[default]
    Exactly,
    /// There or lower.
    AtOrBelow,
    /// There or higher.
    AtOrAbove,
}

/// Insulation round a pipe.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Insulation {
    /// Its thickness, where told.
    pub thick: Option<Len>,
}

/// What meets where the size changes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Meet {
    /// Centre lines.
    #[default]
    Centres,
    /// Tops of the bores.
    Crowns,
    /// Bottoms of the bores.
    Inverts,
}

/// What sits in a pipe.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum DeviceKind {
    /// Gate valve.
    GateValve,
    /// Ball valve.
    BallValve,
    /// Globe valve.
    GlobeValve,
    /// Check valve.
    CheckValve,
    /// Balancing valve.
    BalancingValve,
    /// Mixing valve.
    MixingValve,
    /// Gas cock.
    GasCock,
    /// Water or gas meter.
    Meter,
    /// Pressure reducing valve.
    PressureReducingValve,
    /// Pressure reducing station: valves, strainer, reducer, gauges and bypass.
    PressureReducingStation,
    /// Backflow preventer.
    BackflowPreventer,
    /// Backwater valve.
    BackwaterValve,
    /// Strainer.
    Strainer,
    /// Union.
    Union,
    /// Water hammer arrestor.
    HammerArrestor,
    /// Expansion tank.
    ExpansionTank,
    /// Pump.
    Pump,
    /// Water softener.
    Softener,
    /// Cleanout.
    Cleanout,
}
