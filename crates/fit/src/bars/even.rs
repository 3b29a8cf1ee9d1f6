//! Bars that hold nearly equal numbers of pieces: the longest pieces go by themselves, one fewer to a bar, all others so many to a
//! bar, and pieces are swapped until no bar is overfull.
//!
//! Where pieces are long, so many of them hardly go into a bar and one fewer do not fill it: bars that hold fewer waste least
//! with the longest pieces. (Our own.) Gives packings, never bounds.

use super::fill;
use super::problem::{Lay, Packing, Pattern, Problem, Work, pattern};
use super::solve::better;

/// Swaps for each bar.
const SWAPS: usize = 8;
/// Swaps after which it ends where less was over before.
const STALL: usize = 400;
/// For so many swaps a piece that was swapped stays where it is, one try after the other.
const STAYS: [usize; 3] = [9, 5, 14];
/// Pieces that are dealt at most: the time grows with the square of them.
const MOST: usize = 6_000;
/// Bars beyond the bound that are tried.
const MORE: u64 = 2;

/// Lays all into as many of the longest bars as the bound allows, or a few more; what it leaves beside whole ones into one short
/// bar. Not where there are offcuts.
pub(super) fn even(problem: &Problem, packing: &mut Packing, work: &mut Work) {
    if problem.stocks.iter().any(|stock| stock.limit.is_some()) {
        return;
    }
    let Some((long, stock)) = problem.sold().max_by_key(|(_, stock)| stock.cost) else {
        return;
    };
    let pieces: usize = problem.items.iter().map(|item| item.count as usize).sum();
    if stock.cost == 0 || problem.items[0].weight > stock.room || pieces > MOST {
        return;
    }
    let beside = packing.least % stock.cost;
    let mut short = problem.sold().filter(|(_, short)| short.cost == beside);
    if let Some((short, beside)) = short.next() {
        let all: Pattern = problem.counts().into_iter().enumerate().collect();
        let laid = Lay {
            stock: short,
            pattern: fill::fullest(problem, &all, beside.room, work),
            times: 1,
        };
        once(
            problem,
            long,
            packing.least / stock.cost,
            &[laid],
            packing,
            work,
        );
    }
    let least = packing.least.div_ceil(stock.cost);
    for bars in least..=least + MORE {
        if bars * stock.cost >= packing.cost || once(problem, long, bars, &[], packing, work) {
            return;
        }
    }
}

/// Lays what is not laid already into so many bars; says whether that went.
fn once(
    problem: &Problem,
    stock: usize,
    bars: u64,
    laid: &[Lay],
    packing: &mut Packing,
    work: &mut Work,
) -> bool {
    let mut counts = problem.counts();
    for &(item, count) in laid.iter().flat_map(|lay| &lay.pattern) {
        counts[item] -= count;
    }
    let pieces = Pieces::of(problem, &counts);
    let room = problem.stocks[stock].room;
    let Some(dealt) = pieces.deal(bars as usize, room) else {
        return false;
    };
    let mut tries = STAYS.iter();
    let Some(dealt) = tries.find_map(|&stays| pieces.level(dealt.clone(), room, stays, work))
    else {
        return false;
    };
    let lays = dealt.iter().map(|bar| Lay {
        stock,
        pattern: pattern(bar.pieces.iter().map(|&piece| pieces.item[piece])),
        times: 1,
    });
    better(problem, packing, laid.iter().cloned().chain(lays).collect());
    true
}

/// All pieces, longest first.
struct Pieces {
    weight: Vec<u64>,
    item: Vec<usize>,
}

/// A bar's pieces, and what they weigh.
#[derive(Clone, Default)]
struct Dealt {
    pieces: Vec<usize>,
    sum: u64,
}

/// A swap: bar and place in it, twice; the longer piece first.
type Swap = [(usize, usize); 2];

impl Pieces {
    fn of(problem: &Problem, counts: &[u32]) -> Self {
        let counts = counts.iter().enumerate();
        let item: Vec<usize> = counts
            .flat_map(|(item, &count)| std::iter::repeat_n(item, count as usize))
            .collect();
        let weight = item.iter().map(|&item| problem.items[item].weight);
        Self {
            weight: weight.collect(),
            item,
        }
    }

    /// So many bars, some of them overfull; nothing where the longest do not go together, or the others are too much.
    fn deal(&self, bars: usize, room: u64) -> Option<Vec<Dealt>> {
        let all: Vec<usize> = (0..self.item.len()).collect();
        let each = all.len().div_ceil(bars.max(1));
        let fewer = each * bars - all.len();
        if each < 2 || fewer >= bars {
            return None;
        }
        let (longest, others) = all.split_at(fewer * (each - 1));
        let sum = |pieces: &[usize]| pieces.iter().map(|&piece| self.weight[piece]).sum();
        let bar = |pieces: &[usize]| Dealt {
            pieces: pieces.to_vec(),
            sum: sum(pieces),
        };
        let mut dealt: Vec<Dealt> = longest.chunks(each - 1).map(bar).collect();
        let mut full = vec![Dealt::default(); bars - fewer];
        if dealt.iter().any(|bar| bar.sum > room) || sum(others) > room * full.len() as u64 {
            return None;
        }
        // Row after row, the longest of each to the bar that holds least.
        for row in others.chunks(full.len()) {
            full.sort_by_key(|bar| bar.sum);
            for (bar, &piece) in full.iter_mut().zip(row) {
                bar.pieces.push(piece);
                bar.sum += self.weight[piece];
            }
        }
        dealt.extend(full);
        Some(dealt)
    }

