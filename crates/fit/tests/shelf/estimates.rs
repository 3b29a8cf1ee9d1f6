//! Legs that no row has: combinations, reducing and double fittings, against formulas worked by hand.

use wyeline_fit::model::{Family, Shape, Trust};
use wyeline_fit::shelf::LegKind;

use super::{INCH, ask, close, depth, inches, leg};

/// A combination of 3 in plastic is a wye of 4-1/4 (outlet 7/8) with a 1/8 bend of 1-3/4 in its branch. They meet at 45:
/// (4.25 + 1.75) x 0.70711 = 4.2426 along the run and across it. From the node: outlet 4.2426 + 0.875 = 5.1176, inlet
/// 4.25 - 4.2426 = 0.0074, branch 4.2426 + 1.75 = 5.9926. The wye may be off by 1/2 (outlet 3/8), the bend by 1/8.
#[test]
fn combination_of_three_inch_plastic() {
    let of = |end| leg(Family::PvcDwv, Shape::Combination, &["3\""], end);
    let slanted_error = 0.625 * std::f64::consts::FRAC_1_SQRT_2;
    for (end, wanted, error) in [
        (LegKind::RunOutlet, 5.1176, slanted_error + 0.375),
        (LegKind::RunInlet, 0.0074, slanted_error + 0.5),
        (LegKind::Branch, 5.9926, slanted_error + 0.125),
    ] {
        let held = of(end);
        close(inches(&held), wanted, 0.0001);
        assert_eq!(held.trust, Trust::Low);
        close(held.error_mm.unwrap() / INCH, error, 1e-6);
    }
    assert_eq!(
        of(LegKind::RunOutlet).what,
        "3\" wye with 1/8 bend, centre to stop at the run's outlet: \
         taken as a wye and a 1/8 bend, (4 1/4\" + 1 3/4\") cos 45 + 7/8\""
    );
}

/// The same in 4 in no-hub: the gasket's stop parts wye (7-1/16, outlet 2-7/16) and bend (3-1/8), and is at each end as
/// well: (7.0625 + 0.09 + 3.125) x 0.70711 = 7.2673.
#[test]
fn combination_of_no_hub_holds_its_inner_joint() {
    let of = |end| inches(&leg(Family::NoHub, Shape::Combination, &["4\""], end));
    close(of(LegKind::RunOutlet), 7.2673 + 2.4375 + 0.09, 0.0001);
    close(of(LegKind::RunInlet), 7.0625 - 7.2673 + 0.09, 0.0001);
    close(of(LegKind::Branch), 7.2673 + 3.125 + 0.09, 0.0001);
}

/// Another way round the same triangle: from the node down to the wye's centre, up its branch at 45 and out along the
/// branch leads to where the branch's leg says that its pipe begins. All sizes, plastic.
#[test]
fn combination_closes_on_itself() {
    for size in ["1-1/2\"", "2\"", "3\"", "4\""] {
        let of = |shape, end| inches(&leg(Family::AbsDwv, shape, &[size], end));
        let (slant, bend) = (
            of(Shape::Wye, LegKind::Branch) + of(Shape::EighthBend, LegKind::Each),
            of(Shape::EighthBend, LegKind::Each),
        );
        let centre =
            of(Shape::Combination, LegKind::RunOutlet) - of(Shape::Wye, LegKind::RunOutlet);
        let corner = (of(Shape::Combination, LegKind::Branch) - bend, centre);
        close(corner.0.hypot(corner.1), slant, 1e-9);
        close(corner.0, corner.1, 1e-9);
        let run =
            of(Shape::Combination, LegKind::RunInlet) + of(Shape::Combination, LegKind::RunOutlet);
        close(
            run,
            of(Shape::Wye, LegKind::RunInlet) + of(Shape::Wye, LegKind::RunOutlet),
            1e-9,
        );
    }
}

