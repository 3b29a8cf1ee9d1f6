//! Groups: what mirroring, turning, moving and raising do to what a group holds.

use wyeline_job::Job;
use wyeline_job::model::{
    Compass, Coord, Direction, Hand, Reach, Rise, Start, StepKind, Surface, WallSide,
};
use wyeline_job::read;
use wyeline_units::Len;

/// A group's body placed once, on the middle one of three levels.
fn placed(body: &str, placement: &str) -> Job {
    let text = format!(
        "level low floor 0\nlevel mid floor 10\nlevel high floor 20\n\
         group g\n{body}\nend-group\nplace g as A at 100,200 on mid {placement}"
    );
    let reading = read(&text);
    assert_eq!(reading.diagnostics, [], "{text}");
    reading.job
}

const SINK: &str = "fixture S sink here 3,1 faces east";

fn sink(placement: &str) -> (i64, i64, Compass) {
    let job = placed(SINK, placement);
    let fixture = &job.fixtures[0];
    let feet = |coord| match coord {
        Coord::At(length) => length.units() / Len::feet(1).units(),
        Coord::Wall(_) => panic!("a wall"),
    };
    (feet(fixture.at.0), feet(fixture.at.1), fixture.faces)
}

#[test]
fn moving_adds_the_place() {
    assert_eq!(sink(""), (103, 201, Compass::East));
}

#[test]
fn turning_is_counter_clockwise() {
    // (3,1) a quarter turn: (-1,3); half: (-3,-1); three quarters: (1,-3).
    assert_eq!(sink("turned 90"), (99, 203, Compass::North));
    assert_eq!(sink("turned 180"), (97, 199, Compass::West));
    assert_eq!(sink("turned 270"), (101, 197, Compass::South));
}

#[test]
fn mirroring_swaps_the_two_ways_named() {
    assert_eq!(sink("mirrored east-west"), (97, 201, Compass::West));
    assert_eq!(sink("mirrored north-south"), (103, 199, Compass::East));
}

#[test]
fn mirroring_comes_before_turning() {
    // (3,1) mirrored east-west is (-3,1), a quarter turn makes it (-1,-3); east is west, then south.
    assert_eq!(
        sink("mirrored east-west turned 90"),
        (99, 197, Compass::South)
    );
    assert_eq!(
        sink("turned 90 mirrored east-west"),
        (99, 197, Compass::South)
    );
}

#[test]
fn tags_get_the_placements_name() {
    let job = placed(SINK, "");
    assert_eq!(job.fixtures[0].tag.text, "A/S");
    assert_eq!(job.fixtures[0].level.text, "mid");
}

#[test]
fn a_mirrored_fixture_swaps_its_hand_but_hot_and_cold_stay() {
    let body =
        "fixture S sink here 0,0 faces south drain left hot left 4\" tee right 2\" cold right";
    let job = placed(body, "mirrored east-west");
    let fixture = &job.fixtures[0];
    assert!(fixture.mirrored);
    assert_eq!(fixture.ports[0].hand, Some(Hand::Right)); // the drain was left
    assert_eq!(fixture.ports[1].right, Some(Len::inches(-4))); // hot is still left
    assert_eq!(fixture.ports[2].right, Some(Len::inches(-2))); // the tee was right
    assert_eq!(fixture.ports[3].hand, Some(Hand::Right)); // cold is still right
}

#[test]
fn turning_swaps_no_hands() {
    let job = placed(
        "fixture S sink here 0,0 faces south drain left",
        "turned 90",
    );
    assert_eq!(job.fixtures[0].ports[0].hand, Some(Hand::Left));
    assert!(!job.fixtures[0].mirrored);
}

#[test]
fn walls_named_by_their_side_turn_with_the_group() {
    let job = placed("fixture S sink here west-wall,1 faces east", "turned 90");
    // West becomes south, and so tells how far north; the 1 ft of north is 1 ft west of the place.
    assert_eq!(
        job.fixtures[0].at,
        (Coord::At(Len::feet(99)), Coord::Wall(Compass::South))
    );
}

#[test]
fn a_mirrored_wall_keeps_its_thickness_on_the_same_side_of_the_room() {
    // Walked east, its thickness is on the right: south, away from a room in the north.
    let job = placed("wall here 0,0 8,0 thick 6\"", "mirrored east-west");
    let wall = &job.walls[0];
    // Still walked east, from 92 to 100 ft, so that right is still south.
    assert_eq!(
        wall.points,
        [
            (Len::feet(92), Len::feet(200)),
            (Len::feet(100), Len::feet(200))
        ]
    );
    assert_eq!(wall.lies, WallSide::Away);
}

