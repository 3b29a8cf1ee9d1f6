//! Takes the steps of a run one by one.
//!
//! What a step means is said in `docs/job-language.md`. A step that is mistaken is
//! reported and left out; the run goes on from its last good point.

use glam::DVec2;
use wyeline_job::model::{Coord, Height, PipePart, Reach as Far, Rise, Run, Start, Step, StepKind};
use wyeline_job::{Diagnostic, Span};
use wyeline_units::{Len, Quantity, Slope};

use crate::bores::Diameters;
use crate::builder::{Builder, Found};
use crate::kinds::Trap;
use crate::lay::Reach;
use crate::model::{Beyond, Device, DoubtKind, FallSlope, NodeKind};
use crate::remarks::NOTHING;
use crate::site::Storey;
use crate::walk::{Ahead, Here, Stop, Walk};

impl<'a> Builder<'a> {
    /// Takes one step.
    pub fn step(&mut self, walk: &mut Walk<'a>, step: &'a Step) -> Result<(), Stop<'a>> {
        let run: &'a Run = &self.job.runs[walk.run];
        match &step.kind {
            StepKind::Start(start) => return self.start(walk, run, start, step.span),
            StepKind::Size { size, meet } => {
                let before = walk.pen.diameters;
                walk.pen.set_size(*size, walk.system);
                walk.meet(before, *meet);
                return Ok(());
            }
            StepKind::Slope(slope) => return self.slope(walk, *slope, step.span),
            StepKind::Material(name) => return self.material(walk, name),
            StepKind::Existing(existing) => {
                walk.pen.existing = *existing;
                return Ok(());
            }
            StepKind::Unverified(unverified) => {
                walk.pen.unverified = *unverified;
                return Ok(());
            }
            StepKind::Insulated(insulation) => {
                walk.pen.insulation = *insulation;
                return Ok(());
            }
            StepKind::Cap
            | StepKind::Continues { .. }
            | StepKind::End { .. }
            | StepKind::Join(_)
            | StepKind::Vertical {
                reach: Rise::ThroughRoof(_),
                ..
            } => walk.closed = true,
            _ => {}
        }
        let Some(here) = walk.here else {
            return self.only_look_up(walk, step);
        };
        match &step.kind {
            StepKind::Level { way, reach } => self.level(walk, here, *way, reach, step.span),
            StepKind::Vertical { up, reach } => {
                self.vertical(walk, run, here, *up, reach, step.span)
            }
            StepKind::Tilt {
                up,
                rise,
                angle,
                way,
            } => self.tilt(walk, here, (*up, *rise), *angle, *way, step.span),
            StepKind::Offset {
                first,
                second,
                angle,
                going,
            } => self.offset(walk, here, [*first, *second], *angle, *going, step.span),
            StepKind::To { at, height } => {
                self.straight_to(walk, run, here, *at, height.as_ref(), step.span)
            }
            StepKind::Catch {
                target,
                at_45,
                size,
            } => {
                let found = self.find_fixture(target, walk.system)?;
                let found = self.at_the_tee(walk, found, step.span);
                self.check_system(walk.system, found, step.span)?;
                let mut pen = walk.pen;
                if let Some(size) = size {
                    pen.set_size(*size, walk.system);
                }
                let reach = Reach {
                    target: found,
                    at_45: *at_45,
                    label: &target.tag.text,
                    span: step.span,
                    last: false,
                };
                self.reach(walk, here, &pen, &reach);
                Ok(())
            }
            StepKind::End { target, size } => {
                let found = self.find_fixture(target, walk.system)?;
                let found = self.at_the_tee(walk, found, step.span);
                self.check_system(walk.system, found, step.span)?;
                if let Some(size) = size {
                    walk.pen.set_size(*size, walk.system);
                }
                self.finish_at(walk, here, found, &target.tag.text, step.span);
                Ok(())
            }
            StepKind::Join(point) => {
                let found = self.find_point(point, walk.system)?;
                // A stack may go on as its own vent, which begins where the drain ends.
                if !self.ends_vent(point, found) {
                    self.check_system(walk.system, found, step.span)?;
                }
                self.finish_at(walk, here, found, &point.name.text, step.span);
                Ok(())
            }
            StepKind::Cap => {
                self.node_mut(here.node).kind = NodeKind::Cap;
                Ok(())
            }
            StepKind::Continues { to, load, pressure } => {
                let words = |pair: &Option<(String, String)>| {
                    pair.as_ref().map(|(n, unit)| format!("{n} {unit}"))
                };
                let beyond = Beyond {
                    load: load
                        .as_ref()
                        .and_then(|(n, unit)| Some((n.parse().ok()?, unit.clone()))),
                    needs: words(pressure).and_then(|words| match Quantity::read(&words) {
                        Ok((Quantity::Pressure(pressure), _)) => Some(pressure),
                        _ => None,
                    }),
                };
                let load = match (words(load), words(pressure)) {
                    (Some(load), Some(pressure)) => Some(format!("{load}, {pressure}")),
                    (load, pressure) => load.or(pressure),
                };
                self.node_mut(here.node).kind = NodeKind::Continues {
                    to: to.clone(),
                    load,
                    beyond,
                };
                Ok(())
            }
            StepKind::Point(name) => {
                self.name_point(name, here.node);
                Ok(())
            }
            StepKind::Device {
                kind,
                tag,
                length,
                setting,
                loses,
            } => {
                let device = Device {
                    kind: *kind,
                    tag: tag.as_ref().map(|tag| tag.text.clone()),
                    length_mm: length.map(Len::mm),
                    setting: *setting,
                    loses: *loses,
                };
                self.device(walk, here, device, step.span)
            }
            StepKind::Arrives { bound, height } => self.arrives(walk, here, *bound, height),
            StepKind::Fitting(names) => {
                let told = names.iter().map(|name| name.text.clone());
                self.node_mut(here.node).fitting.extend(told);
                Ok(())
            }
            StepKind::Note(text) => {
                let note = &mut self.node_mut(here.node).note;
                *note = Some(match note.take() {
                    Some(before) => before + "; " + text,
                    None => text.clone(),
                });
                Ok(())
            }
            StepKind::Start(_)
            | StepKind::Size { .. }
            | StepKind::Insulated(_)
            | StepKind::Slope(_)
            | StepKind::Material(_)
            | StepKind::Existing(_)
            | StepKind::Unverified(_) => Ok(()),
        }
    }

    /// In a run that could not be begun, names are still looked up, so that each mistake is told.
    fn only_look_up(&mut self, walk: &Walk<'a>, step: &'a Step) -> Result<(), Stop<'a>> {
        match &step.kind {
            StepKind::Catch { target, .. } | StepKind::End { target, .. } => {
                self.find_fixture(target, walk.system)?;
            }
            StepKind::Join(point)
            | StepKind::Level {
                reach: Far::Abreast(point),
                ..
            } => {
                match self.find_point(point, walk.system) {
                    // Nothing can be placed from here, so there is nothing to wait for.
                    Err(Stop::Wait(_)) => {}
                    other => drop(other?),
                }
            }
            _ => {}
        }
        Ok(())
    }

    fn start(
        &mut self,
        walk: &mut Walk<'a>,
        run: &'a Run,
        start: &'a Start,
        span: Span,
    ) -> Result<(), Stop<'a>> {
        walk.from_air = self.told_from_air(run);
        let (node, at, z_drawn) = match start {
            Start::At { at, height } => {
                // Walls named by their side are those of the storey the height lies in.
                let rough = self.rough_height(*at, height)?;
                let plan = self
                    .site
                    .place(*at, Storey::Height(rough), span, &mut self.remarks)
                    .ok_or(Stop::Mistake)?;
                let diameters = walk.pen_ahead(run).diameters;
                let z = self.height(walk, height, plan, diameters)?;
                let id = format!("{}:0", run.name.text);
                let roof = self.site.building.roof_at(plan.x, plan.y);
                let open = walk.from_air && roof.is_some_and(|roof| z >= roof);
                let kind = if open {
                    NodeKind::RoofEnd
                } else {
                    NodeKind::Start
                };
                let node = self.add_node(id, plan.extend(z), z, kind, walk.system, span);
                (node, plan.extend(z), z)
            }
            Start::From(point) => {
                let found = self.find_point(point, walk.system)?;
                self.check_system(walk.system, found, span)?;
                let node = self.node_of(found);
                if let Found::Port(fixture, port) = found {
                    let pen = walk.pen_ahead(run);
                    self.build_arm(walk, fixture, port, &pen, span);
                }
                let stands = self.node(node);
                (node, stands.at, stands.z_drawn)
            }
        };
        walk.start = Some(node);
        walk.here = Some(Here {
            node,
            at,
            z_drawn,
            heading: None,
            climbed: 0.0,
            fixed: (at.z, 0.0, 0.0),
        });
        Ok(())
    }

    /// A height good enough to choose a storey by.
    fn rough_height(&mut self, at: (Coord, Coord), height: &Height) -> Result<f64, Stop<'a>> {
        let number = |part: Coord| match part {
            Coord::At(len) => len.mm(),
            Coord::Wall(_) => 0.0,
        };
        let plan = DVec2::new(number(at.0), number(at.1));
        self.site
            .surface(height, plan, &mut self.remarks)
            .ok_or(Stop::Mistake)
    }

    /// The height of the pipe's centre, mm.
    pub fn height(
        &mut self,
        walk: &Walk<'a>,
        height: &Height,
        at: DVec2,
        diameters: Option<Diameters>,
    ) -> Result<f64, Stop<'a>> {
        let told = self
            .site
            .surface(height, at, &mut self.remarks)
            .ok_or(Stop::Mistake)?;
        let run = self.run_name(walk);
        let words = match height.part {
            PipePart::Centre => "centre",
            PipePart::Invert => "invert",
            PipePart::Top => "top",
        };
        if height.unverified {
            let text = format!("{run}: {words} {}", self.remarks.show(told));
            self.remarks.doubt(DoubtKind::Unverified, height.span, text);
        }
        Ok(match (height.part, diameters) {
            (PipePart::Centre, _) => told,
            (PipePart::Invert, Some(d)) => told + d.bore / 2.0,
            (PipePart::Top, Some(d)) => told - d.outside / 2.0,
            (_, None) => {
                let text = format!(
                    "{run}: {words} {} is taken for the centre",
                    self.remarks.show(told)
                );
                self.remarks.doubt(DoubtKind::Unknown, height.span, text);
                let text =
                    format!("the {words} of a pipe without a known size is taken for its centre");
                let help = "say the size before the next move";
                self.remarks
                    .push(Diagnostic::warning("height-without-size", height.span, text).help(help));
                told
            }
        })
    }

    fn slope(&mut self, walk: &mut Walk<'a>, slope: Slope, span: Span) -> Result<(), Stop<'a>> {
        if slope.ratio() > 0.0 {
            walk.pen.slope = Some(FallSlope {
                slope,
                assumed: false,
            });
            return Ok(());
        }
        if walk.system.drains() {
            let text = format!("{} cannot lie level", walk.system.word());
            let help = "state a slope, as in `slope 1/4 in per ft`";
            self.remarks
                .push(Diagnostic::mistake("level-drain", span, text).help(help));
            return Err(Stop::Mistake);
        }
        walk.pen.slope = None;
        Ok(())
    }

    /// The tee, where a drain is told to reach the outlet of a fixture that has an arm.
    fn at_the_tee(&mut self, walk: &Walk<'a>, found: Found, span: Span) -> Found {
        let Found::Port(fixture, port) = found else {
            return found;
        };
        let one = &self.placed[fixture as usize];
        let outlet = one.kind.trap == Trap::Arm && one.fixture.ports[port].name == "drain";
        if !outlet || !walk.system.drains() {
            return found;
        }
        let Some(tee) = one.fixture.ports.iter().position(|port| port.name == "tee") else {
            return found;
        };
        let tag = &one.fixture.tag;
        let text =
            format!("a drain reaches {tag} at its tee; the trap and its arm are built from there");
        self.remarks.push(
            Diagnostic::warning("outlet-instead-of-tee", span, text).help(format!("say `{tag}`")),
        );
        Found::Port(fixture, tee)
    }

    fn finish_at(
        &mut self,
        walk: &mut Walk<'a>,
        here: Here,
        target: Found,
        label: &'a str,
        span: Span,
    ) {
        let pen = walk.pen;
        let reach = Reach {
            target,
            at_45: false,
            label,
            span,
            last: true,
        };
        // A run that starts on the very spot has only the trap and arm to build.
        let on_the_spot = walk.moves == 0 && self.place_of(target).distance(here.at) < NOTHING;
        let end = self.reach(walk, here, &pen, &reach);
        walk.here = Some(end);
        let start = walk.start.map(|start| self.alive(start));
        if !on_the_spot && start == Some(self.alive(end.node)) {
            let text = "the run comes back to where it started";
            self.remarks
                .push(Diagnostic::mistake("run-returns-to-start", span, text));
            walk.shaky = true;
        }
    }

    /// Sets a device at the present point, or ahead of the one that is there.
    fn device(
        &mut self,
        walk: &mut Walk<'a>,
        here: Here,
        device: Device,
        span: Span,
    ) -> Result<(), Stop<'a>> {
        let present = &self.node(here.node).device;
        let Some(present) = present else {
            self.node_mut(here.node).device = Some(device);
            return Ok(());
        };
        let last = walk.ahead.last();
        let before = last.map_or(present.length_mm, |last| last.device.length_mm);
        let Some(length) = before.filter(|length| *length > NOTHING) else {
            let text = "there is something at this point already";
            let help = "say how long the first is, as in `length 8\"`, or move on between them";
            self.remarks
                .push(Diagnostic::mistake("two-on-one-point", span, text).help(help));
            return Err(Stop::Mistake);
        };
        let offset = last.map_or(0.0, |last| last.offset) + length;
        walk.ahead.push(Ahead {
            device,
            offset,
            span,
        });
        Ok(())
    }
}
