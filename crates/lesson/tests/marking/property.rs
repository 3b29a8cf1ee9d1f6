//! What holds of any figure: its key is full from everywhere, and one fault costs what the table says of that fault and nothing else.

use std::collections::BTreeMap;

use glam::DVec3;
use wyeline_draw::{Corner, Projection};
use wyeline_job::model::System;
use wyeline_lesson::dice::Dice;
use wyeline_lesson::figure::{Line, Role, What};
use wyeline_lesson::mark::Rubric;
use wyeline_lesson::{Drawing, Figure, Marks};

use super::common::{PITCH, SCALE, by_hand, example, faults, key, marked, moved};

/// Shipped examples: waste, vents, water, existing pipe, one to three storeys, offsets.
const EXAMPLES: [&str; 11] = [
    "half-bath",
    "attic-bath",
    "beam-offset",
    "family-bath-water",
    "bakery-waste",
    "bakery-water",
    "three-storeys",
    "slab-house",
    "semi-detached",
    "flat-bath",
    "heron-cottage",
];

/// What a point of the table counts for a figure: published weights of headings that it has something for make 100 together.
fn point(figure: &Figure) -> f64 {
    let spot = |what: fn(&What) -> bool| figure.spots.iter().any(|spot| what(&spot.what));
    let fixtures = spot(|what| matches!(what, What::Fixture { .. }));
    let labels = spot(|what| matches!(what, What::Letters { .. }));
    let flow = spot(|what| matches!(what, What::Flow { .. }));
    let vents = figure
        .lines
        .iter()
        .any(|line| line.role.system() == Some(System::Vent));
    let if_any = |any: bool, weight: f64| if any { weight } else { 0.0 };
    // Orientation 20, angles 8, piping 20 always.
    let kept = 48.0
        + if_any(fixtures || labels, 8.0)
        + if_any(flow, 12.0)
        + if_any(labels, 4.0)
        + if_any(vents, 16.0)
        + if_any(fixtures, 12.0);
    100.0 / kept
}

/// The marks are full but for these faults, by the table.
fn only(figure: &Figure, marks: &Marks, wanted: &[&str], told: &str) {
    let point = point(figure);
    let mut lost = 0.0;
    let each = |fault: &str| {
        Rubric::published()
            .deduction(fault)
            .expect("in the table")
            .each
            * point
    };
    for fault in wanted {
        lost += each(fault);
    }
    let named: Vec<&str> = marks
        .faults
        .iter()
        .map(|fault| fault.name.as_str())
        .collect();
    assert_eq!(named, wanted, "{told}: {:?}", marks.faults);
    assert!(
        (marks.got - (100.0 - lost)).abs() < 1e-4,
        "{told}: {:?} and not {}",
        faults(marks),
        100.0 - lost
    );
    assert!(
        marks
            .faults
            .iter()
            .all(|fault| !fault.words.is_empty() && !fault.words.contains('{')),
        "{told}: {:?}",
        marks.faults
    );
}

/// The key is full from each corner, and told to be seen from there.
fn full_from_each_corner(figure: &Figure, name: &str) {
    for corner in Corner::ALL {
        let marks = marked(figure, &key(figure, corner));
        only(
            figure,
            &marks,
            &[],
            &format!("{name} from {}", corner.word()),
        );
        assert_eq!(marks.corner, Some(corner.word()), "{name}");
    }
}

