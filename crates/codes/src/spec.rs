//! Which tables there are, and what each must look like: the contract between data files and questions.

use crate::unit::Dim;

/// How a column's numbers run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Course {
    /// As they like.
    Free,
    /// None is less than the one before.
    Rises,
    /// None is more than the one before.
    Falls,
}

/// A column that a table has by its sort.
#[derive(Clone, Copy, Debug)]
pub struct Col {
    /// Its name.
    pub name: &'static str,
    /// What it measures.
    pub dim: Dim,
    /// It names the row, with the other keys.
    pub key: bool,
    /// The table may do without it.
    pub optional: bool,
    /// How its numbers run down the rows that share all keys but the last.
    pub down: Course,
}

/// Columns whose names are values: slopes, sizes or lengths.
#[derive(Clone, Copy, Debug)]
pub struct Open {
    /// What the names are.
    pub head: Dim,
    /// What the cells measure.
    pub dim: Dim,
    /// How the cells run down the rows that share all keys but the last.
    pub down: Course,
    /// How the cells of a row run, with the heads rising.
    pub across: Course,
}

/// What a table of one sort holds.
#[derive(Debug)]
pub struct Spec {
    /// Which it is.
    pub id: TableId,
    /// Its name in data files and amendments.
    pub name: &'static str,
    /// What it says, in a line.
    pub about: &'static str,
    /// Its columns, keys first.
    pub columns: &'static [Col],
    /// Further columns.
    pub open: Option<Open>,
    /// Its sizes follow one another without a gap in the sizes of the pack.
    pub unbroken: bool,
}

impl Spec {
    /// How many columns name a row.
    pub fn keys(&self) -> usize {
        self.columns.iter().filter(|column| column.key).count()
    }
}

const fn key(name: &'static str, dim: Dim) -> Col {
    Col {
        name,
        dim,
        key: true,
        optional: false,
        down: Course::Rises,
    }
}
const fn col(name: &'static str, dim: Dim, down: Course) -> Col {
    Col {
        name,
        dim,
        key: false,
        optional: false,
        down,
    }
}
const fn may(name: &'static str, dim: Dim, down: Course) -> Col {
    Col {
        name,
        dim,
        key: false,
        optional: true,
        down,
    }
}
const fn open(head: Dim, dim: Dim, down: Course, across: Course) -> Open {
    Open {
        head,
        dim,
        down,
        across,
    }
}

