//! The building in millimetres: levels, walls, roof and bodies, and how places and
//! heights are read from them.

use glam::DVec2;
use rstar::{AABB, RTree, RTreeObject};
use rustc_hash::FxHashMap;
use wyeline_job::Diagnostic;
use wyeline_job::model::{BodyShape, Compass, Coord, Height, Job, Name, Surface, WallSide};
use wyeline_units::Len;

use crate::model::{Body, Building, DoubtKind, Level, LevelIx, Opening, RoofPlane, Room, Wall};
use crate::practice::practice;
use crate::remarks::{NOTHING, Remarks};
use crate::walls::on_stretch;

/// How near a point has to be to a wall's face to be on it, mm: 1/32 in and a little.
pub(crate) const ON_FACE: f64 = 1.0;

/// The unit vector of a compass word, east x and north y.
pub fn way(compass: Compass) -> DVec2 {
    let d = std::f64::consts::FRAC_1_SQRT_2;
    match compass {
        Compass::East => DVec2::new(1.0, 0.0),
        Compass::Northeast => DVec2::new(d, d),
        Compass::North => DVec2::new(0.0, 1.0),
        Compass::Northwest => DVec2::new(-d, d),
        Compass::West => DVec2::new(-1.0, 0.0),
        Compass::Southwest => DVec2::new(-d, -d),
        Compass::South => DVec2::new(0.0, -1.0),
        Compass::Southeast => DVec2::new(d, -d),
    }
}

fn plan(at: (Len, Len)) -> DVec2 {
    DVec2::new(at.0.mm(), at.1.mm())
}

/// A wall in the index: its extent in plan, and the number of its level as third coordinate.
pub(crate) struct WallBox {
    pub wall: u32,
    extent: AABB<[f64; 3]>,
}

impl RTreeObject for WallBox {
    type Envelope = AABB<[f64; 3]>;
    fn envelope(&self) -> Self::Envelope {
        self.extent
    }
}

/// Where a coordinate such as `west-wall` looks for its wall.
#[derive(Clone, Copy)]
pub(crate) enum Storey {
    /// On that level.
    Level(LevelIx),
    /// On the levels nearest to that height.
    Height(f64),
}

/// The building, ready to be asked.
pub(crate) struct Site<'a> {
    pub levels: Vec<Level>,
    pub building: Building,
    by_name: FxHashMap<&'a str, LevelIx>,
    /// Levels from the lowest floor up.
    pub upwards: Vec<LevelIx>,
    pub walls: RTree<WallBox>,
}

impl<'a> Site<'a> {
    pub fn new(job: &'a Job, remarks: &mut Remarks<'_>) -> Self {
        let mut site = Self {
            levels: Vec::new(),
            building: Building::default(),
            by_name: FxHashMap::default(),
            upwards: Vec::new(),
            walls: RTree::new(),
        };
        site.raise_levels(job, remarks);
        site.building.roof = job.roofs.iter().map(roof_plane).collect();
        site.build_walls(job, remarks);
        site.cut_openings(job, remarks);
        for room in &job.rooms {
            if let Some(level) = site.level(&room.level) {
                let at = plan(room.at);
                site.building.rooms.push(Room {
                    text: room.text.clone(),
                    level,
                    at: at.into(),
                });
            }
        }
        site.place_bodies(job, remarks);
        site.lay_ground(job, remarks);
        site
    }

    fn lay_ground(&mut self, job: &Job, remarks: &mut Remarks<'_>) {
        let Some(told) = &job.design.grade else {
            return;
        };
        // The ground has no one place in plan; only a roof would ask for one.
        self.building.grade = self.surface(told, DVec2::ZERO, remarks);
        if let Some(grade) = self.building.grade.filter(|_| told.unverified) {
            let text = format!("grade {}", remarks.show(grade));
            remarks.doubt(DoubtKind::Unverified, told.span, text);
        }
    }

    fn raise_levels(&mut self, job: &'a Job, remarks: &mut Remarks<'_>) {
        for level in &job.levels {
            let floor = level.floor.mm();
            let under = level
                .joists
                .as_ref()
                .map(|joists| joists.depth)
                .or(level.slab);
            let underside =
                under.map(|depth| floor - level.finish.map_or(0.0, Len::mm) - depth.mm());
            let ix = LevelIx(self.levels.len() as u32);
            self.by_name.entry(&level.name.text).or_insert(ix);
            if level.unverified {
                let text = format!("level {} floor {}", level.name.text, remarks.show(floor));
                remarks.doubt(DoubtKind::Unverified, level.span, text);
            }
            self.levels.push(Level {
                name: level.name.text.clone(),
                floor,
                ceiling: level.ceiling.map(|above| floor + above.mm()),
                underside,
                joists: level.joists.clone(),
            });
        }
        self.upwards = (0..self.levels.len() as u32).map(LevelIx).collect();
        let levels = &self.levels;
        self.upwards.sort_by(|a, b| {
            levels[a.0 as usize]
                .floor
                .total_cmp(&levels[b.0 as usize].floor)
        });
    }

