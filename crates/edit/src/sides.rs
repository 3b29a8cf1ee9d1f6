//! Stretches of a wall given a length, or moved square to themselves.

use wyeline_job::model::Wall;
use wyeline_units::Len;

use crate::draft::Draft;
use crate::edit::Edit;
use crate::plan::{Plan, apart};
use crate::words::{coarse, fine, place, read_length};
use crate::{Refusal, Snap, Work};

/// A wall's line and the stretch that is changed.
struct Stretch<'p, 'a> {
    plan: &'p Plan<'a>,
    wall: &'p Wall,
    line: u32,
    /// Its corners, the last of a closed line left out.
    corners: Vec<[Len; 2]>,
    closed: bool,
    /// The corner at which the stretch begins.
    from: usize,
    /// The unit vector along it.
    way: [f64; 2],
    long: f64,
}

/// Makes the edits that change a wall.
pub fn apply<'p, 'a>(plan: &'p Plan<'a>, edit: &Edit) -> Result<Work<'p, 'a>, Refusal> {
    match edit {
        Edit::Side { line, side, length } => {
            let len = read_length(length, plan.units())?;
            Stretch::of(plan, *line, *side)?.long(len)
        }
        Edit::Push {
            line,
            side,
            by,
            within,
        } => Stretch::of(plan, *line, *side)?.push(*by, *within),
        _ => Err(Refusal::new(
            "this changes no wall",
            "choose a stretch of a wall",
        )),
    }
}

impl<'p, 'a> Stretch<'p, 'a> {
    fn of(plan: &'p Plan<'a>, line: u32, side: u32) -> Result<Self, Refusal> {
        let mut walls = plan.job.walls.iter();
        let wall = walls
            .find(|wall| plan.line(wall.span) == line)
            .ok_or_else(|| Refusal::new("this line tells no wall", "choose a wall"))?;
        let in_group = plan
            .page
            .statements()
            .iter()
            .any(|one| one.line == line && one.in_group);
        if in_group {
            return Err(Refusal::new(
                "this wall belongs to a group, which may lie turned",
                "change the words of the group",
            ));
        }
        let mut corners: Vec<[Len; 2]> = wall.points.iter().map(|at| [at.0, at.1]).collect();
        let closed = corners.len() > 3 && corners.first() == corners.last();
        let sides = corners.len() - 1;
        if closed {
            corners.pop();
        }
        let from = (side as usize).checked_sub(1).filter(|from| *from < sides);
        let from = from.ok_or_else(|| {
            Refusal::new(format!("this wall has {sides} sides"), "choose one of them")
        })?;
        let (a, b) = (corners[from], corners[(from + 1) % corners.len()]);
        let long = apart(a.map(Len::mm), b.map(Len::mm));
        if long < 1e-6 {
            return Err(Refusal::new("this side has no length", "choose another"));
        }
        let way = [0, 1].map(|k| (b[k] - a[k]).mm() / long);
        Ok(Self {
            plan,
            wall,
            line,
            corners,
            closed,
            from,
            way,
            long,
        })
    }

    fn next(&self, corner: usize) -> usize {
        (corner + 1) % self.corners.len()
    }

    /// How far one corner lies from another along the stretch, mm.
    fn along(&self, corners: &[[Len; 2]], a: usize, b: usize) -> f64 {
        [0, 1]
            .map(|k| (corners[b][k] - corners[a][k]).mm() * self.way[k])
            .iter()
            .sum()
    }

    /// The stretch gets a length. What follows shifts along with its end; in a closed line as far as
    /// the next side that goes the same way or back, which takes it up.
    fn long(self, len: Len) -> Result<Work<'p, 'a>, Refusal> {
        let by = len.mm() - self.long;
        let count = self.corners.len();
        let mut moved = self.corners.clone();
        for step in 1..=count {
            let here = (self.from + step) % count;
            self.shift(&mut moved[here], by, len);
            let next = self.next(here);
            let last = !self.closed && here + 1 == count;
            let side = apart(
                self.corners[here].map(Len::mm),
                self.corners[next].map(Len::mm),
            );
            let parallel = (self.along(&self.corners, here, next).abs() - side).abs() < 1e-6;
            if last || self.closed && parallel {
                let before = self.along(&self.corners, here, next);
                let after = self.along(&moved, here, next);
                if !last && before * after <= 0.0 {
                    return Err(Refusal::new(
                        "the side across from it would have no length left",
                        "make that one longer first",
                    ));
                }
                break;
            }
        }
        Ok(self.write(&moved, None))
    }

    /// Moves a corner along the stretch; exactly where that lies along an axis.
    fn shift(&self, corner: &mut [Len; 2], by: f64, len: Len) {
        let units = self.plan.units();
        let old = self.long;
        for k in [0, 1] {
            if self.way[k].abs() > 1.0 - 1e-12 {
                let change = len - Len::from_mm(old);
                corner[k] += if self.way[k] > 0.0 { change } else { -change };
            } else if self.way[k].abs() > 1e-12 {
                corner[k] = fine(corner[k].mm() + by * self.way[k], units);
            }
        }
    }

