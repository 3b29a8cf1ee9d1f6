//! How a placed group lies: from the plan back to the group's own coordinates.
//!
//! The Job holds groups as they are placed. How a placement is mirrored, turned and moved is read off one of
//! its fixtures, whose words in the group and whose place on the plan are both known.

use wyeline_job::model::{Compass, Coord};
use wyeline_job::words::{COMPASS, look_up};
use wyeline_units::Len;

use crate::Refusal;
use crate::plan::{Plan, scope};

/// From the plan to a group's own coordinates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    mirrored: bool,
    quarters: usize,
    shift: [f64; 2],
}

/// Outside groups: nothing is turned.
const PLAIN: Frame = Frame {
    mirrored: false,
    quarters: 0,
    shift: [0.0, 0.0],
};

impl Frame {
    /// The frame in which things of that placement are told.
    pub fn of(plan: &Plan<'_>, placement: &str) -> Result<Self, Refusal> {
        if placement.is_empty() {
            return Ok(PLAIN);
        }
        let mut fixtures = plan.job.fixtures.iter();
        let found = fixtures.find_map(|one| {
            if scope(&one.tag.text) != placement {
                return None;
            }
            let line = plan.line(one.span);
            let words = plan.page.words(line);
            let word = |k: usize| words.get(k).map(|word| plan.page.cut(word));
            let faces = look_up(&COMPASS, word(6)?)?;
            let (x, y) = word(4)?.split_once(',')?;
            let read = |text| Len::read(text, plan.units()).ok().map(|read| read.len.mm());
            let told = [read(x)?, read(y)?];
            let (Coord::At(x), Coord::At(y)) = one.at else {
                return None;
            };
            let straight = Self {
                mirrored: one.mirrored,
                quarters: 0,
                shift: [0.0, 0.0],
            };
            let eighths = one.faces.eighth() + 8 - straight.placed_way(faces).eighth();
            let turned = Self {
                quarters: (eighths % 8) / 2,
                ..straight
            };
            let lies = turned.placed(told);
            Some(Self {
                shift: [x.mm() - lies[0], y.mm() - lies[1]],
                ..turned
            })
        });
        found.ok_or_else(|| {
            Refusal::new(
                format!(
                    "`{placement}` is a placed group, and how it lies cannot be told from here"
                ),
                "change the words of the group",
            )
        })
    }

    fn placed_way(self, way: Compass) -> Compass {
        let eighth = way.eighth();
        let eighth = if self.mirrored { 12 - eighth } else { eighth };
        Compass::from_eighth(eighth + 2 * self.quarters)
    }

    fn placed(self, at: [f64; 2]) -> [f64; 2] {
        let mut at = if self.mirrored { [-at[0], at[1]] } else { at };
        for _ in 0..self.quarters {
            at = [-at[1], at[0]];
        }
        [at[0] + self.shift[0], at[1] + self.shift[1]]
    }

    /// A way of the plan, as the group calls it.
    pub fn way(self, way: Compass) -> Compass {
        let eighth = way.eighth() + 8 - 2 * self.quarters;
        Compass::from_eighth(if self.mirrored { 20 - eighth } else { eighth })
    }

    /// A point of the plan, in the group's coordinates.
    pub fn point(self, at: [f64; 2]) -> [f64; 2] {
        let mut at = [at[0] - self.shift[0], at[1] - self.shift[1]];
        for _ in 0..self.quarters {
            at = [at[1], -at[0]];
        }
        if self.mirrored { [-at[0], at[1]] } else { at }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mirrored, turned and moved, then back again: points and ways are those they were.
    #[test]
    fn there_and_back() {
        for mirrored in [false, true] {
            for quarters in 0..4 {
                let frame = Frame {
                    mirrored,
                    quarters,
                    shift: [7.0, -3.0],
                };
                assert_eq!(frame.point(frame.placed([2.0, 5.0])), [2.0, 5.0]);
                for (_, way) in COMPASS {
                    assert_eq!(frame.way(frame.placed_way(way)), way);
                }
            }
        }
    }

    /// A mirror swaps east and west and leaves north; a quarter turn takes east to north.
    #[test]
    fn as_the_language_says() {
        let mirror = Frame {
            mirrored: true,
            ..PLAIN
        };
        assert_eq!(mirror.placed_way(Compass::East), Compass::West);
        assert_eq!(mirror.placed_way(Compass::North), Compass::North);
        let turn = Frame {
            quarters: 1,
            ..PLAIN
        };
        assert_eq!(turn.placed_way(Compass::East), Compass::North);
        assert_eq!(turn.placed([1.0, 0.0]), [0.0, 1.0]);
    }
}
