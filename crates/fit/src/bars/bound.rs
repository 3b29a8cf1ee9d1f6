//! Lower bounds that need no relaxation: material, and weights changed so that long pieces count for more.
//!
//! With one sold length and no offcuts, a change of weights under which no bar that was not overfull becomes so keeps
//! every lower bound a lower bound (dual feasible functions: G. S. Lueker 1983; S. P. Fekete and J. Schepers, Mathematical Programming 91
//! (2001) 11; their first with the plain sum is bound L2 of S. Martello and P. Toth, 1990; all from memory).

use super::problem::{Item, Problem, Work};

/// The finest steps that weights are rounded to.
const STEPS: u64 = 12;
/// Lengths that are left when neighbouring ones are grouped.
const GROUPS: usize = 180;
/// How many thresholds between short and long are tried.
const THRESHOLDS: usize = 200;

/// No packing buys less than the material needs.
pub(super) fn material(problem: &Problem) -> u64 {
    let prices: Vec<u64> = problem.items.iter().map(|item| item.weight).collect();
    let worth: Vec<u64> = problem
        .stocks
        .iter()
        .map(|stock| {
            let whole = stock.whole.map_or(0, |item| problem.items[item].weight);
            stock.widest.max(whole)
        })
        .collect();
    problem.farley(&prices, &worth)
}

/// Narrows each room to the greatest sum of pieces in it, where it is not too fine to follow.
pub(super) fn narrow(problem: &mut Problem, work: &mut Work) {
    const FINEST: u64 = 1 << 18;
    let widest = problem.stocks.iter().map(|stock| stock.widest).max();
    let Some(widest) = widest.filter(|&widest| widest <= FINEST) else {
        return;
    };
    let words = (widest / 64 + 1) as usize;
    let mut sums = vec![0_u64; words];
    sums[0] = 1;
    for item in &problem.items {
        let mut rest = u64::from(item.count).min(widest / item.weight);
        let mut size = 1;
        while rest > 0 {
            let pieces = size.min(rest);
            rest -= pieces;
            size *= 2;
            shift_in(&mut sums, (item.weight * pieces) as usize);
            work.spend(words as u64);
        }
    }
    let reach = |room: u64| {
        (0..=room)
            .rev()
            .find(|&sum| sums[(sum / 64) as usize] >> (sum % 64) & 1 == 1)
            .unwrap_or(0)
    };
    for stock in &mut problem.stocks {
        stock.room = reach(stock.room);
        stock.widest = reach(stock.widest);
    }
}

/// Adds to the sums each of them moved by so much.
fn shift_in(sums: &mut [u64], by: usize) {
    let (words, bits) = (by / 64, by % 64);
    for at in (words..sums.len()).rev() {
        let mut moved = sums[at - words] << bits;
        if bits > 0 && at > words {
            moved |= sums[at - words - 1] >> (64 - bits);
        }
        sums[at] |= moved;
    }
}

/// The order with neighbouring lengths taken for the shortest of them: what it needs, the order itself needs.
///
/// (Linear grouping: W. Fernandez de la Vega and G. S. Lueker, Combinatorica 1 (1981) 349, from memory.)
pub(super) fn coarse(problem: &Problem) -> Problem {
    let group = problem.items.len().div_ceil(GROUPS);
    let items = problem.items.chunks(group).map(|items| Item {
        weight: items.iter().map(|item| item.weight).min().unwrap_or(1),
        count: items.iter().map(|item| item.count).sum(),
    });
    let mut coarse = Problem {
        items: items.collect(),
        stocks: problem.stocks.clone(),
    };
    // A piece laid whole is shorter now and may share: so its bar gets the room.
    for stock in &mut coarse.stocks {
        if let Some(item) = stock.whole.take() {
            stock.room = stock.room.max(problem.items[item].weight);
            stock.widest = stock.widest.max(stock.room);
        }
    }
    coarse
}

/// The best bound by changed weights; 0 where there are several sold lengths, offcuts or trim.
pub(super) fn weighted(problem: &Problem, work: &mut Work) -> u64 {
    let [stock] = &problem.stocks[..] else {
        return 0;
    };
    if stock.limit.is_some() || stock.whole.is_some() || stock.widest != stock.room {
        return 0;
    }
    let room = stock.room;
    let mut least = 0;
    let short: Vec<u64> = problem
        .items
        .iter()
        .map(|item| item.weight.min(room + 1 - item.weight))
        .filter(|&weight| 2 * weight <= room)
        .collect();
    let every = short.len().div_ceil(THRESHOLDS).max(1);
    let thresholds = std::iter::once(0).chain(short.into_iter().step_by(every));
    for threshold in thresholds {
        work.spend(problem.items.len() as u64 * STEPS);
        let changed = |weight: u64| match weight {
            weight if weight < threshold => 0,
            weight if weight > room - threshold => room,
            weight => weight,
        };
        for steps in 0..=STEPS {
            let all: u128 = problem
                .items
                .iter()
                .map(|item| {
                    let weight = stepped(changed(item.weight), room, steps);
                    u128::from(item.count) * u128::from(weight)
                })
                .sum();
            let full = u128::from(room) * u128::from(steps.max(1));
            least = least.max(all.div_ceil(full) as u64);
        }
    }
    problem.next_sum(least * stock.cost)
}

