//! The least shifts that set lines apart: a small exact search.
//!
//! In: lines side by side, what each costs to shift, and how far apart pairs of them have to be.
//! Out: one shift for each, square to their direction. Knows no paper and no pipes.
//!
//! A least solution leaves each line where it is, or puts it to the limit of its free range, or right
//! beside an obstacle or another line so placed: otherwise it could slide on and cost less. The search
//! tries those places only and gives up what is dearer than the best so far, starting with each line in
//! turn at its cheapest free place, the dearest first. Bundles of more than [`EXACT`] lines, or that need more
//! than [`BUDGET`] steps, keep the best found.

/// Bundles of up to so many lines are searched through.
const EXACT: usize = 4;
/// Steps after which the best found so far stands.
const BUDGET: u32 = 1_000;
/// Rounding allowed for in distances, mm.
const EPS: f64 = 1e-9;
/// A shift beyond the free range costs so many times more: it would fold a short pipe over.
const BEYOND: f64 = 10.0;

/// What it costs to shift one line.
#[derive(Clone, Debug)]
pub(crate) struct Cost {
    /// For each mm of shift.
    pub(crate) weight: f64,
    /// The shifts that leave the pipes joined to it readable.
    pub(crate) free: (f64, f64),
    /// Shifts at which it would fall on something that stays: from and to.
    pub(crate) taken: Vec<(f64, f64)>,
}

impl Cost {
    pub(crate) fn of(&self, shift: f64) -> f64 {
        let inside = self.free.0 - EPS <= shift && shift <= self.free.1 + EPS;
        self.weight * shift.abs() * if inside { 1.0 } else { BEYOND }
    }

    fn allows(&self, shift: f64) -> bool {
        self.taken
            .iter()
            .all(|t| shift <= t.0 + EPS || shift >= t.1 - EPS)
    }
}

/// Two lines that have to be `apart`; the second lies `offset` beside the first.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pair {
    pub(crate) a: usize,
    pub(crate) b: usize,
    pub(crate) offset: f64,
    pub(crate) apart: f64,
}

impl Pair {
    fn other(&self, i: usize) -> Option<(usize, f64)> {
        if i == self.a {
            Some((self.b, -self.offset))
        } else if i == self.b {
            Some((self.a, self.offset))
        } else {
            None
        }
    }
}

/// The shifts of least cost.
pub(crate) fn least_shifts(costs: &[Cost], pairs: &[Pair]) -> Vec<f64> {
    let n = costs.len();
    let mut near = vec![Vec::new(); n];
    for pair in pairs {
        for i in [pair.a, pair.b] {
            if let Some((other, offset)) = pair.other(i) {
                near[i].push((other, offset, pair.apart));
            }
        }
    }
    let own = costs.iter().map(own_places).collect();
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|&a, &b| costs[b].weight.total_cmp(&costs[a].weight).then(a.cmp(&b)));
    let mut search = Search {
        costs,
        near,
        own,
        order,
        at: vec![None; n],
        best: Vec::new(),
        least: 0.0,
        steps: 0,
    };
    search.one_by_one();
    if n <= EXACT {
        search.at.fill(None);
        search.place(0, 0.0, 0);
    }
    search.best
}

/// Places that need no other line, the cheapest first: where it is, the limits of its range, beside
/// obstacles.
fn own_places(cost: &Cost) -> Vec<f64> {
    let mut places = vec![0.0];
    places.extend(
        [cost.free.0, cost.free.1]
            .into_iter()
            .filter(|p| p.is_finite()),
    );
    places.extend(cost.taken.iter().flat_map(|t| [t.0, t.1]));
    places.retain(|p| cost.allows(*p));
    // Of two as good the one further on: downwards or to the right on paper.
    places.sort_by(|a, b| cost.of(*a).total_cmp(&cost.of(*b)).then(b.total_cmp(a)));
    places.dedup();
    places
}

