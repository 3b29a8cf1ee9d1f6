//! The sum of each piece as a list: its working line by line, with how sure each dimension is and where it stands.

use wyeline_units::{Len, UnitSystem};

use super::{Given, words};
use crate::list::{Cell, Column, Kind, List, column};
use crate::marks;
use crate::model::{Allowance, Straight, Takeout, Trust};
use crate::working::working;

const COLUMNS: [Column; 5] = [
    column("pieces", "piece", Kind::Text),
    column("length", "length", Kind::Length),
    column("what", "what", Kind::Text),
    column("trust", "how sure", Kind::Text),
    column("source", "source", Kind::Text),
];

/// The list `sums`, a heading for each straight; of one piece alone where `piece` names it.
pub fn sums(given: &Given, piece: Option<u32>) -> List {
    let mut list = List::new("sums", "How pieces are worked out", &COLUMNS);
    for straight in &given.fitted.straights {
        let new = straight.pieces.iter().filter(|piece| !piece.existing);
        let numbers: Vec<u32> = new.map(|piece| piece.mark).collect();
        let asked = piece.is_none_or(|piece| numbers.contains(&piece));
        if !numbers.is_empty() && asked {
            rows(given, straight, &numbers, &mut list);
        }
    }
    if !list.is_empty() {
        list.notes.push(
            "Worked out without rounding; each figure is rounded where it is printed.".to_owned(),
        );
    }
    list
}

fn rows(given: &Given, straight: &Straight, numbers: &[u32], list: &mut List) {
    let units = given.network.units;
    let mark = marks::several('P', numbers);
    let heading = format!("{mark}: {}", words::stuff(&straight.pieces[0].stuff, units));
    let known = straight.takeouts.iter().flat_map(|takeout| match takeout {
        Takeout::Known(parts) => parts.as_slice(),
        Takeout::Missing(_) => &[],
    });
    // The first line is the centre line; the parts follow in this order, the rest are the cuts.
    let parts: Vec<&Allowance> = known.chain(&straight.coupling_mm).collect();
    for (at, (what, mm)) in working(straight).into_iter().enumerate() {
        let part = at.checked_sub(1).and_then(|at| parts.get(at));
        list.push(
            &heading,
            vec![
                Cell::text(&*mark),
                Cell::length(mm, units),
                Cell::text(what),
                Cell::text(part.map_or_else(String::new, |part| sure(part, units))),
                Cell::text(part.map_or("", |part| &part.source)),
            ],
        );
    }
    for takeout in &straight.takeouts {
        if let Takeout::Missing(missing) = takeout {
            let mut row = vec![Cell::Nothing; COLUMNS.len()];
            row[0] = Cell::text(&*mark);
            row[1] = Cell::text("?");
            row[2] = Cell::text(&*missing.what);
            list.push(&heading, row);
        }
    }
}

/// How sure a dimension is, with its likely error.
fn sure(part: &Allowance, units: UnitSystem) -> String {
    let words = match part.trust {
        Trust::Measured => "measured",
        Trust::High => "well founded",
        Trust::Medium => "founded",
        Trust::Low => "estimate",
    };
    match part.error_mm.filter(|error| *error > 0.0) {
        Some(error) => format!("{words}, +/- {}", Len::from_mm(error).show(units, 32)),
        None => words.to_owned(),
    }
}
