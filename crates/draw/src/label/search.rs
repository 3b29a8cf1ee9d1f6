//! Finds places for one block among what is already there.

use super::beside;
use super::candidate::Candidate;
use super::field::{Field, Thing};
use super::near::Near;
use super::ray::{self, LEAST, Out, Ray, Thorough};
use super::shape::Oblong;
use super::slide::{Bars, Span, first_free};
use super::strip::Strip;
use super::want::{Spot, Want};
use crate::picture::About;

const _: () = assert!(ray::MOST < 128, "a bit for every leader");
/// What writing over a construction frame costs, and standing nearer to a foreign pipe than seemly.
const OVER_FRAME: f64 = 0.4;
const NEAR_FOREIGN: f64 = 0.9;
/// Foreign pipes are kept this far off where it can be, mm.
const SEEMLY: f64 = 1.2;
/// What a leader costs, and its length per mm.
const LEADER: (f64, f64) = (6.0, 0.12);
/// Most leaders are short: how far they go at first, and at most, mm.
const SHORT: f64 = 10.0;
const LONG: f64 = 40.0;
/// Layouts tried at the end of a leader.
const LAYOUTS: usize = 2;
/// How many places with others in the way are looked for.
const ENOUGH: usize = 16;
/// How much further on the next such place in the same direction is looked for, mm.
const FURTHER: [f64; 2] = [5.0, 7.0];
/// What each block in the way adds.
const RIVAL: f64 = 3.0;

/// A place that up to two other blocks are in the way of.
#[derive(Clone, Copy, Debug)]
pub(super) struct Contested {
    pub place: Candidate,
    pub rivals: [u32; 2],
    pub count: usize,
}

/// Room for looking, used again for the next block.
#[derive(Debug, Default)]
pub(super) struct Search {
    near: Near,
    strip: Strip,
    list: Vec<Candidate>,
    /// What the last blocks at the ends of leaders met.
    bars: Bars,
}

impl Search {
    /// The best of the usual places that is free, with its cost.
    pub fn usual(&mut self, want: &Want, fixed: &Field) -> Option<Candidate> {
        let mut best: Option<Candidate> = None;
        beside::usual(want, &mut self.strip, &mut self.list);
        if self.list.iter().any(|c| c.leader.is_some()) {
            return self.beside(want, fixed, 1).first().copied();
        }
        for c in &self.list {
            if best.as_ref().is_some_and(|b| b.cost <= c.cost) {
                break;
            }
            if let Some(extra) = surroundings(want, fixed, &c.area) {
                let cost = c.cost + extra;
                if best.as_ref().is_none_or(|b| cost < b.cost) {
                    best = Some(Candidate { cost, ..*c });
                }
            }
        }
        best
    }

    /// The cheapest free places right beside what a block is about, at most `keep`, in order.
    pub fn beside(&mut self, want: &Want, fixed: &Field, keep: usize) -> &[Candidate] {
        self.near.gather(fixed, beside::around(want));
        let (near, list) = (&mut self.near, &mut self.list);
        beside::free(want, near, keep, &mut self.strip, list);
        self.weigh(want, fixed, keep);
        &self.list
    }

    /// Adds to the places listed what their surroundings cost, drops those whose tie is not clear,
    /// and keeps the cheapest.
    fn weigh(&mut self, want: &Want, field: &Field, keep: usize) {
        if self.list.is_empty() {
            return;
        }
        self.near.index();
        let near = &self.near;
        let mut kept = 0;
        self.list.retain_mut(|c| {
            if kept == keep {
                return false;
            }
            if let Some(tie) = c.leader {
                let Some(cost) = ray::lies(field, tie) else {
                    return false;
                };
                c.cost += cost;
            }
            c.cost += extra(want, near, &c.area);
            kept += 1;
            true
        });
        self.list.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    }