/// It stays full elsewhere on the sheet, at another scale, in another order, in pieces, backwards, by a wobbling hand, with no corner told.
fn full_by_any_hand(figure: &Figure, name: &str, dice: &mut Dice) {
    for corner in Corner::ALL {
        let drawing = key(figure, corner);
        for (scale, wobble) in [(1.0, 0.0), (1.0, 0.1), (0.8, 0.0), (1.5, 0.05)] {
            let place = [dice.whole(-200, 200), dice.whole(-200, 200)].map(|mm| mm as f64);
            let hand = by_hand(&drawing, wobble, dice);
            let mut hand = moved(&hand, scale, |at| {
                [at[0] * scale + place[0], at[1] * scale + place[1]]
            });
            if dice.coin() {
                hand.corner = None;
            }
            let told = format!("{name} from {} at {scale} wobbling {wobble}", corner.word());
            let marks = marked(figure, &hand);
            // Drawn small, letters are small too: that is said, and is no matter of how the drawing lies.
            let small: Vec<&str> = marks
                .faults
                .iter()
                .map(|fault| fault.name.as_str())
                .filter(|name| *name == "small-letters")
                .collect();
            if small.is_empty() {
                only(figure, &marks, &[], &told);
            } else {
                assert!(
                    scale < 1.0 && small.len() == marks.faults.len(),
                    "{told}: {:?}",
                    marks.faults
                );
            }
        }
    }
}

/// The points of a figure on paper from a corner, round their mean.
fn points(figure: &Figure, corner: Corner, mirrored: bool) -> Vec<[f64; 2]> {
    let projection = Projection::new(corner, SCALE);
    let all: Vec<[f64; 2]> = figure
        .lines
        .iter()
        .flat_map(|line| [line.from, line.to, line.from.midpoint(line.to)])
        .map(|at| projection.point(at))
        .map(|at| [if mirrored { -at.x } else { at.x }, at.y])
        .collect();
    let mean = [0, 1].map(|axis| all.iter().map(|at| at[axis]).sum::<f64>() / all.len() as f64);
    all.iter()
        .map(|at| [at[0] - mean[0], at[1] - mean[1]])
        .collect()
}

/// Whether a figure looks from one side as it does from another, but for a fifth of its points: then nobody can tell which is meant.
fn alike(one: &[[f64; 2]], other: &[[f64; 2]]) -> bool {
    let near = |at: &&[f64; 2]| {
        other
            .iter()
            .any(|there| (there[0] - at[0]).hypot(there[1] - at[1]) < PITCH)
    };
    one.iter().filter(near).count() * 5 > one.len() * 4
}

/// Mirrored it is told to be a mirror image, declared from another corner it is told to be turned.
fn orientation(figure: &Figure, name: &str) {
    for corner in Corner::ALL {
        let drawing = key(figure, corner);
        let mirror = points(figure, corner, true);
        if Corner::ALL
            .iter()
            .all(|other| !alike(&mirror, &points(figure, *other, false)))
        {
            let mirrored = moved(&drawing, 1.0, |at| [-at[0], at[1]]);
            only(
                figure,
                &marked(figure, &mirrored),
                &["mirrored"],
                &format!("{name} mirrored, {}", corner.word()),
            );
        }
        for other in Corner::ALL.into_iter().filter(|other| *other != corner) {
            if alike(
                &points(figure, corner, false),
                &points(figure, other, false),
            ) {
                continue;
            }
            let mut turned = drawing.clone();
            turned.corner = Some(other.word().to_owned());
            let told = format!(
                "{name} from {} said to be from {}",
                corner.word(),
                other.word()
            );
            only(figure, &marked(figure, &turned), &["turned"], &told);
        }
    }
}

/// Lines of a figure on paper, cut nowhere.
fn on_paper(line: &Line, corner: Corner) -> ([f64; 2], [f64; 2]) {
    let projection = Projection::new(corner, SCALE);
    let [from, to] = [line.from, line.to].map(|at| projection.point(at));
    ([from.x, from.y], [to.x, to.y])
}

fn less(one: [f64; 2], other: [f64; 2]) -> [f64; 2] {
    [one[0] - other[0], one[1] - other[1]]
}
fn length(way: [f64; 2]) -> f64 {
    way[0].hypot(way[1])
}
fn cross(one: [f64; 2], other: [f64; 2]) -> f64 {
    one[0] * other[1] - one[1] * other[0]
}

