//! The mistakes that teachers name, each drawn by itself in a small bath whose numbers stand in sight: what it costs is what the table says.

use glam::DVec3;
use wyeline_draw::Corner;
use wyeline_job::model::System;
use wyeline_lesson::drawing::Letters;
use wyeline_lesson::figure::{Hidden, Line, Role, Spot, What};
use wyeline_lesson::mark::{Rubric, Task, mark};
use wyeline_lesson::{Drawing, Figure, Marks};
use wyeline_units::Scale;

use super::common::faults;

const SCALE: Scale = Scale(48);
/// A foot at that scale.
const PITCH: f64 = 6.35;
const WASTE: Role = Role::Pipe(System::Waste);
const BRANCH: Role = Role::Branch(System::Waste);
const VENT: Role = Role::Pipe(System::Vent);

fn at(feet: [f64; 3]) -> DVec3 {
    DVec3::from_array(feet) * 304.8
}

fn line(from: [f64; 3], to: [f64; 3], role: Role, part: &str) -> Line {
    Line {
        from: at(from),
        to: at(to),
        role,
        part: part.to_owned(),
        pipe: None,
    }
}

/// A drain along a wall to the south, a closet on its end, a lavatory to the east with its vent, a tub to the west that comes in by a 45. Feet.
fn bath() -> Figure {
    let fixture = |place: [f64; 3], letters: &str, rim: f64| Spot {
        at: at(place),
        what: What::Fixture {
            tag: format!("{letters}1"),
            letters: vec![letters.to_owned(), format!("{letters}1")],
            rim: Some(rim * 304.8),
        },
    };
    let flow = |place: [f64; 3], along: [f64; 3]| Spot {
        at: at(place),
        what: What::Flow {
            along: DVec3::from_array(along).normalize(),
        },
    };
    Figure {
        lines: vec![
            line([0.0, 10.0, 0.0], [0.0, 4.0, 0.0], WASTE, "drain"),
            line([0.0, 4.0, 0.0], [0.0, 2.0, 0.0], WASTE, "drain"),
            line([0.0, 2.0, 0.0], [0.0, -1.0, 0.0], WASTE, "drain"),
            line([0.0, 10.0, 2.0], [0.0, 10.0, 0.0], BRANCH, "closet"),
            line([5.0, 4.0, 0.0], [0.0, 4.0, 0.0], BRANCH, "lavatory"),
            line([5.0, 4.0, 2.0], [5.0, 4.0, 0.0], BRANCH, "lavatory"),
            line([5.0, 6.0, 2.0], [5.0, 4.0, 2.0], BRANCH, "lavatory"),
            line([5.0, 6.0, 3.0], [5.0, 6.0, 2.0], BRANCH, "lavatory"),
            line([5.0, 4.0, 2.0], [5.0, 4.0, 6.0], VENT, "lavatory-vent"),
            line([5.0, 4.0, 6.0], [0.0, 4.0, 6.0], VENT, "lavatory-vent"),
            line([0.0, 4.0, 0.0], [0.0, 4.0, 6.0], VENT, "stack-vent"),
            line([0.0, 4.0, 6.0], [0.0, 4.0, 10.0], VENT, "stack-vent"),
            line([-3.0, 5.0, 0.0], [0.0, 2.0, 0.0], BRANCH, "tub"),
            line([-3.0, 5.0, 2.0], [-3.0, 5.0, 0.0], BRANCH, "tub"),
        ],
        spots: vec![
            fixture([0.0, 10.0, 2.0], "WC", 3.25),
            fixture([5.0, 6.0, 3.0], "LAV", 4.0),
            fixture([-3.0, 5.0, 2.0], "BT", 3.25),
            Spot {
                at: at([5.0, 6.0, 2.0]),
                what: What::Trap {
                    tag: "LAV1".to_owned(),
                },
            },
            flow([0.0, 10.0, 2.0], [0.0, 0.0, -1.0]),
            flow([0.0, 10.0, 0.0], [0.0, -1.0, 0.0]),
            flow([5.0, 6.0, 2.0], [0.0, -1.0, 0.0]),
            flow([5.0, 4.0, 0.0], [-1.0, 0.0, 0.0]),
            flow([-3.0, 5.0, 2.0], [0.0, 0.0, -1.0]),
            flow([-3.0, 5.0, 0.0], [1.0, -1.0, 0.0]),
            Spot {
                at: at([0.0, 4.0, 10.0]),
                what: What::Letters {
                    of: "vent through the roof",
                    letters: vec!["VTR".to_owned()],
                },
            },
        ],
        hidden: Vec::new(),
    }
}

