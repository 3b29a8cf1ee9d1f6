//! What fittings, cut lengths and bars rest on, as far as the job says it: plain data, nothing of it drawn.
//!
//! Names of materials and fittings are words here; what they stand for is the business of later stages.

use serde::Serialize;
use wyeline_units::{Len, Size};

use super::{Name, System};
use crate::Span;

/// What is said of material, fittings and stock of the whole job.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct FittingData {
    /// The material of runs of a system, until they name one: each system at most once, with where its word stands.
    pub materials: Vec<(System, Name, Span)>,
    /// Dimensions that the user measured.
    pub measured: Vec<Measured>,
    /// Bars and coils that are bought.
    pub stock: Vec<Stock>,
    /// Bars that are there already.
    pub offcuts: Vec<Offcut>,
    /// What a cut takes: at most one for each material, and one for those that have none.
    pub kerfs: Vec<Kerf>,
    /// What is added for waste, apart from what is worked out.
    pub spare: Vec<Spare>,
}

/// `measured pvc 2" sanitary-tee branch 2-3/8"`: holds in this job instead of the table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measured {
    /// The material.
    pub material: Name,
    /// The size, of the larger end where there are two.
    pub size: Size,
    /// The size of the other end, or of the branch.
    pub other: Option<Size>,
    /// The fitting's name; nothing for the depth of the sockets of all fittings of that material and size.
    pub fitting: Option<Name>,
    /// Where on it, where that is said.
    pub leg: Option<Leg>,
    /// How much, above 0.
    pub length: Len,
    /// Where it is said.
    pub span: Span,
}

/// Where on a fitting a length was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Leg {
    /// From the centre to the stop of every end.
    Each,
    /// From the centre to the stop of the run's upstream end.
    RunInlet,
    /// From the centre to the stop of the run's downstream end.
    RunOutlet,
    /// From the centre to the stop of the branch.
    Branch,
    /// From stop to stop, of a fitting in line.
    Total,
    /// How deep the pipe stands in the socket.
    Depth,
}

/// `stock copper-l 3/4" 10' 20' coil 60'`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stock {
    /// The material.
    pub material: Name,
    /// The size; every size of the material where nothing is said.
    pub size: Option<Size>,
    /// What may be bought, in the order told; at least one.
    pub bars: Vec<Bar>,
    /// Where it is said.
    pub span: Span,
}

/// One length in which pipe is bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Bar {
    /// Its length, above 0.
    pub length: Len,
    /// It comes in a coil.
    pub coil: bool,
}

/// `offcut pvc 3" 4'7" x2`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Offcut {
    /// The material.
    pub material: Name,
    /// The size.
    pub size: Size,
    /// Its length, above 0.
    pub length: Len,
    /// How many there are, 1 or more.
    pub count: u32,
    /// Where it is said.
    pub span: Span,
}

/// `kerf 1/8"`, `kerf cast-iron 0"`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Kerf {
    /// The material; every one that has no kerf of its own where nothing is said.
    pub material: Option<Name>,
    /// What one cut takes, 0 or more.
    pub length: Len,
    /// Where it is said.
    pub span: Span,
}

/// `spare 5 % for pvc`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Spare {
    /// What is added, in hundredths of what is worked out, 0 to 100.
    pub percent: f64,
    /// What it is added to.
    pub of: SpareOf,
    /// Where it is said.
    pub span: Span,
}

/// What something is added to for waste.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SpareOf {
    /// All that has no spare of its own.
    All,
    /// A system.
    System(System),
    /// A material.
    Material(Name),
}
