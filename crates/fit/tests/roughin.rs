//! The rough-in sheet of one small washroom, measured by hand from its plan.
//!
//! Rough-in figures of the fixtures: general summaries (closet 12 in out, supply 8-1/4 up and 6 left; lavatory drain 18 up).
//! Pipe: ASTM D1785 Schedule 40 PVC 3 in is 3.500 outside and 3.068 inside; ASTM B88 copper tube 3/4 is 0.875 outside.
//! Joists: IRC 2021 R502.8.1, a third of the depth and 2 in from the edges.

mod support;

use std::sync::LazyLock;

use support::{Fit, fit};
use wyeline_fit::roughin::{Bore, Face, FromWall, Pass, RoughIn, Stub, StubKind, roughin};
use wyeline_fit::takeoff::{Crossing, Through};
use wyeline_job::model::Compass;
use wyeline_network::model::LevelIx;

const INCH: f64 = 25.4;

/// The walls, in the order told.
const SOUTH: u32 = 0;
const EAST: u32 = 1;
const NORTH: u32 = 2;
const WEST: u32 = 3;
const CELLAR_NORTH: u32 = 6;
const CELLAR_WEST: u32 = 7;

/// A room 10 ft by 8 ft, its walls 6-1/2 in thick outside that, over a cellar as large with walls of 8 in.
fn room(joists: &str, code: &str, runs: &str) -> Fit {
    let text = format!(
        "job Washroom\nunits ft-in\ncode {code}\nlevel cellar floor -8' slab 4\"\nlevel main floor 0' ceiling 8' {joists}\nroof 10'\n\
         wall main 0',0' 10',0' 10',8' 0',8' 0',0' thick 6-1/2\"\n\
         wall cellar 0',0' 10',0' 10',8' 0',8' 0',0' thick 8\"\n\
         fixture WC1 water-closet main 3',8' faces south\n\
         fixture LAV1 lavatory main 8',8' faces south\n\
         fixture FD1 floor-drain main 6',2' faces south\n{runs}"
    );
    fit(code, &text)
}

const JOISTS: &str = "joists 9-1/4\" run east-west at 16\" from 4\"";
const DRAIN: &str = "waste d\nstart -2',7' main floor -2'\nsize 3\"\nmaterial pvc\neast to abreast WC1.drain\ncatch WC1\n\
    size 2\"\neast to abreast FD1.drain\npoint BRANCH\neast to abreast LAV1.tee\nend LAV1\n\
    waste b\nstart BRANCH\nsize 2\"\nmaterial pvc\nsouth to abreast FD1.drain\nend FD1\n";
/// Half-way up the joists.
const COLD: &str = "cold c\nstart 4',1' main floor -4-5/8\"\nsize 3/4\"\nmaterial copper\nnorth to abreast WC1.cold\nend WC1\n";

static WASHROOM: LazyLock<Fit> =
    LazyLock::new(|| room(JOISTS, "ipc-2021", &format!("{DRAIN}{COLD}")));

fn sheet(job: &Fit, crossings: &[Crossing]) -> RoughIn {
    roughin(
        &job.job,
        &job.network,
        &job.fitted,
        crossings,
        Some(job.pack),
    )
}

#[track_caller]
fn near(got: f64, inches: f64) {
    let got = got / INCH;
    assert!((got - inches).abs() < 0.0006, "{got} in is not {inches} in");
}

/// Walls with the side they stand on, the face, and inches.
#[track_caller]
fn measured(walls: &[FromWall], expected: &[(u32, Compass, f64)]) {
    assert_eq!(walls.len(), expected.len(), "{walls:#?}");
    for (got, &(wall, side, inches)) in walls.iter().zip(expected) {
        assert_eq!((got.wall, got.side), (wall, side), "{walls:#?}");
        near(got.mm, inches);
    }
}

mod stubs {
    use super::*;

    #[track_caller]
    fn stub(tag: &str, port: &str) -> Stub {
        let sheet = sheet(&WASHROOM, &[]);
        let fixtures = &WASHROOM.network.fixtures;
        let mut stubs = sheet.stubs.iter();
        let found = stubs
            .find(|one| fixtures[one.fixture.0 as usize].tag == tag && one.port == port)
            .cloned();
        found.unwrap_or_else(|| panic!("{:#?}", sheet.stubs))
    }

    /// The lavatory's drain comes out of the north wall 8 ft from the west wall, so 24 in from the east wall, 18 in up. Its
    /// pipe stands in the middle of a wall of 6-1/2 in: 3-1/4 behind the face.
    #[test]
    fn a_drain_in_the_wall() {
        let tee = stub("LAV1", "tee");
        assert_eq!(tee.kind, StubKind::Drain);
        near(tee.place.above_mm, 18.0);
        measured(
            &tee.place.walls,
            &[(NORTH, Compass::North, -3.25), (EAST, Compass::East, 24.0)],
        );
        assert!(tee.place.walls.iter().all(|wall| wall.face == Face::Room));
    }