    /// Swaps pieces with the bar that is most overfull until none is; nothing where that does not come about.
    ///
    /// A swap that makes things worse is taken where there is no better one; what was swapped stays for some swaps, so that
    /// it is not undone at once (tabu search: F. Glover, ORSA Journal on Computing 1 (1989) 190, from memory).
    fn level(
        &self,
        mut bars: Vec<Dealt>,
        room: u64,
        stays: usize,
        work: &mut Work,
    ) -> Option<Vec<Dealt>> {
        // The swap up to which each piece stays.
        let mut until = vec![0; self.item.len()];
        let (mut least, mut since) = (u64::MAX, 0);
        for now in 1..=SWAPS * bars.len() + STALL {
            let over: u64 = bars.iter().map(|bar| bar.sum.saturating_sub(room)).sum();
            if over == 0 {
                return Some(bars);
            }
            if over < least {
                (least, since) = (over, now);
            } else if now > since + STALL {
                return None;
            }
            let moves = |piece: usize| until[piece] < now;
            let fullest = bars
                .iter()
                .enumerate()
                .filter(|(_, bar)| bar.sum > room && bar.pieces.iter().any(|&piece| moves(piece)));
            // Where all were just swapped, they wait.
            let Some((fullest, bar)) = fullest.max_by_key(|(_, bar)| bar.sum) else {
                continue;
            };
            if !work.spend((self.item.len() * bar.pieces.len()) as u64) {
                return None;
            }
            let Some([(a, x), (b, y)]) = self.swap(&bars, fullest, room, moves) else {
                continue;
            };
            let (long, short) = (bars[a].pieces[x], bars[b].pieces[y]);
            let by = self.weight[long] - self.weight[short];
            bars[a].pieces[x] = short;
            bars[b].pieces[y] = long;
            bars[a].sum -= by;
            bars[b].sum += by;
            until[long] = now + stays;
            until[short] = now + stays;
        }
        None
    }

    /// The swap with an overfull bar after which least is over in all; of several the one that moves least.
    fn swap(
        &self,
        bars: &[Dealt],
        a: usize,
        room: u64,
        moves: impl Fn(usize) -> bool,
    ) -> Option<Swap> {
        let over = bars[a].sum - room;
        let movable = |piece: &(usize, &usize)| moves(*piece.1);
        let mut best: Option<((u64, u64), Swap)> = None;
        for (b, other) in bars.iter().enumerate().filter(|(_, bar)| bar.sum < room) {
            let free = room - other.sum;
            for (x, &long) in bars[a].pieces.iter().enumerate().filter(movable) {
                for (y, &short) in other.pieces.iter().enumerate().filter(movable) {
                    let by = self.weight[long].saturating_sub(self.weight[short]);
                    let left = (over.saturating_sub(by) + by.saturating_sub(free), by);
                    if by > 0 && best.is_none_or(|(least, _)| left < least) {
                        best = Some((left, [(a, x), (b, y)]));
                    }
                }
            }
        }
        best.map(|(_, swap)| swap)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn laid(items: &[(u64, u32)], room: u64, least: u64) -> Packing {
        let problem = Problem::of_one(items, room);
        let mut packing = Packing {
            lays: Vec::new(),
            cost: u64::MAX,
            least,
        };
        even(&problem, &mut packing, &mut Work::new(1_000_000));
        for lay in &packing.lays {
            assert!(problem.fits(lay.stock, &lay.pattern), "{lay:?}");
        }
        packing
    }

    #[test]
    fn the_longest_go_two_to_a_bar_and_the_others_three() {
        // 48 + 48 leave 4 of 100; 30 + 33 + 37 and 31 + 34 + 35 fill a bar each: 8 pieces in 3 bars, so one holds two.
        let items =
            [48, 37, 35, 34, 33, 31, 30].map(|weight| (weight, 1 + u32::from(weight == 48)));
        let packing = laid(&items, 100, 3);
        assert_eq!(packing.cost, 3);
        let long = packing.lays.iter().find(|lay| lay.pattern == [(0, 2)]);
        assert!(long.is_some(), "{:?}", packing.lays);
    }

    #[test]
    fn one_bar_more_where_so_many_do_not_hold_all() {
        // Three of 34 are 102, more than 100: five of them do not go into two bars, whatever the bound told. Three hold them.
        assert_eq!(laid(&[(34, 5)], 100, 2).cost, 3);
    }
}
