//! Dimensions that somebody should measure: those that pieces wait for, and those that are only estimated.

use wyeline_units::{Len, UnitSystem};

use super::Given;
use crate::list::{Cell, Column, Kind, List, column};
use crate::marks;
use crate::model::Wanted;

const COLUMNS: [Column; 5] = [
    column("dimension", "dimension", Kind::Text),
    column("taken", "taken as", Kind::Length),
    column("error", "may be off by", Kind::Length),
    column("pieces", "for", Kind::Text),
    column("tell", "measure it and type", Kind::Text),
];

/// The list `measure`.
pub fn measure(given: &Given) -> List {
    let mut list = List::new("measure", "To be measured", &COLUMNS);
    let fitted = given.fitted;
    let groups = [
        ("Missing: these pieces wait for it", &fitted.missing),
        ("Estimated: measure where it matters", &fitted.estimated),
    ];
    for (heading, wanted) in groups {
        for one in wanted {
            list.push(heading, row(one, given.network.units));
        }
    }
    list
}

fn row(wanted: &Wanted, units: UnitSystem) -> Vec<Cell> {
    let error = wanted.taken.and_then(|(_, error)| error);
    vec![
        Cell::text(&*wanted.what),
        wanted
            .taken
            .map_or(Cell::Nothing, |(mm, _)| Cell::length(mm, units)),
        error.map_or(Cell::Nothing, |mm| finely(mm, units)),
        Cell::text(marks::several('P', &wanted.pieces)),
        Cell::text(wanted.tell.as_deref().unwrap_or_default()),
    ]
}

/// An error as it is printed, finer than lengths are: to 1/32 in or a millimetre.
fn finely(mm: f64, units: UnitSystem) -> Cell {
    Cell::Length {
        mm,
        shown: Len::from_mm(mm).show(units, 32),
    }
}
