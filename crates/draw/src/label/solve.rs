//! Chooses a place for every block so that nothing touches anything, as cheaply as can be.
//!
//! First every block takes its best free place; only blocks in each other's way are looked at
//! further. They are split into groups that cannot trouble each other; a small group is solved
//! exactly by branch and bound, the rest by putting blocks in one at a time, those with the fewest
//! places first (after Wagner, Wolff, Kapoor, Strijk, Algorithmica 30(2), 2001). What is left goes
//! further off with a leader, moving others aside where need be (ejection chains; after
//! Christensen, Marks, Shieber, ACM TOG 14(3), 1995). No chance is involved: the same picture
//! always comes out the same.

use std::rc::Rc;

use super::candidate::{Candidate, Lies, Places, RAYS, Reach, leader_reaches, lies, list};
use super::exact;
use super::field::{Field, Thing};
use super::want::Want;

/// Places kept for a block in dispute.
const KEPT: usize = 20;
/// Groups up to this size are solved exactly.
const EXACT: usize = 10;
/// How many places with others in the way are tried, and how many are looked for.
const THROUGH: u32 = 8;
const ENOUGH: usize = 16;
/// With more blocks left over than this the picture is too small for its words, whatever is pushed
/// aside: they go to the table, and the sheet is told.
pub(super) const HOPELESS: usize = 40;
/// What writing over a construction frame costs, and standing nearer to a foreign pipe than seemly.
const OVER_FRAME: f64 = 0.4;
const NEAR_FOREIGN: f64 = 0.9;
/// Foreign pipes are kept this far off where it can be, mm.
const SEEMLY: f64 = 1.2;

/// The state of the search.
pub(super) struct Placing<'a> {
    wants: &'a [Want],
    /// Pipes, symbols, arrows, letters in lines.
    fixed: &'a Field,
    /// Blocks placed so far.
    placed: Field,
    /// The place chosen, and the numbers of its boxes in `placed`.
    chosen: Vec<Option<(Candidate, [u32; 2])>>,
    /// Free places of blocks in dispute, by cost.
    free: Vec<Option<Rc<[Candidate]>>>,
    /// What was put (nothing) or taken (its place), for undoing.
    log: Vec<(u32, Option<Candidate>)>,
    buffer: Places,
}

/// Not a box.
const NO_BOX: u32 = u32::MAX;

impl<'a> Placing<'a> {
    /// Nothing placed yet; `placed` is an empty field as large as `fixed`.
    pub fn new(wants: &'a [Want], fixed: &'a Field, placed: Field) -> Self {
        Self {
            wants,
            fixed,
            placed,
            chosen: vec![None; wants.len()],
            free: vec![None; wants.len()],
            log: Vec::new(),
            buffer: Places::default(),
        }
    }

    /// A place for each block, in their order; nothing where there is no room.
    pub fn solve(mut self) -> Vec<Option<Candidate>> {
        let disputed = self.first_choices();
        if !disputed.is_empty() {
            self.settle(&disputed);
            let mut left: Vec<u32> = disputed;
            left.retain(|&i| self.chosen[i as usize].is_none());
            left.retain(|&i| !self.lead(i));
            if left.len() <= HOPELESS {
                left.retain(|&i| !self.lead_through(i, &mut { THROUGH }));
            }
        }
        self.chosen.into_iter().map(|c| c.map(|c| c.0)).collect()
    }

    /// What is added to a place's cost by what lies near it; nothing where it is taken.
    fn fixed_cost(&self, i: u32, c: &Candidate) -> Option<f64> {
        let mut extra = 0.0;
        let own = self.wants[i as usize].about;
        let wide = c.area.grown(SEEMLY);
        let (mut near, mut framed) = (false, false);
        let hit = self.fixed.any(&wide, |_, other, thing| {
            match thing {
                Thing::Frame => framed |= !framed && c.area.touches(other),
                Thing::Pipe(pipe) => {
                    if !near && wide.touches(other) {
                        near |= own != crate::picture::About::Pipe(pipe);
                        return c.area.touches(other);
                    }
                    return near && c.area.touches(other);
                }
                Thing::Arrow | Thing::Symbol | Thing::Label(_) => return c.area.touches(other),
            }
            false
        });
        if hit {
            return None;
        }
        if let Some(leader) = c.leader {
            match lies(self.fixed, leader) {
                Lies::Clear(cost) => extra += cost,
                Lies::EndsOnPipe | Lies::Stopped => return None,
            }
        }
        if near && matches!(own, crate::picture::About::Pipe(_)) {
            extra += NEAR_FOREIGN;
        }
        if framed {
            extra += OVER_FRAME;
        }
        Some(extra)
    }

