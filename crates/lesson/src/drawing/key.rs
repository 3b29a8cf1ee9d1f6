//! The perfect answer to an exercise, drawn with what a learner has: pencil and letters.

use glam::DVec3;
use kurbo::{Point, Rect, Vec2};
use wyeline_draw::Corner;
use wyeline_job::model::System;
use wyeline_units::Scale;

use super::{Drawing, Letters};
use crate::figure::{Figure, Spot, What};
use crate::mark::key::{Key, KeyLine};
use crate::mark::letter::{crosses, taken};

/// Dashes and the gaps between them, in pitches.
const DASH: f64 = 0.5;
const GAP: f64 = 0.25;
/// Legs of an arrow in pitches, and the angle each stands off the pipe: our own choice.
const LEG: f64 = 0.5;
const SPREAD: f64 = 30.0;
/// Half the width of a trap's hook, in pitches.
const HOOK: f64 = 0.25;
/// Height of letters, mm: 1/8 in, the usual height of hand lettering; where the drawing is crowded, the least that is read on a copy.
const HEIGHTS: [f64; 2] = [3.2, 2.4];
/// Margin round the drawing, mm.
const MARGIN: f64 = 10.0;

impl Drawing {
    /// The perfect answer: a figure as seen from a corner, at a scale, on a grid of a pitch in mm along the axes.
    ///
    /// Pipes and seen edges are strokes, vents and hidden edges dashes; arrows two-legged strokes, traps hooks. Letters stand where nothing runs, as
    /// near to what they tell as that allows.
    pub fn of_key(figure: &Figure, corner: Corner, scale: Scale, pitch_mm: f64) -> Self {
        let key = Key::of(figure, corner, scale);
        let mut pencil = Pencil {
            key: &key,
            pitch: pitch_mm,
            strokes: Vec::new(),
            letters: Vec::new(),
        };
        for line in &key.lines {
            pencil.line(line);
        }
        for spot in &figure.spots {
            match &spot.what {
                What::Trap { .. } => pencil.trap(spot),
                What::Flow { along } => pencil.arrow(spot, *along),
                What::Fixture { .. } | What::Letters { .. } => {}
            }
        }
        for spot in &figure.spots {
            match &spot.what {
                What::Fixture { letters, .. } => {
                    let shared = |other: &Spot| matches!(&other.what, What::Fixture { letters: all, .. } if all.first() == letters.first());
                    let alone = figure.spots.iter().filter(|other| shared(other)).count() == 1;
                    let text = if alone {
                        letters.first()
                    } else {
                        letters.last()
                    };
                    pencil.beside(&[key.projection.point(spot.at)], text, None);
                }
                What::Letters { letters, .. } => {
                    let system = water_at(figure, spot.at);
                    let along = pencil.places(spot, system);
                    pencil.beside(&along, letters.first(), system);
                }
                What::Trap { .. } | What::Flow { .. } => {}
            }
        }
        pencil.drawing(corner)
    }
}

struct Pencil<'a> {
    key: &'a Key,
    pitch: f64,
    strokes: Vec<Vec<Point>>,
    letters: Vec<Letters>,
}

