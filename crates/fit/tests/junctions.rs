//! Junctions named one by one: what a plumber would set there, lawful by the code.
//!
//! Sources: IPC 2021 Table 706.3 (as a city code that copies it prints it) and 706.3 on double sanitary tees; UPC 2021
//! 706 and 905.6 (note); the rest is common practice, as the places of fittings are told in the trade.

mod support;

use support::{Fit, fit};

const HEAD: &str = "job Junctions\nunits ft-in\nlevel main floor 0' ceiling 8'\nroof 10'\n";

fn ipc(runs: &str) -> Fit {
    fit("ipc-2021", &format!("{HEAD}{runs}"))
}

fn upc(runs: &str) -> Fit {
    fit("upc-2021", &format!("{HEAD}{runs}"))
}

/// A drain of one size with a turn at X.
fn turned(size: &str, material: &str, first: &str, at: &str, second: &str) -> Fit {
    ipc(&format!(
        "waste d\nstart 0',0' main floor -3'\nsize {size}\nmaterial {material}\n{first}\npoint X\n{at}\n{second}\ncap\n"
    ))
}

#[track_caller]
fn named(job: &Fit, expected: &str) {
    assert_eq!(job.names("X"), expected, "{:#?}", job.fitted.findings);
    assert!(
        job.fitted
            .findings
            .iter()
            .all(|f| f.code != "no-such-fitting")
    );
}

/// The loop vent of an island comes down again to the drain, so that it is told towards it: it goes in by a wye branch
/// (UPC 2021 909.1, from memory), a wye and a 1/8 bend with the vent on top.
#[test]
fn a_loop_vent_that_comes_down_to_its_drain() {
    let job = upc(
        "waste d\nstart 0',0' main floor -2'\nsize 2\"\nmaterial pvc\nwest 4'\npoint X\nwest 1'\npoint Y\nup 3'\npoint T\n\
         vent loop\nstart T\nsize 2\"\nmaterial pvc\nup 2'\neast to abreast X\ndown 2'\njoin X\n",
    );
    named(&job, "2\" wye + 2\" street 1/8 bend");
}

/// Drains, told upstream: `first` is the pipe the water leaves by.
mod turns {
    use super::*;

    /// IPC Table 706.3, horizontal to horizontal: a quarter bend is for fixture drains of 2 in or less.
    #[test]
    fn t01_level_to_level_three_inch() {
        let job = turned("3\"", "pvc", "east 5'", "", "north 5'");
        named(&job, "3\" long sweep 1/4 bend");
    }

    /// The same row, note a: this is such a fixture drain.
    #[test]
    fn t02_level_to_level_fixture_drain_two_inch() {
        let job = ipc(
            "fixture A floor-drain main 9',9' faces south\nwaste d\nstart 0',0' main floor -3'\nsize 2\"\n\
             east 5'\npoint X\nnorth to abreast A.drain\neast to abreast A.drain\nend A\n",
        );
        named(&job, "2\" 1/4 bend");
    }

    /// Vertical to horizontal, 3 in: no quarter bend; plastic has no short sweep of its own.
    #[test]
    fn t03_foot_of_a_stack() {
        let job = turned("3\"", "pvc", "east 5'", "", "up 8'");
        named(&job, "3\" long sweep 1/4 bend");
    }

    /// Note b: a short sweep may stand there from 3 in.
    #[test]
    fn t04_foot_of_a_stack_in_cast_iron() {
        let job = turned("3\"", "cast-iron", "east 5'", "", "up 8'");
        named(&job, "3\" short sweep 1/4 bend");
    }

    /// With a cleanout: wye and eighth bend, the plug in the straight end (common practice).
    #[test]
    fn t05_foot_of_a_stack_with_cleanout() {
        let job = turned("3\"", "pvc", "east 5'", "cleanout CO1", "up 8'");
        named(
            &job,
            "3\" wye + 3\" street 1/8 bend + 3\" cleanout plug with adapter",
        );
    }

    /// Horizontal to vertical: a quarter bend may.
    #[test]
    fn t06_level_to_plumb() {
        let job = turned("3\"", "pvc", "up 5'", "", "east 5'");
        named(&job, "3\" 1/4 bend");
    }

