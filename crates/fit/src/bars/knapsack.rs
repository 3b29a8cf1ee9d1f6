//! The filling of one bar that is worth most, for prices that the relaxation sets (bounded knapsack).
//!
//! Depth first by worth for weight, cut off by the fractional bound (G. B. Dantzig, Operations Research 5 (1957) 266, from
//! memory); where that takes too long a table over the room (R. Bellman), on a coarser grid where the room is too fine.
//! The grid rounds weights down, so that what it gives is never less than the truth: a bound, and exact where it is not needed.

use super::problem::{Pattern, Problem, Work};

/// What the search may look at before the table takes over: so many for each of the table's entries.
const LOOKS: f64 = 1.0 / 64.0;
/// The same for fillings beside the best.
const SHORT: u64 = 500;
/// Columns of the table at most.
const COLUMNS: u64 = 1 << 17;

/// The best filling of one stock.
#[derive(Clone, Debug, Default)]
pub(super) struct Best {
    /// The best one found.
    pub pattern: Pattern,
    /// What it is worth.
    pub worth: u64,
    /// What no filling is worth more than.
    pub most: u64,
}

/// A row of the search: pieces by worth for weight, best first.
struct Row {
    weight: u64,
    price: u64,
    count: u32,
    item: usize,
    /// Price for weight, rounded up a little.
    ratio: f64,
    /// The lightest of this row and all after it.
    lightest: u64,
}

struct Search<'a> {
    rows: &'a [Row],
    single: &'a [(u64, u64)],
    looks: u64,
    now: Pattern,
    best: Pattern,
    worth: u64,
}

impl Search<'_> {
    /// The worth of the best piece that fits.
    fn last(&self, room: u64) -> u64 {
        let fit = self.single.partition_point(|piece| piece.0 <= room);
        fit.checked_sub(1).map_or(0, |at| self.single[at].1)
    }

    fn look(&mut self, from: usize, room: u64, worth: u64) {
        if worth > self.worth {
            self.worth = worth;
            self.best.clone_from(&self.now);
        }
        // Where one more piece goes in at most, the best that fits tells at once whether it is worth looking.
        if let Some(row) = self.rows.get(from)
            && room < 2 * row.lightest
            && worth + self.last(room) <= self.worth
        {
            return;
        }
        for at in from..self.rows.len() {
            let row = &self.rows[at];
            if room < row.lightest || self.looks == 0 {
                return;
            }
            self.looks -= 1;
            // Only where it is less for certain: the float may be off by a little.
            if worth + ((room as f64 * row.ratio) as u64) < self.worth {
                return;
            }
            let most = u64::from(row.count).min(room / row.weight) as u32;
            for count in (1..=most).rev() {
                let (row, times) = (&self.rows[at], u64::from(count));
                self.now.push((row.item, count));
                self.look(at + 1, room - times * row.weight, worth + times * row.price);
                self.now.pop();
            }
        }
    }
}

/// The best filling of a bar of each stock, and more that share no piece with it.
///
/// * `prices`: worth of one piece of each item, below 2^44
/// * `enough`: for each stock, what a filling has to be worth more than to be of use
///
/// Where the search is cut short after it found something of use, `most` is not worked out and stands at its greatest.
pub(super) fn best(
    problem: &Problem,
    prices: &[u64],
    enough: &[u64],
    work: &mut Work,
) -> Vec<Best> {
    let rows = rows(problem, prices);
    let single = single(&rows);
    let mut table: Option<Table> = None;
    let mut found: Vec<Best> = Vec::with_capacity(problem.stocks.len());
    for (stock, &enough) in problem.stocks.iter().zip(enough) {
        let entries = rows.len() as f64 * stock.room.min(COLUMNS) as f64;
        let looks = (entries * LOOKS).clamp(2_000.0, 40_000.0) as u64;
        let search = |floor: u64, work: &mut Work| {
            let mut search = Search {
                rows: &rows,
                single: &single,
                looks,
                now: Vec::new(),
                best: Vec::new(),
                worth: floor,
            };
            search.look(0, stock.room, 0);
            work.spend(8 * (looks - search.looks) + rows.len() as u64);
            (search.best, search.worth, search.looks == 0)
        };
        let (pattern, worth, cut_short) = search(0, work);
        let mut best = Best {
            pattern,
            worth,
            most: worth,
        };
        if cut_short && worth > enough {
            best.most = u64::MAX;
        } else if cut_short || stock.widest > stock.room {
            let table = table.get_or_insert_with(|| Table::new(problem, &rows, work));
            best.most = table.most(stock.widest);
            let most = table.most(stock.room);
            if cut_short && table.grain == 1 && most > best.worth {
                // Knowing what there is to find, the search often finds it.
                let (pattern, worth, _) = search(most - 1, work);
                best.pattern = if worth == most {
                    pattern
                } else {
                    Table::pattern(&rows, stock.room, work)
                };
                best.worth = most;
            }
        }
        if let Some(item) = stock.whole
            && problem.items[item].count > 0
            && prices[item] > best.most
        {
            best = Best {
                pattern: vec![(item, 1)],
                worth: prices[item],
                most: prices[item],
            };
        }
        best.pattern.sort_unstable();
        found.push(best);
    }
    found
}

