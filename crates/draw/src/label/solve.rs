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

use super::candidate::Candidate;
use super::exact;
use super::field::{Field, Thing};
use super::ray::{self, Out, Ray, Thorough};
use super::search::Search;
use super::want::Want;

/// Places kept for a block in dispute.
const KEPT: usize = 20;
/// Groups up to this size are solved exactly.
const EXACT: usize = 10;
const _: () = assert!(EXACT * KEPT <= exact::MOST, "a bit for every place");
/// How many places with others in the way are tried for one block, and for all of a picture.
const THROUGH: usize = 8;
const THROUGH_ALL: usize = 96;
/// So many blocks are led further off however small their share of room is.
const LED: usize = 80;
/// With more blocks left over than this the picture is too small for its words, whatever is pushed
/// aside: they go to the table, and the sheet is told.
pub(super) const HOPELESS: usize = 40;
/// A picture is crowded where more blocks than this, and more than one in so many, have no room beside
/// what they are about.
const CROWDED: (usize, usize) = (12, 4);
/// How many blocks are sampled to see whether a picture is crowded, at most one in so many, and the least
/// sample that tells anything; our choice.
const SAMPLE: usize = 64;
const LEAST_STEP: usize = 3;
const LEAST_SAMPLE: usize = 16;
/// One in so many of the sample without a place tells of a crowded picture: once blocks stand in each
/// other's way as well, twice as many have none.
const SAMPLE_CROWDED: usize = 5;
/// With less than one in so many free, the usual places are not looked at first; our choice.
const RARELY: usize = 8;

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
    /// The usual leaders of blocks for which they were looked for, followed among what is fixed.
    usual: Vec<Vec<(Ray, Out)>>,
    search: Search,
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
            usual: vec![Vec::new(); wants.len()],
            search: Search::default(),
        }
    }

    /// A place for each block, in their order; nothing where there is no room. Nothing at all where the
    /// picture is crowded and that is not wanted.
    pub fn solve(mut self, unless_crowded: bool) -> Option<Vec<Option<Candidate>>> {
        if unless_crowded && self.looks_crowded() {
            return None;
        }
        let disputed = self.first_choices();
        if !disputed.is_empty() {
            self.settle(&disputed);
            let mut left: Vec<u32> = disputed;
            left.retain(|&i| self.chosen[i as usize].is_none());
            if unless_crowded && left.len() > CROWDED.0.max(self.wants.len() / CROWDED.1) {
                return None;
            }
            // Where most of very many have no room, leaders would only make it darker: the picture is too small.
            if left.len() <= LED || left.len() * 2 <= self.wants.len() {
                left.retain(|&i| !self.lead(i, Thorough::Usual));
            }
            if left.len() <= HOPELESS {
                left.retain(|&i| !self.lead(i, Thorough::Full));
                let mut tries = THROUGH_ALL;
                left.retain(|&i| !self.lead_through(i, &mut tries));
            }
        }
        Some(self.chosen.into_iter().map(|c| c.map(|c| c.0)).collect())
    }

    /// Whether so many of a sample of blocks have no free place beside what they are about, even with no other
    /// block placed, that the whole need not be tried.
    fn looks_crowded(&mut self) -> bool {
        let step = (self.wants.len() / SAMPLE).max(LEAST_STEP);
        let sample = (0..self.wants.len() as u32).step_by(step);
        let all = sample.len();
        if all < LEAST_SAMPLE {
            return false;
        }
        let mut without = 0;
        for i in sample {
            let usual = self.search.usual(&self.wants[i as usize], self.fixed);
            without += usize::from(usual.is_none() && self.places(i).is_empty());
            if without * SAMPLE_CROWDED >= all {
                return true;
            }
        }
        false
    }

    /// Every block takes its cheapest free place; gives the blocks in each other's way.
    fn first_choices(&mut self) -> Vec<u32> {
        let mut troubled = vec![false; self.wants.len()];
        let (mut tried, mut free) = (0, 0);
        for i in 0..self.wants.len() as u32 {
            // Where the usual places are hardly ever free it is no use to look at them before all others.
            let mut best = None;
            if tried < SAMPLE || free * RARELY > tried {
                best = self.search.usual(&self.wants[i as usize], self.fixed);
                tried += 1;
                free += usize::from(best.is_some());
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
        let found: Rc<[Candidate]> = self
            .search
            .beside(&self.wants[i as usize], self.fixed, KEPT)
            .into();
        self.free[i as usize] = Some(Rc::clone(&found));
        found
    }

    /// Puts a block further off with a leader, at the cheapest place clear of everything; answers
    /// whether there was one.
    fn lead(&mut self, i: u32, thorough: Thorough) -> bool {
        let want = &self.wants[i as usize];
        let mut rays = match thorough {
            Thorough::Usual => self.usual_rays(i),
            _ => ray::rays(want, thorough),
        };
        let (fixed, placed) = (self.fixed, &self.placed);
        let best = self.search.leader(want, &mut rays, fixed, placed);
        if thorough == Thorough::Usual {
            self.usual[i as usize] = rays;
        }
        best.inspect(|c| self.put(i, *c)).is_some()
    }

    /// The usual leaders of a block, to be put back after use.
    fn usual_rays(&mut self, i: u32) -> Vec<(Ray, Out)> {
        let known = std::mem::take(&mut self.usual[i as usize]);
        if known.is_empty() {
            return ray::rays(&self.wants[i as usize], Thorough::Usual);
        }
        known
    }

    /// Puts a block further off where at most two others stand in the way of it or of its leader,
    /// and finds these other places, with leaders where need be; answers whether all found one.
    fn lead_through(&mut self, i: u32, tries: &mut usize) -> bool {
        if *tries == 0 {
            return false;
        }
        let want = &self.wants[i as usize];
        let mut rays = self.usual_rays(i);
        let (fixed, placed) = (self.fixed, &self.placed);
        let found = self.search.contested(want, &mut rays, fixed, placed);
        self.usual[i as usize] = rays;
        for t in found.iter().take(THROUGH.min(*tries)) {
            *tries -= 1;
            let mark = self.log.len();
            for &r in &t.rivals[..t.count] {
                self.take(r);
            }
            self.put(i, t.place);
            if t.rivals[..t.count].iter().all(|&r| self.resettle(r)) {
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
        self.lead(i, Thorough::Usual)
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
