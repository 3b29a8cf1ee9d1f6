//! A route of the learner's own: what is drawn on paper comes back as runs that the code judges.

use kurbo::Point;
use wyeline_draw::{Corner, Projection};
use wyeline_job::model::{DeviceKind, System};
use wyeline_lesson::own::graph::Inked;
use wyeline_lesson::own::{Own, Taken, Why, own};
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
    (lines.collect(), letters.chain(cleanouts).collect())
}

fn taken_up(name: &str, corner: Corner) -> (Result<Own, Why>, Built) {
    let (text, built) = example(name);
    let (lines, letters) = drawn(&built, corner);
    let taken = Taken {
        lines: &lines,
        letters: &letters,
        corners: &[corner],
        scale: SCALE,
        pitch: PITCH,
        near: 0.25 * PITCH,
    };
    (own(&built, text, &taken), built)
}

/// What the code finds wrong.
fn findings(text: &str) -> Vec<String> {
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
        .chain(found.findings.iter().map(|one| format!("{one:?}")))
        .collect()
}

#[test]
fn a_lawful_route_drawn_is_a_lawful_route_told() {
    for name in ["attic-bath", "heron-cottage", "beam-offset", "bakery-waste"] {
        for corner in Corner::ALL {
            let (own, _) = taken_up(name, corner);
            match own {
                Ok(own) => eprintln!(
                    "== {name} {corner:?} missed {:?} unread {}\n{}\n{:#?}",
                    own.missed,
                    own.unread.len(),
                    &own.text,
                    findings(&own.text)
                ),
                Err(why) => eprintln!("== {name} {corner:?} {why:?}"),
            }
        }
    }
}