/// Items that are worth something, the best for their weight first.
fn rows(problem: &Problem, prices: &[u64]) -> Vec<Row> {
    let mut rows: Vec<Row> = problem
        .items
        .iter()
        .zip(prices)
        .enumerate()
        .filter(|(_, (item, price))| **price > 0 && item.count > 0)
        .map(|(index, (item, &price))| Row {
            weight: item.weight,
            price,
            count: item.count,
            item: index,
            ratio: price as f64 / item.weight as f64 * (1.0 + 1e-12),
            lightest: item.weight,
        })
        .collect();
    rows.sort_by(|a, b| b.ratio.total_cmp(&a.ratio).then(a.item.cmp(&b.item)));
    settle(&mut rows);
    rows
}

/// For each weight the best price up to it, lightest first.
fn single(rows: &[Row]) -> Vec<(u64, u64)> {
    let mut single: Vec<(u64, u64)> = rows.iter().map(|row| (row.weight, row.price)).collect();
    single.sort_unstable();
    let mut most = 0;
    for piece in &mut single {
        most = most.max(piece.1);
        piece.1 = most;
    }
    single
}

fn settle(rows: &mut [Row]) {
    let mut lightest = u64::MAX;
    for row in rows.iter_mut().rev() {
        lightest = lightest.min(row.weight);
        row.lightest = lightest;
    }
}

/// Good fillings of one stock that share no piece: each the best that a short search finds among what the others leave.
pub(super) fn apart(
    problem: &Problem,
    prices: &[u64],
    stock: usize,
    enough: u64,
    work: &mut Work,
) -> Vec<Pattern> {
    let mut rows = rows(problem, prices);
    let mut patterns = Vec::new();
    let single = single(&rows);
    loop {
        let mut search = Search {
            rows: &rows,
            single: &single,
            looks: SHORT,
            now: Vec::new(),
            best: Vec::new(),
            worth: enough,
        };
        search.look(0, problem.stocks[stock].room, 0);
        work.spend(8 * (SHORT - search.looks) + 1);
        let mut pattern = search.best;
        if pattern.is_empty() {
            return patterns;
        }
        for &(item, count) in &pattern {
            if let Some(row) = rows.iter_mut().find(|row| row.item == item) {
                row.count -= count;
            }
        }
        rows.retain(|row| row.count > 0);
        settle(&mut rows);
        pattern.sort_unstable();
        patterns.push(pattern);
    }
}

/// The most that fits into each room.
struct Table {
    /// How many units of weight make one column.
    grain: u64,
    /// Worth by column; whole numbers below 2^53, as floats because the machine compares those in fours.
    worth: Vec<f64>,
}

impl Table {
    fn new(problem: &Problem, rows: &[Row], work: &mut Work) -> Self {
        let widest = problem
            .stocks
            .iter()
            .map(|stock| stock.widest)
            .max()
            .unwrap_or(0);
        let grain = widest.div_ceil(COLUMNS).max(1);
        let columns = (widest / grain + 1) as usize;
        let mut worth = vec![0.0; columns];
        for (row, pieces) in bundles(rows, widest) {
            let wide = (row.weight * u64::from(pieces) / grain) as usize;
            add(&mut worth, wide, (row.price * u64::from(pieces)) as f64);
            work.spend(columns as u64 / 4);
        }
        Self { grain, worth }
    }

    fn most(&self, room: u64) -> u64 {
        self.worth[(room / self.grain) as usize] as u64
    }

    /// The pieces behind [`Table::most`]; only where the grain is one unit.
    fn pattern(rows: &[Row], room: u64, work: &mut Work) -> Pattern {
        let mut column = room as usize;
        let mut worth = vec![0.0; column + 1];
        let mut taken = Vec::new();
        for (row, pieces) in bundles(rows, room) {
            let wide = (row.weight * u64::from(pieces)) as usize;
            let price = (row.price * u64::from(pieces)) as f64;
            let mut bits = vec![0_u64; column / 64 + 1];
            for at in (wide..=column).rev() {
                let with = worth[at - wide] + price;
                if with > worth[at] {
                    worth[at] = with;
                    bits[at / 64] |= 1 << (at % 64);
                }
            }
            work.spend(column as u64);
            taken.push((row, pieces, wide, bits));
        }
        let mut pattern = Pattern::new();
        for (row, pieces, wide, bits) in taken.iter().rev() {
            if bits[column / 64] >> (column % 64) & 1 == 1 {
                column -= wide;
                match pattern.iter_mut().find(|part| part.0 == row.item) {
                    Some(part) => part.1 += pieces,
                    None => pattern.push((row.item, *pieces)),
                }
            }
        }
        pattern
    }
}

/// Pieces in bundles of 1, 2, 4 and so on, so that any number is a choice of bundles.
fn bundles(rows: &[Row], room: u64) -> impl Iterator<Item = (&Row, u32)> {
    rows.iter().flat_map(move |row| {
        let mut rest = row.count.min((room / row.weight) as u32);
        let mut size = 1;
        std::iter::from_fn(move || {
            let pieces = size.min(rest);
            rest -= pieces;
            size *= 2;
            (pieces > 0).then_some((row, pieces))
        })
    })
}

/// Lets a bundle into the table: from the top down in stretches as wide as the bundle, so that none is used twice.
fn add(worth: &mut [f64], wide: usize, price: f64) {
    if wide == 0 {
        for entry in worth {
            *entry += price;
        }
        return;
    }
    let mut end = worth.len();
    while end > wide {
        let start = end.saturating_sub(wide).max(wide);
        let (low, high) = worth.split_at_mut(start);
        let from = &low[start - wide..end - wide];
        for (entry, from) in high[..end - start].iter_mut().zip(from) {
            *entry = entry.max(from + price);
        }
        end = start;
    }
}
