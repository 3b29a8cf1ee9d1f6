//! How a drawing lies over the key: from which corner, mirrored or not, at what scale, where on the sheet.
//!
//! Ends of ink lines and nodes of the key vote for where the one lies over the other (a Hough transform: Ballard, Pattern Recognition 13(2), 1981); the few
//! best places are held against all ink. Nothing is taken from ink into space.

use kurbo::{Point, Vec2};

use super::ink::{Ink, Piece, in_line, unit};
use super::key::Key;
use super::rubric::Tolerance;

/// Ends of lines that vote, of ink and of key each, at most.
const VOTERS: usize = 160;
/// Cells in which votes are counted at most.
const CELLS: usize = 2_000_000;
/// A drawing that fits as well as this at the exercise's own scale is held against no other.
const GOOD: f64 = 0.93;
/// A scale nearer to the exercise's own than this is its own.
pub(crate) const OWN: f64 = 0.03;
/// Scales that can be told, against the exercise's own.
const SCALES: (f64, f64) = (0.05, 40.0);

/// How a drawing lies over the key of one corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pose {
    /// Which of the keys.
    pub view: usize,
    /// Left and right are swapped.
    pub mirrored: bool,
    /// Paper of the drawing over paper of the key.
    pub scale: f64,
    /// Added to a point of the key, mm of the key's paper.
    pub shift: Vec2,
    /// Share of the key that is found.
    pub found: f64,
    /// Share of the ink that lies on the key.
    pub used: f64,
    /// How well it fits, letters and all.
    pub score: f64,
}

impl Pose {
    /// A point of the key on the drawing.
    pub fn to_paper(self, at: Point) -> Point {
        let at = at + self.shift;
        Point::new(self.turn(at.x) * self.scale, at.y * self.scale)
    }
    /// A point of the drawing on the key.
    pub fn to_key(self, at: Point) -> Point {
        Point::new(self.turn(at.x) / self.scale, at.y / self.scale) - self.shift
    }
    fn turn(self, x: f64) -> f64 {
        if self.mirrored { -x } else { x }
    }
}

/// What is known of a drawing before it is laid over a key.
pub(crate) struct Search<'a> {
    /// The keys from the corners.
    pub keys: &'a [Key],
    /// The grid's pitch, mm.
    pub pitch: f64,
    /// What a free hand may do.
    pub tolerance: &'a Tolerance,
    /// For each key and fixture: its place, and which of the letters may tell it.
    pub fixtures: &'a [Vec<(Point, Vec<usize>)>],
    /// Where letters stand.
    pub letters: &'a [Point],
}

/// A key as the search needs it.
struct Seen {
    samples: Vec<(Point, Vec2)>,
    pieces: Vec<Piece>,
    voters: Vec<Point>,
    lines: Vec<Piece>,
}

