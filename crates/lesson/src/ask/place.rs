//! Which pipe lies above the ceiling, or below the floor.

use wyeline_network::model::{Level, PipeIx};

use super::facts::choice;
use super::{Asking, At, Kind, Question};

/// How clearly a pipe has to lie on one side of a surface, mm: no reader has to guess. Our own choice.
const CLEAR: f64 = 25.0;
/// Wrong options, at most.
const OTHERS: usize = 3;

/// Where a pipe is asked for.
#[derive(Clone, Copy)]
enum Side {
    Above,
    Below,
}

/// Asks for the one of several pipes that lies above a ceiling or below a floor.
pub(super) fn ask(asking: &mut Asking) -> Option<Question> {
    let facts = asking.facts;
    let levels = &facts.network.levels;
    let mut candidates = Vec::new();
    for level in levels {
        for side in [Side::Above, Side::Below] {
            for (pipe, _) in facts.plain() {
                if lies(asking, pipe, level, levels, side) == Some(true) {
                    candidates.push((At::Pipe(pipe), (pipe, level, side)));
                }
            }
        }
    }
    let (_, (pipe, level, side)) = asking.pick(Kind::Place, candidates)?;
    let mut others: Vec<PipeIx> = facts
        .plain()
        .map(|(other, _)| other)
        .filter(|&other| lies(asking, other, level, levels, side) == Some(false))
        .collect();
    asking.dice.shuffle(&mut others);
    others.truncate(OTHERS);
    if others.is_empty() {
        return None;
    }
    // The right one comes anywhere in the row of letters.
    let mut all: Vec<PipeIx> = std::iter::once(pipe).chain(others).collect();
    asking.dice.shuffle(&mut all);
    let things: Vec<At> = all.iter().map(|&pipe| At::Pipe(pipe)).collect();
    let mut about = asking.letters(&things)?;
    about.sort_by_key(|lettered| lettered.letter);
    let named = |one: &super::Lettered| format!("pipe {}", one.letter);
    let right = about
        .iter()
        .find(|one| one.at == At::Pipe(pipe))
        .map(named)?;
    let wrong: Vec<String> = about
        .iter()
        .filter(|one| one.at != At::Pipe(pipe))
        .map(named)
        .collect();
    let surface = surface(level, side)?;
    let (place, height) = match side {
        Side::Above => (format!("above the {} ceiling", level.name), surface),
        Side::Below => (format!("below the {} floor", level.name), surface),
    };
    let (a, b) = facts.truly(facts.network.pipe(pipe));
    let why = format!(
        "{right} lies at {}, {place} at {}; the others do not.",
        facts.length(f64::midpoint(a.z, b.z)),
        facts.length(height)
    );
    let answer = choice(&right, &wrong, asking.dice)?;
    Some(facts.question(
        Kind::Place,
        format!("Which of these pipes lies {place}?"),
        answer,
        why,
        about,
    ))
}

/// The height asked about, mm.
fn surface(level: &Level, side: Side) -> Option<f64> {
    match side {
        Side::Above => level.ceiling,
        Side::Below => Some(level.floor),
    }
}

/// Whether a pipe lies there, wholly and clearly; nothing where it lies there in part, or hardly.
///
/// Above a ceiling goes as far as the next floor, below a floor as far as the next ceiling or floor under it.
fn lies(
    asking: &Asking,
    pipe: PipeIx,
    level: &Level,
    levels: &[Level],
    side: Side,
) -> Option<bool> {
    let facts = asking.facts;
    let (a, b) = facts.truly(facts.network.pipe(pipe));
    let (low, high) = (a.z.min(b.z), a.z.max(b.z));
    let surface = surface(level, side)?;
    // The next surface that ends the space above or below.
    let ends = levels
        .iter()
        .flat_map(|other| [Some(other.floor), other.ceiling])
        .flatten();
    let (from, to) = match side {
        Side::Above => (
            surface,
            ends.filter(|z| *z > surface).fold(f64::INFINITY, f64::min),
        ),
        Side::Below => (
            ends.filter(|z| *z < surface)
                .fold(f64::NEG_INFINITY, f64::max),
            surface,
        ),
    };
    let inside = low > from + CLEAR && high < to - CLEAR;
    // Beyond the next surface it is still above the ceiling in plain words: that is no wrong option.
    let outside = match side {
        Side::Above => high < from - CLEAR,
        Side::Below => low > to + CLEAR,
    };
    match (inside, outside) {
        (true, _) => Some(true),
        (_, true) => Some(false),
        _ => None,
    }
}
