//! The basis of the relaxation over patterns, with its inverse: prices, amounts, and pivots from either side.
//!
//! Revised simplex method, primal and dual, with a dense inverse (G. B. Dantzig; C. E. Lemke, Naval Research Logistics Quarterly 1
//! (1954) 36, from memory). Floats; nothing that is told to the user rests on them.

use super::problem::{Item, Pattern, Problem, Work};

/// A filling and the stock it fills.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Column {
    pub stock: usize,
    pub pattern: Pattern,
}

/// What stands in the basis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Basic {
    /// A pattern, by its index in the pool.
    Pattern(usize),
    /// More of an item than is asked for, or offcuts left over; by its row.
    Spare(usize),
}

/// Reduced costs nearer to 0 than this are 0; costs are whole numbers.
pub(super) const NOTHING: f64 = 1e-9;
/// Smaller numbers are not divided by.
const PIVOT: f64 = 1e-7;

/// Amounts of patterns that cover all items at the least cost, among the patterns of a pool.
#[derive(Clone)]
pub(super) struct Simplex {
    /// What is to be covered, and with what.
    pub problem: Problem,
    /// Prices by item, then by kind of offcut.
    pub prices: Vec<f64>,
    /// All patterns known. One that takes more than is asked for stands for its part.
    pub pool: Vec<Column>,
    /// For each stock its row after those of the items; offcuts only.
    pub stock_rows: Vec<Option<usize>>,
    size: usize,
    /// Inverse of the basis, row by row.
    inverse: Vec<f64>,
    basis: Vec<Basic>,
    amounts: Vec<f64>,
}

impl Simplex {
    /// Starts with a bar of each item alone, then lets in what helps of a pool.
    pub fn new(problem: &Problem, pool: Vec<Column>, work: &mut Work) -> Self {
        let items = problem.items.len();
        let mut stock_rows = Vec::new();
        let mut size = items;
        for stock in &problem.stocks {
            stock_rows.push(stock.limit.map(|_| {
                size += 1;
                size - 1
            }));
        }
        let mut simplex = Self {
            problem: problem.clone(),
            stock_rows,
            size,
            inverse: vec![0.0; size * size],
            basis: Vec::new(),
            amounts: vec![0.0; size],
            prices: vec![0.0; size],
            pool,
        };
        for item in 0..items {
            let (stock, count) = simplex.alone(item);
            let each = f64::from(count);
            simplex.basis.push(Basic::Pattern(simplex.pool.len()));
            simplex.pool.push(Column {
                stock,
                pattern: vec![(item, count)],
            });
            simplex.inverse[item * size + item] = 1.0 / each;
            simplex.prices[item] = problem.stocks[stock].cost as f64 / each;
        }
        for row in items..size {
            simplex.basis.push(Basic::Spare(row));
            simplex.inverse[row * size + row] = 1.0;
        }
        simplex.weigh();
        simplex.known(work);
        simplex
    }

    /// Amounts anew from what the problem asks for.
    fn weigh(&mut self) {
        let items = self.problem.items.iter().map(|item| f64::from(item.count));
        let limits = self.problem.stocks.iter().filter_map(|stock| stock.limit);
        let asked: Vec<f64> = items.chain(limits.map(f64::from)).collect();
        for (amount, row) in self
            .amounts
            .iter_mut()
            .zip(self.inverse.chunks_exact(self.size))
        {
            *amount = row
                .iter()
                .zip(&asked)
                .map(|(entry, asked)| entry * asked)
                .sum();
        }
    }

    /// The cheapest way to have an item in a bar of its own kind.
    fn alone(&self, item: usize) -> (usize, u32) {
        let Item { weight, count } = self.problem.items[item];
        self.problem
            .sold()
            .filter(|(_, stock)| stock.room >= weight || stock.whole == Some(item))
            .map(|(index, stock)| {
                let fit = (stock.room / weight).clamp(1, u64::from(count)) as u32;
                (index, fit, stock.cost as f64 / f64::from(fit))
            })
            .min_by(|a, b| a.2.total_cmp(&b.2))
            .map(|(index, fit, _)| (index, fit))
            .expect("each item fits a stock that is bought")
    }

    /// What a bar of that filling costs beyond what its pieces are worth at today's prices.
    pub fn reduced(&self, column: &Column) -> f64 {
        let worth: f64 = column
            .pattern
            .iter()
            .map(|&(item, count)| self.prices[item] * f64::from(count))
            .sum();
        let bar = self.stock_rows[column.stock].map_or(0.0, |row| self.prices[row]);
        self.problem.stocks[column.stock].cost as f64 - worth - bar
    }

    /// A line of the inverse times a column.
    fn along(&self, line: &[f64], basic: Basic) -> f64 {
        match basic {
            Basic::Spare(row) if row < self.problem.items.len() => -line[row],
            Basic::Spare(row) => line[row],
            Basic::Pattern(index) => {
                let column = &self.pool[index];
                let items = column.pattern.iter();
                let items: f64 = items
                    .map(|&(item, count)| line[item] * f64::from(count))
                    .sum();
                items + self.stock_rows[column.stock].map_or(0.0, |row| line[row])
            }
        }
    }

