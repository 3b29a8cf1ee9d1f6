//! The cut plan: each bar, coil or offcut with its pieces in cutting order, what cuts take and what is left.

use wyeline_units::{Len, UnitSystem};

use super::{Given, words};
use crate::bars::{Bound, Laid, Origin};
use crate::cutting::{Cutting, cuttings};
use crate::list::{Cell, Column, Kind, List, column};
use crate::marks;

const COLUMNS: [Column; 7] = [
    column("bar", "bar", Kind::Text),
    column("stock", "length", Kind::Length),
    column("origin", "", Kind::Text),
    column("pieces", "cut in this order", Kind::Text),
    column("kerf", "saw", Kind::Length),
    column("trim", "trim", Kind::Length),
    column("left", "left", Kind::Length),
];

/// The list `bars`.
pub fn bars(given: &Given) -> List {
    let mut list = List::new("bars", "Cut plan", &COLUMNS);
    let units = given.network.units;
    let mut number = 0;
    // What is cut alike is told once.
    let mut saws: Vec<(String, Vec<String>)> = Vec::new();
    for cutting in cuttings(given.job, given.fitted) {
        let heading = words::stuff(&cutting.stuff, units);
        for bar in &cutting.plan.bars {
            number += 1;
            list.push(&heading, row(number, bar, units));
        }
        if !cutting.plan.bars.is_empty() {
            list.total(&heading, total(&cutting, units));
            let said = cut_with(&cutting, units);
            match saws.iter_mut().find(|(known, _)| *known == said) {
                Some((_, of)) => of.push(heading.clone()),
                None => saws.push((said, vec![heading.clone()])),
            }
        }
        left_out(&heading, &cutting, units, &mut list.notes);
    }
    let saws = saws.into_iter();
    let saws = saws.map(|(said, of)| format!("{}: {said}", of.join(", ")));
    list.notes.splice(0..0, saws);
    list
}

fn row(number: u32, bar: &Laid, units: UnitSystem) -> Vec<Cell> {
    let pieces = bar.cuts.iter().map(|cut| {
        let length = cut.length.show(units, 16);
        format!("{} {length}", marks::piece(cut.label))
    });
    vec![
        Cell::text(format!("B{number}")),
        length(bar.length, units),
        Cell::text(match bar.origin {
            Origin::Offcut => "offcut",
            Origin::Bought => "buy",
        }),
        Cell::text(pieces.collect::<Vec<_>>().join(", ")),
        length(bar.kerf, units),
        trim(bar.trim, units),
        length(bar.rest, units),
    ]
}

fn length(len: Len, units: UnitSystem) -> Cell {
    Cell::length(len.mm(), units)
}

/// What is trimmed; most is not, and then nothing is printed.
fn trim(len: Len, units: UnitSystem) -> Cell {
    if len > Len::ZERO {
        length(len, units)
    } else {
        Cell::Length {
            mm: 0.0,
            shown: String::new(),
        }
    }
}

/// What is bought, with whether less would do.
fn total(cutting: &Cutting, units: UnitSystem) -> Vec<Cell> {
    let plan = &cutting.plan;
    let mut lengths: Vec<(Len, usize)> = Vec::new();
    for bar in plan.bars.iter().filter(|bar| bar.origin == Origin::Bought) {
        match lengths.iter_mut().find(|(known, _)| *known == bar.length) {
            Some((_, count)) => *count += 1,
            None => lengths.push((bar.length, 1)),
        }
    }
    let buy: Vec<String> = lengths
        .iter()
        .map(|(length, count)| format!("{count} of {}", length.show(units, 16)))
        .collect();
    let bound = match plan.bound {
        Bound::Proven => "no plan buys less".to_owned(),
        Bound::AtLeast(least) => format!(
            "at least {} has to be bought, whether a plan buys less than this one is not known",
            least.show(units, 16)
        ),
    };
    let said = if buy.is_empty() {
        "nothing to buy: the offcuts do".to_owned()
    } else {
        format!("{}; {bound}", buy.join(" and "))
    };
    let sum = |of: fn(&Laid) -> Len| plan.bars.iter().fold(Len::ZERO, |sum, bar| sum + of(bar));
    vec![
        Cell::text("buy"),
        length(plan.bought, units),
        Cell::Nothing,
        Cell::text(said),
        length(sum(|bar| bar.kerf), units),
        trim(sum(|bar| bar.trim), units),
        length(sum(|bar| bar.rest), units),
    ]
}

fn cut_with(cutting: &Cutting, units: UnitSystem) -> String {
    let order = &cutting.order;
    let trim = if order.trim > Len::ZERO {
        format!(
            ", and {} trimmed off a bar's first end",
            order.trim.show(units, 32)
        )
    } else {
        String::new()
    };
    format!(
        "{} taken by each cut{trim}: {}.",
        order.kerf.show(units, 32),
        cutting.cutter
    )
}

/// Pieces that stand in no bar, and why.
fn left_out(heading: &str, cutting: &Cutting, units: UnitSystem, notes: &mut Vec<String>) {
    if !cutting.waiting.is_empty() {
        notes.push(format!(
            "{heading}: {} not laid: a dimension is missing, or the piece is too short for its fittings.",
            marks::several('P', &cutting.waiting)
        ));
    }
    let too_long = &cutting.plan.too_long;
    if too_long.is_empty() {
        return;
    }
    let numbers: Vec<u32> = too_long.iter().map(|cut| cut.label).collect();
    let all = marks::several('P', &numbers);
    let sum = too_long.iter().fold(Len::ZERO, |sum, cut| sum + cut.length);
    let sold = cutting.order.bars.iter().any(|bar| bar.have.is_none());
    notes.push(if sold {
        format!("{heading}: {all} longer than all that is sold.")
    } else {
        format!(
            "{heading}: {all}, {} in all, not laid: no lengths are known in which it is sold; tell them: `stock {} LENGTH`.",
            sum.show(units, 16),
            cutting.stuff.material
        )
    });
}
