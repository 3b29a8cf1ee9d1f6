//! Keys of reading questions, worked out a second time from the network's plain JSON and, for crossings, from the drawing itself.

mod support;

use std::collections::BTreeSet;

use kurbo::Point;
use serde_json::Value;
use support::Plain;
use wyeline_draw::iso::{self, IsoOptions};
use wyeline_draw::{Corner, Part, Projection};
use wyeline_lesson::ask::{self, Answer, At, Kind, Question};
use wyeline_lesson::dice::Dice;
use wyeline_lesson::steps::{Edge, View};
use wyeline_sheet::{Datum, Item, Sheet};
use wyeline_units::{Len, Scale};
use wyeline_whole::{Built, examples};

const JOBS: [&str; 8] = [
    "half-bath",
    "attic-bath",
    "beam-offset",
    "family-bath-water",
    "bakery-waste",
    "bakery-water",
    "flat-bath",
    "slab-house",
];

fn built(name: &str) -> Built {
    let (_, text) = examples::ALL
        .iter()
        .find(|(other, _)| *other == name)
        .expect("a shipped example");
    Built::of(text.as_bytes(), |_| {})
}

fn asked(built: &Built, corner: Corner, seed: u32) -> Vec<Question> {
    ask::of_job(built, corner, &[], &mut Dice::new(9, seed, 0, 0), 30)
}

/// Every question of one kind over all jobs, two corners and three seeds, with its job as plain data.
fn all(kind: Kind, check: impl Fn(&Plain, &Question)) {
    let mut count = 0;
    for name in JOBS {
        let built = built(name);
        let plain = Plain::of(&built);
        for corner in [Corner::Sw, Corner::Ne] {
            for seed in 1..4 {
                let questions = asked(&built, corner, seed);
                for question in questions.iter().filter(|one| one.kind == kind) {
                    count += 1;
                    check(&plain, question);
                }
            }
        }
    }
    assert!(count >= 10, "{kind:?} is asked {count} times only");
}

/// The number of the pipe that a letter is set at.
fn pipe(question: &Question, letter: usize) -> usize {
    match question.about[letter].at {
        At::Pipe(pipe) => pipe.0 as usize,
        other => panic!("{other:?} is no pipe: {}", question.words),
    }
}

/// The pipe that an option such as `pipe C` means.
fn meant(question: &Question, option: &str) -> Option<usize> {
    let letter = option.strip_prefix("pipe ")?.chars().next()?;
    let at = question.about.iter().position(|one| one.letter == letter)?;
    Some(pipe(question, at))
}

fn options(question: &Question) -> (&[String], usize) {
    match &question.answer {
        Answer::Choice { options, right } => (options, *right),
        other => panic!("{other:?} is no choice: {}", question.words),
    }
}

/// A sixteenth of an inch, or a millimetre: to what figures are printed.
fn printed(question: &Question) -> f64 {
    if question.units.is_metric() {
        1.0
    } else {
        25.4 / 16.0
    }
}

fn read(question: &Question, text: &str) -> f64 {
    Len::read(text, question.units).expect(text).len.mm()
}

#[test]
fn the_pipe_above_the_ceiling_or_below_the_floor_is_there_and_no_other_is() {
    all(Kind::Place, |plain, question| {
        let (options, right) = options(question);
        let words = question.words.trim_end_matches('?');
        let (above, level) = if let Some((_, rest)) = words.split_once("above the ") {
            (true, rest.trim_end_matches(" ceiling"))
        } else {
            let (_, rest) = words.split_once("below the ").expect("one of the two");
            (false, rest.trim_end_matches(" floor"))
        };
        let of = if above { "ceiling" } else { "floor" };
        let surface = plain.level(level)[of].as_f64().expect("a height");
        for (n, option) in options.iter().enumerate() {
            let ix = meant(question, option).expect("a pipe");
            let heights = plain.ends(ix).map(|node| node["z"].as_f64().expect("z"));
            let there = heights.iter().all(|z| (*z > surface) == above);
            assert_eq!(there, n == right, "{}: {option}", question.words);
        }
    });
}

