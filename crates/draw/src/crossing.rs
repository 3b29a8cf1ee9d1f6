//! Breaks: where two pipes cross on paper without meeting, the one behind is interrupted.
//!
//! Which is behind is decided by the depth where the true lines cross, never by the order of drawing: a
//! sloped run drawn at the height of its lower end is still above what it truly passes over. The gap leaves the same clear distance to the line in front whatever the angle (about 2 mm each
//! side: a textbook teaching ISO 6412-1).

use kurbo::{Point, Vec2};
use wyeline_network::model::Network;

use crate::grid::Grid;
use crate::lines::PipeLine;
use crate::style;

/// Lines at less than this sine of an angle (3.4 degrees) count as side by side, not as crossing.
pub(crate) const PARALLEL: f64 = 0.06;
/// Two centre lines this near along the line of sight meet: the job has them touch, mm of depth.
const MEET: f64 = 0.5;
/// How far beyond its end the ink of another line still touches, mm.
const TOUCH: f64 = 1.0;

/// One pipe passing in front of another, on paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Crossing {
    /// Index of the line in front.
    pub(crate) front: usize,
    /// Index of the line behind.
    pub(crate) behind: usize,
    /// Where on the line behind, mm from its upstream end.
    pub(crate) along: f64,
    /// Sine of the angle between the two on paper.
    pub(crate) sine: f64,
}

/// All crossings of lines whose ends on paper are `paper`, ordered by the two lines.
pub(crate) fn crossings(lines: &[PipeLine], paper: &[[Point; 2]]) -> Vec<Crossing> {
    let grid = Grid::new(paper.iter().map(|l| (l[0], l[1])), TOUCH);
    let segments: Vec<Segment> = paper.iter().map(|p| Segment::new(*p)).collect();
    let mut found: Vec<(u64, Crossing)> = Vec::with_capacity(lines.len());
    for (cell, entries) in grid.crowded() {
        for (k, &(_, i)) in entries.iter().enumerate() {
            let a = &segments[i as usize];
            for &(_, j) in &entries[k + 1..] {
                let b = &segments[j as usize];
                // Each pair is looked at in the cell of its crossing only.
                if let Some(meeting) = a.meets(b)
                    && grid.cell_at(meeting.at) == cell
                    && let Some(c) = crossing(lines, i as usize, j as usize, &meeting, [a, b])
                {
                    found.push((u64::from(i) << 32 | u64::from(j), c));
                }
            }
        }
    }
    found.sort_unstable_by_key(|f| f.0);
    found.into_iter().map(|f| f.1).collect()
}

/// A line on paper with what every test of it needs.
struct Segment {
    start: Point,
    way: Vec2,
    length: f64,
    /// How far another's ink may reach beyond its ends, as a fraction of the length.
    over: f64,
}

/// Where two lines cross: place, fractions along both, sine of the angle.
struct Meeting {
    at: Point,
    s: f64,
    t: f64,
    sine: f64,
}

impl Segment {
    fn new(paper: [Point; 2]) -> Self {
        let way = paper[1] - paper[0];
        let length = way.hypot();
        Self {
            start: paper[0],
            way,
            length,
            over: TOUCH / length.max(1e-9),
        }
    }

    /// Where it crosses another, ends and what is just beyond them included.
    fn meets(&self, other: &Self) -> Option<Meeting> {
        let area = self.way.cross(other.way);
        let square = self.length * other.length;
        if area.abs() <= PARALLEL * square {
            return None;
        }
        let w = other.start - self.start;
        let (s, t) = (w.cross(other.way) / area, w.cross(self.way) / area);
        let inside = |x: f64, over: f64| -over <= x && x <= 1.0 + over;
        if !inside(s, self.over) || !inside(t, other.over) {
            return None;
        }
        let at = self.start + self.way * s.clamp(0.0, 1.0);
        Some(Meeting {
            at,
            s,
            t,
            sine: area.abs() / square,
        })
    }
}

/// Which of two lines is in front where they meet on paper; nothing where they join, or meet in space.
fn crossing(
    lines: &[PipeLine],
    i: usize,
    j: usize,
    meeting: &Meeting,
    [a, b]: [&Segment; 2],
) -> Option<Crossing> {
    let Meeting { s, t, sine, .. } = *meeting;
    // Mere ink counts: a line that stops short of another by half that one's width seems to join it.
    let touches = |x: f64, length: f64, half: f64| {
        let over = (half / sine).min(TOUCH) / length;
        -over <= x && x <= 1.0 + over
    };
    if !touches(s, a.length, lines[j].half)
        || !touches(t, b.length, lines[i].half)
        || lines[i].joins(&lines[j])
    {
        return None;
    }
    let (s, t) = (s.clamp(0.0, 1.0), t.clamp(0.0, 1.0));
    let nearer = truly_nearer(&lines[i], &lines[j])
        .unwrap_or_else(|| between(lines[j].depth, t) - between(lines[i].depth, s));
    if nearer.abs() < MEET {
        None
    } else if nearer > 0.0 {
        Some(Crossing {
            front: i,
            behind: j,
            along: t * b.length,
            sine,
        })
    } else {
        Some(Crossing {
            front: j,
            behind: i,
            along: s * a.length,
            sine,
        })
    }
}