/// How far a point is from a straight way, and whether it lies beside it rather than beyond its ends by more than `slack`.
fn beside(at: [f64; 2], line: ([f64; 2], [f64; 2]), slack: f64) -> Option<f64> {
    let way = less(line.1, line.0);
    let long = length(way);
    let far = less(at, line.0);
    let along = (way[0] * far[0] + way[1] * far[1]) / long;
    (-slack..=long + slack)
        .contains(&along)
        .then(|| cross(way, far).abs() / long)
}

/// Whether a line is long enough to be missed and no other runs along it on paper.
fn alone(figure: &Figure, ix: usize, corner: Corner) -> bool {
    let own = on_paper(&figure.lines[ix], corner);
    let way = less(own.1, own.0);
    if length(way) < 1.5 * PITCH {
        return false;
    }
    let others = figure
        .lines
        .iter()
        .enumerate()
        .filter(|(other, _)| *other != ix);
    others.map(|(_, line)| on_paper(line, corner)).all(|line| {
        let other = less(line.1, line.0);
        let parallel =
            length(other) > 0.0 && cross(way, other).abs() < 0.3 * length(way) * length(other);
        // Inner points: at its ends a line meets others.
        let near = |share: &f64| {
            let at = [0, 1].map(|axis| own.0[axis] + share * way[axis]);
            beside(at, line, 0.3 * PITCH).is_some_and(|far| far < 0.7 * PITCH)
        };
        let inner: Vec<f64> = (1..40).map(|step| f64::from(step) / 40.0).collect();
        !parallel
            || inner.iter().filter(|share| near(share)).count() as f64 * length(way) / 40.0
                < 0.35 * PITCH
    })
}

/// The key's drawing and how far it is moved on its sheet against the projection.
fn with_shift(figure: &Figure, corner: Corner) -> (Drawing, [f64; 2]) {
    let drawing = key(figure, corner);
    let first = on_paper(&figure.lines[0], corner).0;
    let shift = less(drawing.strokes[0][0], first);
    (drawing, shift)
}

/// The key without the strokes of one line.
fn without(figure: &Figure, ix: usize, corner: Corner) -> Drawing {
    let (mut drawing, shift) = with_shift(figure, corner);
    let line = on_paper(&figure.lines[ix], corner);
    let on = |at: &[f64; 2]| beside(less(*at, shift), line, 1e-6).is_some_and(|far| far < 1e-6);
    let before = drawing.strokes.len();
    drawing
        .strokes
        .retain(|stroke| stroke.len() != 2 || !stroke.iter().all(on));
    assert!(drawing.strokes.len() < before);
    drawing
}

fn plumb(line: &Line) -> bool {
    (line.to - line.from).truncate().length() < 1.0
}

/// One line less, of each kind that the figure has: it is missed, and nothing else.
fn one_missing(figure: &Figure, name: &str, dice: &mut Dice) -> BTreeMap<&'static str, usize> {
    let mut tried = BTreeMap::new();
    for corner in Corner::ALL {
        let mut lines: Vec<usize> = (0..figure.lines.len()).collect();
        dice.shuffle(&mut lines);
        let mut left: BTreeMap<&str, usize> = BTreeMap::new();
        for ix in lines {
            let line = &figure.lines[ix];
            let fault = match line.role {
                Role::Edge => "edge-missing",
                Role::Branch(System::Vent) | Role::Pipe(System::Vent) => "vent-missing",
                Role::Branch(_) if plumb(line) => "drop-missing",
                Role::Branch(_) | Role::Pipe(_) => "pipe-missing",
            };
            let count = left.entry(fault).or_default();
            if *count >= 3 || !alone(figure, ix, corner) {
                continue;
            }
            *count += 1;
            *tried.entry(fault).or_default() += 1;
            let marks = marked(figure, &without(figure, ix, corner));
            let told = format!(
                "{name} from {} without {} {ix} {:?}",
                corner.word(),
                line.part,
                line
            );
            only(figure, &marks, &[fault], &told);
        }
    }
    tried
}

