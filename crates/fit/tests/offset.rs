//! Offsets against published constants and worked examples, then as they are found in a network.
//!
//! Sources: S. E. Dibble, Elements of Plumbing, 1918 (table of bends, Fig. 76); NAVEDTRA and trade pages for 45 degrees;
//! a scanned trade manual for 60 degrees and parallel lines; an apprentices' page of 2011 for the rolling offset.

mod support;

use support::{Fit, fit};
use wyeline_fit::offset::{
    Jump, Offset, Spread, offsets, run, spread, spreads, travel, true_offset,
};
use wyeline_job::model::System;

const INCH: f64 = 25.4;

#[track_caller]
fn near(got: f64, expected: f64, within: f64) {
    assert!((got - expected).abs() <= within, "{got} is not {expected}");
}

mod constants {
    use super::*;

    /// Travel and run for a set of 1, shift for a spacing of 1, as tables print them, to their last figure. The 1918 table
    /// has 10.22, 5.12, 2.61, 2.00 and 1.41 for travel; its 10.22 is a slip (csc 5-5/8 degrees is 10.20).
    #[test]
    #[expect(
        clippy::approx_constant,
        reason = "the figures are those that tables print"
    )]
    fn of_the_bends() {
        for (angle, travels, runs, shifts) in [
            (5.625, 10.2023, 10.1532, 0.04913),
            (11.25, 5.1258, 5.0273, 0.09849),
            (22.5, 2.6131, 2.4142, 0.19891),
            (30.0, 2.0000, 1.7321, 0.26795),
            (45.0, 1.4142, 1.0000, 0.41421),
            (60.0, 1.1547, 0.5774, 0.57735),
            (72.0, 1.0515, 0.3249, 0.72654),
            (90.0, 1.0000, 0.0000, 1.00000),
        ] {
            near(travel(1.0, angle), travels, 0.000_051);
            near(run(1.0, angle), runs, 0.000_051);
            near(spread(1.0, angle), shifts, 0.000_005_1);
        }
    }
}

mod worked_examples {
    use super::*;

    /// Elements of Plumbing, Fig. 76: set 12, eighth bends: 12 x 1.41 = 16.92. The constant has two figures: half of its last
    /// one times 12 is 0.06.
    #[test]
    fn simple_offset() {
        near(travel(12.0, 45.0), 16.92, 0.06);
    }

    /// The page for 60 degrees: set 12, run 12 x 0.5774 = 6.9288, travel 12 x 1.1547 = 13.8564; the next line shifts by
    /// its spacing x 0.5774. Constants of four figures: half of the last one times 12 is 0.0006.
    #[test]
    fn sixty_degrees() {
        near(run(12.0, 60.0), 6.9288, 0.0006);
        near(travel(12.0, 60.0), 13.8564, 0.0006);
        near(spread(12.0, 60.0), 6.9288, 0.0006);
    }

    /// The apprentices' page: heights 47-1/2 and 16-7/8, walls 50 and 32-3/8 away: true offset 35.33; by it 45s travel 49.97
    /// (the page rounds to 35-3/8 first and prints 50.02).
    #[test]
    fn rolling() {
        let (rise, roll) = (47.5 - 16.875, 50.0 - 32.375);
        near(true_offset(rise, roll), 35.33, 0.005);
        near(travel(true_offset(rise, roll), 45.0), 49.97, 0.005);
        near(travel(35.375, 45.0), 50.02, 0.01);
    }

    /// (a) Three lines 8 apart, 45s, set 20: 20 x 1.4142 = 28.28; 8 x 0.41421 = 3.31.
    #[test]
    fn three_lines() {
        near(travel(20.0, 45.0), 28.28, 0.005);
        near(spread(8.0, 45.0), 3.31, 0.005);
    }

    /// (b) Three lines 6 apart, quarter bends: each leg of the next outer line is a spacing longer, 12 in all at a turn.
    #[test]
    fn quarter_bends() {
        near(2.0 * spread(6.0, 90.0), 12.0, 1e-9);
    }

    /// (c) A jumper of four 45s, height 9, flat part 14: slants 9 x 1.4142 = 12.73, run 9 + 14 + 9 = 32, and
    /// 2 x (12.73 - 9) = 7.46 more pipe than straight on.
    #[test]
    fn jumper() {
        near(travel(9.0, 45.0), 12.73, 0.005);
        near(2.0 * run(9.0, 45.0) + 14.0, 32.0, 1e-9);
        near(2.0 * (travel(9.0, 45.0) - run(9.0, 45.0)), 7.46, 0.005);
    }
}

