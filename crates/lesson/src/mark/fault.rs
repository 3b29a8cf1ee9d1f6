//! What is wrong with a drawing, as found: a name of the rubric's table, a place, and what fills its words.

use glam::DVec3;
use kurbo::{Point, Vec2};

use super::key::{Key, KeyLine};
use crate::figure::Figure;

/// A fault as found, before it is counted.
#[derive(Clone, Debug, Default)]
pub(crate) struct Found {
    /// Its name in the table.
    pub fault: &'static str,
    /// Its place, in the key's units; none for the drawing as a whole.
    pub at: Option<Point>,
    /// The line or thing.
    pub what: String,
    /// How it has to go.
    pub way: String,
    /// How it was drawn.
    pub got: String,
}

impl Found {
    /// A fault of the drawing at a place.
    pub fn at(fault: &'static str, at: Point) -> Self {
        Self {
            fault,
            at: Some(at),
            ..Self::default()
        }
    }
    /// Of what.
    pub fn what(mut self, what: impl Into<String>) -> Self {
        self.what = what.into();
        self
    }
    /// How it has to go.
    pub fn way(mut self, way: impl Into<String>) -> Self {
        self.way = way.into();
        self
    }
    /// How it was drawn.
    pub fn got(mut self, got: impl Into<String>) -> Self {
        self.got = got.into();
        self
    }
}

/// Squares of the grid in words: whole, or to a tenth.
pub(crate) fn squares(count: f64) -> String {
    let tenths = (count * 10.0).round() / 10.0;
    if tenths == 1.0 {
        "1 square".to_owned()
    } else {
        format!("{tenths} squares")
    }
}

/// A way in space in words, a square being `square` mm of the building: `4 squares north`, `3 squares east and 3 squares north at once`.
pub(crate) fn in_space(way: DVec3, square: f64) -> String {
    let names = [("east", "west"), ("north", "south"), ("up", "down")];
    let parts: Vec<String> = way
        .to_array()
        .into_iter()
        .zip(names)
        .filter(|(along, _)| along.abs() > 0.02 * square)
        .map(|(along, (forth, back))| {
            format!(
                "{} {}",
                squares(along.abs() / square),
                if along > 0.0 { forth } else { back }
            )
        })
        .collect();
    match parts.as_slice() {
        [] => "nowhere".to_owned(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last} at once", rest.join(", ")),
    }
}

/// The direction of a compass, or up and down, in one word where it lies along an axis.
pub(crate) fn direction(way: DVec3) -> String {
    let names = [("east", "west"), ("north", "south"), ("up", "down")];
    let parts: Vec<&str> = [2, 1, 0]
        .into_iter()
        .map(|axis| (way[axis], names[axis]))
        .filter(|(along, _)| along.abs() > 0.1 * way.length())
        .map(|(along, (forth, back))| if along > 0.0 { forth } else { back })
        .collect();
    parts.join(" and ")
}

/// A way on paper in words: `to the upper left`.
pub(crate) fn on_paper(way: Vec2) -> &'static str {
    let eighths = (-way.y).atan2(way.x).to_degrees() / 22.5;
    match eighths.round() as i32 {
        0 => "level to the right",
        1..=3 => "to the upper right",
        4 => "straight up the paper",
        5..=7 => "to the upper left",
        -3..=-1 => "to the lower right",
        -4 => "straight down the paper",
        -7..=-5 => "to the lower left",
        _ => "level to the left",
    }
}

/// How a line of the key has to be drawn, in words.
pub(crate) fn way_of(key: &Key, line: &KeyLine, pitch: f64) -> String {
    let (a, b) = key.ends(line);
    let space = key.nodes[line.b] - key.nodes[line.a];
    let square = pitch / key.projection.factor();
    format!("{}, {}", in_space(space, square), on_paper(b - a))
}

/// What a line is, in words: `the vent lavatory-vent`.
pub(crate) fn name_of(figure: &Figure, line: &KeyLine) -> String {
    let part = &figure.lines[line.line].part;
    match line.role.system() {
        _ if part.is_empty() => "A line".to_owned(),
        Some(system) => format!("A pipe of {} ({part})", system.word()),
        None => format!("A line of {part}"),
    }
}

/// Whether a way in space lies along none of the axes.
pub(crate) fn is_skew(way: DVec3) -> bool {
    let longest = way.abs().max_element();
    (way.length() - longest) > 1e-3 * way.length()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ways_are_told_in_squares_and_on_paper() {
        // A square of 1 ft: 1219.2 mm are 4 ft.
        let four_north = DVec3::new(0.0, 1219.2, 0.0);
        assert_eq!(in_space(four_north, 304.8), "4 squares north");
        let skew = DVec3::new(-914.4, 914.4, 0.0);
        assert_eq!(
            in_space(skew, 304.8),
            "3 squares west and 3 squares north at once"
        );
        assert_eq!(direction(skew), "north and west");
        // 30 degrees up to the left; paper's y runs down.
        assert_eq!(on_paper(Vec2::new(-0.866, -0.5)), "to the upper left");
        assert_eq!(on_paper(Vec2::new(-1.0, 0.0)), "level to the left");
        assert_eq!(on_paper(Vec2::new(0.0, 1.0)), "straight down the paper");
    }
}
