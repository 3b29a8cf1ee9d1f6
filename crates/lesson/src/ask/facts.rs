//! What questions are asked from: the pipes shown, what depends on each, and what stands at the nodes.

use std::collections::BTreeSet;

use glam::DVec3;
use wyeline_draw::{Part, Projection};
use wyeline_fit::Fitted;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, NodeIx, Pipe, PipeIx};

use super::{Answer, Kind, Lettered, Question};
use crate::dice::Dice;
use crate::steps::words;

/// A pipe shorter than this is hard to point at, mm; our own choice.
const LEAST: f64 = 225.0;
/// How far off an answered length may be: 1/16 in, or 1 mm in metric jobs. What the drawing rounds its figures to.
const SIXTEENTH: f64 = 25.4 / 16.0;

/// A network as questions look at it.
pub(crate) struct Facts<'a> {
    pub network: &'a Network,
    pub shown: Vec<PipeIx>,
    pub fitted: Option<&'a Fitted>,
    pub projection: Projection,
}

impl<'a> Facts<'a> {
    pub fn of(
        network: &'a Network,
        part: &Part,
        fitted: Option<&'a Fitted>,
        projection: Projection,
    ) -> Self {
        let shown = wyeline_draw::shown(network, part);
        let finite = |pipe: &PipeIx| {
            let (a, b) = network.drawn(network.pipe(*pipe));
            a.is_finite() && b.is_finite()
        };
        Self {
            network,
            shown: shown.into_iter().filter(finite).collect(),
            fitted,
            projection,
        }
    }

    /// The pipes that are long enough to be pointed at.
    pub fn plain(&self) -> impl Iterator<Item = (PipeIx, &'a Pipe)> {
        let network = self.network;
        self.shown
            .iter()
            .map(move |&ix| (ix, network.pipe(ix)))
            .filter(move |(_, pipe)| network.length_mm(pipe) >= LEAST)
    }

    /// The fixtures that depend on a pipe: that drain through it, or are fed by it.
    pub fn depend(&self, on: PipeIx) -> BTreeSet<FixtureIx> {
        let first = self.network.pipe(on);
        let drains = first.system.drains();
        let mut fixtures = BTreeSet::new();
        let mut seen = BTreeSet::from([on]);
        let mut open = vec![on];
        while let Some(pipe) = open.pop() {
            let pipe = self.network.pipe(pipe);
            let beyond = if drains { pipe.from } else { pipe.to };
            let node = self.network.node(beyond);
            fixtures.extend(node.fixture);
            let goes_on = node.pipes.iter().filter(|&&next| {
                let next = self.network.pipe(next);
                let leads = if drains { next.to } else { next.from };
                leads == beyond && next.system == first.system
            });
            open.extend(goes_on.filter(|next| seen.insert(**next)));
        }
        fixtures
    }

    /// Both ends as they truly lie, upstream first.
    pub fn truly(&self, pipe: &Pipe) -> (DVec3, DVec3) {
        self.network.true_ends(pipe)
    }

    /// Whether the heights of a drain's ends differ by its fall alone: where the size changes at an end, crowns or inverts may be
    /// kept level there, and the centre jumps.
    pub fn smooth(&self, pipe: &Pipe) -> bool {
        let (from, to) = self.truly(pipe);
        (from.z - to.z - pipe.fall_mm).abs() < 0.01
    }

    /// A length as it is told.
    pub fn length(&self, mm: f64) -> String {
        words::length(mm, self.network.units)
    }

    /// How far off an answer may be that adds up so many figures, each rounded on the drawing by as much as half of what it is rounded to.
    pub fn within(&self, figures: usize) -> f64 {
        let one = if self.network.units.is_metric() {
            1.0
        } else {
            SIXTEENTH
        };
        one.max(figures as f64 * one / 2.0)
    }

    /// What a fixture is called.
    pub fn tag(&self, fixture: FixtureIx) -> Option<&'a str> {
        let fixture = self.network.fixtures.get(fixture.0 as usize)?;
        Some(&fixture.tag)
    }

    /// Nodes at which a pipe and others meet or turn.
    pub fn nodes(&self) -> BTreeSet<NodeIx> {
        let pipes = self.shown.iter().map(|&pipe| self.network.pipe(pipe));
        pipes.flat_map(|pipe| [pipe.from, pipe.to]).collect()
    }

    /// A question about these letters.
    pub fn question(
        &self,
        kind: Kind,
        words: String,
        answer: Answer,
        why: String,
        about: Vec<Lettered>,
    ) -> Question {
        Question {
            kind,
            words,
            answer,
            why,
            about,
            units: self.network.units,
        }
    }
}

/// A choice of the right option and wrong ones in an order that the dice choose; nothing where two read the same.
pub(crate) fn choice(right: &str, wrong: &[String], dice: &mut Dice) -> Option<Answer> {
    let mut options = vec![right.to_owned()];
    for option in wrong {
        if options.contains(option) {
            continue;
        }
        options.push(option.clone());
    }
    if options.len() < 2 {
        return None;
    }
    dice.shuffle(&mut options);
    let right = options.iter().position(|option| option == right)?;
    Some(Answer::Choice { options, right })
}

/// What flows in a system, as a question says it.
pub(crate) fn pipe_of(system: System) -> &'static str {
    match system {
        System::Waste => "waste pipe",
        System::Vent => "vent pipe",
        System::Storm => "storm pipe",
        System::Cold => "cold pipe",
        System::Hot => "hot pipe",
        System::HotReturn => "hot return",
        System::Gas => "gas pipe",
    }
}