fn job(runs: &str) -> Fit {
    let head = "job Offsets\nunits ft-in\nlevel main floor 0' ceiling 8'\nroof 10'\n";
    fit("ipc-2021", &format!("{head}{runs}"))
}

fn found(job: &Fit) -> Vec<Offset> {
    offsets(&job.network, &job.fitted)
}

#[track_caller]
fn one(job: &Fit) -> Offset {
    let mut found = found(job);
    assert_eq!(found.len(), 1, "{found:#?}");
    found.remove(0)
}

/// A cold pipe that goes on as told after 5 ft east.
fn cold(name: &str, start: &str, moves: &str) -> String {
    format!(
        "cold {name}\nstart {start} main floor +1'\nsize 3/4\"\nmaterial copper\n{moves}\ncap\n"
    )
}

mod in_a_network {
    use super::*;

    /// The same rolling offset as the page's, told to a pipe that goes east; its fittings are rolled up by
    /// atan(30.625 / 17.625) = 60.08 degrees.
    #[test]
    fn a_rolling_offset() {
        let moves = "east 5'\noffset up 30-5/8\" north 17-5/8\" at 45 going east\neast 5'";
        let job = job(&cold("c", "0',0'", moves));
        let offset = one(&job);
        let Jump::Rolling {
            rise_mm,
            roll_mm,
            roll_angle,
        } = offset.jump
        else {
            panic!("{offset:#?}");
        };
        near(rise_mm, 30.625 * INCH, 1e-6);
        near(roll_mm, 17.625 * INCH, 1e-6);
        near(roll_angle, 60.08, 0.005);
        near(offset.angle, 45.0, 1e-6);
        near(offset.set_mm, 35.33 * INCH, 0.005 * INCH);
        near(offset.run_mm, 35.33 * INCH, 0.005 * INCH);
        near(offset.travel_mm, 49.97 * INCH, 0.005 * INCH);
    }

    /// Its piece is the one cut for the slant, and its travel is what that cut starts from.
    #[test]
    fn the_piece_of_the_slant() {
        let moves = "east 5'\nup 1' at 45 east\neast 5'";
        let job = job(&cold("c", "0',0'", moves));
        let offset = one(&job);
        let straights = &job.fitted.straights;
        let straight = straights
            .iter()
            .find(|straight| straight.pipes == offset.pipes)
            .unwrap();
        let marks: Vec<u32> = straight.pieces.iter().map(|piece| piece.mark).collect();
        assert_eq!(offset.marks, marks);
        near(straight.centre_mm, offset.travel_mm, 1e-6);
        assert_eq!(offset.jump, Jump::Plain);
        near(offset.set_mm, 12.0 * INCH, 1e-6);
    }

    /// A drain's offset in plan: legs of 12 in are the set and the run, whatever the pipe falls; the slant is
    /// 12 x 1.4142 = 16.97 in.
    #[test]
    fn a_falling_drain() {
        let job = job(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\nmaterial pvc\neast 5'\nnortheast legs 12\"\neast 5'\ncap\n",
        );
        let offset = one(&job);
        assert_eq!((offset.system, offset.jump), (System::Waste, Jump::Plain));
        near(offset.set_mm, 12.0 * INCH, 1e-6);
        near(offset.run_mm, 12.0 * INCH, 1e-6);
        near(offset.travel_mm, 16.97 * INCH, 0.005 * INCH);
    }

    /// A stack moved 3 in east and 4 in north by eighth bends: the 3-4-5 triangle makes the true offset 5 in.
    #[test]
    fn a_stack_moved_both_ways() {
        let job = job(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\nmaterial pvc\nup 3'\noffset east 3\" north 4\" at 45\nup 3'\ncap\n",
        );
        let offset = one(&job);
        let Jump::Plumb { east_mm, north_mm } = offset.jump else {
            panic!("{offset:#?}");
        };
        // The water goes down, the line is told as it goes up.
        near(east_mm, 3.0 * INCH, 1e-6);
        near(north_mm, 4.0 * INCH, 1e-6);
        near(offset.set_mm, 5.0 * INCH, 1e-6);
        near(offset.run_mm, 5.0 * INCH, 1e-6);
    }

    /// Quarter bends have no slant between them, two 45s that make a corner have no parallel legs, and a pipe that
    /// is there already is laid out.
    #[test]
    fn what_is_no_offset() {
        for moves in [
            "east 5'\nnorth 1'\neast 5'",
            "east 5'\nnortheast 1'\nnorth 5'",
            "existing\neast 5'\nnortheast 1'\neast 5'",
        ] {
            let job = job(&cold("c", "0',0'", moves));
            assert_eq!(found(&job), [], "{moves}");
        }
    }
}

