//! Puts the methods in order, the quick first, and stops at the first packing that meets a lower bound.

use super::problem::{Lay, Packing, Problem, Work};
use super::relax::Relaxation;
use super::simplex::Column;
use super::{bound, dive, even, fill, parts, tidy};

/// Steps a plan may take, or all plans of a job together: a second or two on one core.
const STEPS: u64 = 1_500_000_000;
/// Of them each plan of a job has this at least: a few milliseconds.
const LEAST: u64 = 5_000_000;
/// Different lengths that the relaxation is tried with.
const ROWS: usize = 300;

/// Ways to fill that are tried everywhere; the first is first fit decreasing.
pub(super) const MANNERS: [fill::Manner; 2] = [
    fill::Manner {
        tries: 1,
        content: 0,
        stock: None,
    },
    fill::Manner {
        tries: 500,
        content: 0,
        stock: None,
    },
];

/// Lays all items so that least is bought.
///
/// The packing's `least` is a proven lower bound: where it equals `cost` no packing buys less.
///
/// * `share`: pieces, and those of all orders that are laid together and share the steps
pub(super) fn solve(problem: &Problem, (pieces, all): (usize, usize)) -> Packing {
    if problem.items.is_empty() {
        return Packing {
            lays: Vec::new(),
            cost: 0,
            least: 0,
        };
    }
    let steps = u128::from(STEPS) * pieces as u128 / all.max(1) as u128;
    let mut work = Work::new(u64::try_from(steps).unwrap_or(STEPS).clamp(LEAST, STEPS));
    let mut tight = problem.clone();
    bound::narrow(&mut tight, &mut work);
    let mut packing = if tight.items.len() <= ROWS {
        small(&tight, &mut work)
    } else {
        let mut packing = start(&tight, &mut work);
        if packing.cost > packing.least {
            let spare = spare(&tight, packing.least);
            parts::parts(&tight, spare, &mut packing, &mut work);
        }
        if packing.cost > packing.least {
            let coarse = bound::coarse(&tight);
            let mut relaxed = Relaxation::new(&coarse, Vec::new(), &mut work);
            let bound = relaxed.improve(packing.least, packing.cost, &mut work);
            packing.least = packing.least.max(bound);
        }
        packing
    };
    tidy::tidy(problem, &mut packing);
    packing
}

/// The quick packings and bounds, then the relaxation where they do not meet.
pub(super) fn small(problem: &Problem, work: &mut Work) -> Packing {
    let mut packing = start(problem, work);
    if packing.cost > packing.least {
        let known = packing.lays.iter().map(|lay| Column {
            stock: lay.stock,
            pattern: lay.pattern.clone(),
        });
        let mut relaxed = Relaxation::new(problem, known.collect(), work);
        let bound = relaxed.improve(packing.least, packing.cost, work);
        packing.least = packing.least.max(bound);
        dive::dive(problem, &relaxed, &mut packing, work);
    }
    packing
}

/// The quick packings and bounds.
fn start(problem: &Problem, work: &mut Work) -> Packing {
    let mut packing = Packing {
        lays: Vec::new(),
        cost: u64::MAX,
        least: bound::material(problem),
    };
    fills(problem, &mut packing, work);
    if packing.cost > packing.least {
        packing.least = packing.least.max(bound::weighted(problem, work));
    }
    packing
}

/// The quick packings.
fn fills(problem: &Problem, packing: &mut Packing, work: &mut Work) {
    let counts = problem.counts();
    let limits = problem.limits();
    let mut stocks: Vec<Option<usize>> = problem.sold().map(|(index, _)| Some(index)).collect();
    if stocks.len() > 1 {
        stocks.push(None);
    }
    let spare = spare(problem, packing.least);
    for (tries, content) in [
        (1, 0),
        (200, spare),
        (1_000, 0),
        (1_000, spare / 2),
        (5_000, spare),
        (20_000, spare / 4),
    ] {
        for &stock in &stocks {
            if packing.cost <= packing.least {
                return;
            }
            let manner = fill::Manner {
                tries,
                content,
                stock,
            };
            better(
                problem,
                packing,
                fill::lay(problem, &counts, &limits, manner, work),
            );
        }
        if tries == 200 && packing.cost > packing.least {
            packing.least = packing.least.max(bound::sloped(problem));
            even::even(problem, packing, work);
        }
    }
}

/// What each bar may leave so that the bound is still met, with one length; 0 with several.
fn spare(problem: &Problem, least: u64) -> u64 {
    let [stock] = &problem.stocks[..] else {
        return 0;
    };
    let bars = least / stock.cost.max(1);
    let all: u64 = problem
        .items
        .iter()
        .map(|item| item.weight * u64::from(item.count))
        .sum();
    (bars * stock.room).saturating_sub(all) / bars.max(1)
}

/// Keeps the packing if it costs less than the one at hand; each bar first changed for the cheapest that holds its pieces.
pub(super) fn better(problem: &Problem, packing: &mut Packing, mut lays: Vec<Lay>) {
    tidy::shorten(problem, &mut lays);
    let cost = lays
        .iter()
        .map(|lay| problem.stocks[lay.stock].cost * u64::from(lay.times))
        .sum();
    if cost < packing.cost {
        packing.cost = cost;
        packing.lays = lays;
    }
}
