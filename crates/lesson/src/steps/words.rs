//! Figures and ways in plain words: lengths as the trade writes them, squares of the grid, where a line goes on paper.

use glam::DVec3;
use wyeline_draw::Projection;
use wyeline_units::{Len, UnitSystem};

/// Lengths are told to this fraction of an inch (1 mm in metric jobs), as on the drawing.
const FRACTION: u32 = 16;
/// An extent along an axis below this is none, mm: what a fall leaves in a line drawn level.
pub(crate) const NO_EXTENT: f64 = 1.0;
/// Squares are told in quarters; further off than this share of a square they are `about` so many.
const NEARLY: f64 = 0.02;

/// A length with its unit: `4'-0"`, `9 1/2"`, `1372 mm`, `1.372 m`.
pub(crate) fn length(mm: f64, units: UnitSystem) -> String {
    let figure = Len::from_mm(mm).show(units, FRACTION);
    match units {
        UnitSystem::FeetInches | UnitSystem::Inches => figure,
        UnitSystem::Millimetres => figure + " mm",
        UnitSystem::Metres => figure + " m",
    }
}

/// What is drawn, for the eye that counts squares.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Measure {
    /// How points fall on paper.
    pub projection: Projection,
    /// What one square of the grid stands for along an axis, mm.
    pub square_mm: f64,
    /// How lengths are told.
    pub units: UnitSystem,
}

impl Measure {
    /// How many squares a length is: `4 squares`, `about 3 1/4 squares`, `1/2 square`.
    pub fn squares(&self, mm: f64) -> String {
        match self.quarters(mm) {
            0 => "less than a quarter of a square".to_owned(),
            1..=4 => format!("{} square", self.count(mm)),
            _ => format!("{} squares", self.count(mm)),
        }
    }

    /// The same as a number: `4`, `about 3 1/4`.
    pub fn count(&self, mm: f64) -> String {
        let quarters = self.quarters(mm);
        let off = mm.abs() / self.square_mm - quarters as f64 / 4.0;
        let about = if off.abs() > NEARLY { "about " } else { "" };
        match (
            quarters / 4,
            ["", "1/4", "1/2", "3/4"][(quarters % 4) as usize],
        ) {
            (0, "") => "almost 0".to_owned(),
            (0, part) => format!("{about}{part}"),
            (whole, "") => format!("{about}{whole}"),
            (whole, part) => format!("{about}{whole} {part}"),
        }
    }

    /// A length in quarters of a square, rounded.
    fn quarters(&self, mm: f64) -> u64 {
        (mm.abs() / self.square_mm * 4.0).round() as u64
    }

    /// A length as it is told.
    pub fn length(&self, mm: f64) -> String {
        length(mm, self.units)
    }

    /// Where something that leads this way goes on paper: `up to the left`.
    pub fn paper(&self, way: DVec3) -> &'static str {
        let on_paper = self.projection.vector(way);
        let level = on_paper.x.abs() > on_paper.hypot() * 0.05;
        match (on_paper.y < 0.0, level, on_paper.x > 0.0) {
            (true, false, _) => "straight up",
            (false, false, _) => "straight down",
            (true, true, true) => "up to the right",
            (true, true, false) => "up to the left",
            (false, true, true) => "down to the right",
            (false, true, false) => "down to the left",
        }
    }

    /// The legs along the axes that make up a way, east-west, north-south, upright; none that is no longer than a fall leaves.
    pub fn axes(way: DVec3) -> Vec<DVec3> {
        [DVec3::X * way.x, DVec3::Y * way.y, DVec3::Z * way.z]
            .into_iter()
            .filter(|leg| leg.length() > NO_EXTENT)
            .collect()
    }

    /// A way along an axis: `4'-0" north: up to the left, 4 squares`.
    pub fn along(&self, way: DVec3) -> String {
        let (length, squares) = (self.length(way.length()), self.squares(way.length()));
        let compass = compass(way);
        if way.z.abs() > 0.5 * way.length() {
            format!("{length} {compass}, {squares}")
        } else {
            format!("{length} {compass} ({}), {squares}", self.paper(way))
        }
    }
}

/// The compass word of a way: `north-east`, `up`.
pub(crate) fn compass(way: DVec3) -> &'static str {
    let level = way.truncate().length();
    if way.z.abs() > level {
        return if way.z > 0.0 { "up" } else { "down" };
    }
    let eighth = way.y.atan2(way.x) / std::f64::consts::FRAC_PI_4;
    COMPASS[(eighth.round() as i32).rem_euclid(8) as usize]
}

/// Eighths of the compass from east, counter-clockwise.
const COMPASS: [&str; 8] = [
    "east",
    "north-east",
    "north",
    "north-west",
    "west",
    "south-west",
    "south",
    "south-east",
];

/// Several things in a row: `WC1, LAV1 and KS1`.
pub(crate) fn listed(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// A sentence begins with a capital letter.
pub(crate) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

#[cfg(test)]
mod tests {
    use wyeline_draw::Corner;
    use wyeline_units::Scale;

    use super::*;

    /// Squares of 6 in: 127 mm pitch at full scale would be 5 in; here 152.4 mm.
    fn six_inches() -> Measure {
        Measure {
            projection: Projection::new(Corner::Sw, Scale(24)),
            square_mm: 152.4,
            units: UnitSystem::FeetInches,
        }
    }

    #[test]
    fn squares_are_told_in_quarters_and_said_to_be_about_so_many_where_they_are_not() {
        let six = six_inches();
        for (inches, words) in [
            (24.0, "4 squares"),
            (6.0, "1 square"),
            (3.0, "1/2 square"),
            (45.0, "7 1/2 squares"),
            // 46 in are 7.667 squares.
            (46.0, "about 7 3/4 squares"),
            (0.5, "less than a quarter of a square"),
        ] {
            assert_eq!(six.squares(inches * 25.4), words, "{inches} in");
        }
    }

    /// From the south-west north goes up to the left and east up to the right (Corner::Sw), south and west the other way.
    #[test]
    fn ways_are_told_as_they_lie_on_paper() {
        let six = six_inches();
        for (way, words) in [
            (DVec3::Y, "up to the left"),
            (DVec3::X, "up to the right"),
            (-DVec3::Y, "down to the right"),
            (-DVec3::X, "down to the left"),
            (DVec3::Z, "straight up"),
            (-DVec3::Z, "straight down"),
            // A level 45 to the north-east stands upright on paper from there: the trap worth teaching.
            (DVec3::new(1.0, 1.0, 0.0), "straight up"),
        ] {
            assert_eq!(six.paper(way), words, "{way}");
        }
    }
}