    fn build_walls(&mut self, job: &'a Job, remarks: &mut Remarks<'_>) {
        let mut boxes = Vec::new();
        for told in &job.walls {
            let Some(level) = self.level(&told.level) else {
                continue;
            };
            let thick = told.thick.map_or(practice().wall_thick, Len::mm);
            if told.thick.is_none() {
                let text = format!(
                    "wall on {}: thickness {}",
                    told.level.text,
                    remarks.show(thick)
                );
                remarks.doubt(DoubtKind::Assumed, told.span, text);
            }
            let points: Vec<DVec2> = told.points.iter().map(|&at| plan(at)).collect();
            let closed = points.len() > 3 && points.first() == points.last();
            // Twice the area: positive where a closed line is walked counter-clockwise.
            let turn: f64 = points.windows(2).map(|w| w[0].perp_dot(w[1])).sum();
            let to_right = match told.lies {
                WallSide::Away => !closed || turn > 0.0,
                WallSide::Left => closed && turn < 0.0,
                WallSide::Centre => true,
            };
            for pair in points.windows(2) {
                let along = pair[1] - pair[0];
                if along.length() < NOTHING {
                    continue;
                }
                let right = -along.normalize().perp();
                let into = if to_right { right } else { -right };
                let shift = if told.lies == WallSide::Centre {
                    into * (-thick / 2.0)
                } else {
                    DVec2::ZERO
                };
                let (from, to) = (pair[0] + shift, pair[1] + shift);
                let corners = [from, to, from + into * thick, to + into * thick];
                let low = corners.into_iter().reduce(DVec2::min).unwrap_or(from) - thick;
                let high = corners.into_iter().reduce(DVec2::max).unwrap_or(from) + thick;
                let storey = f64::from(level.0);
                boxes.push(WallBox {
                    wall: self.building.walls.len() as u32,
                    extent: AABB::from_corners([low.x, low.y, storey], [high.x, high.y, storey]),
                });
                let z = (
                    self.levels[level.0 as usize].floor,
                    self.top_of_walls(level, from),
                );
                self.building.walls.push(Wall {
                    level,
                    from: from.into(),
                    to: to.into(),
                    into: into.into(),
                    thick,
                    z,
                });
            }
        }
        self.walls = RTree::bulk_load(boxes);
    }

    /// Ceiling, next floor above, roof, or common practice: the first that is told.
    fn top_of_walls(&self, level: LevelIx, at: DVec2) -> f64 {
        let Level { floor, ceiling, .. } = &self.levels[level.0 as usize];
        let next = || {
            self.upwards
                .iter()
                .map(|ix| self.levels[ix.0 as usize].floor)
                .find(|above| above > floor)
        };
        let roof = || {
            self.building
                .roof_at(at.x, at.y)
                .filter(|roof| roof > floor)
        };
        ceiling
            .or_else(next)
            .or_else(roof)
            .unwrap_or(floor + practice().wall_height)
    }

    fn cut_openings(&mut self, job: &Job, remarks: &mut Remarks<'_>) {
        for told in &job.openings {
            let Some(level) = self.level(&told.level) else {
                continue;
            };
            let at = plan(told.at);
            let near = self.walls_near(level, at, at).find(|&ix| {
                let wall = &self.building.walls[ix as usize];
                let deep = (at - DVec2::from(wall.from)).dot(DVec2::from(wall.into));
                (-ON_FACE..=wall.thick + ON_FACE).contains(&deep) && on_stretch(wall, at)
            });
            match near {
                Some(wall) => self.building.openings.push(Opening {
                    kind: told.kind,
                    level,
                    wall,
                    at: at.into(),
                    width: told.width.mm(),
                }),
                None => remarks.push(
                    Diagnostic::mistake(
                        "opening-outside-wall",
                        told.span,
                        "there is no wall at this place",
                    )
                    .expected("expected a point on the line of a wall"),
                ),
            }
        }
    }

