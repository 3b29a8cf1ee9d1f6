//! Lines said anew, added and deleted.

use std::collections::BTreeSet;

use wyeline_job::Span;
use wyeline_job::model::{PointRef, Run, Start, StepKind};

use crate::draft::Draft;
use crate::order::put;
use crate::page::Statement;
use crate::pipes::plain_length;
use crate::plan::Plan;
use crate::words::length;
use crate::{Refusal, Work};

/// Makes a line say something else; its indentation and its remark stay.
pub fn say<'p, 'a>(plan: &'p Plan<'a>, line: u32, words: &str) -> Result<Work<'p, 'a>, Refusal> {
    let words = words.trim();
    if plan.page.says(line).is_empty() {
        return Err(Refusal::new(
            "this line says nothing",
            "add a statement instead",
        ));
    }
    if words.is_empty() || words.lines().count() != 1 {
        return Err(Refusal::new(
            "a line says one thing",
            "delete it, or add what is more as lines of its own",
        ));
    }
    let mut draft = Draft::new(&plan.page);
    draft.say(line, words);
    draft.choose(line);
    Ok(Work {
        run: run_of(plan, line),
        ..Work::new(draft)
    })
}

/// The run that a line belongs to.
fn run_of(plan: &Plan<'_>, line: u32) -> Option<String> {
    let runs = plan.job.runs.iter();
    let mut here = runs.filter(|run| {
        let (first, last) = plan.lines(run);
        (first..=last).contains(&line)
    });
    here.next().map(|run| run.name.text.clone())
}

/// Adds a statement where its kind stands, or after a line.
pub fn add<'p, 'a>(
    plan: &'p Plan<'a>,
    words: &str,
    after: Option<u32>,
) -> Result<Work<'p, 'a>, Refusal> {
    let lines: Vec<String> = words
        .lines()
        .map(|line| line.trim_end().to_owned())
        .filter(|line| !line.trim().is_empty())
        .collect();
    let Some(first) = lines
        .first()
        .and_then(|line| line.split_whitespace().next())
    else {
        return Err(Refusal::new(
            "nothing is said",
            "for example `level main floor 0'`",
        ));
    };
    let mut draft = Draft::new(&plan.page);
    if let Some(after) = after {
        if after > plan.page.count() {
            return Err(Refusal::new(
                "there is no such line",
                "choose a line of the text",
            ));
        }
        let laid = beside(plan, &lines, after);
        draft.insert_after(after, &laid, Some(0));
        return Ok(Work::new(draft));
    }
    put(plan, &mut draft, first, &lines, false);
    let system = wyeline_job::words::system(first);
    let name = lines[0].split_whitespace().nth(1);
    Ok(Work {
        run: system.and(name).map(ToOwned::to_owned),
        ..Work::new(draft)
    })
}

/// Lines put after another: a single one is laid out as that is.
fn beside(plan: &Plan<'_>, lines: &[String], after: u32) -> Vec<String> {
    let [only] = lines else {
        return lines.to_vec();
    };
    let words = only.trim();
    let first = words.split_whitespace().next().unwrap_or_default();
    let all = plan.page.statements();
    let run = all.iter().find(|one| {
        let holds = (one.line..=one.last).contains(&after);
        holds && wyeline_job::words::system(one.first).is_some()
    });
    match run {
        Some(run) if wyeline_job::words::continues_run(first) => {
            vec![plan.page.step_like(words, run.line, run.last)]
        }
        None if !plan.page.says(after).is_empty() => vec![plan.page.like(words, after)],
        _ => lines.to_vec(),
    }
}

/// Takes a statement or a step away.
pub fn delete<'p, 'a>(plan: &'p Plan<'a>, line: u32) -> Result<Work<'p, 'a>, Refusal> {
    let all = plan.page.statements();
    let nothing = || Refusal::new("this line says nothing", "choose a statement or a step");
    let at = all
        .iter()
        .rposition(|one| one.line <= line)
        .ok_or_else(nothing)?;
    let one = all[at];
    if plan.page.says(line).is_empty() {
        return Err(nothing());
    }
    if line > one.line {
        return gone(plan, (line, line), None, run_of(plan, line));
    }
    match one.first {
        "group" => {
            let end = all[at..].iter().find(|one| one.first == "end-group");
            gone(
                plan,
                (one.line, end.map_or(one.last, |end| end.line)),
                None,
                None,
            )
        }
        "place" => {
            let words = plan.page.words(line);
            let prefix = words.get(3).map(|word| format!("{}/", plan.page.cut(word)));
            gone(plan, (line, line), prefix.as_deref(), None)
        }
        _ => gone(plan, whole(plan, one), None, None),
    }
}

