//! Pipes as lines: what the part shows of them, in space and on paper.
//!
//! Cutting at a part's box is the parametric clipping of Liang and Barsky (ACM TOG 3(1), 1984).

use glam::DVec3;
use kurbo::{Point, Vec2};
use wyeline_network::model::{Network, NodeIx, PipeIx};

use crate::project::Projection;
use crate::style;
use crate::view::Part;

/// A pipe, or what a part's box leaves of it, in the direction of flow.
#[derive(Clone, Debug)]
pub(crate) struct PipeLine {
    pub(crate) pipe: PipeIx,
    /// Ends in space as drawn, mm.
    pub(crate) space: [DVec3; 2],
    /// Ends on paper, mm.
    pub(crate) paper: [Point; 2],
    /// How far its ends as drawn are from the viewer, mm: the larger is behind.
    pub(crate) depth: [f64; 2],
    /// Where it truly lies, if not as drawn: the true ends on paper, and their depths.
    pub(crate) truly: Option<([Point; 2], [f64; 2])>,
    /// Nodes at its ends; nothing where it is cut.
    pub(crate) nodes: [Option<NodeIx>; 2],
    /// The face of the part's box that cuts an end: -x, +x, -y, +y, -z, +z.
    pub(crate) cut: [Option<u8>; 2],
    /// Half the width of its pen, mm.
    pub(crate) half: f64,
}

impl PipeLine {
    /// Length on paper, mm.
    pub(crate) fn length(&self) -> f64 {
        self.paper[0].distance(self.paper[1])
    }

    /// Whether the two have a node in common.
    pub(crate) fn joins(&self, other: &Self) -> bool {
        self.nodes
            .iter()
            .flatten()
            .any(|n| other.nodes.contains(&Some(*n)))
    }

    /// Unit direction on paper; nothing where the pipe lies along the line of sight.
    pub(crate) fn direction(&self) -> Option<Vec2> {
        let v = self.paper[1] - self.paper[0];
        (v.hypot() > 1e-6).then(|| v.normalize())
    }
}

/// The pipes a part shows, ascending; its box is not looked at.
pub fn shown(network: &Network, part: &Part) -> Vec<PipeIx> {
    let of_system = |ix: &PipeIx| {
        network
            .pipes
            .get(ix.0 as usize)
            .is_some_and(|p| part.systems.is_empty() || part.systems.contains(&p.system))
    };
    match &part.pipes {
        Some(pipes) => pipes.iter().copied().filter(of_system).collect(),
        None => (0..network.pipes.len() as u32)
            .map(PipeIx)
            .filter(of_system)
            .collect(),
    }
}

/// The pipes of a part as lines.
pub(crate) fn pipe_lines(
    network: &Network,
    projection: Projection,
    part: &Part,
    true_fall: bool,
) -> Vec<PipeLine> {
    let mut lines = Vec::new();
    for ix in shown(network, part) {
        let pipe = network.pipe(ix);
        let lies = network.true_ends(pipe);
        let drawn = if true_fall { lies } else { network.drawn(pipe) };
        let whole = [(0.0, None), (1.0, None)];
        let Some(ends) = part
            .clip
            .as_ref()
            .map_or(Some(whole), |b| cut(drawn.0, drawn.1, &b.0, &b.1))
        else {
            continue;
        };
        let space = ends.map(|(t, _)| drawn.0.lerp(drawn.1, t));
        if !space.iter().all(|p| p.is_finite()) {
            continue;
        }
        lines.push(PipeLine {
            pipe: ix,
            space,
            paper: space.map(|p| projection.point(p)),
            depth: space.map(|p| projection.depth(p)),
            truly: (lies != drawn).then(|| {
                let lies = ends.map(|(t, _)| lies.0.lerp(lies.1, t));
                (
                    lies.map(|p| projection.point(p)),
                    lies.map(|p| projection.depth(p)),
                )
            }),
            nodes: [
                ends[0].1.is_none().then_some(pipe.from),
                ends[1].1.is_none().then_some(pipe.to),
            ],
            cut: ends.map(|(_, face)| face),
            half: style::pen(pipe.system, pipe.existing).width / 2.0,
        });
    }
    lines
}