#[test]
fn a_length_is_the_sum_of_its_parts_or_the_root_of_its_squares() {
    all(Kind::Length, |plain, question| {
        if let Answer::Length { mm, within_mm } = &question.answer {
            let ends: Vec<String> = question
                .about
                .iter()
                .map(|one| match one.at {
                    At::Node(node) => plain.node_id(node.0 as usize),
                    other => panic!("{other:?}"),
                })
                .collect();
            let sum = plain.way(&ends[0], &ends[1]).expect("a way");
            assert!((mm - sum).abs() < 0.001, "{}: {mm}, {sum}", question.words);
            assert!(*within_mm >= printed(question));
            // What the drawing prints, added up, counts.
            assert_eq!(
                question.is_right(&question.key()),
                Ok(true),
                "{}",
                question.words
            );
        } else {
            let (options, right) = options(question);
            let [a, b] = plain.ends(pipe(question, 0));
            let square = |axis: &str| {
                let along =
                    a[axis].as_f64().expect("a number") - b[axis].as_f64().expect("a number");
                along * along
            };
            let long = (square("x") + square("y") + square("z_drawn")).sqrt();
            for (n, option) in options.iter().enumerate() {
                let off = (read(question, option) - long).abs();
                assert_eq!(
                    off <= printed(question),
                    n == right,
                    "{}: {option}",
                    question.words
                );
            }
        }
    });
}

#[test]
fn a_fall_is_the_difference_of_the_heights_of_both_ends() {
    all(Kind::Fall, |plain, question| {
        let Answer::Fall { mm, .. } = question.answer else {
            panic!("{}", question.words);
        };
        let [from, to] = plain.ends(pipe(question, 0));
        let fall = from["z"].as_f64().expect("z") - to["z"].as_f64().expect("z");
        assert!(
            (fall - mm).abs() < 0.001,
            "{}: {fall}, {mm}",
            question.words
        );
    });
}

#[test]
fn a_height_is_that_of_the_node_over_the_floor_named() {
    all(Kind::Height, |plain, question| {
        let [from, to] = plain.ends(pipe(question, 0));
        let z = |node: &Value| node["z"].as_f64().expect("z");
        let floor_of = |words: &str| {
            let (_, rest) = words.rsplit_once(" the ").expect("a level");
            let name = rest.split(" floor").next().expect("a name");
            plain.level(name)["floor"].as_f64().expect("a floor")
        };
        if let Answer::Length { mm, .. } = &question.answer {
            let (_, asked) = question
                .words
                .split_once("How high above the ")
                .expect("asked");
            let name = asked.split(" floor").next().expect("a name");
            let floor = plain.level(name)["floor"].as_f64().expect("a floor");
            assert!((z(&from) - floor - mm).abs() < 0.001, "{}", question.words);
            assert!((z(&from) - z(&to)).abs() < 0.001, "{}", question.words);
        } else {
            let (options, right) = options(question);
            for (n, option) in options.iter().enumerate() {
                let told = if let Some((length, _)) = option.split_once(" above ") {
                    read(question, length)
                } else if let Some((length, _)) = option.split_once(" below ") {
                    -read(question, length)
                } else {
                    0.0
                };
                let off = (told + floor_of(option) - z(&from)).abs();
                assert_eq!(
                    off <= printed(question),
                    n == right,
                    "{}: {option}",
                    question.words
                );
            }
        }
    });
}

/// How many pipes a fitting of that name joins, and at which angle.
fn joins(name: &str) -> Option<(usize, f64)> {
    let says = |word: &str| name.contains(word);
    Some(if says("wye") {
        (3, 45.0)
    } else if says("combination") || says("tee") {
        (3, 90.0)
    } else if says("1/8 bend") || says("45 degree elbow") || says("45 degree bend") {
        (2, 45.0)
    } else if says("bend") || says("elbow") || says("sweep") {
        (2, 90.0)
    } else if says("reducer") || says("coupling") {
        (2, 0.0)
    } else {
        return None;
    })
}

#[test]
fn a_fitting_joins_as_many_pipes_at_such_an_angle_and_no_wrong_one_does() {
    all(Kind::Fitting, |plain, question| {
        let At::Node(node) = question.about[0].at else {
            panic!("{}", question.words);
        };
        let pipes = plain.at(node.0 as usize);
        let ways: Vec<_> = pipes
            .iter()
            .map(|&ix| plain.leaves(ix, node.0 as usize))
            .collect();
        // The sharpest turn any two pipes make there, in degrees off a straight line.
        let mut turn = 0.0_f64;
        for (n, a) in ways.iter().enumerate() {
            for b in &ways[n + 1..] {
                let between = a.dot(*b).clamp(-1.0, 1.0).acos().to_degrees();
                let off = 180.0 - between;
                // A branch at 45 leaves 45 to one side of the run and 135 to the other: the lesser counts.
                turn = turn.max(
                    off.min(180.0 - off)
                        .max(if pipes.len() == 2 { off } else { 0.0 }),
                );
            }
        }
        let (options, right) = options(question);
        for (n, option) in options.iter().enumerate() {
            let Some((many, angle)) = joins(option) else {
                panic!("{option}: which fitting is that?");
            };
            let fits = many == pipes.len() && (turn - angle).abs() < 3.0;
            assert_eq!(
                fits,
                n == right,
                "{}: {option}, {pipes:?}, {turn}",
                question.words
            );
        }
    });
}

