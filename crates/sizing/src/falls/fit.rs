//! Heights that a drain has to arrive at: the slopes that would meet them within the code, and what would mend a miss.
//!
//! In: what the network found (`arrives`), the code's least slopes, loads and sizes. Out: for each the miss, the
//! steepest and the flattest slope that work, and offers, as data and in words.

use wyeline_codes::{Cite, Pack};
use wyeline_job::Span;
use wyeline_job::model::Bound;
use wyeline_network::Network;
use wyeline_network::model::{Fit, Limit, NodeIx, PipeIx, RunIx};
use wyeline_units::{Len, Size, Slope, UnitSystem};

use crate::drain::line::is_vertical;
use crate::drain::pick;
use crate::model::{Role, Sized};

use super::LeastSlopes;

/// Half of what is printed: what is missed by less is met (1/32 in, as the network has it).
const PRINTED_MM: f64 = 25.4 / 32.0;
/// A length below this is none, mm.
const NOTHING: f64 = 1e-6;

/// A height that a drain has to arrive at.
#[derive(Clone, Debug)]
pub struct FitFall {
    /// The run in which it is said.
    pub run: RunIx,
    /// The point that has to lie at the height.
    pub node: NodeIx,
    /// The last point downstream whose height is told.
    pub from: NodeIx,
    /// By how much it misses, mm; 0 where it fits.
    pub miss_mm: f64,
    /// The point lies too high rather than too low.
    pub too_high: bool,
    /// Level length between the two, mm.
    pub run_mm: f64,
    /// The flattest slope that the code allows for every size on the way, and where it says so.
    pub least: Option<(Slope, Cite)>,
    /// The flattest slope that meets the height and the code (fall per run); nothing where none does.
    pub flattest: Option<f64>,
    /// The steepest that does; nothing where none does, or where there is no limit.
    pub steepest: Option<f64>,
    /// What would mend a miss, each by itself.
    pub offers: Vec<Offer>,
    /// Where it is said.
    pub span: Span,
}

/// A change that would mend a miss.
#[derive(Clone, Debug, PartialEq)]
pub enum Offer {
    /// Lay it at another slope, between the two (fall per run); the second is open where nothing limits it.
    Slope {
        /// The flattest.
        flattest: f64,
        /// The steepest.
        steepest: Option<f64>,
    },
    /// Lower the downstream end.
    LowerStart {
        /// By so much, mm.
        by_mm: f64,
    },
    /// Raise the downstream end.
    RaiseStart {
        /// By so much, mm.
        by_mm: f64,
    },
    /// Ask for a greater height at the upstream end.
    RaiseEnd {
        /// By so much, mm.
        by_mm: f64,
    },
    /// Keep the slope and take up the rest in a vertical piece at the upstream end.
    Vertical {
        /// So long, mm.
        by_mm: f64,
    },
    /// A larger pipe, which may lie flatter.
    Larger {
        /// The least that may.
        size: Size,
        /// The flattest that it may lie.
        slope: Slope,
        /// Where the code says so.
        cite: Cite,
    },
    /// Bring the fixture or connection nearer, so that the level run is shorter.
    Nearer {
        /// By so much, mm.
        by_mm: f64,
    },
}

impl Offer {
    /// The offer in words, beginning with a verb.
    pub fn words(&self, units: UnitSystem) -> String {
        let show = |mm: &f64| Len::from_mm(*mm).show(units, 16);
        match self {
            Self::Slope {
                flattest,
                steepest: Some(steepest),
            } if (steepest - flattest).abs() < 1e-9 => {
                format!("lay it at {}", ratio(*flattest, units))
            }
            Self::Slope {
                flattest,
                steepest: Some(steepest),
            } => format!(
                "lay it between {} and {}",
                ratio(*flattest, units),
                ratio(*steepest, units)
            ),
            Self::Slope { flattest, .. } => {
                format!("lay it at {} or steeper", ratio(*flattest, units))
            }
            Self::LowerStart { by_mm } => format!("lower the downstream end by {}", show(by_mm)),
            Self::RaiseStart { by_mm } => format!("raise the downstream end by {}", show(by_mm)),
            Self::RaiseEnd { by_mm } => format!("raise the upstream end by {}", show(by_mm)),
            Self::Vertical { by_mm } => {
                format!("keep the slope and rise {} upright at the end", show(by_mm))
            }
            Self::Larger { size, slope, .. } => {
                format!("use {size} pipe, which may lie at {}", slope.show(units))
            }
            Self::Nearer { by_mm } => format!("shorten the level run by {}", show(by_mm)),
        }
    }
}

/// A slope in words: `0.19 in/ft`, `1.6%`.
fn ratio(ratio: f64, units: UnitSystem) -> String {
    if units.is_metric() {
        format!("{:.2}%", ratio * 100.0)
    } else {
        format!("{:.3} in/ft", ratio * 12.0)
    }
}

/// All heights that drains have to arrive at.
pub(super) fn fits(
    network: &Network,
    pack: &Pack,
    sized: &Sized,
    least: &mut LeastSlopes<'_>,
) -> Vec<FitFall> {
    let mut found = Vec::new();
    for (ix, run) in network.runs.iter().enumerate() {
        if !run.system.drains() {
            continue;
        }
        for fit in &run.fits {
            let stretch = stretch(network, RunIx(ix as u32), fit);
            found.push(one(
                network,
                pack,
                sized,
                least,
                fit,
                &stretch,
                RunIx(ix as u32),
            ));
        }
    }
    found
}

