//! A point or a device put into the middle of a pipe: the move that told it is told in two.
//!
//! What comes after the new point stays as it was told, so that a move abreast of something stays abreast.

use wyeline_job::model::{Reach, Rise, Run, Start, StepKind};
use wyeline_job::words::COMPASS;
use wyeline_units::Len;

use crate::Refusal;
use crate::draft::Draft;
use crate::fixtures::no_tag;
use crate::frame::Frame;
use crate::plan::{Place, Plan, Told, apart, distance, flat, scope};
use crate::words::{coarse, fine, length, place, way};

/// What is put into a pipe.
#[derive(Clone, Copy)]
pub enum Put<'w> {
    /// A named point; a free name where none is given.
    Point(Option<&'w str>),
    /// A device, by its words.
    Device(&'w str),
}

/// Where on a pipe it is put.
#[derive(Clone, Copy)]
pub struct Spot<'w> {
    /// The pointer.
    pub at: [f64; 2],
    /// The height on a plumb pipe; its middle where not given.
    pub z: Option<f64>,
    /// So near to an end of the pipe it is put at that end, mm.
    pub near: f64,
    /// The words for `z`, where a hand has said them.
    pub height: Option<&'w str>,
}

/// What was put, and where.
pub struct Parted {
    /// The point's full name; empty for a device.
    pub name: String,
    /// Its place.
    pub at: Place,
}

/// Puts a point or a device into a pipe.
pub fn part(
    plan: &Plan<'_>,
    draft: &mut Draft<'_, '_>,
    told: Told<'_>,
    spot: Spot<'_>,
    put: Put<'_>,
) -> Result<Parted, Refusal> {
    let run = &plan.job.runs[told.run];
    let group = scope(&run.name.text);
    let words = match put {
        Put::Point(Some(name)) if !wyeline_job::is_name(name) => return Err(no_tag(name)),
        Put::Point(Some(name)) => name.to_owned(),
        Put::Point(None) => plan.free_point(),
        Put::Device(words) => words.trim().to_owned(),
    };
    let full = |name: &str| match put {
        Put::Device(_) => String::new(),
        Put::Point(_) if group.is_empty() => name.to_owned(),
        Put::Point(_) => format!("{group}/{name}"),
    };
    let line = match put {
        Put::Device(_) => words.clone(),
        Put::Point(_) => format!("point {words}"),
    };
    let leg = Leg::of(plan, told, spot)?;
    let (first, last) = plan.lines(run);
    let laid = |words: &str| plan.page.step_like(words, first, last);
    let at_line = plan.line(run.steps[told.step].span);
    if leg.along <= leg.near {
        let before = named_before(run, told.step);
        if let (Put::Point(_), Some(name)) = (put, before) {
            let name = name.to_owned();
            return Ok(Parted {
                name,
                at: leg.begin,
            });
        }
        draft.insert_after(at_line - 1, &[laid(&line)], Some(0));
        return Ok(Parted {
            name: full(&words),
            at: leg.begin,
        });
    }
    if leg.long - leg.along <= leg.near && leg.last {
        if let (Put::Point(_), Some(name)) = (put, named_after(run, told.step)) {
            let name = name.to_owned();
            return Ok(Parted { name, at: leg.end });
        }
        if ends(&run.steps[told.step].kind) {
            return Err(Refusal::new(
                "the run ends here",
                "choose a place farther from its end",
            ));
        }
        draft.insert_after(at_line, &[laid(&line)], Some(0));
        return Ok(Parted {
            name: full(&words),
            at: leg.end,
        });
    }
    let (moved, at) = leg.divide(plan, draft, told, spot.height)?;
    draft.insert_after(at_line - 1, &[laid(&moved), laid(&line)], Some(1));
    Ok(Parted {
        name: full(&words),
        at,
    })
}

/// Whether a step ends its run.
pub fn ends(kind: &StepKind) -> bool {
    matches!(
        kind,
        StepKind::End { .. }
            | StepKind::Join(_)
            | StepKind::Cap
            | StepKind::Continues { .. }
            | StepKind::Vertical {
                reach: Rise::ThroughRoof(_),
                ..
            }
    )
}

