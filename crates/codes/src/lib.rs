//! Published plumbing codes as data: tables with document, edition, table and how each value was come by.
//!
//! In: the name of a code and a job's local amendments. Out: a [`Pack`] that answers what the code
//! says, each answer cited, and says so where it does not. Nothing is interpolated where the code does not.

mod amend;
mod cells;
mod cite;
mod common;
mod discharge;
mod drain;
mod fixture;
mod gas;
mod judge;
mod load;
mod pack;
mod peak;
mod pipes;
pub mod rules;
pub mod spec;
mod supply;
mod table;
pub mod unit;
mod vent;
mod water;

pub use amend::{Amendment, Beside, HeldBeside};
pub use cite::{Cite, Cited, How, NoValue};
pub use discharge::{BranchLimits, Entry, Filling, System, VentedBranch};
pub use drain::DrainLoad;
pub use gas::GasDrop;
pub use load::BadData;
pub use pack::{Absent, Amended, Family, Pack, Rule, Use};
pub use peak::PeakFormula;
pub use pipes::{Fit, StackLimit, Way};
pub use spec::TableId;
pub use supply::{HotPipe, PipeLoad, ScaldLimit, ServiceSize};
pub use table::{Cell, Column, Row, Table, Value};
pub use vent::{Allowed, Change, OutletToTrap, TrapArm};
pub use water::{Flush, OutletNeed, WaterLoad};