/// The pipes of a run that lead down from a point to the last height told, the most upstream first.
fn stretch(network: &Network, run: RunIx, fit: &Fit) -> Vec<PipeIx> {
    let mut pipes = Vec::new();
    let (mut at, mut left) = (fit.node, fit.run_mm);
    while left > NOTHING {
        let next = network.node(at).pipes.iter().copied().find(|&pipe| {
            let pipe = network.pipe(pipe);
            pipe.from == at && pipe.run == run
        });
        let Some(next) = next.filter(|_| pipes.len() < network.runs[run.0 as usize].pipes.len())
        else {
            break;
        };
        let pipe = network.pipe(next);
        let (from, to) = network.true_ends(pipe);
        left -= (from - to).truncate().length();
        pipes.push(next);
        at = pipe.to;
    }
    pipes
}

fn one(
    network: &Network,
    pack: &Pack,
    sized: &Sized,
    least: &mut LeastSlopes<'_>,
    fit: &Fit,
    stretch: &[PipeIx],
    run: RunIx,
) -> FitFall {
    let spare = fit.spare_mm();
    let miss_mm = if spare < -PRINTED_MM { -spare } else { 0.0 };
    let too_high = fit.got_mm > fit.wanted_mm;
    let level = || {
        let level = stretch.iter().copied();
        level.filter(|&pipe| !is_vertical(network, network.pipe(pipe)))
    };
    let size = |pipe: PipeIx| sized.pipes.get(pipe.0 as usize).and_then(|pipe| pipe.size);
    // The strictest of the sizes on the way; not known where one of them is not.
    let mut strictest: Option<(Slope, Cite)> = None;
    let mut known = true;
    for pipe in level() {
        match size(pipe).and_then(|size| least.of(size)) {
            Some(rule) => {
                if strictest
                    .as_ref()
                    .is_none_or(|(slope, _)| rule.value.ratio() > slope.ratio())
                {
                    strictest = Some((rule.value, rule.cite.clone()));
                }
            }
            None => known = false,
        }
    }
    let strictest = strictest.filter(|_| known);
    let floor = strictest.as_ref().map_or(0.0, |(slope, _)| slope.ratio());
    let (low, high) = match (fit.bound, fit.limit) {
        (Bound::Exactly, _) => (fit.available, Some(fit.available)),
        (_, Some(Limit::Flattest)) => (fit.available.max(floor), None),
        _ => (floor, Some(fit.available)),
    };
    let close = |a: f64, b: f64| a >= b - 1e-9;
    let works = fit.run_mm > NOTHING
        && close(low, floor)
        && low > 0.0
        && high.is_none_or(|high| close(high, low));
    let mut offers = Vec::new();
    if miss_mm > 0.0 {
        if works {
            offers.push(Offer::Slope {
                flattest: low,
                steepest: high,
            });
        }
        if too_high {
            // At the flattest slope allowed the rise is still so much more than there is room for.
            let short = if works || fit.run_mm <= NOTHING {
                miss_mm
            } else {
                (floor - fit.available) * fit.run_mm
            };
            offers.push(Offer::LowerStart { by_mm: short });
            offers.push(Offer::RaiseEnd { by_mm: short });
            if !works && fit.run_mm > NOTHING {
                offers.extend(larger(network, pack, sized, least, fit, stretch));
                if fit.available > 0.0 {
                    let by_mm = fit.run_mm - fit.available * fit.run_mm / floor;
                    offers.push(Offer::Nearer { by_mm });
                }
            }
        } else {
            offers.push(Offer::RaiseStart { by_mm: miss_mm });
            offers.push(Offer::Vertical { by_mm: miss_mm });
        }
    }
    FitFall {
        run,
        node: fit.node,
        from: stretch
            .last()
            .map_or(fit.node, |&pipe| network.pipe(pipe).to),
        miss_mm,
        too_high,
        run_mm: fit.run_mm,
        least: strictest,
        flattest: works.then_some(low),
        steepest: high.filter(|_| works),
        offers,
        span: fit.span,
    }
}

/// The least pipe that may lie as flat as there is room for, and carries the load at that slope.
fn larger(
    network: &Network,
    pack: &Pack,
    sized: &Sized,
    least: &mut LeastSlopes<'_>,
    fit: &Fit,
    stretch: &[PipeIx],
) -> Option<Offer> {
    let pipe = stretch
        .iter()
        .copied()
        .rfind(|&pipe| !is_vertical(network, network.pipe(pipe)))?;
    let result = sized.pipes.get(pipe.0 as usize)?;
    let now = result.size?;
    let at = pick::sizes(pack).iter().position(|&size| size > now)?;
    for &size in &pick::sizes(pack)[at..] {
        let Some(rule) = least.of(size).cloned() else {
            continue;
        };
        if rule.value.ratio() > fit.available + 1e-9 {
            continue;
        }
        let carries = match result.role {
            Role::BuildingDrain | Role::BuildingSewer | Role::StackOffset => {
                let needed = pick::building_drain(pack, result.load.drain, rule.value);
                needed.is_ok_and(|needed| needed.size <= size)
            }
            _ => true,
        };
        if carries {
            return Some(Offer::Larger {
                size,
                slope: rule.value,
                cite: rule.cite,
            });
        }
    }
    None
}