mod side_by_side {
    use super::*;

    fn banks(job: &Fit) -> Vec<Spread> {
        spreads(&job.network, &found(job))
    }

    /// Of each line after the first: spacing, shift and what is told, in inches.
    fn inches(bank: &Spread) -> Vec<(f64, f64, f64)> {
        let next = bank.lines.iter().skip(1);
        next.map(|line| {
            (
                line.spacing_mm / INCH,
                line.shift_mm / INCH,
                line.told_mm / INCH,
            )
        })
        .collect()
    }

    /// Example (a) as a bank: lines 8 in apart that jump 20 in north. The northern one is inside the turn and turns first;
    /// each next one has to turn 3.31 in later, and is told to at 3-5/16 in.
    #[test]
    fn three_lines() {
        let job = job(&[
            cold("a", "0',16\"", "east 5'\nnortheast legs 1'8\"\neast 5'"),
            cold(
                "b",
                "0',8\"",
                "east 5'3-5/16\"\nnortheast legs 1'8\"\neast 5'",
            ),
            cold(
                "c",
                "0',0'",
                "east 5'6-5/8\"\nnortheast legs 1'8\"\neast 5'",
            ),
        ]
        .concat());
        let banks = banks(&job);
        assert_eq!(banks.len(), 1, "{banks:#?}");
        let order: Vec<usize> = banks[0].lines.iter().map(|line| line.offset).collect();
        assert_eq!(order, [0, 1, 2]);
        for (spacing, shift, told) in inches(&banks[0]) {
            near(spacing, 8.0, 1e-6);
            near(shift, 3.31, 0.005);
            near(told, 3.3125, 1e-6);
        }
    }

    /// The flow of a line does not matter: the second is told from its other end. Both bend at the same place, so that the
    /// outer one is 8 x 0.41421 = 3.31 in short of what keeps them apart.
    #[test]
    fn against_the_flow() {
        let job = job(&[
            cold("a", "0',0'", "east 5'\nnortheast legs 1'\neast 5'"),
            cold("b", "11',1'8\"", "west 5'\nsouthwest legs 1'\nwest 5'"),
        ]
        .concat());
        let banks = banks(&job);
        assert_eq!(banks.len(), 1, "{banks:#?}");
        let order: Vec<usize> = banks[0].lines.iter().map(|line| line.offset).collect();
        assert_eq!(order, [1, 0]);
        let (spacing, shift, told) = inches(&banks[0])[0];
        near(spacing, 8.0, 1e-6);
        near(shift, 3.31, 0.005);
        near(told, 0.0, 1e-6);
    }

    /// One above the other, offset in plan: their planes are parallel, and they need no shift.
    #[test]
    fn one_above_the_other() {
        let job = job(&[
            cold("a", "0',0'", "east 5'\nnortheast legs 1'\neast 5'"),
            cold("b", "0',0'", "east 5'\nnortheast legs 1'\neast 5'").replace("+1'", "+1'6\""),
        ]
        .concat());
        let line = &banks(&job)[0].lines[1];
        near(line.spacing_mm, 0.0, 1e-6);
        near(line.plane_mm, 6.0 * INCH, 1e-6);
        near(line.shift_mm, 0.0, 1e-6);
    }

    /// Two offsets one after the other in one line, another set, and another way are no bank. (The 4 in between the first two
    /// are a stretch of the line, no third offset.)
    #[test]
    fn what_is_no_bank() {
        let twice = cold(
            "a",
            "0',0'",
            "east 5'\nnortheast legs 6\"\neast 4\"\nnortheast legs 6\"\neast 5'",
        );
        let other_set = [
            cold("a", "0',8\"", "east 5'\nnortheast legs 1'\neast 5'"),
            cold("b", "0',0'", "east 5'\nnortheast legs 1'1\"\neast 5'"),
        ]
        .concat();
        let other_way = [
            cold("a", "0',8\"", "east 5'\nnortheast legs 1'\neast 5'"),
            cold("b", "0',0'", "east 5'\nsoutheast legs 1'\neast 5'"),
        ]
        .concat();
        for text in [twice, other_set, other_way] {
            let job = job(&text);
            assert_eq!(found(&job).len(), 2, "{text}");
            assert_eq!(banks(&job), [], "{text}");
        }
    }
}
