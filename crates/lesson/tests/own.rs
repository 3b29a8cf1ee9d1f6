//! A route of the learner's own: what is drawn on paper comes back as runs that the code judges.

use kurbo::{Line, ParamCurveNearest, Point};
use wyeline_draw::{Corner, Projection};
use wyeline_job::model::{DeviceKind, System};
use wyeline_lesson::exercise::Subject;
use wyeline_lesson::own::graph::Inked;
use wyeline_lesson::own::{Own, Taken, Why, own};
use wyeline_lesson::{Code, Drawing, Exercise, Level, mark};
use wyeline_units::Scale;
use wyeline_whole::{Built, Judged, examples};

/// 1/2 in = 1 ft, and 1/4 in of pitch.
const SCALE: Scale = Scale(24);
const PITCH: f64 = 6.35;

fn example(name: &str) -> (&'static str, Built) {
    let (_, text) = examples::ALL
        .iter()
        .find(|(known, _)| *known == name)
        .expect("a shipped example");
    (text, Built::of(text.as_bytes(), |_| ()))
}

/// Every pipe as a line from a corner, and each fixture's tag beside its drain.
fn drawn(built: &Built, corner: Corner) -> (Vec<Inked>, Vec<(Point, String)>) {
    let projection = Projection::new(corner, SCALE);
    let network = &built.network;
    let lines = network.pipes.iter().map(|pipe| {
        let (a, b) = network.drawn(pipe);
        Inked {
            a: projection.point(a),
            b: projection.point(b),
            dashed: pipe.system == System::Vent,
        }
    });
    let letters = network.fixtures.iter().map(|fixture| {
        let port = fixture
            .ports
            .iter()
            .find(|port| port.node.is_some())
            .unwrap_or(&fixture.ports[0]);
        (
            projection.point(port.at) + kurbo::Vec2::new(4.0, -4.0),
            fixture.tag.clone(),
        )
    });
    let cleanouts = network.nodes.iter().filter(|node| {
        node.device
            .as_ref()
            .is_some_and(|device| device.kind == DeviceKind::Cleanout)
    });
    let cleanouts = cleanouts.map(|node| {
        (
            projection.point(node.drawn()) + kurbo::Vec2::new(0.0, -2.0),
            "CO".to_owned(),
        )
    });
    // Sizes stand a little off the middle of their lines.
    let sizes = network.pipes.iter().filter_map(|pipe| {
        let (a, b) = network.drawn(pipe);
        Some((
            projection.point(a.midpoint(b)) + kurbo::Vec2::new(0.4, 0.4),
            pipe.size?.to_string(),
        ))
    });
    (
        lines.collect(),
        letters.chain(cleanouts).chain(sizes).collect(),
    )
}

/// What is made of lines and letters drawn at `larger` times the exercise's scale somewhere on the paper.
fn taken_up(
    text: &str,
    built: &Built,
    corners: &[Corner],
    larger: f64,
    (lines, letters): (Vec<Inked>, Vec<(Point, String)>),
) -> Result<Own, Why> {
    let moved = |at: Point| (at.to_vec2() * larger + kurbo::Vec2::new(120.0, 90.0)).to_point();
    let lines: Vec<Inked> = lines
        .into_iter()
        .map(|line| Inked {
            a: moved(line.a),
            b: moved(line.b),
            ..line
        })
        .collect();
    let letters: Vec<_> = letters
        .into_iter()
        .map(|(at, words)| (moved(at), words))
        .collect();
    let taken = Taken {
        lines: &lines,
        letters: &letters,
        corners,
        scale: SCALE,
        pitch: PITCH,
        near: 0.25 * PITCH,
    };
    own(built, text, &taken)
}

/// Mistakes of the text, and rules of the code that it breaks.
fn wrong(text: &str) -> Vec<String> {
    let mut built = Built::of(text.as_bytes(), |_| ());
    let mistakes: Vec<String> = built
        .diagnostics
        .iter()
        .map(|one| format!("{}: {}", one.code, one.message))
        .collect();
    let judged = Judged::of(&mut built, None).expect("the example names a code");
    let found = judged.check(&built);
    mistakes
        .into_iter()
        .chain(found.findings.iter().map(|one| one.rule.to_owned()))
        .collect()
}

/// The shipped examples are lawful; seen from corners where no two of their lines fall together, so is what is made of their drawing.
#[test]
fn a_lawful_route_drawn_is_a_lawful_route_told() {
    for (name, corner) in [
        ("attic-bath", Corner::Sw),
        ("attic-bath", Corner::Nw),
        ("bakery-waste", Corner::Se),
        ("bakery-waste", Corner::Nw),
    ] {
        let (text, built) = example(name);
        let own = taken_up(text, &built, &Corner::ALL, 1.0, drawn(&built, corner))
            .expect("it is laid on the plan");
        assert_eq!(
            (own.corner, own.missed.as_slice(), own.unread.len()),
            (corner, [].as_slice(), 0),
            "{name}"
        );
        assert_eq!(
            wrong(&own.text),
            Vec::<String>::new(),
            "{name} {corner:?}\n{}",
            own.text
        );
    }
}