/// The lines of a statement, with the empty line that a run has before it.
fn whole(plan: &Plan<'_>, one: Statement<'_>) -> (u32, u32) {
    let run = wyeline_job::words::system(one.first).is_some();
    let ends_text = one.last == plan.page.count() || plan.page.blank(one.last + 1);
    if run && ends_text && one.line > 1 && plan.page.blank(one.line - 1) {
        (one.line - 1, one.last)
    } else {
        (one.line, one.last)
    }
}

/// Takes a run away.
pub fn delete_run<'p, 'a>(plan: &'p Plan<'a>, name: &str) -> Result<Work<'p, 'a>, Refusal> {
    let run = plan.run(name)?;
    delete(plan, plan.lines(&plan.job.runs[run]).0)
}

/// Takes lines away, with what only speaks of what they told: things on these lines, or all whose names
/// begin with those of a placement.
fn gone<'p, 'a>(
    plan: &'p Plan<'a>,
    lines: (u32, u32),
    placement: Option<&str>,
    run: Option<String>,
) -> Result<Work<'p, 'a>, Refusal> {
    let inside = |span: Span| (lines.0..=lines.1).contains(&plan.line(span));
    let placed = |name: &str| placement.is_some_and(|placement| name.starts_with(placement));
    let fixtures = plan.job.fixtures.iter();
    let mut names: BTreeSet<&str> = fixtures
        .filter(|one| inside(one.span) || placed(&one.tag.text))
        .map(|one| one.tag.text.as_str())
        .collect();
    for step in plan.job.runs.iter().flat_map(|run| &run.steps) {
        if let StepKind::Point(name) = &step.kind
            && (inside(step.span) || placed(&name.text))
        {
            names.insert(&name.text);
        }
    }
    let mut draft = Draft::new(&plan.page);
    draft.remove(lines.0, lines.1);
    let mut seen: BTreeSet<u32> = BTreeSet::new();
    let others = plan.job.runs.iter().enumerate();
    for (ix, run) in others.filter(|(_, run)| !placed(&run.name.text)) {
        for (step, told) in run.steps.iter().enumerate() {
            let line = plan.line(told.span);
            if !inside(told.span)
                && told
                    .kind
                    .speaks_of()
                    .is_some_and(|name| names.contains(name.text.as_str()))
                && seen.insert(line)
            {
                let Some(words) = without(plan, ix, step)? else {
                    draft.remove(line, line);
                    continue;
                };
                draft.say(line, words);
            }
        }
    }
    Ok(Work {
        run,
        ..Work::new(draft)
    })
}

/// What a step says once what it speaks of is gone; nothing where it goes too.
fn without(plan: &Plan<'_>, run: usize, step: usize) -> Result<Option<String>, Refusal> {
    let told: &Run = &plan.job.runs[run];
    let hangs = |how: &str, point: &PointRef| {
        let run = &told.name.text;
        let name = &point.name.text;
        Refusal::new(
            format!("the run `{run}` {how} at `{name}`"),
            format!(
                "delete `{run}` first, or let it {} elsewhere",
                how.trim_end_matches('s')
            ),
        )
    };
    match &told.steps[step].kind {
        StepKind::Catch { .. } => Ok(None),
        StepKind::End { .. } => Ok(Some("cap".to_owned())),
        StepKind::Start(Start::From(point)) => Err(hangs("starts", point)),
        StepKind::Join(point) => Err(hangs("joins", point)),
        _ => {
            // A move abreast of it stays as long as it is.
            let long = plain_length(plan, run, step).filter(|len| *len > wyeline_units::Len::ZERO);
            let line = plan.line(told.steps[step].span);
            let way = plan.page.first_word(line);
            Ok(long.map(|len| format!("{way} {}", length(len, plan.units()))))
        }
    }
}
