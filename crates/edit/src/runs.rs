//! Runs begun, led on step by step, and ended.

use wyeline_job::is_name;
use wyeline_job::model::{Run, System};
use wyeline_units::{Len, UnitSystem};

use crate::along::{Put, Spot, ends, part};
use crate::draft::Draft;
use crate::edit::Edit;
use crate::fixtures::{no_tag, whole};
use crate::order::put;
use crate::plan::{Place, Plan, is_equipment, local, names, scope};
use crate::seek::{self, PortNear};
use crate::words::{place, read_system, signed};
use crate::{Refusal, Snap, Work};

/// Mistakes of meaning for which a step of a run is refused.
pub const SENSELESS: &[&str] = &[
    "systems-do-not-meet",
    "unknown-port",
    "unknown-tag",
    "unknown-point",
    "run-returns-to-start",
    "points-in-a-circle",
    "abreast-behind",
    "no-such-wall",
    "height-behind",
    "roof-not-stated",
    "ceiling-not-stated",
    "joists-not-stated",
    "negative-length",
    "two-on-one-point",
];

/// Makes the edits that lead runs on.
pub fn apply<'p, 'a>(plan: &'p Plan<'a>, edit: &Edit) -> Result<Work<'p, 'a>, Refusal> {
    match edit {
        Edit::Start {
            system,
            level,
            at,
            within,
            name,
            height,
            size,
        } => Begin {
            plan,
            system: read_system(system)?,
            level,
            at: *at,
            within: *within,
        }
        .write(name.as_deref(), height.as_deref(), size.as_deref()),
        Edit::Meet { run, at, within } => meet(plan, run, *at, *within),
        Edit::Catch { run, tag, port } => catch(plan, run, tag, port.as_deref()),
        Edit::Step { run, words } => step(plan, run, words),
        Edit::Rise { run, to } => {
            if matches!(to.split_whitespace().next(), Some("up" | "down")) {
                return step(plan, run, to);
            }
            Err(Refusal::new(
                format!("`{to}` leads neither up nor down"),
                "for example `up 2'`, `up to main ceiling -2\"` or `up through roof`",
            ))
        }
        Edit::Finish { run } => step(plan, run, "cap"),
        _ => Err(Refusal::new("this leads no run on", "choose a run")),
    }
}

/// Whether no step has ended a run.
pub fn is_open(run: &Run) -> bool {
    !run.steps.iter().any(|step| ends(&step.kind))
}

/// A run's number, where it can be led on.
pub fn open(plan: &Plan<'_>, name: &str) -> Result<usize, Refusal> {
    let run = plan.run(name)?;
    let told = &plan.job.runs[run];
    let last = told.steps.iter().rev().find(|step| ends(&step.kind));
    match last {
        None => Ok(run),
        Some(last) => {
            let says = plan.page.says(plan.line(last.span));
            Err(Refusal::new(
                format!("the run `{name}` is finished by `{says}`"),
                "delete that line first, or start a run of its own from a point of this one",
            ))
        }
    }
}

/// Puts steps at a run's open end, and chooses the last.
pub fn lead_on(plan: &Plan<'_>, draft: &mut Draft<'_, '_>, run: usize, steps: &[String]) {
    let (first, last) = plan.lines(&plan.job.runs[run]);
    let laid: Vec<String> = steps
        .iter()
        .map(|step| plan.page.step_like(step, first, last))
        .collect();
    draft.insert_after(last, &laid, laid.len().checked_sub(1));
}

fn step<'p, 'a>(plan: &'p Plan<'a>, name: &str, words: &str) -> Result<Work<'p, 'a>, Refusal> {
    let run = open(plan, name)?;
    let steps: Vec<String> = words
        .lines()
        .map(|line| line.trim().to_owned())
        .filter(|line| !line.is_empty())
        .collect();
    if steps.is_empty() {
        return Err(Refusal::new("no step is told", "for example `east 3'`"));
    }
    if let Some(other) = steps.iter().find(|step| !is_step(step)) {
        return Err(Refusal::new(
            format!("`{other}` is no step of a run"),
            "add it as a statement",
        ));
    }
    let mut draft = Draft::new(&plan.page);
    lead_on(plan, &mut draft, run, &steps);
    Ok(Work {
        run: Some(name.to_owned()),
        refuses: SENSELESS,
        ..Work::new(draft)
    })
}

/// Whether a line in a run is one of its steps, mistaken or not.
fn is_step(line: &str) -> bool {
    let first = line.split_whitespace().next().unwrap_or_default();
    !first.starts_with('#') && wyeline_job::words::continues_run(first)
}

