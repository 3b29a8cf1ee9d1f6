//! Pipes parted, and what their moves say of them: length, size, slope, material, devices.

use wyeline_job::model::{Reach, Rise, Run, StepKind};
use wyeline_job::words::{DEVICES, look_up};
use wyeline_units::Len;

use crate::along::{Put, Spot, ends, part};
use crate::draft::Draft;
use crate::edit::Edit;
use crate::plan::{Plan, Told, distance, scope};
use crate::words::{fine, length, place, read_length};
use crate::{Refusal, Snap, Work};

/// So near to a pipe's end something is put at that end, mm: an inch.
const NEAR: f64 = 25.4;

/// Mistakes of meaning for which a device is refused.
const NO_ROOM: &[&str] = &["two-on-one-point", "no-room-for-device"];

/// Makes the edits of pipes.
pub fn apply<'p, 'a>(plan: &'p Plan<'a>, edit: &Edit) -> Result<Work<'p, 'a>, Refusal> {
    match edit {
        Edit::Split { pipe, at, z, name } => {
            let put = Put::Point(name.as_deref());
            parted(plan, pipe, (*at, *z), put, "the point")
        }
        Edit::Device { pipe, at, z, words } => {
            let first = words.split_whitespace().next().unwrap_or_default();
            if look_up(&DEVICES, first).is_none() || words.trim().lines().count() != 1 {
                let known = DEVICES.iter().map(|(word, _)| *word);
                return Err(Refusal::unknown("device", first, known));
            }
            parted(plan, pipe, (*at, *z), Put::Device(words), first)
        }
        Edit::Length { pipe, words } => long(plan, plan.pipe(pipe)?, words),
        Edit::Size { pipe, words } => pen(plan, plan.pipe(pipe)?, "size", words),
        Edit::Slope { pipe, words } => pen(plan, plan.pipe(pipe)?, "slope", words),
        Edit::Material { pipe, words } => pen(plan, plan.pipe(pipe)?, "material", words),
        _ => Err(Refusal::new("this changes no pipe", "choose a pipe")),
    }
}

fn parted<'p, 'a>(
    plan: &'p Plan<'a>,
    pipe: &str,
    (at, z): ([f64; 2], Option<f64>),
    put: Put<'_>,
    what: &str,
) -> Result<Work<'p, 'a>, Refusal> {
    let told = plan.pipe(pipe)?;
    if told.pipe.arm {
        return Err(Refusal::new(
            "this pipe belongs to its fixture",
            "choose a pipe of the run itself",
        ));
    }
    let mut draft = Draft::new(&plan.page);
    let spot = Spot {
        at,
        z,
        near: NEAR,
        height: None,
    };
    let parted = part(plan, &mut draft, told, spot, put)?;
    let why = if parted.name.is_empty() {
        what
    } else {
        &parted.name
    };
    let snap = Snap {
        at: parted.at,
        why: why.to_owned(),
    };
    Ok(Work {
        snap: Some(snap),
        still: true,
        refuses: NO_ROOM,
        ..Work::new(draft)
    })
}

/// What stands at the place of a pipe whose length follows from something else.
fn follows(what: &str) -> Refusal {
    Refusal::new(
        format!("the length of this pipe follows from {what}"),
        "move that, or tell the pipe by a move of its own",
    )
}

fn long<'p, 'a>(plan: &'p Plan<'a>, told: Told<'_>, typed: &str) -> Result<Work<'p, 'a>, Refusal> {
    let units = plan.units();
    let run = &plan.job.runs[told.run];
    let step = &run.steps[told.step];
    let mut len = read_length(typed, units)?;
    let line = plan.line(step.span);
    // Where devices share the move, the pipe behind the last of them is what is left of it.
    let network = plan.network;
    let shares = network.runs[told.run]
        .pipes
        .iter()
        .map(|&ix| network.pipe(ix));
    let shares: Vec<_> = shares.filter(|pipe| pipe.span == step.span).collect();
    let branch = matches!(
        step.kind,
        StepKind::Catch { .. } | StepKind::End { .. } | StepKind::Join(_)
    );
    if !branch && shares.len() > 1 {
        if shares.last().is_some_and(|last| last.id != told.pipe.id) {
            return Err(follows("the length of the device in it"));
        }
        for other in &shares[..shares.len() - 1] {
            len += Len::from_mm(network.length_mm(other));
        }
    }
    let words = match &step.kind {
        StepKind::Level { .. }
        | StepKind::Vertical {
            reach: Rise::By(_) | Rise::To(_),
            ..
        } => length(len, units),
        StepKind::Vertical { .. } => return Err(follows("the roof")),
        StepKind::Tilt { angle, .. } => {
            let rise = len.mm() * (f64::from(*angle) / 100.0).to_radians().sin();
            let says = plan.page.says(line);
            let lean = says.find(" at ").map_or("", |at| &says[at..]);
            format!("{}{lean}", length(fine(rise, units), units))
        }
        StepKind::To { height: None, .. } if scope(&run.name.text).is_empty() => {
            straight(plan, told, len).ok_or_else(|| follows("the point it goes to"))?
        }
        StepKind::To { .. } => return Err(follows("the point it goes to")),
        StepKind::Offset { .. } => return Err(follows("the offset's set and roll")),
        StepKind::Catch { target, .. } | StepKind::End { target, .. } => {
            return Err(follows(&format!("where {} stands", target.tag.text)));
        }
        StepKind::Join(point) => return Err(follows(&format!("where {} lies", point.name.text))),
        _ => return Err(follows("the fixture it belongs to")),
    };
    let mut draft = Draft::new(&plan.page);
    let all = plan.page.words(line);
    if let (Some(first), Some(last)) = (all.get(1), all.last()) {
        draft.replace(first.start..last.end, words);
    }
    draft.choose(line);
    Ok(Work::new(draft))
}