/// Writes the identifiers and the specifications side by side, in one order.
macro_rules! tables {
    ($($(#[$doc:meta])* $id:ident $name:literal $about:literal [$($column:expr),* $(,)?] $open:expr, $unbroken:literal;)*) => {
        /// The sorts of tables.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum TableId {
            $(#[doc = $about] $id,)*
        }
        /// The tables in the order of their identifiers.
        pub const SPECS: &[Spec] = &[
            $(Spec {
                id: TableId::$id,
                name: $name,
                about: $about,
                columns: &[$($column),*],
                open: $open,
                unbroken: $unbroken,
            },)*
        ];
    };
}

use Course::{Falls, Free, Rises};
use Dim::{
    Drain, Flow, Gas, Kind, Length, Number, Power, Pressure, Size, Slope, Supply, Temperature,
    Text, Velocity, VolumePerLength,
};

tables! {
    Fixtures "fixtures" "The lines of the code's tables that stand for each kind of fixture."
        [key("kind", Kind), key("variant", Text), col("drain", Text, Free), col("water", Text, Free),
         col("outlet", Text, Free), col("supply", Text, Free)] None, false;
    DrainFixtures "drain-fixtures" "Drainage fixture units and least trap of each fixture, by use."
        [key("line", Text), col("fixture", Text, Free), col("private", Drain, Free), col("public", Drain, Free),
         may("assembly", Drain, Free), may("trap", Size, Free)] None, false;
    DrainGroups "drain-groups" "Units of a bathroom group, counted in place of the sum of its fixtures."
        [key("line", Text), col("group", Text, Free), col("units", Drain, Free)] None, false;
    DrainByTrap "drain-by-trap" "Units of a fixture that is not listed, by the size of its trap or outlet."
        [key("trap", Size), col("units", Drain, Rises)] None, false;
    DrainByFlow "drain-by-flow" "Units of an intermittent discharge, by its flow."
        [key("flow", Flow), col("units", Drain, Rises)] None, false;
    DrainShowers "drain-showers" "Units and trap of showers, by the total flow of their heads."
        [key("flow", Flow), col("units", Drain, Rises), col("trap", Size, Rises)] None, false;
    BranchesAndStacks "branches-and-stacks" "Most units on a horizontal branch, and on a stack."
        [key("size", Size), col("branch", Drain, Rises), col("interval", Drain, Rises),
         col("low-stack", Drain, Rises), col("tall-stack", Drain, Rises)] None, true;
    DrainsAndVents "drains-and-vents" "Most units and length of vertical drains, horizontal drains and vents."
        [key("size", Size), col("vertical", Drain, Rises), col("horizontal", Drain, Rises),
         col("vertical-length", Length, Rises), col("vent", Drain, Rises), col("vent-length", Length, Rises)]
        None, true;
    ClosetLimits "closet-limits" "Most water closets on a drain, whatever its load."
        [key("size", Size), col("vertical", Number, Rises), col("horizontal", Number, Rises)] None, false;
    BuildingDrains "building-drains" "Most units on building drains, their branches and sewers, by slope."
        [key("size", Size)] Some(open(Slope, Drain, Rises, Rises)), true;
    Sewers "sewers" "Most and least units on large building sewers, by slope."
        [key("size", Size), key("slope", Slope), col("most", Drain, Rises), col("least", Drain, Free)] None, false;
    Slopes "slopes" "Least slope of horizontal drains, from that size up."
        [key("size", Size), col("slope", Slope, Falls)] None, false;
    TrapArms "trap-arms" "Longest trap arm: from the weir of the trap to its vent."
        [key("size", Size), col("slope", Slope, Free), col("longest", Length, Rises), may("shortest", Length, Rises)]
        None, false;
    VentsByLength "vents-by-length" "Longest stack vent or vent stack, by the stack, its load and the vent's size."
        [key("stack", Size), key("units", Drain)] Some(open(Size, Length, Falls, Rises)), false;
    VentsByTrap "vents-by-trap" "Least vent, by the trap it serves."
        [key("trap", Size), col("vent", Size, Rises)] None, false;
    WetVents "wet-vents" "Most units on a wet vent."
        [key("size", Size), col("units", Drain, Rises)] None, false;
    CommonVents "common-vents" "Most units of the upper fixture on a common vent with fixtures at two heights."
        [key("size", Size), col("upper", Drain, Rises)] None, false;
    WasteStacks "waste-stacks" "Most units on a waste stack that vents itself."
        [key("size", Size), col("interval", Drain, Rises), col("total", Drain, Rises)] None, false;
    CombinationDrains "combination-drains" "Most units on a combination drain and vent."
        [key("size", Size), col("to-branch", Drain, Rises), col("to-building-drain", Drain, Rises)] None, false;
    Fittings "fittings" "Which fitting may make which change of direction."
        [key("fitting", Text), col("horizontal-to-vertical", Text, Free), col("vertical-to-horizontal", Text, Free),
         col("horizontal-to-horizontal", Text, Free)] None, false;
    DischargeUnits "discharge-units" "Discharge units of each appliance, by system."
        [key("line", Text), col("appliance", Text, Free), col("system-i", Drain, Free), col("system-ii", Drain, Free),
         col("system-iii", Drain, Free), col("system-iv", Drain, Free)] None, false;
    Frequency "frequency" "Frequency factor K, by use."
        [key("use", Text), col("k", Number, Free)] None, false;
    Unventilated "unventilated-branches" "Least size of an unventilated branch, by flow and system."
        [key("flow", Drain), col("system-i", Size, Rises), col("system-ii", Size, Rises), col("system-iv", Size, Rises)]
        None, false;
    UnventilatedLimits "unventilated-limits" "What an unventilated branch may be: length, bends, drop, slope."
        [key("system", Text), col("length", Length, Free), col("bends", Number, Free), col("drop", Length, Free),
         col("slope", Slope, Free)] None, false;
    Ventilated "ventilated-branches" "Least size of a ventilated branch and of its vent, by flow and system."
        [key("flow", Drain), col("branch-i", Size, Rises), col("vent-i", Size, Rises), col("branch-ii", Size, Rises),
         col("vent-ii", Size, Rises), col("branch-iv", Size, Rises), col("vent-iv", Size, Rises)] None, false;
    VentilatedLimits "ventilated-limits" "What a ventilated branch may be: length, drop, slope."
        [key("system", Text), col("length", Length, Free), col("drop", Length, Free), col("slope", Slope, Free)]
        None, false;
    PrimaryStacks "primary-vented-stacks" "Most flow in a stack vented by its own continuation."
        [key("size", Size), col("square", Drain, Rises), col("swept", Drain, Rises)] None, true;
    SecondaryStacks "secondary-vented-stacks" "Most flow in a stack with a vent pipe beside it, and that pipe."
        [key("size", Size), col("vent", Size, Rises), col("square", Drain, Rises), col("swept", Drain, Rises)]
        None, true;
    HalfFull "drains-half-full" "Flow in a drain half full, by slope."
        [key("slope", Slope)] Some(open(Size, Drain, Rises, Rises)), false;
    SeventyFull "drains-seventy-full" "Flow in a drain filled to 70 %, by slope."
        [key("slope", Slope)] Some(open(Size, Drain, Rises, Rises)), false;
    Bores "bores" "Least inside diameter of each nominal size."
        [key("size", Size), col("bore", Length, Rises)] None, false;
    WaterLoads "water-loads" "Supply units of each fixture, by use: cold, hot, and both together."
        [key("line", Text), key("use", Text), col("fixture", Text, Free), col("cold", Supply, Free),
         col("hot", Supply, Free), col("total", Supply, Free)] None, false;
    FlushValves "flush-valves" "Supply units of all flushometer valves on a pipe, by their number."
        [key("count", Number), col("water-closet", Supply, Rises), col("urinal", Supply, Rises)] None, false;
    Demand "demand" "Likely peak flow, by supply units, for flush tanks and for flushometers."
        [key("units", Supply), col("tank", Flow, Rises), col("flushometer", Flow, Rises)] None, false;
    PeakFlow "peak-flow" "Constants of a formula for the likely peak flow, a (sum of design flows)^b - c in l/s, by building."
        [key("building", Text), col("a", Number, Free), col("b", Number, Free), col("c", Number, Free)] None, false;
    DesignFlows "design-flows" "Flow and least pressure of an outlet for the formula of peak flow."
        [key("line", Text), col("outlet", Text, Free), col("flow", Flow, Free), col("pressure", Pressure, Free)]
        None, false;
    Outlets "outlets" "Flow and pressure wanted at an outlet."
        [key("line", Text), key("use", Text), col("outlet", Text, Free), col("flow", Flow, Free),
         may("pressure", Pressure, Free)] None, false;
    SupplySizes "supply-sizes" "Least pipe that feeds a fixture."
        [key("line", Text), col("fixture", Text, Free), col("size", Size, Free)] None, false;
    Velocities "velocities" "Most velocity, by material, cold and hot."
        [key("material", Text), col("cold", Velocity, Free), col("hot", Velocity, Free)] None, false;
    ServiceSizes "service-sizes" "Most units, by pressure, size of meter and of pipe, and length."
        [key("from", Pressure), key("to", Pressure), key("pipe", Size), key("meter", Size)]
        Some(open(Length, Supply, Free, Falls)), false;
    Manifolds "manifolds" "Most flow of a manifold, at two velocities."
        [key("size", Size), col("slow", Flow, Rises), col("fast", Flow, Rises)] None, false;
    Taps "taps" "Pressure lost in a tap of the main."
        [key("flow", Flow)] Some(open(Size, Pressure, Rises, Falls)), false;
    Meters "meters" "Most flow of a displacement meter, and the pressure it then costs."
        [key("size", Size), col("flow", Flow, Rises), col("loss", Pressure, Free)] None, false;
    Threaded "threaded-fittings" "Length of pipe that loses as much as a threaded fitting or valve."
        [key("fitting", Text)] Some(open(Size, Length, Free, Rises)), false;
    Soldered "copper-fittings" "Length of tube that loses as much as a copper fitting or valve."
        [key("fitting", Text)] Some(open(Size, Length, Free, Free)), false;
    PipeLoads "pipe-loads" "Most loading units of a pipe, by material and length."
        [key("material", Text), key("pipe", Text), key("units", Supply), col("bore", Length, Rises),
         col("length", Length, Free)] None, false;
    HotVolumes "hot-volumes" "Water held by hot pipe, and the longest from the source of hot water."
        [key("size", Size), col("volume", VolumePerLength, Rises), col("public-lavatory", Length, Falls),
         col("other", Length, Falls)] None, false;
    Scald "scald" "Hottest water at an outlet, and the device that holds it there."
        [key("kind", Kind), key("use", Text), col("hottest", Temperature, Free), col("device", Text, Free)] None, false;
    GasHalfInch "gas-half-inch" "Gas capacity at a drop of 0.5 in w.c., inlet below 2 psi."
        [key("length", Length)] Some(open(Size, Gas, Falls, Rises)), false;
    GasThreeInch "gas-three-inch" "Gas capacity at a drop of 3 in w.c., inlet 8 in w.c. or more."
        [key("length", Length)] Some(open(Size, Gas, Falls, Rises)), false;
    GasSixInch "gas-six-inch" "Gas capacity at a drop of 6 in w.c., inlet 11 in w.c. or more."
        [key("length", Length)] Some(open(Size, Gas, Falls, Rises)), false;
    GasOnePsi "gas-one-psi" "Gas capacity at a drop of 1 psi, inlet 2 psi."
        [key("length", Length)] Some(open(Size, Gas, Falls, Rises)), false;
    GasTwoPsi "gas-two-psi" "Gas capacity at a drop of 2 psi, inlet 3 psi."
        [key("length", Length)] Some(open(Size, Gas, Falls, Rises)), false;
    GasFittings "gas-fittings" "Length of pipe that loses as much as a screwed fitting."
        [key("fitting", Text)] Some(open(Size, Length, Free, Rises)), false;
    GasInputs "gas-inputs" "Usual input of gas appliances; the rating plate goes first."
        [key("kind", Kind), key("variant", Text), col("input", Power, Free)] None, false;
}

impl TableId {
    /// What a table of this sort holds.
    pub fn spec(self) -> &'static Spec {
        &SPECS[self as usize]
    }
    /// The sort of that name.
    pub fn named(name: &str) -> Option<Self> {
        SPECS
            .iter()
            .find(|spec| spec.name == name)
            .map(|spec| spec.id)
    }
}
