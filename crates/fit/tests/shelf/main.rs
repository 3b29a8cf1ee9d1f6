//! The shelf against figures from outside: printed examples and tables, the geometry of bends, formulas worked by hand.

use wyeline_fit::model::Missing;
use wyeline_fit::model::{Allowance, Family, Shape};
use wyeline_fit::shelf::{LegKind, Shelf};
use wyeline_units::Size;

mod asking;
mod estimates;
mod figures;
mod measured;

const INCH: f64 = 25.4;
const SIXTEENTH: f64 = 1.0 / 16.0;

fn sizes(text: &[&str]) -> Vec<Size> {
    let one = |text: &&str| text.parse().expect("a size");
    text.iter().map(one).collect()
}

fn ask(family: Family, shape: Shape, ends: &[&str], leg: LegKind) -> Result<Allowance, Missing> {
    Shelf::plain().leg(family, shape, &sizes(ends), leg)
}

fn leg(family: Family, shape: Shape, ends: &[&str], leg: LegKind) -> Allowance {
    ask(family, shape, ends, leg).unwrap_or_else(|missing| panic!("{}", missing.what))
}

fn inches(allowance: &Allowance) -> f64 {
    allowance.mm / INCH
}

fn depth(family: Family, size: &str) -> f64 {
    let size = size.parse().expect("a size");
    let found = Shelf::plain().makeup(family, size);
    found
        .unwrap_or_else(|missing| panic!("{}", missing.what))
        .mm
        / INCH
}

#[track_caller]
fn close(got: f64, wanted: f64, within: f64) {
    assert!((got - wanted).abs() <= within + 1e-9, "{got}, not {wanted}");
}
