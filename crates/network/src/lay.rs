//! Lays pipe: single legs with their fall, and the legs of a catch, an end or a join.
//!
//! Level pipe of a drain rises by its slope going upstream and is drawn level; verticals
//! end at their true height in both; what is tilted keeps the rise it is told with.

use glam::DVec2;
use wyeline_job::{Diagnostic, Span};
use wyeline_units::{Size, UnitSystem};

use crate::builder::{Builder, Found, run_ix};
use crate::model::{Lie, NodeIx, NodeKind, Pipe, PipeIx};
use crate::practice::practice;
use crate::remarks::NOTHING;
use crate::sizes::invert;
use crate::walk::{Here, Pen, Walk};

/// A straight stretch told from one point to the next.
#[derive(Clone, Copy)]
pub(crate) struct Leg {
    pub plan: DVec2,
    /// Rise as told, besides any slope.
    pub rise: f64,
    /// Level length on which it has the pipe's slope besides, mm.
    pub sloped: f64,
    pub form: Form,
}

/// How the heights of a leg come about.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    /// By slope alone; drawn level.
    Level,
    /// Plumb: ends at its true height, as drawn.
    Vertical,
    /// Rises as told, from the height drawn.
    Tilted,
}

impl Leg {
    pub fn level(plan: DVec2) -> Self {
        Self {
            plan,
            rise: 0.0,
            sloped: plan.length(),
            form: Form::Level,
        }
    }
    pub fn vertical(rise: f64) -> Self {
        Self {
            plan: DVec2::ZERO,
            rise,
            sloped: 0.0,
            form: Form::Vertical,
        }
    }
    /// Tilted, or level or plumb where it comes to that.
    pub fn tilted(plan: DVec2, rise: f64) -> Self {
        if rise.abs() < NOTHING {
            return Self::level(plan);
        }
        let (sloped, plumb) = (0.0, plan.length() < NOTHING);
        Self {
            plan,
            rise,
            sloped,
            form: if plumb { Form::Vertical } else { Form::Tilted },
        }
    }
    /// True length without fall, mm.
    pub fn length(&self) -> f64 {
        self.plan.length().hypot(self.rise)
    }
    /// A part of it, with its share of the rise.
    pub fn part(&self, share: f64) -> Self {
        if share >= 1.0 {
            *self
        } else {
            Self {
                plan: self.plan * share,
                rise: self.rise * share,
                sloped: self.sloped * share,
                ..*self
            }
        }
    }
    fn lie(&self) -> Lie {
        let along_axis = self.plan.x.abs() < NOTHING || self.plan.y.abs() < NOTHING;
        match (self.form, along_axis) {
            (Form::Vertical, _) => Lie::Vertical,
            (Form::Level, true) => Lie::Axis,
            (Form::Level, false) => Lie::LevelSkew,
            (Form::Tilted, true) => Lie::Tilted,
            (Form::Tilted, false) => Lie::Rolling,
        }
    }
}

/// Names and place in the text of the pipe being laid.
pub(crate) struct Tag {
    /// Id of the pipe.
    pub pipe: String,
    /// Id of the node at its end, where that is made; else empty.
    pub node: String,
    pub span: Span,
    /// Part of a fixture rather than told by a step.
    pub arm: bool,
}

/// How a catch, an end or a join leaves its run.
pub(crate) struct Reach<'a> {
    pub target: Found,
    pub at_45: bool,
    pub label: &'a str,
    pub span: Span,
    /// The run is finished with it.
    pub last: bool,
}