impl Search<'_> {
    /// The best pose for each key, as it is and mirrored, at the exercise's scale and, where none of those is good, at another;
    /// none where there is no ink or nothing to be found.
    pub fn poses(&self, strokes: &[Vec<Point>]) -> Vec<Pose> {
        let seen: Vec<Seen> = self.keys.iter().map(|key| self.seen(key)).collect();
        let guess = self.guess(strokes);
        let Some(guess) = guess else {
            return Vec::new();
        };
        let ink = Ink::of(strokes, self.pitch * guess, self.tolerance);
        let lines = ink.lines(self.pitch * guess, self.tolerance);
        let mut voters: Vec<Point> = Vec::new();
        for line in lines.iter().take(VOTERS / 2) {
            voters.extend([line.from, line.to]);
        }
        let stride = (ink.dots.len() / 400).max(1);
        let drawn = Drawn {
            ink,
            lines,
            voters,
            stride,
        };
        let mut all: Vec<Pose> =
            self.each(|view, mirrored| self.best(&seen[view], &drawn, view, mirrored, &[1.0]));
        if all.iter().all(|pose| pose.score < GOOD) {
            // Its own scale is what the exercise asks for: others stand beside it, and have to explain more.
            all.extend(self.each(|view, mirrored| {
                let mut scales = scales(
                    &seen[view].lines,
                    &drawn.lines,
                    mirrored,
                    self.pitch * guess,
                );
                scales.push(guess);
                scales.retain(|scale| (scale - 1.0).abs() > OWN);
                self.best(&seen[view], &drawn, view, mirrored, &scales)
            }));
        }
        all
    }

    fn each(&self, pose: impl Fn(usize, bool) -> Option<Pose>) -> Vec<Pose> {
        let views = 0..self.keys.len();
        views
            .flat_map(|view| [pose(view, false), pose(view, true)])
            .flatten()
            .collect()
    }

    fn seen(&self, key: &Key) -> Seen {
        let mut samples = Vec::new();
        let mut pieces = Vec::new();
        for line in &key.lines {
            let (from, to) = key.ends(line);
            let length = from.distance(to);
            if length < 1e-6 {
                continue;
            }
            let count = (length / (0.5 * self.pitch)).ceil().clamp(1.0, 200.0);
            for place in 0..count as usize {
                let at = from.lerp(to, (place as f64 + 0.5) / count);
                samples.push((at, unit(to - from)));
            }
            pieces.push(Piece {
                from,
                to,
                stroke: 0,
            });
        }
        let stride = key.at.len().div_ceil(VOTERS).max(1);
        Seen {
            samples,
            lines: in_line(pieces.clone(), self.pitch, self.tolerance),
            pieces,
            voters: key.at.iter().copied().step_by(stride).collect(),
        }
    }

    /// About how large the drawing is against the key: 1 where it is near it.
    fn guess(&self, strokes: &[Vec<Point>]) -> Option<f64> {
        let all = bounds(strokes.iter().flatten())?;
        let keys = self.keys.iter().filter_map(|key| bounds(&key.at));
        let key = keys
            .map(|key| key.width().hypot(key.height()))
            .fold(0.0, f64::max);
        let ratio = all.width().hypot(all.height()) / key;
        if !ratio.is_finite() || ratio == 0.0 {
            return None;
        }
        let near = (0.6..1.7).contains(&ratio);
        Some(if near {
            1.0
        } else {
            ratio.clamp(SCALES.0, SCALES.1)
        })
    }

    fn best(
        &self,
        seen: &Seen,
        drawn: &Drawn,
        view: usize,
        mirrored: bool,
        scales: &[f64],
    ) -> Option<Pose> {
        let mut best: Option<Pose> = None;
        for &scale in scales {
            for shift in self.shifts(seen, drawn, mirrored, scale) {
                let pose = Pose {
                    view,
                    mirrored,
                    scale,
                    shift,
                    found: 0.0,
                    used: 0.0,
                    score: 0.0,
                };
                let pose = self.scored(pose, seen, drawn);
                let finer = fitted(pose, seen, drawn, self.pitch);
                let own = |scale: f64| (scale - 1.0).abs() <= OWN;
                let finer = self.scored(finer, seen, drawn);
                let better = finer.score > pose.score + 1e-3 && own(finer.scale) == own(scale);
                let pose = if better { finer } else { pose };
                if best.is_none_or(|best| pose.score > best.score) {
                    best = Some(pose);
                }
            }
        }
        best
    }

    /// Where most ends of ink lines fall on nodes of the key.
    fn shifts(&self, seen: &Seen, drawn: &Drawn, mirrored: bool, scale: f64) -> Vec<Vec2> {
        let pose = Pose {
            view: 0,
            mirrored,
            scale,
            shift: Vec2::ZERO,
            found: 0.0,
            used: 0.0,
            score: 0.0,
        };
        let ends: Vec<Point> = drawn.voters.iter().map(|at| pose.to_key(*at)).collect();
        let cell = 0.5 * self.pitch;
        let (Some(of), Some(key)) = (bounds(&ends), bounds(&seen.voters)) else {
            return Vec::new();
        };
        let low = Vec2::new(of.x0 - key.x1, of.y0 - key.y1);
        let across = ((of.width() + key.width()) / cell) as usize + 2;
        let down = ((of.height() + key.height()) / cell) as usize + 2;
        if across.saturating_mul(down) > CELLS {
            return Vec::new();
        }
        let mut votes = vec![0_u16; across * down];
        for end in &ends {
            for node in &seen.voters {
                let at = (*end - *node - low) / cell;
                let place = at.y as usize * across + at.x as usize;
                votes[place] = votes[place].saturating_add(1);
            }
        }
        // A heap of votes may lie over four cells.
        let mut heaps: Vec<(u16, usize)> = Vec::new();
        for y in 0..down - 1 {
            for x in 0..across - 1 {
                let at = y * across + x;
                let sum = votes[at] + votes[at + 1] + votes[at + across] + votes[at + across + 1];
                let least = heaps.last().map_or(0, |heap| heap.0);
                if sum > 0 && (heaps.len() < 12 || sum > least) {
                    let place = heaps.partition_point(|heap| heap.0 >= sum);
                    heaps.insert(place, (sum, at));
                    heaps.truncate(12);
                }
            }
        }
        let mut out: Vec<Vec2> = Vec::new();
        for (_, at) in heaps {
            let middle = Vec2::new((at % across + 1) as f64, (at / across + 1) as f64) * cell + low;
            let near: Vec<Vec2> = ends
                .iter()
                .flat_map(|end| seen.voters.iter().map(move |node| *end - *node))
                .filter(|shift| (*shift - middle).hypot() < cell)
                .collect();
            if near.is_empty() {
                continue;
            }
            let mean = near.iter().fold(Vec2::ZERO, |sum, shift| sum + *shift) / near.len() as f64;
            if out
                .iter()
                .all(|other| (*other - mean).hypot() > 0.3 * self.pitch)
            {
                out.push(mean);
            }
            if out.len() == 4 {
                break;
            }
        }
        out
    }

    fn scored(&self, mut pose: Pose, seen: &Seen, drawn: &Drawn) -> Pose {
        let near = self.tolerance.distance * self.pitch;
        let cross = self.tolerance.cross();
        let hit = |(at, way): &&(Point, Vec2)| {
            let way = Vec2::new(pose.turn(way.x), way.y);
            drawn.ink.passes(pose.to_paper(*at), way, near * pose.scale)
        };
        pose.found = share(seen.samples.iter().filter(hit).count(), seen.samples.len());
        let dots = || drawn.ink.dots.iter().step_by(drawn.stride);
        let on_key = |dot: &&super::ink::Dot| {
            let at = pose.to_key(dot.at);
            let way = Vec2::new(pose.turn(dot.way.x), dot.way.y);
            seen.pieces.iter().any(|piece| {
                let along = unit(piece.to - piece.from);
                let far = at - piece.from;
                along.cross(way).abs() <= cross
                    && along.cross(far).abs() <= near
                    && (-near..=piece.length() + near).contains(&along.dot(far))
            })
        };
        pose.used = share(dots().filter(on_key).count(), dots().count());
        pose.score = f64::midpoint(pose.found, pose.used);
        let fixtures = &self.fixtures[pose.view];
        if !fixtures.is_empty() {
            let reach = self.tolerance.letters * self.pitch * pose.scale;
            let told = |(at, letters): &&(Point, Vec<usize>)| {
                let at = pose.to_paper(*at);
                letters
                    .iter()
                    .any(|ix| self.letters[*ix].distance(at) <= reach)
            };
            let told = share(fixtures.iter().filter(told).count(), fixtures.len());
            pose.score = 0.9 * pose.score + 0.1 * told;
        }
        pose
    }
}