#[test]
fn any_scale_and_place_will_do() {
    let (text, built) = example("attic-bath");
    for larger in [0.8, 1.5] {
        let own = taken_up(
            text,
            &built,
            &[Corner::Sw],
            larger,
            drawn(&built, Corner::Sw),
        )
        .expect("it is laid on the plan");
        assert_eq!(
            wrong(&own.text),
            Vec::<String>::new(),
            "{larger} times\n{}",
            own.text
        );
    }
}

/// Without its vents the drawing breaks the rule that each trap has one.
#[test]
fn a_route_without_vents_is_told_so_by_the_code() {
    let (text, built) = example("attic-bath");
    let (mut lines, letters) = drawn(&built, Corner::Sw);
    lines.retain(|line| !line.dashed);
    let own = taken_up(text, &built, &[Corner::Sw], 1.0, (lines, letters))
        .expect("it is laid on the plan");
    assert!(
        wrong(&own.text).contains(&"vent-missing".to_owned()),
        "{}",
        own.text
    );
}

/// The closet's two pipes are left out: its place is known, and that nothing comes to it.
#[test]
fn a_fixture_that_no_line_comes_to_is_missed() {
    let (text, built) = example("attic-bath");
    let (mut lines, letters) = drawn(&built, Corner::Sw);
    let network = &built.network;
    let left_out: Vec<usize> = (0..network.pipes.len())
        .filter(|at| network.pipes[*at].id.contains("WC1"))
        .collect();
    assert_eq!(left_out.len(), 2);
    for at in left_out.into_iter().rev() {
        lines.remove(at);
    }
    let own = taken_up(text, &built, &[Corner::Sw], 1.0, (lines, letters))
        .expect("it is laid on the plan");
    assert_eq!(own.missed, ["WC1"]);
}

#[test]
fn what_cannot_be_laid_on_the_plan_is_refused_in_words() {
    let (text, built) = example("attic-bath");
    let (lines, _) = drawn(&built, Corner::Sw);
    let refused = taken_up(text, &built, &Corner::ALL, 1.0, (lines, Vec::new()));
    assert_eq!(refused.err(), Some(Why::NotPlaced));
    // A job with drains and water at once.
    let (text, built) = example("half-bath");
    let refused = taken_up(text, &built, &Corner::ALL, 1.0, drawn(&built, Corner::Sw));
    assert_eq!(refused.err(), Some(Why::OtherSystems));
}

/// Whether two lines seem to meet on paper that are apart in space: then paper does not tell which of them goes on.
fn seems_to_meet(exercise: &Exercise) -> bool {
    let projection = Projection::new(exercise.corner, exercise.scale);
    let lines = &exercise.figure.lines;
    lines
        .iter()
        .flat_map(|line| [line.from, line.to])
        .any(|end| {
            lines.iter().any(|line| {
                let way = line.to - line.from;
                let along = ((end - line.from).dot(way) / way.length_squared()).clamp(0.0, 1.0);
                let apart = end.distance(line.from + way * along) > 50.0;
                let drawn = Line::new(projection.point(line.from), projection.point(line.to));
                let near = drawn
                    .nearest(projection.point(end), 1e-6)
                    .distance_sq
                    .sqrt();
                // Nearer than the gap between two dashes.
                apart && near < 0.8 * exercise.pitch_mm
            })
        })
}

/// The key of an exercise, drawn as a route of the learner's own, is lawful and reaches every fixture: nothing is deducted.
#[test]
fn the_key_drawn_as_an_own_route_loses_nothing() {
    let mut wrong = Vec::new();
    let mut tried = 0;
    for level in [3, 4, 5] {
        for seed in 0..20 {
            let code = Code::new(Level::new(level).expect("a level"), "ipc-2021", seed, 0)
                .expect("a code");
            let exercise = Exercise::of(code).expect("an exercise");
            if seems_to_meet(&exercise) {
                continue;
            }
            tried += 1;
            let mut drawing = Drawing::of_key(
                &exercise.figure,
                exercise.corner,
                exercise.scale,
                exercise.pitch_mm,
            );
            drawing.own_route = true;
            drawing.corner = Some(exercise.corner.word().to_owned());
            let marks = mark::mark_exercise(&exercise, &drawing, mark::Rubric::published());
            if marks.got < marks.of - 0.01 {
                let Subject::Pipes(built) = &exercise.subject else {
                    continue;
                };
                let told = mark::followed(
                    &exercise,
                    built,
                    &drawing,
                    &mark::Rubric::published().tolerance,
                );
                let text = told.map_or_else(str::to_owned, |own| {
                    own.text
                        .split("\nwaste own-1")
                        .nth(1)
                        .unwrap_or_default()
                        .to_owned()
                });
                let faults: Vec<String> = marks
                    .faults
                    .iter()
                    .map(|fault| format!("-{} {} {:?}", fault.points, fault.words, fault.at))
                    .collect();
                wrong.push(format!(
                    "{code} {:?} {}: {}\n{}\n{text}",
                    exercise.corner,
                    marks.got,
                    faults.join("\n"),
                    marks.notes.join("\n")
                ));
            }
        }
    }
    assert!(tried > 30, "{tried} of 60");
    assert!(
        wrong.is_empty(),
        "{} wrong\n{}",
        wrong.len(),
        wrong.join("\n=====\n")
    );
}