    /// The stretch moves to its left, or to its right where `by` is below 0.
    fn push(self, by: f64, within: f64) -> Result<Work<'p, 'a>, Refusal> {
        let units = self.plan.units();
        let left = [-self.way[1], self.way[0]];
        let a = self.corners[self.from];
        let level = &self.wall.level.text;
        let (ix, floor) = self.plan.level(level)?;
        let ends = [self.from, self.next(self.from)];
        // A corner of another wall that the stretch comes in line with.
        let own = |at: &[f64; 2]| {
            let here = self.corners.iter().map(|corner| corner.map(Len::mm));
            here.into_iter().any(|corner| apart(corner, *at) < 1.0)
        };
        let walls = self.plan.network.building.walls.iter();
        let others = walls
            .filter(|wall| wall.level.0 as usize == ix)
            .flat_map(|wall| [<[f64; 2]>::from(wall.from), <[f64; 2]>::from(wall.to)])
            .filter(|at| !own(at));
        let aside =
            |at: [f64; 2]| -> f64 { [0, 1].map(|k| (at[k] - a[k].mm()) * left[k]).iter().sum() };
        let in_line = others
            .map(aside)
            .filter(|off| (off - by).abs() <= within && off.abs() > 1.0);
        let near = in_line.min_by(|a, b| (a - by).abs().total_cmp(&(b - by).abs()));
        let len = near.map_or_else(|| coarse(by, units), |off| fine(off, units));
        let why = if near.is_some() {
            "in line with a corner".to_owned()
        } else {
            len.show(units, 16)
        };
        let mut moved = self.corners.clone();
        for corner in ends {
            for k in [0, 1] {
                if left[k].abs() > 1.0 - 1e-12 {
                    moved[corner][k] += if left[k] > 0.0 { len } else { -len };
                } else if left[k].abs() > 1e-12 {
                    moved[corner][k] = fine(moved[corner][k].mm() + len.mm() * left[k], units);
                }
            }
        }
        let at = moved[self.from];
        let at = [at[0].mm(), at[1].mm(), floor.floor];
        Ok(self.write(&moved, Some(Snap { at, why })))
    }

    /// Writes the corners that have moved.
    fn write(self, moved: &[[Len; 2]], snap: Option<Snap>) -> Work<'p, 'a> {
        let page = &self.plan.page;
        let words = page.words(self.line);
        let told = words.iter().filter(|word| page.cut(word).contains(','));
        let mut draft = Draft::new(page);
        for (k, word) in told.enumerate() {
            let (Some(new), Some(old)) = (
                moved.get(k % moved.len()),
                self.corners.get(k % self.corners.len()),
            ) else {
                continue;
            };
            if new != old {
                draft.replace(word.clone(), place(*new, self.plan.units()));
            }
        }
        self.take_openings(&mut draft, moved);
        draft.choose(self.line);
        Work {
            snap,
            ..Work::new(draft)
        }
    }

    /// Doors and windows go along with the stretch they are in: as far as they were from its corner that stays,
    /// or from its first where none does.
    fn take_openings(&self, draft: &mut Draft<'_, '_>, moved: &[[Len; 2]]) {
        let (plan, old) = (self.plan, &self.corners);
        let all = plan.page.statements();
        let sides = old.len() - usize::from(!self.closed);
        let level = plan.level(&self.wall.level.text).map(|(ix, _)| ix).ok();
        let walls = plan.network.building.walls.iter();
        let here = walls.filter(|wall| Some(wall.level.0 as usize) == level);
        let thick = here.map(|wall| wall.thick).fold(0.0, f64::max);
        for opening in &plan.job.openings {
            let line = plan.line(opening.span);
            let in_group = all.iter().any(|one| one.line == line && one.in_group);
            if in_group || opening.level.text != self.wall.level.text {
                continue;
            }
            let at = [opening.at.0, opening.at.1];
            let new = (0..sides).find_map(|side| {
                let next = self.next(side);
                let stretch = Line::between(old[side], old[next])?;
                let (along, aside) = stretch.measure(at.map(Len::mm));
                let here =
                    (-1.0..=stretch.long + 1.0).contains(&along) && aside.abs() <= thick + 1.0;
                if !here || (old[side] == moved[side] && old[next] == moved[next]) {
                    return None;
                }
                let goal = Line::between(moved[side], moved[next])?;
                let stays = old[next] == moved[next];
                let along = if stays {
                    along + goal.long - stretch.long
                } else {
                    along
                };
                Some(
                    goal.point(along, aside)
                        .map(|part| fine(part, plan.units())),
                )
            });
            let words = plan.page.words(line);
            if let (Some(new), Some(word)) = (new.filter(|new| *new != at), words.get(2)) {
                draft.replace(word.clone(), place(new, plan.units()));
            }
        }
    }
}

/// A stretch between two corners, mm.
struct Line {
    from: [f64; 2],
    way: [f64; 2],
    long: f64,
}

impl Line {
    fn between(a: [Len; 2], b: [Len; 2]) -> Option<Self> {
        let (from, to) = (a.map(Len::mm), b.map(Len::mm));
        let long = apart(from, to);
        let way = [0, 1].map(|k| (to[k] - from[k]) / long);
        (long > 1e-6).then_some(Self { from, way, long })
    }

    /// How far along it and how far to its left a point lies.
    fn measure(&self, at: [f64; 2]) -> (f64, f64) {
        let off = [at[0] - self.from[0], at[1] - self.from[1]];
        let along = off[0] * self.way[0] + off[1] * self.way[1];
        (along, off[1] * self.way[0] - off[0] * self.way[1])
    }

    fn point(&self, along: f64, aside: f64) -> [f64; 2] {
        [
            self.from[0] + self.way[0] * along - self.way[1] * aside,
            self.from[1] + self.way[1] * along + self.way[0] * aside,
        ]
    }
}
