//! Runs begun, led on step by step, and ended.

use wyeline_job::model::{Run, Start, StepKind};

use crate::along::{Put, Spot, ends, part};
use crate::begin::Begin;
use crate::draft::Draft;
use crate::edit::Edit;
use crate::plan::{Place, Plan, apart, flat, local, names, scope};
use crate::seek::{self, PortNear};
use crate::words::read_system;
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
    let z = track
        .and_then(|track| track.last().map(|at| at[2]))
        .unwrap_or(0.0);
    let heights = (z, f64::NEG_INFINITY, f64::INFINITY);
    let mut draft = Draft::new(&plan.page);
    let mut still = false;
    // Where the run itself begins, or has been, it does not end.
    let begins = |port: &PortNear<'_>| match told.steps.first().map(|step| &step.kind) {
        Some(StepKind::Start(Start::From(point))) => {
            let here = point
                .port
                .as_ref()
                .is_none_or(|own| own.text == port.port.name);
            here && point.name.text == port.fixture.tag
        }
        _ => false,
    };
    let ports = seek::ports(plan, told.system).filter(|port| !begins(port));
    let port = seek::port(ports, at, within, z);
    let own = |point: &str| {
        told.steps.iter().any(|step| match &step.kind {
            StepKind::Start(Start::From(from)) => from.name.text == point,
            _ => names(step, point),
        })
    };
    let point = seek::point(plan, told.system, at, within, heights, own);
    // A port comes first, unless the run lies at a point's height right above or under it.
    let port = port.filter(|port| {
        point.is_none_or(|(_, place)| {
            let off = |to: Place| (apart(flat(to), at), (to[2] - z).abs());
            let (port, point) = (off(port.port.at.into()), off(place));
            point.0 > port.0 + 1.0 || point.1 + 1.0 > port.1
        })
    });
    let (words, snap) = if let Some(port) = port {
        let snap = Snap {
            at: port.port.at.into(),
            why: format!("at {}", port.full()),
        };
        (format!("end {}", speaks(name, &port.word())?), snap)
    } else if let Some((point, place)) = point {
        let snap = Snap {
            at: place,
            why: format!("at {point}"),
        };
        (format!("join {}", speaks(name, point)?), snap)
    } else if let Some(pipe) = seek::pipe(plan, told.system, (at, within), heights, Some(run)) {
        let spot = Spot {
            at,
            z: Some(z),
            near: within,
            height: None,
        };
        let parted = part(plan, &mut draft, pipe, spot, Put::Point(None))?;
        still = true;
        let snap = Snap {
            at: parted.at,
            why: on_the(&plan.job.runs[pipe.run]),
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