    #[test]
    fn t07_level_forty_five() {
        let job = turned("2\"", "abs", "east 5'", "", "northeast 5'");
        named(&job, "2\" 1/8 bend");
    }

    /// From level to 22-1/2 degrees.
    #[test]
    fn t08_tilted_a_sixteenth() {
        let job = turned("2\"", "pvc", "east 5'", "", "up 2' at 22.5 east");
        named(&job, "2\" 1/16 bend");
    }

    /// From level to 60 degrees.
    #[test]
    fn t09_tilted_a_sixth() {
        let job = turned("2\"", "pvc", "east 5'", "", "up 2' at 60 east");
        named(&job, "2\" 1/6 bend");
    }

    /// A dry vent turns with a short 90 (common practice: vent elbow or quarter bend).
    #[test]
    fn t10_dry_vent() {
        let job = ipc(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\neast 5'\npoint A\neast 5'\ncap\n\
             vent v\nstart A\nsize 2\"\nup 5'\npoint X\neast 5'\ncap\n",
        );
        named(&job, "2\" 1/4 bend");
    }
}

mod branches {
    use super::*;

    /// A 3 in drain with a branch at X.
    fn branch(main: &str, branch: &str) -> Fit {
        ipc(&format!(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\n{main} 5'\npoint X\n{main} 5'\ncap\n\
             waste b\nstart X\n{branch}\ncap\n"
        ))
    }

    /// Two level drains at 45 degrees.
    #[test]
    fn b11_level_at_forty_five() {
        named(&branch("east", "size 3\"\nnortheast 5'"), "3\" wye");
    }

    /// Two level drains drawn square are made with a wye and an eighth bend.
    #[test]
    fn b12_level_square() {
        named(
            &branch("east", "size 3\"\nnorth 5'"),
            "3\" wye + 3\" street 1/8 bend",
        );
    }

    /// Run x run x branch.
    #[test]
    fn b13_level_square_smaller() {
        named(
            &branch("east", "size 2\"\nnorth 5'"),
            "3\" x 3\" x 2\" wye + 2\" street 1/8 bend",
        );
    }

    /// From above into a level drain: a sanitary tee on its back may not (IPC Table 706.3, vertical to horizontal).
    #[test]
    fn b14_from_above_into_level() {
        named(
            &branch("east", "size 3\"\nup 5'"),
            "3\" wye + 3\" street 1/8 bend",
        );
    }

    /// From level into plumb: a sanitary tee may.
    #[test]
    fn b15_into_a_stack() {
        named(
            &branch("up", "size 2\"\neast 5'"),
            "3\" x 3\" x 2\" sanitary tee",
        );
    }

    /// At 45 into a stack.
    #[test]
    fn b16_into_a_stack_at_forty_five() {
        named(&branch("up", "size 3\"\nup 3' at 45 east"), "3\" wye");
    }

    /// The head of the drain is smaller: the wye's run is bushed down for it (common practice).
    #[test]
    fn b17_smaller_head() {
        let job = ipc(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\neast 5'\npoint X\nsize 2\"\neast 5'\ncap\n\
             waste b\nstart X\nsize 2\"\nnorth 5'\ncap\n",
        );
        named(
            &job,
            "3\" x 3\" x 2\" wye + 2\" street 1/8 bend + 3\" x 2\" bushing",
        );
    }

    /// A dry vent off a level drain: a wye rolled up and an eighth bend, never a tee on its back (common practice).
    #[test]
    fn b18_dry_vent_off_a_level_drain() {
        let job = ipc(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\neast 5'\npoint X\neast 5'\ncap\n\
             vent v\nstart X\nsize 2\"\nup 5'\ncap\n",
        );
        named(&job, "3\" x 3\" x 2\" wye + 2\" street 1/8 bend");
    }

    /// Two level branches at 45 degrees, one on each side.
    #[test]
    fn b19_double_wye() {
        let job = ipc(
            "waste d\nstart 0',0' main floor -3'\nsize 4\"\neast 5'\npoint X\neast 5'\ncap\n\
             waste b\nstart X\nsize 3\"\nnortheast 5'\ncap\nwaste c\nstart X\nsize 3\"\nsoutheast 5'\ncap\n",
        );
        named(&job, "4\" x 4\" x 3\" x 3\" double wye");
    }