/// How a run speaks of something that has a name on the plan.
pub fn speaks(run: &str, name: &str) -> Result<String, Refusal> {
    let group = scope(run);
    local(name, group).map(ToOwned::to_owned).ok_or_else(|| {
        Refusal::new(
            format!("`{run}` belongs to a placed group, and `{name}` does not"),
            "give it to the group by a `$WORD`, told where the group is placed",
        )
    })
}

fn catch<'p, 'a>(
    plan: &'p Plan<'a>,
    name: &str,
    tag: &str,
    port: Option<&str>,
) -> Result<Work<'p, 'a>, Refusal> {
    plan.fixture(tag)?;
    let tag = speaks(name, tag)?;
    let words = match port {
        Some(port) => format!("catch {tag}.{port}"),
        None => format!("catch {tag}"),
    };
    step(plan, name, &words)
}

fn meet<'p, 'a>(
    plan: &'p Plan<'a>,
    name: &str,
    at: [f64; 2],
    within: f64,
) -> Result<Work<'p, 'a>, Refusal> {
    let run = open(plan, name)?;
    let told = &plan.job.runs[run];
    let track = plan.track(run);
    let z = track.and_then(|track| track.last().map(|at| at[2])).unwrap_or(0.0);
    let heights = (z, f64::NEG_INFINITY, f64::INFINITY);
    let mut draft = Draft::new(&plan.page);
    let mut still = false;
    let (words, snap) =
        if let Some(port) = seek::port(seek::ports(plan, told.system), at, within, z) {
            let snap = Snap {
                at: port.port.at.into(),
                why: format!("at {}", port.full()),
            };
            (format!("end {}", speaks(name, &port.word())?), snap)
        } else if let Some((point, place)) = seek::point(plan, told.system, at, within, heights)
            .filter(|(point, _)| !told.steps.iter().any(|step| names(step, point)))
        {
            let snap = Snap {
                at: place,
                why: format!("at {point}"),
            };
            (format!("join {}", speaks(name, point)?), snap)
        } else if let Some(pipe) =
            seek::pipe(plan, told.system, (at, within), heights, Some(run))
        {
            let spot = Spot {
                at,
                z: Some(z),
                near: within,
            };
            let parted = part(plan, &mut draft, pipe, spot, Put::Point(None))?;
            still = true;
            let other = &plan.job.runs[pipe.run];
            let snap = Snap {
                at: parted.at,
                why: on_the(other),
            };
            (format!("join {}", speaks(name, &parted.name)?), snap)
        } else {
            return Err(Refusal::new(
                format!("nothing that {} may meet lies here", told.system.word()),
                "lead the run on, or finish it with a cap",
            ));
        };
    lead_on(plan, &mut draft, run, &[words]);
    Ok(Work {
        run: Some(name.to_owned()),
        snap: Some(snap),
        still,
        refuses: SENSELESS,
        ..Work::new(draft)
    })
}

/// `on the hot main`: of a run's pipe.
pub fn on_the(run: &Run) -> String {
    format!("on the {} {}", run.system.word(), run.name.text)
}

/// The height at which a system is begun where the hand says none: from the level's floor. It is
/// written as unverified, so that it is asked for; our own choice, no code's and no maker's.
fn usual_height(system: System, units: UnitSystem) -> Len {
    let (inches, mm) = match system {
        System::Waste | System::Storm | System::HotReturn => (-9, -230),
        System::Vent => (42, 1070),
        System::Cold => (-5, -130),
        System::Hot | System::Gas => (-7, -180),
    };
    if units.is_metric() {
        Len::millimetres(mm)
    } else {
        Len::inches(inches)
    }
}

/// How far under its floor pipe still counts to a level, and over it where no floor is told above, mm.
const UNDER: f64 = 1500.0;
const OVER: f64 = 4500.0;

/// A run that is begun.
struct Begin<'p, 'a, 'w> {
    plan: &'p Plan<'a>,
    system: System,
    level: &'w str,
    at: [f64; 2],
    within: f64,
}

