//! Groups that place groups: how placements go together, and where they have to end.

mod support;

use std::fmt::Write;

use proptest::prelude::*;
use support::{TOWER, meaning};
use wyeline_job::model::{Compass, Coord, Hand, Start, StepKind, WallSide};
use wyeline_job::{Job, read};
use wyeline_units::Len;

const LEVELS: &str = "level low floor 0\nlevel mid floor 10\nlevel high floor 20\n";

fn job(text: &str) -> Job {
    let reading = read(text);
    assert_eq!(reading.diagnostics, [], "{text}");
    reading.job
}

fn codes(text: &str) -> Vec<&'static str> {
    let found = read(text).diagnostics;
    found.iter().map(|mistake| mistake.code).collect()
}

/// A group holding `body`, placed as B in a group that is placed as F on the middle level.
fn nested(body: &str, inner: &str, outer: &str) -> Job {
    job(&format!(
        "{LEVELS}group g\n{body}\nend-group\n\
         group f\nplace g as B at 10,20 on here {inner}\nend-group\n\
         place f as F at 100,200 on mid {outer}"
    ))
}

/// Where a sink at 3,1 that faces east comes to lie, in feet, and where it looks.
fn sink(inner: &str, outer: &str) -> (i64, i64, Compass) {
    let job = nested("fixture S sink here 3,1 faces east", inner, outer);
    let fixture = &job.fixtures[0];
    let feet = |coord| match coord {
        Coord::At(length) => length.units() / Len::feet(1).units(),
        Coord::Wall(_) => panic!("a wall"),
    };
    (feet(fixture.at.0), feet(fixture.at.1), fixture.faces)
}

#[test]
fn moves_add_up() {
    assert_eq!(sink("", ""), (113, 221, Compass::East)); // 3 + 10 + 100, 1 + 20 + 200
}

#[test]
fn the_outer_turn_carries_the_inner_place_along() {
    // In the floor (13,21); a quarter turn (-21,13).
    assert_eq!(sink("", "turned 90"), (79, 213, Compass::North));
    // (3,1) a quarter turn (-1,3), in the floor (9,23); another (-23,9); east, north, west.
    assert_eq!(sink("turned 90", "turned 90"), (77, 209, Compass::West));
}

#[test]
fn a_mirrored_group_in_a_turned_one() {
    // (3,1) mirrored (-3,1), in the floor (7,21); a quarter turn (-21,7). East, west, south.
    assert_eq!(
        sink("mirrored east-west", "turned 90"),
        (79, 207, Compass::South)
    );
}

#[test]
fn a_turned_group_in_a_mirrored_one() {
    // (3,1) a quarter turn (-1,3), in the floor (9,23); mirrored (-9,23). East, north, north.
    assert_eq!(
        sink("turned 90", "mirrored east-west"),
        (91, 223, Compass::North)
    );
    // Mirrored the other way (9,-23); north, south.
    assert_eq!(
        sink("turned 90", "mirrored north-south"),
        (109, 177, Compass::South)
    );
}

#[test]
fn mirrored_and_turned_in_mirrored_and_turned() {
    // (3,1) mirrored (-3,1), a quarter turn (-1,-3), in the floor (9,17). East, west, south.
    // Mirrored (9,-17), half a turn (-9,17). South, north, south.
    assert_eq!(
        sink(
            "mirrored east-west turned 90",
            "mirrored north-south turned 180"
        ),
        (91, 217, Compass::South)
    );
}

#[test]
fn twice_mirrored_is_not_mirrored() {
    let body = "fixture S sink here 0,0 faces south drain left tee right 2\"\n\
                wall here 0,0 8,0 thick 6\"";
    let job = nested(body, "mirrored east-west", "mirrored north-south");
    let fixture = &job.fixtures[0];
    assert!(!fixture.mirrored);
    assert_eq!(fixture.ports[0].hand, Some(Hand::Left));
    assert_eq!(fixture.ports[1].right, Some(Len::inches(2)));
    // (0,0) and (-8,0) in the floor (10,20) and (2,20), mirrored (10,-20) and (2,-20). Its room
    // was on the left, in the north, and is in the south: on the left of the walk to the west.
    assert_eq!(
        job.walls[0].points,
        [
            (Len::feet(110), Len::feet(180)),
            (Len::feet(102), Len::feet(180))
        ]
    );
    assert_eq!(job.walls[0].lies, WallSide::Away);
}

