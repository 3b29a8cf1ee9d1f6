//! Parallel lines that make the same offset together: how much later each next one has to turn so that they stay
//! as far apart on the slant. Shift = spacing x tan(A/2); the outer line turns later, and is shorter after the offset by as much.

use std::collections::HashMap;

use glam::DVec3;
use wyeline_network::Network;

use super::{NOTHING, Offset, apart, same, spread};

/// Lines farther apart than this, mm, are not laid as one bank: 24 in, our own choice.
const BANK_MM: f64 = 609.6;
/// Sets that differ by less than this, mm, are one: 1/16 in, what a rule is read to.
const ALIKE_MM: f64 = 1.5875;
/// Angles that differ by less than this, degrees, are one: far below what a fitting gives.
const ALIKE_DEG: f64 = 0.05;

/// Lines side by side with the same offset.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// Angle of the fittings, degrees.
    pub angle: f64,
    /// The lines, two or more, from the one that turns first (the inner one) outwards.
    pub lines: Vec<Line>,
}

/// A line of a spread, measured against the one before it; of the first, everything is 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its offset, by its place in the list given.
    pub offset: usize,
    /// Between the centre lines, in the plane of the offset, mm.
    pub spacing_mm: f64,
    /// Between the planes of the two offsets, mm: that needs no shift.
    pub plane_mm: f64,
    /// How much later it has to turn, seen along the flow of the first of them in the list given, mm: by so much is its leg before the offset longer.
    pub shift_mm: f64,
    /// How much later it turns as the job tells it, mm.
    pub told_mm: f64,
}

/// An offset as a shape: which way its line goes, which way it jumps, where its bends are.
#[derive(Clone, Copy)]
struct Form {
    line: DVec3,
    jump: DVec3,
    ends: [DVec3; 2],
}

impl Form {
    fn of(network: &Network, offset: &Offset) -> Self {
        let ends = offset.ends.map(|node| network.node(node).drawn());
        let way = ends[1] - ends[0];
        // The leg before the first bend: its line is the slant turned back by the angle, in the plane of both.
        let leg = super::leg(network, offset.ends[0], offset.pipes[0]);
        let line = -leg.unwrap_or(DVec3::ZERO);
        let (jump, _) = apart(way, line);
        Self {
            line,
            jump: jump.normalize_or_zero(),
            ends,
        }
    }
    fn middle(&self) -> DVec3 {
        (self.ends[0] + self.ends[1]) / 2.0
    }
    /// The same, seen along another's flow; nothing where it has another direction.
    fn along(self, other: &Self) -> Option<Self> {
        let turned = Self {
            line: -self.line,
            jump: -self.jump,
            ends: [self.ends[1], self.ends[0]],
        };
        [self, turned]
            .into_iter()
            .find(|one| same(one.line, other.line) && same(one.jump, other.jump))
    }
    /// Where its first bend is against another's: along the jump, across the plane, along the line.
    fn place(&self, first: &Self) -> (f64, f64, f64) {
        let from = self.ends[0] - first.ends[0];
        let across = first.line.cross(first.jump);
        (from.dot(first.jump), from.dot(across), from.dot(first.line))
    }
}

/// Returns the sets of parallel lines among offsets: same angle, same set, side by side, of whatever system.
///
/// * `offsets`: those of the network, as [`super::offsets`] gives them
///
/// The cost grows with the offsets.
pub fn spreads(network: &Network, offsets: &[Offset]) -> Vec<Spread> {
    let forms: Vec<Form> = offsets
        .iter()
        .map(|offset| Form::of(network, offset))
        .collect();
    let cell = |at: DVec3| (at / BANK_MM).floor().to_array().map(|side| side as i64);
    let mut cells: HashMap<[i64; 3], Vec<usize>> = HashMap::new();
    for (ix, form) in forms.iter().enumerate() {
        cells.entry(cell(form.middle())).or_default().push(ix);
    }
    let near = |ix: usize| {
        let [x, y, z] = cell(forms[ix].middle());
        let cells = &cells;
        (-1..=1).flat_map(move |dx| {
            (-1..=1).flat_map(move |dy| {
                (-1..=1)
                    .flat_map(move |dz| cells.get(&[x + dx, y + dy, z + dz]).into_iter().flatten())
            })
        })
    };
    let mut seen = vec![false; offsets.len()];
    let mut all = Vec::new();
    for start in 0..offsets.len() {
        if std::mem::replace(&mut seen[start], true) {
            continue;
        }
        let mut bank = vec![start];
        let mut next = 0;
        while let Some(&ix) = bank.get(next) {
            next += 1;
            for &other in near(ix) {
                if !seen[other]
                    && beside((&offsets[ix], &forms[ix]), (&offsets[other], &forms[other]))
                {
                    seen[other] = true;
                    bank.push(other);
                }
            }
        }
        if bank.len() > 1 {
            all.push(bank_of(offsets[start].angle, &forms, bank));
        }
    }
    all
}

/// Whether two lines make the same offset side by side, not one after the other.
fn beside((a, form): (&Offset, &Form), (b, other): (&Offset, &Form)) -> bool {
    let alike = (a.angle - b.angle).abs() < ALIKE_DEG && (a.set_mm - b.set_mm).abs() < ALIKE_MM;
    let near = form.middle().distance(other.middle()) <= BANK_MM;
    let Some(other) = other.along(form).filter(|_| alike && near) else {
        return false;
    };
    let (inwards, across, later) = other.place(form);
    let apart = inwards.hypot(across) > NOTHING;
    apart && (later + spread(inwards, a.angle)).abs() < a.run_mm
}

/// The lines of a bank, the inner first.
fn bank_of(angle: f64, forms: &[Form], bank: Vec<usize>) -> Spread {
    let first = forms[bank[0]];
    let mut placed: Vec<(usize, (f64, f64, f64))> = bank
        .into_iter()
        .filter_map(|ix| Some((ix, forms[ix].along(&first)?.place(&first))))
        .collect();
    // To the thousandth of a millimetre, so that lines of one plane keep their order however they were summed.
    let key = |at: f64| (at / NOTHING).round() as i64;
    placed.sort_by_key(|(ix, (inwards, across, _))| (-key(*inwards), key(*across), *ix));
    let mut before = placed[0].1;
    let lines = placed
        .into_iter()
        .map(|(offset, at)| {
            let spacing_mm = before.0 - at.0;
            let line = Line {
                offset,
                spacing_mm,
                plane_mm: (at.1 - before.1).abs(),
                shift_mm: spread(spacing_mm, angle),
                told_mm: at.2 - before.2,
            };
            before = at;
            line
        })
        .collect();
    Spread { angle, lines }
}
