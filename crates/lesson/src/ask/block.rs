//! Questions about a block: how long an edge is, which way it runs, how many edges are hidden.

use std::collections::BTreeSet;

use wyeline_units::UnitSystem;

use super::facts::choice;
use super::letters::Letters;
use super::{Answer, At, Kind, Question};
use crate::dice::Dice;
use crate::steps::Edge;
use crate::steps::words::{NO_EXTENT, compass};

/// Returns questions about a block, as many as are wanted or as it gives.
///
/// * `square_mm`: what one square of the block's input is in its edges, mm
pub fn of_block(edges: &[Edge], square_mm: f64, dice: &mut Dice, how_many: usize) -> Vec<Question> {
    let sound = |edge: &Edge| {
        let long = edge.from.distance(edge.to);
        long.is_finite() && long > NO_EXTENT
    };
    let mut seen: Vec<usize> = (0..edges.len())
        .filter(|&at| sound(&edges[at]) && !edges[at].hidden)
        .collect();
    dice.shuffle(&mut seen);
    let mut letters = Letters::default();
    let mut asked: BTreeSet<usize> = BTreeSet::new();
    let mut questions = Vec::new();
    if how_many > 0 && !seen.is_empty() {
        questions.push(hidden(edges, &sound));
    }
    for (n, at) in seen.into_iter().enumerate() {
        if questions.len() >= how_many {
            break;
        }
        if asked.insert(at) {
            let edge = &edges[at];
            let question = if n % 2 == 0 {
                length(edge, at, square_mm, &mut letters)
            } else {
                runs(edge, at, &mut letters, dice)
            };
            questions.extend(question);
        }
    }
    questions
}

/// How many edges are hidden.
fn hidden(edges: &[Edge], sound: &impl Fn(&Edge) -> bool) -> Question {
    let count = edges
        .iter()
        .filter(|edge| edge.hidden && sound(edge))
        .count();
    Question {
        kind: Kind::Block,
        words: "How many hidden lines does the block have from this corner?".to_owned(),
        answer: Answer::Number(count as u32),
        why: format!("{count} lines are dashed in the key."),
        about: Vec::new(),
        units: UnitSystem::Millimetres,
    }
}

/// How many squares an edge is long.
fn length(edge: &Edge, at: usize, square_mm: f64, letters: &mut Letters) -> Option<Question> {
    let squares = (edge.from.distance(edge.to) / square_mm).round();
    let about = letters.of(&[At::Edge(at)])?;
    Some(Question {
        kind: Kind::Block,
        words: format!("How many squares long is edge {}?", about[0].letter),
        answer: Answer::Number(squares as u32),
        why: format!("Counted along its axis it is {squares}."),
        about,
        units: UnitSystem::Millimetres,
    })
}

/// Which way an edge runs.
fn runs(edge: &Edge, at: usize, letters: &mut Letters, dice: &mut Dice) -> Option<Question> {
    const WAYS: [&str; 3] = ["north and south", "east and west", "up and down"];
    let right = match compass(edge.to - edge.from) {
        "north" | "south" => WAYS[0],
        "east" | "west" => WAYS[1],
        "up" | "down" => WAYS[2],
        _ => return None,
    };
    let wrong: Vec<String> = WAYS
        .into_iter()
        .filter(|way| *way != right)
        .map(str::to_owned)
        .collect();
    let about = letters.of(&[At::Edge(at)])?;
    Some(Question {
        kind: Kind::Block,
        words: format!("Which way does edge {} run?", about[0].letter),
        answer: choice(right, &wrong, dice)?,
        why: format!("It lies along the axis {right}."),
        about,
        units: UnitSystem::Millimetres,
    })
}