    /// The same drawn square.
    #[test]
    fn b20_double_wye_with_eighth_bends() {
        let job = ipc(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\neast 5'\npoint X\neast 5'\ncap\n\
             waste b\nstart X\nsize 3\"\nnorth 5'\ncap\nwaste c\nstart X\nsize 3\"\nsouth 5'\ncap\n",
        );
        named(
            &job,
            "3\" double wye + 3\" street 1/8 bend + 3\" street 1/8 bend",
        );
    }

    /// Dry vents only: a sanitary tee, inverted where the run is plumb (common practice).
    #[test]
    fn b21_vents_join() {
        let job = ipc(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\neast 5'\npoint A\neast 5'\npoint B\neast 1'\ncap\n\
             vent v\nstart A\nsize 2\"\nup to main floor +6'\npoint X\nup 3'\ncap\n\
             vent w\nstart B\nsize 2\"\nup to main floor +6'\nwest to abreast A\njoin X\n",
        );
        named(&job, "2\" sanitary tee");
    }
}

mod fixtures {
    use super::*;

    const LAVATORY: &str = "wall main 0',0' 10',0' 10',10' 0',10' 0',0'\n\
        fixture LAV1 lavatory main 5',10' faces south\n\
        waste d\nstart 0',0' main floor -1'\nsize 2\"\neast to abreast LAV1.tee\nnorth to abreast LAV1.tee\nend LAV1\n\
        vent v\nstart LAV1.tee\nsize 2\"\nup through roof\n";

    /// A trap arm into its vent: a sanitary tee and nothing longer (UPC 905.6 note; IPC from memory).
    #[test]
    fn f22_trap_arm() {
        let job = ipc(LAVATORY);
        assert_eq!(job.names("LAV1.tee"), "2\" sanitary tee");
    }

    #[test]
    fn f23_trap() {
        let job = ipc(LAVATORY);
        assert_eq!(job.names("LAV1.trap"), "2\" P-trap");
    }

    #[test]
    fn f24_through_the_roof() {
        let job = ipc(LAVATORY);
        let top = job.network.nodes.iter();
        let top = top
            .filter(|node| node.kind == wyeline_network::model::NodeKind::RoofEnd)
            .map(|node| node.id.clone())
            .next();
        assert_eq!(job.names(&top.unwrap()), "2\" roof flashing");
    }

    /// Tees on one spot in the core of a 6 in wall.
    const TWINS: &str = "wall main 10',0' 10',10' thick 6\"\n\
        fixture A lavatory main 10',5' faces west\nfixture B lavatory main 10'6\",5' faces east\n\
        waste d\nstart 10'3\",3' datum -1'\nsize 2\"\nnorth to abreast A.tee\ncatch A\nend B\n\
        vent v\nstart A.tee\nsize 2\"\nup 3'\ncap\n";

    /// Back to back on one pipe: UPC 905.6 (note) asks for a double fixture fitting; IPC 706.3 forbids the double
    /// sanitary tee to closets and pumped waste only.
    #[test]
    fn f25_back_to_back() {
        let (ipc, upc) = (ipc(TWINS), upc(TWINS));
        assert_eq!(ipc.names("A.tee"), "2\" double sanitary tee");
        assert_eq!(upc.names("A.tee"), "2\" double fixture fitting");
    }

    /// Two closets on one stack: no double sanitary tee (IPC 706.3), so a double wye with eighth bends.
    #[test]
    fn f28_closets_back_to_back() {
        let job = ipc(
            "fixture WA water-closet main -2',1' faces south\nfixture WB water-closet main 2',1' faces south\n\
             waste d\nstart 0',0' main floor -5'\nsize 4\"\nup 4'\npoint X\nup 1'\ncap\n\
             waste a\nstart X\nsize 3\"\nend WA\nwaste b\nstart X\nsize 3\"\nend WB\n",
        );
        named(
            &job,
            "4\" x 4\" x 3\" x 3\" double wye + 3\" street 1/8 bend + 3\" street 1/8 bend",
        );
    }

