//! Letters on the drawing against what they have to tell: fixtures, cleanouts, vents through the roof, the kinds of water; and whether they can be read.

use glam::DVec3;
use kurbo::{Point, Rect, Vec2};
use rustc_hash::FxHashSet;
use wyeline_job::model::System;

use super::fault::Found;
use super::key::Key;
use super::lines::off;
use super::place::Place;
use super::rubric::Tolerance;
use crate::drawing::Letters;
use crate::figure::{Figure, What};

/// Mean width of a capital over its height, with the gap to the next: common proportions of plain sans-serif capitals, two thirds of an em at a height of 0.7.
pub(crate) const WIDTH: f64 = 0.95;

/// What letters may say, without regard to case, stops, spaces and hyphens.
pub(crate) fn plain(text: &str) -> String {
    let letters = text.chars().filter(|letter| letter.is_alphanumeric());
    letters.flat_map(char::to_uppercase).collect()
}

/// Whether letters, or a word of them, are one of those asked for.
pub(crate) fn says(text: &str, wanted: &[String]) -> bool {
    let one = |text: &str| {
        let text = plain(text);
        !text.is_empty() && wanted.iter().any(|wanted| plain(wanted) == text)
    };
    one(text) || text.split_whitespace().any(one)
}

/// The rectangle that letters take up on paper.
pub(crate) fn taken(letters: &Letters) -> Rect {
    let width = letters.text.chars().count() as f64 * WIDTH * letters.height;
    let middle = Point::new(letters.at[0], letters.at[1]);
    Rect::from_center_size(middle, (width, letters.height))
}

/// What is looked at.
pub(crate) struct Labels<'a, 'b> {
    pub figure: &'a Figure,
    pub key: &'a Key,
    pub place: &'b Place<'a>,
    pub letters: &'a [Letters],
    /// Where they stand, in the key's units.
    pub at: &'a [Point],
    /// Pencil lines on paper.
    pub strokes: &'a [Vec<Point>],
    pub pitch: f64,
    pub tolerance: &'a Tolerance,
}

impl Labels<'_, '_> {
    /// What is wrong with fixtures and labels.
    pub fn faults(&self) -> Vec<Found> {
        let mut used = FxHashSet::default();
        let mut out = self.fixtures(&mut used);
        out.extend(self.labels(&mut used));
        out
    }

    fn reach(&self) -> f64 {
        self.tolerance.letters * self.pitch
    }

    /// Where something of the figure is on the drawing: moved as the node next to it.
    fn at(&self, space: DVec3) -> Point {
        let at = self.key.projection.point(space);
        let far = |node: &usize| self.key.nodes[*node].distance_squared(space);
        let nearest =
            (0..self.key.nodes.len()).min_by(|one, other| far(one).total_cmp(&far(other)));
        nearest.map_or(at, |node| at + self.place.moved(node))
    }

    fn fixtures(&self, used: &mut FxHashSet<usize>) -> Vec<Found> {
        let spots: Vec<(Point, &String, &Vec<String>)> = self
            .figure
            .spots
            .iter()
            .filter_map(|spot| match &spot.what {
                What::Fixture { tag, letters, .. } => Some((self.at(spot.at), tag, letters)),
                _ => None,
            })
            .collect();
        let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
        for (spot, (at, _, wanted)) in spots.iter().enumerate() {
            for (ix, letters) in self.letters.iter().enumerate() {
                if says(&letters.text, wanted) {
                    pairs.push((self.at[ix].distance(*at), spot, ix));
                }
            }
        }
        pairs.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut told = vec![false; spots.len()];
        for &(far, spot, ix) in &pairs {
            if far <= self.reach() && !told[spot] && !used.contains(&ix) {
                told[spot] = true;
                used.insert(ix);
            }
        }
        let mut out = Vec::new();
        for (spot, (at, tag, wanted)) in spots.iter().enumerate() {
            if told[spot] {
                continue;
            }
            let elsewhere = pairs
                .iter()
                .find(|pair| pair.1 == spot && !used.contains(&pair.2));
            let fault = if let Some(pair) = elsewhere {
                used.insert(pair.2);
                "fixture-misplaced"
            } else {
                "fixture-missing"
            };
            out.push(
                Found::at(fault, *at)
                    .what(tag.as_str())
                    .way(wanted.join(" or ")),
            );
        }
        out
    }