    fn place_bodies(&mut self, job: &Job, remarks: &mut Remarks<'_>) {
        for told in &job.bodies {
            let corners = match told.shape {
                BodyShape::Between { from, to } => {
                    let (low, high) = (plan(from).min(plan(to)), plan(from).max(plan(to)));
                    [
                        low,
                        DVec2::new(high.x, low.y),
                        high,
                        DVec2::new(low.x, high.y),
                    ]
                }
                BodyShape::Along { from, to, wide } => {
                    let (from, to) = (plan(from), plan(to));
                    let side = (to - from).normalize_or_zero().perp() * (wide.mm() / 2.0);
                    [from - side, to - side, to + side, from + side]
                }
            };
            let (across, along) = (corners[1] - corners[0], corners[3] - corners[0]);
            if across.length() < NOTHING || along.length() < NOTHING || told.deep.mm() <= 0.0 {
                let text = format!("{} has no width, length or depth", told.tag.text);
                remarks.push(Diagnostic::mistake("empty-body", told.span, text));
                continue;
            }
            let middle = (corners[0] + corners[2]) / 2.0;
            let Some(top) = self.surface(&told.top, middle, remarks) else {
                continue;
            };
            self.building.bodies.push(Body {
                kind: told.kind,
                tag: told.tag.text.clone(),
                corners: corners.map(Into::into),
                z: (top - told.deep.mm(), top),
                span: told.span,
            });
        }
    }

    /// The level of that name. Names of levels are checked where the text is read.
    pub fn level(&self, name: &Name) -> Option<LevelIx> {
        self.by_name.get(name.text.as_str()).copied()
    }

    /// The height of a surface plus its offset, mm, whatever part of a pipe is meant;
    /// a mistake where the job does not tell of the surface.
    pub fn surface(&self, height: &Height, at: DVec2, remarks: &mut Remarks<'_>) -> Option<f64> {
        let missing = |remarks: &mut Remarks<'_>, code, text: String, help: &str| {
            remarks.push(Diagnostic::mistake(code, height.span, text).help(help));
            None
        };
        let base = match &height.from {
            Surface::Datum => Some(0.0),
            Surface::Roof => match self.building.roof_at(at.x, at.y) {
                None => missing(
                    remarks,
                    "roof-not-stated",
                    "the job tells of no roof".to_owned(),
                    "say how high it is, as in `roof 12'`",
                ),
                roof => roof,
            },
            Surface::Floor(name) => self.level(name).map(|ix| self.levels[ix.0 as usize].floor),
            Surface::Ceiling(name) => {
                let level = &self.levels[self.level(name)?.0 as usize];
                match level.ceiling {
                    None => missing(
                        remarks,
                        "ceiling-not-stated",
                        format!("the ceiling of {} is not told", level.name),
                        "add `ceiling` and its height above the floor to the level",
                    ),
                    ceiling => ceiling,
                }
            }
            Surface::Joists(name) => {
                let level = &self.levels[self.level(name)?.0 as usize];
                match level.underside {
                    None => missing(
                        remarks,
                        "joists-not-stated",
                        format!("the joists or slab of {} are not told", level.name),
                        "add `joists` with their depth, or `slab` with its thickness, to the level",
                    ),
                    underside => underside,
                }
            }
        };
        base.map(|base| base + height.offset.mm())
    }

    /// A place in plan, mm; a mistake where a wall is named that is not there.
    pub fn place(
        &self,
        at: (Coord, Coord),
        storey: Storey,
        span: wyeline_job::Span,
        remarks: &mut Remarks<'_>,
    ) -> Option<DVec2> {
        let (x, y) = match at {
            (Coord::At(x), Coord::At(y)) => (Some(x.mm()), Some(y.mm())),
            (Coord::Wall(side), Coord::At(y)) => {
                (self.outermost(side, Some(y.mm()), storey), Some(y.mm()))
            }
            (Coord::At(x), Coord::Wall(side)) => {
                (Some(x.mm()), self.outermost(side, Some(x.mm()), storey))
            }
            (Coord::Wall(a), Coord::Wall(b)) => (
                self.outermost(a, None, storey),
                self.outermost(b, None, storey),
            ),
        };
        if let (Some(x), Some(y)) = (x, y) {
            return Some(DVec2::new(x, y));
        }
        remarks.push(
            Diagnostic::mistake(
                "no-such-wall",
                span,
                "there is no wall on that side at this place",
            )
            .help("give the coordinate as a length, or tell of the wall"),
        );
        None
    }
}

fn roof_plane(told: &wyeline_job::model::RoofPlane) -> RoofPlane {
    let height = told.height.mm();
    match &told.pitch {
        None => RoofPlane {
            z0: height,
            sx: 0.0,
            sy: 0.0,
        },
        Some(pitch) => {
            let rise = way(pitch.rising) * pitch.rise.ratio();
            RoofPlane {
                z0: height - rise.dot(plan(pitch.eave)),
                sx: rise.x,
                sy: rise.y,
            }
        }
    }
}
