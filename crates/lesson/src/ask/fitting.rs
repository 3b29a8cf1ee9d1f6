//! Which fitting stands at a point, as the crate that names fittings has it.
//!
//! The slips: a 45 for a 90, a bend for a branch, the branch's size for the run's. Two fittings that only differ in their sweep are never set
//! against each other: a drawing does not tell them apart.

use std::fmt::Write as _;

use wyeline_fit::model::{Fitting, Shape};
use wyeline_fit::name;
use wyeline_network::model::NodeIx;

use super::facts::choice;
use super::{Asking, At, Kind, Question};

/// What tells fittings apart on a drawing.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Class {
    /// One pipe turns 90 degrees.
    Turn90,
    /// One pipe turns 45 degrees.
    Turn45,
    /// One branch, square.
    Branch90,
    /// One branch at 45 degrees.
    Branch45,
    /// A change of size in line.
    InLine,
}

fn class(shape: Shape) -> Option<Class> {
    Some(match shape {
        Shape::QuarterBend
        | Shape::ShortSweep
        | Shape::LongSweep
        | Shape::VentElbow
        | Shape::Elbow90 => Class::Turn90,
        Shape::EighthBend | Shape::Elbow45 => Class::Turn45,
        Shape::SanitaryTee | Shape::Combination | Shape::VentTee | Shape::Tee => Class::Branch90,
        Shape::Wye => Class::Branch45,
        Shape::Reducer => Class::InLine,
        _ => return None,
    })
}

/// One shape of each class, for drains and for pressure pipe.
const DRAIN: [Shape; 5] = [
    Shape::LongSweep,
    Shape::EighthBend,
    Shape::SanitaryTee,
    Shape::Wye,
    Shape::Reducer,
];
const PRESSURE: [Shape; 4] = [Shape::Elbow90, Shape::Elbow45, Shape::Tee, Shape::Reducer];

/// Asks which fitting stands at a node that has a single one.
pub(super) fn ask(asking: &mut Asking) -> Option<Question> {
    let facts = asking.facts;
    let fitted = facts.fitted?;
    let mut candidates: Vec<(At, (NodeIx, &Fitting))> = Vec::new();
    for node in facts.nodes() {
        let Some(joint) = fitted.joints.get(node.0 as usize) else {
            continue;
        };
        if let [fitting] = joint.fittings.as_slice()
            && class(fitting.shape).is_some()
            && !fitting.sizes.is_empty()
            && fitting.other.is_none()
        {
            candidates.push((At::Node(node), (node, fitting)));
        }
    }
    let (at, (_, fitting)) = asking.pick(Kind::Fitting, candidates)?;
    let units = facts.network.units;
    let own = class(fitting.shape)?;
    let drains = matches!(
        fitting.shape,
        Shape::QuarterBend
            | Shape::ShortSweep
            | Shape::LongSweep
            | Shape::VentElbow
            | Shape::EighthBend
            | Shape::SanitaryTee
            | Shape::Combination
            | Shape::VentTee
            | Shape::Wye
    ) || fitting.system.drains();
    let others: &[Shape] = if drains { &DRAIN } else { &PRESSURE };
    let mut wrong: Vec<String> = others
        .iter()
        .filter(|&&shape| class(shape) != Some(own))
        .map(|&shape| {
            let mut ends = fitting.sizes.clone();
            match class(shape) {
                // One size says a bend; a reducer needs two that differ.
                Some(Class::Turn90 | Class::Turn45) => ends.truncate(1),
                Some(Class::InLine) => ends.dedup(),
                _ => {}
            }
            // One size is no change of size: then it is a coupling that a bend is taken for.
            let shape = if shape == Shape::Reducer && ends.len() < 2 {
                Shape::Coupling
            } else {
                shape
            };
            name::sized(fitting.family, shape, &ends, units)
        })
        .collect();
    asking.dice.shuffle(&mut wrong);
    wrong.truncate(3);
    let right = name::fitting(fitting, units);
    let about = asking.letters(&[at])?;
    let letter = about[0].letter;
    let what = match own {
        Class::Turn90 => "one pipe turns a square corner there",
        Class::Turn45 => "one pipe turns by 45 degrees there",
        Class::Branch90 => "a branch comes in square there",
        Class::Branch45 => "a branch comes in at 45 degrees there",
        Class::InLine => "the size changes in line there",
    };
    let mut why = format!("{}: {right}.", crate::steps::words::capital(what));
    if let Some(cite) = &fitting.cite {
        let _ = write!(why, " {}", wyeline_whole::words::stands(cite));
    }
    let answer = choice(&right, &wrong, asking.dice)?;
    Some(facts.question(
        Kind::Fitting,
        format!("Which fitting stands at {letter}?"),
        answer,
        why,
        about,
    ))
}
