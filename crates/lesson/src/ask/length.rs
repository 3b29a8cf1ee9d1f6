//! How long a run is, centre to centre, and how far a pipe falls.
//!
//! The slips: the paper's length of a slanting line taken for the true one (NAVEDTRA 14276), one leg of a 45 for its travel, all legs added.

use wyeline_network::model::{Lie, PipeIx};

use super::facts::choice;
use super::{Answer, Asking, At, Kind, Lettered, Question};
use crate::steps::order;

/// Pipes that one length goes over, at most: more are a sum, not a reading.
const PIPES: usize = 4;

/// Asks for the length of a run between two letters, or of a skew pipe.
pub(super) fn ask(asking: &mut Asking) -> Option<Question> {
    if asking.dice.coin() {
        skew(asking).or_else(|| run(asking))
    } else {
        run(asking).or_else(|| skew(asking))
    }
}

/// The length of a run of several pipes, typed.
fn run(asking: &mut Asking) -> Option<Question> {
    let facts = asking.facts;
    let network = facts.network;
    let mut candidates = Vec::new();
    for path in order::paths(network, &facts.shown) {
        for from in 0..path.pipes.len() {
            for many in 2..=PIPES.min(path.pipes.len() - from) {
                let pipes: Vec<PipeIx> = path.pipes[from..from + many].to_vec();
                let ends = [path.nodes[from], path.nodes[from + many]];
                if ends[0] != ends[1] && readable(asking, &pipes) {
                    candidates.push((At::Node(ends[0]), (pipes, ends)));
                }
            }
        }
    }
    let (_, (pipes, ends)) = asking.pick(Kind::Length, candidates)?;
    let about = asking.letters(&ends.map(At::Node))?;
    let parts: Vec<f64> = pipes
        .iter()
        .map(|&pipe| network.length_mm(network.pipe(pipe)))
        .collect();
    let told: Vec<String> = parts.iter().map(|part| facts.length(*part)).collect();
    let all: f64 = parts.iter().sum();
    let [a, b] = [about[0].letter, about[1].letter];
    Some(facts.question(
        Kind::Length,
        format!("How long is the pipe from {a} to {b}, centre to centre, all its parts together?"),
        Answer::Length {
            mm: all,
            within_mm: facts.within(pipes.len()),
        },
        format!("{} make {}.", told.join(" + "), facts.length(all)),
        about,
    ))
}

/// Whether every part of a run can be told from the next on the drawing: each long enough to have its figure.
fn readable(asking: &Asking, pipes: &[PipeIx]) -> bool {
    let plain: Vec<PipeIx> = asking.facts.plain().map(|(pipe, _)| pipe).collect();
    pipes.iter().all(|pipe| plain.contains(pipe))
}

/// The length of a skew pipe, chosen among the slips.
fn skew(asking: &mut Asking) -> Option<Question> {
    let facts = asking.facts;
    let skew = |lie: Lie| matches!(lie, Lie::LevelSkew | Lie::Tilted | Lie::Rolling);
    let candidates: Vec<(At, PipeIx)> = facts
        .plain()
        .filter(|(_, pipe)| skew(pipe.lie))
        .map(|(ix, _)| (At::Pipe(ix), ix))
        .collect();
    let (at, pipe) = asking.pick(Kind::Length, candidates)?;
    let (from, to) = facts.network.drawn(facts.network.pipe(pipe));
    let way = to - from;
    let legs: Vec<f64> = way
        .abs()
        .to_array()
        .into_iter()
        .filter(|leg| *leg > crate::steps::words::NO_EXTENT)
        .collect();
    let longest = legs.iter().copied().fold(0.0, f64::max);
    // What a rule laid on the line says, at the scale of the axes.
    let paper = facts.projection.vector(way).hypot() / facts.projection.factor();
    let slips = [paper, longest, legs.iter().sum()];
    let clear = facts.within(1) * 4.0;
    let wrong: Vec<String> = slips
        .into_iter()
        .filter(|slip| (slip - way.length()).abs() > clear)
        .map(|slip| facts.length(slip))
        .collect();
    let about = asking.letters(&[at])?;
    let letter = about[0].letter;
    let told: Vec<String> = legs.iter().map(|leg| facts.length(*leg)).collect();
    let why = format!(
        "It is the diagonal over {}: the root of the sum of their squares is {}. The line on paper has another length.",
        told.join(" and "),
        facts.length(way.length())
    );
    let answer = choice(&facts.length(way.length()), &wrong, asking.dice)?;
    Some(facts.question(
        Kind::Length,
        format!("How long is pipe {letter}, centre to centre?"),
        answer,
        why,
        about,
    ))
}

/// How far a pipe falls.
pub(super) fn fall(asking: &mut Asking) -> Option<Question> {
    let facts = asking.facts;
    let candidates: Vec<(At, PipeIx)> = facts
        .plain()
        .filter(|(_, pipe)| {
            let falls = pipe.slope.is_some() && pipe.lie != Lie::Vertical;
            falls && pipe.fall_mm > facts.within(1) && facts.smooth(pipe)
        })
        .map(|(ix, _)| (At::Pipe(ix), ix))
        .collect();
    let (at, ix) = asking.pick(Kind::Fall, candidates)?;
    let about: Vec<Lettered> = asking.letters(&[at])?;
    let pipe = facts.network.pipe(ix);
    let slope = pipe.slope?.slope.show(facts.network.units);
    let answer = Answer::Fall {
        mm: pipe.fall_mm,
        within_mm: facts.within(1),
    };
    Some(facts.question(
        Kind::Fall,
        format!(
            "How far does pipe {} fall from one end to the other?",
            about[0].letter
        ),
        answer,
        format!(
            "{} at {slope} fall {}.",
            facts.length(facts.network.length_mm(pipe)),
            facts.length(pipe.fall_mm)
        ),
        about,
    ))
}
