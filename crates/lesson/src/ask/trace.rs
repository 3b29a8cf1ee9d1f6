//! What is found by following a pipe: which fixture it serves, how many depend on it, which way it flows.

use std::collections::BTreeSet;

use wyeline_job::model::System;
use wyeline_network::model::{FixtureIx, PipeIx};

use super::facts::{choice, pipe_of};
use super::{Answer, Asking, At, Kind, Question};
use crate::steps::words::compass;

/// Systems whose flow has an end at fixtures.
const SERVING: [System; 4] = [System::Waste, System::Cold, System::Hot, System::Gas];

/// Pipes by how many fixtures depend on them.
fn serving(
    asking: &Asking,
    many: impl Fn(usize) -> bool,
) -> Vec<(At, (PipeIx, BTreeSet<FixtureIx>))> {
    let facts = asking.facts;
    let mut candidates = Vec::new();
    for (ix, pipe) in facts.plain() {
        let on = facts.depend(ix);
        // A pipe at the fixture itself is no riddle.
        let at_it = [pipe.from, pipe.to]
            .iter()
            .any(|&node| facts.network.node(node).fixture.is_some());
        if SERVING.contains(&pipe.system) && many(on.len()) && !at_it && all_shown(asking, ix) {
            candidates.push((At::Pipe(ix), (ix, on)));
        }
    }
    candidates
}

/// Whether nothing that a pipe leads to goes on beyond the drawing, where nobody can follow it.
fn all_shown(asking: &Asking, on: PipeIx) -> bool {
    let network = asking.facts.network;
    let first = network.pipe(on);
    let drains = first.system.drains();
    let mut seen = BTreeSet::from([on]);
    let mut open = vec![on];
    while let Some(pipe) = open.pop() {
        let pipe = network.pipe(pipe);
        let beyond = if drains { pipe.from } else { pipe.to };
        let node = network.node(beyond);
        if matches!(
            node.kind,
            wyeline_network::model::NodeKind::Continues { .. }
        ) {
            return false;
        }
        let here = node.pipes.iter().copied();
        open.extend(here.filter(|&next| {
            let next_pipe = network.pipe(next);
            let leads = if drains { next_pipe.to } else { next_pipe.from };
            leads == beyond && next_pipe.system == first.system && seen.insert(next)
        }));
    }
    true
}

/// Which fixture a branch serves.
pub(super) fn serves(asking: &mut Asking) -> Option<Question> {
    let facts = asking.facts;
    let candidates = serving(asking, |many| many == 1);
    let (at, (ix, on)) = asking.pick(Kind::Serves, candidates)?;
    let fixture = *on.first()?;
    let tag = facts.tag(fixture)?.to_owned();
    let known: Vec<String> = facts
        .network
        .fixtures
        .iter()
        .map(|fixture| fixture.tag.clone())
        .collect();
    if known.len() < 2 {
        return None;
    }
    let pipe = facts.network.pipe(ix);
    let about = asking.letters(&[at])?;
    let (verb, along) = if pipe.system.drains() {
        ("drain", "upstream")
    } else {
        ("feed", "with the flow")
    };
    Some(facts.question(
        Kind::Serves,
        format!(
            "Which fixture does {} {} {verb}?",
            pipe_of(pipe.system),
            about[0].letter
        ),
        Answer::Word {
            right: vec![tag.clone()],
            known,
        },
        format!("Followed {along} it leads to {tag} and nowhere else."),
        about,
    ))
}

/// How many fixtures depend on a pipe.
pub(super) fn count(asking: &mut Asking) -> Option<Question> {
    let facts = asking.facts;
    let candidates = serving(asking, |many| many >= 2);
    let (at, (ix, on)) = asking.pick(Kind::Count, candidates)?;
    let pipe = facts.network.pipe(ix);
    let about = asking.letters(&[at])?;
    let letter = about[0].letter;
    let words = if pipe.system.drains() {
        format!("How many fixtures drain through pipe {letter}?")
    } else {
        format!(
            "How many fixtures and appliances does {} {letter} feed?",
            pipe_of(pipe.system)
        )
    };
    let tags: Vec<&str> = on
        .iter()
        .filter_map(|&fixture| facts.tag(fixture))
        .collect();
    let why = format!("{}: {}.", tags.len(), tags.join(", "));
    Some(facts.question(
        Kind::Count,
        words,
        Answer::Number(tags.len() as u32),
        why,
        about,
    ))
}

/// Which way it flows. The slips: against the flow, and the other hand of the compass.
pub(super) fn flow(asking: &mut Asking) -> Option<Question> {
    let facts = asking.facts;
    let candidates: Vec<(At, PipeIx)> = facts
        .plain()
        .filter(|(_, pipe)| pipe.system != System::Vent)
        .map(|(ix, _)| (At::Pipe(ix), ix))
        .collect();
    let (at, ix) = asking.pick(Kind::Flow, candidates)?;
    let pipe = facts.network.pipe(ix);
    let (from, to) = facts.network.drawn(pipe);
    let way = to - from;
    let axes = crate::steps::words::Measure::axes(way).len();
    // Of a tilted or rolling pipe the compass says only half.
    if axes != 1 && pipe.lie != wyeline_network::model::Lie::LevelSkew {
        return None;
    }
    let mirrored = [
        glam::DVec3::new(way.y, way.x, way.z),
        glam::DVec3::new(-way.y, -way.x, way.z),
    ];
    let right = compass(way);
    let plumb = matches!(right, "up" | "down");
    let mut wrong: Vec<String> = std::iter::once(-way)
        .chain(mirrored)
        .map(|slip| compass(slip).to_owned())
        .filter(|slip| slip != right)
        .collect();
    if plumb {
        wrong.extend(["north".to_owned(), "east".to_owned()]);
    } else if axes == 2 {
        // A level 45 is taken for a riser, or for pipe along an axis.
        wrong.extend(["up".to_owned(), "down".to_owned()]);
    }
    wrong.dedup();
    wrong.truncate(3);
    let about = asking.letters(&[at])?;
    let answer = choice(right, &wrong, asking.dice)?;
    let why = if plumb {
        format!("It stands plumb, and what flows in it goes {right}.")
    } else {
        format!(
            "From its upstream end it goes {} on paper, which is {right} from this corner.",
            paper(asking, way)
        )
    };
    Some(facts.question(
        Kind::Flow,
        format!("Which way does it flow in pipe {}?", about[0].letter),
        answer,
        why,
        about,
    ))
}

/// Where a way goes on paper.
fn paper(asking: &Asking, way: glam::DVec3) -> &'static str {
    let facts = asking.facts;
    crate::steps::words::Measure {
        projection: facts.projection,
        square_mm: 1.0,
        units: facts.network.units,
    }
    .paper(way)
}