    /// The closet's supply is 6 in to the left as seen facing it, northward: 30 in from the west wall, 8-1/4 in up.
    #[test]
    fn a_supply() {
        let cold = stub("WC1", "cold");
        assert_eq!(
            (cold.kind, cold.size),
            (StubKind::Supply, "3/4\"".parse().ok())
        );
        near(cold.place.above_mm, 8.25);
        measured(
            &cold.place.walls,
            &[(NORTH, Compass::North, -3.25), (WEST, Compass::West, 30.0)],
        );
    }

    /// A floor drain: 2 ft from the south wall and 4 ft from the east wall, its strainer 1/8 in below the floor (the rough-in
    /// table, from memory).
    #[test]
    fn an_outlet_in_the_floor() {
        let outlet = stub("FD1", "drain");
        assert_eq!(outlet.kind, StubKind::Outlet);
        near(outlet.place.above_mm, -0.125);
        measured(
            &outlet.place.walls,
            &[(SOUTH, Compass::South, 24.0), (EAST, Compass::East, 48.0)],
        );
    }

    /// What is no stub: the closet's outlet is a flange, the lavatory's hangs above its trap arm, and no run reaches its supplies.
    #[test]
    fn nothing_else() {
        let sheet = sheet(&WASHROOM, &[]);
        let ports: Vec<&str> = sheet.stubs.iter().map(|stub| stub.port.as_str()).collect();
        assert_eq!(ports, ["cold", "tee", "drain"]);
    }
}

/// 12 in from the wall behind, 36 in from the west wall at its side, at the floor.
#[test]
fn a_closet_flange() {
    let sheet = sheet(&WASHROOM, &[]);
    let [flange] = &sheet.flanges[..] else {
        panic!("{:#?}", sheet.flanges);
    };
    measured(flange.behind.as_slice(), &[(NORTH, Compass::North, 12.0)]);
    measured(flange.aside.as_slice(), &[(WEST, Compass::West, 36.0)]);
    near(flange.place.above_mm, 0.0);
}

mod passes {
    use super::*;

    fn crossings(job: &Fit) -> Vec<Crossing> {
        wyeline_fit::takeoff::crossing::crossings(&job.job, &job.network, &job.fitted.stuff)
    }

    /// The building drain through the cellar's west wall: its centre starts 24 in below the main floor 2 ft outside and rises
    /// 1/4 in per ft, 1/2 in on the way: 23-1/2 below, 72-1/2 above the cellar's floor. Half the bore of 3.068 less: invert -25.034.
    #[test]
    fn a_sleeve_with_its_invert() {
        let sheet = sheet(&WASHROOM, &crossings(&WASHROOM));
        let [sleeve] = &sheet.sleeves[..] else {
            panic!("{:#?}", sheet.sleeves);
        };
        assert_eq!(sleeve.crossing.through, Through::Wall(CELLAR_WEST));
        assert_eq!(sleeve.place.level, Some(LevelIx(0)));
        near(sleeve.place.above_mm, 72.5);
        near(sleeve.invert_mm.unwrap(), -25.034);
        measured(
            &sleeve.place.walls,
            &[
                (CELLAR_WEST, Compass::West, 0.0),
                (CELLAR_NORTH, Compass::North, 12.0),
            ],
        );
    }

    /// Four pipes come up through the main floor. At the foot of the closet's riser the drain is 5 ft from its start,
    /// 1-1/4 in higher: -22-3/4 less 1.534.
    #[test]
    fn a_floor_with_the_invert_at_the_foot() {
        let sheet = sheet(&WASHROOM, &crossings(&WASHROOM));
        assert_eq!(sheet.floors.len(), 4, "{:#?}", sheet.floors);
        let closet = |pass: &&Pass| {
            let pipe = WASHROOM.network.pipe(pass.crossing.pipe);
            pipe.id.starts_with("d/WC1")
        };
        let floor = sheet.floors.iter().find(closet).unwrap();
        assert_eq!(floor.crossing.through, Through::Floor(LevelIx(1)));
        assert!(floor.plumb);
        near(floor.place.above_mm, 0.0);
        near(floor.invert_mm.unwrap(), -24.284);
        measured(
            &floor.place.walls,
            &[(NORTH, Compass::North, 12.0), (WEST, Compass::West, 36.0)],
        );
    }

    /// Where there is something to cut there is something to mind.
    #[test]
    fn cautions() {
        let whole = sheet(&WASHROOM, &[]);
        assert!(
            whole
                .cautions
                .iter()
                .any(|caution| caution.text.contains("design professional"))
        );
        let nothing = room("", "ipc-2021", "");
        assert!(sheet(&nothing, &[]).cautions.is_empty());
    }
}

mod bores {
    use super::*;

    fn bores(joists: &str, code: &str, runs: &str) -> Vec<Bore> {
        let job = room(joists, code, runs);
        sheet(&job, &[]).bores
    }