/// A drawing as the search needs it.
struct Drawn {
    ink: Ink,
    lines: Vec<Piece>,
    voters: Vec<Point>,
    stride: usize,
}

/// The pose that fits the ends of lines best that already lie near each other: least squares of scale and place.
fn fitted(pose: Pose, seen: &Seen, drawn: &Drawn, pitch: f64) -> Pose {
    let bare = Pose {
        scale: 1.0,
        shift: Vec2::ZERO,
        ..pose
    };
    let mut pose = pose;
    for _ in 0..2 {
        let mut pairs: Vec<(Vec2, Vec2)> = Vec::new();
        for node in &seen.voters {
            let there = pose.to_paper(*node);
            let far = |at: &Point| at.distance_squared(there);
            let nearest = drawn
                .voters
                .iter()
                .min_by(|one, other| far(one).total_cmp(&far(other)));
            if let Some(end) = nearest.filter(|end| far(end).sqrt() < 0.5 * pitch * pose.scale) {
                pairs.push((node.to_vec2(), bare.to_key(*end).to_vec2()));
            }
        }
        let count = pairs.len() as f64;
        let mean = |of: fn(&(Vec2, Vec2)) -> Vec2| {
            pairs.iter().map(of).fold(Vec2::ZERO, |sum, at| sum + at) / count
        };
        let (key, paper) = (mean(|pair| pair.0), mean(|pair| pair.1));
        let spread: f64 = pairs.iter().map(|pair| (pair.0 - key).hypot2()).sum();
        if pairs.len() < 3 || spread < pitch * pitch {
            break;
        }
        let along: f64 = pairs
            .iter()
            .map(|pair| (pair.0 - key).dot(pair.1 - paper))
            .sum();
        let scale = along / spread;
        if !(SCALES.0..SCALES.1).contains(&scale) {
            break;
        }
        pose.scale = scale;
        pose.shift = paper / scale - key;
    }
    pose
}

