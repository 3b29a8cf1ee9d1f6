//! Among packings that cost the same, a handier one: fewer bars, equal bars together, what is left over in one long piece.
//!
//! Local changes that never cost more; nothing here is proved to be the best.

use std::collections::BTreeMap;

use super::fill;
use super::problem::{Lay, Packing, Pattern, Problem, Work};

/// Steps for a longer leftover, a few milliseconds.
const STEPS: u64 = 500_000;

/// Puts each bought bar's pieces into the cheapest bar that holds them.
pub(super) fn shorten(problem: &Problem, lays: &mut [Lay]) {
    for lay in lays {
        if problem.stocks[lay.stock].limit.is_some() {
            continue;
        }
        lay.stock = problem
            .sold()
            .filter(|&(stock, _)| problem.fits(stock, &lay.pattern))
            .min_by_key(|(_, stock)| stock.cost)
            .map_or(lay.stock, |(stock, _)| stock);
    }
}

/// Tidies a packing.
pub(super) fn tidy(problem: &Problem, packing: &mut Packing) {
    gather(&mut packing.lays);
    join(problem, &mut packing.lays);
    gather(&mut packing.lays);
    let mut work = Work::new(STEPS);
    while concentrate(problem, &mut packing.lays, &mut work) {}
    shorten(problem, &mut packing.lays);
    gather(&mut packing.lays);
    packing.cost = packing
        .lays
        .iter()
        .map(|lay| problem.stocks[lay.stock].cost * u64::from(lay.times))
        .sum();
}

/// Counts equal bars together and drops empty ones.
fn gather(lays: &mut Vec<Lay>) {
    let mut times: BTreeMap<(usize, Pattern), u32> = BTreeMap::new();
    for mut lay in lays.drain(..) {
        lay.pattern.sort_unstable();
        if !lay.pattern.is_empty() {
            *times.entry((lay.stock, lay.pattern)).or_default() += lay.times;
        }
    }
    lays.extend(times.into_iter().map(|((stock, pattern), times)| Lay {
        stock,
        pattern,
        times,
    }));
}

/// Puts together the pieces of short bars that cost as much as one long bar, the lightest first.
fn join(problem: &Problem, lays: &mut Vec<Lay>) {
    let mut longer: Vec<usize> = problem.sold().map(|(stock, _)| stock).collect();
    longer.sort_by_key(|&stock| std::cmp::Reverse(problem.stocks[stock].cost));
    for long in longer {
        let (cost, room) = (problem.stocks[long].cost, problem.stocks[long].room);
        let mut short: Vec<(u64, usize, Pattern)> = Vec::new();
        lays.retain(|lay| {
            let stock = &problem.stocks[lay.stock];
            let is_short = stock.limit.is_none() && stock.cost < cost;
            if is_short {
                let one = (problem.weight(&lay.pattern), lay.stock, lay.pattern.clone());
                short.extend(std::iter::repeat_n(one, lay.times as usize));
            }
            !is_short
        });
        short.sort();
        let mut group: Vec<(u64, usize, Pattern)> = Vec::new();
        let (mut spent, mut filled) = (0, 0);
        for one in short {
            let price = problem.stocks[one.1].cost;
            if spent + price <= cost && filled + one.0 <= room {
                spent += price;
                filled += one.0;
                group.push(one);
            } else {
                lays.push(single(one));
            }
            if spent == cost {
                let pattern = group.drain(..).fold(Pattern::new(), |mut all, one| {
                    for (item, count) in one.2 {
                        put(&mut all, item, count);
                    }
                    all
                });
                lays.push(Lay {
                    stock: long,
                    pattern,
                    times: 1,
                });
                (spent, filled) = (0, 0);
            }
        }
        lays.extend(group.into_iter().map(single));
    }
}

fn single((_, stock, pattern): (u64, usize, Pattern)) -> Lay {
    Lay {
        stock,
        pattern,
        times: 1,
    }
}

/// Adds pieces to a pattern.
fn put(pattern: &mut Pattern, item: usize, count: u32) {
    match pattern.iter_mut().find(|part| part.0 == item) {
        Some(part) => part.1 += count,
        None => pattern.push((item, count)),
    }
}

/// What is left of a pattern without the pieces of another.
fn without(pattern: &Pattern, other: &Pattern) -> Pattern {
    let had = |item| {
        other
            .iter()
            .find(|part| part.0 == item)
            .map_or(0, |part| part.1)
    };
    pattern
        .iter()
        .map(|&(item, count)| (item, count - had(item)))
        .filter(|part| part.1 > 0)
        .collect()
}

/// One change that makes the longest leftover of a bought bar longer: another bar is filled as full as it can be from the
/// pieces of both. Bars laid several times alike are left alone. False where there is none.
fn concentrate(problem: &Problem, lays: &mut [Lay], work: &mut Work) -> bool {
    let slack = |lay: &Lay| problem.slack(lay.stock, &lay.pattern);
    let bought = |lay: &Lay| problem.stocks[lay.stock].limit.is_none();
    let Some(emptiest) = (0..lays.len())
        .filter(|&at| bought(&lays[at]) && lays[at].times == 1 && !lays[at].pattern.is_empty())
        .max_by_key(|&at| slack(&lays[at]))
    else {
        return false;
    };
    for at in 0..lays.len() {
        let lay = &lays[at];
        if at == emptiest || lay.times > 1 || slack(lay) == 0 || lay.pattern.is_empty() {
            continue;
        }
        if work.over() {
            return false;
        }
        let mut both = lays[emptiest].pattern.clone();
        for &(item, count) in &lay.pattern {
            put(&mut both, item, count);
        }
        both.sort_unstable();
        let full = fill::fullest(problem, &both, problem.stocks[lay.stock].room, work);
        let rest = without(&both, &full);
        if problem.slack(lay.stock, &full) < slack(lay) && problem.fits(lays[emptiest].stock, &rest)
        {
            lays[at].pattern = full;
            lays[emptiest].pattern = rest;
            return true;
        }
    }
    false
}
