//! Places a group: each of its things is copied, mirrored, turned, moved and renamed.
//!
//! In: what the group says in its own coordinates, and a placement. Out: the
//! same things in the job's coordinates, as if they had been written out.

use std::collections::HashSet;

use wyeline_units::Len;

use crate::diagnostic::Diagnostic;
use crate::groups::{Group, Mirror, Parts, Placement};
use crate::model::{
    Body, BodyShape, Compass, Coord, Direction, Fixture, Hand, Height, Level, Name, Opening,
    PointRef, PortOverride, Reach, Rise, RoomName, Run, Start, Step, StepKind, Surface, Wall,
};
use crate::values::here_shift;

/// A group being placed.
pub struct Placing<'a> {
    pub group: &'a Group,
    pub placement: &'a Placement,
    pub levels: &'a [Level],
    /// The level it is placed on, by its number in `levels`.
    pub storey: usize,
    /// Names that the group itself gives.
    pub own: &'a HashSet<&'a str>,
    pub found: &'a mut Vec<Diagnostic>,
}

impl Placing<'_> {
    /// Every `$WORD` the group uses has to be given, and every one given should be used.
    pub fn check_words(&mut self) {
        let (group, placement) = (self.group, self.placement);
        for word in &group.words {
            if placement.given(&word.text).is_none() {
                let mistake = Diagnostic::mistake(
                    "word-not-given",
                    placement.span,
                    format!("what `${}` stands for is not said", word.text),
                )
                .expected(format!("expected `with {} NAME`", word.text))
                .note(word.span, "used here");
                self.found.push(mistake);
            }
        }
        let used: HashSet<&str> = group.words.iter().map(|word| word.text.as_str()).collect();
        for (word, _) in placement
            .with
            .values()
            .filter(|(word, _)| !used.contains(word.text.as_str()))
        {
            let warning = Diagnostic::warning(
                "word-not-used",
                word.span,
                format!(
                    "the group `{}` does not use `${}`",
                    group.name.text, word.text
                ),
            )
            .note(group.name.span, "the group");
            self.found.push(warning);
        }
    }

    /// Adds what the group holds, as it lies after placing.
    pub fn place(&mut self, parts: &mut Parts) {
        let from = &self.group.parts;
        parts
            .walls
            .extend(from.walls.iter().filter_map(|wall| self.wall(wall)));
        parts.openings.extend(
            from.openings
                .iter()
                .filter_map(|opening| self.opening(opening)),
        );
        parts
            .rooms
            .extend(from.rooms.iter().filter_map(|room| self.room(room)));
        parts
            .bodies
            .extend(from.bodies.iter().filter_map(|body| self.body(body)));
        parts.fixtures.extend(
            from.fixtures
                .iter()
                .filter_map(|fixture| self.fixture(fixture)),
        );
        parts.runs.extend(from.runs.iter().map(|run| self.run(run)));
    }

    fn spot(&self, (mut east, mut north): (Len, Len)) -> (Len, Len) {
        match self.placement.mirror {
            Some(Mirror::EastWest) => east = -east,
            Some(Mirror::NorthSouth) => north = -north,
            None => {}
        }
        for _ in 0..self.placement.quarters {
            (east, north) = (-north, east);
        }
        (east + self.placement.at.0, north + self.placement.at.1)
    }

    fn compass(&self, way: Compass) -> Compass {
        let eighth = way.eighth();
        let eighth = match self.placement.mirror {
            Some(Mirror::EastWest) => 12 - eighth,
            Some(Mirror::NorthSouth) => 8 - eighth,
            None => eighth,
        };
        Compass::from_eighth(eighth + 2 * self.placement.quarters)
    }

    fn direction(&self, way: Direction) -> Direction {
        match way {
            Direction::Level(way) => Direction::Level(self.compass(way)),
            other => other,
        }
    }

    /// Coordinates of which either may be a wall: each part is turned with its axis.
    fn coords(&self, (east, north): (Coord, Coord)) -> (Coord, Coord) {
        let length = |coord| {
            if let Coord::At(length) = coord {
                length
            } else {
                Len::ZERO
            }
        };
        let (new_east, new_north) = self.spot((length(east), length(north)));
        let moved = |coord, length| match coord {
            Coord::At(_) => Coord::At(length),
            Coord::Wall(side) => Coord::Wall(self.compass(side)),
        };
        let (for_east, for_north) = if self.placement.quarters.is_multiple_of(2) {
            (east, north)
        } else {
            (north, east)
        };
        (moved(for_east, new_east), moved(for_north, new_north))
    }

    fn level(&mut self, name: &Name) -> Option<Name> {
        let Some(shift) = here_shift(&name.text) else {
            return Some(name.clone());
        };
        let storey = i64::try_from(self.storey)
            .unwrap_or(i64::MAX)
            .saturating_add(i64::from(shift));
        let level = usize::try_from(storey)
            .ok()
            .and_then(|storey| self.levels.get(storey));
        if let Some(level) = level {
            return Some(Name {
                text: level.name.text.clone(),
                span: name.span,
            });
        }
        let mistake = Diagnostic::mistake(
            "no-such-storey",
            self.placement.span,
            format!(
                "there is no level for `{}` from `{}`",
                name.text, self.placement.level.text
            ),
        )
        .expected("expected a level that has others above and below as the group needs")
        .note(name.span, "used here");
        self.found.push(mistake);
        None
    }

    fn prefixed(&self, name: &Name) -> Name {
        Name {
            text: format!("{}/{}", self.placement.prefix.text, name.text),
            span: name.span,
        }
    }

    fn reference(&self, name: &Name) -> Name {
        if let Some(word) = name.text.strip_prefix('$')
            && let Some(given) = self.placement.given(word)
        {
            return Name {
                text: given.text.clone(),
                span: name.span,
            };
        }
        if self.own.contains(name.text.as_str()) {
            self.prefixed(name)
        } else {
            name.clone()
        }
    }

    fn point(&self, point: &PointRef) -> PointRef {
        PointRef {
            name: self.reference(&point.name),
            port: point.port.clone(),
        }
    }

    fn wall(&mut self, wall: &Wall) -> Option<Wall> {
        let mut points: Vec<_> = wall.points.iter().map(|point| self.spot(*point)).collect();
        if self.placement.mirror.is_some() {
            // In a mirror left is right; walked the other way it is left again.
            points.reverse();
        }
        Some(Wall {
            level: self.level(&wall.level)?,
            points,
            ..*wall
        })
    }

    fn opening(&mut self, opening: &Opening) -> Option<Opening> {
        Some(Opening {
            level: self.level(&opening.level)?,
            at: self.spot(opening.at),
            ..*opening
        })
    }

    fn room(&mut self, room: &RoomName) -> Option<RoomName> {
        let level = self.level(&room.level)?;
        Some(RoomName {
            text: room.text.clone(),
            level,
            at: self.spot(room.at),
        })
    }

    fn body(&mut self, body: &Body) -> Option<Body> {
        let shape = match body.shape {
            BodyShape::Along { from, to, wide } => BodyShape::Along {
                from: self.spot(from),
                to: self.spot(to),
                wide,
            },
            BodyShape::Between { from, to } => BodyShape::Between {
                from: self.spot(from),
                to: self.spot(to),
            },
        };
        let top = self.height(&body.top)?;
        Some(Body {
            tag: self.prefixed(&body.tag),
            shape,
            top,
            ..*body
        })
    }

    fn fixture(&mut self, fixture: &Fixture) -> Option<Fixture> {
        let mirrored = self.placement.mirror.is_some();
        let ports = fixture.ports.iter().map(|port| {
            if mirrored {
                swapped(port)
            } else {
                port.clone()
            }
        });
        Some(Fixture {
            tag: self.prefixed(&fixture.tag),
            kind: fixture.kind.clone(),
            level: self.level(&fixture.level)?,
            at: self.coords(fixture.at),
            faces: self.compass(fixture.faces),
            ports: ports.collect(),
            mirrored,
            raised: self.placement.raised,
            ..*fixture
        })
    }

    fn height(&mut self, height: &Height) -> Option<Height> {
        let (from, offset) = match &height.from {
            // What is told from a floor goes up with the group; structure stays where it is.
            Surface::Floor(level) => (
                Surface::Floor(self.level(level)?),
                height.offset + self.placement.raised,
            ),
            Surface::Ceiling(level) => (Surface::Ceiling(self.level(level)?), height.offset),
            Surface::Joists(level) => (Surface::Joists(self.level(level)?), height.offset),
            Surface::Roof => (Surface::Roof, height.offset),
            Surface::Datum => (Surface::Datum, height.offset),
        };
        Some(Height {
            from,
            offset,
            ..*height
        })
    }

    fn run(&mut self, run: &Run) -> Run {
        let steps: Vec<Step> = run
            .steps
            .iter()
            .filter_map(|step| {
                Some(Step {
                    kind: self.step(&step.kind)?,
                    span: step.span,
                })
            })
            .collect();
        let misread = run.misread || steps.len() < run.steps.len();
        Run {
            name: self.prefixed(&run.name),
            steps,
            misread,
            ..*run
        }
    }

    fn step(&mut self, kind: &StepKind) -> Option<StepKind> {
        Some(match kind {
            StepKind::Start(Start::At { at, height }) => StepKind::Start(Start::At {
                at: self.coords(*at),
                height: self.height(height)?,
            }),
            StepKind::Start(Start::From(point)) => StepKind::Start(Start::From(self.point(point))),
            StepKind::Level { way, reach } => {
                let reach = match reach {
                    Reach::Abreast(point) => Reach::Abreast(self.point(point)),
                    Reach::AbreastAt(at) => Reach::AbreastAt(self.coords(*at)),
                    other => other.clone(),
                };
                StepKind::Level {
                    way: self.compass(*way),
                    reach,
                }
            }
            StepKind::Vertical {
                up,
                reach: Rise::To(height),
            } => StepKind::Vertical {
                up: *up,
                reach: Rise::To(self.height(height)?),
            },
            StepKind::Tilt {
                up,
                rise,
                angle,
                way,
            } => StepKind::Tilt {
                up: *up,
                rise: *rise,
                angle: *angle,
                way: self.compass(*way),
            },
            StepKind::Offset {
                first,
                second,
                angle,
                going,
            } => StepKind::Offset {
                first: (self.direction(first.0), first.1),
                second: (self.direction(second.0), second.1),
                angle: *angle,
                going: going.map(|way| self.direction(way)),
            },
            StepKind::To { at, height } => {
                let height = match height {
                    Some(height) => Some(self.height(height)?),
                    None => None,
                };
                StepKind::To {
                    at: self.coords(*at),
                    height,
                }
            }
            StepKind::Catch {
                target,
                at_45,
                size,
            } => {
                let mut target = target.clone();
                target.tag = self.reference(&target.tag);
                StepKind::Catch {
                    target,
                    at_45: *at_45,
                    size: *size,
                }
            }
            StepKind::End { target, size } => {
                let mut target = target.clone();
                target.tag = self.reference(&target.tag);
                StepKind::End {
                    target,
                    size: *size,
                }
            }
            StepKind::Join(point) => StepKind::Join(self.point(point)),
            StepKind::Point(name) => StepKind::Point(self.prefixed(name)),
            StepKind::Device { kind, tag, length } => StepKind::Device {
                kind: *kind,
                tag: tag.as_ref().map(|tag| self.prefixed(tag)),
                length: *length,
            },
            StepKind::Arrives(height) => StepKind::Arrives(self.height(height)?),
            other => other.clone(),
        })
    }
}

/// A port in a mirror: the other hand, but hot and cold stay on their sides of the user.
fn swapped(port: &PortOverride) -> PortOverride {
    let mut port = port.clone();
    if !matches!(port.port.text.as_str(), "hot" | "cold") {
        port.hand = port.hand.map(|hand| match hand {
            Hand::Left => Hand::Right,
            Hand::Centre => Hand::Centre,
            Hand::Right => Hand::Left,
        });
        port.right = port.right.map(|right| -right);
    }
    port
}
