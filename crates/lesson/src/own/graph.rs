//! Drawn lines as a graph: ends that lie together are one place, an end on another line divides it; lines that only cross do not meet.

use kurbo::Point;

/// A straight line of ink.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Inked {
    /// One end, mm of paper.
    pub a: Point,
    /// The other end.
    pub b: Point,
    /// Whether it is drawn in dashes, or lettered as a vent.
    pub dashed: bool,
}

/// A stretch between two places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// One place.
    pub a: usize,
    /// The other.
    pub b: usize,
    /// Drawn in dashes.
    pub dashed: bool,
}

impl Edge {
    /// The place at its other end.
    pub fn beyond(&self, place: usize) -> usize {
        if place == self.a { self.b } else { self.a }
    }
}

/// Places and the stretches between them.
#[derive(Clone, Debug, Default)]
pub struct Graph {
    /// Where the places are, mm of paper.
    pub at: Vec<Point>,
    /// The stretches.
    pub edges: Vec<Edge>,
}

impl Graph {
    /// The graph of lines whose ends may miss each other by `near`; each of the `marked` points divides the line it lies on.
    pub fn of(lines: &[Inked], marked: &[Point], near: f64) -> Self {
        let mut graph = Self::default();
        for (ix, line) in lines.iter().enumerate() {
            let way = line.b - line.a;
            let long = way.hypot();
            if long <= near {
                continue;
            }
            let mut cuts = vec![(0.0, line.a), (long, line.b)];
            let others = lines.iter().enumerate().filter(|(at, _)| *at != ix);
            let ends = others.flat_map(|(_, other)| [other.a, other.b]);
            for end in ends.chain(marked.iter().copied()) {
                let along = (end - line.a).dot(way) / long;
                let off = (end - line.a).cross(way) / long;
                if off.abs() <= near && along > near && along < long - near {
                    cuts.push((along, end));
                }
            }
            cuts.sort_by(|one, other| one.0.total_cmp(&other.0));
            let places: Vec<usize> = cuts.iter().map(|(_, at)| graph.place(*at, near)).collect();
            for pair in places.windows(2) {
                graph.join(pair[0], pair[1], line.dashed);
            }
        }
        graph
    }

    fn place(&mut self, at: Point, near: f64) -> usize {
        let nearest = self.nearest(at, near);
        nearest.unwrap_or_else(|| {
            self.at.push(at);
            self.at.len() - 1
        })
    }

    /// The place nearest to a point, within `near`.
    pub fn nearest(&self, at: Point, near: f64) -> Option<usize> {
        let far = |place: &usize| self.at[*place].distance(at);
        let within = (0..self.at.len()).filter(|place| far(place) <= near);
        within.min_by(|one, other| far(one).total_cmp(&far(other)))
    }

    fn join(&mut self, a: usize, b: usize, dashed: bool) {
        let same = |edge: &&mut Edge| (edge.a, edge.b) == (a, b) || (edge.a, edge.b) == (b, a);
        if a == b {
            return;
        }
        match self.edges.iter_mut().find(same) {
            // What is drawn full once is full.
            Some(edge) => edge.dashed &= dashed,
            None => self.edges.push(Edge { a, b, dashed }),
        }
    }

    /// For each place the stretches that meet there.
    pub fn meeting(&self) -> Vec<Vec<usize>> {
        let mut all = vec![Vec::new(); self.at.len()];
        for (ix, edge) in self.edges.iter().enumerate() {
            all[edge.a].push(ix);
            all[edge.b].push(ix);
        }
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(a: (f64, f64), b: (f64, f64)) -> Inked {
        Inked {
            a: a.into(),
            b: b.into(),
            dashed: false,
        }
    }

    /// A branch ends on a main: three stretches meet at one place. A line that only crosses both stays apart from them.
    #[test]
    fn an_end_on_a_line_meets_it_and_a_crossing_does_not() {
        let main = line((0.0, 0.0), (20.0, 0.0));
        let branch = line((10.0, 0.5), (10.0, 9.0));
        let across = line((5.0, -5.0), (5.0, 5.0));
        let graph = Graph::of(&[main, branch, across], &[], 1.0);
        let mut meeting: Vec<usize> = graph.meeting().iter().map(Vec::len).collect();
        meeting.sort_unstable();
        assert_eq!(meeting, [1, 1, 1, 1, 1, 3]);
    }

    #[test]
    fn a_line_drawn_twice_is_one() {
        let graph = Graph::of(
            &[line((0.0, 0.0), (20.0, 0.0)), line((20.3, 0.2), (0.1, 0.0))],
            &[],
            1.0,
        );
        assert_eq!((graph.at.len(), graph.edges.len()), (2, 1));
    }
}