/// The name of the point at which a step begins, where it has one.
fn named_before(run: &Run, step: usize) -> Option<&str> {
    let before = run.steps[..step].iter().rev();
    for step in before {
        match &step.kind {
            StepKind::Point(name) => return Some(&name.text),
            StepKind::Start(Start::From(point)) if point.port.is_none() => {
                return Some(&point.name.text);
            }
            kind if kind.leads_on() => return None,
            _ => {}
        }
    }
    None
}

/// The name of the point at which a step ends, where it has one.
fn named_after(run: &Run, step: usize) -> Option<&str> {
    let after = run.steps[step + 1..].iter();
    let here = after.take_while(|step| !step.kind.leads_on());
    here.into_iter().find_map(|step| match &step.kind {
        StepKind::Point(name) => Some(name.text.as_str()),
        _ => None,
    })
}

/// The stretch of a step on which something is put.
struct Leg {
    /// Where the step begins.
    begin: Place,
    /// Where the pipe ends, as it is told.
    end: Place,
    /// How far from the step's beginning the new point lies, mm: in plan, or up and down where it is plumb.
    along: f64,
    /// How far the pipe's end lies.
    long: f64,
    /// So near to an end it is put there.
    near: f64,
    /// The pipe is the last that the step tells.
    last: bool,
    plumb: bool,
}

impl Leg {
    fn of(plan: &Plan<'_>, told: Told<'_>, spot: Spot<'_>) -> Result<Self, Refusal> {
        let lost = || {
            Refusal::new(
                "where this run lies is not known",
                "mend its mistakes first",
            )
        };
        let track = plan.track(told.run).ok_or_else(lost)?;
        let before = told.step.checked_sub(1).ok_or_else(lost)?;
        let begin = track[before];
        let (a, b) = plan.ends(told.pipe);
        let (from, end) = if distance(a, begin) <= distance(b, begin) {
            (a, b)
        } else {
            (b, a)
        };
        let plumb = apart(flat(a), flat(b)) < 1e-3;
        let measure = |at: Place| {
            if plumb {
                (at[2] - begin[2]).abs()
            } else {
                apart(flat(at), flat(begin))
            }
        };
        let at = if plumb {
            let z = spot.z.unwrap_or(f64::midpoint(from[2], end[2]));
            let (low, high) = (from[2].min(end[2]), from[2].max(end[2]));
            [from[0], from[1], z.clamp(low, high)]
        } else {
            crate::seek::foot(from, end, spot.at).0
        };
        Ok(Self {
            begin,
            end,
            along: measure(at),
            long: measure(end),
            near: spot.near.min(measure(end) / 3.0),
            last: distance(end, track[told.step]) < 1e-3,
            plumb,
        })
    }