fn key(figure: &Figure, corner: Corner) -> Drawing {
    Drawing::of_key(figure, corner, SCALE, PITCH)
}

fn marked(figure: &Figure, drawing: &Drawing) -> Marks {
    let task = Task {
        figure,
        corner: Corner::Sw,
        scale: SCALE,
        pitch_mm: PITCH,
    };
    mark(task, drawing, Rubric::published())
}

/// Marks of the bath drawn so that nothing but these faults is in it, each at what it costs. All headings count: a point is a point.
fn costs(drawing: &Drawing, wanted: &[(&str, f64)]) {
    let marks = marked(&bath(), drawing);
    assert_eq!(faults(&marks), wanted, "{:?}", marks.faults);
    let lost: f64 = wanted.iter().map(|fault| fault.1).sum();
    assert!((marks.got - (100.0 - lost)).abs() < 1e-4, "{marks:?}");
}

/// The bath with every point put elsewhere.
fn with(put: impl Fn([f64; 3]) -> [f64; 3]) -> Figure {
    let put = |place: DVec3| at(put((place / 304.8).to_array()));
    let mut figure = bath();
    for line in &mut figure.lines {
        line.from = put(line.from);
        line.to = put(line.to);
    }
    for spot in &mut figure.spots {
        spot.at = put(spot.at);
    }
    figure
}

/// The bath without some of its lines.
fn without(leave: impl Fn(&Line) -> bool) -> Figure {
    let mut figure = bath();
    figure.lines.retain(|line| !leave(line));
    figure
}

#[test]
fn all_is_well_with_the_bath_itself() {
    for corner in Corner::ALL {
        costs(&key(&bath(), corner), &[]);
    }
}

#[test]
fn a_line_that_is_missing_is_named_by_what_it_is() {
    let plumb = |line: &Line| line.from.z != line.to.z;
    for (figure, wanted) in [
        (
            without(|line| line.part == "tub" && plumb(line)),
            ("drop-missing", 5.0),
        ),
        (without(|line| line.part == "closet"), ("drop-missing", 5.0)),
        (
            without(|line| line.part == "tub" && !plumb(line)),
            ("pipe-missing", 5.0),
        ),
        (
            without(|line| line.part == "lavatory-vent" && plumb(line)),
            ("vent-missing", 6.0),
        ),
        // Three pieces of one straight pipe are one pipe.
        (without(|line| line.part == "drain"), ("pipe-missing", 5.0)),
    ] {
        costs(&key(&figure, Corner::Sw), &[wanted]);
    }
}

#[test]
fn a_drop_that_is_left_out_takes_the_fixture_down_with_it_once() {
    // Arm, trap, tailpiece and fixture of the lavatory 2 ft lower: its drop has no length left; its vent starts lower.
    let low = with(|at| {
        if at[0] == 5.0 && at[2] > 0.0 && at[2] < 4.0 {
            [at[0], at[1], at[2] - 2.0]
        } else {
            at
        }
    });
    costs(&key(&low, Corner::Sw), &[("drop-missing", 5.0)]);
}

#[test]
fn a_vent_that_joins_too_low_is_told_by_the_rim() {
    // The lavatory's rim is at 4 ft, the tie at 6 ft.
    let tie = |height: f64| {
        with(|at| {
            if at[2] == 6.0 {
                [at[0], at[1], height]
            } else {
                at
            }
        })
    };
    costs(&key(&tie(3.0), Corner::Sw), &[("vent-below-rim", 8.0)]);
    costs(&key(&tie(5.0), Corner::Sw), &[("vent-length", 4.0)]);
}

#[test]
fn a_branch_against_the_flow_is_told_from_a_slip_of_direction() {
    // The tub's 45 comes in 3 ft upstream of it instead of 3 ft downstream.
    let mut figure = bath();
    for line in figure.lines.iter_mut().filter(|line| line.part == "tub") {
        if line.to == at([0.0, 2.0, 0.0]) {
            line.to = at([0.0, 8.0, 0.0]);
        }
    }
    costs(&key(&figure, Corner::Se), &[("against-flow", 5.0)]);
}

#[test]
fn a_part_that_is_moved_is_one_fault() {
    // The lavatory 7 ft from the drain instead of 5: its branch and its vent are longer, all of it lies elsewhere.
    let far = with(|at| {
        if at[0] == 5.0 {
            [7.0, at[1], at[2]]
        } else {
            at
        }
    });
    costs(&key(&far, Corner::Sw), &[("wrong-length", 4.0)]);
}

