//! The cut plan of a job: its pieces by material and size, laid into bars, coils and offcuts.
//!
//! In: the job's stock, offcuts and kerfs, else the table's; the pieces, rounded as they go to the saw. Out: for each
//! material and size the order and its plan. The laying itself is `bars`.

use std::collections::{BTreeMap, HashSet};

use wyeline_job::Job;
use wyeline_network::model::PipeIx;
use wyeline_units::{Len, UnitSystem};

use crate::bars::{Bar, Cut, Order, Plan, bought, stock};
use crate::list::to_saw;
use crate::model::{Fitted, Piece, Stuff, Where};

/// What is cut of one material and size.
#[derive(Clone, Debug)]
pub struct Cutting {
    /// Material and size.
    pub stuff: Stuff,
    /// What was asked.
    pub order: Order,
    /// How it is laid.
    pub plan: Plan,
    /// Pieces that are not laid: a dimension is missing, or they are too short to be set.
    pub waiting: Vec<u32>,
    /// What it is cut with and how that was come by, in words.
    pub cutter: String,
}

/// Pieces of one material and size, in the order of their marks.
pub struct Batch<'a> {
    /// Material and size.
    pub stuff: &'a Stuff,
    /// The pieces.
    pub pieces: Vec<&'a Piece>,
}

/// The pieces to be cut, by material and size; what is there already is left out.
pub fn batches(fitted: &Fitted) -> Vec<Batch<'_>> {
    let mut by: BTreeMap<_, Batch> = BTreeMap::new();
    let pieces = fitted.straights.iter().flat_map(|s| &s.pieces);
    for piece in pieces.filter(|piece| !piece.existing) {
        let stuff = &piece.stuff;
        // Large before small, as a list for the counter is written.
        let key = (stuff.family, &stuff.material, std::cmp::Reverse(stuff.size));
        let batch = by.entry(key).or_insert_with(|| Batch {
            stuff,
            pieces: Vec::new(),
        });
        batch.pieces.push(piece);
    }
    by.into_values().collect()
}

/// The cut plan of each material and size.
///
/// Pieces are laid as they go to the saw, to 1/16 in or 1 mm. All plans together take little longer than one may by itself
/// ([`Order::plan_among`]); where that does not do, the gap to the lower bound is told.
pub fn cuttings(job: &Job, fitted: &Fitted) -> Vec<Cutting> {
    let batches = batches(fitted);
    let all = batches.iter().map(|batch| batch.pieces.len()).sum();
    let too_short = too_short(fitted);
    batches
        .iter()
        .map(|batch| cutting(job, batch, &too_short, all))
        .collect()
}

/// Pipes whose piece is found to be too short for its fittings.
pub fn too_short(fitted: &Fitted) -> HashSet<PipeIx> {
    let found = fitted.findings.iter();
    let found = found.filter(|finding| finding.code == "piece-too-short");
    found
        .filter_map(|finding| match finding.at {
            Where::Pipe(pipe) => Some(pipe),
            Where::Node(_) => None,
        })
        .collect()
}

fn cutting(job: &Job, batch: &Batch, too_short: &HashSet<PipeIx>, all: usize) -> Cutting {
    let stuff = batch.stuff;
    let (kerf, trim, cutter) = cutter(job, stuff);
    let mut bars: Vec<Bar> = bought(job, stuff)
        .into_iter()
        .map(|length| Bar { length, have: None })
        .collect();
    let offcuts =
        job.fitting.offcuts.iter().filter(|offcut| {
            offcut.material.text == stuff.material && Some(offcut.size) == stuff.size
        });
    bars.extend(offcuts.map(|offcut| Bar {
        length: offcut.length,
        have: Some(offcut.count),
    }));
    let (mut cuts, mut waiting) = (Vec::new(), Vec::new());
    for piece in &batch.pieces {
        let goes = |length: &Len| *length > Len::ZERO && !too_short.contains(&piece.pipe);
        match saw_length(piece, job.units).filter(goes) {
            Some(length) => cuts.push(Cut {
                label: piece.mark,
                length,
            }),
            None => waiting.push(piece.mark),
        }
    }
    let order = Order {
        bars,
        kerf,
        trim,
        cuts,
    };
    Cutting {
        stuff: stuff.clone(),
        plan: order.plan_among(all),
        order,
        waiting,
        cutter,
    }
}

/// A piece's length as it goes to the saw; nothing where a dimension is missing.
pub fn saw_length(piece: &Piece, units: UnitSystem) -> Option<Len> {
    piece.cut_mm.map(|mm| to_saw(mm, units))
}

/// Kerf, trim, and what it is cut with: the job's kerf before the table's.
fn cutter(job: &Job, stuff: &Stuff) -> (Len, Len, String) {
    let row = stock().row(stuff.family, job.units.is_metric());
    let usual = row.and_then(|row| stock().cutter(&row.cutter));
    let trim = usual.map_or(Len::ZERO, |cutter| cutter.trim);
    let of = |material: Option<&str>| {
        let mut kerfs = job.fitting.kerfs.iter();
        kerfs.find(|kerf| kerf.material.as_ref().map(|name| &*name.text) == material)
    };
    if let Some(told) = of(Some(&stuff.material)).or_else(|| of(None)) {
        return (told.length, trim, "as the job tells".to_owned());
    }
    match usual {
        Some(cutter) => {
            let how = cutter.how.replace("memory", "from memory");
            (cutter.kerf, trim, format!("{} ({how})", cutter.words))
        }
        None => (Len::ZERO, trim, "not known: taken as nothing".to_owned()),
    }
}