/// A place in space as a key of a map: to the millimetre.
fn cell(at: DVec3) -> [i64; 3] {
    at.to_array().map(|along| along.round() as i64)
}

/// Places that hang on the far end of a line alone; none where the line is part of a ring.
fn beyond(figure: &Figure, ix: usize) -> Option<Vec<[i64; 3]>> {
    let mut seen = vec![cell(figure.lines[ix].to)];
    let mut next = 0;
    while next < seen.len() {
        for (other, line) in figure.lines.iter().enumerate() {
            let ends = [cell(line.from), cell(line.to)];
            if other != ix && ends.contains(&seen[next]) {
                for end in ends {
                    if !seen.contains(&end) {
                        seen.push(end);
                    }
                }
            }
        }
        next += 1;
    }
    (!seen.contains(&cell(figure.lines[ix].from))).then_some(seen)
}

/// The key with what hangs on a line moved on paper, and the line drawn there too.
fn with_moved(
    figure: &Figure,
    ix: usize,
    beyond: &[[i64; 3]],
    by: [f64; 2],
    corner: Corner,
) -> Drawing {
    let (mut drawing, shift) = with_shift(figure, corner);
    let moves = |at: DVec3| {
        if beyond.contains(&cell(at)) {
            by
        } else {
            [0.0; 2]
        }
    };
    let add = |at: [f64; 2], by: [f64; 2]| [at[0] + by[0], at[1] + by[1]];
    let projection = Projection::new(corner, SCALE);
    let spot = |at: [f64; 2]| {
        let far = |spot: &&wyeline_lesson::figure::Spot| {
            let there = projection.point(spot.at);
            length(less(less(at, shift), [there.x, there.y]))
        };
        let nearest = figure
            .spots
            .iter()
            .min_by(|one, other| far(one).total_cmp(&far(other)));
        nearest.map_or([0.0; 2], |spot| moves(spot.at))
    };
    for stroke in &mut drawing.strokes {
        let on = |line: &&Line| {
            let line = on_paper(line, corner);
            length(less(line.1, line.0)) > 1e-3
                && stroke
                    .iter()
                    .all(|at| beside(less(*at, shift), line, 1e-6).is_some_and(|far| far < 1e-6))
        };
        match figure.lines.iter().find(on) {
            Some(line) if stroke.len() == 2 => {
                let (from, to) = on_paper(line, corner);
                let (start, end) = (moves(line.from), moves(line.to));
                for at in stroke.iter_mut() {
                    let share = length(less(less(*at, shift), from)) / length(less(to, from));
                    *at = add(
                        *at,
                        [0, 1].map(|axis| start[axis] + share * (end[axis] - start[axis])),
                    );
                }
            }
            // An arrow on the line itself turns with it.
            _ if stroke.len() == 3
                && beside(
                    less(stroke[1], shift),
                    on_paper(&figure.lines[ix], corner),
                    1e-6,
                )
                .is_some_and(|far| far < 1e-6) =>
            {
                let (from, to) = on_paper(&figure.lines[ix], corner);
                let old = less(to, from);
                let new = add(old, by);
                let share = length(less(less(stroke[1], shift), from)) / length(old);
                let turn = new[1].atan2(new[0]) - old[1].atan2(old[0]);
                let tip = stroke[1];
                let at = add(add(from, shift), new.map(|along| share * along));
                for end in stroke.iter_mut() {
                    let leg = less(*end, tip);
                    *end = add(
                        at,
                        [
                            leg[0] * turn.cos() - leg[1] * turn.sin(),
                            leg[0] * turn.sin() + leg[1] * turn.cos(),
                        ],
                    );
                }
            }
            _ => {
                let by = spot(stroke[stroke.len() / 2]);
                for at in stroke.iter_mut() {
                    *at = add(*at, by);
                }
            }
        }
    }
    for letters in &mut drawing.letters {
        letters.at = add(letters.at, spot(letters.at));
    }
    drawing
}

