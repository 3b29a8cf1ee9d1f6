//! The rough-in sheet: where every stub-out, flange, sleeve and bore goes, from two finished walls and the finished floor.
//!
//! In: a job, its network, its fittings, and where its pipes go through floors, walls and roof. Out: [`RoughIn`],
//! typed, mm. Walls' lines are finished room faces, as the job tells them.

mod frame;
mod joist;
mod pass;
mod stub;
mod wall;

use glam::DVec3;
use serde::Deserialize;
use wyeline_codes::{Cite, How, Pack};
use wyeline_job::Job;
use wyeline_job::model::Compass;
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, LevelIx, NodeIx, PipeIx};
use wyeline_units::Size;

use crate::model::Fitted;
use crate::takeoff::Crossing;

/// Everything that is marked out before pipe is laid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RoughIn {
    /// Stub-outs at walls and outlets in floors, in the order of fixtures and their ports.
    pub stubs: Vec<Stub>,
    /// Closet flanges, in the order of their nodes.
    pub flanges: Vec<Flange>,
    /// Where pipe goes through floors and roof, in the order of the crossings.
    pub floors: Vec<Pass>,
    /// Where pipe goes through walls, in the order of the crossings.
    pub sleeves: Vec<Pass>,
    /// What to bore in which joist: by level, then by joist, then in the order of the pipes.
    pub bores: Vec<Bore>,
    /// Pipes that lie among joists whose place the job does not tell: what to bore there is not known.
    pub untold: Vec<(PipeIx, LevelIx)>,
    /// What to mind before anything is cut; where nothing is bored or passed through, nothing.
    pub cautions: Vec<&'static Caution>,
}

/// A place as a crew finds it.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// The centre line there, mm.
    pub at: DVec3,
    /// The storey; nothing where the job tells of none.
    pub level: Option<LevelIx>,
    /// Above the finished floor of that storey, mm; above the datum where there is none.
    pub above_mm: f64,
    /// From two finished walls that do not run the same way, the nearer first; fewer where the storey has none square
    /// to the place.
    pub walls: Vec<FromWall>,
}

/// How far something is from a finished wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FromWall {
    /// The wall, by its place in the building's list.
    pub wall: u32,
    /// The side it stands on: `West` is the west wall, to whoever stands at the place.
    pub side: Compass,
    /// From which of its faces.
    pub face: Face,
    /// Square to that face, mm. Negative: inside the wall, so far behind the face.
    pub mm: f64,
}

/// A face of a wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// The finished room face: the line by which the job tells the wall.
    Room,
    /// The other one, a thickness behind it.
    Far,
}

/// What a stub is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StubKind {
    /// Water or gas at a wall.
    Supply,
    /// A drain at a wall, where the trap arm ends.
    Drain,
    /// A drain in the floor or the roof: floor drain, shower, tub.
    Outlet,
}

/// Where a fixture's pipe comes out.
#[derive(Clone, Debug, PartialEq)]
pub struct Stub {
    /// The fixture.
    pub fixture: FixtureIx,
    /// Its port (`tee`, `cold`).
    pub port: String,
    /// What it is for.
    pub kind: StubKind,
    /// The node that stands there.
    pub node: NodeIx,
    /// Nominal size of its pipe, where known.
    pub size: Option<Size>,
    /// Where.
    pub place: Place,
    /// Invert of the drain there, mm from the datum, where known.
    pub invert_mm: Option<f64>,
}

/// A closet flange.
#[derive(Clone, Debug, PartialEq)]
pub struct Flange {
    /// The closet, where the flange is at a fixture.
    pub fixture: Option<FixtureIx>,
    /// The flange, by its fitting's id.
    pub id: String,
    /// The node.
    pub node: NodeIx,
    /// Its sizes.
    pub sizes: Vec<Size>,
    /// Where its centre is.
    pub place: Place,
    /// From the finished wall behind the closet.
    pub behind: Option<FromWall>,
    /// From the nearest finished wall at a side of it.
    pub aside: Option<FromWall>,
}

/// Where a pipe goes through a floor, a wall or the roof, as a crew marks it.
#[derive(Clone, Debug, PartialEq)]
pub struct Pass {
    /// The crossing: its pipe, what it goes through, the hole or sleeve, what is doubtful.
    pub crossing: Crossing,
    /// Where its centre is at the finished surface.
    pub place: Place,
    /// Nominal size of the pipe, where known.
    pub size: Option<Size>,
    /// The pipe stands plumb.
    pub plumb: bool,
    /// Invert of a drain, mm from the datum, where known: at this place where it lies; where it stands, that of the
    /// pipe at its foot.
    pub invert_mm: Option<f64>,
}

/// A hole to bore in a joist.
#[derive(Clone, Debug, PartialEq)]
pub struct Bore {
    /// The pipe.
    pub pipe: PipeIx,
    /// The storey whose floor the joist carries.
    pub level: LevelIx,
    /// Which joist: counted from 1, from the south or the west, over the walls of the storey.
    pub number: u32,
    /// Side from which it is counted.
    pub counted_from: Compass,
    /// From the centre of the first joist to that of this one, mm.
    pub from_first_mm: f64,
    /// The centre of the hole; its height counts from the finished floor above the joist, so it is negative.
    pub place: Place,
    /// Depth of the joist, mm.
    pub depth_mm: f64,
    /// Centre of the hole above the joist's bottom edge, mm.
    pub up_mm: f64,
    /// Outside of the pipe and its insulation, mm, where known: the least that the hole can be.
    pub least_mm: Option<f64>,
    /// Wood that such a hole leaves above and below it, mm; negative where it breaks out of the edge.
    pub left_mm: Option<[f64; 2]>,
    /// The joist is engineered wood: told so, or of a depth that no sawn joist has.
    pub engineered: bool,
    /// What the code allows in sawn lumber, where that is held and the joist is sawn. Whether the bore keeps it, the
    /// checks say.
    pub limit: Option<Limit>,
}

/// What to mind before structure is cut.
#[derive(Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// In words, for the sheet.
    pub text: String,
    /// What it rests on.
    pub document: String,
    /// How that was come by.
    pub how: How,
}

/// What a code allows to be bored in a joist.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Largest hole, mm.
    pub hole_mm: f64,
    /// Least wood to either edge, mm.
    pub edge_mm: f64,
    /// Where it stands.
    pub cite: Cite,
}

/// Returns where everything goes that is marked out before pipe is laid. What is there already is left out.
///
/// * `crossings`: where pipes go through floors, walls and roof, as the take-off finds them
/// * `pack`: the code in force, whose limits on bores are printed beside them
pub fn roughin(
    job: &Job,
    network: &Network,
    fitted: &Fitted,
    crossings: &[Crossing],
    pack: Option<&Pack>,
) -> RoughIn {
    let site = wall::Site::of(network);
    let (floors, sleeves) = pass::passes(&site, crossings);
    let (bores, untold) = joist::bores(job, &site, fitted, pack);
    let cuts = !(floors.is_empty() && sleeves.is_empty() && bores.is_empty() && untold.is_empty());
    RoughIn {
        stubs: stub::stubs(&site),
        flanges: stub::flanges(&site, fitted),
        floors,
        sleeves,
        bores,
        untold,
        cautions: if cuts { frame::cautions() } else { Vec::new() },
    }
}
