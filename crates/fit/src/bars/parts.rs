//! Orders with more different lengths than the relaxation can take at once: part after part, each a sample of the whole.
//!
//! Our own choice: every n-th length makes a part, so that each part is a small copy of the order. Of its packing the full bars
//! are kept; what lies in the others goes on to the next part. Gives packings, never bounds.

use super::problem::{Item, Lay, Packing, Problem, Work};
use super::solve::{better, small};
use super::tidy;

/// Different lengths in a part, without what is carried on.
const ROWS: usize = 150;
/// Of a hundred bars of a part so many are kept at least.
const KEPT: usize = 60;

/// Betters `packing` by laying part after part; `spare` is what a bar may leave on average.
pub(super) fn parts(problem: &Problem, spare: u64, packing: &mut Packing, work: &mut Work) {
    let parts = problem.items.len().div_ceil(ROWS);
    let mut limits = problem.limits();
    let mut lays: Vec<Lay> = Vec::new();
    let mut carried = vec![0; problem.items.len()];
    for part in 0..parts {
        let mut counts = std::mem::replace(&mut carried, vec![0; problem.items.len()]);
        for (at, count) in counts.iter_mut().enumerate() {
            if at % parts == part {
                *count += problem.items[at].count;
            }
        }
        let mut laid = one(problem, &counts, &limits, work);
        if part + 1 < parts {
            laid.sort_by_key(|lay| problem.slack(lay.stock, &lay.pattern));
            let most = laid.len() * KEPT / 100;
            let mut left = 0;
            let full = laid
                .iter()
                .enumerate()
                .take_while(|(at, lay)| {
                    left += problem.slack(lay.stock, &lay.pattern);
                    left <= spare * (*at as u64 + 1)
                })
                .count();
            for lay in laid.drain(full.max(most)..) {
                for (item, count) in lay.pattern {
                    carried[item] += count * lay.times;
                }
            }
        }
        for lay in &laid {
            if problem.stocks[lay.stock].limit.is_some() {
                limits[lay.stock] -= lay.times;
            }
        }
        lays.extend(laid);
    }
    better(problem, packing, lays);
}

/// The packing of a part.
fn one(problem: &Problem, counts: &[u32], limits: &[u32], work: &mut Work) -> Vec<Lay> {
    let items: Vec<usize> = (0..counts.len()).filter(|&item| counts[item] > 0).collect();
    let mut stocks = problem.stocks.clone();
    for (stock, &limit) in stocks.iter_mut().zip(limits) {
        stock.limit = stock.limit.map(|_| limit);
        stock.whole = stock.whole.and_then(|item| items.binary_search(&item).ok());
    }
    let part = Problem {
        items: items
            .iter()
            .map(|&item| Item {
                weight: problem.items[item].weight,
                count: counts[item],
            })
            .collect(),
        stocks,
    };
    let mut packing = small(&part, work);
    tidy::tidy(&part, &mut packing);
    for lay in &mut packing.lays {
        for piece in &mut lay.pattern {
            piece.0 = items[piece.0];
        }
    }
    packing.lays
}