    /// Tells the move in two: the words of its first part, and where that ends. The rest is drafted.
    fn divide(
        &self,
        plan: &Plan<'_>,
        draft: &mut Draft<'_, '_>,
        told: Told<'_>,
        height: Option<&str>,
    ) -> Result<(String, Place), Refusal> {
        let run = &plan.job.runs[told.run];
        let step = &run.steps[told.step];
        let line = plan.line(step.span);
        let words = plan.page.words(line);
        let units = plan.units();
        let first = plan.page.first_word(line);
        let mut rest = |text: String| {
            if let (Some(from), Some(to)) = (words.get(1), words.last()) {
                draft.replace(from.start..to.end, text);
            }
        };
        let far = if self.plumb {
            (self.end[2] - self.begin[2]).abs()
        } else {
            self.long
        };
        let piece = whole(plan, self.along, far)?;
        let at = self.at(piece.mm());
        let moved = match &step.kind {
            StepKind::Level { reach, .. } => match reach {
                Reach::Travel(all) => {
                    rest(length(*all - piece, units));
                    format!("{first} {}", length(piece, units))
                }
                Reach::Legs(all) => {
                    let root = std::f64::consts::SQRT_2;
                    let leg = whole(plan, self.along / root, all.mm())?;
                    rest(format!("legs {}", length(*all - leg, units)));
                    let moved = format!("{first} legs {}", length(leg, units));
                    return Ok((moved, self.at(leg.mm() * root)));
                }
                _ => format!("{first} {}", length(piece, units)),
            },
            StepKind::Vertical {
                reach: Rise::To(_) | Rise::ThroughRoof(_),
                ..
            } if let Some(height) = height => {
                return Ok((format!("{first} to {height}"), self.at(self.along)));
            }
            StepKind::Vertical { reach, .. } => {
                if let Rise::By(all) = reach {
                    rest(length(*all - piece, units));
                }
                format!("{first} {}", length(piece, units))
            }
            StepKind::Tilt { rise, .. } => {
                let share = self.along / self.long;
                let part = whole(plan, rise.mm() * share, rise.mm())?;
                let says = plan.page.says(line);
                let lean = says.find(" at ").map_or("", |at| &says[at..]);
                rest(format!("{}{lean}", length(*rise - part, units)));
                let moved = format!("{first} {}{lean}", length(part, units));
                return Ok((moved, self.at(self.long * part.mm() / rise.mm())));
            }
            StepKind::To { height: None, .. } if scope(&run.name.text).is_empty() => {
                // Off the axes only the nearest 25 nm lies on the line.
                let on = |k: usize| {
                    let straight = (self.end[k] - self.begin[k]).abs() < 1e-6;
                    if straight {
                        fine(at[k], units)
                    } else {
                        Len::from_mm(at[k])
                    }
                };
                format!("to {}", place([on(0), on(1)], units))
            }
            StepKind::End { .. } | StepKind::Join(_) => {
                let word = self.way(plan, &run.name.text)?;
                format!("{word} {}", length(piece, units))
            }
            kind => return Err(whole_piece(kind)),
        };
        Ok((moved, at))
    }

    fn at(&self, mm: f64) -> Place {
        let far = if self.plumb {
            (self.end[2] - self.begin[2]).abs()
        } else {
            self.long
        };
        [0, 1, 2].map(|k| self.begin[k] + (self.end[k] - self.begin[k]) * mm / far)
    }

    /// The word for the way from the beginning to the end, as the run's group calls it.
    fn way(&self, plan: &Plan<'_>, run: &str) -> Result<&'static str, Refusal> {
        if self.plumb {
            return Ok(if self.end[2] > self.begin[2] {
                "up"
            } else {
                "down"
            });
        }
        let frame = Frame::of(plan, scope(run))?;
        let along = [0, 1].map(|k| (self.end[k] - self.begin[k]) / self.long);
        let found = COMPASS.iter().find(|(_, compass)| {
            let way = way(*compass);
            way[0] * along[0] + way[1] * along[1] > 1.0 - 1e-9
        });
        let (_, compass) = found.ok_or_else(|| {
            Refusal::new(
                "this pipe goes none of the eight ways",
                "part it at one of its ends",
            )
        })?;
        Ok(frame.way(*compass).word())
    }
}

/// A whole length inside the leg, or one to 1/16 in where there is none.
fn whole(plan: &Plan<'_>, mm: f64, long: f64) -> Result<Len, Refusal> {
    let units = plan.units();
    let inside = |len: &Len| *len > Len::ZERO && len.mm() < long - 1e-6;
    let found = [coarse(mm, units), fine(mm, units)]
        .into_iter()
        .find(inside);
    found.ok_or_else(|| Refusal::new("the pipe is too short to be parted", "choose a longer one"))
}

/// Why a move cannot be told in two.
fn whole_piece(kind: &StepKind) -> Refusal {
    let (message, help) = match kind {
        StepKind::Catch { target, .. } => (
            format!(
                "this pipe is told by `catch {}` and is one piece with it",
                target.tag.text
            ),
            "branch from the run before it, or tell the branch as a run of its own",
        ),
        StepKind::Offset { .. } => (
            "a rolling offset is one piece between its fittings".to_owned(),
            "branch at one of its ends",
        ),
        _ => (
            "this move cannot be told in two".to_owned(),
            "branch at one of its ends",
        ),
    };
    Refusal::new(message, help)
}