/// One 45 drawn at 45 on paper, as long as it is in truth; what hangs on it goes with it.
fn at_45(figure: &Figure, name: &str) -> usize {
    let mut tried = 0;
    for corner in Corner::ALL {
        for (ix, line) in figure.lines.iter().enumerate() {
            let space = line.to - line.from;
            let skew = space.length() - space.abs().max_element() > 1e-3 * space.length();
            let Some(moved) = beyond(figure, ix).filter(|_| skew && alone(figure, ix, corner))
            else {
                continue;
            };
            let (from, to) = on_paper(line, corner);
            let way = less(to, from);
            let long = SCALE.paper(space.length()) * 0.5_f64.sqrt();
            let drawn = [way[0].signum() * long, way[1].signum() * long];
            let angle = (cross(way, drawn) / length(way) / length(drawn))
                .asin()
                .to_degrees();
            // At 45 on paper by chance, or too short to be told.
            if angle.abs() < 10.0 || length(less(drawn, way)) < 1.5 * PITCH {
                continue;
            }
            tried += 1;
            let drawing = with_moved(figure, ix, &moved, less(drawn, way), corner);
            let told = format!(
                "{name} from {} with {} {ix} at 45",
                corner.word(),
                line.part
            );
            // What is moved may come to lie under letters: that is legibility, and not asked here.
            let mut marks = marked(figure, &drawing);
            let over = |fault: &wyeline_lesson::marks::Fault| fault.name == "letters-over-lines";
            marks.got += marks
                .faults
                .iter()
                .filter(|fault| over(fault))
                .map(|fault| fault.points)
                .sum::<f64>();
            marks.faults.retain(|fault| !over(fault));
            only(figure, &marks, &["forty-five-at-45"], &told);
        }
    }
    tried
}

/// Everything that holds of any figure.
pub fn holds(figure: &Figure, name: &str, dice: &mut Dice) {
    full_from_each_corner(figure, name);
    full_by_any_hand(figure, name, dice);
    orientation(figure, name);
    one_missing(figure, name, dice);
    at_45(figure, name);
}

#[test]
fn the_key_of_each_example_is_full_from_each_corner() {
    for name in EXAMPLES {
        full_from_each_corner(&example(name), name);
    }
}

#[test]
fn it_is_full_by_any_hand() {
    let mut dice = Dice::new(1, 7, 0, 0);
    for name in EXAMPLES {
        full_by_any_hand(&example(name), name, &mut dice);
    }
}

#[test]
fn a_mirror_image_and_a_corner_told_wrong_are_told_apart() {
    for name in EXAMPLES {
        orientation(&example(name), name);
    }
}

#[test]
fn one_line_less_is_missed_and_nothing_else() {
    let mut dice = Dice::new(1, 8, 0, 0);
    let mut all: BTreeMap<&str, usize> = BTreeMap::new();
    for name in EXAMPLES {
        for (fault, count) in one_missing(&example(name), name, &mut dice) {
            *all.entry(fault).or_default() += count;
        }
    }
    assert!(
        ["drop-missing", "pipe-missing", "vent-missing"]
            .iter()
            .all(|fault| all[fault] >= 20),
        "{all:?}"
    );
}

#[test]
fn one_45_drawn_at_45_is_one_fault() {
    let tried: usize = EXAMPLES
        .iter()
        .map(|name| at_45(&example(name), name))
        .sum();
    assert!(tried >= 4, "{tried}");
}

#[test]
fn everything_at_once_holds_of_one_figure() {
    holds(
        &example("half-bath"),
        "half-bath",
        &mut Dice::new(1, 9, 0, 0),
    );
}
