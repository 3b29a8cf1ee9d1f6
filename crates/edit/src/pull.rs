//! The next level move of a run, pulled toward the pointer.

use wyeline_job::model::{Compass, Reach, StepKind};
use wyeline_job::words::COMPASS;
use wyeline_units::Len;

use crate::draft::Draft;
use crate::frame::Frame;
use crate::plan::{Place, Plan, apart, flat, scope};
use crate::runs::{SENSELESS, lead_on, on_the, open, speaks};
use crate::seek::{self, ports};
use crate::words::{coarse, fine, length, place, read_length, way};
use crate::{Refusal, Snap, Work};

/// So far up or down pipe still counts as lying on the way, mm.
const BESIDE: f64 = 3000.0;

/// How far a move goes.
struct Goal {
    /// Along its way, mm.
    mm: f64,
    /// Its words after the way.
    words: String,
    /// What it snapped to.
    why: String,
}

/// A level move that is pulled.
struct Pull<'p, 'a> {
    plan: &'p Plan<'a>,
    run: usize,
    /// Where the move begins.
    from: Place,
    compass: Compass,
    way: [f64; 2],
    to: [f64; 2],
    within: f64,
}

/// Pulls a run to a point.
pub fn pull<'p, 'a>(
    plan: &'p Plan<'a>,
    name: &str,
    to: [f64; 2],
    within: f64,
    typed: Option<&str>,
    free: bool,
) -> Result<Work<'p, 'a>, Refusal> {
    let run = open(plan, name)?;
    let track = plan.track(run).filter(|track| !track.is_empty());
    let track = track.ok_or_else(|| {
        Refusal::new(
            format!("where the run `{name}` lies is not known"),
            "mend its mistakes first",
        )
    })?;
    let typed = typed
        .map(|typed| read_length(typed, plan.units()))
        .transpose()?;
    let steps = &plan.job.runs[run].steps;
    let here = track[track.len() - 1];
    let mut draft = Draft::new(&plan.page);
    if free {
        let (words, snap) = straight(plan, name, here, to, within, typed)?;
        lead_on(plan, &mut draft, run, &[words]);
        return Ok(done(draft, name, snap));
    }
    let compass = nearest(here, to)?;
    let moves = |kind: &StepKind| kind.leads_on();
    let last_move = steps.iter().rposition(|step| moves(&step.kind));
    let last = last_move.and_then(|last| match &steps[last].kind {
        StepKind::Level { way, reach } => Some((last, *way, reach)),
        _ => None,
    });
    let back = Compass::from_eighth(compass.eighth() + 4);
    let pull = |from: Place, compass: Compass| Pull {
        plan,
        run,
        from,
        compass,
        way: way(compass),
        to,
        within,
    };
    if let Some((last, way, reach)) = last {
        let at_its_end = last + 1 == steps.len() && last > 0;
        let told_by_legs = matches!(reach, Reach::Legs(_));
        if at_its_end && !told_by_legs && (way == compass || way == back) {
            let longer = pull(track[last - 1], way);
            let goal = longer.goal(typed)?;
            let line = plan.line(steps[last].span);
            let words = plan.page.words(line);
            if let (Some(first), Some(last)) = (words.get(1), words.last()) {
                draft.replace(first.start..last.end, goal.words.as_str());
            }
            draft.choose(line);
            return Ok(done(draft, name, longer.snap(&goal)));
        }
        if way == back {
            return Err(Refusal::new(
                format!(
                    "the run comes from there: its last move goes {}",
                    way.word()
                ),
                "pull it another way, or shorten that move",
            ));
        }
    }
    let next = pull(here, compass);
    let goal = next.goal(typed)?;
    let frame = Frame::of(plan, scope(name))?;
    let words = format!("{} {}", frame.way(compass).word(), goal.words);
    lead_on(plan, &mut draft, run, &[words]);
    Ok(done(draft, name, next.snap(&goal)))
}

fn done<'p, 'a>(draft: Draft<'p, 'a>, run: &str, snap: Snap) -> Work<'p, 'a> {
    Work {
        run: Some(run.to_owned()),
        snap: Some(snap),
        refuses: SENSELESS,
        ..Work::new(draft)
    }
}

/// The compass way nearest to that toward a point.
fn nearest(from: Place, to: [f64; 2]) -> Result<Compass, Refusal> {
    let (x, y) = (to[0] - from[0], to[1] - from[1]);
    if x.hypot(y) < 1.0 {
        return Err(too_near());
    }
    let dot = |compass: Compass| {
        let way = way(compass);
        way[0] * x + way[1] * y
    };
    let all = COMPASS.iter().map(|(_, compass)| *compass);
    let best = all.max_by(|a, b| dot(*a).total_cmp(&dot(*b)));
    best.ok_or_else(too_near)
}