#[test]
fn arrows_are_missed_and_turned_round() {
    let drawing = key(&bath(), Corner::Sw);
    let arrows: Vec<usize> = (0..drawing.strokes.len())
        .filter(|ix| drawing.strokes[*ix].len() == 3)
        .collect();
    assert_eq!(arrows.len(), 6);
    for &ix in &arrows {
        let mut less = drawing.clone();
        less.strokes.remove(ix);
        costs(&less, &[("flow-missing", 2.0)]);
        let mut turned = drawing.clone();
        let tip = turned.strokes[ix][1];
        for leg in [0, 2] {
            let end = turned.strokes[ix][leg];
            turned.strokes[ix][leg] = [0, 1].map(|axis| 2.0 * tip[axis] - end[axis]);
        }
        costs(&turned, &[("flow-wrong", 3.0)]);
        // Two strokes that meet are an arrow too.
        let mut two = drawing.clone();
        let stroke = two.strokes.remove(ix);
        two.strokes
            .extend([vec![stroke[0], stroke[1]], vec![stroke[2], stroke[1]]]);
        costs(&two, &[]);
    }
}

#[test]
fn a_trap_is_a_hook_a_loop_or_a_letter() {
    let drawing = key(&bath(), Corner::Sw);
    let hook = drawing
        .strokes
        .iter()
        .position(|stroke| stroke.len() > 3)
        .expect("a hook");
    let mut bare = drawing.clone();
    let hook = bare.strokes.remove(hook);
    costs(&bare, &[("trap-missing", 3.0)]);
    let middle = [0, 1].map(|axis| hook.iter().map(|at| at[axis]).sum::<f64>() / hook.len() as f64);
    let mut lettered = bare.clone();
    lettered.letters.push(Letters {
        at: [middle[0] - 6.0, middle[1] + 3.0],
        text: "T".to_owned(),
        height: 3.0,
    });
    costs(&lettered, &[]);
    let mut looped = bare.clone();
    let around = (0..=12).map(|step| {
        let angle = f64::from(step) / 12.0 * std::f64::consts::TAU;
        [middle[0] + 1.2 * angle.cos(), middle[1] + 1.2 * angle.sin()]
    });
    looped.strokes.push(around.collect());
    costs(&looped, &[]);
}

#[test]
fn letters_are_missed_swapped_small_and_in_the_way() {
    let drawing = key(&bath(), Corner::Sw);
    let of = |text: &str| {
        drawing
            .letters
            .iter()
            .position(|letters| letters.text == text)
            .expect("set")
    };
    let changed = |change: &dyn Fn(&mut Vec<Letters>)| {
        let mut drawing = drawing.clone();
        change(&mut drawing.letters);
        drawing
    };
    costs(
        &changed(&|all| drop(all.remove(of("BT")))),
        &[("fixture-missing", 4.0)],
    );
    costs(
        &changed(&|all| drop(all.remove(of("VTR")))),
        &[("letters-missing", 1.0)],
    );
    let swapped = changed(&|all| {
        all[of("BT")].text = "LAV".to_owned();
        all[of("LAV")].text = "BT".to_owned();
    });
    costs(
        &swapped,
        &[("fixture-misplaced", 4.0), ("fixture-misplaced", 4.0)],
    );
    costs(
        &changed(&|all| all[of("WC")].height = 1.5),
        &[("small-letters", 2.0)],
    );
    // Over the middle of the closet's drop: a foot below its outlet.
    let drop_at = drawing.strokes[3][0];
    costs(
        &changed(&|all| all[of("WC")].at = [drop_at[0], drop_at[1] + PITCH]),
        &[("letters-over-lines", 1.0)],
    );
}

#[test]
fn a_line_too_many_and_a_vent_like_a_drain() {
    let mut more = key(&bath(), Corner::Sw);
    more.strokes.push(vec![[0.0, 0.0], [0.0, 3.0 * PITCH]]);
    costs(&more, &[("line-too-many", 2.0)]);
    let mut full = bath();
    for line in full.lines.iter_mut().filter(|line| line.role == VENT) {
        line.role = WASTE;
    }
    let full = key(&full, Corner::Sw);
    costs(&full, &[("vent-full", 2.0), ("vent-full", 2.0)]);
    // Lettered V they are told: beside the middle of the lavatory's level vent, and of the stack's upper part.
    let mut lettered = full.clone();
    for stroke in [&full.strokes[9], &full.strokes[11]] {
        let middle = [0, 1].map(|axis| f64::midpoint(stroke[0][axis], stroke[1][axis]));
        lettered.letters.push(Letters {
            at: [middle[0] - 4.0, middle[1] - 4.0],
            text: "V".to_owned(),
            height: 2.5,
        });
    }
    costs(&lettered, &[]);
}