    const CLOSET: &str = "wall main 0',0' 10',0' 10',10' 0',10' 0',0'\n\
        fixture WC1 water-closet main 5',10' faces south\n\
        waste d\nstart 5',0' main floor -1'\nsize 3\"\nnorth to abreast WC1.drain\nend WC1\n";

    #[test]
    fn f26_closet_flange() {
        let job = ipc(CLOSET);
        assert_eq!(job.names("WC1.drain"), "3\" closet flange");
    }

    /// The turn under a closet's flange.
    #[test]
    fn f27_closet_bend() {
        let job = ipc(CLOSET);
        let under = job.network.pipes.iter();
        let under = under
            .filter(|pipe| pipe.lie == wyeline_network::model::Lie::Vertical)
            .map(|pipe| job.network.node(pipe.to).id.clone())
            .next();
        assert_eq!(job.names(&under.unwrap()), "3\" closet bend");
    }
}

mod water {
    use super::*;

    fn cold(material: &str, rest: &str) -> Fit {
        ipc(&format!(
            "cold c\nstart 0',0' main floor +2'\nsize 3/4\"\nmaterial {material}\neast 5'\npoint X\n{rest}\n"
        ))
    }

    #[test]
    fn w28_elbow() {
        named(&cold("copper", "up 5'\ncap"), "3/4\" 90 degree elbow");
    }

    #[test]
    fn w29_elbow_of_forty_five() {
        named(
            &cold("copper", "northeast 5'\ncap"),
            "3/4\" 45 degree elbow",
        );
    }

    #[test]
    fn w30_tee() {
        let job = cold(
            "copper",
            "east 5'\ncap\ncold b\nstart X\nsize 3/4\"\nup 5'\ncap",
        );
        named(&job, "3/4\" tee");
    }

    /// Run x run x branch.
    #[test]
    fn w31_reducing_tee() {
        let job = cold(
            "copper",
            "size 1/2\"\neast 5'\ncap\ncold b\nstart X\nsize 1/2\"\nup 5'\ncap",
        );
        named(&job, "3/4\" x 1/2\" x 1/2\" tee");
    }

    #[test]
    fn w32_reducer() {
        named(
            &cold("copper", "size 1/2\"\neast 5'\ncap"),
            "3/4\" x 1/2\" reducer",
        );
    }

    #[test]
    fn w33_valve() {
        named(
            &cold("copper", "ball-valve V1\neast 5'\ncap"),
            "3/4\" ball valve",
        );
    }

    /// Gas in steel: threaded.
    #[test]
    fn w34_gas_tee() {
        let job = ipc(
            "gas g\nstart 0',0' main floor +2'\nsize 1\"\neast 5'\npoint X\nsize 3/4\"\neast 5'\ncap\n\
             gas h\nstart X\nsize 1/2\"\nup 5'\ncap\n",
        );
        named(&job, "1\" x 3/4\" x 1/2\" tee");
    }

    /// Copper meets steel.
    #[test]
    fn w35_two_materials() {
        let job = cold("copper", "material galvanized\neast 5'\ncap");
        named(
            &job,
            "3/4\" adapter, copper tube, soldered to steel pipe, threaded",
        );
    }
}

mod none {
    use super::*;

    #[track_caller]
    fn found(job: &Fit, words: &str) {
        let all = &job.fitted.findings;
        let one = all.iter().find(|f| f.code == "no-such-fitting");
        let one = one.unwrap_or_else(|| panic!("nothing is found: {all:#?}"));
        let said = format!("{}; {}", one.message, one.help.as_deref().unwrap_or(""));
        assert!(said.contains(words), "{said}");
    }

    /// Standard bends are 90, 72, 60, 45, 30, 22-1/2, 11-1/4 and 5-5/8: 53 degrees (a slope of 4 in 3) is none of them.
    #[test]
    fn n36_no_bend_of_that_angle() {
        let job = turned("2\"", "pvc", "east 5'", "", "to 8',4'");
        found(&job, "rolled against each other");
    }

    /// One from above and one from the side at the head of a drain: two fittings.
    #[test]
    fn n37_two_at_the_head() {
        let job = ipc(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\neast 5'\npoint X\nup 5'\ncap\n\
             waste b\nstart X\nsize 2\"\nnorth 5'\ncap\n",
        );
        found(&job, "a little downstream");
    }