fn too_near() -> Refusal {
    Refusal::new("the run is here already", "pull it farther")
}

/// Straight to the pointer, or what has a name there.
fn straight(
    plan: &Plan<'_>,
    name: &str,
    here: Place,
    to: [f64; 2],
    within: f64,
    typed: Option<Len>,
) -> Result<(String, Snap), Refusal> {
    let units = plan.units();
    let system = plan.job.runs[plan.run(name)?].system;
    let far = apart(flat(here), to);
    if far < 1.0 {
        return Err(too_near());
    }
    let heights = (here[2], f64::NEG_INFINITY, f64::INFINITY);
    let (at, why) = if let Some(typed) = typed {
        let share = typed.mm() / far;
        let at = [0, 1].map(|k| here[k] + (to[k] - here[k]) * share);
        (at.map(|part| fine(part, units)), typed.show(units, 16))
    } else if let Some(port) = seek::port(ports(plan, system), to, within, here[2]) {
        let at = flat(port.port.at.into());
        (
            at.map(|part| fine(part, units)),
            format!("at {}", port.full()),
        )
    } else if let Some((point, at)) = seek::point(plan, system, to, within, heights, |_| false) {
        (
            flat(at).map(|part| fine(part, units)),
            format!("at {point}"),
        )
    } else {
        let at = to.map(|part| coarse(part, units));
        (at, place(at, units))
    };
    let snap = Snap {
        at: [at[0].mm(), at[1].mm(), here[2]],
        why,
    };
    let group = scope(name);
    let local = if group.is_empty() {
        at
    } else {
        let local = Frame::of(plan, group)?.point(at.map(Len::mm));
        local.map(|part| fine(part, units))
    };
    Ok((format!("to {}", place(local, units)), snap))
}

impl Pull<'_, '_> {
    /// How far a point lies along the way, mm.
    fn along(&self, at: [f64; 2]) -> f64 {
        (at[0] - self.from[0]) * self.way[0] + (at[1] - self.from[1]) * self.way[1]
    }

    /// How far a point lies beside the way, mm.
    fn beside(&self, at: [f64; 2]) -> f64 {
        ((at[0] - self.from[0]) * self.way[1] - (at[1] - self.from[1]) * self.way[0]).abs()
    }

    fn snap(&self, goal: &Goal) -> Snap {
        let at = [0, 1].map(|k| self.from[k] + self.way[k] * goal.mm);
        Snap {
            at: [at[0], at[1], self.from[2]],
            why: goal.why.clone(),
        }
    }

    /// Whether so far along the way is within the hand's reach.
    fn near(&self, mm: f64) -> bool {
        mm > 1e-3 && (mm - self.along(self.to)).abs() <= self.within
    }

    /// The length that is meant: as typed, abreast of something, into a wall, to a pipe's line, or a whole one.
    fn goal(&self, typed: Option<Len>) -> Result<Goal, Refusal> {
        let units = self.plan.units();
        let plain = |len: Len, why: String| Goal {
            mm: len.mm(),
            words: length(len, units),
            why,
        };
        if let Some(typed) = typed {
            return Ok(plain(typed, typed.show(units, 16)));
        }
        if let Some(goal) = self.abreast().or_else(|| self.to_wall()) {
            return Ok(goal);
        }
        if let Some((mm, why)) = self.pipe_line() {
            return Ok(plain(fine(mm, units), why));
        }
        let mm = self.along(self.to);
        let len = coarse(mm, units);
        if len <= Len::ZERO {
            return Err(too_near());
        }
        Ok(plain(len, len.show(units, 16)))
    }