#[test]
fn a_vent_ends_where_its_last_node_says() {
    all(Kind::Vent, |plain, question| {
        let ix = pipe(question, 0);
        let [_, to] = plain.ends(ix);
        assert_eq!(plain.pipe(ix)["system"], "vent");
        let expected = match to["kind"].as_str().expect("a kind") {
            "roof-end" => "in the open air above the roof",
            "junction" => "in another vent",
            "cap" => "at a cap",
            other => panic!("{other}"),
        };
        assert_eq!(question.key(), expected, "{}", question.words);
    });
}

#[test]
fn fixtures_are_found_by_following_ids() {
    let tags = |plain: &Plain, question: &Question| plain.fixtures_beyond(pipe(question, 0));
    all(Kind::Serves, |plain, question| {
        let found = tags(plain, question);
        assert_eq!(
            found,
            BTreeSet::from([question.key()]),
            "{}",
            question.words
        );
        assert_eq!(question.is_right(&question.key().to_lowercase()), Ok(true));
    });
    all(Kind::Count, |plain, question| {
        let found = tags(plain, question);
        assert_eq!(
            found.len().to_string(),
            question.key(),
            "{}: {found:?}",
            question.words
        );
    });
}

#[test]
fn the_way_of_flow_is_that_from_node_to_node() {
    all(Kind::Flow, |plain, question| {
        let [from, to] = plain.ends(pipe(question, 0));
        let along = |axis: &str| to[axis].as_f64().expect("n") - from[axis].as_f64().expect("n");
        let (x, y, z) = (along("x"), along("y"), along("z_drawn"));
        let side = |value: f64, more: &'static str, less: &'static str| {
            if value > 1.0 {
                more
            } else if value < -1.0 {
                less
            } else {
                ""
            }
        };
        let level = [side(y, "north", "south"), side(x, "east", "west")];
        let words: Vec<&str> = level.into_iter().filter(|word| !word.is_empty()).collect();
        let expected = if words.is_empty() {
            side(z, "up", "down").to_owned()
        } else {
            words.join("-")
        };
        assert_eq!(question.key(), expected, "{}", question.words);
        let (options, _) = options(question);
        let distinct: BTreeSet<&String> = options.iter().collect();
        assert_eq!(distinct.len(), options.len());
    });
}

/// Whether a line of the drawing covers a point, mm.
fn covers(pieces: &[(Point, Point)], at: Point) -> bool {
    pieces.iter().any(|(a, b)| {
        let (along, to) = (*b - *a, at - *a);
        let t = (to.dot(along) / along.hypot2()).clamp(0.0, 1.0);
        a.lerp(*b, t).distance(at) < 0.3
    })
}

/// The drawing itself, whose crossings are found in another crate: there the line behind is broken and the one in front is not.
#[test]
fn the_pipe_in_front_is_unbroken_on_the_drawing() {
    let mut count = 0;
    for name in JOBS {
        let built = built(name);
        for corner in Corner::ALL {
            let scale = Scale(if built.network.units.is_metric() {
                20
            } else {
                24
            });
            let picture = iso::iso(
                &built.network,
                &IsoOptions {
                    corner,
                    scale,
                    true_fall: false,
                    part: Part::default(),
                    labels_along: false,
                    grid: false,
                },
            );
            let projection = Projection::new(corner, scale);
            let questions = asked(&built, corner, 5);
            for question in questions.iter().filter(|one| one.kind == Kind::Front) {
                let (options, right) = options(question);
                let front = meant(question, &options[right]).expect("a pipe");
                let behind = (0..2).map(|n| pipe(question, n)).find(|ix| *ix != front);
                let behind = behind.expect("two pipes");
                let line = |ix: usize| {
                    let (a, b) = built.network.drawn(&built.network.pipes[ix]);
                    (projection.point(a), projection.point(b))
                };
                let mark = |ix: usize| {
                    let mut marks = picture.pipes.iter();
                    marks
                        .find(|mark| mark.pipe.0 as usize == ix)
                        .expect("drawn")
                };
                // Pulled aside they cross elsewhere: those are left to their own tests.
                if [front, behind]
                    .iter()
                    .any(|ix| mark(*ix).shift.hypot() > 0.0)
                {
                    continue;
                }
                let ((a, b), (c, d)) = (line(front), line(behind));
                let (u, v, w) = (b - a, d - c, c - a);
                let at = a + u * (w.cross(v) / u.cross(v));
                assert!(
                    !covers(&mark(behind).pieces, at),
                    "{name} from {corner:?}: {} {front} {behind} at {at:?} of {:?}, in front {:?}",
                    question.words,
                    mark(behind).pieces,
                    mark(front).pieces
                );
                // Letters, valves and third pipes break lines as well: such a crossing tells nothing of the one in front.
                count += usize::from(covers(&mark(front).pieces, at));
            }
        }
    }
    assert!(count >= 10, "{count}");
}

