//! Takes off what a job needs: pipe, fittings, hangers, plates, sleeves and firestops, and what joints use up, by phase,
//! system and level; each line leads back to the drawing.
//!
//! In: a fitted network. Out: [`TakeOff`]. Rules and their sources stand in `data/hangers.toml`, `phases.toml`,
//! `penetrations.toml` and `allowances.toml`. Start at [`takeoff`].

mod counted;
pub mod crossing;
mod data;
mod hangers;
mod joints;
mod pierced;
mod plates;
mod spare;
mod storeys;
mod tally;
mod walls;

use serde::Deserialize;
use wyeline_job::Job;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{LevelIx, Pipe, PipeIx};
use wyeline_units::Size;

use crate::Fitted;
use crate::model::{Mark, Phase, Shape};
use crate::shelf::Shelf;
use storeys::Storeys;
use tally::{Key, Tally};

pub use crossing::{Crossing, Made, Through};
pub use tally::{By, Part, Sum, grouped};

/// All that a job needs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TakeOff {
    /// What, how much, where: by phase, system and level, pipe first.
    pub lines: Vec<Line>,
    /// Where pipe goes through floors, walls and roof.
    pub crossings: Vec<Crossing>,
    /// What is not counted and why, and what to be careful of.
    pub notes: Vec<String>,
}

/// So much of one thing.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it is.
    pub what: What,
    /// What it is called at the counter, in the singular.
    pub name: String,
    /// The material: of pipe by its name in the job language, of fittings by the name of the family.
    pub material: String,
    /// The sizes, as a fitting's; none where they are not known or do not matter.
    pub sizes: Vec<Size>,
    /// How much.
    pub amount: Amount,
    /// What the job adds to it for waste, in hundredths; nothing where nothing is added.
    pub spare_percent: Option<f64>,
    /// That, apart from the amount; a count rounded up by itself.
    pub spare: Option<Amount>,
    /// Pipe that stands.
    pub plumb: bool,
    /// When it is put in.
    pub phase: Phase,
    /// What flows in it.
    pub system: System,
    /// The highest level whose floor lies at or below it; nothing below them all.
    pub level: Option<LevelIx>,
    /// What it leads back to.
    pub from: Vec<Mark>,
    /// The rule by which it was counted, and where that stands.
    pub source: String,
    /// It rests on an estimate, in part at least.
    pub estimated: bool,
}

/// What a line is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// Pipe, by its cut lengths.
    Pipe,
    /// A fitting or device.
    Fitting(Shape),
    /// What joins ends and is bought apart: no-hub couplings, crimp rings.
    Joint,
    /// Holds pipe.
    Hanger,
    /// Keeps plumb pipe in line half-way up a storey.
    Guide,
    /// Steel over pipe in studs and plates.
    Plate,
    /// Round a pipe through concrete.
    Sleeve,
    /// Closes a rated floor or wall round a pipe.
    Firestop,
    /// Keeps water out where a pipe goes through the roof.
    Flashing,
    /// Over a cleanout.
    CleanoutCover,
    /// Bolts and ring that set a closet on its flange.
    ClosetSet,
    /// Valve at a fixture's supply.
    Stop,
    /// From a stop to the faucet.
    SupplyTube,
    /// Solvent cement.
    Cement,
    /// Primer.
    Primer,
    /// Solder.
    Solder,
    /// Flux.
    Flux,
    /// Tape on threads.
    ThreadSealant,
}

/// How much of something.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// Pieces.
    Count(u32),
    /// Millimetres.
    Length(f64),
    /// Litres.
    Volume(f64),
    /// Kilograms.
    Mass(f64),
}

impl Amount {
    /// The figure by itself, in the amount's own unit.
    pub fn value(self) -> f64 {
        match self {
            Self::Count(count) => f64::from(count),
            Self::Length(value) | Self::Volume(value) | Self::Mass(value) => value,
        }
    }

    /// Another amount of the same unit; a count is rounded up.
    fn of(self, value: f64) -> Self {
        match self {
            // A hair over a whole number is that number.
            Self::Count(_) => Self::Count((value - 1e-9).ceil().max(0.0) as u32),
            Self::Length(_) => Self::Length(value),
            Self::Volume(_) => Self::Volume(value),
            Self::Mass(_) => Self::Mass(value),
        }
    }

    fn none(self) -> Self {
        self.of(0.0)
    }

    /// The sum in this amount's unit: what a line is of settles the unit, so that both have it.
    fn plus(self, other: Self) -> Self {
        self.of(self.value() + other.value())
    }
}

/// Takes off what a fitted network needs. What is there already counts nothing.
///
/// * `fitted`: of the same job and network
/// * `shelf`: spacing of supports
///
/// Pipe is its cut lengths, or centre to centre where a dimension is missing. Waste is what the job tells (`spare`),
/// apart from the amounts. The cost grows with the pipes.
pub fn takeoff(job: &Job, network: &Network, fitted: &Fitted, shelf: &Shelf) -> TakeOff {
    let crossings = crossing::crossings(job, network, &fitted.stuff);
    let mut taking = Taking {
        network,
        fitted,
        shelf,
        storeys: Storeys::of(network),
        pieces: pieces_of(network, fitted),
        tally: Tally::default(),
        notes: Vec::new(),
    };
    counted::pipe(&mut taking);
    counted::fittings(&mut taking);
    counted::stops(&mut taking);
    joints::joints(&mut taking);
    hangers::hangers(&mut taking);
    plates::plates(&mut taking);
    pierced::pierced(&mut taking, &crossings);
    let Taking {
        tally, mut notes, ..
    } = taking;
    let mut lines = tally.lines();
    spare::add(job, &mut lines, &mut notes);
    TakeOff {
        lines,
        crossings,
        notes,
    }
}

/// A take-off under way.
struct Taking<'a> {
    network: &'a Network,
    fitted: &'a Fitted,
    shelf: &'a Shelf,
    storeys: Storeys,
    /// For each pipe the straight it belongs to.
    pieces: Vec<Option<usize>>,
    tally: Tally,
    notes: Vec<String>,
}

fn pieces_of(network: &Network, fitted: &Fitted) -> Vec<Option<usize>> {
    let mut found = vec![None; network.pipes.len()];
    for (at, straight) in fitted.straights.iter().enumerate() {
        for pipe in &straight.pipes {
            found[pipe.0 as usize] = Some(at);
        }
    }
    found
}

impl Taking<'_> {
    /// The pieces of the straight that a pipe belongs to.
    fn marks(&self, pipe: PipeIx) -> Vec<Mark> {
        let straight = self.pieces[pipe.0 as usize].map(|at| &self.fitted.straights[at]);
        let pieces = straight.into_iter().flat_map(|straight| &straight.pieces);
        pieces.map(|piece| Mark::Piece(piece.mark)).collect()
    }

    /// The middle of a pipe, mm.
    fn middle(&self, pipe: &Pipe) -> f64 {
        let (a, b) = self.network.true_ends(pipe);
        f64::midpoint(a.z, b.z)
    }

    /// What a line of something at a height is known by; what is set with the fixtures is finish.
    fn key(&self, what: What, system: System, z: f64) -> Key {
        let finish = data::PHASES.finish.items.contains(&what);
        Key {
            phase: if finish {
                Phase::Finish
            } else {
                self.storeys.phase(z)
            },
            system,
            level: self.storeys.level(z),
            what,
            material: String::new(),
            name: String::new(),
            sizes: Vec::new(),
            plumb: false,
        }
    }
}