/// The ends that are cut off, as pipe and node, ascending.
pub(crate) fn beyond(network: &Network, lines: &[PipeLine]) -> Vec<(PipeIx, NodeIx)> {
    let mut ends = Vec::new();
    for line in lines {
        let pipe = network.pipe(line.pipe);
        for (node, cut) in [pipe.from, pipe.to].into_iter().zip(line.cut) {
            if cut.is_some() {
                ends.push((line.pipe, node));
            }
        }
    }
    ends.sort_unstable();
    ends
}

/// Where a box cuts a pipe: both ends as fractions of its length, with the face that cuts there.
///
/// Pipe lying in one of the three upper faces is left to the neighbour on the other side, so that
/// boxes laid side by side show every pipe once.
fn cut(a: DVec3, b: DVec3, min: &[f64; 3], max: &[f64; 3]) -> Option<[(f64, Option<u8>); 2]> {
    let (a, d) = (a.to_array(), (b - a).to_array());
    let (mut enter, mut leave) = ((0.0, None), (1.0, None));
    for axis in 0..3 {
        if d[axis].abs() < 1e-9 {
            if a[axis] < min[axis] || a[axis] >= max[axis] {
                return None;
            }
            continue;
        }
        let low = (min[axis] - a[axis]) / d[axis];
        let high = (max[axis] - a[axis]) / d[axis];
        let (face_low, face_high) = (2 * axis as u8, 2 * axis as u8 + 1);
        let ((t_in, face_in), (t_out, face_out)) = if d[axis] > 0.0 {
            ((low, face_low), (high, face_high))
        } else {
            ((high, face_high), (low, face_low))
        };
        if t_in > enter.0 {
            enter = (t_in, Some(face_in));
        }
        if t_out < leave.0 {
            leave = (t_out, Some(face_out));
        }
    }
    // A pipe that only touches the box from outside has nothing to show in it.
    (leave.0 - enter.0 > 1e-9).then_some([enter, leave])
}

#[cfg(test)]
mod tests {
    use super::*;

    const MIN: [f64; 3] = [0.0, 0.0, 0.0];
    const MAX: [f64; 3] = [100.0, 100.0, 100.0];

    /// From x = -100 to 300 a box from 0 to 100 leaves the second quarter, cut by -x and +x.
    #[test]
    fn a_pipe_through_the_box_is_cut_at_both_faces() {
        let ends = cut(
            DVec3::new(-100.0, 50.0, 50.0),
            DVec3::new(300.0, 50.0, 50.0),
            &MIN,
            &MAX,
        );
        assert_eq!(ends, Some([(0.25, Some(0)), (0.5, Some(1))]));
    }

    /// Going down through the top, ending inside: one cut end, at the +z face.
    #[test]
    fn a_pipe_that_ends_inside_keeps_that_end() {
        let ends = cut(
            DVec3::new(50.0, 50.0, 150.0),
            DVec3::new(50.0, 50.0, 50.0),
            &MIN,
            &MAX,
        );
        assert_eq!(ends, Some([(0.5, Some(5)), (1.0, None)]));
    }

    /// A pipe in the face between two boxes is shown in one of them only.
    #[test]
    fn a_pipe_in_a_shared_face_is_shown_once() {
        let (a, b) = (DVec3::new(100.0, 10.0, 10.0), DVec3::new(100.0, 90.0, 10.0));
        assert_eq!(cut(a, b, &MIN, &MAX), None);
        assert!(cut(a, b, &[100.0, 0.0, 0.0], &[200.0, 100.0, 100.0]).is_some());
    }

    /// A pipe that ends in the face from outside is not shown as a dot.
    #[test]
    fn a_pipe_that_only_touches_is_not_shown() {
        let ends = cut(
            DVec3::new(150.0, 50.0, 50.0),
            DVec3::new(100.0, 50.0, 50.0),
            &MIN,
            &MAX,
        );
        assert_eq!(ends, None);
    }
}