#[test]
fn nothing_and_anything_get_nothing() {
    let empty = marked(&bath(), &Drawing::default());
    assert_eq!((empty.got, empty.of, empty.corner), (0.0, 100.0, None));
    assert!(!empty.notes.is_empty());
    let scribble = |seed: f64| {
        (0..400).map(move |step| {
            let step = f64::from(step);
            [
                60.0 * (step * seed).sin(),
                60.0 * (step * 1.37 * seed).cos(),
            ]
        })
    };
    for drawing in [
        Drawing {
            strokes: vec![vec![[1.0, 1.0]]],
            ..Drawing::default()
        },
        Drawing {
            strokes: vec![vec![[f64::NAN, 1.0], [2.0, f64::INFINITY]]],
            ..Drawing::default()
        },
        Drawing {
            strokes: vec![vec![[3.0, 3.0]; 500], Vec::new()],
            ..Drawing::default()
        },
        Drawing {
            strokes: vec![vec![[0.0, 0.0], [9e4, 9e4]]],
            ..Drawing::default()
        },
    ] {
        let marks = marked(&bath(), &drawing);
        assert!(marks.got <= 25.0, "{marks:?}");
    }
    let drawing = Drawing {
        strokes: vec![scribble(0.7).collect(), scribble(2.1).collect()],
        ..Drawing::default()
    };
    assert!(marked(&bath(), &drawing).got <= 40.0);
    let large = (0..90_000).map(|step| {
        let step = f64::from(step);
        [300.0 * (step * 0.7).sin(), 300.0 * (step * 0.11).cos()]
    });
    let drawing = Drawing {
        strokes: vec![large.collect()],
        ..Drawing::default()
    };
    // Ink all over the paper covers the key as well.
    assert!(marked(&bath(), &drawing).got <= 40.0);
    // A figure of nothing asks for nothing, and there is nothing to find.
    assert_eq!(
        marked(&Figure::default(), &key(&bath(), Corner::Sw)).got,
        0.0
    );
}

/// A block of 4 by 3 by 2 squares: from the south-west the corner at its foot in the north-east is behind it.
fn block() -> Figure {
    let size = [4.0, 3.0, 2.0];
    let corner = |bits: usize| {
        [0, 1, 2].map(|axis| {
            if bits >> axis & 1 == 1 {
                size[axis]
            } else {
                0.0
            }
        })
    };
    let mut figure = Figure::default();
    for bits in 0..8_usize {
        for axis in (0..3).filter(|axis| bits >> axis & 1 == 0) {
            figure
                .lines
                .push(line(corner(bits), corner(bits | 1 << axis), Role::Edge, ""));
        }
    }
    // East and north, at the foot.
    let hidden = corner(0b011);
    for other in [0b001, 0b010, 0b111] {
        figure.hidden.push(Hidden {
            corner: Corner::Sw,
            from: at(hidden),
            to: at(corner(other)),
        });
    }
    figure
}

#[test]
fn hidden_edges_of_a_block_are_asked_for_and_dashed() {
    // Orientation, angles and piping are left: 48 of 100.
    let point = 100.0 / 48.0;
    let figure = block();
    let drawing = key(&figure, Corner::Sw);
    assert_eq!(marked(&figure, &drawing).got, 100.0);
    let costs = |drawing: &Drawing, fault: &str, count: usize, each: f64| {
        let marks = marked(&figure, drawing);
        assert!(
            marks.faults.len() == count && marks.faults.iter().all(|one| one.name == fault),
            "{marks:?}"
        );
        assert!(
            (100.0 - marks.got - count as f64 * each * point).abs() < 1e-4,
            "{marks:?}"
        );
    };
    let all_seen = Figure {
        hidden: Vec::new(),
        ..figure.clone()
    };
    costs(&key(&all_seen, Corner::Sw), "hidden-full", 3, 1.0);
    let dashes = |stroke: &Vec<[f64; 2]>| {
        (stroke[0][0] - stroke[1][0]).hypot(stroke[0][1] - stroke[1][1]) < PITCH
    };
    let mut only_seen = drawing.clone();
    only_seen.strokes.retain(|stroke| !dashes(stroke));
    costs(&only_seen, "hidden-missing", 3, 1.0);
    let mut one_less = drawing.clone();
    one_less.strokes.remove(0);
    costs(&one_less, "edge-missing", 1, 2.0);
}