#[test]
fn raises_add_up() {
    let body = "fixture S sink here 0,0 faces south\ncold c\nstart 0,0 here floor -5\"\ncap";
    let job = nested(body, "raised 2\"", "raised 4\"");
    assert_eq!(job.fixtures[0].raised, Len::inches(6));
    let StepKind::Start(Start::At { height, .. }) = &job.runs[0].steps[0].kind else {
        panic!("no start")
    };
    assert_eq!(height.offset, Len::inches(1)); // -5 + 2 + 4
}

#[test]
fn tags_carry_the_outer_name_first() {
    let job = nested(
        "fixture S sink here 0,0 faces south\ncold c\nstart S.cold\ncap",
        "",
        "",
    );
    assert_eq!(job.fixtures[0].tag.text, "F/B/S");
    assert_eq!(job.runs[0].name.text, "F/B/c");
}

#[test]
fn here_is_the_level_of_the_inner_placement() {
    let place = |on: &str, body: &str| {
        job(&format!(
            "{LEVELS}group g\nroom \"r\" {body} 0,0\nend-group\n\
             group f\nplace g as B at 0,0 on {on}\nend-group\nplace f as F at 0,0 on mid"
        ))
        .rooms[0]
            .level
            .text
            .clone()
    };
    assert_eq!(place("here", "here"), "mid");
    assert_eq!(place("here+1", "here"), "high");
    assert_eq!(place("here+1", "here-2"), "low");
    assert_eq!(place("low", "here+1"), "mid");
}

/// Where the runs of a job start: what their references have become.
fn starts(job: &Job) -> Vec<&str> {
    let firsts = job.runs.iter().map(|run| &run.steps[0].kind);
    firsts
        .filter_map(|kind| match kind {
            StepKind::Start(Start::From(point)) => Some(point.name.text.as_str()),
            _ => None,
        })
        .collect()
}

#[test]
fn words_are_passed_on() {
    // B gets the job's word, C a point of the floor, D a fixture of B.
    let text = format!(
        "{LEVELS}group g\nfixture S sink here 0,0 faces south\ncold c\nstart $s\ncap\nend-group\n\
         group f\nplace g as B at 0,0 on here with s $riser\n\
         place g as C at 9,0 on here with s P\nplace g as D at 18,0 on here with s B/S\n\
         cold d\nstart 0,0 datum\npoint P\ncap\nend-group\n\
         place f as F at 0,0 on mid with riser Q"
    );
    assert_eq!(starts(&job(&text)), ["Q", "F/P", "F/B/S"]);
}

#[test]
fn a_name_is_looked_for_from_the_inside_out() {
    // P is in all three, R in the floor and the job, T in the job alone.
    let points = |names: &[&str]| {
        names.iter().fold(String::new(), |mut text, name| {
            writeln!(
                text,
                "cold has-{name}\nstart 0,0 datum\npoint {name}\nup 1\ncap"
            )
            .expect("a string");
            text
        })
    };
    let text = format!(
        "{LEVELS}group g\n{}cold p\nstart P\ncap\ncold r\nstart R\ncap\ncold t\nstart T\ncap\nend-group\n\
         group f\n{}place g as B at 0,0 on here\ncold up\nstart B/P\ncap\nend-group\n\
         {}place f as F at 0,0 on mid",
        points(&["P"]),
        points(&["P", "R"]),
        points(&["P", "R", "T"]),
    );
    let job = job(&text);
    let mut found = starts(&job);
    found.sort_unstable();
    assert_eq!(found, ["F/B/P", "F/B/P", "F/R", "T"]);
}

