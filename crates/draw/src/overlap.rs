//! Lines that fall on each other on paper: found, and pulled apart by the least shift that shows both.
//!
//! What is shifted is a whole straight stretch (pipes in line in space, joined end to end), square to
//! itself, so that every line keeps its direction: a corner where two directions meet slides along the
//! lines that meet there and stays a corner. Where a third direction, or a line folding back over
//! another, cannot follow, a short jog joins it. The cost of a shift is its length times the ink it moves (length
//! of the stretch by width of its pen); ends at fixtures weigh extra (`overlap_pinned` in `data/lines.toml`).

use kurbo::{Point, Vec2};
use wyeline_network::model::{Network, Node, NodeIx, NodeKind, PipeIx};

use crate::crossing::PARALLEL;
use crate::grid::Grid;
use crate::lines::PipeLine;
use crate::separate::{self, Cost, Pair};
use crate::sets::Sets;
use crate::style;

/// How far around a bundle other lines are looked at, so that none is pushed onto them, mm.
const AROUND: f64 = 4.0;
/// The part of a short pipe's length on paper that a shift of its neighbour may take away.
const SHRINK: f64 = 0.6;
/// Ends of two pipes within this distance of a line in space share that line, mm.
const SAME_LINE: f64 = 1.0;

/// Two lines side by side on paper.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Beside {
    pub(crate) a: usize,
    pub(crate) b: usize,
    /// How far `b` lies beside `a`, to the left of `a`'s heading (see [`heading`]), mm.
    pub(crate) offset: f64,
    /// For how long, mm.
    pub(crate) length: f64,
}

/// Lines as they are drawn after pulling apart.
#[derive(Clone, Debug, Default)]
pub(crate) struct Apart {
    /// Ends of each line.
    pub(crate) paper: Vec<[Point; 2]>,
    /// Where a short jog joins the line's end to its node.
    pub(crate) jogs: Vec<[Option<Point>; 2]>,
    /// By how much each line was shifted.
    pub(crate) shift: Vec<Vec2>,
    /// Lines shifted, the line each fell on, and by how much.
    pub(crate) notes: Vec<(PipeIx, PipeIx, Vec2)>,
    /// Nodes off their projected place.
    pub(crate) moved: Vec<(NodeIx, Vec2)>,
}

/// The direction of a line, turned so that lines side by side have the same: rightwards, or up.
fn heading(direction: Vec2) -> Vec2 {
    if direction.x < -1e-9 || (direction.x.abs() <= 1e-9 && direction.y > 0.0) {
        -direction
    } else {
        direction
    }
}

/// Square to a heading.
fn across(heading: Vec2) -> Vec2 {
    Vec2::new(-heading.y, heading.x)
}

/// Least distance from centre to centre at which two lines show as two, mm.
fn apart(a: &PipeLine, b: &PipeLine) -> f64 {
    style::sizes().side_gap + a.half + b.half
}

/// Whether two lines so far apart from centre to centre read as one.
fn read_as_one(a: &PipeLine, b: &PipeLine, offset: f64) -> bool {
    offset.abs() < style::sizes().side_gap_missed + a.half + b.half - 1e-6
}

/// Lines nearer than `reach` beside each other for longer than `overlap_least`, not being on one line in space.
pub(crate) fn side_by_side(lines: &[PipeLine], reach: f64) -> Vec<Beside> {
    let grid = Grid::new(lines.iter().map(|l| (l.paper[0], l.paper[1])), reach / 2.0);
    let directions: Vec<_> = lines.iter().map(PipeLine::direction).collect();
    let mut found = Vec::new();
    for (_, entries) in grid.crowded() {
        for (k, &(_, i)) in entries.iter().enumerate() {
            let Some(u) = directions[i as usize] else {
                continue;
            };
            let start = lines[i as usize].paper[0];
            for &(_, j) in &entries[k + 1..] {
                let Some(v) = directions[j as usize] else {
                    continue;
                };
                // Both ends far to the same side: far all along.
                let off = lines[j as usize].paper.map(|p| u.cross(p - start));
                let far = off[0].min(off[1]) >= reach || off[0].max(off[1]) <= -reach;
                if u.cross(v).abs() <= PARALLEL && !far {
                    found.push((i, j));
                }
            }
        }
    }
    // Two lines may meet in many cells.
    found.sort_unstable();
    found.dedup();
    found
        .into_iter()
        .filter_map(|(i, j)| beside(lines, i as usize, j as usize, reach))
        .collect()
}

