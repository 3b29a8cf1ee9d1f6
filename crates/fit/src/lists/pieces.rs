//! The pieces to cut, by material and size: mark, cut length, between which fittings, centre to centre.

use std::collections::{HashMap, HashSet};

use wyeline_network::model::PipeIx;
use wyeline_units::UnitSystem;

use super::{Given, words};
use crate::cutting::{Batch, batches, too_short};
use crate::list::{Cell, Column, Kind, List, column};
use crate::marks;
use crate::model::{Piece, Straight};

const COLUMNS: [Column; 8] = [
    column("piece", "piece", Kind::Text),
    column("cut", "cut", Kind::Length),
    column("from", "from", Kind::Text),
    column("to", "to", Kind::Text),
    column("centre_to_centre", "c to c", Kind::Length),
    column("remark", "", Kind::Text),
    column("run", "run", Kind::Text),
    column("line", "line", Kind::Count),
];

/// The list `pieces`; what is there already is left out.
pub fn pieces(given: &Given) -> List {
    let mut list = List::new("pieces", "Pieces to cut", &COLUMNS);
    let units = given.network.units;
    let straights = given.fitted.straights.iter();
    let by_mark: HashMap<u32, (&Straight, usize)> = straights
        .flat_map(|straight| {
            let pieces = straight.pieces.iter().enumerate();
            pieces.map(move |(at, piece)| (piece.mark, (straight, at)))
        })
        .collect();
    let too_short = too_short(given.fitted);
    let mut by_rule: Vec<String> = Vec::new();
    for batch in batches(given.fitted) {
        let heading = words::stuff(batch.stuff, units);
        for piece in &batch.pieces {
            let (straight, at) = by_mark[&piece.mark];
            list.push(&heading, row(given, straight, at, &too_short));
            let material = words::material(&piece.stuff);
            if piece.stuff.by_rule && !by_rule.contains(&material) {
                by_rule.push(material);
            }
        }
        let goes = batch.pieces.iter().any(|piece| goes(piece, &too_short));
        if goes && batch.pieces.len() > 1 {
            list.total(&heading, total(&batch, &too_short, units));
        }
    }
    if !by_rule.is_empty() {
        list.notes.push(format!(
            "Nobody said the material where it is {}: taken by the rule of the system.",
            by_rule.join(", ")
        ));
    }
    if given
        .fitted
        .straights
        .iter()
        .any(|one| drawn_otherwise(given, one))
    {
        list.notes.push(
            "c to c is as the pipe lies. The drawing shows sloped runs level, so that plumb pipe takes up their falls there and is written that much longer or shorter."
                .to_owned(),
        );
    }
    let pieces = given.fitted.straights.iter().flat_map(|s| &s.pieces);
    let mut new = pieces.filter(|piece| !piece.existing);
    if new.any(|piece| piece.estimated) {
        list.notes.push(
            "~ rests on an estimated dimension: dry-fit it, or measure the fitting and tell the job."
                .to_owned(),
        );
    }
    list
}

/// The drawing writes another length than the pipe has: by more than rounding shows, 1/32 in.
fn drawn_otherwise(given: &Given, straight: &Straight) -> bool {
    let network = given.network;
    let pipes = straight.pipes.iter().map(|&pipe| network.pipe(pipe));
    let drawn: f64 = pipes.map(|pipe| network.length_mm(pipe)).sum();
    (drawn - straight.centre_mm).abs() > 25.4 / 32.0
}

/// The piece goes to the saw: its length is known, and long enough for its fittings.
fn goes(piece: &Piece, too_short: &HashSet<PipeIx>) -> bool {
    piece.cut_mm.is_some() && !too_short.contains(&piece.pipe)
}

/// What is cut of all pieces that go to the saw.
fn total(batch: &Batch, too_short: &HashSet<PipeIx>, units: UnitSystem) -> Vec<Cell> {
    let cut = batch.pieces.iter().filter(|piece| goes(piece, too_short));
    let known = cut.clone().filter_map(|piece| piece.cut_mm);
    let estimated = cut.clone().any(|piece| piece.estimated);
    let (count, all) = (cut.count(), batch.pieces.len());
    let short = batch
        .pieces
        .iter()
        .filter(|piece| too_short.contains(&piece.pipe))
        .count();
    let waits = all - count - short;
    let pieces = match (waits, short) {
        (0, 0) => format!("{all} pieces"),
        (_, 0) => format!("{count} of {all} pieces: the others wait for a dimension"),
        (0, _) => format!("{count} of {all} pieces: the others are too short"),
        _ => {
            format!("{count} of {all} pieces: {waits} wait for a dimension, {short} are too short")
        }
    };
    let mut total = vec![Cell::Nothing; COLUMNS.len()];
    total[0] = Cell::text("sum");
    total[1] = Cell::estimate(known.sum(), units, estimated);
    total[2] = Cell::text(pieces);
    total
}

fn row(given: &Given, straight: &Straight, at: usize, too_short: &HashSet<PipeIx>) -> Vec<Cell> {
    let network = given.network;
    let piece = &straight.pieces[at];
    let pipe = network.pipe(piece.pipe);
    let run = network.runs.get(pipe.run.0 as usize);
    let coupling = |at: usize| words::fittings(given, &straight.couplings[at..=at]);
    let from = match at {
        0 => words::end(given, straight.ends[0]),
        at => coupling(at - 1),
    };
    let to = if at + 1 == straight.pieces.len() {
        words::end(given, straight.ends[1])
    } else {
        coupling(at)
    };
    let cut = piece.cut_mm.map_or_else(
        || Cell::text("?"),
        |mm| Cell::estimate(mm, network.units, piece.estimated),
    );
    vec![
        Cell::text(marks::piece(piece.mark)),
        cut,
        Cell::text(from),
        Cell::text(to),
        Cell::length(centres(straight, at), network.units),
        Cell::text(remark(piece, too_short.contains(&piece.pipe))),
        Cell::text(run.map_or("", |run| run.name.as_str())),
        Cell::Count(u64::from(pipe.line)),
    ]
}

fn remark(piece: &Piece, too_short: bool) -> String {
    let mut said = Vec::new();
    if piece.plumb {
        said.push("plumb");
    }
    if piece.cut_mm.is_none() {
        said.push("a dimension is missing");
    } else if too_short {
        said.push("TOO SHORT");
    }
    said.join(", ")
}

/// From centre to centre of what stands at the ends of a piece, mm; of one of several, to the middle of the couplings.
fn centres(straight: &Straight, at: usize) -> f64 {
    let last = straight.pieces.len() - 1;
    if last == 0 {
        return straight.centre_mm;
    }
    let end = |of: usize, coupling: Option<usize>| {
        coupling.map_or_else(
            || straight.takeouts[of].mm().unwrap_or(0.0),
            |coupling| straight.coupling_mm[coupling].mm / 2.0,
        )
    };
    let from = end(0, at.checked_sub(1));
    let to = end(1, (at < last).then_some(at));
    straight.pieces[at].cut_mm.unwrap_or(0.0) + from + to
}