    /// A column in terms of the basis.
    fn change(&self, entering: Basic) -> Vec<f64> {
        self.inverse
            .chunks_exact(self.size)
            .map(|line| self.along(line, entering))
            .collect()
    }

    /// Takes a column with that reduced cost into the basis; false where no row limits it.
    fn enter(&mut self, entering: Basic, reduced: f64, work: &mut Work) -> bool {
        let change = self.change(entering);
        let mut leaving: Option<(usize, f64)> = None;
        for (row, &by) in change.iter().enumerate() {
            if by > PIVOT {
                let ratio = self.amounts[row].max(0.0) / by;
                let better = leaving.is_none_or(|(other, least)| {
                    ratio < least - 1e-12 || ratio <= least + 1e-12 && by > change[other]
                });
                if better {
                    leaving = Some((row, ratio));
                }
            }
        }
        let Some((row, amount)) = leaving else {
            return false;
        };
        self.pivot(entering, reduced, row, amount, &change, work);
        true
    }

    /// Puts a column into the place of a row.
    fn pivot(
        &mut self,
        entering: Basic,
        reduced: f64,
        pivot: usize,
        amount: f64,
        change: &[f64],
        work: &mut Work,
    ) {
        let (size, by) = (self.size, change[pivot]);
        let mut line = self.inverse[pivot * size..(pivot + 1) * size].to_vec();
        for (entry, price) in line.iter_mut().zip(&mut self.prices) {
            *entry /= by;
            *price += reduced * *entry;
        }
        let mut touched = 1;
        for (row, inverse) in self.inverse.chunks_exact_mut(size).enumerate() {
            let factor = change[row];
            if row == pivot {
                inverse.copy_from_slice(&line);
            } else if factor.abs() > 1e-12 {
                touched += 1;
                for (entry, pivot) in inverse.iter_mut().zip(&line) {
                    *entry -= factor * pivot;
                }
                self.amounts[row] -= factor * amount;
            }
        }
        self.amounts[pivot] = amount;
        self.basis[pivot] = entering;
        work.spend((touched * size / 4 + 4 * size) as u64);
    }

    /// All columns that are known, with their reduced costs.
    fn all(&self) -> impl Iterator<Item = (Basic, f64)> {
        let items = self.problem.items.len();
        let spare = self.prices.iter().enumerate().map(move |(row, price)| {
            (Basic::Spare(row), if row < items { *price } else { -price })
        });
        let patterns = self.pool.iter().enumerate();
        spare.chain(patterns.map(|(index, column)| (Basic::Pattern(index), self.reduced(column))))
    }

    /// Lets in what is known already, the best first, until nothing of it helps.
    pub fn known(&mut self, work: &mut Work) {
        while work.spend(self.pool.len() as u64 * 4) {
            let best = self.all().min_by(|a, b| a.1.total_cmp(&b.1));
            match best {
                Some((entering, reduced))
                    if reduced < -NOTHING
                        && !self.basis.contains(&entering)
                        && self.enter(entering, reduced, work) => {}
                _ => return,
            }
        }
    }

    /// Takes bars off what is asked for, and mends the amounts from the dual side.
    pub fn take(&mut self, taken: &[(Column, u32)], work: &mut Work) {
        for (column, times) in taken {
            for &(item, count) in &column.pattern {
                self.problem.items[item].count -= count * times;
            }
            if let Some(limit) = &mut self.problem.stocks[column.stock].limit {
                *limit -= times;
            }
        }
        self.weigh();
        // Prices may be a little off: then the dual side may go round in a circle.
        for _ in 0..4 * self.size {
            let (row, &amount) = self
                .amounts
                .iter()
                .enumerate()
                .min_by(|a, b| a.1.total_cmp(b.1))
                .expect("a problem has items");
            if amount > -NOTHING || !work.spend(self.pool.len() as u64 * 8) {
                break;
            }
            let line = &self.inverse[row * self.size..(row + 1) * self.size];
            let entering = self
                .all()
                .filter_map(|(basic, reduced)| {
                    let by = self.along(line, basic);
                    (by < -PIVOT).then(|| (basic, reduced, reduced.max(0.0) / -by, by))
                })
                .min_by(|a, b| a.2.total_cmp(&b.2).then(a.3.total_cmp(&b.3)));
            let Some((entering, reduced, _, _)) = entering else {
                break;
            };
            let change = self.change(entering);
            self.pivot(entering, reduced, row, amount / change[row], &change, work);
        }
    }

    /// What the amounts cost.
    pub fn cost(&self) -> f64 {
        self.amounts()
            .map(|(column, amount)| amount * self.problem.stocks[column.stock].cost as f64)
            .sum()
    }

    /// Patterns in use and how often each.
    pub fn amounts(&self) -> impl Iterator<Item = (&Column, f64)> {
        self.basis
            .iter()
            .zip(&self.amounts)
            .filter_map(|(basic, &amount)| match basic {
                Basic::Pattern(index) if amount > NOTHING => Some((&self.pool[*index], amount)),
                _ => None,
            })
    }
}