fn beside(lines: &[PipeLine], a: usize, b: usize, reach: f64) -> Option<Beside> {
    let u = heading(lines[a].direction()?);
    let span = |l: &PipeLine| {
        let s = l.paper.map(|p| u.dot(p - lines[a].paper[0]));
        (s[0].min(s[1]), s[0].max(s[1]))
    };
    let ((a0, a1), (b0, b1)) = (span(&lines[a]), span(&lines[b]));
    let (from, to) = (a0.max(b0), a1.min(b1));
    if to - from < style::sizes().overlap_least {
        return None;
    }
    let middle = f64::midpoint(from, to);
    let [p, q] = lines[b].paper;
    let (sp, sq) = (u.dot(p - lines[a].paper[0]), u.dot(q - lines[a].paper[0]));
    let on_b = p.lerp(q, (middle - sp) / (sq - sp));
    let offset = across(u).dot(on_b - lines[a].paper[0]);
    if offset.abs() >= reach || on_one_line(&lines[a], &lines[b]) {
        return None;
    }
    Some(Beside {
        a,
        b,
        offset,
        length: to - from,
    })
}

/// Whether two pipes lie on one line in space.
fn on_one_line(a: &PipeLine, b: &PipeLine) -> bool {
    let Some(along) = (a.space[1] - a.space[0]).try_normalize() else {
        return false;
    };
    b.space.iter().all(|p| {
        let v = *p - a.space[0];
        (v - along * v.dot(along)).length() < SAME_LINE
    })
}

/// Pairs that fall on each other: nearer than the least distance that shows both.
pub(crate) fn coinciding(lines: &[PipeLine]) -> Vec<Beside> {
    let widest = lines.iter().map(|l| l.half).fold(0.0, f64::max);
    let mut pairs = side_by_side(lines, style::sizes().side_gap + 2.0 * widest);
    pairs.retain(|s| read_as_one(&lines[s.a], &lines[s.b], s.offset));
    pairs
}

/// For each line the number of the straight stretch it belongs to: pipes in line in space, joined
/// end to end. The number is the least index among its lines.
pub(crate) fn stretches(lines: &[PipeLine]) -> Vec<usize> {
    let mut sets = Sets::new(lines.len());
    let mut ends: Vec<(NodeIx, usize, usize)> = lines
        .iter()
        .enumerate()
        .flat_map(|(i, l)| {
            [0, 1]
                .into_iter()
                .filter_map(move |e| Some((l.nodes[e]?, i, e)))
        })
        .collect();
    ends.sort_unstable();
    for at_node in ends.chunk_by(|a, b| a.0 == b.0) {
        let away: Vec<_> = at_node
            .iter()
            .map(|&(_, i, e)| (lines[i].space[1 - e] - lines[i].space[e]).normalize_or_zero())
            .collect();
        for (k, u) in away.iter().enumerate() {
            if let Some(m) = (k + 1..away.len()).find(|&m| u.dot(away[m]) < -1.0 + 1e-9) {
                sets.join(at_node[k].1, at_node[m].1);
            }
        }
    }
    (0..lines.len()).map(|i| sets.of(i)).collect()
}

/// Lines where they fall, nothing pulled aside.
fn as_projected(lines: &[PipeLine]) -> Apart {
    Apart {
        paper: lines.iter().map(|l| l.paper).collect(),
        jogs: vec![[None, None]; lines.len()],
        shift: vec![Vec2::ZERO; lines.len()],
        notes: Vec::new(),
        moved: Vec::new(),
    }
}

