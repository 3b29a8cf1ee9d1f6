//! The bare packing problem: weights into rooms for the least cost, in whole numbers.
//!
//! A piece weighs its length and one kerf, a bar has room for its length less trim and one kerf more, since the last
//! piece of a bar that ends with it needs no cut (G. Wäscher and others, typology of cutting and packing; common practice).

/// Equal pieces.
#[derive(Clone, Copy, Debug)]
pub(super) struct Item {
    /// Length and kerf.
    pub weight: u64,
    /// How many.
    pub count: u32,
}

/// Bars of one length.
#[derive(Clone, Debug)]
pub(super) struct Stock {
    /// What the pieces of one bar may weigh together.
    pub room: u64,
    /// What they might weigh at most if pieces that had to be laid here beforehand could have gone elsewhere:
    /// the room that lower bounds reckon with.
    pub widest: u64,
    /// Length bought, in units that all sold lengths are multiples of; 0 for an offcut.
    pub cost: u64,
    /// How many there are; nothing where bars are bought as needed.
    pub limit: Option<u32>,
    /// The item as long as the bar, laid whole and so without trim.
    pub whole: Option<usize>,
}

/// What to pack into what.
#[derive(Clone, Debug)]
pub(super) struct Problem {
    /// Heaviest first, each weight once.
    pub items: Vec<Item>,
    /// What it may go into. Each item fits one of those that are bought.
    pub stocks: Vec<Stock>,
}

#[cfg(test)]
impl Problem {
    /// Items of weight and count, heaviest first, into any number of bars of one length.
    pub(super) fn of_one(items: &[(u64, u32)], room: u64) -> Self {
        let items = items.iter();
        Self {
            items: items
                .map(|&(weight, count)| Item { weight, count })
                .collect(),
            stocks: vec![Stock {
                room,
                widest: room,
                cost: 1,
                limit: None,
                whole: None,
            }],
        }
    }
}

/// Pieces of one bar: item and how many of it, heaviest first.
pub(super) type Pattern = Vec<(usize, u32)>;

/// Equal items counted together.
pub(super) fn pattern(items: impl Iterator<Item = usize>) -> Pattern {
    let mut items: Vec<usize> = items.collect();
    items.sort_unstable();
    items
        .chunk_by(|a, b| a == b)
        .map(|alike| (alike[0], alike.len() as u32))
        .collect()
}

/// Bars laid alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Lay {
    /// The bar's index among the stocks.
    pub stock: usize,
    /// What lies in it.
    pub pattern: Pattern,
    /// How many such bars.
    pub times: u32,
}

/// A packing, with what is known of the best one.
#[derive(Clone, Debug)]
pub(super) struct Packing {
    /// All its bars.
    pub lays: Vec<Lay>,
    /// What they cost.
    pub cost: u64,
    /// What no packing costs less than.
    pub least: u64,
}

/// Steps left. Counted, not timed, so that the same order gives the same plan on every machine.
#[derive(Clone, Copy, Debug)]
pub(super) struct Work {
    left: u64,
}

impl Work {
    pub const fn new(steps: u64) -> Self {
        Self { left: steps }
    }
    /// Takes steps off; false once none are left.
    pub fn spend(&mut self, steps: u64) -> bool {
        self.left = self.left.saturating_sub(steps);
        self.left > 0
    }
    pub const fn over(self) -> bool {
        self.left == 0
    }
}

/// What no sum of sold lengths reaches beyond: sums are followed up to here, rougher ones are taken as they are.
const SUMS: u64 = 100_000;

impl Problem {
    /// What the pieces of a pattern weigh together.
    pub fn weight(&self, pattern: &[(usize, u32)]) -> u64 {
        pattern
            .iter()
            .map(|&(item, count)| self.items[item].weight * u64::from(count))
            .sum()
    }

    /// Whether a pattern goes into a bar of that stock.
    pub fn fits(&self, stock: usize, pattern: &[(usize, u32)]) -> bool {
        let stock = &self.stocks[stock];
        match pattern {
            [(item, 1)] if stock.whole == Some(*item) => true,
            _ => self.weight(pattern) <= stock.room,
        }
    }

    /// Room that the pattern leaves, none where it fills a whole bar.
    pub fn slack(&self, stock: usize, pattern: &[(usize, u32)]) -> u64 {
        self.stocks[stock].room.saturating_sub(self.weight(pattern))
    }

    /// Sold lengths, without offcuts.
    pub fn sold(&self) -> impl Iterator<Item = (usize, &Stock)> {
        self.stocks
            .iter()
            .enumerate()
            .filter(|(_, stock)| stock.limit.is_none())
    }

