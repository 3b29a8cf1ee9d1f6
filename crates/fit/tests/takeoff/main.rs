//! Take-off of small jobs, each count derived beside it from the job and the rule it is counted by.
//!
//! Rules: spacing of supports IRC 2018 Table P2605.1 and trade arithmetic, plates IPC 305.6, sleeves IPC 305.3; dressed
//! studs ALSC PS 20; outside diameters ASTM D2665 (3 in: 3.500, 2 in: 2.375) and B88 (1/2 in: 0.625, 3/4 in: 0.875).

mod crossings;
mod hangers;
mod joints;
mod phases;
mod plates;
mod spare;
mod sums;
#[path = "../support/mod.rs"]
mod support;

use support::{Fit, fit};
use wyeline_fit::model::{Mark, Phase, Shape};
use wyeline_fit::shelf::Shelf;
use wyeline_fit::takeoff::{
    Amount, By, Crossing, Line, Made, Part, TakeOff, Through, What, grouped, takeoff,
};
use wyeline_job::model::System;
use wyeline_network::model::LevelIx;

const INCH: f64 = 25.4;
const FOOT: f64 = 304.8;

/// Main floor on a slab, an upper floor on joists, walls at will.
fn house(body: &str) -> (Fit, TakeOff) {
    take(&format!(
        "job House\nunits ft-in\nlevel main floor 0' ceiling 8' slab 4\"\n\
         level upper floor 9' ceiling 8' joists 9-1/4\" run east-west at 16\" from 0'\nroof 20'\n{body}"
    ))
}

#[track_caller]
fn take(text: &str) -> (Fit, TakeOff) {
    let fit = fit("ipc-2021", text);
    let (shelf, _) = Shelf::of(&fit.job);
    let taken = takeoff(&fit.job, &fit.network, &fit.fitted, &shelf);
    (fit, taken)
}

fn of(taken: &TakeOff, what: What) -> Vec<&Line> {
    taken
        .lines
        .iter()
        .filter(|line| line.what == what)
        .collect()
}

/// The sum of all lines of a kind, in their own unit.
fn sum(taken: &TakeOff, what: What) -> f64 {
    of(taken, what).iter().map(|line| line.amount.value()).sum()
}

#[track_caller]
fn near(got: f64, expected: f64) {
    assert!(
        (got - expected).abs() < 1e-6,
        "{got} rather than {expected}"
    );
}

/// Examples of the whole way, by name.
const EXAMPLES: [(&str, &str); 5] = [
    (
        "heron-cottage",
        include_str!("../../../../examples/heron-cottage.wye"),
    ),
    (
        "slab-house",
        include_str!("../../../../examples/slab-house.wye"),
    ),
    (
        "bakery-waste",
        include_str!("../../../../examples/bakery-waste.wye"),
    ),
    (
        "family-bath-water",
        include_str!("../../../../examples/family-bath-water.wye"),
    ),
    (
        "half-bath",
        include_str!("../../../../examples/half-bath.wye"),
    ),
];