    fn labels(&self, used: &mut FxHashSet<usize>) -> Vec<Found> {
        let mut out = Vec::new();
        let asked = || {
            self.figure
                .spots
                .iter()
                .filter_map(|spot| match &spot.what {
                    What::Letters { of, letters } => {
                        Some((spot, *of, letters, self.system_at(spot.at)))
                    }
                    _ => None,
                })
        };
        for (spot, of, wanted, system) in asked() {
            let at = self.at(spot.at);
            let mut wrong = None;
            let told = if let Some(system) = system {
                let near = |ix: &usize| self.nearest_system(self.at[*ix]) == Some(system);
                let right = |ix: &usize| says(&self.letters[*ix].text, wanted);
                // Letters of another kind, on this line and not where they belong.
                let other = |ix: &usize| {
                    asked().any(|(_, _, letters, _)| says(&self.letters[*ix].text, letters))
                };
                let mut all = 0..self.letters.len();
                let told = all.clone().any(|ix| near(&ix) && right(&ix));
                wrong = all.find(|ix| near(ix) && !right(ix) && other(ix) && !used.contains(ix));
                told
            } else {
                let far = |ix: &usize| self.at[*ix].distance(at);
                let own = (0..self.letters.len())
                    .filter(|ix| !used.contains(ix) && says(&self.letters[*ix].text, wanted));
                let nearest = own.min_by(|one, other| far(one).total_cmp(&far(other)));
                let nearest = nearest.filter(|ix| far(ix) <= self.reach());
                used.extend(nearest);
                nearest.is_some()
            };
            if told {
                continue;
            }
            let fault = if wrong.is_some() {
                "letters-wrong"
            } else {
                "letters-missing"
            };
            let got = wrong.map_or(String::new(), |ix| self.letters[ix].text.clone());
            let at = wrong.map_or(at, |ix| self.at[ix]);
            out.push(
                Found::at(fault, at)
                    .what(of)
                    .way(wanted[..wanted.len().min(2)].join(" or "))
                    .got(got),
            );
        }
        out
    }

    /// The system of the water or gas line on which a label's place lies.
    fn system_at(&self, at: DVec3) -> Option<System> {
        let on = |line: &&crate::figure::Line| {
            let way = (line.to - line.from).normalize_or_zero();
            let far = at - line.from;
            let along = far.dot(way);
            (far - way * along).length() < 1.0
                && (-1.0..=line.from.distance(line.to) + 1.0).contains(&along)
        };
        let here = self.figure.lines.iter().find(on)?.role.system()?;
        (!matches!(here, System::Waste | System::Vent)).then_some(here)
    }

    /// The system of the water or gas pipe next to a point; none where none is within the reach of letters.
    fn nearest_system(&self, at: Point) -> Option<System> {
        let far =
            |line: &super::key::KeyLine| off(at, self.place.node(line.a), self.place.node(line.b));
        let told =
            |system: &Option<System>| !matches!(system, None | Some(System::Waste | System::Vent));
        let lines = self
            .key
            .lines
            .iter()
            .filter(|line| told(&line.role.system()));
        let lines = lines.map(|line| (far(line), line.role.system()));
        let (far, system) = lines.min_by(|one, other| one.0.total_cmp(&other.0))?;
        system.filter(|_| far <= self.reach())
    }

    /// Letters too small, or over lines or other letters.
    pub fn hard_to_read(&self) -> Vec<Found> {
        let mut out = Vec::new();
        for (ix, letters) in self.letters.iter().enumerate() {
            let found = |fault| Found::at(fault, self.at[ix]).what(letters.text.as_str());
            if letters.height < self.tolerance.text {
                out.push(found("small-letters").got(format!("{:.1} mm", letters.height)));
            }
            // A line that only grazes them does not hide them.
            let all = taken(letters);
            let kernel = all.inflate(-0.15 * letters.height, -0.2 * letters.height);
            let pieces = self.strokes.iter().flat_map(|stroke| stroke.windows(2));
            if pieces
                .into_iter()
                .any(|pair| crosses(kernel, pair[0], pair[1]))
            {
                out.push(found("letters-over-lines").got("a line"));
            } else if let Some(other) = self.letters[..ix].iter().find(|other| {
                let both = all
                    .inflate(-0.1 * letters.height, -0.1 * letters.height)
                    .intersect(taken(other));
                both.width() > 0.0 && both.height() > 0.0
            }) {
                out.push(found("letters-over-lines").got(format!("the letters {}", other.text)));
            }
        }
        out
    }
}

/// Whether a straight way passes through a rectangle (Liang and Barsky, ACM Transactions on Graphics 3(1), 1984).
pub(crate) fn crosses(rect: Rect, from: Point, to: Point) -> bool {
    let way: Vec2 = to - from;
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    for (start, step, least, most) in [
        (from.x, way.x, rect.x0, rect.x1),
        (from.y, way.y, rect.y0, rect.y1),
    ] {
        if step.abs() < 1e-12 {
            if start < least || start > most {
                return false;
            }
            continue;
        }
        let (one, other) = ((least - start) / step, (most - start) / step);
        low = low.max(one.min(other));
        high = high.min(one.max(other));
    }
    low <= high
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_say_the_same_with_and_without_stops() {
        let wanted = ["WC".to_owned(), "WC1".to_owned()];
        assert!(
            ["w.c.", "WC-1", "WC 3in"]
                .iter()
                .all(|text| says(text, &wanted))
        );
        assert!(
            ["", "W", "WC2", "-"]
                .iter()
                .all(|text| !says(text, &wanted))
        );
    }

    #[test]
    fn a_way_crosses_a_rectangle_or_passes_it() {
        let rect = Rect::new(0.0, 0.0, 2.0, 1.0);
        assert!(crosses(rect, Point::new(-1.0, 0.5), Point::new(3.0, 0.5)));
        assert!(crosses(rect, Point::new(0.5, 0.5), Point::new(0.6, 0.5)));
        assert!(!crosses(rect, Point::new(-1.0, 0.5), Point::new(-0.1, 0.5)));
        assert!(!crosses(rect, Point::new(-1.0, 1.0), Point::new(1.0, 3.0)));
    }
}