    /// Joists at 4, 20, 36 … in from the south wall's face; the wall's own outside is at -6-1/2, so that the one at 4 in is
    /// the first. The pipe starts at 12 in and goes 99-1/4 in north: it crosses those at 20, 36, 52, 68 and 84 in.
    #[test]
    fn which_joists() {
        let bores = bores(JOISTS, "ipc-2021", COLD);
        let numbers: Vec<u32> = bores.iter().map(|bore| bore.number).collect();
        assert_eq!(numbers, [2, 3, 4, 5, 6]);
        assert!(bores.iter().all(|bore| bore.counted_from == Compass::South));
        for (bore, from_first) in bores.iter().zip([16.0, 32.0, 48.0, 64.0, 80.0]) {
            near(bore.from_first_mm, from_first);
        }
    }

    /// 4-5/8 in below the floor, with no finish over joists of 9-1/4: 4-5/8 above the bottom edge. Tube of 7/8 leaves 4-5/8 - 7/16 =
    /// 4-3/16 both ways. The first bore is 20 in from the south wall and 48 in from the west wall.
    #[test]
    fn where_in_the_joist() {
        let bore = &bores(JOISTS, "ipc-2021", COLD)[0];
        near(bore.up_mm, 4.625);
        near(bore.depth_mm, 9.25);
        near(bore.least_mm.unwrap(), 0.875);
        let [above, below] = bore.left_mm.unwrap();
        near(above, 4.1875);
        near(below, 4.1875);
        near(bore.place.above_mm, -4.625);
        measured(
            &bore.place.walls,
            &[(SOUTH, Compass::South, 20.0), (WEST, Compass::West, 48.0)],
        );
    }

    /// A finish of 3/4 in puts the joists that much lower, and the pipe that much higher in them: 5-3/8.
    #[test]
    fn under_a_finish() {
        let joists = format!("{JOISTS} finish 3/4\"");
        near(bores(&joists, "ipc-2021", COLD)[0].up_mm, 5.375);
    }

    /// A third of 9-1/4 is 3.083; in Canada a quarter, 2.3125, and 50 mm.
    #[test]
    fn limits() {
        let limit = |code| bores(JOISTS, code, COLD)[0].limit.clone().unwrap();
        let (states, canada) = (limit("ipc-2021"), limit("npc-2020"));
        near(states.hole_mm, 3.0833);
        near(states.edge_mm, 2.0);
        assert_eq!(&*states.cite.place, "R502.8.1");
        near(canada.hole_mm, 2.3125);
        near(canada.edge_mm, 50.0 / INCH);
    }

    /// Engineered wood, told or by its depth, has no limit that could be printed: its maker says.
    #[test]
    fn engineered() {
        for joists in [
            "joists 9-1/4\" engineered run east-west at 16\" from 4\"",
            "joists 11-7/8\" run east-west at 16\" from 4\"",
        ] {
            let bore = &bores(joists, "ipc-2021", COLD)[0];
            assert!(bore.engineered && bore.limit.is_none(), "{bore:#?}");
        }
    }

    /// Nothing is bored along the joists, below them, or where pipe is there already; the branch to the floor drain, which lies under
    /// all joists, only goes up between them.
    #[test]
    fn nothing_to_bore() {
        let along = "joists 9-1/4\" run north-south at 16\" from 4\"";
        let level =
            "cold c\nstart 4',1' main floor -4-5/8\"\nsize 3/4\"\nmaterial copper\nnorth 5'\ncap\n";
        assert_eq!(bores(along, "ipc-2021", level), []);
        assert_eq!(
            bores(JOISTS, "ipc-2021", &level.replace("-4-5/8", "-12")),
            []
        );
        assert_eq!(
            bores(
                JOISTS,
                "ipc-2021",
                &level.replace("north", "existing\nnorth")
            ),
            []
        );
        assert_eq!(bores(JOISTS, "ipc-2021", DRAIN), []);
    }

    /// A pipe whose centre is below the joists' edge by less than half its outside breaks out: less than nothing is left.
    #[test]
    fn breaks_out() {
        let low =
            "cold c\nstart 4',1' main floor -9-1/2\"\nsize 3/4\"\nmaterial copper\nnorth 2'\ncap\n";
        let bore = &bores(JOISTS, "ipc-2021", low)[0];
        near(bore.up_mm, -0.25);
        near(bore.left_mm.unwrap()[1], -0.25 - 0.4375);
    }

    /// Where nobody told where the joists lie, the sheet says so rather than nothing.
    #[test]
    fn joists_without_a_place() {
        let job = room("joists 9-1/4\" run east-west", "ipc-2021", COLD);
        let sheet = sheet(&job, &[]);
        assert_eq!(sheet.bores, []);
        assert_eq!(sheet.untold.len(), 1);
        assert_eq!(sheet.untold[0].1, LevelIx(1));
    }
}