#[test]
fn a_circle_of_groups_is_one_mistake_and_the_rest_is_placed() {
    let text = format!(
        "{LEVELS}group a\nroom \"a\" here 0,0\nplace b as X at 0,0 on here\nend-group\n\
         group b\nroom \"b\" here 0,0\nplace c as X at 0,0 on here\nend-group\n\
         group c\nroom \"c\" here 0,0\nplace a as X at 0,0 on here\nend-group\n\
         place a as A at 0,0 on mid"
    );
    assert_eq!(codes(&text), ["group-in-itself"]);
    let rooms = read(&text).job.rooms;
    let names: Vec<&str> = rooms.iter().map(|room| room.text.as_str()).collect();
    assert_eq!(names, ["a", "b", "c"]);
}

/// So many groups, each placing the next so many times, the last holding a room; the first is placed.
fn chain(groups: usize, times: usize) -> String {
    let mut text = String::from(LEVELS);
    for n in 0..groups {
        writeln!(text, "group g{n}").unwrap();
        if n + 1 == groups {
            text.push_str("room \"r\" here 0,0\n");
        } else {
            for k in 0..times {
                writeln!(text, "place g{} as P{k} at 1,0 on here", n + 1).unwrap();
            }
        }
        text.push_str("end-group\n");
    }
    text.push_str("place g0 as A at 0,0 on mid\n");
    text
}

#[test]
fn sixteen_groups_may_lie_one_in_the_other() {
    let job = job(&chain(16, 1));
    // 15 placements in groups, each 1 ft east.
    assert_eq!(job.rooms[0].at, (Len::feet(15), Len::ZERO));
    assert_eq!(codes(&chain(17, 1)), ["nested-too-deep"]);
}

#[test]
fn a_chain_of_any_length_is_read_to_its_end() {
    // Every sixteenth link is cut: 20,000 groups are 1,250 chains with 1,249 cuts between.
    let found = codes(&chain(20_000, 1));
    assert_eq!(found.len(), 1_249);
    assert!(found.iter().all(|code| *code == "nested-too-deep"));
}

#[test]
fn nesting_does_not_get_round_the_limit_of_what_is_placed() {
    // 10 placements in each of 8 groups: 100,000,000 rooms from some hundred lines.
    assert_eq!(codes(&chain(9, 10)), ["too-much-placed"]);
}

#[test]
fn the_limit_counts_what_nested_placements_make() {
    // 99 rooms and their placement are 100; 1,000 of these are 100,000; ten times that is the
    // million allowed, and an eleventh is too much.
    let rooms = "room \"r\" here 0,0\n".repeat(99);
    let place = |group: &str, times: usize, on: &str| {
        (0..times).fold(String::new(), |mut text, n| {
            writeln!(text, "place {group} as P{n} at 0,0 on {on}").expect("a string");
            text
        })
    };
    let text = |times| {
        format!(
            "{LEVELS}group g\n{rooms}end-group\ngroup f\n{}end-group\n{}",
            place("g", 1_000, "here"),
            place("f", times, "mid")
        )
    };
    let reading = read(&text(10));
    assert_eq!(reading.diagnostics, []);
    assert_eq!(reading.job.rooms.len(), 990_000);
    assert_eq!(codes(&text(11)), ["too-much-placed"]);
}

#[test]
fn long_names_do_not_get_round_the_limit() {
    // 20,000 tags, each to carry a name of 1,000,000 letters: 20 GB.
    let mut group = String::new();
    for n in 0..20_000 {
        writeln!(group, "fixture F{n} sink here {n}',0' faces south").unwrap();
    }
    let long = "x".repeat(1_000_000);
    let text = format!("{LEVELS}group g\n{group}end-group\nplace g as {long} at 0,0 on mid");
    assert_eq!(codes(&text), ["too-much-placed"]);
}

/// A placement: what it says, as numbers.
#[derive(Clone, Copy, Debug)]
struct Put {
    /// None, east-west, north-south.
    mirror: usize,
    quarters: usize,
    at: (i64, i64),
    raised: i64,
    up: i64,
}

