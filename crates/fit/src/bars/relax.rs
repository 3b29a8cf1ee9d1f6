//! The problem with parts of bars allowed, solved over patterns that are made as they are needed.
//!
//! P. C. Gilmore and R. E. Gomory, Operations Research 9 (1961) 849 and 11 (1963) 863 (from memory): a simplex method whose
//! columns are fillings of one bar, the next one the filling that today's prices make worth most. The floats only choose the
//! prices; the bound is worked out from them in whole numbers ([`Problem::farley`]), so no rounding can make it too high.

use super::knapsack;
use super::problem::{Problem, Work};
use super::simplex::{Column, NOTHING, Simplex};

/// How far prices are drawn towards those of the best bound; the last is not at all.
const PULLS: [f64; 3] = [0.8, 0.4, 0.0];

/// What a pattern has to be worth beyond its cost to help.
const HELP: f64 = 1e-7;

/// The relaxation and what it proves.
#[derive(Clone)]
pub(super) struct Relaxation {
    pub simplex: Simplex,
    /// Prices of the best bound.
    centre: Vec<f64>,
    /// Scale that makes prices whole numbers.
    scale: f64,
}

impl Relaxation {
    pub fn new(problem: &Problem, pool: Vec<Column>, work: &mut Work) -> Self {
        let dearest = problem.sold().map(|(_, stock)| stock.cost).max();
        let price = problem
            .sold()
            .filter(|(_, stock)| stock.room > 0)
            .map(|(_, stock)| stock.cost as f64 / stock.room as f64)
            .fold(f64::INFINITY, f64::min);
        let price = if price.is_finite() { price } else { 0.0 };
        let items = problem.items.iter();
        Self {
            simplex: Simplex::new(problem, pool, work),
            centre: items.map(|item| price * item.weight as f64).collect(),
            scale: (1_u64 << 40) as f64 / dearest.unwrap_or(1) as f64,
        }
    }

    /// Makes patterns until they cover all for `goal`, or it is proved that nothing costs less than `enough`, or no
    /// pattern helps any more. Gives the proven bound.
    ///
    /// Prices jump about from one solution to the next; patterns are first asked for at prices drawn towards those of
    /// the best bound so far (P. Wentges, International Transactions in Operational Research 4 (1997) 151, from memory).
    pub fn improve(&mut self, goal: u64, enough: u64, work: &mut Work) -> u64 {
        let (mut bound, mut nearest) = (0, 0.0);
        self.simplex.known(work);
        while !work.over() && self.simplex.cost() > goal as f64 + NOTHING {
            let mut made = false;
            for pull in PULLS {
                let prices: Vec<u64> = self
                    .centre
                    .iter()
                    .zip(&self.simplex.prices)
                    .map(|(centre, price)| price * (1.0 - pull) + centre * pull)
                    .map(|price| (price * self.scale).max(0.0) as u64)
                    .collect();
                let (columns, worth) = self.ask(&prices, work);
                let problem = &self.simplex.problem;
                bound = bound.max(problem.farley(&prices, &worth));
                if bound >= enough {
                    return bound;
                }
                let near = problem.fraction(&prices, &worth);
                if near > nearest {
                    nearest = near;
                    for (centre, &price) in self.centre.iter_mut().zip(&prices) {
                        *centre = price as f64 / self.scale;
                    }
                }
                made = self.learn(columns);
                if made {
                    break;
                }
            }
            if !made {
                break;
            }
            self.simplex.known(work);
        }
        bound
    }

    /// Fillings that are worth much at these prices, and for each stock the most that one can be worth.
    fn ask(&self, prices: &[u64], work: &mut Work) -> (Vec<Column>, Vec<u64>) {
        let problem = &self.simplex.problem;
        let stocks = problem.stocks.iter().zip(&self.simplex.stock_rows);
        let enough: Vec<u64> = stocks
            .map(|(stock, row)| {
                let bar = row.map_or(0.0, |row| self.simplex.prices[row]);
                ((stock.cost as f64 - bar + HELP) * self.scale).max(0.0) as u64
            })
            .collect();
        let best = knapsack::best(problem, prices, &enough, work);
        let worth = best.iter().map(|best| best.most).collect();
        let mut columns = Vec::new();
        for (stock, best) in best.into_iter().enumerate() {
            if best.worth > enough[stock] {
                let apart = knapsack::apart(problem, prices, stock, enough[stock], work);
                columns.extend(apart.into_iter().map(|pattern| Column { stock, pattern }));
            }
            columns.push(Column {
                stock,
                pattern: best.pattern,
            });
        }
        (columns, worth)
    }

    /// Takes into the pool what is new and helps at today's prices; says whether there was any.
    fn learn(&mut self, columns: Vec<Column>) -> bool {
        let simplex = &mut self.simplex;
        let known = simplex.pool.len();
        for column in columns {
            if simplex.reduced(&column) < -HELP && !simplex.pool.contains(&column) {
                simplex.pool.push(column);
            }
        }
        simplex.pool.len() > known
    }

    /// Patterns in use and how often each, the most used first.
    pub fn shares(&self) -> Vec<(Column, f64)> {
        let shares = self.simplex.amounts();
        let mut shares: Vec<(Column, f64)> = shares
            .map(|(column, amount)| (column.clone(), amount))
            .collect();
        shares.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        shares
    }
}
