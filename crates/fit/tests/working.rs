//! The sum of a piece, line by line: what is taken off between centre to centre and cut.
//!
//! Source: the threaded example of a trade page on galvanized pipe; the rest is the sum itself.

mod support;

use support::fit;
use wyeline_fit::model::{Allowance, Family, Missing, Piece, Straight, Stuff, Takeout, Trust};
use wyeline_fit::working::working;
use wyeline_job::model::System;
use wyeline_network::model::{NodeIx, PipeIx};

const INCH: f64 = 25.4;

#[track_caller]
fn near(got: f64, expected: f64, within: f64) {
    assert!((got - expected).abs() <= within, "{got} is not {expected}");
}

fn taken(what: &str, inches: f64) -> Allowance {
    Allowance {
        what: what.to_owned(),
        mm: inches * INCH,
        trust: Trust::Measured,
        error_mm: None,
        source: "given".to_owned(),
        tell: None,
    }
}

/// A straight so long between centres (in), with these taken off at its ends, cut into such pieces (in).
fn straight(centre: f64, takeouts: [Takeout; 2], cuts: &[Option<f64>]) -> Straight {
    let piece = |(at, inches): (usize, &Option<f64>)| Piece {
        id: String::new(),
        mark: at as u32 + 7,
        stuff: Stuff {
            family: Family::Steel,
            material: "galvanized".to_owned(),
            size: None,
            by_rule: false,
        },
        system: System::Cold,
        pipe: PipeIx(0),
        cut_mm: inches.map(|inches| inches * INCH),
        estimated: false,
        plumb: false,
        existing: false,
    };
    Straight {
        pipes: vec![PipeIx(0)],
        ends: [NodeIx(0), NodeIx(1)],
        centre_mm: centre * INCH,
        takeouts,
        makeups: [None, None],
        couplings: Vec::new(),
        coupling_mm: Vec::new(),
        pieces: cuts.iter().enumerate().map(piece).collect(),
    }
}

#[track_caller]
fn reads(straight: &Straight, expected: &[(&str, f64)]) {
    let lines = working(straight);
    let words: Vec<&str> = lines.iter().map(|(what, _)| what.as_str()).collect();
    let wanted: Vec<&str> = expected.iter().map(|(what, _)| *what).collect();
    assert_eq!(words, wanted);
    for ((_, got), (_, inches)) in lines.iter().zip(expected) {
        near(*got, inches * INCH, 1e-9);
    }
}

/// The threaded example of the trade's galvanized pipe page: 60 between centres, two 3/4 ells of 3/4 each: 58-1/2.
#[test]
fn threaded() {
    let ell = || Takeout::Known(vec![taken("3/4\" elbow", 0.75)]);
    reads(
        &straight(60.0, [ell(), ell()], &[Some(58.5)]),
        &[
            ("centre to centre", 60.0),
            ("3/4\" elbow", -0.75),
            ("3/4\" elbow", -0.75),
            ("cut", 58.5),
        ],
    );
}

/// Two pieces with a coupling that keeps them 1/4 apart: 246 - 1 - 1/4 = 244-3/4 in all, 120 and 124-3/4 by piece.
#[test]
fn two_pieces() {
    let known = |parts| Takeout::Known(parts);
    let mut long = straight(
        246.0,
        [known(vec![taken("tee", 1.0)]), known(Vec::new())],
        &[Some(120.0), Some(124.75)],
    );
    long.coupling_mm.push(taken("coupling", 0.25));
    reads(
        &long,
        &[
            ("centre to centre", 246.0),
            ("tee", -1.0),
            ("coupling", -0.25),
            ("cut in all", 244.75),
            ("piece 7", 120.0),
            ("piece 8", 124.75),
        ],
    );
}

/// Without a dimension there is no cut to show.
#[test]
fn missing() {
    let takeouts = [
        Takeout::Known(vec![taken("tee", 1.0)]),
        Takeout::Missing(Missing {
            what: "how long the valve is".to_owned(),
            tell: "after the device: … length LENGTH".to_owned(),
        }),
    ];
    reads(
        &straight(30.0, takeouts, &[None]),
        &[("centre to centre", 30.0), ("tee", -1.0)],
    );
}

/// In every straight of a job that can be cut, the lines before the cut add up to it.
#[test]
fn lines_add_up() {
    let moves = "east 30'\noffset up 8\" north 12\" at 45 going east\neast 5'\nnorth 3'";
    let job = fit(
        "ipc-2021",
        &format!(
            "job Sums\nunits ft-in\nlevel main floor 0' ceiling 8'\nroof 10'\n\
             cold c\nstart 0',0' main floor +1'\nsize 3/4\"\nmaterial copper\n{moves}\ncap\n"
        ),
    );
    let mut cut = 0;
    for straight in &job.fitted.straights {
        let lines = working(straight);
        let is_cut = |(what, _): &(String, f64)| what == "cut" || what == "cut in all";
        let Some(at) = lines.iter().position(is_cut) else {
            continue;
        };
        let sum: f64 = lines[..at].iter().map(|(_, mm)| mm).sum();
        near(lines[at].1, sum, 1e-6);
        cut += 1;
    }
    assert_eq!(cut, 4);
}
