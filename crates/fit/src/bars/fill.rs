//! Fills bars one after the other: the longest piece left first, then the pieces that leave least.
//!
//! First fit decreasing is the case where the first try is taken; looking further is the minimum bin slack heuristic
//! of J. N. D. Gupta and J. C. Ho (Production Planning & Control 10 (1999) 598, from memory), each bar seeded with its
//! longest piece after K. Fleszar and K. S. Hindi (Computers & Operations Research 29 (2002) 821, from memory).

use super::problem::{Lay, Pattern, Problem, Work};

/// How bars are filled.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner {
    /// How many fillings are looked at for a bar; 1 is first fit decreasing.
    pub tries: u32,
    /// What may be left without looking further.
    pub content: u64,
    /// The stock to take where it holds the longest piece; nothing takes the one best used.
    pub stock: Option<usize>,
}

/// Pieces still to be laid, heaviest first.
struct Left {
    /// Weight, how many, item.
    rows: Vec<(u64, u32, usize)>,
    /// Weight of this row and all after it.
    rest: Vec<u64>,
    spent: usize,
}

impl Left {
    fn new(problem: &Problem, counts: &[u32]) -> Self {
        let rows = problem
            .items
            .iter()
            .zip(counts)
            .enumerate()
            .filter(|(_, (_, count))| **count > 0)
            .map(|(index, (item, &count))| (item.weight, count, index))
            .collect();
        Self::of(rows)
    }

    fn of(rows: Vec<(u64, u32, usize)>) -> Self {
        let mut left = Self {
            rows,
            rest: Vec::new(),
            spent: 0,
        };
        left.settle();
        left
    }

    /// Drops rows that are used up.
    fn settle(&mut self) {
        self.rows.retain(|row| row.1 > 0);
        self.spent = 0;
        self.rest = vec![0; self.rows.len() + 1];
        for (at, row) in self.rows.iter().enumerate().rev() {
            self.rest[at] = self.rest[at + 1] + row.0 * u64::from(row.1);
        }
    }

    /// The row of the heaviest piece left.
    fn heaviest(&self) -> Option<usize> {
        self.rows.iter().position(|row| row.1 > 0)
    }

    fn take(&mut self, row: usize, count: u32) {
        self.rows[row].1 -= count;
        self.spent += usize::from(self.rows[row].1 == 0);
    }
}

/// The search for the filling that leaves least.
struct Search<'a> {
    left: &'a Left,
    content: u64,
    tries: u32,
    steps: u64,
    now: Vec<(usize, u32)>,
    best: Vec<(usize, u32)>,
    slack: u64,
}

impl Search<'_> {
    fn done(&self) -> bool {
        self.slack <= self.content || self.tries == 0
    }

    /// Goes on with rows from `from`, `room` being left. Weights fall, so what is too heavy is jumped over.
    fn look(&mut self, from: usize, room: u64) {
        if room < self.slack {
            self.slack = room;
            self.best.clone_from(&self.now);
        }
        let rows = &self.left.rows;
        let mut deeper = false;
        let mut row = from + rows[from..].partition_point(|row| row.0 > room);
        while row < rows.len() && !self.done() {
            self.steps += 1;
            // All that follows together does not better the best.
            if self.left.rest[row] < room && room - self.left.rest[row] >= self.slack {
                break;
            }
            let (weight, count, _) = rows[row];
            let most = u64::from(count).min(room / weight) as u32;
            for count in (1..=most).rev() {
                deeper = true;
                self.now.push((row, count));
                self.look(row + 1, room - weight * u64::from(count));
                self.now.pop();
                if self.done() {
                    return;
                }
            }
            row += 1;
        }
        if !deeper {
            self.tries = self.tries.saturating_sub(1);
        }
    }
}

/// The filling found for a bar whose room takes the row `seed`, as rows, and what it leaves.
fn fill(
    left: &Left,
    room: u64,
    seed: Option<usize>,
    manner: Manner,
    work: &mut Work,
) -> (Pattern, u64) {
    let mut search = Search {
        left,
        content: manner.content,
        tries: manner.tries,
        steps: 1,
        now: Vec::new(),
        best: Vec::new(),
        slack: u64::MAX,
    };
    match seed {
        Some(row) => {
            let (weight, count, _) = left.rows[row];
            let most = u64::from(count).min(room / weight) as u32;
            for count in (1..=most).rev() {
                search.now.push((row, count));
                search.look(row + 1, room - weight * u64::from(count));
                search.now.pop();
                if search.done() {
                    break;
                }
            }
        }
        None => search.look(0, room),
    }
    work.spend(search.steps);
    (search.best, search.slack)
}