impl<'a> Builder<'a> {
    /// Lays one leg from `here`; to the node `to`, or to a new one. The point it ends at.
    pub fn lay(
        &mut self,
        walk: &mut Walk<'a>,
        here: &Here,
        leg: Leg,
        pen: &Pen<'a>,
        to: Option<NodeIx>,
        tag: Tag,
    ) -> Here {
        let climb = leg.sloped * walk.climb(pen);
        let mut end = *here;
        end.at = (here.plan() + leg.plan).extend(here.at.z + leg.rise + climb);
        end.z_drawn = if leg.form == Form::Vertical {
            end.at.z
        } else {
            here.z_drawn + leg.rise
        };
        end.climbed += climb;
        end.fixed.1 += leg.sloped;
        end.fixed.2 += leg.rise;
        walk.highest = walk.highest.max(end.climbed);
        end.node = match to {
            Some(node) => self.alive(node),
            None => self.add_node(
                tag.node,
                end.at,
                end.z_drawn,
                NodeKind::Turn,
                walk.system,
                tag.span,
            ),
        };
        let slope = if leg.form == Form::Level {
            pen.slope
        } else {
            None
        };
        walk.meet_doubts(pen, leg.form == Form::Level, tag.span);
        let drains = walk.system.drains();
        let (low, high) = (here.at.z, end.at.z);
        let against = drains || walk.from_air;
        let (from, to) = if against {
            (end.node, here.node)
        } else {
            (here.node, end.node)
        };
        let bore_mm = pen.diameters.map(|d| d.bore);
        let invert = |z| invert(walk.system, leg.lie(), bore_mm, z);
        let ix = PipeIx(self.pipes.len() as u32);
        let (from, to) = (self.alive(from), self.alive(to));
        let line = self.remarks.line(tag.span);
        self.pipes.push(Pipe {
            id: tag.pipe,
            system: walk.system,
            from,
            to,
            run: run_ix(walk.run),
            size: pen.size,
            worked_out: false,
            load: None,
            mark: None,
            bore_mm,
            outside_mm: pen.diameters.map(|d| d.outside),
            material: pen.material.map(|(name, _)| name.to_owned()),
            lie: leg.lie(),
            slope,
            fall_mm: if against { high - low } else { low - high },
            invert_from: invert(high),
            invert_to: invert(low),
            arm: tag.arm,
            existing: pen.existing,
            unverified: pen.unverified,
            insulation: pen.insulation,
            span: tag.span,
            line,
        });
        self.nodes[from.0 as usize].pipes.push(ix);
        self.nodes[to.0 as usize].pipes.push(ix);
        self.runs[walk.run].pipes.push(ix);
        end
    }

    /// The legs from the run to what is reached: square to the run, then parallel to it,
    /// then up or down. From a plumb run the longer of the two level legs comes first.
    pub fn reach(
        &mut self,
        walk: &mut Walk<'a>,
        here: Here,
        pen: &Pen<'a>,
        reach: &Reach<'a>,
    ) -> Here {
        let to = self.place_of(reach.target);
        let target = self.node_of(reach.target);
        let to_drawn = self.node(target).z_drawn;
        let way = (walk.system, self.alive(here.node), target);
        if let Some(&(size, end)) = self.branches.get(&way) {
            return self.shared(walk, end, size, pen, reach);
        }
        let legs = self.level_legs(&here, to.truncate() - here.plan(), reach);
        let branch = walk.branch(reach.label);
        let level: f64 = legs.iter().map(|leg| leg.length()).sum();
        let mut rise = to.z - here.at.z - level * walk.climb(pen);
        if rise.abs() < NOTHING {
            rise = 0.0;
        }
        // A drain that arrives above its fixture is told as a mistake, and drawn all the same.
        if walk.system.drains() && rise < 0.0 {
            self.arrives_above(&here, reach, -rise, level);
        }
        let plumb = rise != 0.0;
        let count = legs.len() + usize::from(plumb);
        let mut at = here;
        let mut number = 0;
        for (k, &plan) in legs.iter().enumerate() {
            let end = (k + 1 == count).then_some(target);
            number += 1;
            let tag = Tag::branch(self.run_name(walk), &branch, number, reach.span, end);
            at = self.lay(walk, &at, Leg::level(plan), pen, end, tag);
        }
        let below = self.trap_below(walk.system, reach.target);
        if let Some(fixture) = below {
            if plumb && (!legs.is_empty() || reach.last && self.may_be_trap(at.node)) {
                self.make_trap(at.node, fixture);
            } else if plumb && rise > 0.0 {
                // The run lies right under the outlet: the trap hangs in the riser.
                let hang = practice().riser_trap_drop.min(rise / 2.0);
                number += 1;
                let tag = Tag::branch(self.run_name(walk), &branch, number, reach.span, None);
                let tag = Tag { arm: true, ..tag };
                at = self.lay(walk, &at, Leg::vertical(rise - hang), pen, None, tag);
                self.make_trap(at.node, fixture);
                rise = hang;
            } else if !plumb {
                let text =
                    "the branch lies at the height of the outlet: there is no room for its trap";
                self.remarks.push(
                    Diagnostic::warning("no-room-for-trap", reach.span, text)
                        .help("lower the drain"),
                );
            }
        }
        if plumb {
            number += 1;
            let end = Some(target);
            let tag = Tag::branch(self.run_name(walk), &branch, number, reach.span, end);
            let arm = below.is_some();
            at = self.lay(walk, &at, Leg::vertical(rise), pen, end, Tag { arm, ..tag });
        }
        if count == 0 {
            self.merge(here.node, target);
            at.node = target;
        }
        at.z_drawn = to_drawn;
        // Where another run ends, nothing begins any more.
        if self.node(target).kind == NodeKind::Start {
            self.node_mut(target).kind = NodeKind::Turn;
        }
        if let Found::Port(fixture, port) = reach.target {
            self.build_arm(walk, fixture, port, pen, reach.span);
        }
        if count > 0 {
            self.branches.insert(way, (pen.size, at));
        }
        at
    }