fn between(ends: [f64; 2], t: f64) -> f64 {
    ends[0] + (ends[1] - ends[0]) * t
}

/// By how much `a` is nearer than `b` where they would cross on paper if drawn as they lie; nothing where
/// both are drawn so anyway, or would not cross.
fn truly_nearer(a: &PipeLine, b: &PipeLine) -> Option<f64> {
    if a.truly.is_none() && b.truly.is_none() {
        return None;
    }
    let lies = |l: &PipeLine| l.truly.unwrap_or((l.paper, l.depth));
    let ((paper_a, depth_a), (paper_b, depth_b)) = (lies(a), lies(b));
    let m = Segment::new(paper_a).meets(&Segment::new(paper_b))?;
    let crosses = (0.0..=1.0).contains(&m.s) && (0.0..=1.0).contains(&m.t);
    crosses.then(|| between(depth_b, m.t) - between(depth_a, m.s))
}

/// The gaps in every line: from and to, mm from its upstream end, ascending and apart.
pub(crate) fn breaks(
    network: &Network,
    lines: &[PipeLine],
    paper: &[[Point; 2]],
    crossings: &[Crossing],
) -> Vec<Vec<(f64, f64)>> {
    let mut gaps = vec![Vec::new(); lines.len()];
    let mut line_of = vec![u32::MAX; network.pipes.len()];
    for (i, l) in lines.iter().enumerate() {
        line_of[l.pipe.0 as usize] = i as u32;
    }
    for c in crossings {
        let clear = style::sizes().crossing_gap + lines[c.front].half;
        let reach = clear / c.sine;
        gaps[c.behind].push((c.along - reach, c.along + reach));
        let length = paper[c.behind][0].distance(paper[c.behind][1]);
        for (end, rest) in [(0, c.along), (1, length - c.along)] {
            if rest < reach {
                spill(network, lines, paper, &line_of, c, end, &mut gaps);
            }
        }
    }
    for (gap, p) in gaps.iter_mut().zip(paper) {
        let length = p[0].distance(p[1]);
        gap.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        let mut apart: Vec<(f64, f64)> = Vec::with_capacity(gap.len());
        for &(from, to) in gap.iter() {
            let (from, to) = (from.max(0.0), to.min(length));
            match apart.last_mut() {
                // A speck of line between two gaps says nothing.
                Some(last) if from - last.1 < SPECK => last.1 = last.1.max(to),
                _ if from < to => apart.push((from, to)),
                _ => {}
            }
        }
        *gap = apart;
    }
    gaps
}

/// A remainder of line shorter than this is not drawn, mm.
const SPECK: f64 = 0.5;

/// Carries a gap on into the pipes beyond the node at which the broken pipe ends, as far as they
/// are still too near the line in front.
fn spill(
    network: &Network,
    lines: &[PipeLine],
    paper: &[[Point; 2]],
    line_of: &[u32],
    c: &Crossing,
    end: usize,
    gaps: &mut [Vec<(f64, f64)>],
) {
    let Some(node) = lines[c.behind].nodes[end] else {
        return;
    };
    let front = paper[c.front];
    let along: Vec2 = (front[1] - front[0]).normalize();
    let clear = style::sizes().crossing_gap + lines[c.front].half;
    let at = paper[c.behind][end];
    let side = along.cross(at - front[0]);
    let beside = along.dot(at - front[0]);
    if beside < -clear || beside > front[0].distance(front[1]) + clear {
        return;
    }
    for pipe in &network.node(node).pipes {
        let k = line_of[pipe.0 as usize] as usize;
        if k >= lines.len() || k == c.behind || k == c.front || lines[k].joins(&lines[c.front]) {
            continue;
        }
        let here = usize::from(lines[k].nodes[0] != Some(node));
        let Some(away) = lines[k].direction().map(|d| if here == 0 { d } else { -d }) else {
            continue;
        };
        // Only what leads away from the line in front: what leads back crosses it by itself.
        let across = along.cross(away);
        let speed = if side.abs() < 1e-6 {
            across.abs()
        } else {
            across * side.signum()
        };
        if speed < 0.25 {
            continue;
        }
        let reach = (clear - side.abs()) / speed;
        let length = paper[k][0].distance(paper[k][1]);
        if reach > 0.0 {
            gaps[k].push(if here == 0 {
                (0.0, reach)
            } else {
                (length - reach, length)
            });
        }
    }
}

/// The pieces of a line between its gaps, in its direction.
pub(crate) fn pieces(line: [Point; 2], gaps: &[(f64, f64)]) -> Vec<(Point, Point)> {
    let length = line[0].distance(line[1]);
    let mut pieces = Vec::with_capacity(gaps.len() + 1);
    if length < 1e-6 {
        return pieces;
    }
    let at = |s: f64| line[0].lerp(line[1], s / length);
    let mut from = 0.0;
    for &(a, b) in gaps {
        if a - from >= SPECK {
            pieces.push((if from == 0.0 { line[0] } else { at(from) }, at(a)));
        }
        from = b;
    }
    if length - from >= SPECK || gaps.is_empty() {
        pieces.push((if from == 0.0 { line[0] } else { at(from) }, line[1]));
    }
    pieces
}
