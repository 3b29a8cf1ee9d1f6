//! Whole bars out of the relaxation: take what it takes whole, then what it takes most of, and solve again for the rest.
//!
//! Diving by columns, with other first choices where the first did not come out (limited discrepancy; F. Vanderbeck and
//! L. A. Wolsey in 50 Years of Integer Programming, 2010, and R. Sadykov and others, from memory).

use super::fill;
use super::problem::{Lay, Packing, Problem, Work};
use super::relax::Relaxation;
use super::simplex::Column;
use super::solve::{MANNERS, better};

/// How many first choices are tried.
const CHOICES: usize = 12;

/// Betters `packing` by dives from the relaxation, until it meets its bound or no steps are left.
pub(super) fn dive(problem: &Problem, root: &Relaxation, packing: &mut Packing, work: &mut Work) {
    for choice in 0..CHOICES {
        if packing.cost <= packing.least || work.over() {
            return;
        }
        once(problem, root.clone(), choice, packing, work);
    }
}

/// One dive whose first doubtful column is the `choice`-th.
fn once(
    problem: &Problem,
    mut relaxed: Relaxation,
    choice: usize,
    packing: &mut Packing,
    work: &mut Work,
) {
    let mut choice = Some(choice);
    let mut lays: Vec<Lay> = Vec::new();
    let mut cost = 0;
    while !work.over() {
        let shares = relaxed.shares();
        let taken = choose(&relaxed, &shares, &mut choice);
        if taken.is_empty() {
            return;
        }
        for (column, times) in &taken {
            cost += problem.stocks[column.stock].cost * u64::from(*times);
            lays.push(Lay {
                stock: column.stock,
                pattern: column.pattern.clone(),
                times: *times,
            });
        }
        relaxed.simplex.take(&taken, work);
        let left = relaxed.simplex.problem.counts();
        let limits = relaxed.simplex.problem.limits();
        for manner in MANNERS {
            let mut all = lays.clone();
            all.extend(fill::lay(problem, &left, &limits, manner, work));
            better(problem, packing, all);
        }
        if packing.cost <= packing.least || left.iter().all(|&count| count == 0) {
            return;
        }
        let goal = packing.least.saturating_sub(cost);
        let enough = packing.cost.saturating_sub(cost);
        if relaxed.improve(goal, enough, work) >= enough {
            return;
        }
    }
}

/// The columns to take now: all that are taken whole, else one; each only as far as pieces are left.
fn choose(
    relaxed: &Relaxation,
    shares: &[(Column, f64)],
    choice: &mut Option<usize>,
) -> Vec<(Column, u32)> {
    let mut left = relaxed.simplex.problem.counts();
    let mut limits = relaxed.simplex.problem.limits();
    let mut taken = Vec::new();
    for (column, share) in shares {
        let times = (share + 1e-6).floor() as u32;
        taken.extend(
            (times > 0)
                .then(|| part(column, times, &mut left, &mut limits))
                .flatten(),
        );
    }
    if taken.is_empty() {
        let skip = choice.take().unwrap_or(0);
        let mut open = shares
            .iter()
            .filter_map(|(column, _)| part(column, 1, &mut left.clone(), &mut limits.clone()));
        taken.extend(open.nth(skip));
    }
    taken
}

/// As much of the column, up to so many times, as there is left; taken off what is left.
fn part(
    column: &Column,
    times: u32,
    left: &mut [u32],
    limits: &mut [u32],
) -> Option<(Column, u32)> {
    let pattern: Vec<(usize, u32)> = column
        .pattern
        .iter()
        .map(|&(item, count)| (item, count.min(left[item])))
        .filter(|part| part.1 > 0)
        .collect();
    let fit = pattern
        .iter()
        .map(|&(item, count)| left[item] / count)
        .min()?;
    let times = times.min(fit).min(limits[column.stock]);
    if times == 0 {
        return None;
    }
    for &(item, count) in &pattern {
        left[item] -= count * times;
    }
    limits[column.stock] = limits[column.stock].saturating_sub(times);
    let column = Column {
        stock: column.stock,
        pattern,
    };
    Some((column, times))
}
