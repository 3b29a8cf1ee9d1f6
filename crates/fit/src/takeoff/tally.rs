//! Gathers what is counted into lines, as fine as what, name, material, sizes, plumb, phase, system and level; and sums
//! lines for lists.

use std::collections::BTreeMap;

use wyeline_job::model::System;
use wyeline_network::model::LevelIx;
use wyeline_units::Size;

use super::{Amount, Line, What};
use crate::model::{Mark, Phase};

/// What tells one line from another.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Key {
    pub phase: Phase,
    pub system: System,
    pub level: Option<LevelIx>,
    pub what: What,
    pub material: String,
    pub name: String,
    pub sizes: Vec<Size>,
    pub plumb: bool,
}

/// Lines under way.
#[derive(Default)]
pub(super) struct Tally {
    lines: BTreeMap<Key, Line>,
}

impl Tally {
    pub fn add(
        &mut self,
        key: Key,
        amount: Amount,
        from: impl IntoIterator<Item = Mark>,
        source: &str,
        estimated: bool,
    ) {
        let line = self.lines.entry(key).or_insert_with_key(|key| Line {
            what: key.what,
            name: key.name.clone(),
            material: key.material.clone(),
            sizes: key.sizes.clone(),
            amount: amount.none(),
            spare_percent: None,
            spare: None,
            plumb: key.plumb,
            phase: key.phase,
            system: key.system,
            level: key.level,
            from: Vec::new(),
            source: source.to_owned(),
            estimated: false,
        });
        line.amount = line.amount.plus(amount);
        line.from.extend(from);
        line.estimated |= estimated;
    }

    /// The lines in the order of their keys.
    pub fn lines(self) -> Vec<Line> {
        let lines = self.lines.into_values();
        lines
            .map(|mut line| {
                line.from = each_once(line.from);
                line
            })
            .collect()
    }
}

/// Marks in order, each once.
fn each_once(mut marks: Vec<Mark>) -> Vec<Mark> {
    marks.sort_by_cached_key(|mark| match mark {
        Mark::Piece(number) => (0, *number, 0, String::new()),
        Mark::Fitting(id) => (1, 0, 0, id.clone()),
        Mark::Fixture(ix) => (2, ix.0, 0, String::new()),
        Mark::Crossing(pipe, level) => (3, pipe.0, level.0, String::new()),
    });
    marks.dedup();
    marks
}

/// By what lists are divided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// Not at all.
    Whole,
    /// Underground, rough, finish.
    Phase,
    /// What flows in it.
    System,
    /// The level it is worked on.
    Level,
}

/// Which part of a list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// All of it.
    Whole,
    /// Of a phase.
    Phase(Phase),
    /// Of a system.
    System(System),
    /// On a level; nothing below them all.
    Level(Option<LevelIx>),
}

/// Lines that are alike but for what the list is not divided by, summed.
#[derive(Clone, Debug, PartialEq)]
pub struct Sum {
    /// What it is.
    pub what: What,
    /// What it is called at the counter.
    pub name: String,
    /// The material.
    pub material: String,
    /// The sizes.
    pub sizes: Vec<Size>,
    /// Pipe that stands.
    pub plumb: bool,
    /// How much.
    pub amount: Amount,
    /// What is added for waste; counts are rounded up once, here.
    pub spare: Option<Amount>,
    /// What it leads back to.
    pub from: Vec<Mark>,
    /// How it was come by, each way once.
    pub sources: Vec<String>,
    /// It rests on an estimate, in part at least.
    pub estimated: bool,
}

/// Returns the lines summed, part by part; in each part pipe first, then fittings, then the rest.
pub fn grouped(lines: &[Line], by: By) -> Vec<(Part, Vec<Sum>)> {
    type Alike<'a> = (What, &'a str, &'a [Size], &'a str, bool);
    type Parts<'a> = BTreeMap<Part, BTreeMap<Alike<'a>, Vec<&'a Line>>>;
    let mut parts = Parts::new();
    for line in lines {
        let part = match by {
            By::Whole => Part::Whole,
            By::Phase => Part::Phase(line.phase),
            By::System => Part::System(line.system),
            By::Level => Part::Level(line.level),
        };
        let alike = (
            line.what,
            &*line.material,
            &*line.sizes,
            &*line.name,
            line.plumb,
        );
        parts
            .entry(part)
            .or_default()
            .entry(alike)
            .or_default()
            .push(line);
    }
    let parts = parts.into_iter();
    parts
        .map(|(part, alike)| (part, alike.values().map(|lines| sum(lines)).collect()))
        .collect()
}

/// The sum of lines that are alike; at least one.
fn sum(lines: &[&Line]) -> Sum {
    let first = lines[0];
    let mut sources: Vec<String> = Vec::new();
    let mut amount = first.amount.none();
    let (mut share, mut told) = (0.0, false);
    for line in lines {
        amount = amount.plus(line.amount);
        if let Some(percent) = line.spare_percent {
            told = true;
            share += line.amount.value() * percent / 100.0;
        }
        if !sources.contains(&line.source) {
            sources.push(line.source.clone());
        }
    }
    Sum {
        what: first.what,
        name: first.name.clone(),
        material: first.material.clone(),
        sizes: first.sizes.clone(),
        plumb: first.plumb,
        amount,
        spare: told.then(|| amount.of(share)),
        from: each_once(lines.iter().flat_map(|line| line.from.clone()).collect()),
        sources,
        estimated: lines.iter().any(|line| line.estimated),
    }
}
