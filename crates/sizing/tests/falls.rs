//! Falls, room and heights missed, with every figure derived beside it.

mod support;

use support::{Sizing, sizing};
use wyeline_sizing::falls::{FitFall, Offer, falls};
use wyeline_units::UnitSystem;

const INCH: f64 = 25.4;

/// A 3 in drain of 20 ft at 1/4 in per ft, that has to arrive somewhere.
fn drain(slope: &str, size: &str, arrives: &str) -> Sizing {
    let text = format!(
        "job f\nunits ft-in\nlevel main floor 0' slab 6\"\nwaste d\n  start 0',0' main floor -3'\n  size {size}\n  slope {slope}\n  \
         east 20'\n  arrives {arrives}\n  continues \"baths\" load 20 dfu\n"
    );
    sizing("ipc-2021", &text)
}

fn fit(sizing: &Sizing) -> FitFall {
    falls(&sizing.network, &sizing.pack, &sizing.sized).fits[0].clone()
}

/// The centre begins 36 in below the floor and rises 5 in over 20 ft: 31 in below. At most 32 in below are asked
/// for: it misses by 1 in. 3 in pipe may lie at 1/8 in per ft (IPC Table 704.1), which rises 2-1/2 in; the steepest that fits rises 4 in.
#[test]
fn a_drain_too_high_may_lie_flatter_as_far_as_the_code_allows() {
    let missed = fit(&drain(
        "1/4 in per ft",
        "3\"",
        "at-or-below main floor -32\"",
    ));
    assert!(missed.too_high);
    assert!(
        (missed.miss_mm - INCH).abs() < 1e-6,
        "{}",
        missed.miss_mm / INCH
    );
    assert!((missed.flattest.expect("a slope") - 1.0 / 96.0).abs() < 1e-9);
    assert!((missed.steepest.expect("a slope") - 4.0 / 240.0).abs() < 1e-9);
    assert!(matches!(missed.offers[0], Offer::Slope { .. }));
    assert_eq!(
        missed.offers[0].words(UnitSystem::FeetInches),
        "lay it between 0.125 in/ft and 0.200 in/ft"
    );
}

/// A 2 in drain has to lie at 1/4 in per ft; 2-1/2 in of rise are asked of 20 ft, half of the 5 in it takes. So 2-1/2 in
/// are short; the run may be 10 ft; 3 in pipe may lie at 1/8 in per ft, which takes just that, and carries 20 units there (36).
#[test]
fn a_drain_that_cannot_lie_flatter_is_offered_what_would_mend_it() {
    let missed = fit(&drain("1/4 in per ft", "2\"", "main floor -33-1/2\""));
    assert!((missed.miss_mm - 2.5 * INCH).abs() < 1e-6);
    assert_eq!((missed.flattest, missed.steepest), (None, None));
    let words: Vec<_> = missed
        .offers
        .iter()
        .map(|offer| offer.words(UnitSystem::FeetInches))
        .collect();
    assert_eq!(
        words,
        [
            "lower the downstream end by 2 1/2\"",
            "raise the upstream end by 2 1/2\"",
            "use 3\" pipe, which may lie at 1/8 in/ft",
            "shorten the level run by 10'-0\"",
        ]
    );
}

/// It rises 2-1/2 in at 1/8 in per ft, and at least 4 in are asked for: 1-1/2 in too low, mended by 4 in over 20 ft or a drop of 1-1/2 in.
#[test]
fn a_drain_too_low_may_lie_steeper_or_drop_at_its_end() {
    let missed = fit(&drain(
        "1/8 in per ft",
        "3\"",
        "at-or-above main floor -32\"",
    ));
    assert!(!missed.too_high);
    assert!((missed.miss_mm - 1.5 * INCH).abs() < 1e-6);
    assert!((missed.flattest.expect("a slope") - 4.0 / 240.0).abs() < 1e-9);
    assert_eq!(missed.steepest, None);
    assert!(missed.offers.iter().any(
        |offer| matches!(offer, Offer::Vertical { by_mm } if (by_mm - 1.5 * INCH).abs() < 1e-6)
    ));
}

#[test]
fn what_fits_is_offered_nothing() {
    let met = fit(&drain("1/4 in per ft", "3\"", "main floor -31\""));
    assert_eq!(met.miss_mm, 0.0);
    assert!(met.offers.is_empty());
}

/// 3 in Schedule 40 is 3-1/2 in outside: the top of the lower end is 36 - 1-3/4 in below the floor. It rises 5 in where
/// 1/8 in per ft would take 2-1/2: 2-1/2 in are left.
#[test]
fn cover_and_what_is_left_are_measured_from_what_is_told() {
    let sizing = drain("1/4 in per ft", "3\"", "main floor -31\"");
    let falls = falls(&sizing.network, &sizing.pack, &sizing.sized);
    let fall = &falls.drains[0];
    let [upper, lower] = fall.cover_mm.map(|cover| cover.expect("a cover") / INCH);
    assert!((lower - 34.25).abs() < 1e-6, "{lower}");
    assert!((upper - 29.25).abs() < 1e-6, "{upper}");
    assert!((fall.left_mm.expect("known") / INCH - 2.5).abs() < 1e-6);
    assert_eq!(fall.under, [None, None]);
}

