//! Counts what holds the pipe, by the spacing of `data/hangers.toml`.
//!
//! Level: floor(run / spacing) + 1 a straight run (trade arithmetic); no-hub one more at each joint within the run (one
//! within 18 in of each joint). Plumb: each storey it stands in by the spacing, at least one.

use wyeline_network::Network;
use wyeline_network::model::{LevelIx, Lie, PipeIx};
use wyeline_units::Len;

use super::crossing::in_line;
use super::data::ALLOWANCES;
use super::tally::Key;
use super::{Amount, Taking, What};
use crate::model::{Family, Mark, Phase, Stuff};
use crate::name;
use crate::shelf::Spacing;

/// New pipe in line, of one size and material; the first is the one it was found by.
struct Run {
    pipes: Vec<PipeIx>,
    plumb: bool,
}

/// Hangers and guides of all runs above ground; what is buried lies on its bed.
pub(super) fn hangers(taking: &mut Taking) {
    let mut without: Vec<String> = Vec::new();
    for run in runs(taking) {
        let stuff = &taking.fitted.stuff[run.pipes[0].0 as usize];
        let spacing = |size| taking.shelf.hanger(stuff.family, size, run.plumb);
        let Some(spacing) = stuff.size.and_then(spacing) else {
            let size = stuff
                .size
                .map_or("pipe of unknown size".to_owned(), |size| {
                    name::size(size, taking.network.units)
                });
            let what = format!("{size} {}", stuff.material);
            if !without.contains(&what) {
                without.push(what);
            }
            continue;
        };
        if run.plumb {
            plumb(taking, &run, &spacing);
        } else {
            level(taking, &run, stuff, &spacing);
        }
    }
    if !without.is_empty() {
        without.sort();
        taking.notes.push(format!(
            "No spacing of supports is held for {}: look it up in the code in force; no hangers are counted for it.",
            without.join(", ")
        ));
    }
    taking.notes.push(
        "Hangers are counted by spacing alone: what a support may be fixed to, bracing against sway and seismic loads are for the code in force and whoever answers for the structure.".to_owned(),
    );
}

fn runs(taking: &Taking) -> Vec<Run> {
    let network = taking.network;
    let mut seen = vec![false; network.pipes.len()];
    let mut all = Vec::new();
    for ix in (0..network.pipes.len() as u32).map(PipeIx) {
        let pipe = network.pipe(ix);
        if seen[ix.0 as usize] || pipe.existing || buried(taking, ix) {
            continue;
        }
        let on = |from: PipeIx, down: bool| {
            let pipe = network.pipe(from);
            let node = if down { pipe.to } else { pipe.from };
            in_line(network, from, node).filter(|next| alike(taking, from, *next))
        };
        let mut pipes = vec![ix];
        seen[ix.0 as usize] = true;
        for down in [true, false] {
            let mut last = ix;
            while let Some(next) = on(last, down).filter(|next| !seen[next.0 as usize]) {
                seen[next.0 as usize] = true;
                pipes.push(next);
                last = next;
            }
        }
        let plumb = pipe.lie == Lie::Vertical;
        all.push(Run { pipes, plumb });
    }
    all
}

fn buried(taking: &Taking, ix: PipeIx) -> bool {
    let z = taking.middle(taking.network.pipe(ix));
    taking.storeys.phase(z) == Phase::Underground
}

/// One support's row holds for both.
fn alike(taking: &Taking, one: PipeIx, other: PipeIx) -> bool {
    let network: &Network = taking.network;
    let stuff = |ix: PipeIx| &taking.fitted.stuff[ix.0 as usize];
    let plumb = |ix| network.pipe(ix).lie == Lie::Vertical;
    stuff(one).material == stuff(other).material
        && stuff(one).size == stuff(other).size
        && plumb(one) == plumb(other)
        && !network.pipe(other).existing
        && !buried(taking, other)
}

fn add(
    taking: &mut Taking,
    run: &Run,
    what: What,
    level: Option<LevelIx>,
    count: u32,
    source: &str,
) {
    let network = taking.network;
    let stuff = &taking.fitted.stuff[run.pipes[0].0 as usize];
    let name = match what {
        What::Guide => "mid-storey guide",
        _ if run.plumb => "riser clamp or strap",
        _ => "hanger",
    };
    let marks: Vec<Mark> = run
        .pipes
        .iter()
        .flat_map(|pipe| taking.marks(*pipe))
        .collect();
    let pipe = network.pipe(run.pipes[0]);
    let key = Key {
        level,
        phase: Phase::Rough,
        material: stuff.material.clone(),
        name: name.to_owned(),
        sizes: stuff.size.into_iter().collect(),
        plumb: run.plumb,
        ..taking.key(what, pipe.system, taking.middle(pipe))
    };
    taking
        .tally
        .add(key, Amount::Count(count), marks, source, false);
}