/// The place so far on from a move's beginning.
fn straight(plan: &Plan<'_>, told: Told<'_>, len: Len) -> Option<String> {
    let track = plan.track(told.run)?;
    let begin = *track.get(told.step.checked_sub(1)?)?;
    let end = *track.get(told.step)?;
    let share = len.mm() / distance(begin, end);
    let part = |k: usize| fine(begin[k] + (end[k] - begin[k]) * share, plan.units());
    share
        .is_finite()
        .then(|| place([part(0), part(1)], plan.units()))
}

/// Whether a step says a size, a slope or a material.
fn says(kind: &StepKind, word: &str) -> bool {
    match kind {
        StepKind::Size { .. } => word == "size",
        StepKind::Slope(_) => word == "slope",
        StepKind::Material(_) => word == "material",
        _ => false,
    }
}

/// Whether a step lays pipe.
fn lays(kind: &StepKind) -> bool {
    kind.leads_on() && !matches!(kind, StepKind::Cap | StepKind::Continues { .. })
        || matches!(kind, StepKind::Catch { .. })
}

/// What a step says after its first word, without how sizes meet.
fn value<'a>(plan: &Plan<'a>, run: &Run, step: usize) -> (&'a str, std::ops::Range<usize>) {
    let words = plan.page.words(plan.line(run.steps[step].span));
    let meets =
        |word: &&std::ops::Range<usize>| matches!(plan.page.cut(word), "crowns" | "inverts");
    let last = words.iter().rev().find(|word| !meets(word));
    let range = match (words.get(1), last) {
        (Some(first), Some(last)) => first.start..last.end.max(first.start),
        _ => 0..0,
    };
    (plan.page.cut(&range), range)
}

/// Makes a pipe have a size, slope or material of its own.
fn pen<'p, 'a>(
    plan: &'p Plan<'a>,
    told: Told<'_>,
    word: &str,
    new: &str,
) -> Result<Work<'p, 'a>, Refusal> {
    let run = &plan.job.runs[told.run];
    let step = &run.steps[told.step];
    let line = plan.line(step.span);
    let new = new.trim();
    if new.is_empty() || new.lines().count() != 1 {
        return Err(Refusal::new(
            format!("no {word} is told"),
            format!("for example `{word} …`"),
        ));
    }
    let mut draft = Draft::new(&plan.page);
    draft.choose(line);
    if word == "size" && matches!(step.kind, StepKind::Catch { .. } | StepKind::End { .. }) {
        of_a_branch(plan, &mut draft, line, new);
        return Ok(Work::new(draft));
    }
    let before = run.steps[..told.step]
        .iter()
        .rposition(|one| says(&one.kind, word));
    let old = before.map(|at| value(plan, run, at).0);
    let old = old.or_else(|| match (word, plan.job.slope) {
        ("slope", Some((_, span))) if run.system.drains() => {
            Some(plan.page.cut(&Plan::bytes(span)))
        }
        _ => None,
    });
    let (first, last) = plan.lines(run);
    let laid = |value: &str| plan.page.step_like(&format!("{word} {value}"), first, last);
    let last_move = run.steps[..told.step]
        .iter()
        .rposition(|one| lays(&one.kind));
    match before.filter(|at| last_move.is_none_or(|last| *at > last)) {
        // It is said just before this move already.
        Some(at) => draft.replace(value(plan, run, at).1, new),
        None => draft.insert_after(line - 1, &[laid(new)], None),
    }
    let after = &run.steps[told.step + 1..];
    let next = after
        .iter()
        .position(|one| lays(&one.kind) || says(&one.kind, word));
    let goes_on = next.is_some_and(|next| lays(&after[next].kind));
    if let Some(old) = old.filter(|old| goes_on && !ends(&step.kind) && *old != new) {
        draft.insert_after(line, &[laid(old)], None);
    }
    Ok(Work::new(draft))
}

/// Puts the size into a catch or an end.
fn of_a_branch(plan: &Plan<'_>, draft: &mut Draft<'_, '_>, line: u32, size: &str) {
    let words = plan.page.words(line);
    let told = words.iter().position(|word| plan.page.cut(word) == "size");
    match (told, words.last()) {
        (Some(at), Some(last)) => {
            let rest = words[at..].iter().find(|word| plan.page.cut(word) == "at");
            let end = rest.map_or(last.end, |rest| rest.start);
            let gap = if rest.is_some() { " " } else { "" };
            draft.replace(words[at].start..end, format!("size {size}{gap}"));
        }
        (None, Some(last)) => draft.replace(last.end..last.end, format!(" size {size}")),
        _ => {}
    }
}

/// The length of a move as it lies, for words that can no longer say it otherwise.
pub fn plain_length(plan: &Plan<'_>, run: usize, step: usize) -> Option<Len> {
    let track = plan.track(run)?;
    let (begin, end) = (*track.get(step.checked_sub(1)?)?, *track.get(step)?);
    let told = &plan.job.runs[run].steps[step].kind;
    let level = matches!(
        told,
        StepKind::Level {
            reach: Reach::Abreast(_),
            ..
        }
    );
    let mm = crate::plan::apart(crate::plan::flat(begin), crate::plan::flat(end));
    level.then(|| Len::from_mm(mm))
}