/// Joists 10 in deep with 1 in of floor on them: their underside is 11 in below the upper floor. A beam below them hangs
/// 14 in below the floor. The pipe's centre is at 20 in below where it begins, rising 2-1/2 in over 10 ft; at 5 ft it is 1-1/4 in higher,
/// and 1-3/4 in are its half: under the beam, which is crossed from 4 ft 6 in to 5 ft 6 in, 14 - (20 - 1.375 - 1.75) leave 2.875 in.
#[test]
fn room_under_joists_and_beams_is_measured_from_the_top_of_the_pipe() {
    let text = "job f\nunits ft-in\nlevel cellar floor -8'\nlevel main floor 0' joists 10\" run east-west finish 1\"\n\
                beam B1 5',-5' to 5',5' wide 12\" top main joists deep 3\"\n\
                waste d\n  start 0',0' main floor -20\"\n  size 3\"\n  slope 1/4 in per ft\n  east 10'\n  continues \"bath\" load 5 dfu\n";
    let sizing = sizing("ipc-2021", text);
    let falls = falls(&sizing.network, &sizing.pack, &sizing.sized);
    let fall = &falls.drains[0];
    let [_, lower] = fall
        .under
        .map(|under| under.expect("joists").clear_mm / INCH);
    assert!((lower - (20.0 - 1.75 - 11.0)).abs() < 1e-6, "{lower}");
    let beam = fall.body.expect("a beam").clear_mm / INCH;
    assert!(
        (beam - (20.0 - 5.5 * 0.25 - 1.75 - 14.0)).abs() < 1e-6,
        "{beam}"
    );
}

/// Of a building drain at 1/4 in per ft 2 in carry 21 units (IPC Table 710.1(1)), so 20 units get 2 in where no size is stated. Its bore of 2.067 in
/// (Schedule 40) puts the invert of the lower end 1.0335 in below its centre, which lies 36 in down.
#[test]
fn a_size_worked_out_gives_inverts_and_cover() {
    let told = drain("1/4 in per ft", "2\"", "main floor -31\"");
    let text = "job f\nunits ft-in\nlevel main floor 0' slab 6\"\nwaste d\n  start 0',0' main floor -3'\n  slope 1/4 in per ft\n  \
                east 20'\n  continues \"baths\" load 20 dfu\n";
    let sizing = sizing("ipc-2021", text);
    let sizes: Vec<_> = sizing.sized.pipes.iter().map(|pipe| pipe.size).collect();
    assert_eq!(sizes[0], "2\"".parse().ok());
    let before = falls(&sizing.network, &sizing.pack, &sizing.sized);
    assert_eq!(before.drains[0].invert_mm, [None, None]);
    let network = wyeline_network::with_sizes(sizing.network.clone(), &sizes);
    let after = falls(&network, &sizing.pack, &sizing.sized);
    let [_, lower] = after.drains[0].invert_mm;
    assert!((lower.expect("an invert") / INCH + 36.0 + 2.067 / 2.0).abs() < 1e-6);
    // As if the size had been told.
    let told = falls(&told.network, &told.pack, &told.sized);
    assert_eq!(after.drains[0].invert_mm, told.drains[0].invert_mm);
    assert_eq!(after.drains[0].cover_mm, told.drains[0].cover_mm);
}

/// Grade lies 8 in below the floor. The sewer of 4 in PVC (4-1/2 in outside) begins 20 ft outside the walls, its centre 3 ft down: 36 - 8 - 2-1/4 = 25-3/4 in of
/// cover. It rises 1/8 in per ft over 10 ft: 24-1/2 in at its other end. Without grade neither is known.
#[test]
fn cover_outside_the_walls_is_measured_from_grade() {
    let job = |grade: &str| {
        let text = format!(
            "job f\nunits ft-in\nlevel main floor 0'\n{grade}wall main -30',0' -20',0' -20',10' -30',10' -30',0'\n\
             waste sewer\n  start 0',5' main floor -3'\n  size 4\"\n  material pvc\n  slope 1/8 in per ft\n  west 10'\n  continues \"baths\" load 20 dfu\n"
        );
        let sizing = sizing("ipc-2021", &text);
        falls(&sizing.network, &sizing.pack, &sizing.sized)
    };
    let told = job("grade main floor -8\"\n");
    let [upper, lower] = told.drains[0]
        .cover_mm
        .map(|cover| cover.expect("a cover") / INCH);
    assert!((lower - 25.75).abs() < 1e-6, "{lower}");
    assert!((upper - 24.5).abs() < 1e-6, "{upper}");
    assert!(!told.no_grade);
    let not_told = job("");
    assert_eq!(not_told.drains[0].cover_mm, [None, None]);
    assert!(not_told.no_grade);
}
