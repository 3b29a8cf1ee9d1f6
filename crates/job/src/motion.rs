//! Where a placement puts things: mirrored, turned, moved and raised, in this order.
//!
//! In: a placement's words, or two motions one after the other. Out: one motion; any two of
//! them make up a third of the same kind, so that nested placements cost no more than plain ones.

use wyeline_units::Len;

use crate::groups::{Mirror, Placement};
use crate::model::{Compass, Coord, Direction};

/// A mirroring, a turn, a move and a lift.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Motion {
    /// East and west are swapped, before the turn.
    pub mirrored: bool,
    /// Quarter turns counter-clockwise, 0 to 3.
    quarters: usize,
    at: (Len, Len),
    pub raised: Len,
}

impl Motion {
    pub fn of(placement: &Placement) -> Self {
        // North and south swapped is east and west swapped, then half a turn.
        let half = match placement.mirror {
            Some(Mirror::NorthSouth) => 2,
            Some(Mirror::EastWest) | None => 0,
        };
        Self {
            mirrored: placement.mirror.is_some(),
            quarters: (placement.quarters + half) % 4,
            at: placement.at,
            raised: placement.raised,
        }
    }

    /// This motion, and `outer` after it.
    pub fn then(self, outer: &Self) -> Self {
        // A turn, then a mirror, is the mirror, then the turn the other way.
        let quarters = if outer.mirrored {
            4 - self.quarters
        } else {
            self.quarters
        };
        Self {
            mirrored: self.mirrored != outer.mirrored,
            quarters: (outer.quarters + quarters) % 4,
            at: outer.spot(self.at),
            raised: self.raised + outer.raised,
        }
    }

    pub fn spot(&self, (mut east, mut north): (Len, Len)) -> (Len, Len) {
        if self.mirrored {
            east = -east;
        }
        for _ in 0..self.quarters {
            (east, north) = (-north, east);
        }
        (east + self.at.0, north + self.at.1)
    }

    pub fn compass(&self, way: Compass) -> Compass {
        let eighth = way.eighth();
        let eighth = if self.mirrored { 12 - eighth } else { eighth };
        Compass::from_eighth(eighth + 2 * self.quarters)
    }

    pub fn direction(&self, way: Direction) -> Direction {
        match way {
            Direction::Level(way) => Direction::Level(self.compass(way)),
            other => other,
        }
    }

    /// Coordinates of which either may be a wall: each part is turned with its axis.
    pub fn coords(&self, (east, north): (Coord, Coord)) -> (Coord, Coord) {
        let length = |coord| {
            if let Coord::At(length) = coord {
                length
            } else {
                Len::ZERO
            }
        };
        let (new_east, new_north) = self.spot((length(east), length(north)));
        let moved = |coord, length| match coord {
            Coord::At(_) => Coord::At(length),
            Coord::Wall(side) => Coord::Wall(self.compass(side)),
        };
        let (for_east, for_north) = if self.quarters.is_multiple_of(2) {
            (east, north)
        } else {
            (north, east)
        };
        (moved(for_east, new_east), moved(for_north, new_north))
    }
}
