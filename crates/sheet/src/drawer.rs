//! The views a job can have, each drawn by the drawing stage and measured at full scale before.

use kurbo::{Point, Rect};
use wyeline_draw::{Corner, Part, Picture, View};
use wyeline_network::Network;
use wyeline_network::model::{LevelIx, PipeIx};
use wyeline_units::Scale;

use crate::options::Options;

/// What kind of view.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Kind {
    /// The isometric from a corner.
    Iso(Corner),
    /// The plan of a level.
    Plan(LevelIx),
}

impl Kind {
    /// The view it becomes.
    pub fn view(self, true_fall: bool) -> View {
        match self {
            Self::Iso(corner) => View::Iso { corner, true_fall },
            Self::Plan(level) => View::Plan { level },
        }
    }
}

/// One view of one part.
#[derive(Clone, Debug)]
pub(crate) struct Wanted {
    pub kind: Kind,
    pub part: Part,
}

impl Wanted {
    /// Draws it.
    pub fn draw(&self, network: &Network, options: &Options, scale: Scale) -> Picture {
        match self.kind {
            Kind::Iso(corner) => wyeline_draw::iso::iso(
                network,
                &wyeline_draw::iso::IsoOptions {
                    corner,
                    scale,
                    true_fall: options.true_fall,
                    part: self.part.clone(),
                    labels_along: options.labels_along,
                    grid: options.grid,
                },
            ),
            Kind::Plan(level) => wyeline_draw::plan::plan(
                network,
                &wyeline_draw::plan::PlanOptions {
                    level,
                    scale,
                    part: self.part.clone(),
                    labels_along: options.labels_along,
                },
            ),
        }
    }

    /// The pipes it may show, ascending; those of its part, where that names them.
    pub fn pipes(&self, network: &Network) -> Vec<PipeIx> {
        let systems = &self.part.systems;
        let shown = |ix: &PipeIx| systems.is_empty() || systems.contains(&network.pipe(*ix).system);
        match &self.part.pipes {
            Some(pipes) => pipes.iter().copied().filter(shown).collect(),
            None => (0..network.pipes.len() as u32).map(PipeIx).filter(shown).collect(),
        }
    }

    /// Its width and height at full scale without labels, mm.
    pub fn extent(&self, network: &Network) -> Rect {
        match self.kind {
            Kind::Iso(corner) => wyeline_draw::iso::extent(network, corner, &self.part),
            Kind::Plan(level) => plan_extent(network, level, self.part.pipes.as_deref()),
        }
    }
}

/// The box round what stands on a level and the pipes shown there, x east and y south, mm.
fn plan_extent(network: &Network, level: LevelIx, pipes: Option<&[PipeIx]>) -> Rect {
    let mut bounds: Option<Rect> = None;
    let mut add = |x: f64, y: f64| {
        let p = Point::new(x, -y);
        bounds = Some(bounds.map_or_else(|| Rect::from_points(p, p), |b| b.union_pt(p)));
    };
    for wall in network.building.walls.iter().filter(|w| w.level == level) {
        for (x, y) in [wall.from, wall.to] {
            add(x, y);
            add(x + wall.into.0 * wall.thick, y + wall.into.1 * wall.thick);
        }
    }
    for fixture in network.fixtures.iter().filter(|f| f.level == level) {
        let reach = fixture.size.0.max(fixture.size.1);
        add(fixture.anchor.x - reach, fixture.anchor.y - reach);
        add(fixture.anchor.x + reach, fixture.anchor.y + reach);
    }
    for pipe in pipes.into_iter().flatten() {
        let (a, b) = network.drawn(network.pipe(*pipe));
        add(a.x, a.y);
        add(b.x, b.y);
    }
    bounds.unwrap_or(Rect::ZERO)
}

/// The pipes that may be seen on the plan of each level: those between the floor below and the floor above.
///
/// Every pipe is looked at once; which of them the plan shows is the drawing stage's choice.
pub(crate) fn pipes_by_level(network: &Network) -> Vec<Vec<PipeIx>> {
    let mut order: Vec<usize> = (0..network.levels.len()).collect();
    order.sort_by(|a, b| network.levels[*a].floor.total_cmp(&network.levels[*b].floor));
    let floors: Vec<f64> = order.iter().map(|i| network.levels[*i].floor).collect();
    let mut by_level = vec![Vec::new(); order.len()];
    for (i, pipe) in network.pipes.iter().enumerate() {
        let (a, b) = network.drawn(pipe);
        // Level k reaches from floor k - 1 to floor k + 1, so a pipe from low to high is near the levels
        // from the last floor at or below low to the first floor at or above high.
        let first = floors.partition_point(|f| *f < a.z.min(b.z)).saturating_sub(1);
        let last = floors.partition_point(|f| *f <= a.z.max(b.z));
        for level in order.get(first..=last.min(order.len().saturating_sub(1))).unwrap_or_default() {
            by_level[*level].push(PipeIx(i as u32));
        }
    }
    by_level
}

/// The levels that have something to show on a plan, lowest first.
pub(crate) fn plan_levels(network: &Network) -> Vec<LevelIx> {
    let mut used = vec![false; network.levels.len()];
    let levels = network.fixtures.iter().map(|f| f.level).chain(network.building.walls.iter().map(|w| w.level));
    for level in levels.chain(network.building.rooms.iter().map(|r| r.level)) {
        if let Some(used) = used.get_mut(level.0 as usize) {
            *used = true;
        }
    }
    if !used.contains(&true)
        && let Some(first) = used.first_mut()
    {
        *first = true;
    }
    let mut levels: Vec<LevelIx> = (0..used.len()).filter(|i| used[*i]).map(|i| LevelIx(i as u32)).collect();
    levels.sort_by(|a, b| network.levels[a.0 as usize].floor.total_cmp(&network.levels[b.0 as usize].floor));
    levels
}