/// 3 x 3 x 2 sanitary tee: the equal 3 in tee, 3-1/16 to its branch's stop, with a flush bushing. An equal 2 in tee has
/// 2-5/16: off by 3/4 at most, and by the 1/8 that the 3 in figure itself may be off.
#[test]
fn reducing_tee_is_an_equal_one_with_a_bushing() {
    let tee = leg(
        Family::PvcDwv,
        Shape::SanitaryTee,
        &["3\"", "3\"", "2\""],
        LegKind::Branch,
    );
    close(inches(&tee), 3.0625, 0.0);
    assert_eq!(tee.trust, Trust::Low);
    close(tee.error_mm.unwrap() / INCH, 0.75 + 0.125, 1e-9);
    assert_eq!(
        tee.what,
        "3\" x 3\" x 2\" sanitary tee, centre to stop in the branch: taken as the 3\" one with a flush bushing"
    );
    let equal = leg(
        Family::PvcDwv,
        Shape::SanitaryTee,
        &["3\"", "3\"", "3\""],
        LegKind::Branch,
    );
    assert_eq!(equal.trust, Trust::Medium);
}

/// A steel tee of 3/4 x 3/4 x 1/2: 1.31 to the face of the equal 3/4 tee, less the 7/16 of thread of 1/2 in pipe; the
/// 1/2 in tee has 1.12, 0.19 less, and 1/16 is the scatter of threads.
#[test]
fn reducing_steel_tee_takes_the_thread_of_its_end() {
    let tee = leg(
        Family::Steel,
        Shape::Tee,
        &["3/4\"", "3/4\"", "1/2\""],
        LegKind::Branch,
    );
    close(inches(&tee), 1.31 - 0.4375, 1e-9);
    close(tee.error_mm.unwrap() / INCH, 0.19 + 0.0625, 1e-9);
    assert_eq!(tee.trust, Trust::Low);
}

/// 3 x 3 x 2 combination: the 3 in wye (4-1/4) with its branch bushed to a 2 in bend (1-1/2):
/// (4.25 + 1.5) x 0.70711 + 1.5 = 5.5659.
#[test]
fn reducing_combination_has_the_bend_of_its_branch() {
    let ends = ["3\"", "3\"", "2\""];
    let branch = leg(Family::PvcDwv, Shape::Combination, &ends, LegKind::Branch);
    close(inches(&branch), 5.5659, 0.0001);
}

/// Double fittings have the legs of the single ones.
#[test]
fn double_fittings_are_like_single_ones() {
    for (double, single) in [
        (Shape::DoubleSanitaryTee, Shape::SanitaryTee),
        (Shape::DoubleWye, Shape::Wye),
        (Shape::DoubleCombination, Shape::Combination),
    ] {
        for end in [LegKind::RunInlet, LegKind::RunOutlet, LegKind::Branch] {
            let two = leg(Family::PvcDwv, double, &["2\""], end);
            let one = leg(Family::PvcDwv, single, &["2\""], end);
            assert_eq!(two.mm, one.mm);
            assert!(two.trust >= one.trust);
        }
    }
}

/// A 4 x 3 closet bend: 3-7/8 on its 4 in end, 3-1/16 on its 3 in end, as quarter bends have them.
#[test]
fn closet_bend_has_a_leg_for_each_end() {
    let of = |end| leg(Family::PvcDwv, Shape::ClosetBend, &["4\"", "3\""], end);
    close(inches(&of(LegKind::RunInlet)), 3.875, 0.0);
    close(inches(&of(LegKind::RunOutlet)), 3.0625, 0.0);
    assert_eq!(of(LegKind::RunInlet).trust, Trust::Low);
    assert!(
        ask(
            Family::PvcDwv,
            Shape::ClosetBend,
            &["4\"", "3\""],
            LegKind::Each
        )
        .is_err()
    );
}

/// No standard sets a laying length for PEX: nothing, off by up to 3/4, said to be weak. The fitting goes into the tube.
#[test]
fn pex_is_an_estimate() {
    let elbow = leg(Family::Pex, Shape::Elbow90, &["1/2\""], LegKind::Each);
    close(elbow.mm, 0.0, 0.0);
    assert_eq!(elbow.trust, Trust::Low);
    close(elbow.error_mm.unwrap(), 0.75 * INCH, 0.0);
    assert!(elbow.source.contains("no standard sets a laying length"));
    close(depth(Family::Pex, "1/2\""), 0.0, 0.0);
}
