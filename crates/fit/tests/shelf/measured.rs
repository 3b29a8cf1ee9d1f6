//! What the job says was measured stands in the place of the tables.

use wyeline_fit::model::{Family, Shape, Trust};
use wyeline_fit::shelf::{LegKind, Shelf};

use super::{INCH, close, inches, sizes};

fn job(lines: &str) -> (Shelf, Vec<(&'static str, Option<String>)>) {
    let text = format!("units ft-in\n{lines}");
    let reading = wyeline_job::read(&text);
    assert!(reading.diagnostics.is_empty(), "{:?}", reading.diagnostics);
    let (shelf, mistakes) = Shelf::of(&reading.job);
    let mistakes = mistakes.into_iter().map(|one| (one.code, one.help));
    (shelf, mistakes.collect())
}

/// What the job measured holds instead of the table, for its own size and leg alone, and is no estimate.
#[test]
fn measured_overrides_the_table() {
    let (shelf, mistakes) = job(
        "measured pvc 3\" long-sweep 4-5/8\"\nmeasured pvc 2\" sanitary-tee branch 2-3/8\"\n\
         measured pvc 3\" x 2\" sanitary-tee branch 2-7/8\"\nmeasured pvc 3\" x 1-1/2\" reducer 7/8\"\n\
         measured pvc 1-1/2\" depth 11/16\"\nmeasured copper 3/4\" ball-valve 2-1/2\"\n",
    );
    assert_eq!(mistakes, []);
    let of =
        |family, shape, ends: &[&str], leg| shelf.leg(family, shape, &sizes(ends), leg).unwrap();
    for (family, shape, ends, end, wanted) in [
        (
            Family::PvcDwv,
            Shape::LongSweep,
            &["3\""][..],
            LegKind::Each,
            4.625,
        ),
        (
            Family::PvcDwv,
            Shape::SanitaryTee,
            &["2\""],
            LegKind::Branch,
            2.375,
        ),
        (
            Family::PvcDwv,
            Shape::SanitaryTee,
            &["3\"", "3\"", "2\""],
            LegKind::Branch,
            2.875,
        ),
        (
            Family::PvcDwv,
            Shape::Reducer,
            &["1-1/2\"", "3\""],
            LegKind::Total,
            0.875,
        ),
        (
            Family::Copper,
            Shape::Device(wyeline_job::model::DeviceKind::BallValve),
            &["3/4\""],
            LegKind::Total,
            2.5,
        ),
    ] {
        let held = of(family, shape, ends, end);
        close(inches(&held), wanted, 1e-9);
        assert_eq!(held.trust, Trust::Measured, "{}", held.what);
    }
    assert_eq!(
        of(
            Family::PvcDwv,
            Shape::SanitaryTee,
            &["2\""],
            LegKind::RunOutlet
        )
        .trust,
        Trust::Medium
    );
    assert_eq!(
        of(Family::AbsDwv, Shape::LongSweep, &["3\""], LegKind::Each).trust,
        Trust::Low
    );
    let depth = shelf
        .makeup(Family::PvcDwv, "1-1/2\"".parse().unwrap())
        .unwrap();
    close(depth.mm / INCH, 0.6875, 1e-9);
    assert_eq!(depth.trust, Trust::Measured);
}

/// A measured threaded elbow is the allowance itself; a measured no-hub bend is the casting, and the gasket is added.
/// Parts that were measured make a combination: (4 + 1-1/2) x 0.70711 + 1-1/2 = 5.3891.
#[test]
fn measured_parts_go_into_sums() {
    let (shelf, mistakes) = job(
        "measured galvanized 3/4\" elbow-90 3/4\"\nmeasured cast-iron 3\" quarter-bend 4-15/16\"\n\
         measured pvc 3\" wye branch 4\"\nmeasured pvc 3\" eighth-bend 1-1/2\"\n",
    );
    assert_eq!(mistakes, []);
    let of = |family, shape, end: &str, leg| {
        inches(&shelf.leg(family, shape, &sizes(&[end]), leg).unwrap())
    };
    close(
        of(Family::Steel, Shape::Elbow90, "3/4\"", LegKind::Each),
        0.75,
        1e-9,
    );
    close(
        of(Family::NoHub, Shape::QuarterBend, "3\"", LegKind::Each),
        4.9375 + 0.09,
        1e-9,
    );
    close(
        of(Family::PvcDwv, Shape::Combination, "3\"", LegKind::Branch),
        5.3891,
        0.0001,
    );
}

/// Words that mean nothing are told, with the nearest that does.
#[test]
fn mistakes_in_what_was_measured() {
    let (_, mistakes) = job(
        "measured pvc 3\" long-swep 4-5/8\"\nmeasured hdpe 3\" long-sweep 4-5/8\"\n\
         measured pvc 3\" long-sweep branch 4-5/8\"\nmeasured pvc 3\" coupling each 1/4\"\n",
    );
    let codes: Vec<_> = mistakes.iter().map(|(code, _)| *code).collect();
    assert_eq!(
        codes,
        [
            "unknown-fitting",
            "measured-not-used",
            "measured-leg",
            "measured-leg"
        ]
    );
    assert_eq!(mistakes[0].1.as_deref(), Some("did you mean `long-sweep`?"));
}