/// Of these pieces, heaviest first, those that fill a room best.
pub(super) fn fullest(problem: &Problem, pieces: &Pattern, room: u64, work: &mut Work) -> Pattern {
    let rows = pieces
        .iter()
        .map(|&(item, count)| (problem.items[item].weight, count, item));
    let left = Left::of(rows.collect());
    let manner = Manner {
        tries: 100,
        content: 0,
        stock: None,
    };
    let (rows, _) = fill(&left, room, None, manner, work);
    rows.into_iter()
        .map(|(row, count)| (left.rows[row].2, count))
        .collect()
}

/// Lays all of `counts`, offcuts first, in the manner told.
///
/// * `counts`: how many of each item
/// * `limits`: how many bars of each stock may be used
pub(super) fn lay(
    problem: &Problem,
    counts: &[u32],
    limits: &[u32],
    manner: Manner,
    work: &mut Work,
) -> Vec<Lay> {
    let mut left = Left::new(problem, counts);
    let mut lays = Vec::new();
    // The tightest offcut first, so that long ones stay for what needs them.
    let mut offcuts: Vec<usize> = (0..problem.stocks.len())
        .filter(|&stock| problem.stocks[stock].limit.is_some())
        .collect();
    offcuts.sort_by_key(|&stock| problem.stocks[stock].room);
    for stock in offcuts {
        let mut bars = limits[stock];
        while bars > 0 {
            let room = problem.stocks[stock].room;
            let (pattern, _) = fill(&left, room, None, manner, work);
            if pattern.is_empty() {
                break;
            }
            bars -= push(&mut lays, &mut left, stock, pattern, bars);
        }
    }
    while let Some(seed) = left.heaviest() {
        if left.spent * 2 > left.rows.len() {
            left.settle();
            continue;
        }
        let (stock, pattern) = open(problem, &left, seed, manner, work);
        push(&mut lays, &mut left, stock, pattern, u32::MAX);
    }
    lays
}

/// The bar to buy for the heaviest piece left, and what goes into it.
fn open(
    problem: &Problem,
    left: &Left,
    seed: usize,
    manner: Manner,
    work: &mut Work,
) -> (usize, Pattern) {
    let (weight, _, item) = left.rows[seed];
    if let Some(stock) = manner.stock
        && problem.stocks[stock].room >= weight
    {
        return (
            stock,
            fill(left, problem.stocks[stock].room, Some(seed), manner, work).0,
        );
    }
    let mut best: Option<(usize, Pattern, u64)> = None;
    for (index, stock) in problem.sold() {
        let (pattern, used) = if stock.whole == Some(item) {
            (vec![(seed, 1)], weight)
        } else if weight <= stock.room {
            let (pattern, slack) = fill(left, stock.room, Some(seed), manner, work);
            (pattern, stock.room - slack)
        } else {
            continue;
        };
        let better = best.as_ref().is_none_or(|(other, _, most)| {
            let new = u128::from(used) * u128::from(problem.stocks[*other].cost);
            let old = u128::from(*most) * u128::from(stock.cost);
            new > old || new == old && stock.cost > problem.stocks[*other].cost
        });
        if better {
            best = Some((index, pattern, used));
        }
    }
    let (stock, pattern, _) = best.expect("each item fits a stock that is bought");
    (stock, pattern)
}

/// Lays the pattern, told in rows, as often as it can be; says how often.
fn push(lays: &mut Vec<Lay>, left: &mut Left, stock: usize, pattern: Pattern, bars: u32) -> u32 {
    let times = pattern
        .iter()
        .map(|&(row, count)| left.rows[row].1 / count)
        .min()
        .unwrap_or(0)
        .min(bars)
        .max(1);
    for &(row, count) in &pattern {
        left.take(row, count * times);
    }
    let pattern = pattern
        .into_iter()
        .map(|(row, count)| (left.rows[row].2, count))
        .collect();
    lays.push(Lay {
        stock,
        pattern,
        times,
    });
    times
}
