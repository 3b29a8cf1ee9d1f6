//! What the examples tell, told again by hand: the gesture comes to the same pipe.

mod common;

use common::{network, try_edit};
use serde_json::json;
use wyeline_job::Span;
use wyeline_job::model::{Reach, Run, StepKind};
use wyeline_network::Network;
use wyeline_network::model::Pipe;

/// How far the hand may be off, mm.
const WITHIN: f64 = 30.0;

/// Every sample job, by its name.
fn examples() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples");
    let files = std::fs::read_dir(folder).unwrap();
    let mut all: Vec<_> = files
        .map(|file| file.unwrap().path())
        .map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(&path).unwrap())
        })
        .filter(|(name, _)| name != "mistakes")
        .collect();
    all.sort();
    all
}

/// The text without the lines of a run from one step on.
fn up_to(text: &str, run: &Run, step: Span) -> String {
    let start = text[..step.start as usize].rfind('\n').unwrap() + 1;
    let last = run.steps.last().unwrap().span.end as usize;
    let end = text[last..].find('\n').unwrap() + last + 1;
    format!("{}{}", &text[..start], &text[end..])
}

/// Where a pipe ends as it is told.
fn told_end(network: &Network, run: &Run, pipe: &Pipe) -> [f64; 3] {
    let (from, to) = network.true_ends(pipe);
    let end = if run.system.drains() { from } else { to };
    end.into()
}

/// Each run's end let go where it lies: every node stands as in the job, and there are as many pipes.
#[test]
fn ends() {
    let mut told = 0;
    for (name, text) in examples() {
        let job = wyeline_job::read(&text).job;
        let whole = network(&text);
        for run in job.runs.iter().filter(|run| !run.name.text.contains('/')) {
            let last = run.steps.last().unwrap();
            // A size told for the last leg alone is no matter of the hand.
            let ends = matches!(
                last.kind,
                StepKind::End { size: None, .. } | StepKind::Join(_)
            );
            let mut pipes = whole.pipes.iter();
            let pipe = pipes.rfind(|pipe| pipe.span == last.span && !pipe.arm);
            let (Some(pipe), true) = (pipe, ends) else {
                continue;
            };
            let [x, y, _] = told_end(&whole, run, pipe);
            let open = up_to(&text, run, last.span);
            let meet = json!({"do": "meet", "run": run.name.text, "at": [x, y], "within": WITHIN});
            let done = try_edit(&open, &meet)
                .unwrap_or_else(|refusal| panic!("{name} {}: {refusal:?}", run.name.text));
            let new = network(&done.text);
            assert_eq!(new.pipes.len(), whole.pipes.len(), "{name}: {}", done.said);
            for node in &whole.nodes {
                let near = new.nodes.iter().map(|other| other.at.distance(node.at));
                let near = near.fold(f64::INFINITY, f64::min);
                assert!(near < 1e-6, "{name} {}: {}", run.name.text, done.said);
            }
            told += 1;
        }
    }
    assert!(told > 50, "{told}");
}

/// Each level move pulled to its end again: the new one ends within the hand's reach and half an inch of it,
/// and where it was abreast of something it is so again, to the hair.
#[test]
fn moves() {
    let (mut told, mut abreast) = (0, 0);
    for (name, text) in examples() {
        let job = wyeline_job::read(&text).job;
        let whole = network(&text);
        for run in job.runs.iter().filter(|run| !run.name.text.contains('/')) {
            for step in &run.steps {
                let StepKind::Level { reach, .. } = &step.kind else {
                    continue;
                };
                let Some(pipe) = whole.pipes.iter().rfind(|pipe| pipe.span == step.span) else {
                    continue;
                };
                let [x, y, _] = told_end(&whole, run, pipe);
                let open = up_to(&text, run, step.span);
                let pull =
                    json!({"do": "pull", "run": run.name.text, "to": [x, y], "within": WITHIN});
                // Where another run starts farther on, the job without that is no whole one.
                let Ok(done) = try_edit(&open, &pull) else {
                    continue;
                };
                let at = done.snap.unwrap().at;
                let off = (at[0] - x).hypot(at[1] - y);
                assert!(
                    off <= WITHIN + 12.7,
                    "{name} {}: {} is {off} mm off",
                    run.name.text,
                    done.said
                );
                if matches!(reach, Reach::Abreast(_)) && done.said.contains("abreast") {
                    assert!(
                        off < 1e-6,
                        "{name} {}: {} is {off} mm off",
                        run.name.text,
                        done.said
                    );
                    abreast += 1;
                }
                told += 1;
            }
        }
    }
    assert!(told > 200 && abreast > 100, "{told}, {abreast}");
}