    /// Every block takes its cheapest free place; gives the blocks in each other's way.
    fn first_choices(&mut self) -> Vec<u32> {
        let mut buffer = std::mem::take(&mut self.buffer);
        let mut troubled = vec![false; self.wants.len()];
        for i in 0..self.wants.len() as u32 {
            let want = &self.wants[i as usize];
            let mut best: Option<Candidate> = None;
            list(want, Reach::Usual, &mut buffer);
            for c in buffer.iter() {
                if best.as_ref().is_some_and(|b| b.cost <= c.cost) {
                    break;
                }
                if let Some(extra) = self.fixed_cost(i, c) {
                    let cost = c.cost + extra;
                    if best.as_ref().is_none_or(|b| cost < b.cost) {
                        best = Some(Candidate { cost, ..*c });
                    }
                }
            }
            let best = best.or_else(|| self.places(i).first().copied());
            match best {
                Some(c) => {
                    self.rivals(&c, |rival| {
                        troubled[rival as usize] = true;
                        troubled[i as usize] = true;
                    });
                    self.put(i, c);
                }
                None => troubled[i as usize] = true,
            }
        }
        self.buffer = buffer;
        (0..self.wants.len() as u32)
            .filter(|&i| troubled[i as usize])
            .collect()
    }

    fn put(&mut self, i: u32, c: Candidate) {
        let area = self.placed.add(c.area, Thing::Label(i));
        let leader = c
            .leader_shape()
            .map_or(NO_BOX, |l| self.placed.add(l, Thing::Label(i)));
        self.chosen[i as usize] = Some((c, [area, leader]));
        self.log.push((i, None));
    }

    fn take(&mut self, i: u32) -> Option<Candidate> {
        let (c, boxes) = self.chosen[i as usize].take()?;
        for b in boxes.into_iter().filter(|&b| b != NO_BOX) {
            self.placed.remove(b);
        }
        self.log.push((i, Some(c)));
        Some(c)
    }

    /// Calls `each` with the blocks already placed that a place touches, some more than once.
    fn rivals(&self, c: &Candidate, mut each: impl FnMut(u32)) {
        for shape in [Some(c.area), c.leader_shape()].into_iter().flatten() {
            self.placed.any(&shape, |_, other, thing| {
                if let Thing::Label(i) = thing
                    && shape.touches(other)
                {
                    each(i);
                }
                false
            });
        }
    }

    fn is_clear(&self, c: &Candidate) -> bool {
        !self.placed.hits(&c.area) && !c.leader_shape().is_some_and(|l| self.placed.hits(&l))
    }

    /// The free places of a block beside what it is about.
    fn places(&mut self, i: u32) -> Rc<[Candidate]> {
        if let Some(known) = &self.free[i as usize] {
            return Rc::clone(known);
        }
        let mut buffer = std::mem::take(&mut self.buffer);
        list(&self.wants[i as usize], Reach::Beside, &mut buffer);
        let mut kept: Vec<Candidate> = buffer
            .iter()
            .filter_map(|c| {
                let cost = c.cost + self.fixed_cost(i, c)?;
                Some(Candidate { cost, ..*c })
            })
            .take(KEPT)
            .collect();
        kept.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        self.buffer = buffer;
        let found: Rc<[Candidate]> = kept.into();
        self.free[i as usize] = Some(Rc::clone(&found));
        found
    }

    /// Puts a block further off with a leader, at the cheapest place of the shortest length that
    /// has one clear of everything; answers whether there was one.
    fn lead(&mut self, i: u32) -> bool {
        let mut buffer = std::mem::take(&mut self.buffer);
        let mut stopped = [false; RAYS];
        let mut best: Option<Candidate> = None;
        for reach in leader_reaches() {
            list(&self.wants[i as usize], reach, &mut buffer);
            let mut open = false;
            for c in buffer.iter() {
                let ray = usize::from(c.ray);
                if stopped[ray] || best.as_ref().is_some_and(|b| b.cost <= c.cost) {
                    continue;
                }
                if let Some(leader) = c.leader
                    && (lies(self.fixed, leader) == Lies::Stopped
                        || c.leader_shape().is_some_and(|l| self.placed.hits(&l)))
                {
                    stopped[ray] = true;
                    continue;
                }
                open = true;
                if self.placed.hits(&c.area) {
                    continue;
                }
                if let Some(extra) = self.fixed_cost(i, c) {
                    let cost = c.cost + extra;
                    if best.as_ref().is_none_or(|b| cost < b.cost) {
                        best = Some(Candidate { cost, ..*c });
                    }
                }
            }
            // Where every way out is stopped, longer leaders fare no better.
            if best.is_some() || !open {
                break;
            }
        }
        self.buffer = buffer;
        best.inspect(|c| self.put(i, *c)).is_some()
    }