    /// The cheapest place further off, with one of these leaders, clear of everything.
    pub fn leader(
        &mut self,
        want: &Want,
        rays: &mut [(Ray, Out)],
        fixed: &Field,
        placed: &Field,
    ) -> Option<Candidate> {
        if matches!(want.spot, Spot::Ends(..)) {
            return self.further_out(want, fixed, Some(placed));
        }
        let mut best: Option<Candidate> = None;
        self.bars.clear();
        // A bit for each leader that is not stopped: longer ones fare no better where it is.
        let mut open = (1_u128 << rays.len()) - 1;
        let mut from = LEAST;
        for reach in [SHORT, LONG] {
            for (i, (ray, out)) in rays.iter_mut().enumerate() {
                let span = (from, reach);
                if open >> i & 1 == 1
                    && !self.along(want, (ray, out), span, &[fixed, placed], &mut best)
                {
                    open ^= 1 << i;
                }
            }
            if best.is_some() || open == 0 {
                break;
            }
            from = reach;
        }
        best
    }

    /// The cheapest place of a number: right beside, or a little further off with a leader from the middle of a line.
    pub fn number(&mut self, want: &Want, all: &Field) -> Option<Candidate> {
        let mut best = self.beside(want, all, 1).first().copied();
        if best.is_none() && matches!(want.spot, Spot::Ends(..)) {
            best = self.further_out(want, all, None);
        } else if best.is_none() {
            self.bars.clear();
            for (ray, out) in &mut ray::rays(want, Thorough::Middle) {
                self.along(want, (ray, out), (LEAST, SHORT), &[all], &mut best);
            }
        }
        best
    }

    /// Tries leaders of these lengths in one direction among what is fixed, the first of the fields, and what is placed;
    /// answers whether a longer one might do.
    fn along(
        &mut self,
        want: &Want,
        (ray, out): (&Ray, &mut Out),
        (from, reach): Span,
        fields: &[&Field],
        best: &mut Option<Candidate>,
    ) -> bool {
        let base = LEADER.0 + ray.cost;
        let limit = best
            .as_ref()
            .map_or(reach, |b| reach.min((b.cost - base) / LEADER.1));
        if limit < from {
            return false;
        }
        out.follow(ray, (from, limit), fields[0]);
        if out.until < from {
            return false;
        }
        let until = fields[1..]
            .iter()
            .fold(out.until.min(limit), |until, placed| {
                ray.clear((from, until), placed)
            });
        if until < from {
            return false;
        }
        for (l, layout) in want.layouts.iter().take(LAYOUTS).enumerate() {
            let slide = ray.block(layout.half());
            let span = (from, until);
            let Some(length) = first_free(&slide, span, fields, out.bad(), &mut self.bars) else {
                continue;
            };
            let mut cost =
                base + LEADER.1 * length + ray::SECOND_BEST * l as f64 + out.crossing_cost(length);
            if best.as_ref().is_some_and(|b| b.cost <= cost) {
                continue;
            }
            let area = slide.at(length);
            let Some(extra) = surroundings(want, fields[0], &area) else {
                continue;
            };
            cost += extra;
            if best.as_ref().is_none_or(|b| cost < b.cost) {
                *best = Some(Candidate {
                    area,
                    layout: l as u8,
                    align: ray.align(),
                    leader: Some(ray.leader(length)),
                    cost,
                });
            }
        }
        until >= limit
    }

    /// The mark of a level further out on its line.
    fn further_out(
        &mut self,
        want: &Want,
        fixed: &Field,
        placed: Option<&Field>,
    ) -> Option<Candidate> {
        beside::far(want, &mut self.list);
        let around = self.list.iter().map(Candidate::bounds);
        let around = around.reduce(|a, b| a.union(b)).unwrap_or_default();
        self.near.gather(fixed, around.inflate(SEEMLY, SEEMLY));
        self.list.retain(|c| {
            let free = |shape: &Oblong| !placed.is_some_and(|p| p.hits(shape));
            !fixed.hits(&c.area) && free(&c.area) && c.leader_shape().is_none_or(|l| free(&l))
        });
        self.weigh(want, fixed, 1);
        self.list.first().copied()
    }

    /// Places further off, clear of what is fixed, that at most two blocks are in the way of; the
    /// cheapest first.
    pub fn contested(
        &mut self,
        want: &Want,
        rays: &mut [(Ray, Out)],
        fixed: &Field,
        placed: &Field,
    ) -> Vec<Contested> {
        let mut found = Vec::new();
        self.bars.clear();
        for reach in [SHORT, LONG] {
            found.clear();
            let mut open = false;
            for (ray, out) in &mut *rays {
                open |= self.contested_along(want, (ray, out), reach, (fixed, placed), &mut found);
            }
            if found.len() >= ENOUGH || !open {
                break;
            }
        }
        found.sort_by(|a, b| a.place.cost.total_cmp(&b.place.cost));
        found
    }