fn show(taking: &Taking, mm: f64) -> String {
    Len::from_mm(mm).show(taking.network.units, 16)
}

fn level(taking: &mut Taking, run: &Run, stuff: &Stuff, spacing: &Spacing) {
    let network = taking.network;
    let length = |pipe: &PipeIx| {
        let (a, b) = network.true_ends(network.pipe(*pipe));
        a.distance(b)
    };
    let long: f64 = run.pipes.iter().map(length).sum();
    // What is a hair short of the spacing is the spacing.
    let mut count = ((long + 1e-6) / spacing.mm).floor() as u32 + 1;
    let mut source = format!(
        "1 more than the spacings of {} that a straight run holds; {}",
        show(taking, spacing.mm),
        spacing.cite
    );
    if stuff.family == Family::NoHub {
        count += joints_within(taking, run);
        source.push_str("; no-hub 1 more at each joint within the run, one within 18 in of each joint being asked for");
    }
    let at = taking
        .storeys
        .level(taking.middle(network.pipe(run.pipes[0])));
    add(taking, run, What::Hanger, at, count, &source);
}

/// Couplings, and fittings in line, between the ends of a run.
fn joints_within(taking: &Taking, run: &Run) -> u32 {
    let mut straights: Vec<usize> = run
        .pipes
        .iter()
        .filter_map(|pipe| taking.pieces[pipe.0 as usize])
        .collect();
    straights.sort_unstable();
    straights.dedup();
    let couplings = straights
        .iter()
        .map(|at| taking.fitted.straights[*at].couplings.len());
    (couplings.sum::<usize>() + straights.len().saturating_sub(1)) as u32
}

fn plumb(taking: &mut Taking, run: &Run, spacing: &Spacing) {
    let network = taking.network;
    let ends = run.pipes.iter().map(|pipe| {
        let (a, b) = network.true_ends(network.pipe(*pipe));
        (a.z.min(b.z), a.z.max(b.z))
    });
    let Some((low, high)) = ends.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))) else {
        return;
    };
    let low = taking
        .storeys
        .ground()
        .map_or(low, |ground| low.max(ground));
    let source = format!(
        "by spacings of {} in each storey it stands in, 1 at least; {}",
        show(taking, spacing.mm),
        spacing.cite
    );
    for stand in stands(taking, low, high) {
        let count = ((stand.high - stand.low) / spacing.mm - 1e-9)
            .ceil()
            .max(1.0) as u32;
        add(taking, run, What::Hanger, stand.level, count, &source);
        let middle = stand.middle.filter(|_| spacing.mid_storey_guide);
        if middle.is_some_and(|middle| stand.low < middle && middle < stand.high) {
            let source = format!("1 half-way up each storey; {}", spacing.cite);
            add(taking, run, What::Guide, stand.level, 1, &source);
        }
    }
}

/// The part of a plumb run in one storey.
struct Stand {
    level: Option<LevelIx>,
    low: f64,
    high: f64,
    /// Half-way up the storey, where its top is told.
    middle: Option<f64>,
}

/// The storeys in which a plumb run stands for long enough to be held there; where it does in none, the one it
/// stands in most.
fn stands(taking: &Taking, low: f64, high: f64) -> Vec<Stand> {
    let floors = &taking.storeys.floors;
    let mut stands = Vec::new();
    let under = floors.first().map_or(f64::INFINITY, |(floor, _)| *floor);
    if low < under {
        let high = high.min(under);
        stands.push(Stand {
            level: None,
            low,
            high,
            middle: None,
        });
    }
    for (at, &(floor, level)) in floors.iter().enumerate() {
        let next = floors.get(at + 1).map(|(next, _)| *next);
        let top = next.or(taking.network.levels[level.0 as usize].ceiling);
        let (low, high) = (low.max(floor), high.min(next.unwrap_or(f64::INFINITY)));
        if high > low {
            let middle = top.map(|top| f64::midpoint(floor, top));
            stands.push(Stand {
                level: Some(level),
                low,
                high,
                middle,
            });
        }
    }
    let long = |stand: &Stand| stand.high - stand.low;
    let least = ALLOWANCES.least();
    let longest = stands.iter().map(long).fold(0.0, f64::max);
    stands.retain(|stand| long(stand) >= least.min(longest));
    stands
}