/// The best bound by weights that rise faster than the lengths: with `L` between room / m and room / (m - 1), a piece of room / m is
/// worth 1/m of a bar, one of `L` and longer 1/(m - 1), in between and below in a line, down to nothing. (Our own, a dual feasible function.)
///
/// Of pieces in the longest bar m - 1 are worth 1 at most. Where j >= m are worth something, they are worth j/m + s (room - j room/m)
/// at most, s being the slope; that is 1 for j = m and falls with j, as s room >= 1 for `L` <= room / (m - 1). In bars of other
/// rooms j pieces are worth no more than j/(m - 1), and no more than j/m + s (their room - j room/m).
pub(super) fn sloped(problem: &Problem) -> u64 {
    let longest = problem.sold().map(|(_, stock)| stock.widest).max();
    let room = i128::from(longest.unwrap_or(0));
    // Heaviest first, as the items are: how many pieces so far, and their weight.
    let mut sums = vec![(0_i128, 0_i128)];
    for item in &problem.items {
        let (count, weight) = sums[sums.len() - 1];
        let pieces = i128::from(item.count);
        sums.push((count + pieces, weight + pieces * i128::from(item.weight)));
    }
    let bound = |at: usize| {
        let parts = room / i128::from(problem.items[at].weight) + 1;
        // Worth is in parts of 1 / (m (m - 1) over).
        let over = parts * i128::from(problem.items[at].weight) - room;
        let line = |count: i128, weight: i128| count * ((parts - 1) * over - room) + parts * weight;
        let end = problem
            .items
            .partition_point(|item| line(1, i128::from(item.weight)) > 0);
        let (long, all) = (sums[at], sums[end.max(at)]);
        let worth = long.0 * parts * over + line(all.0 - long.0, all.1 - long.1);
        let most = problem.stocks.iter().map(|stock| {
            let wide = i128::from(stock.widest);
            // Beyond so many pieces the line alone counts, and falls.
            let fit = (1..=parts * (wide / room + 1))
                .map(|pieces| (pieces * parts * over).min(line(pieces, wide)));
            let whole = stock.whole.map_or(0, |_| parts * over);
            u64::try_from(fit.max().unwrap_or(0).max(whole)).unwrap_or(u64::MAX)
        });
        let most: Vec<u64> = most.collect();
        problem.bound(u128::try_from(worth).unwrap_or(0), &most)
    };
    let shorter = problem
        .items
        .partition_point(|item| i128::from(item.weight) >= room);
    // Where more go into a bar it hardly differs from material.
    let longer = problem
        .items
        .partition_point(|item| u128::from(item.weight) * u128::from(STEPS) >= room.unsigned_abs());
    (shorter..longer).map(bound).max().unwrap_or(0)
}

/// The weight in `steps`-ths of the room, times the room: rounded down to steps of one part in `steps + 1`, unless it is
/// such a step itself; with no steps the weight as it is. (Fekete and Schepers, function `u` of `steps`.)
fn stepped(weight: u64, room: u64, steps: u64) -> u64 {
    if steps == 0 {
        return weight;
    }
    let parts = weight * (steps + 1);
    if parts.is_multiple_of(room) {
        weight * steps
    } else {
        parts / room * room
    }
}

#[cfg(test)]
mod tests {
    use super::super::problem::Stock;
    use super::*;

    #[test]
    fn two_pieces_longer_than_half_never_share_a_bar() {
        // Five of 6 in bars of 10: 30 of material asks for 3 bars, but each piece needs its own.
        let problem = Problem::of_one(&[(6, 5)], 10);
        assert_eq!(material(&problem), 3);
        assert_eq!(weighted(&problem, &mut Work::new(1_000_000)), 5);
    }

    #[test]
    fn pieces_longer_than_a_third_go_two_to_a_bar() {
        // Seven of 4 in bars of 11: 28 of material asks for 3, but two at most lie in one, so 4.
        let problem = Problem::of_one(&[(4, 7)], 11);
        assert_eq!(material(&problem), 3);
        assert_eq!(weighted(&problem, &mut Work::new(1_000_000)), 4);
    }

    #[test]
    fn long_pieces_are_worth_more_than_their_length() {
        // Bars of 60: 29 is worth 1/2, 20 is worth 1/3. 41 / 2 + 60 / 3 = 40.5; material asks for 2389 / 60 = 39.8.
        let problem = Problem::of_one(&[(29, 41), (20, 60)], 60);
        assert_eq!((material(&problem), sloped(&problem)), (40, 41));
    }

    #[test]
    fn a_short_bar_is_worth_what_it_holds() {
        // The same with bars of 30 at half the cost: one of 29 fills it as well as two fill 60, so the bound is 81 halves.
        let mut both = Problem::of_one(&[(29, 41), (20, 60)], 60);
        both.stocks[0].cost = 2;
        both.stocks.push(Stock {
            room: 30,
            widest: 30,
            cost: 1,
            limit: None,
            whole: None,
        });
        assert_eq!(sloped(&both), 81);
    }

    #[test]
    fn a_coarse_order_needs_no_more_than_the_order() {
        // 400 lengths in 180 groups: three to a group (400 / 180 rounded up), each as long as its shortest.
        let items: Vec<(u64, u32)> = (600..1_000).rev().map(|weight| (weight, 1)).collect();
        let coarse = coarse(&Problem::of_one(&items, 2_000));
        assert_eq!(coarse.items.len(), 134);
        assert_eq!((coarse.items[0].weight, coarse.items[0].count), (997, 3));
        assert_eq!(coarse.items.iter().map(|item| item.count).sum::<u32>(), 400);
    }

    #[test]
    fn room_is_narrowed_to_what_pieces_can_fill() {
        // Sums of 4 and 6 are even: a room of 15 holds 14 (4 + 4 + 6).
        let mut problem = Problem::of_one(&[(6, 3), (4, 3)], 15);
        narrow(&mut problem, &mut Work::new(1_000_000));
        assert_eq!(problem.stocks[0].room, 14);
    }
}