#[test]
fn options_differ_and_one_of_them_is_right() {
    for name in JOBS {
        let built = built(name);
        for question in asked(&built, Corner::Sw, 2) {
            assert!(question.words.ends_with('?') && !question.why.is_empty());
            if let Answer::Choice { options, right } = &question.answer {
                let distinct: BTreeSet<String> = options.iter().map(|o| o.to_lowercase()).collect();
                assert_eq!(distinct.len(), options.len(), "{options:?}");
                for (n, option) in options.iter().enumerate() {
                    assert_eq!(question.is_right(option), Ok(n == *right));
                }
            }
        }
    }
}

#[test]
fn the_same_dice_ask_the_same() {
    let built = built("attic-bath");
    assert_eq!(asked(&built, Corner::Se, 7), asked(&built, Corner::Se, 7));
    assert_ne!(asked(&built, Corner::Se, 7), asked(&built, Corner::Se, 8));
}

/// Lettering on a sheet.
struct Word {
    text: String,
    /// It is a letter that questions point with.
    pointing: bool,
    from: f64,
    to: f64,
}

/// Colours and lettering of a sheet.
fn ink(items: &[Item], colours: &mut BTreeSet<(u8, u8, u8)>, words: &mut Vec<Word>) {
    for item in items {
        match item {
            Item::Stroke(mark) => {
                let pen = mark.stroke.pen.map(|pen| pen.colour);
                for colour in [pen, mark.stroke.fill].into_iter().flatten() {
                    colours.insert((colour.0, colour.1, colour.2));
                }
            }
            Item::Text(text) => {
                let letters = &text.lettering;
                let colour = letters.colour;
                colours.insert((colour.0, colour.1, colour.2));
                words.push(Word {
                    text: letters.text.clone(),
                    pointing: text.data.contains(&("of", Datum::Word("flag"))),
                    from: letters.at.x,
                    to: letters.at.x + letters.width,
                });
            }
            Item::Group(group) => ink(&group.items, colours, words),
        }
    }
}

#[test]
fn the_sheet_is_black_on_white_and_every_letter_stands_on_it_once() {
    for name in JOBS {
        let built = built(name);
        let questions: Vec<Question> = asked(&built, Corner::Sw, 1).into_iter().take(10).collect();
        let view = View {
            corner: Corner::Sw,
            scale: Scale(48),
            pitch_mm: 6.35,
            systems: Vec::new(),
        };
        let sheet: Sheet = ask::sheet(&built.network, &view, &questions);
        let (mut colours, mut words) = (BTreeSet::new(), Vec::new());
        ink(&sheet.items, &mut colours, &mut words);
        let black_and_white = BTreeSet::from([(0, 0, 0), (255, 255, 255)]);
        assert!(colours.is_subset(&black_and_white), "{name}: {colours:?}");
        for word in &words {
            let inside = word.from >= 0.0 && word.to <= sheet.size_mm.0;
            assert!(inside, "{name}: {}", word.text);
        }
        let letters: BTreeSet<char> = questions
            .iter()
            .flat_map(|question| question.about.iter().map(|one| one.letter))
            .collect();
        for letter in letters {
            let set = words
                .iter()
                .filter(|word| word.pointing && word.text == letter.to_string());
            assert_eq!(set.count(), 1, "{name}: {letter}");
        }
    }
}

#[test]
fn questions_of_a_block_are_answered_by_counting() {
    let edge = |to: (f64, f64, f64), hidden| Edge {
        from: glam::DVec3::ZERO,
        to: glam::DVec3::new(to.0, to.1, to.2),
        hidden,
    };
    // Edges of 3, 2 and 1 squares of 10 mm along east, north, up; the last is hidden.
    let edges = [
        edge((30.0, 0.0, 0.0), false),
        edge((0.0, 20.0, 0.0), false),
        edge((0.0, 0.0, 10.0), true),
    ];
    let squares = [3, 2, 1];
    let ways = ["east and west", "north and south", "up and down"];
    for seed in 0..8 {
        let questions = ask::of_block(&edges, 10.0, &mut Dice::new(1, seed, 0, 0), 9);
        assert_eq!(questions.len(), 3);
        assert_eq!(questions[0].key(), "1");
        for question in &questions[1..] {
            let At::Edge(at) = question.about[0].at else {
                panic!("an edge");
            };
            let expected = if question.words.starts_with("How many") {
                squares[at].to_string()
            } else {
                ways[at].to_owned()
            };
            assert_eq!(question.key(), expected);
        }
    }
}