    pub fn counts(&self) -> Vec<u32> {
        self.items.iter().map(|item| item.count).collect()
    }

    pub fn limits(&self) -> Vec<u32> {
        self.stocks
            .iter()
            .map(|stock| stock.limit.unwrap_or(u32::MAX))
            .collect()
    }

    /// The least sum of sold lengths that is not below `cost`: with 10 and 20 ft nothing between 40 and 50 ft can be bought.
    pub fn next_sum(&self, cost: u64) -> u64 {
        let costs: Vec<u64> = self.sold().map(|(_, stock)| stock.cost).collect();
        if cost == 0 || cost > SUMS || costs.contains(&1) {
            return cost;
        }
        let Some(&dearest) = costs.iter().max() else {
            return cost;
        };
        if dearest > SUMS {
            // One length alone has multiples that are found at once.
            return match costs[..] {
                [only] => cost.div_ceil(only) * only,
                _ => cost,
            };
        }
        let top = (cost + dearest) as usize;
        let mut reached = vec![false; top + 1];
        reached[0] = true;
        for sum in 1..=top {
            reached[sum] = costs
                .iter()
                .any(|&one| (one as usize) <= sum && reached[sum - one as usize]);
        }
        (cost as usize..=top)
            .find(|&sum| reached[sum])
            .map_or(cost, |sum| sum as u64)
    }

    /// A lower bound from what each item is worth (Farley's bound): a bar of the stock that gives most worth for its cost
    /// holds at most `worth[stock]`, so the worth of all items, less what offcuts can hold, costs at least this.
    ///
    /// * `prices`: worth of one piece of each item
    /// * `worth`: the most that the pieces of one bar of each stock are worth together, or more
    ///
    /// # Source
    /// A. A. Farley, Operations Research 38 (1990) 922 (from memory); exact here, in whole numbers.
    pub fn farley(&self, prices: &[u64], worth: &[u64]) -> u64 {
        self.bound(self.worth(prices), worth)
    }

    /// The same for items that are worth so much together.
    pub fn bound(&self, all: u128, worth: &[u64]) -> u64 {
        let (all, per) = self.cost(all, worth);
        self.next_sum(u64::try_from(all.div_ceil(per)).unwrap_or(u64::MAX))
    }

    /// [`Problem::farley`] before it is rounded up.
    pub fn fraction(&self, prices: &[u64], worth: &[u64]) -> f64 {
        let (all, per) = self.cost(self.worth(prices), worth);
        all as f64 / per as f64
    }

    /// What all items are worth together.
    fn worth(&self, prices: &[u64]) -> u128 {
        self.items
            .iter()
            .zip(prices)
            .map(|(item, &price)| u128::from(item.count) * u128::from(price))
            .sum()
    }

    /// The bound as a fraction, above and below the line.
    fn cost(&self, all: u128, worth: &[u64]) -> (u128, u128) {
        let mut free = 0;
        // The stock with the least cost for its worth, compared crosswise.
        let mut best: Option<(u128, u128)> = None;
        for (stock, &worth) in self.stocks.iter().zip(worth) {
            let (cost, worth) = (u128::from(stock.cost), u128::from(worth));
            match stock.limit {
                Some(limit) => free += u128::from(limit) * worth,
                None if worth == 0 => {}
                None if best.is_none_or(|(c, w)| cost * w < c * worth) => {
                    best = Some((cost, worth));
                }
                None => {}
            }
        }
        best.map_or((0, 1), |(cost, worth)| {
            (all.saturating_sub(free) * cost, worth)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sold(lengths: &[u64]) -> Problem {
        let stocks = lengths
            .iter()
            .map(|&length| Stock {
                room: length,
                widest: length,
                cost: length,
                limit: None,
                whole: None,
            })
            .collect();
        Problem {
            items: vec![Item {
                weight: 4,
                count: 3,
            }],
            stocks,
        }
    }

    #[test]
    fn bought_length_is_a_sum_of_sold_lengths() {
        // 3 and 5: 1, 2, 4 and 7 cannot be made; 8 = 3 + 5, 9, 10 and all above can.
        let problem = sold(&[3, 5]);
        let next: Vec<u64> = (0..=9).map(|cost| problem.next_sum(cost)).collect();
        assert_eq!(next, [0, 3, 3, 3, 5, 5, 6, 8, 8, 9]);
    }

    #[test]
    fn worth_over_the_best_stock_rounded_up() {
        // Three pieces worth 1 each, two to a bar of 10: 1.5 bars, so 15 and, as only tens are sold, 20.
        let problem = sold(&[10]);
        assert_eq!(problem.farley(&[1], &[2]), 20);
    }
}
