//! The views a job can have, each drawn by the drawing stage and measured at full scale before.

use std::cell::OnceCell;
use std::ops::Deref;
use std::rc::Rc;

use kurbo::{Point, Rect};
use wyeline_draw::iso::{self, IsoOptions};
use wyeline_draw::plan::{self, PlanOptions};
use wyeline_draw::{Corner, Part, Picture, View};
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, LevelIx, PipeIx};
use wyeline_units::Scale;

use crate::options::Options;
use crate::subset::Keep;

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

/// The network a view is of: the whole, or a part taken out of it.
#[derive(Clone, Debug)]
pub(crate) enum Source<'a> {
    Whole(&'a Network),
    Part(Rc<Network>),
}

impl Deref for Source<'_> {
    type Target = Network;

    fn deref(&self) -> &Network {
        match self {
            Self::Whole(network) => network,
            Self::Part(network) => network,
        }
    }
}

/// A picture with the network its indices are of.
pub(crate) type Shown<'a> = (&'a Network, &'a Picture);

/// One view of one part.
#[derive(Clone, Debug)]
pub(crate) struct Wanted<'a> {
    pub kind: Kind,
    pub part: Part,
    pub network: Source<'a>,
    /// Its extent, once that was asked for.
    measured: OnceCell<Rect>,
}

impl<'a> Wanted<'a> {
    /// A view of a part of a network.
    pub fn new(kind: Kind, part: Part, network: Source<'a>) -> Self {
        Self {
            kind,
            part,
            network,
            measured: OnceCell::new(),
        }
    }
}

impl Wanted<'_> {
    /// Draws it.
    pub fn draw(&self, options: &Options, scale: Scale) -> Picture {
        match self.kind {
            Kind::Iso(corner) => iso::iso(&self.network, &self.looking(corner, options, scale)),
            Kind::Plan(level) => plan::plan(
                &self.network,
                &PlanOptions {
                    level,
                    scale,
                    part: self.part.clone(),
                    labels_along: options.labels_along,
                },
            ),
        }
    }

    /// Draws it, unless it is an isometric whose words find too little room.
    pub fn draw_unless_crowded(&self, options: &Options, scale: Scale) -> Option<Picture> {
        match self.kind {
            Kind::Iso(corner) => {
                iso::iso_unless_crowded(&self.network, &self.looking(corner, options, scale))
            }
            Kind::Plan(_) => Some(self.draw(options, scale)),
        }
    }

    fn looking(&self, corner: Corner, options: &Options, scale: Scale) -> IsoOptions {
        IsoOptions {
            corner,
            scale,
            true_fall: options.true_fall,
            part: self.part.clone(),
            labels_along: options.labels_along,
            grid: options.grid,
        }
    }

    /// The pipes it may show, ascending; those of its part, where that names them.
    pub fn pipes(&self) -> Vec<PipeIx> {
        let systems = &self.part.systems;
        let shown =
            |ix: &PipeIx| systems.is_empty() || systems.contains(&self.network.pipe(*ix).system);
        match &self.part.pipes {
            Some(pipes) => pipes.iter().copied().filter(shown).collect(),
            None => (0..self.network.pipes.len() as u32)
                .map(PipeIx)
                .filter(shown)
                .collect(),
        }
    }

    /// Its width and height at full scale without labels, mm.
    pub fn extent(&self) -> Rect {
        *self.measured.get_or_init(|| match self.kind {
            Kind::Iso(corner) => iso::extent(&self.network, corner, &self.part),
            Kind::Plan(level) => plan_extent(&self.network, level, &self.pipes()),
        })
    }
}

/// The box round what stands on a level and the pipes shown there, x east and y south, mm.
fn plan_extent(network: &Network, level: LevelIx, pipes: &[PipeIx]) -> Rect {
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
    for pipe in pipes {
        let (a, b) = network.drawn(network.pipe(*pipe));
        add(a.x, a.y);
        add(b.x, b.y);
    }
    bounds.unwrap_or(Rect::ZERO)
}

/// What the plan of each level may show: the pipes and bodies between the floor below and the floor above, fixtures and
/// walls of the level. Everything is looked at once; what of it is drawn is the drawing stage's choice.
///
/// The neighbours of a level are kept with it, since they say where its storey ends.
pub(crate) fn by_level(network: &Network) -> Vec<Keep> {
    let mut order: Vec<usize> = (0..network.levels.len()).collect();
    order.sort_by(|a, b| {
        network.levels[*a]
            .floor
            .total_cmp(&network.levels[*b].floor)
    });
    let floors: Vec<f64> = order.iter().map(|i| network.levels[*i].floor).collect();
    let mut kept = vec![Keep::default(); order.len()];
    // Level k reaches from floor k - 1 to floor k + 1, so what lies from low to high is near the levels
    // from the last floor below low to the first floor above high.
    let near = |low: f64, high: f64| {
        let first = floors.partition_point(|f| *f < low).saturating_sub(1);
        let last = floors
            .partition_point(|f| *f <= high)
            .min(order.len().saturating_sub(1));
        order.get(first..=last).unwrap_or_default()
    };
    for (i, pipe) in network.pipes.iter().enumerate() {
        let (a, b) = network.drawn(pipe);
        for level in near(a.z.min(b.z), a.z.max(b.z)) {
            kept[*level].pipes.push(PipeIx(i as u32));
        }
    }
    for (i, body) in network.building.bodies.iter().enumerate() {
        for level in near(body.z.0, body.z.1) {
            kept[*level].bodies.push(i as u32);
        }
    }
    for (i, fixture) in network.fixtures.iter().enumerate() {
        if let Some(keep) = kept.get_mut(fixture.level.0 as usize) {
            keep.fixtures.push(FixtureIx(i as u32));
        }
    }
    for (i, wall) in network.building.walls.iter().enumerate() {
        if let Some(keep) = kept.get_mut(wall.level.0 as usize) {
            keep.walls.push(i as u32);
        }
    }
    for (k, level) in order.iter().enumerate() {
        let beside = &order[k.saturating_sub(1)..(k + 2).min(order.len())];
        kept[*level].levels = beside.iter().map(|l| LevelIx(*l as u32)).collect();
        kept[*level].levels.sort_unstable();
    }
    kept
}

/// The levels that have something to show on a plan, lowest first.
pub(crate) fn plan_levels(network: &Network) -> Vec<LevelIx> {
    let mut used = vec![false; network.levels.len()];
    let levels = network
        .fixtures
        .iter()
        .map(|f| f.level)
        .chain(network.building.walls.iter().map(|w| w.level));
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
    let mut levels: Vec<LevelIx> = (0..used.len())
        .filter(|i| used[*i])
        .map(|i| LevelIx(i as u32))
        .collect();
    levels.sort_by(|a, b| {
        network.levels[a.0 as usize]
            .floor
            .total_cmp(&network.levels[b.0 as usize].floor)
    });
    levels
}
