//! Places a group: each of its things is copied, mirrored, turned, moved and renamed.
//!
//! In: what the group says in its own coordinates, and a placement, which may itself stand in a
//! group. Out: the same things in the job's coordinates, as if they had been written out.

use crate::diagnostic::Diagnostic;
use crate::groups::{Parts, Placement};
use crate::model::{
    Body, BodyShape, Fixture, Hand, Height, Name, Opening, PointRef, PortOverride, Reach, Rise,
    RoomName, Run, Start, Step, StepKind, Surface, Wall,
};
use crate::motion::Motion;
use crate::nesting::Plan;
use crate::values::here_shift;

/// A placement in effect, and the one that its group is placed by in turn.
pub struct Scope<'a> {
    /// The group placed, by its number.
    group: usize,
    placement: &'a Placement,
    /// From the group's coordinates to the job's.
    motion: Motion,
    /// The level it is placed on, by its number.
    storey: usize,
    /// The names of all placements around, outermost first, with slashes.
    prefix: String,
    outer: Option<&'a Scope<'a>>,
}

impl<'a> Scope<'a> {
    /// A placement that stands in the job itself.
    pub fn outermost(group: usize, placement: &'a Placement, storey: usize) -> Self {
        Self {
            group,
            placement,
            motion: Motion::of(placement),
            storey,
            prefix: placement.prefix.text.clone(),
            outer: None,
        }
    }

    /// A placement that stands in the group of another.
    fn within(outer: &'a Self, group: usize, placement: &'a Placement, storey: usize) -> Self {
        Self {
            group,
            placement,
            motion: Motion::of(placement).then(&outer.motion),
            storey,
            prefix: format!("{}/{}", outer.prefix, placement.prefix.text),
            outer: Some(outer),
        }
    }
}

/// A group being placed.
pub struct Placing<'a> {
    pub plan: &'a Plan<'a>,
    pub scope: &'a Scope<'a>,
    pub found: &'a mut Vec<Diagnostic>,
}