/// Pulls apart the lines that fall on each other.
pub(crate) fn pull_apart(network: &Network, lines: &[PipeLine], stretch: &[usize]) -> Apart {
    let mut out = as_projected(lines);
    let pairs = coinciding(lines);
    if pairs.is_empty() {
        return out;
    }
    let shifts = shifts(network, lines, stretch, &pairs);
    let mut fell_on = vec![None; lines.len()];
    for p in pairs.iter().rev() {
        fell_on[stretch[p.a]] = Some(p.b);
        fell_on[stretch[p.b]] = Some(p.a);
    }
    for (i, line) in lines.iter().enumerate() {
        let by = shifts[stretch[i]];
        if let Some(u) = line.direction()
            && let Some(other) = fell_on[stretch[i]]
            && by != 0.0
        {
            out.shift[i] = across(heading(u)) * by;
            out.notes.push((line.pipe, lines[other].pipe, out.shift[i]));
        }
    }
    join_up(lines, stretch, &mut out);
    out
}

/// The shift of each stretch, at the index of its first line.
fn shifts(network: &Network, lines: &[PipeLine], stretch: &[usize], pairs: &[Beside]) -> Vec<f64> {
    let mut shift = vec![0.0; lines.len()];
    // Bundles: stretches that fall on each other, directly or by way of others.
    let mut bundle = Sets::new(lines.len());
    for p in pairs {
        bundle.join(stretch[p.a], stretch[p.b]);
    }
    let mut members: Vec<(usize, usize)> = pairs
        .iter()
        .flat_map(|p| [stretch[p.a], stretch[p.b]])
        .map(|s| (bundle.of(s), s))
        .collect();
    members.sort_unstable();
    members.dedup();
    let mut in_bundle = vec![false; lines.len()];
    for &(_, s) in &members {
        in_bundle[s] = true;
    }
    // Everything beside a stretch that may move, for either side of the pair.
    let mut around: Vec<(usize, usize, f64, f64)> = Vec::new();
    for s in side_by_side(lines, AROUND) {
        let (x, y) = (stretch[s.a], stretch[s.b]);
        if x != y && (in_bundle[x] || in_bundle[y]) {
            let mut distance = apart(&lines[s.a], &lines[s.b]);
            if !read_as_one(&lines[s.a], &lines[s.b], s.offset) {
                // What can be told apart as it is may stay as it is.
                distance = distance.min(s.offset.abs());
            }
            around.push((x, y, s.offset, distance));
            around.push((y, x, -s.offset, distance));
        }
    }
    around.sort_unstable_by(|a, b| (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2)));
    let costs = costs(network, lines, stretch, &in_bundle);
    for group in members.chunk_by(|a, b| a.0 == b.0) {
        let first = group[0].0;
        let mut bundle_costs = Vec::with_capacity(group.len());
        let mut bundle_pairs = Vec::new();
        for (k, &(_, s)) in group.iter().enumerate() {
            let mut cost = costs[s].clone();
            let from = around.partition_point(|r| r.0 < s);
            for &(_, other, offset, distance) in around[from..].iter().take_while(|r| r.0 == s) {
                match group.binary_search(&(first, other)) {
                    Ok(m) if k < m => {
                        bundle_pairs.push(Pair {
                            a: k,
                            b: m,
                            offset,
                            apart: distance,
                        });
                    }
                    Ok(_) => {}
                    Err(_) => {
                        let centre = offset + shift[other];
                        cost.taken.push((centre - distance, centre + distance));
                    }
                }
            }
            bundle_costs.push(cost);
        }
        let least = separate::least_shifts(&bundle_costs, &bundle_pairs);
        for (&(_, s), by) in group.iter().zip(least) {
            shift[s] = by;
        }
    }
    shift
}

/// Whether a line should rather end there than beside.
fn pinned(node: &Node) -> bool {
    node.fixture.is_some()
        || matches!(
            node.kind,
            NodeKind::Start | NodeKind::RoofEnd | NodeKind::Continues { .. }
        )
}