    /// Abreast of a port that the system uses, or of a named point.
    fn abreast(&self) -> Option<Goal> {
        let told = &self.plan.job.runs[self.run];
        let all = ports(self.plan, told.system).filter(|near| near.usual);
        let ports = all.map(|near| (near.full(), Place::from(near.port.at)));
        let nodes = self.plan.network.nodes.iter();
        let points = nodes.filter_map(|node| Some((node.name.clone()?, Place::from(node.at))));
        let near = ports
            .chain(points)
            .filter(|(_, at)| self.near(self.along(flat(*at))))
            .filter_map(|(name, at)| {
                let words = speaks(&told.name.text, &name).ok()?;
                Some((name, words, at))
            });
        let best = near.min_by(|(.., a), (.., b)| {
            let key = |at: &Place| {
                let off = (self.along(flat(*at)) - self.along(self.to)).abs();
                let up = (at[2] - self.from[2]).abs();
                (off.round(), self.beside(flat(*at)).hypot(up))
            };
            let (a, b) = (key(a), key(b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        best.map(|(name, words, at)| Goal {
            mm: self.along(flat(at)),
            words: format!("to abreast {words}"),
            why: format!("abreast of {name}"),
        })
    }

    /// Into the core of the next wall, if that is meant and the network finds the same one.
    fn to_wall(&self) -> Option<Goal> {
        let walls = self.plan.network.building.walls.iter();
        let beside = walls.filter(|wall| {
            let (low, high) = (wall.z.0 - BESIDE / 2.0, wall.z.1);
            (low..=high).contains(&self.from[2])
        });
        let cores = beside.filter_map(|wall| {
            let (from, to, into) = (wall.from, wall.to, wall.into);
            let long = apart(from.into(), to.into());
            if long < 1e-6 {
                return None;
            }
            let half = wall.thick / 2.0;
            let along = [(to.0 - from.0) / long, (to.1 - from.1) / long];
            let core = |at: (f64, f64), reach: f64| {
                let shift = [
                    into.0 * half + along[0] * reach,
                    into.1 * half + along[1] * reach,
                ];
                [at.0 + shift[0], at.1 + shift[1]]
            };
            self.crossing(core(from, -half), core(to, half), 1e-6)
        });
        let mm = cores.filter(|mm| *mm > 1e-3).reduce(f64::min)?;
        self.near(mm)
            .then(|| Goal {
                mm,
                words: "into wall".to_owned(),
                why: "into the wall".to_owned(),
            })
            .filter(|goal| self.finds(goal))
    }

    /// Whether a move of these words ends where it is meant to.
    fn finds(&self, goal: &Goal) -> bool {
        let plan = self.plan;
        let told = &plan.job.runs[self.run];
        let Ok(frame) = Frame::of(plan, scope(&told.name.text)) else {
            return false;
        };
        let words = format!("{} {}", frame.way(self.compass).word(), goal.words);
        let mut draft = Draft::new(&plan.page);
        let last = told.steps.last().map(|step| &step.kind);
        let track = plan.track(self.run).unwrap_or_default();
        let lengthened = track.last().is_none_or(|end| *end != self.from);
        if let (true, Some(StepKind::Level { .. }), Some(step)) =
            (lengthened, last, told.steps.last())
        {
            draft.say(plan.line(step.span), words);
        } else {
            lead_on(plan, &mut draft, self.run, &[words]);
        }
        let Ok(written) = draft.write() else {
            return false;
        };
        let reading = wyeline_job::read(&written.text);
        let built = wyeline_network::build(&reading.job, &written.text);
        let tried = Plan {
            page: crate::page::Page::new(&written.text),
            job: &reading.job,
            network: &built.network,
        };
        let Ok(run) = tried.run(&told.name.text) else {
            return false;
        };
        let end = tried.track(run).and_then(|track| track.last().copied());
        end.is_some_and(|end| (self.along(flat(end)) - goal.mm).abs() < 1.0)
    }

    /// How far along the way a stretch is crossed, mm; it may be missed by so much.
    fn crossing(&self, from: [f64; 2], to: [f64; 2], by: f64) -> Option<f64> {
        let along = [to[0] - from[0], to[1] - from[1]];
        let square = along[0] * self.way[1] - along[1] * self.way[0];
        let long = apart(from, to);
        if square.abs() < 1e-9 * long {
            return None;
        }
        let off = [self.from[0] - from[0], self.from[1] - from[1]];
        let share = (off[0] * self.way[1] - off[1] * self.way[0]) / square;
        let most = by / long;
        let at = [from[0] + along[0] * share, from[1] + along[1] * share];
        (-most..=1.0 + most)
            .contains(&share)
            .then(|| self.along(at))
    }

    /// To the line of another pipe.
    fn pipe_line(&self) -> Option<(f64, String)> {
        let plan = self.plan;
        let pipes = plan.network.pipes.iter();
        let others = pipes.filter(|pipe| pipe.run.0 as usize != self.run && !pipe.arm);
        let near = others.filter_map(|pipe| {
            let (a, b) = plan.ends(pipe);
            let (low, high) = (a[2].min(b[2]) - BESIDE, a[2].max(b[2]) + BESIDE);
            if !(low..=high).contains(&self.from[2]) {
                return None;
            }
            let mm = if seek::is_plumb(plan, pipe) {
                (self.beside(flat(a)) <= BESIDE).then(|| self.along(flat(a)))
            } else {
                self.crossing(flat(a), flat(b), self.within)
            }?;
            let run = plan.job.runs.get(pipe.run.0 as usize)?;
            self.near(mm).then(|| (mm, on_the(run)))
        });
        let aim = self.along(self.to);
        near.min_by(|(a, _), (b, _)| (a - aim).abs().total_cmp(&(b - aim).abs()))
    }
}
