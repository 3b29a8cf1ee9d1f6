//! Moves of a run: level, plumb, tilted, rolling, and straight to a point.
//!
//! Each finds the leg it tells of, and lays it with the devices that wait for room ahead.

use glam::{DVec2, DVec3};
use wyeline_job::model::{Compass, Coord, Direction, Height, Reach as Far, Rise, Run};
use wyeline_job::{Diagnostic, Span};
use wyeline_units::Len;

use crate::builder::Builder;
use crate::lay::{Form, Leg, Tag};
use crate::model::NodeKind;
use crate::practice::practice;
use crate::remarks::NOTHING;
use crate::site::{Storey, way};
use crate::walk::{Here, Stop, Walk};

impl<'a> Builder<'a> {
    /// Goes level, as far as is said.
    pub fn level(
        &mut self,
        walk: &mut Walk<'a>,
        here: Here,
        compass: Compass,
        reach: &'a Far,
        span: Span,
    ) -> Result<(), Stop<'a>> {
        let ahead = way(compass);
        // The way counts even where the move turns out to have no length.
        let turned = Here {
            heading: Some(ahead.extend(0.0)),
            ..here
        };
        let abreast = |target: DVec2| (target - here.plan()).dot(ahead);
        let plan = match reach {
            Far::Travel(length) => ahead * self.forward(*length, span)?,
            Far::Legs(length) => {
                let leg = self.forward(*length, span)?;
                if ahead.x == 0.0 || ahead.y == 0.0 {
                    let text = "only a 45 has two legs";
                    let help = "say how far, without `legs`";
                    self.remarks
                        .push(Diagnostic::mistake("legs-along-axis", span, text).help(help));
                    return Err(Stop::Mistake);
                }
                DVec2::new(leg.copysign(ahead.x), leg.copysign(ahead.y))
            }
            Far::Abreast(point) => {
                let found = self.find_point(point, walk.system)?;
                let target = self.place_of(found).truncate();
                ahead * self.not_behind(walk, abreast(target), &point.name.text, span)?
            }
            Far::AbreastAt(at) => {
                let target = self
                    .site
                    .place(*at, Storey::Height(here.z_drawn), span, &mut self.remarks)
                    .ok_or(Stop::Mistake)?;
                ahead * self.not_behind(walk, abreast(target), "that point", span)?
            }
            Far::IntoWall => {
                let Some(length) = self.site.to_wall_core(here.plan(), ahead, here.z_drawn) else {
                    let text = "there is no wall that way";
                    let help = "say how far, or tell of the wall";
                    self.remarks
                        .push(Diagnostic::mistake("no-such-wall", span, text).help(help));
                    walk.here = Some(turned);
                    return Err(Stop::Mistake);
                };
                ahead * length
            }
        };
        self.advance(walk, turned, Leg::level(plan), span);
        Ok(())
    }

    fn forward(&mut self, length: Len, span: Span) -> Result<f64, Stop<'a>> {
        if length >= Len::ZERO {
            return Ok(length.mm());
        }
        let text = "a move cannot have a length below nothing";
        self.remarks.push(
            Diagnostic::mistake("negative-length", span, text).help("turn its direction round"),
        );
        Err(Stop::Mistake)
    }

    fn not_behind(
        &mut self,
        walk: &Walk<'a>,
        length: f64,
        what: &str,
        span: Span,
    ) -> Result<f64, Stop<'a>> {
        if length >= -NOTHING {
            return Ok(length.max(0.0));
        }
        // After a mistake the run is not where it was meant to be.
        if !walk.shaky {
            let text = format!(
                "{what} lies {} behind, the other way",
                self.remarks.show(-length)
            );
            self.remarks.push(
                Diagnostic::mistake("abreast-behind", span, text).help("turn the direction round"),
            );
        }
        Err(Stop::Mistake)
    }

    /// Goes up or down.
    pub fn vertical(
        &mut self,
        walk: &mut Walk<'a>,
        run: &'a Run,
        here: Here,
        up: bool,
        reach: &Rise,
        span: Span,
    ) -> Result<(), Stop<'a>> {
        let heading = Some(if up { DVec3::Z } else { DVec3::NEG_Z });
        let turned = Here { heading, ..here };
        let (rise, fixed) = match reach {
            Rise::By(length) => {
                let length = self.forward(*length, span)?;
                (if up { length } else { -length }, false)
            }
            Rise::To(height) => {
                let diameters = walk.pen_ahead(run).diameters;
                let z = self.height(walk, height, here.plan(), diameters)?;
                let drawn = z - here.z_drawn;
                if (up && drawn < -NOTHING) || (!up && drawn > NOTHING) {
                    let side = if up { "below" } else { "above" };
                    let text = format!(
                        "that height lies {} {side} the present one",
                        self.remarks.show(drawn.abs())
                    );
                    let other = if up { "down" } else { "up" };
                    self.remarks.push(
                        Diagnostic::mistake("height-behind", span, text)
                            .help(format!("say `{other} to`")),
                    );
                    return Err(Stop::Mistake);
                }
                (z - here.at.z, true)
            }
            Rise::ThroughRoof(above) => {
                let Some(roof) = self.site.building.roof_at(here.at.x, here.at.y) else {
                    let text = "the job tells of no roof";
                    let help = "say how high it is, as in `roof 12'`";
                    self.remarks
                        .push(Diagnostic::mistake("roof-not-stated", span, text).help(help));
                    return Err(Stop::Mistake);
                };
                let z = roof + above.map_or(practice().roof_terminal, Len::mm);
                if !up || z <= here.at.z {
                    let text = "the roof lies below";
                    self.remarks
                        .push(Diagnostic::mistake("height-behind", span, text));
                    return Err(Stop::Mistake);
                }
                (z - here.at.z, true)
            }
        };
        if walk.system.drains() && rise < -NOTHING {
            let text = format!(
                "going upstream the drain would fall by {}",
                self.remarks.show(-rise)
            );
            let help = if matches!(reach, Rise::To(_)) {
                "its slope has carried it higher than that already: begin lower, or ask for a greater height"
            } else {
                "waste and storm are told from their outlet upstream: they can only rise"
            };
            self.remarks
                .push(Diagnostic::mistake("drain-uphill", span, text).help(help));
        }
        self.advance(walk, turned, Leg::vertical(rise), span);
        if let Some(here) = &mut walk.here {
            if fixed {
                here.fix();
            }
            if let Rise::ThroughRoof(_) = reach {
                let node = here.node;
                self.node_mut(node).kind = NodeKind::RoofEnd;
            }
        }
        Ok(())
    }

    fn angle(&mut self, angle: u32, span: Span) -> Result<f64, Stop<'a>> {
        let known = &practice().angles;
        if known.contains(&angle) {
            return Ok((f64::from(angle) / 100.0).to_radians());
        }
        let list: Vec<String> = known
            .iter()
            .map(|&angle| (f64::from(angle) / 100.0).to_string())
            .collect();
        let text = format!("no fitting turns by {} degrees", f64::from(angle) / 100.0);
        let list = format!("expected one of {}", list.join(", "));
        self.remarks
            .push(Diagnostic::mistake("angle-without-fitting", span, text).expected(list));
        Err(Stop::Mistake)
    }

    /// Goes up or down at an angle from level.
    pub fn tilt(
        &mut self,
        walk: &mut Walk<'a>,
        here: Here,
        (up, rise): (bool, Len),
        angle: u32,
        compass: Compass,
        span: Span,
    ) -> Result<(), Stop<'a>> {
        let angle = self.angle(angle, span)?;
        let rise = self.forward(rise, span)?;
        let ahead = way(compass);
        let plan = ahead * (rise / angle.tan());
        let rise = if up { rise } else { -rise };
        self.no_fall(walk, rise, span);
        let turned = Here {
            heading: Some(ahead.extend(0.0)),
            ..here
        };
        self.advance(walk, turned, Leg::tilted(plan, rise), span);
        Ok(())
    }

    /// Goes by a rolling offset: two displacements square to the heading, at a fitting angle.
    pub fn offset(
        &mut self,
        walk: &mut Walk<'a>,
        here: Here,
        aside: [(Direction, Len); 2],
        angle: u32,
        going: Option<Direction>,
        span: Span,
    ) -> Result<(), Stop<'a>> {
        let angle = self.angle(angle, span)?;
        let Some(heading) = going.map(direction).or(here.heading) else {
            let text = "a rolling offset needs a heading, and the run has not moved yet";
            self.remarks.push(
                Diagnostic::mistake("offset-without-heading", span, text)
                    .help("add `going east`, or another way"),
            );
            return Err(Stop::Mistake);
        };
        let [first, second] = aside.map(|(way, length)| direction(way) * length.mm());
        let ways = aside.map(|(way, _)| direction(way));
        if [
            ways[0].dot(heading),
            ways[1].dot(heading),
            ways[0].dot(ways[1]),
        ]
        .iter()
        .any(|dot| dot.abs() > 1e-9)
        {
            let text = "set and roll have to be square to the heading and to each other";
            self.remarks
                .push(Diagnostic::mistake("offset-not-square", span, text));
            return Err(Stop::Mistake);
        }
        let set = first + second;
        let run = set.length() / angle.tan();
        let travel = set + heading * run;
        self.no_fall(walk, travel.z, span);
        let turned = Here {
            heading: Some(heading),
            ..here
        };
        let mut leg = Leg::tilted(travel.truncate(), travel.z);
        // Set and roll are square to the pipe, whose own slope goes on along the run of the offset.
        if leg.form == Form::Tilted && heading.z == 0.0 {
            leg.sloped = run;
        }
        self.advance(walk, turned, leg, span);
        Ok(())
    }

    /// A mistake where a drain is told to fall on its way upstream.
    fn no_fall(&mut self, walk: &Walk<'a>, rise: f64, span: Span) {
        if walk.system.drains() && rise < -NOTHING {
            let text = format!(
                "going upstream the drain would fall by {}",
                self.remarks.show(-rise)
            );
            let help = "waste and storm are told from their outlet upstream: they can only rise";
            self.remarks
                .push(Diagnostic::mistake("drain-uphill", span, text).help(help));
        }
    }

    /// Goes straight to a point.
    pub fn straight_to(
        &mut self,
        walk: &mut Walk<'a>,
        run: &'a Run,
        here: Here,
        at: (Coord, Coord),
        height: Option<&Height>,
        span: Span,
    ) -> Result<(), Stop<'a>> {
        let to = self
            .site
            .place(at, Storey::Height(here.z_drawn), span, &mut self.remarks)
            .ok_or(Stop::Mistake)?;
        let plan = to - here.plan();
        let heading = (plan.length() > NOTHING)
            .then(|| plan.normalize().extend(0.0))
            .or(here.heading);
        let turned = Here { heading, ..here };
        let z = match height {
            Some(height) => {
                let diameters = walk.pen_ahead(run).diameters;
                Some(self.height(walk, height, to, diameters)?)
            }
            None => None,
        };
        // A height that is the one drawn already tells of a level pipe, which has its fall.
        let Some(z) = z.filter(|z| (z - here.z_drawn).abs() > NOTHING) else {
            self.advance(walk, turned, Leg::level(plan), span);
            return Ok(());
        };
        self.no_fall(walk, z - here.at.z, span);
        let leg = Leg::tilted(plan, z - here.at.z);
        // The pipe rises as told from its true height; the drawing starts it where it is drawn.
        self.advance(walk, turned, leg, span);
        if let Some(here) = &mut walk.here {
            here.z_drawn = z;
            here.fix();
            let node = here.node;
            self.node_mut(node).z_drawn = z;
        }
        Ok(())
    }

    /// Lays a move and goes to its end, setting devices that wait for it.
    fn advance(&mut self, walk: &mut Walk<'a>, from: Here, leg: Leg, span: Span) {
        walk.here = Some(from);
        let length = leg.length();
        if length < NOTHING {
            return;
        }
        walk.moves += 1;
        let name = self.run_name(walk);
        let pen = walk.pen;
        let mut at = from;
        let mut done = 0.0;
        for (k, ahead) in std::mem::take(&mut walk.ahead).into_iter().enumerate() {
            if ahead.offset > length - NOTHING {
                let text = format!(
                    "the move of {} has no room for this",
                    self.remarks.show(length)
                );
                self.remarks
                    .push(Diagnostic::mistake("no-room-for-device", ahead.span, text));
                continue;
            }
            let part = leg.part((ahead.offset - done) / length);
            let tag = Tag {
                pipe: format!("{name}/{}.{}", walk.moves, k + 1),
                node: format!("{name}:{}.{}", walk.moves, k + 1),
                span,
                arm: false,
            };
            at = self.lay(walk, &at, part, &pen, None, tag);
            let node = self.node_mut(at.node);
            node.device = Some(ahead.device);
            node.span = ahead.span;
            done = ahead.offset;
        }
        let tag = Tag {
            pipe: format!("{name}/{}", walk.moves),
            node: format!("{name}:{}", walk.moves),
            span,
            arm: false,
        };
        let rest = leg.part((length - done) / length);
        walk.here = Some(self.lay(walk, &at, rest, &pen, None, tag));
    }
}

fn direction(of: Direction) -> DVec3 {
    match of {
        Direction::Level(compass) => way(compass).extend(0.0),
        Direction::Up => DVec3::Z,
        Direction::Down => DVec3::NEG_Z,
    }
}
