//! Branch and bound over a small group of blocks: the cheapest choice of places without a clash.

use super::candidate::Candidate;

/// What leaving a block without a place costs; more than any place beside its pipe.
const LEFT_OUT: f64 = 20.0;
/// Most places of all blocks together.
pub(super) const MOST: usize = 256;
/// One bit per place.
type Bits = [u64; MOST / 64];
/// Steps after which the best found so far is taken.
const STEPS: u32 = 20_000;

struct Search<'a> {
    lists: &'a [&'a [Candidate]],
    /// Blocks in the order they are tried.
    order: Vec<usize>,
    /// Number of each block's first place among all places.
    first: Vec<usize>,
    /// For each place, one bit per place it clashes with.
    clash: Vec<Bits>,
    /// Least cost of all blocks from this step of the order on.
    rest: Vec<f64>,
    chosen: Vec<Option<usize>>,
    best: Vec<Option<usize>>,
    best_cost: f64,
    steps: u32,
}

/// The number of the place chosen for each block, or nothing for one that has to be left out.
pub(super) fn solve(lists: &[&[Candidate]]) -> Vec<Option<usize>> {
    if let [only] = lists {
        return vec![(!only.is_empty()).then_some(0)];
    }
    let mut first = Vec::with_capacity(lists.len());
    let mut total = 0;
    for list in lists {
        first.push(total);
        total += list.len();
    }
    let all: Vec<(usize, &Candidate)> = lists
        .iter()
        .enumerate()
        .flat_map(|(g, l)| l.iter().map(move |c| (g, c)))
        .collect();
    debug_assert!(
        total <= MOST,
        "groups are small enough to be solved exactly"
    );
    let mut clash = vec![Bits::default(); total];
    for (i, (g, a)) in all.iter().enumerate() {
        for (j, (h, b)) in all.iter().enumerate().skip(i + 1) {
            if g != h && a.clashes(b) {
                clash[i][j / 64] |= 1 << (j % 64);
                clash[j][i / 64] |= 1 << (i % 64);
            }
        }
    }
    let mut order: Vec<usize> = (0..lists.len()).collect();
    order.sort_by_key(|&g| (lists[g].len(), g));
    let mut rest = vec![0.0; lists.len() + 1];
    for (step, &g) in order.iter().enumerate().rev() {
        rest[step] = rest[step + 1] + lists[g].first().map_or(LEFT_OUT, |c| c.cost);
    }
    let mut search = Search {
        lists,
        order,
        first,
        clash,
        rest,
        chosen: vec![None; lists.len()],
        best: vec![None; lists.len()],
        best_cost: f64::INFINITY,
        steps: 0,
    };
    search.go(0, 0.0, &Bits::default());
    search.best
}

impl Search<'_> {
    fn go(&mut self, step: usize, cost: f64, blocked: &Bits) {
        self.steps += 1;
        if cost + self.rest[step] >= self.best_cost - 1e-9 {
            return;
        }
        if step == self.order.len() {
            self.best_cost = cost;
            self.best.clone_from(&self.chosen);
            return;
        }
        let g = self.order[step];
        for (c, place) in self.lists[g].iter().enumerate() {
            let n = self.first[g] + c;
            if blocked[n / 64] >> (n % 64) & 1 == 1 {
                continue;
            }
            if self.steps > STEPS && self.best_cost.is_finite() {
                return;
            }
            let next: Bits = std::array::from_fn(|w| blocked[w] | self.clash[n][w]);
            self.chosen[g] = Some(c);
            self.go(step + 1, cost + place.cost, &next);
        }
        self.chosen[g] = None;
        self.go(step + 1, cost + LEFT_OUT, blocked);
    }
}

#[cfg(test)]
mod tests {
    use super::super::block::Align;
    use super::super::shape::Oblong;
    use super::*;
    use kurbo::Point;

    /// A place 10 wide and 4 high at (x, 0).
    fn place(x: f64, cost: f64) -> Candidate {
        let area = Oblong::level(Point::new(x, 0.0), (5.0, 2.0));
        Candidate {
            area,
            layout: 0,
            align: Align::Left,
            leader: None,
            cost,
        }
    }

    #[test]
    fn two_blocks_wanting_one_place_share_out_the_cheapest_way() {
        // Moving the first costs 0.9 - 0.0, moving the second 0.3: the second moves.
        let (a, b) = (
            [place(0.0, 0.0), place(20.0, 0.9)],
            [place(1.0, 0.0), place(-20.0, 0.3)],
        );
        assert_eq!(solve(&[&a, &b]), [Some(0), Some(1)]);
    }

    #[test]
    fn of_three_blocks_in_two_places_one_is_left_out() {
        let (a, b, c) = (
            [place(0.0, 0.0)],
            [place(0.0, 0.0), place(20.0, 0.0)],
            [place(1.0, 0.0)],
        );
        let chosen = solve(&[&a, &b, &c]);
        assert_eq!(chosen.iter().filter(|c| c.is_none()).count(), 1);
        assert_eq!(chosen[1], Some(1));
    }

    #[test]
    fn it_is_as_cheap_as_trying_everything() {
        // Five blocks 6 apart with places every 6: an exhaustive count over 4^5 choices agrees.
        let lists: Vec<Vec<Candidate>> = (0..5)
            .map(|i| {
                (0..3)
                    .map(|k| place(f64::from(i * 6 + (k * 7) % 11), f64::from((i + 2 * k) % 4)))
                    .collect()
            })
            .collect();
        let mut sorted = lists.clone();
        for l in &mut sorted {
            l.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        }
        let views: Vec<&[Candidate]> = sorted.iter().map(Vec::as_slice).collect();
        let cost = |chosen: &[Option<usize>]| -> Option<f64> {
            let mut sum = 0.0;
            for (i, c) in chosen.iter().enumerate() {
                let Some(c) = c else {
                    sum += LEFT_OUT;
                    continue;
                };
                for (j, d) in chosen.iter().enumerate().take(i) {
                    if d.is_some_and(|d| sorted[i][*c].clashes(&sorted[j][d])) {
                        return None;
                    }
                }
                sum += sorted[i][*c].cost;
            }
            Some(sum)
        };
        let mut least = f64::INFINITY;
        for n in 0..4_usize.pow(5) {
            let chosen: Vec<Option<usize>> = (0..5)
                .map(|i| Some(n / 4_usize.pow(i) % 4).filter(|&c| c < 3))
                .collect();
            least = least.min(cost(&chosen).unwrap_or(f64::INFINITY));
        }
        assert_eq!(cost(&solve(&views)), Some(least));
    }
}