const MIRRORS: [(&str, Matrix); 3] = [
    ("", [[1, 0], [0, 1]]),
    ("mirrored east-west", [[-1, 0], [0, 1]]),
    ("mirrored north-south", [[1, 0], [0, -1]]),
];
const TURNS: [(&str, Matrix); 4] = [
    ("", [[1, 0], [0, 1]]),
    ("turned 90", [[0, -1], [1, 0]]),
    ("turned 180", [[-1, 0], [0, -1]]),
    ("turned 270", [[0, 1], [-1, 0]]),
];

/// What happens to (east, north), row by row.
type Matrix = [[i64; 2]; 2];

fn product(a: Matrix, b: Matrix) -> Matrix {
    let cell = |row: usize, column: usize| a[row][0] * b[0][column] + a[row][1] * b[1][column];
    [[cell(0, 0), cell(0, 1)], [cell(1, 0), cell(1, 1)]]
}

impl Put {
    fn matrix(self) -> Matrix {
        product(TURNS[self.quarters].1, MIRRORS[self.mirror].1)
    }

    fn words(self, level: &str) -> String {
        let (east, north) = self.at;
        let (mirror, turn) = (MIRRORS[self.mirror].0, TURNS[self.quarters].0);
        format!(
            "at {east}',{north}' on {level} {mirror} {turn} raised {}\"",
            self.raised
        )
    }

    /// The one placement that does what this one does in the other.
    fn within(self, outer: Self) -> Self {
        let matrix = outer.matrix();
        let all = (0..3).flat_map(|mirror| (0..4).map(move |quarters| (mirror, quarters)));
        let both = product(matrix, self.matrix());
        let same = all
            .map(|(mirror, quarters)| Self {
                mirror,
                quarters,
                ..self
            })
            .find(|put| put.matrix() == both)
            .expect("mirrors and turns are a group of eight");
        let place = |row: usize| matrix[row][0] * self.at.0 + matrix[row][1] * self.at.1;
        Self {
            at: (outer.at.0 + place(0), outer.at.1 + place(1)),
            raised: outer.raised + self.raised,
            up: outer.up + self.up,
            ..same
        }
    }
}

fn put() -> impl Strategy<Value = Put> {
    let at = (-50..50_i64, -50..50_i64);
    (0..3_usize, 0..4_usize, at, -9..9_i64, 0..2_i64).prop_map(
        |(mirror, quarters, at, raised, up)| Put {
            mirror,
            quarters,
            at,
            raised,
            up,
        },
    )
}

/// The bath of the tower, as a group.
fn bath() -> &'static str {
    let begin = TOWER.find("group bath").expect("a bath");
    let end = TOWER.find("end-group").expect("its end");
    &TOWER[begin..end + "end-group".len()]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// However deep a group lies, it comes out as if it had been placed once, by hand.
    #[test]
    fn nested_placements_equal_one_placement_by_hand(puts in prop::collection::vec(put(), 1..6)) {
        let mut text = String::new();
        for level in 0..8 {
            writeln!(text, "level L{level} floor {level}0'").unwrap();
        }
        writeln!(text, "{}", bath()).unwrap();
        // The innermost placement comes first; each further one is of the group that holds it.
        let (outermost, inner) = puts.split_last().expect("at least one");
        let words = "with stack $stack with main-vent $main-vent";
        let mut deep = text.clone();
        let mut group = String::from("bath");
        for (n, put) in inner.iter().enumerate() {
            let place = put.words(&format!("here+{}", put.up));
            writeln!(deep, "group g{n}\nplace {group} as P {place} {words}\nend-group").unwrap();
            group = format!("g{n}");
        }
        let level = format!("L{}", outermost.up);
        let given = "with stack S1 with main-vent V1";
        writeln!(deep, "place {group} as P {} {given}", outermost.words(&level)).unwrap();

        let once = puts.iter().copied().reduce(Put::within).expect("at least one");
        let level = format!("L{}", once.up);
        writeln!(text, "place bath as P {} {given}", once.words(&level)).unwrap();

        let ((deep, deep_found), (once, once_found)) = (meaning(&deep), meaning(&text));
        prop_assert!(deep_found.is_empty() && once_found.is_empty());
        prop_assert_eq!(deep.replace(&"P/".repeat(puts.len()), "P/"), once);
    }
}
