//! Which fitting the code in force lets make which change of direction.
//!
//! From the pack's table of fittings (IPC 2021 Table 706.3, UPC 2021 section 706); where no code is in force, or
//! the code's data has no such table, short bends and tees turn waste downwards only, as both of these have it.

use std::collections::HashSet;

use wyeline_codes::{Allowed, Change, Cite, Family as Kind, Pack};
use wyeline_network::arms::TrapArm;
use wyeline_network::model::PipeIx;
use wyeline_sizing::{Role, at_least};
use wyeline_units::Size;

use super::{End, Given};
use crate::model::Shape;

/// What the code says of a fitting in a place.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// It may stand there; where that is said.
    Yes(Option<Cite>),
    /// It may not; where that is said.
    No(Option<Cite>),
}

impl Verdict {
    /// It may stand there.
    pub fn yes(&self) -> bool {
        matches!(self, Self::Yes(_))
    }
    /// Where it is said.
    pub fn cite(&self) -> Option<&Cite> {
        match self {
            Self::Yes(cite) | Self::No(cite) => cite.as_ref(),
        }
    }
}

/// The code's rules for changes of direction.
pub struct Law<'a> {
    pack: Option<&'a Pack>,
    fixture_drains: HashSet<PipeIx>,
}

/// The name of a shape in the tables of codes, where they know it.
fn word(shape: Shape) -> Option<&'static str> {
    Some(match shape {
        Shape::QuarterBend => "quarter-bend",
        Shape::ShortSweep => "short-sweep",
        Shape::LongSweep => "long-sweep",
        Shape::SixthBend => "sixth-bend",
        Shape::EighthBend => "eighth-bend",
        Shape::SixteenthBend => "sixteenth-bend",
        Shape::SanitaryTee | Shape::DoubleSanitaryTee => "sanitary-tee",
        Shape::Wye | Shape::DoubleWye => "wye",
        Shape::Combination | Shape::DoubleCombination => "combination",
        _ => return None,
    })
}

/// The change of direction from one end to the other by the way the water flows; nothing between two vertical ends.
pub(crate) fn change(from: &End, to: &End) -> Option<Change> {
    match (from.vertical(), to.vertical()) {
        (false, true) => Some(Change::HorizontalToVertical),
        (true, false) => Some(Change::VerticalToHorizontal),
        (false, false) => Some(Change::HorizontalToHorizontal),
        (true, true) => None,
    }
}

impl<'a> Law<'a> {
    pub(crate) fn new(given: &Given<'a>, arms: &[TrapArm]) -> Self {
        let fixture_drains = match given.code {
            Some((_, sized)) => (0..sized.pipes.len() as u32)
                .map(PipeIx)
                .filter(|pipe| sized.pipes[pipe.0 as usize].role == Role::FixtureDrain)
                .collect(),
            None => arms
                .iter()
                .flat_map(|arm| arm.pipes.iter().copied())
                .collect(),
        };
        Self {
            pack: given.code.map(|(pack, _)| pack),
            fixture_drains,
        }
    }

    /// The code is of the kind that asks for double fixture fittings where two fixtures share a vertical pipe
    /// (UPC 2021 905.6, note seen).
    pub(crate) fn wants_double_fixture_fitting(&self) -> bool {
        self.pack.is_some_and(|pack| pack.family() == Kind::DfuUpc)
    }

    /// Whether a shape may lead waste from one end to the other.
    pub(crate) fn says(&self, shape: Shape, from: &End, to: &End) -> Verdict {
        let Some(change) = change(from, to) else {
            return Verdict::Yes(None);
        };
        if from.dry {
            return Verdict::Yes(None);
        }
        let told = word(shape).and_then(|word| self.pack?.fitting_allowed(word, change).ok());
        let Some(told) = told else {
            return practice(shape, change);
        };
        let yes = match &told.value {
            Allowed::Yes => true,
            Allowed::No => false,
            Allowed::FixtureDrains { up_to, or_from } => from.size.is_some_and(|size| {
                (self.fixture_drains.contains(&from.pipe) && !above(size, *up_to))
                    || or_from.is_some_and(|least| at_least(size, least))
            }),
        };
        if yes {
            Verdict::Yes(Some(told.cite))
        } else {
            Verdict::No(Some(told.cite))
        }
    }
}

fn above(size: Size, limit: Size) -> bool {
    at_least(size, limit) && size != limit
}

/// Where no table is at hand: what both tables have in common.
fn practice(shape: Shape, change: Change) -> Verdict {
    let short = matches!(
        shape,
        Shape::QuarterBend
            | Shape::ShortSweep
            | Shape::VentElbow
            | Shape::SanitaryTee
            | Shape::DoubleSanitaryTee
            | Shape::DoubleFixtureFitting
            | Shape::VentTee
    );
    if short && !matches!(change, Change::HorizontalToVertical) {
        Verdict::No(None)
    } else {
        Verdict::Yes(None)
    }
}
