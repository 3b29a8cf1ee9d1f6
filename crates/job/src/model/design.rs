//! What sizes and checks rest on, as far as the job says it: plain data, nothing of it drawn.
//!
//! Pressures, flows and temperatures are held in SI; what a code says of them is the business of later stages.

use serde::Serialize;
use wyeline_units::{Flow, HeatingValue, Len, Power, Pressure, Temperature, Volume};

use super::{Height, Name};
use crate::Span;

/// What is said of the whole job.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Design {
    /// Who uses the fixtures that say nothing of it themselves.
    pub usage: Option<(Use, Span)>,
    /// Values that the place where the job is has changed, in the order told.
    pub amendments: Vec<Amendment>,
    /// The pressure of the water that comes in: at most one while it flows and one while it stands.
    pub supplies: Vec<Supply>,
    /// The gas that comes in.
    pub gas: Option<GasSupply>,
    /// The temperature that heaters keep.
    pub heater: Option<(Temperature, Span)>,
    /// How cold the winter is: the outdoor design temperature.
    pub winter: Option<(Temperature, Span)>,
    /// How high the ground lies round the building.
    pub grade: Option<Height>,
    /// How deep the ground freezes, below its surface.
    pub frost_depth: Option<(Len, Span)>,
    /// Choices where a code offers more than one way.
    pub methods: Methods,
}

/// Who uses a fixture: codes count its load by that.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Use {
    /// A dwelling, or a room of one guest.
    Private,
    /// Anybody.
    Public,
    /// Many at once, after a lesson or in the interval of a play.
    Assembly,
}

impl Use {
    /// The word the job language uses.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Private => "private",
            Self::Public => "public",
            Self::Assembly => "assembly",
        }
    }
}

/// `amend drain-loads "water-closet private" 4 dfu by "County ordinance 12"`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Amendment {
    /// The table, by the name it goes by in the data of codes, or `rules` for a single value.
    pub table: Name,
    /// The value in it: the words of its row and column.
    pub key: Name,
    /// What holds here: a number in plain digits, or a size, a slope, `yes`, `no limit` as written.
    pub value: String,
    /// The unit of a number as written; empty where none is said.
    pub unit: String,
    /// Where the value and its unit stand.
    pub value_span: Span,
    /// Who says so.
    pub by: String,
    /// Where it is said.
    pub span: Span,
}

/// Where water comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WaterSource {
    /// A main in the street.
    #[default]
    Street,
    /// A well with its pump and vessel.
    Well,
}

/// `supply pressure 55 psi static at main floor -6' from street`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Supply {
    /// The pressure.
    pub pressure: Pressure,
    /// Measured while nothing flows (the most there is); otherwise what is there at the least while water is drawn.
    pub standing: bool,
    /// Where it was measured; where nothing is said, at the start of the service.
    pub at: Option<Height>,
    /// Where the water comes from.
    pub from: WaterSource,
    /// Where it is said.
    pub span: Span,
}

/// Fuel gases.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum GasKind {
    /// Natural gas.
    Natural,
    /// Undiluted propane.
    Propane,
}

impl GasKind {
    /// The word the job language uses.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Natural => "natural",
            Self::Propane => "propane",
        }
    }
}

/// `supply gas natural pressure 7 in-wc drop 0.5 in-wc`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GasSupply {
    /// Which gas.
    pub kind: GasKind,
    /// Its pressure where the piping begins.
    pub pressure: Pressure,
    /// The loss allowed to the farthest appliance.
    pub drop: Option<Pressure>,
    /// Its heating value, where the supplier says it.
    pub heating_value: Option<HeatingValue>,
    /// Its specific gravity, where the supplier says it.
    pub gravity: Option<f64>,
    /// Where it is said.
    pub span: Span,
}

/// Choices where a code offers more than one way; the later stages say which one they take where nothing is chosen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Methods {
    /// Whose length sizes a piece of gas pipe.
    pub gas: Option<GasMethod>,
    /// How water pipe is sized.
    pub water: Option<WaterMethod>,
    /// How a table of demand is read between its rows.
    pub demand: Option<DemandReading>,
    /// The formula of friction.
    pub friction: Option<Friction>,
}

/// Whose length sizes a piece of gas pipe.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum GasMethod {
    /// The length to the farthest outlet sizes every piece.
    LongestLength,
    /// Each branch is sized by the length to its own farthest outlet.
    BranchLength,
}

/// How water pipe is sized.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum WaterMethod {
    /// By the code's table of pressure, length and load.
    Table,
    /// By the pressure lost in each piece on the way.
    Segmented,
}

/// How a table of demand is read between its rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum DemandReading {
    /// The next row that is not less.
    NextRow,
    /// In proportion between two rows.
    Interpolated,
}

/// The formula of friction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Friction {
    /// Hazen and Williams.
    HazenWilliams,
    /// Darcy and Weisbach, with the factor of Colebrook.
    DarcyWeisbach,
}

/// What a fixture's line says besides its place and ports.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Facts {
    /// Who uses it.
    pub usage: Option<Use>,
    /// Flushed by a valve in the pipe, not from a tank.
    pub flushometer: bool,
    /// Water of one flush.
    pub flush: Option<Volume>,
    /// Its flow, where the maker's is known.
    pub flow: Option<Flow>,
    /// Flow that runs on, however many others draw: it is added to the peak of the rest.
    pub draws: Option<Flow>,
    /// Heat that a gas appliance takes in.
    pub input: Option<Power>,
    /// Pressure lost in it while water is drawn through it.
    pub loses: Option<Pressure>,
    /// It lets out no water hotter than this.
    pub limit: Option<Temperature>,
    /// It keeps what was drawn from flowing back: an air gap, a vacuum breaker in it.
    pub protected: bool,
}

/// What a device in the pipe is set to.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Setting {
    /// Reducing valves: the pressure behind it.
    Pressure(Pressure),
    /// Mixing valves: the temperature behind it.
    Temperature(Temperature),
    /// Balancing valves and pumps: the flow.
    Flow(Flow),
}
