//! What is not held is asked for; whatever is asked, there is an answer.

use wyeline_fit::model::{Family, Shape};
use wyeline_fit::shelf::{LegKind, Shelf};

use super::{ask, leg, sizes};

/// What is not held is asked for: 3 in long sweeps are held and 4, but 6 is not taken from them; 3 x 1-1/2 reducers lie
/// between 3 x 2 and nothing.
#[test]
fn nothing_is_interpolated() {
    let sweep = ask(Family::PvcDwv, Shape::LongSweep, &["6\""], LegKind::Each).unwrap_err();
    assert_eq!(
        sweep.what,
        "6\" long sweep 1/4 bend of PVC DWV, centre to stop"
    );
    assert_eq!(sweep.tell, "measured pvc 6\" long-sweep each LENGTH");
    let ends = ["1-1/2\"", "3\""];
    let reducer = ask(Family::AbsDwv, Shape::Reducer, &ends, LegKind::Total).unwrap_err();
    assert_eq!(
        reducer.what,
        "3\" x 1-1/2\" reducer of ABS DWV, stop to stop"
    );
    assert_eq!(
        reducer.tell,
        "measured abs 3\" x 1-1/2\" reducer total LENGTH"
    );
    let socket = Shelf::plain()
        .makeup(Family::PvcPressure, "1\"".parse().unwrap())
        .unwrap_err();
    assert_eq!(socket.tell, "measured pvc 1\" depth LENGTH");
}

/// Families without dimensions ask for every one; a fitting that is not made says so; a size nobody knows is asked first.
#[test]
fn what_is_missing_is_told_apart() {
    for (family, shape, size) in [
        (Family::CopperDwv, Shape::QuarterBend, "3\""),
        (Family::PvcPressure, Shape::Tee, "1\""),
        (Family::PvcU, Shape::Wye, "DN110"),
        (Family::PvcDwv, Shape::DoubleFixtureFitting, "2\""),
    ] {
        let end = if shape == Shape::QuarterBend {
            LegKind::Each
        } else {
            LegKind::Branch
        };
        let missing = ask(family, shape, &[size], end).unwrap_err();
        assert!(missing.tell.starts_with("measured "), "{}", missing.tell);
    }
    let sweep = ask(Family::PvcDwv, Shape::ShortSweep, &["3\""], LegKind::Each).unwrap_err();
    assert!(
        sweep.tell.contains("is not made of PVC DWV"),
        "{}",
        sweep.tell
    );
    let unsized_tee = ask(Family::PvcDwv, Shape::SanitaryTee, &[], LegKind::Branch).unwrap_err();
    assert_eq!(unsized_tee.tell, "state the size of its pipes");
    assert!(ask(Family::Other, Shape::Elbow90, &["1\""], LegKind::Each).is_err());
}

/// Whatever is asked, the answer is a length or what is missing.
#[test]
fn nothing_asked_panics() {
    let shelf = Shelf::plain();
    let families = [
        Family::PvcDwv,
        Family::AbsDwv,
        Family::PvcU,
        Family::Pp,
        Family::NoHub,
        Family::Copper,
        Family::CopperDwv,
        Family::Cpvc,
        Family::Pex,
        Family::PvcPressure,
        Family::Steel,
        Family::Other,
    ];
    let legs = [
        LegKind::Each,
        LegKind::RunInlet,
        LegKind::RunOutlet,
        LegKind::Branch,
        LegKind::Total,
    ];
    let ends: [&[&str]; 7] = [
        &[],
        &["3\""],
        &["3\"", "2\""],
        &["2\"", "3\"", "2\""],
        &["3\"", "3\"", "2\"", "1-1/2\""],
        &["DN110"],
        &["DN75", "3\""],
    ];
    for family in families {
        for word in wyeline_fit::name::words() {
            let shape = wyeline_fit::name::shape_of(word).unwrap();
            for end in ends {
                for leg in legs {
                    match shelf.leg(family, shape, &sizes(end), leg) {
                        Ok(held) => assert!(held.mm.is_finite() && !held.source.is_empty()),
                        Err(missing) => {
                            assert!(!missing.what.is_empty() && !missing.tell.is_empty());
                        }
                    }
                }
            }
        }
    }
}

/// Canadian sizes: 75 mm ABS is the pipe of 3.500 in outside, so its fittings are those of 3 in.
#[test]
fn metric_names_of_inch_pipe_have_its_fittings() {
    let metric = leg(Family::AbsDwv, Shape::QuarterBend, &["DN75"], LegKind::Each);
    let inch = leg(Family::AbsDwv, Shape::QuarterBend, &["3\""], LegKind::Each);
    assert_eq!(metric.mm, inch.mm);
    assert!(ask(Family::PvcU, Shape::QuarterBend, &["DN75"], LegKind::Each).is_err());
}
