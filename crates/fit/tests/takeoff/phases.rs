//! When and on which level something is put in.

use super::*;

/// Heron Cottage, counted on its text. Stops: closet cold, lavatory cold and hot; the shower has a valve of its own,
/// the heater ports. Main floor: closet, shower and lavatory drains, three cold, two hot: 8. Cellar floor: the stack.
#[test]
fn heron_cottage() {
    let (_, taken) = take(EXAMPLES[0].1);
    for (what, expected) in [
        (What::Stop, 3.0),
        (What::SupplyTube, 3.0),
        (What::ClosetSet, 1.0),
        (What::CleanoutCover, 1.0),
        (What::Flashing, 1.0),
        (What::Firestop, 8.0),
        (What::Sleeve, 1.0),
    ] {
        assert_eq!(
            sum(&taken, what),
            expected,
            "{what:?}: {:#?}",
            taken.crossings
        );
    }
    let through = |level| {
        let here = |crossing: &&Crossing| crossing.through == Through::Floor(LevelIx(level));
        taken.crossings.iter().filter(here).count()
    };
    assert_eq!((through(0), through(1)), (1, 8));
    let finish = [
        What::Stop,
        What::SupplyTube,
        What::ClosetSet,
        What::CleanoutCover,
    ];
    for what in finish {
        assert!(
            of(&taken, what)
                .iter()
                .all(|line| line.phase == Phase::Finish)
        );
    }
    // The lavatory's trap hangs under it; the shower's is under the floor.
    let mut traps: Vec<_> = of(&taken, What::Fitting(Shape::PTrap))
        .iter()
        .map(|line| line.phase)
        .collect();
    traps.sort();
    assert_eq!(traps, [Phase::Rough, Phase::Finish]);
}

/// A pipe belongs to the level whose floor is the highest below its middle: 2 ft to 12 ft, the middle at 7 ft.
#[test]
fn level_by_the_middle() {
    let (_, taken) =
        house("cold c\nstart 0',0' main floor +2'\nsize 3/4\"\nmaterial copper\nup 10'\ncap\n");
    let pipe = of(&taken, What::Pipe);
    assert_eq!(pipe.len(), 1);
    assert!(pipe[0].plumb);
    assert_eq!(
        (pipe[0].level, pipe[0].system),
        (Some(LevelIx(0)), System::Cold)
    );
}