struct Search<'a> {
    costs: &'a [Cost],
    /// For each line: the others it must keep from, how far it lies beside them, how far apart.
    near: Vec<Vec<(usize, f64, f64)>>,
    /// For each line its own places, the cheapest first.
    own: Vec<Vec<f64>>,
    /// The lines, the dearest first.
    order: Vec<usize>,
    at: Vec<Option<f64>>,
    best: Vec<f64>,
    /// The cost of the best.
    least: f64,
    steps: u32,
}

impl Search<'_> {
    /// Whether line `i` may stand at `shift`, the placed ones being where they are.
    fn fits(&self, i: usize, shift: f64) -> bool {
        self.costs[i].allows(shift)
            && self.near[i].iter().all(|&(j, offset, apart)| {
                self.at[j].is_none_or(|other| (offset + shift - other).abs() >= apart - EPS)
            })
    }

    /// Places right beside lines placed already.
    fn places_beside(&self, i: usize) -> Vec<f64> {
        let mut places = Vec::new();
        for &(j, offset, apart) in &self.near[i] {
            if let Some(other) = self.at[j] {
                places.extend([other - offset + apart, other - offset - apart]);
            }
        }
        places
    }

    /// Every line in turn, the dearest first, at its cheapest free place.
    fn one_by_one(&mut self) {
        for k in 0..self.order.len() {
            let i = self.order[k];
            let cost = &self.costs[i];
            let mut places = self.own[i].clone();
            places.extend(self.places_beside(i));
            let place = places
                .into_iter()
                .filter(|p| self.fits(i, *p))
                .min_by(|a, b| cost.of(*a).total_cmp(&cost.of(*b)).then(b.total_cmp(a)));
            self.at[i] = Some(place.unwrap_or(0.0));
        }
        self.keep();
        self.least = self
            .best
            .iter()
            .zip(self.costs)
            .map(|(s, c)| c.of(*s))
            .sum();
    }

    fn keep(&mut self) {
        self.best.clear();
        self.best.extend(self.at.iter().map(|p| p.unwrap_or(0.0)));
    }

    /// Places the rest. Lines at places of their own come first and in order (`from` on), lines
    /// beside others after them, so that no arrangement is tried twice over.
    fn place(&mut self, placed: usize, cost: f64, from: usize) {
        self.steps += 1;
        if self.steps > BUDGET {
            return;
        }
        let n = self.costs.len();
        if placed == n {
            self.least = cost;
            self.keep();
            return;
        }
        for rank in 0..n {
            let i = self.order[rank];
            if self.at[i].is_some() {
                continue;
            }
            let costs = self.costs;
            if rank >= from {
                for k in 0..self.own[i].len() {
                    let place = self.own[i][k];
                    let sum = cost + costs[i].of(place);
                    if sum >= self.least - EPS {
                        break;
                    }
                    self.try_at(i, place, placed, sum, rank + 1);
                }
            }
            for place in self.places_beside(i) {
                let sum = cost + costs[i].of(place);
                if sum < self.least - EPS {
                    self.try_at(i, place, placed, sum, n);
                }
            }
        }
    }

    fn try_at(&mut self, i: usize, place: f64, placed: usize, sum: f64, next: usize) {
        if self.fits(i, place) {
            self.at[i] = Some(place);
            self.place(placed + 1, sum, next);
            self.at[i] = None;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn cost(weight: f64) -> Cost {
        Cost {
            weight,
            free: (f64::NEG_INFINITY, f64::INFINITY),
            taken: Vec::new(),
        }
    }

    /// Of two lines on each other the cheaper one moves, by no more than has to be.
    #[test]
    fn the_cheaper_of_two_moves() {
        let pair = Pair {
            a: 0,
            b: 1,
            offset: 0.0,
            apart: 1.2,
        };
        let shifts = least_shifts(&[cost(3.0), cost(2.0)], &[pair]);
        assert_eq!(shifts[0], 0.0);
        assert!((shifts[1].abs() - 1.2).abs() < 1e-9);
    }

    /// Three alike on one line: the two outer ones go to either side of the middle.
    #[test]
    fn of_three_alike_two_go_to_either_side() {
        let pair = |a, b| Pair {
            a,
            b,
            offset: 0.0,
            apart: 1.0,
        };
        let costs = [cost(1.0), cost(1.0), cost(1.0)];
        let mut s = least_shifts(&costs, &[pair(0, 1), pair(0, 2), pair(1, 2)]);
        s.sort_by(f64::total_cmp);
        assert!(
            s.iter()
                .zip([-1.0, 0.0, 1.0])
                .all(|(a, b)| (a - b).abs() < 1e-9),
            "{s:?}"
        );
    }

    /// A line that lies 0.3 beside another already needs only the rest.
    #[test]
    fn what_is_apart_already_counts() {
        let pair = Pair {
            a: 0,
            b: 1,
            offset: 0.3,
            apart: 1.0,
        };
        let shifts = least_shifts(&[cost(2.0), cost(1.0)], &[pair]);
        assert!((shifts[1] - 0.7).abs() < 1e-9);
    }

    /// Exhaustive: every arrangement on a raster of tenths, to the full width that may be needed.
    fn brute(costs: &[Cost], pairs: &[Pair]) -> f64 {
        fn rec(costs: &[Cost], pairs: &[Pair], at: &mut Vec<f64>, cost: f64, best: &mut f64) {
            if cost >= *best {
                return;
            }
            let i = at.len();
            if i == costs.len() {
                *best = cost;
                return;
            }
            for step in -60..=60 {
                let s = f64::from(step) / 10.0;
                let free = costs[i]
                    .taken
                    .iter()
                    .all(|t| s <= t.0 + 1e-9 || s >= t.1 - 1e-9);
                let apart = pairs.iter().all(|p| {
                    let (a, b) = (p.a.min(p.b), p.a.max(p.b));
                    b != i || a >= i || {
                        let (sa, sb) = if p.a == i { (s, at[p.b]) } else { (at[p.a], s) };
                        (p.offset + sb - sa).abs() >= p.apart - 1e-9
                    }
                });
                if free && apart {
                    at.push(s);
                    rec(costs, pairs, at, cost + costs[i].of(s), best);
                    at.pop();
                }
            }
        }
        let mut best = f64::INFINITY;
        rec(costs, pairs, &mut Vec::new(), 0.0, &mut best);
        best
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]
        /// All data on the raster of tenths, where a least solution then lies too.
        #[test]
        fn no_arrangement_is_cheaper(
            weights in prop::collection::vec(1_u8..9, 2..=4),
            offsets in prop::collection::vec(-8_i32..=8, 6),
            joined in prop::collection::vec(prop::bool::weighted(0.8), 6),
            limits in prop::collection::vec((0_i32..15, 0_i32..15), 4),
            taken in prop::option::of((-10_i32..0, 1_i32..10)),
        ) {
            let n = weights.len();
            let mut costs: Vec<Cost> = weights.iter().enumerate().map(|(i, w)| Cost {
                weight: f64::from(*w),
                free: (-f64::from(limits[i].0) / 10.0, f64::from(limits[i].1) / 10.0),
                taken: Vec::new(),
            }).collect();
            if let Some((a, b)) = taken {
                costs[0].taken.push((f64::from(a) / 10.0, f64::from(b) / 10.0));
            }
            // Lines have a place each; a pair's offset is the difference of their places.
            let mut pairs = Vec::new();
            for a in 0..n {
                for b in a + 1..n {
                    if joined[pairs.len() % 6] {
                        let offset = f64::from(offsets[b] - offsets[a]) / 10.0;
                        pairs.push(Pair { a, b, offset, apart: 1.2 });
                    }
                }
            }
            let shifts = least_shifts(&costs, &pairs);
            for p in &pairs {
                prop_assert!((p.offset + shifts[p.b] - shifts[p.a]).abs() >= p.apart - 1e-6);
            }
            let ours: f64 = shifts.iter().zip(&costs).map(|(s, c)| c.of(*s)).sum();
            let least = brute(&costs, &pairs);
            prop_assert!((ours - least).abs() < 1e-6, "{ours} against {least}: {shifts:?}");
        }
    }
}