impl Pencil<'_> {
    fn line(&mut self, line: &KeyLine) {
        let (from, to) = self.key.ends(line);
        let length = from.distance(to);
        if !line.dashed() {
            self.strokes.push(vec![from, to]);
            return;
        }
        // Dashes end at both ends, so that corners are told: n dashes and n - 1 gaps.
        let (dash, gap) = (DASH * self.pitch, GAP * self.pitch);
        let count = (((length + gap) / (dash + gap)).round()).max(1.0);
        let stretch = length / (count * dash + (count - 1.0) * gap);
        for place in 0..count as usize {
            let at = place as f64 * (dash + gap) * stretch;
            let point = |at: f64| from.lerp(to, (at / length).min(1.0));
            self.strokes
                .push(vec![point(at), point(at + dash * stretch)]);
        }
    }

    fn trap(&mut self, spot: &Spot) {
        let at = self.key.projection.point(spot.at);
        let half = HOOK * self.pitch;
        let mut hook = vec![at + Vec2::new(-half, 0.0)];
        for step in 0..=8 {
            let angle = std::f64::consts::PI * f64::from(step) / 8.0;
            hook.push(at + Vec2::new(-half * angle.cos(), half + half * angle.sin()));
        }
        hook.push(at + Vec2::new(half, 0.0));
        self.strokes.push(hook);
    }

    fn arrow(&mut self, spot: &Spot, along: DVec3) {
        let at = self.key.projection.point(spot.at);
        let Some(node) = self.key.node_at(spot.at) else {
            return;
        };
        let out = self.key.lines.iter().filter(|line| line.a == node);
        let space = |line: &KeyLine| (self.key.nodes[line.b] - self.key.nodes[line.a]).normalize();
        let same = |line: &&KeyLine| space(line).dot(along);
        let Some(line) = out.max_by(|one, other| same(one).total_cmp(&same(other))) else {
            return;
        };
        let end = self.key.at[line.b];
        let length = at.distance(end);
        let way = if length > 0.0 {
            (end - at) / length
        } else {
            return;
        };
        let tip = at + way * (0.6 * length).min(1.5 * self.pitch);
        let leg = |side: f64| {
            let turn = kurbo::Affine::rotate((180.0 + side * SPREAD).to_radians());
            tip + (turn * way.to_point()).to_vec2() * LEG * self.pitch
        };
        self.strokes.push(vec![leg(1.0), tip, leg(-1.0)]);
    }

    /// Places that a label may stand by: all along its system's pipes, the longest first, or the spot itself.
    fn places(&self, spot: &Spot, system: Option<System>) -> Vec<Point> {
        let Some(system) = system else {
            return vec![self.key.projection.point(spot.at)];
        };
        let own = self
            .key
            .lines
            .iter()
            .filter(|line| line.role.system() == Some(system));
        let mut ends: Vec<(Point, Point)> = own.map(|line| self.key.ends(line)).collect();
        ends.sort_by(|one, other| other.0.distance(other.1).total_cmp(&one.0.distance(one.1)));
        let shares = [0.5, 0.3, 0.7, 0.1, 0.9];
        ends.iter()
            .flat_map(|(from, to)| shares.map(|share| from.lerp(*to, share)))
            .collect()
    }

    /// Sets letters beside the first of several places where they find room; nearer to a pipe of `system`, where that is told, than to others.
    fn beside(&mut self, places: &[Point], text: Option<&String>, system: Option<System>) {
        let Some(text) = text else {
            return;
        };
        let mut best: Option<(f64, Letters)> = None;
        for height in HEIGHTS {
            for place in places {
                for step in 0..320 {
                    // Sixteen directions, ever farther out.
                    let angle = f64::from(step % 16) * std::f64::consts::PI / 8.0;
                    let far = (0.7 + 0.16 * f64::from(step / 16)) * self.pitch.max(height);
                    let letters = Letters {
                        at: [place.x + far * angle.cos(), place.y + far * angle.sin()],
                        text: text.clone(),
                        height,
                    };
                    let cost = self.trouble(&letters, system);
                    if best.as_ref().is_none_or(|best| cost < best.0) {
                        best = Some((cost, letters));
                    }
                    if cost == 0.0 {
                        break;
                    }
                }
                if best.as_ref().is_some_and(|best| best.0 == 0.0) {
                    break;
                }
            }
            if best.as_ref().is_some_and(|best| best.0 == 0.0) {
                break;
            }
        }
        self.letters.extend(best.map(|best| best.1));
    }

    /// What speaks against a place: lines and letters that it covers, another system's pipe that is nearer.
    fn trouble(&self, letters: &Letters, system: Option<System>) -> f64 {
        let room: Rect = taken(letters).inflate(0.4, 0.4);
        let lines = self.strokes.iter().flat_map(|stroke| stroke.windows(2));
        let mut cost = lines.filter(|pair| crosses(room, pair[0], pair[1])).count() as f64;
        let over = |other: &&Letters| {
            let both = room.intersect(taken(other));
            both.width() > 0.0 && both.height() > 0.0
        };
        cost += self.letters.iter().filter(over).count() as f64;
        if let Some(system) = system {
            let at = Point::new(letters.at[0], letters.at[1]);
            let far = |own: bool| {
                let lines = self
                    .key
                    .lines
                    .iter()
                    .filter(|line| (line.role.system() == Some(system)) == own);
                let lines = lines.filter(|line| {
                    !matches!(line.role.system(), Some(System::Waste | System::Vent))
                });
                lines
                    .map(|line| {
                        let (from, to) = self.key.ends(line);
                        kurbo::ParamCurveNearest::nearest(&kurbo::Line::new(from, to), at, 1e-9)
                            .distance_sq
                            .sqrt()
                    })
                    .fold(f64::INFINITY, f64::min)
            };
            if far(true) + 0.2 * self.pitch > far(false) {
                cost += 10.0;
            }
        }
        cost
    }

    fn drawing(self, corner: Corner) -> Drawing {
        let all = self.strokes.iter().flatten().copied();
        let boxes = self.letters.iter().map(taken);
        let corners = boxes.flat_map(|room| [room.origin(), Point::new(room.x1, room.y1)]);
        let low = all
            .chain(corners)
            .fold(Point::new(f64::MAX, f64::MAX), |low, at| {
                Point::new(low.x.min(at.x), low.y.min(at.y))
            });
        let shift = Vec2::new(MARGIN, MARGIN) - low.to_vec2();
        let moved = |at: &Point| [at.x + shift.x, at.y + shift.y];
        Drawing {
            corner: Some(corner.word().to_owned()),
            strokes: self
                .strokes
                .iter()
                .map(|stroke| stroke.iter().map(moved).collect())
                .collect(),
            letters: self
                .letters
                .iter()
                .map(|letters| Letters {
                    at: moved(&Point::new(letters.at[0], letters.at[1])),
                    ..letters.clone()
                })
                .collect(),
            ..Drawing::default()
        }
    }
}

/// The system of the water or gas pipe that a label speaks of.
fn water_at(figure: &Figure, at: DVec3) -> Option<System> {
    let middle = |line: &&crate::figure::Line| line.from.midpoint(line.to).distance(at) < 1.0;
    let system = figure.lines.iter().find(middle)?.role.system()?;
    (!matches!(system, System::Waste | System::Vent)).then_some(system)
}