    /// Reaches a port whose point a branch from here has reached before: the branch serves both.
    fn shared(
        &mut self,
        walk: &mut Walk<'a>,
        end: Here,
        size: Option<Size>,
        pen: &Pen<'a>,
        reach: &Reach<'a>,
    ) -> Here {
        if let (Some(before), Some(now)) = (size, pen.size)
            && before != now
        {
            let text = format!("this pipe is told as {before} already, and here as {now}");
            let help = "bring the run itself to the tee, and catch both from there";
            self.remarks
                .push(Diagnostic::mistake("two-sizes", reach.span, text).help(help));
        }
        if let Found::Port(fixture, port) = reach.target {
            self.build_arm(walk, fixture, port, pen, reach.span);
        }
        end
    }

    /// The level legs of a reach, those without length left out.
    fn level_legs(&mut self, here: &Here, way: DVec2, reach: &Reach<'a>) -> Vec<DVec2> {
        let legs = if let Some(heading) = here.level_heading() {
            let along = heading * way.dot(heading);
            let aside = way - along;
            let room = way.dot(heading) - aside.length();
            if !reach.at_45 || aside.length() < NOTHING {
                [aside, along]
            } else if room < -NOTHING {
                let text = format!(
                    "at 45 the branch goes on {} along the run before it is beside its port, which lies {} on",
                    self.remarks.show(aside.length()),
                    self.remarks.show(way.dot(heading)),
                );
                let help = format!("leave the run {} earlier", self.remarks.show(-room));
                self.remarks
                    .push(Diagnostic::mistake("no-room-for-45", reach.span, text).help(help));
                [aside, along]
            } else {
                [aside + heading * aside.length(), heading * room]
            }
        } else {
            if reach.at_45 {
                let text = "a 45 leans along a level run, and this run is not level here";
                let help =
                    "tell the branch as a run of its own, with a move such as `up 1' at 45 north`";
                self.remarks
                    .push(Diagnostic::mistake("no-room-for-45", reach.span, text).help(help));
            }
            let (x, y) = (DVec2::new(way.x, 0.0), DVec2::new(0.0, way.y));
            if way.x.abs() >= way.y.abs() {
                [x, y]
            } else {
                [y, x]
            }
        };
        legs.into_iter()
            .filter(|leg| leg.length() > NOTHING)
            .collect()
    }

    fn arrives_above(&mut self, here: &Here, reach: &Reach<'a>, by: f64, level: f64) {
        let what = match reach.target {
            Found::Port(fixture, port) => {
                let fixture = &self.placed[fixture as usize].fixture;
                format!("{}.{}", fixture.tag, fixture.ports[port].name)
            }
            Found::Node(_) => reach.label.to_owned(),
        };
        let (fixed, run, told) = here.fixed;
        let (run, to) = (run + level, self.place_of(reach.target).z);
        let room = (to - fixed - told) / run;
        let help = if run > NOTHING && room > 0.0 {
            format!(
                "a slope of {} would just reach it; or begin lower",
                show_ratio(room, self.remarks.units)
            )
        } else {
            "begin lower".to_owned()
        };
        let text = format!("the drain arrives {} above {what}", self.remarks.show(by));
        self.remarks
            .push(Diagnostic::mistake("drain-above-port", reach.span, text).help(help));
    }

    /// The name of a walk's run.
    pub fn run_name(&self, walk: &Walk<'a>) -> &'a str {
        &self.job.runs[walk.run].name.text
    }
}

impl Tag {
    /// Of a leg of a branch, to the node `end` or to a new one.
    fn branch(run: &str, branch: &str, number: u32, span: Span, end: Option<NodeIx>) -> Self {
        let number = number.to_string();
        let id = |mark: &str| [run, mark, branch, "/", &number].concat();
        Self {
            pipe: id("/"),
            node: end.map_or_else(|| id(":"), |_| String::new()),
            span,
            arm: false,
        }
    }
}

/// A slope that comes out of a sum, as it is printed: inches per foot to 1/1000, or per cent.
pub(crate) fn show_ratio(ratio: f64, units: UnitSystem) -> String {
    if units.is_metric() {
        format!("{:.2}%", ratio * 100.0)
    } else {
        format!("{:.3} in per ft", ratio * 12.0)
    }
}