    /// Puts a block further off where at most two others stand in the way of it or of its leader,
    /// and finds these other places, with leaders where need be; answers whether all found one.
    fn lead_through(&mut self, i: u32, budget: &mut u32) -> bool {
        let mut buffer = std::mem::take(&mut self.buffer);
        let mut stopped = [false; RAYS];
        let mut tries: Vec<(usize, [u32; 2], Candidate)> = Vec::new();
        for reach in leader_reaches() {
            list(&self.wants[i as usize], reach, &mut buffer);
            let mut open = false;
            for c in buffer.iter() {
                let ray = usize::from(c.ray);
                let Some(leader) = c.leader.filter(|_| !stopped[ray]) else {
                    continue;
                };
                let (mut rivals, mut count) = ([0; 2], 0);
                self.rivals(c, |r| {
                    if count < 3 && !rivals[..count.min(2)].contains(&r) {
                        if count < 2 {
                            rivals[count] = r;
                        }
                        count += 1;
                    }
                });
                if count > 2 || lies(self.fixed, leader) == Lies::Stopped {
                    stopped[ray] = true;
                    continue;
                }
                open = true;
                if let Some(extra) = self.fixed_cost(i, c) {
                    let cost = c.cost + extra + 3.0 * count as f64;
                    tries.push((count, rivals, Candidate { cost, ..*c }));
                }
            }
            if tries.len() >= ENOUGH || !open {
                break;
            }
        }
        self.buffer = buffer;
        tries.sort_by(|a, b| a.2.cost.total_cmp(&b.2.cost));
        for (count, rivals, c) in tries {
            if *budget == 0 {
                break;
            }
            *budget -= 1;
            let mark = self.log.len();
            for &r in &rivals[..count] {
                self.take(r);
            }
            self.put(i, c);
            if rivals[..count].iter().all(|&r| self.resettle(r)) {
                return true;
            }
            self.undo_to(mark);
        }
        false
    }

    /// Puts a block beside what it is about if there is room, else further off.
    fn resettle(&mut self, i: u32) -> bool {
        let places = self.places(i);
        if let Some(c) = places.iter().find(|c| self.is_clear(c)) {
            self.put(i, *c);
            return true;
        }
        self.lead(i)
    }

    /// Lifts the disputed blocks and sets them again group by group.
    fn settle(&mut self, disputed: &[u32]) {
        for &i in disputed {
            self.take(i);
        }
        // Places still clear of the blocks nobody disputes.
        let mut open: Vec<Vec<Candidate>> = Vec::with_capacity(disputed.len());
        for &i in disputed {
            let all = self.places(i);
            open.push(all.iter().filter(|c| self.is_clear(c)).copied().collect());
        }
        for group in groups(&open) {
            let lists: Vec<&[Candidate]> = group.iter().map(|&g| open[g].as_slice()).collect();
            if group.len() <= EXACT {
                for (&g, choice) in group.iter().zip(exact::solve(&lists)) {
                    if let Some(choice) = choice {
                        self.put(disputed[g], open[g][choice]);
                    }
                }
                continue;
            }
            // Those with the fewest places first.
            let mut order = group.clone();
            order.sort_by_key(|&g| (open[g].len(), g));
            for g in order {
                let spot = open[g].iter().find(|c| self.is_clear(c)).copied();
                if let Some(c) = spot {
                    self.put(disputed[g], c);
                }
            }
        }
    }

    /// Puts everything back to where it was when the log had so many entries.
    fn undo_to(&mut self, mark: usize) {
        while self.log.len() > mark {
            match self.log.pop() {
                Some((i, None)) => {
                    self.take(i);
                    self.log.pop();
                }
                Some((i, Some(c))) => {
                    self.put(i, c);
                    self.log.pop();
                }
                None => {}
            }
        }
    }
}

/// Groups of blocks whose places touch each other's, each in ascending order.
fn groups(open: &[Vec<Candidate>]) -> Vec<Vec<usize>> {
    let mut of: Vec<usize> = (0..open.len()).collect();
    // Blocks whose places' bounds meet, found along x.
    let mut spans: Vec<(f64, f64, f64, f64, usize)> = open
        .iter()
        .enumerate()
        .filter_map(|(i, places)| {
            let r = places
                .iter()
                .map(Candidate::bounds)
                .reduce(|a, b| a.union(b))?;
            Some((r.x0, r.x1, r.y0, r.y1, i))
        })
        .collect();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.4.cmp(&b.4)));
    let mut live: Vec<usize> = Vec::new();
    for s in 0..spans.len() {
        let (x0, _, y0, y1, i) = spans[s];
        live.retain(|&t| spans[t].1 > x0);
        for &t in &live {
            let (_, _, v0, v1, j) = spans[t];
            if v0 < y1 && y0 < v1 && root(&mut of, i) != root(&mut of, j) {
                let meet = open[i].iter().any(|a| open[j].iter().any(|b| a.clashes(b)));
                if meet {
                    let (a, b) = (root(&mut of, i), root(&mut of, j));
                    of[a.max(b)] = a.min(b);
                }
            }
        }
        live.push(s);
    }
    let mut by_root: Vec<(usize, usize)> = (0..open.len()).map(|i| (root(&mut of, i), i)).collect();
    by_root.sort_unstable();
    by_root
        .chunk_by(|a, b| a.0 == b.0)
        .map(|c| c.iter().map(|e| e.1).collect())
        .collect()
}

fn root(of: &mut [usize], mut i: usize) -> usize {
    while of[i] != i {
        of[i] = of[of[i]];
        i = of[i];
    }
    i
}