/// Scales at which the longest lines of a drawing would be the longest of the key that go the same way, the best first.
fn scales(key: &[Piece], drawn: &[Piece], mirrored: bool, pitch: f64) -> Vec<f64> {
    const STEPS: f64 = 50.0;
    let mut votes: Vec<(i64, f64)> = Vec::new();
    for line in drawn
        .iter()
        .take(24)
        .filter(|line| line.length() > 1.5 * pitch)
    {
        let way = line.way();
        let way = Vec2::new(if mirrored { -way.x } else { way.x }, way.y);
        for other in key.iter().take(24).filter(|other| other.length() > 0.0) {
            let ratio = line.length() / other.length();
            if way.cross(other.way()).abs() < 0.1 && (SCALES.0..SCALES.1).contains(&ratio) {
                votes.push(((ratio.ln() * STEPS).round() as i64, ratio.ln()));
            }
        }
    }
    let mut heaps: Vec<(usize, f64)> = Vec::new();
    for (bin, _) in &votes {
        let near: Vec<f64> = votes
            .iter()
            .filter(|vote| (vote.0 - bin).abs() <= 1)
            .map(|vote| vote.1)
            .collect();
        let mean = (near.iter().sum::<f64>() / near.len() as f64).exp();
        if heaps.iter().all(|heap| (heap.1 / mean - 1.0).abs() > 0.01) {
            heaps.push((near.len(), mean));
        }
    }
    heaps.sort_by(|one, other| other.0.cmp(&one.0).then(one.1.total_cmp(&other.1)));
    heaps.into_iter().take(4).map(|heap| heap.1).collect()
}

fn share(part: usize, of: usize) -> f64 {
    if of == 0 {
        0.0
    } else {
        part as f64 / of as f64
    }
}

/// The rectangle round points; none where there are none.
pub(crate) fn bounds<'a>(points: impl IntoIterator<Item = &'a Point>) -> Option<kurbo::Rect> {
    let mut points = points.into_iter();
    let first = kurbo::Rect::from_points(*points.next()?, points.next().copied()?);
    Some(points.fold(first, |all, at| all.union_pt(*at)))
}