/// What it costs to shift each stretch of a bundle, at the index of its first line.
fn costs(network: &Network, lines: &[PipeLine], stretch: &[usize], of: &[bool]) -> Vec<Cost> {
    let nothing = Cost {
        weight: 0.0,
        free: (f64::NEG_INFINITY, f64::INFINITY),
        taken: Vec::new(),
    };
    let mut costs = vec![nothing; lines.len()];
    let mut line_of = vec![usize::MAX; network.pipes.len()];
    for (i, l) in lines.iter().enumerate() {
        line_of[l.pipe.0 as usize] = i;
    }
    for (i, line) in lines.iter().enumerate() {
        let s = stretch[i];
        let Some(u) = line.direction().filter(|_| of[s]) else {
            continue;
        };
        let width = 2.0 * line.half;
        costs[s].weight += line.length() * width;
        let n = across(heading(u));
        for node in line.nodes.iter().flatten() {
            if pinned(network.node(*node)) {
                costs[s].weight += style::sizes().overlap_pinned * width;
            }
            for pipe in &network.node(*node).pipes {
                let Some(other) = lines.get(line_of[pipe.0 as usize]) else {
                    continue;
                };
                let Some(v) = other.direction().filter(|_| other.pipe != line.pipe) else {
                    continue;
                };
                // Sliding along the neighbour takes from its length on one side.
                let away = if other.nodes[0] == Some(*node) { v } else { -v };
                let sine = n.dot(away);
                let room = SHRINK * other.length() * sine;
                if sine > PARALLEL {
                    costs[s].free.1 = costs[s].free.1.min(room);
                } else if sine < -PARALLEL {
                    costs[s].free.0 = costs[s].free.0.max(room);
                }
            }
        }
    }
    costs
}

/// Puts nodes where the shifted lines meet, and the lines' ends to them.
fn join_up(lines: &[PipeLine], stretch: &[usize], out: &mut Apart) {
    let mut ends: Vec<(NodeIx, usize, usize)> = Vec::new();
    for (i, line) in lines.iter().enumerate() {
        for e in [0, 1] {
            if let Some(node) = line.nodes[e] {
                ends.push((node, i, e));
            } else {
                out.paper[i][e] += out.shift[i];
            }
        }
    }
    ends.sort_unstable();
    for at_node in ends.chunk_by(|a, b| a.0 == b.0) {
        if at_node.iter().all(|&(_, i, _)| out.shift[i] == Vec2::ZERO) {
            continue;
        }
        let by = node_shift(lines, stretch, out, at_node);
        out.moved.push((at_node[0].0, by));
        for &(_, i, e) in at_node {
            let Some(u) = lines[i].direction() else {
                out.paper[i][e] += by;
                continue;
            };
            // The line's own place beside the node, as near to it as it gets.
            let own = out.shift[i] + u * u.dot(by);
            if (own - by).hypot() > 1e-6 {
                out.jogs[i][e] = Some(out.paper[i][e] + by);
            }
            out.paper[i][e] += own;
        }
    }
}

/// Where a node goes: to where the line shifted most meets the most important line of another
/// direction, other shifted lines before the rest, longer ones before shorter.
fn node_shift(
    lines: &[PipeLine],
    stretch: &[usize],
    out: &Apart,
    at_node: &[(NodeIx, usize, usize)],
) -> Vec2 {
    let mut here: Vec<(f64, f64, usize, Vec2)> = at_node
        .iter()
        .filter_map(|&(_, i, _)| {
            Some((
                out.shift[i].hypot(),
                lines[i].length(),
                stretch[i],
                lines[i].direction()?,
            ))
        })
        .map(|(shift, length, s, u)| (shift, length, s, heading(u)))
        .collect();
    here.sort_by(|a, b| {
        b.0.total_cmp(&a.0)
            .then(b.1.total_cmp(&a.1))
            .then(a.2.cmp(&b.2))
    });
    let Some(&(_, _, s, u)) = here.first() else {
        return Vec2::ZERO;
    };
    let shift_of = |s: usize| {
        at_node
            .iter()
            .find(|e| stretch[e.1] == s)
            .map_or(Vec2::ZERO, |e| out.shift[e.1])
    };
    let first = shift_of(s);
    let Some(&(_, _, t, v)) = here.iter().find(|h| h.3.cross(u).abs() > 0.3) else {
        return first;
    };
    // d = first + u * k, with d square to v as far as v's own shift: (first + u k - second) x v = 0.
    let second = shift_of(t);
    let k = (second - first).cross(v) / u.cross(v);
    first + u * k
}
