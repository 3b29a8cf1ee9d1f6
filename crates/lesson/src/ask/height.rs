//! How high a pipe lies above the floor: of level pipe as it is, of a drain from its lower end and its fall.
//!
//! The slips: the fall forgotten, or taken the wrong way; the height of the pipe's other end.

use wyeline_network::model::{Lie, PipeIx};

use super::facts::choice;
use super::{Answer, Asking, At, Kind, Question};

/// Asks for a height.
pub(super) fn ask(asking: &mut Asking) -> Option<Question> {
    if asking.dice.coin() {
        drain(asking).or_else(|| level(asking))
    } else {
        level(asking).or_else(|| drain(asking))
    }
}

/// The level whose floor heights are told from: the next below, or the lowest.
fn floor<'a>(asking: &Asking<'a>, z: f64) -> Option<&'a wyeline_network::model::Level> {
    let levels = asking.facts.network.levels.iter();
    let below = levels.clone().filter(|level| level.floor <= z);
    below
        .max_by(|a, b| a.floor.total_cmp(&b.floor))
        .or_else(|| levels.min_by(|a, b| a.floor.total_cmp(&b.floor)))
}

/// The upper end of a drain, by its lower end and its fall.
fn drain(asking: &mut Asking) -> Option<Question> {
    let facts = asking.facts;
    let candidates: Vec<(At, PipeIx)> = facts
        .plain()
        .filter(|(_, pipe)| {
            let falls = pipe.slope.is_some() && pipe.lie != Lie::Vertical;
            falls && pipe.fall_mm > 4.0 * facts.within(1) && facts.smooth(pipe)
        })
        .map(|(ix, _)| (At::Pipe(ix), ix))
        .collect();
    let (at, ix) = asking.pick(Kind::Height, candidates)?;
    let pipe = facts.network.pipe(ix);
    let (upper, lower) = facts.truly(pipe);
    let level = floor(asking, lower.z)?;
    let about = asking.letters(&[at])?;
    let letter = about[0].letter;
    let of = |z: f64| against(asking, z - level.floor, &level.name);
    let slope = pipe.slope?.slope.show(facts.network.units);
    let right = of(upper.z);
    let wrong = [
        // The fall forgotten; taken downward; taken twice.
        of(lower.z),
        of(lower.z - pipe.fall_mm),
        of(lower.z + 2.0 * pipe.fall_mm),
    ];
    let words = format!(
        "The centre of pipe {letter} lies {} at its lower end. It is {} long and falls {slope}. How high is its centre at the upper end?",
        of(lower.z),
        facts.length(facts.network.length_mm(pipe)),
    );
    let why = format!(
        "It rises upstream by its fall, {}: {right}.",
        facts.length(pipe.fall_mm)
    );
    let answer = choice(&right, &wrong, asking.dice)?;
    Some(facts.question(Kind::Height, words, answer, why, about))
}

/// The height of level pipe, typed: told from an end whose height the drawing gives, by the drop or rise between.
fn level(asking: &mut Asking) -> Option<Question> {
    let facts = asking.facts;
    let network = facts.network;
    // A level pipe and a plumb one that meets it.
    let mut candidates = Vec::new();
    for (ix, pipe) in facts.plain() {
        let (a, b) = facts.truly(pipe);
        if pipe.lie == Lie::Vertical || (a.z - b.z).abs() > f64::EPSILON {
            continue;
        }
        for node in [pipe.from, pipe.to] {
            let meets = network.node(node).pipes.iter();
            for &other in meets.filter(|other| facts.shown.contains(other)) {
                let plumb = network.pipe(other);
                let (c, d) = facts.truly(plumb);
                if plumb.lie == Lie::Vertical && (c.z - d.z).abs() >= 100.0 {
                    let far = if (c.z - a.z).abs() > (d.z - a.z).abs() {
                        c.z
                    } else {
                        d.z
                    };
                    candidates.push((At::Pipe(ix), (ix, other, far)));
                }
            }
        }
    }
    let (at, (ix, plumb, far)) = asking.pick(Kind::Height, candidates)?;
    let (here, _) = facts.truly(network.pipe(ix));
    let level = floor(asking, here.z)?;
    let about = asking.letters(&[at, At::Pipe(plumb)])?;
    let [a, b] = [about[0].letter, about[1].letter];
    let far_end = if far > here.z { "upper" } else { "lower" };
    let told = against(asking, far - level.floor, &level.name);
    let words = format!(
        "Pipe {b} stands plumb and is {} long; the centre of the pipe at its {far_end} end lies {told}. How high above the {} floor is the centre of pipe {a} (below it: with a minus)?",
        facts.length((far - here.z).abs()),
        level.name,
    );
    let why = format!(
        "From the {far_end} end of {b} it is {} to {a}: {}.",
        facts.length((far - here.z).abs()),
        against(asking, here.z - level.floor, &level.name)
    );
    let answer = Answer::Length {
        mm: here.z - level.floor,
        within_mm: facts.within(2),
    };
    Some(facts.question(Kind::Height, words, answer, why, about))
}

/// A height against a floor in words: `2'-3" below the main floor`.
fn against(asking: &Asking, mm: f64, level: &str) -> String {
    let facts = asking.facts;
    if mm.abs() < facts.within(1) / 2.0 {
        format!("level with the {level} floor")
    } else {
        let side = if mm > 0.0 { "above" } else { "below" };
        format!("{} {side} the {level} floor", facts.length(mm.abs()))
    }
}
