//! A place where a block may stand, with what it costs in clearness.

use kurbo::{Point, Rect};

use super::block::Align;
use super::shape::Oblong;

/// One place for a block.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    pub area: Oblong,
    pub layout: u8,
    pub align: Align,
    pub leader: Option<(Point, Point)>,
    pub cost: f64,
}

impl Candidate {
    /// The leader as a thin box.
    pub fn leader_shape(&self) -> Option<Oblong> {
        self.leader
            .map(|(a, b)| Oblong::of_stroke(a, b, LEADER_HALF))
    }

    /// The rectangle that area and leader lie in.
    pub fn bounds(&self) -> Rect {
        let area = self.area.bounds();
        self.leader_shape().map_or(area, |l| area.union(l.bounds()))
    }

    /// Whether it and another cannot both stand.
    pub fn clashes(&self, other: &Self) -> bool {
        if self.area.touches(&other.area) {
            return true;
        }
        let (a, b) = (self.leader_shape(), other.leader_shape());
        a.is_some_and(|a| a.touches(&other.area))
            || b.is_some_and(|b| b.touches(&self.area))
            || a.zip(b).is_some_and(|(a, b)| a.touches(&b))
    }
}

/// Half of a leader's line width and the white beside it, mm.
pub(super) const LEADER_HALF: f64 = 0.25;
/// Between a leader's end and what it points at, mm.
pub(super) const LEADER_CLEAR: f64 = 0.15;
