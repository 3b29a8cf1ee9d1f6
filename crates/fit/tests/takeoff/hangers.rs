//! What holds the pipe: IRC 2018 Table P2605.1, one support more than the spacings that a run holds.

use super::*;

/// Copper of 3/4 in: 6 ft (Table P2605.1). 20 ft hold three spacings: 4; 12 ft hold two: 3; 5 ft none: 1.
#[test]
fn level_copper() {
    for (long, expected) in [("20'", 4.0), ("12'", 3.0), ("5'", 1.0)] {
        let (_, taken) = house(&format!(
            "cold c\nstart 0',0' main floor +7'\nsize 3/4\"\nmaterial copper\neast {long}\ncap\n"
        ));
        near(sum(&taken, What::Hanger), expected);
        assert!(of(&taken, What::Hanger)[0].source.contains("Table P2605.1"));
    }
}

/// A tee does not end the run: 20 ft with a branch of 3 ft in the middle are 4 and 1.
#[test]
fn a_run_goes_on_past_a_tee() {
    let (_, taken) = house(
        "cold c\nstart 0',0' main floor +7'\nsize 3/4\"\nmaterial copper\neast 10'\npoint T\neast 10'\ncap\n\
         cold d\nstart T\nsize 3/4\"\nmaterial copper\nnorth 3'\ncap\n",
    );
    near(sum(&taken, What::Hanger), 5.0);
}

/// PVC 18 ft plumb from the main floor (storey of 9 ft, spacing 10 ft: 1) through the upper one (9 ft more: 1), and
/// a guide half-way up each (4 ft 6 in; 9 + 8/2 = 13 ft).
#[test]
fn plumb_plastic_has_guides() {
    let (_, taken) = house("vent v\nstart 5',5' main floor\nsize 2\"\nmaterial pvc\nup 18'\ncap\n");
    near(sum(&taken, What::Hanger), 2.0);
    near(sum(&taken, What::Guide), 2.0);
    let levels: Vec<_> = of(&taken, What::Guide)
        .iter()
        .map(|line| line.level)
        .collect();
    assert_eq!(levels, [Some(LevelIx(0)), Some(LevelIx(1))]);
}

/// Cast iron, 12 ft: 5 ft apart, 3; bars of 10 ft leave one joint within the run, 1 more. Couplings: that
/// joint and the cap's, 2.
#[test]
fn no_hub_is_held_at_its_joints() {
    let (_, taken) = take(
        "job J\nunits ft-in\nlevel cellar floor -8'\nlevel main floor 0'\n\
         waste s\nstart 0',0' main floor -1'\nsize 3\"\nmaterial cast-iron\neast 12'\ncap\n",
    );
    near(sum(&taken, What::Hanger), 4.0);
    near(sum(&taken, What::Joint), 2.0);
}

/// What is buried lies on its bed.
#[test]
fn none_under_ground() {
    let (_, taken) =
        house("waste s\nstart 0',0' main floor -2'\nsize 3\"\nmaterial pvc\neast 20'\ncap\n");
    near(sum(&taken, What::Hanger), 0.0);
    assert!(
        of(&taken, What::Pipe)
            .iter()
            .all(|line| line.phase == Phase::Underground)
    );
}