    fn contested_along(
        &mut self,
        want: &Want,
        (ray, out): (&Ray, &mut Out),
        reach: f64,
        (fixed, placed): (&Field, &Field),
        found: &mut Vec<Contested>,
    ) -> bool {
        out.follow(ray, (LEAST, reach), fixed);
        if out.until < LEAST {
            return false;
        }
        for (l, layout) in want.layouts.iter().take(LAYOUTS).enumerate() {
            let slide = ray.block(layout.half());
            let mut from = LEAST;
            for further in FURTHER {
                let (span, bad) = ((from, out.until.min(reach)), out.bad());
                let Some(length) = first_free(&slide, span, &[fixed], bad, &mut self.bars) else {
                    break;
                };
                from = length + further;
                let mut place = Candidate {
                    area: slide.at(length),
                    layout: l as u8,
                    align: ray.align(),
                    leader: Some(ray.leader(length)),
                    cost: 0.0,
                };
                let Some((rivals, count)) = rivals(&place, placed) else {
                    continue;
                };
                let Some(extra) = surroundings(want, fixed, &place.area) else {
                    continue;
                };
                place.cost = LEADER.0
                    + ray.cost
                    + LEADER.1 * length
                    + ray::SECOND_BEST * l as f64
                    + out.crossing_cost(length)
                    + RIVAL * count as f64
                    + extra;
                found.push(Contested {
                    place,
                    rivals,
                    count,
                });
            }
        }
        out.until >= reach
    }
}

/// The blocks in the way of a place; nothing where they are more than two.
fn rivals(place: &Candidate, placed: &Field) -> Option<([u32; 2], usize)> {
    let (mut rivals, mut count) = ([0; 2], 0);
    let shapes = [Some(place.area), place.leader_shape()];
    let crowded = shapes.into_iter().flatten().any(|shape| {
        placed.any(&shape, |_, other, thing| {
            if let Thing::Label(i) = thing
                && !rivals[..count].contains(&i)
                && shape.touches(other)
            {
                if count == rivals.len() {
                    return true;
                }
                rivals[count] = i;
                count += 1;
            }
            false
        })
    });
    (!crowded).then_some((rivals, count))
}

/// What frames and foreign pipes near a free place add to its cost.
fn extra(want: &Want, near: &Near, area: &Oblong) -> f64 {
    let wide = area.grown(SEEMLY);
    let (mut foreign, mut framed) = (false, false);
    for found in near.meeting(wide.bounds()) {
        match found.thing {
            Thing::Frame => framed |= !framed && area.touches(&found.shape),
            Thing::Pipe(pipe) => {
                foreign |= !foreign && is_foreign(want.about, pipe) && wide.touches(&found.shape);
            }
            Thing::Arrow | Thing::Symbol | Thing::Label(_) => {}
        }
    }
    f64::from(u8::from(framed)) * OVER_FRAME + f64::from(u8::from(foreign)) * NEAR_FOREIGN
}

/// The same for a place not known to be free; nothing where it is taken.
fn surroundings(want: &Want, field: &Field, area: &Oblong) -> Option<f64> {
    let wide = area.grown(SEEMLY);
    let (mut foreign, mut framed) = (false, false);
    let taken = field.any(&wide, |_, other, thing| match thing {
        Thing::Frame => {
            framed |= !framed && area.touches(other);
            false
        }
        Thing::Pipe(pipe) => {
            let close = wide.touches(other);
            foreign |= close && is_foreign(want.about, pipe);
            close && area.touches(other)
        }
        Thing::Arrow | Thing::Symbol | Thing::Label(_) => area.touches(other),
    });
    (!taken).then(|| {
        f64::from(u8::from(framed)) * OVER_FRAME + f64::from(u8::from(foreign)) * NEAR_FOREIGN
    })
}

/// Whether a pipe is another than the one a pipe's block is about.
fn is_foreign(about: About, pipe: wyeline_network::model::PipeIx) -> bool {
    matches!(about, About::Pipe(own) if own != pipe)
}