impl<'p, 'a> Begin<'p, 'a, '_> {
    fn write(
        &self,
        name: Option<&str>,
        height: Option<&str>,
        size: Option<&str>,
    ) -> Result<Work<'p, 'a>, Refusal> {
        let plan = self.plan;
        let word = self.system.word();
        let name = match name {
            Some(name) if is_name(name) => name.to_owned(),
            Some(name) => return Err(no_tag(name)),
            None => self.free_name(),
        };
        let mut draft = Draft::new(&plan.page);
        let (start, snap, still) = self.find(&mut draft, height)?;
        let mut steps = vec![format!("start {start}")];
        if let Some(size) = size {
            steps.push(format!("size {}", size.trim()));
        }
        let mut lines = vec![format!("{word} {name}")];
        // First words stand in a column, as in tidied text.
        let aligned = |step: &String| {
            let (first, rest) = step.split_once(' ').unwrap_or((step, ""));
            format!("  {first:5} {rest}")
        };
        lines.extend(steps.iter().map(aligned));
        put(plan, &mut draft, word, &lines, true);
        let mut work = Work::new(draft);
        work.run = Some(name);
        work.snap = Some(snap);
        work.still = still;
        work.refuses = SENSELESS;
        Ok(work)
    }

    fn free_name(&self) -> String {
        let word = self.system.word();
        let taken = |name: &String| {
            let mut runs = self.plan.job.runs.iter();
            runs.any(|run| run.name.text == *name)
        };
        let mut names = (1..).map(|number: u32| format!("{word}-{number}"));
        names.find(|name| !taken(name)).unwrap_or_default()
    }

    /// Heights at which pipe counts to the level: the usual one, the lowest, the highest.
    fn heights(&self) -> Result<(f64, f64, f64), Refusal> {
        let plan = self.plan;
        let (_, level) = plan.level(self.level)?;
        let floors = plan.network.levels.iter().map(|level| level.floor);
        let next = floors.filter(|floor| *floor > level.floor).reduce(f64::min);
        let usual = level.floor + usual_height(self.system, plan.units()).mm();
        let top = next.unwrap_or(level.floor + OVER);
        Ok((usual, level.floor - UNDER, top))
    }

    /// What the run starts at, what that snapped to, and whether a pipe was parted for it.
    fn find(
        &self,
        draft: &mut Draft<'_, '_>,
        height: Option<&str>,
    ) -> Result<(String, Snap, bool), Refusal> {
        let plan = self.plan;
        let heights = self.heights()?;
        let (level, _) = plan.level(self.level)?;
        let here = |near: &PortNear<'_>| near.fixture.level.0 as usize == level;
        // Water and gas come from equipment; vents and returns may begin at any fixture.
        let from = |near: &PortNear<'_>| match self.system {
            System::Vent | System::HotReturn => true,
            System::Cold | System::Hot => is_equipment(near.kind),
            System::Waste | System::Storm | System::Gas => false,
        };
        let ports = || seek::ports(plan, self.system).filter(here);
        let sources = ports().filter(from);
        if let Some(port) = seek::port(sources, self.at, self.within, heights.0) {
            let snap = Snap {
                at: port.port.at.into(),
                why: format!("at {}", port.full()),
            };
            return Ok((port.full(), snap, false));
        }
        if let Some((point, place)) =
            seek::point(plan, self.system, self.at, self.within, heights)
        {
            let snap = Snap {
                at: place,
                why: format!("at {point}"),
            };
            return Ok((point.to_owned(), snap, false));
        }
        if let Some(pipe) =
            seek::pipe(plan, self.system, (self.at, self.within), heights, None)
        {
            let spot = Spot {
                at: self.at,
                z: Some(heights.0),
                near: self.within,
            };
            let parted = part(plan, draft, pipe, spot, Put::Point(None))?;
            let snap = Snap {
                at: parted.at,
                why: on_the(&plan.job.runs[pipe.run]),
            };
            return Ok((parted.name, snap, true));
        }
        if let Some(port) = seek::port(ports(), self.at, self.within, heights.0) {
            return Err(wrong_end(self.system, &port));
        }
        Ok(self.in_space(height, heights.0))
    }

    fn in_space(&self, height: Option<&str>, z: f64) -> (String, Snap, bool) {
        let plan = self.plan;
        let at = whole(plan, self.at);
        let height = height.map_or_else(
            || {
                let usual = usual_height(self.system, plan.units());
                format!("{} floor{} unverified", self.level, signed(usual, plan.units()))
            },
            |height| height.trim().to_owned(),
        );
        let start = format!("{} {height}", place(at, plan.units()));
        let why = place(at, plan.units());
        let at: Place = [at[0].mm(), at[1].mm(), z];
        (start, Snap { at, why }, false)
    }
}

/// The refusal of a run begun at the fixture it leads to.
fn wrong_end(system: System, port: &PortNear<'_>) -> Refusal {
    let word = system.word();
    let begin = if system.drains() {
        ("downstream end", "the drain")
    } else {
        ("source", "its source")
    };
    Refusal::new(
        format!("a {word} run is told from its {}, and {} lies at the other", begin.0, port.full()),
        format!("begin at {} and end the run at {}", begin.1, port.fixture.tag),
    )
}
