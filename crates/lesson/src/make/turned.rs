//! Turns what is told of a room in inches, its back wall to the north, into the words of a job for a room of either hand that faces any way.
//!
//! First mirrored (east for west), then turned a quarter at a time counter-clockwise, so that the room stays in the corner of its plan.

/// A way on the plan, in eighths of a turn from east, counter-clockwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Way(u8);

/// East.
pub const E: Way = Way(0);
/// North-east.
pub const NE: Way = Way(1);
/// North.
pub const N: Way = Way(2);
/// West.
pub const W: Way = Way(4);
/// South.
pub const S: Way = Way(6);

const WORDS: [&str; 8] = [
    "east",
    "northeast",
    "north",
    "northwest",
    "west",
    "southwest",
    "south",
    "southeast",
];

/// How a room is laid on the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Turned {
    /// Whether east and west are swapped first.
    pub mirrored: bool,
    /// Quarters of a turn, 0 to 3.
    pub quarters: u8,
    /// Width (east-west) and depth (north-south) of the room before that, in.
    pub size: [i64; 2],
}

impl Turned {
    /// A place, `3'6",5'`.
    pub fn at(&self, east: i64, north: i64) -> String {
        let [width, depth] = self.size;
        let east = if self.mirrored { width - east } else { east };
        let (x, y) = match self.quarters {
            0 => (east, north),
            1 => (depth - north, east),
            2 => (width - east, depth - north),
            _ => (north, width - east),
        };
        format!("{},{}", feet(x), feet(y))
    }

    /// A compass word.
    pub fn way(&self, way: Way) -> &'static str {
        let eighth = if self.mirrored { 12 - way.0 } else { way.0 };
        WORDS[usize::from((eighth + 2 * self.quarters) % 8)]
    }

    /// The hand of what lies on the left, as seen facing the fixture, in a room that is not mirrored.
    pub fn left(&self) -> &'static str {
        if self.mirrored { "right" } else { "left" }
    }
}

/// A length in feet and inches: `3'6"`, `2'`, `-8"`.
pub fn feet(inches: i64) -> String {
    let sign = if inches < 0 { "-" } else { "" };
    let (feet, rest) = (inches.abs() / 12, inches.abs() % 12);
    match (feet, rest) {
        (0, 0) => "0'".to_owned(),
        (0, rest) => format!("{sign}{rest}\""),
        (feet, 0) => format!("{sign}{feet}'"),
        (feet, rest) => format!("{sign}{feet}'{rest}\""),
    }
}

/// A height above (or below) a floor: `main floor +3'6"`.
pub fn above(surface: &str, inches: i64) -> String {
    let sign = if inches < 0 { "" } else { "+" };
    format!("{surface} {sign}{}", feet(inches))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_written_as_the_trade_writes_them() {
        for (inches, words) in [(0, "0'"), (8, "8\""), (24, "2'"), (-30, "-2'6\"")] {
            assert_eq!(feet(inches), words);
        }
        assert_eq!(above("main floor", 42), "main floor +3'6\"");
        assert_eq!(above("main floor", -12), "main floor -1'");
    }

    /// A room of 10 by 6 ft, and a place 2 ft from its west wall and 5 ft from its south wall.
    #[test]
    fn a_place_stays_as_far_from_the_same_walls() {
        let at = |mirrored, quarters| {
            let size = [120, 72];
            Turned {
                mirrored,
                quarters,
                size,
            }
            .at(24, 60)
        };
        assert_eq!(at(false, 0), "2',5'");
        // The west wall is now the east wall, 10 ft away.
        assert_eq!(at(true, 0), "8',5'");
        // A quarter counter-clockwise: the north wall is to the west, 1 ft away; the west wall to the south, 2 ft away.
        assert_eq!(at(false, 1), "1',2'");
        assert_eq!(at(false, 2), "8',1'");
        assert_eq!(at(false, 3), "5',8'");
    }

    #[test]
    fn a_way_turns_with_the_room() {
        let way = |mirrored, quarters, way| {
            let size = [120, 72];
            Turned {
                mirrored,
                quarters,
                size,
            }
            .way(way)
        };
        assert_eq!(way(false, 1, E), "north");
        assert_eq!(way(true, 0, NE), "northwest");
        assert_eq!(way(true, 0, N), "north");
        // Mirrored north-east is north-west; a quarter on it is south-west.
        assert_eq!(way(true, 1, NE), "southwest");
        assert_eq!(way(false, 3, S), "west");
    }
}