impl Placing<'_> {
    /// Adds what the group holds, as it lies after placing, and the groups it places in turn.
    pub fn place(&mut self, parts: &mut Parts) {
        let (plan, scope) = (self.plan, self.scope);
        let from = &plan.groups[scope.group].parts;
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
        for (placement, group) in from.placements.iter().zip(&plan.places[scope.group]) {
            let Some(group) = *group else { continue };
            let Some(storey) = self.storey(&placement.level) else {
                continue;
            };
            let inner = Scope::within(scope, group, placement, storey);
            Placing {
                plan,
                scope: &inner,
                found: self.found,
            }
            .place(parts);
        }
    }

    /// The number of a level named in the group; nothing where there is none, which is reported.
    fn storey(&mut self, name: &Name) -> Option<usize> {
        let Some(shift) = here_shift(&name.text) else {
            // An unknown level has been reported where it is named.
            return self.plan.storeys.get(name.text.as_str()).copied();
        };
        let storey = i64::try_from(self.scope.storey)
            .unwrap_or(i64::MAX)
            .saturating_add(i64::from(shift));
        let storey = usize::try_from(storey).ok();
        let storey = storey.filter(|storey| *storey < self.plan.levels.len());
        if storey.is_none() {
            self.no_such_storey(name);
        }
        storey
    }

    fn no_such_storey(&mut self, name: &Name) {
        // The placement that named a level and no `here…` has to be changed; the others go along.
        let mut scope = self.scope;
        let mut along = Vec::new();
        while here_shift(&scope.placement.level.text).is_some()
            && let Some(outer) = scope.outer
        {
            along.push(scope.placement.span);
            scope = outer;
        }
        let from = &self.plan.levels[self.scope.storey].name.text;
        let mut mistake = Diagnostic::mistake(
            "no-such-storey",
            scope.placement.span,
            format!("there is no level for `{}` from `{from}`", name.text),
        )
        .expected("expected a level that has others above and below as the group needs")
        .note(name.span, "used here");
        for span in along {
            mistake = mistake.note(span, "in the group placed here");
        }
        self.found.push(mistake);
    }

    fn level(&mut self, name: &Name) -> Option<Name> {
        if here_shift(&name.text).is_none() {
            return Some(name.clone());
        }
        let storey = self.storey(name)?;
        Some(Name {
            text: self.plan.levels[storey].name.text.clone(),
            span: name.span,
        })
    }

    fn prefixed(&self, name: &Name) -> Name {
        Name {
            text: [&*self.scope.prefix, "/", &*name.text].concat(),
            span: name.span,
        }
    }

    /// What a name means that is used in the group: what `with` says, a name of the group, or one
    /// of the groups around, innermost first.
    fn reference(&self, name: &Name) -> Name {
        let mut text = name.text.as_str();
        let mut around = Some(self.scope);
        while let Some(scope) = around {
            if let Some(word) = text.strip_prefix('$') {
                match scope.placement.given(word) {
                    // Given where the group is placed, and so a name of what is around it.
                    Some(given) => text = &given.text,
                    None => break,
                }
            } else if self.plan.own[scope.group].has(text) {
                return Name {
                    text: [&*scope.prefix, "/", text].concat(),
                    span: name.span,
                };
            }
            around = scope.outer;
        }
        Name {
            text: text.to_owned(),
            span: name.span,
        }
    }

    fn point(&self, point: &PointRef) -> PointRef {
        PointRef {
            name: self.reference(&point.name),
            port: point.port.clone(),
        }
    }

    fn wall(&mut self, wall: &Wall) -> Option<Wall> {
        let mut points: Vec<_> = wall
            .points
            .iter()
            .map(|point| self.scope.motion.spot(*point))
            .collect();
        if self.scope.motion.mirrored {
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
            at: self.scope.motion.spot(opening.at),
            ..*opening
        })
    }

    fn room(&mut self, room: &RoomName) -> Option<RoomName> {
        let level = self.level(&room.level)?;
        Some(RoomName {
            text: room.text.clone(),
            level,
            at: self.scope.motion.spot(room.at),
        })
    }

    fn body(&mut self, body: &Body) -> Option<Body> {
        let shape = match body.shape {
            BodyShape::Along { from, to, wide } => BodyShape::Along {
                from: self.scope.motion.spot(from),
                to: self.scope.motion.spot(to),
                wide,
            },
            BodyShape::Between { from, to } => BodyShape::Between {
                from: self.scope.motion.spot(from),
                to: self.scope.motion.spot(to),
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
        let mirrored = self.scope.motion.mirrored;
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
            at: self.scope.motion.coords(fixture.at),
            faces: self.scope.motion.compass(fixture.faces),
            ports: ports.collect(),
            mirrored,
            raised: self.scope.motion.raised,
            ..*fixture
        })
    }

    fn height(&mut self, height: &Height) -> Option<Height> {
        let (from, offset) = match &height.from {
            // What is told from a floor goes up with the group; structure stays where it is.
            Surface::Floor(level) => (
                Surface::Floor(self.level(level)?),
                height.offset + self.scope.motion.raised,
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
                at: self.scope.motion.coords(*at),
                height: self.height(height)?,
            }),
            StepKind::Start(Start::From(point)) => StepKind::Start(Start::From(self.point(point))),
            StepKind::Level { way, reach } => {
                let reach = match reach {
                    Reach::Abreast(point) => Reach::Abreast(self.point(point)),
                    Reach::AbreastAt(at) => Reach::AbreastAt(self.scope.motion.coords(*at)),
                    other => other.clone(),
                };
                StepKind::Level {
                    way: self.scope.motion.compass(*way),
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
                way: self.scope.motion.compass(*way),
            },
            StepKind::Offset {
                first,
                second,
                angle,
                going,
            } => StepKind::Offset {
                first: (self.scope.motion.direction(first.0), first.1),
                second: (self.scope.motion.direction(second.0), second.1),
                angle: *angle,
                going: going.map(|way| self.scope.motion.direction(way)),
            },
            StepKind::To { at, height } => {
                let height = match height {
                    Some(height) => Some(self.height(height)?),
                    None => None,
                };
                StepKind::To {
                    at: self.scope.motion.coords(*at),
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
            StepKind::Device {
                kind,
                tag,
                length,
                setting,
                loses,
            } => StepKind::Device {
                kind: *kind,
                tag: tag.as_ref().map(|tag| self.prefixed(tag)),
                length: *length,
                setting: *setting,
                loses: *loses,
            },
            StepKind::Arrives { bound, height } => StepKind::Arrives {
                bound: *bound,
                height: self.height(height)?,
            },
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