#[test]
fn here_counts_levels_in_the_order_told() {
    let job = placed(
        "cold c\nstart 0,0 here floor\nup to here+1 floor -6\"\ndown to here-1 ceiling\ncap",
        "",
    );
    let steps = &job.runs[0].steps;
    let StepKind::Start(Start::At { height, .. }) = &steps[0].kind else {
        panic!("no start")
    };
    assert!(matches!(&height.from, Surface::Floor(level) if level.text == "mid"));
    let to = |step: usize| match &steps[step].kind {
        StepKind::Vertical {
            reach: Rise::To(height),
            ..
        } => &height.from,
        _ => panic!("no height"),
    };
    assert!(matches!(to(1), Surface::Floor(level) if level.text == "high"));
    assert!(matches!(to(2), Surface::Ceiling(level) if level.text == "low"));
}

#[test]
fn raising_lifts_fixtures_and_what_is_told_from_a_floor() {
    let body = "fixture S sink here 0,0 faces south\n\
                cold c\nstart 0,0 here floor -5\"\nup to here ceiling -2\"\ndown to datum\ncap";
    let job = placed(body, "raised 6\"");
    assert_eq!(job.fixtures[0].raised, Len::inches(6));
    let offsets: Vec<Len> = job.runs[0]
        .steps
        .iter()
        .filter_map(|step| match &step.kind {
            StepKind::Start(Start::At { height, .. })
            | StepKind::Vertical {
                reach: Rise::To(height),
                ..
            } => Some(height.offset),
            _ => None,
        })
        .collect();
    // -5 + 6 in from the floor; ceiling and datum are not the group's.
    assert_eq!(offsets, [Len::inches(1), Len::inches(-2), Len::ZERO]);
}

#[test]
fn directions_in_steps_turn_with_the_group() {
    let body = "cold c\nstart 0,0 datum\nnortheast 2\nup 3 at 45 east\n\
                offset up 1 north 2 at 45 going east\nto 1,2\neast to abreast 3,4\ncap";
    let job = placed(body, "turned 90");
    let steps = &job.runs[0].steps;
    assert!(matches!(
        steps[1].kind,
        StepKind::Level {
            way: Compass::Northwest,
            reach: Reach::Travel(_)
        }
    ));
    assert!(matches!(
        steps[2].kind,
        StepKind::Tilt {
            way: Compass::North,
            ..
        }
    ));
    let StepKind::Offset {
        first,
        second,
        going,
        ..
    } = &steps[3].kind
    else {
        panic!("no offset")
    };
    assert_eq!(*first, (Direction::Up, Len::feet(1)));
    assert_eq!(*second, (Direction::Level(Compass::West), Len::feet(2)));
    assert_eq!(*going, Some(Direction::Level(Compass::North)));
    // (1,2) turned is (-2,1); (3,4) turned is (-4,3).
    let at = |east, north| (Coord::At(Len::feet(east)), Coord::At(Len::feet(north)));
    assert!(matches!(&steps[4].kind, StepKind::To { at: to, .. } if *to == at(98, 201)));
    assert!(matches!(&steps[5].kind,
        StepKind::Level { way: Compass::North, reach: Reach::AbreastAt(to) } if *to == at(96, 203)));
}

#[test]
fn names_of_the_group_are_prefixed_and_others_left() {
    let body = "fixture S sink here 0,0 faces south\n\
                waste w\nstart $stack\npoint P\ncatch S\ncatch OUTSIDE\njoin P\n\
                cold c\nstart $tank.cold\ncleanout CO\nend S.cold";
    let job = placed(body, "with stack B/P9 with tank WH1");
    let names: Vec<String> = job
        .runs
        .iter()
        .flat_map(|run| &run.steps)
        .map(|step| match &step.kind {
            StepKind::Start(Start::From(point)) | StepKind::Join(point) => point.name.text.clone(),
            StepKind::Catch { target, .. } | StepKind::End { target, .. } => {
                target.tag.text.clone()
            }
            StepKind::Point(name)
            | StepKind::Device {
                tag: Some(name), ..
            } => name.text.clone(),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(
        names,
        ["B/P9", "A/P", "A/S", "OUTSIDE", "A/P", "WH1", "A/CO", "A/S"]
    );
    assert_eq!(job.runs[1].name.text, "A/c");
}

#[test]
fn a_group_may_be_placed_before_it_is_written() {
    let text =
        "place g as A at 0,0 on main\ngroup g\nroom \"x\" here 1,1\nend-group\nlevel main floor 0";
    let reading = read(text);
    assert_eq!(reading.diagnostics, []);
    assert_eq!(reading.job.rooms.len(), 1);
}

#[test]
fn a_mistake_in_a_group_is_reported_once_however_often_it_is_placed() {
    let text = "level main floor 0\ngroup g\nfixture S sink here 0,0 faces south\n\
                fixture S sink here 9,0 faces south\nend-group\n\
                place g as A at 0,0 on main\nplace g as B at 50,0 on main";
    let codes: Vec<&str> = read(text)
        .diagnostics
        .iter()
        .map(|mistake| mistake.code)
        .collect();
    assert_eq!(codes, ["duplicate-tag"]);
}