    /// Two branches into a stack that are not opposite: two fittings.
    #[test]
    fn n38_branches_at_a_corner() {
        let job = ipc(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\nup 5'\npoint X\nup 5'\ncap\n\
             waste b\nstart X\nsize 2\"\nnorth 5'\ncap\nwaste c\nstart X\nsize 2\"\neast 5'\ncap\n",
        );
        found(&job, "two fittings");
    }

    /// A branch against the flow.
    #[test]
    fn n39_against_the_flow() {
        let job = ipc(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\neast 5'\npoint X\neast 5'\ncap\n\
             waste b\nstart X\nsize 2\"\nnorthwest 3'\ncap\n",
        );
        found(&job, "against");
    }

    /// A sanitary tee told where a level drain joins another (IPC Table 706.3: no).
    #[test]
    fn n40_told_but_not_allowed() {
        let job = ipc(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\neast 5'\npoint X\nfitting sanitary-tee\neast 5'\ncap\n\
             waste b\nstart X\nsize 3\"\nnorth 5'\ncap\n",
        );
        let one = job
            .fitted
            .findings
            .iter()
            .find(|f| f.code == "fitting-not-allowed");
        let one = one.unwrap_or_else(|| panic!("{:#?}", job.fitted.findings));
        assert!(one.message.contains("Table 706.3"), "{}", one.message);
        assert_eq!(job.names("X"), "3\" sanitary tee");
    }

    /// Told where none is chosen, or as one that does not make the turn: never passed over in silence.
    #[test]
    fn n41_told_in_vain() {
        let at_the_end = ipc(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\neast 5'\nfitting long-sweep\ncap\n",
        );
        let codes: Vec<_> = at_the_end.fitted.findings.iter().map(|f| f.code).collect();
        assert_eq!(codes, ["fitting-not-used"]);
        let elbow = ipc(
            "cold c\nstart 0',0' main floor +2'\nsize 3/4\"\nmaterial copper\neast 5'\nfitting elbow-45\nup 5'\ncap\n",
        );
        found(&elbow, "90 degree elbow");
    }

    /// A valve told at a turn, of a drain or of water, is counted and told.
    #[test]
    fn n44_device_at_a_turn() {
        let drain = turned("3\"", "pvc", "east 5'", "backwater-valve BV1", "north 5'");
        found(&drain, "a little before or after");
        assert_eq!(
            drain.names("X"),
            "3\" long sweep 1/4 bend + 3\" backwater valve"
        );
        let cold = ipc(
            "cold c\nstart 0',0' main floor +2'\nsize 3/4\"\nmaterial copper\neast 5'\npoint X\nball-valve V1\nup 5'\ncap\n",
        );
        found(&cold, "a little before or after");
        assert_eq!(cold.names("X"), "3/4\" 90 degree elbow + 3/4\" ball valve");
    }

    /// A word that names no fitting is a mistake at its place, with the near one.
    #[test]
    fn n42_no_such_word() {
        let text = format!(
            "{HEAD}waste d\nstart 0',0' main floor -3'\nsize 3\"\neast 5'\nfitting long-swep\nnorth 5'\ncap\n"
        );
        let job = wyeline_job::read(&text).job;
        let network = wyeline_network::build(&job, &text).network;
        let (_, mistakes) = wyeline_fit::fit(&job, &network, None);
        assert_eq!(mistakes.len(), 1, "{mistakes:#?}");
        let span = mistakes[0].span;
        assert_eq!(&text[span.start as usize..span.end as usize], "long-swep");
        assert!(
            mistakes[0]
                .help
                .as_deref()
                .unwrap()
                .contains("`long-sweep`")
        );
    }
}

mod in_line {
    use super::*;

    /// A coupling and a test tee where the job tells them; without a word the pipe goes through uncut.
    #[test]
    fn l43_told_in_a_straight_pipe() {
        for (told, expected) in [
            ("fitting coupling", "3\" coupling"),
            ("fitting test-tee", "3\" test tee"),
            ("", ""),
        ] {
            let job = ipc(&format!(
                "waste d\nstart 0',0' main floor -3'\nsize 3\"\nup 5'\npoint X\n{told}\nup 5'\ncap\n"
            ));
            named(&job, expected);
        }
    }
}
