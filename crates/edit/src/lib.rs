//! Turns gestures on the plan into changed words of the job.
//!
//! In: the text of a job, the Job and the Network made of it, and an [`Edit`]: what a hand did. Out: the new
//! text and which bytes of the old one it changes; every other byte stays, with remarks and order. The new text
//! reads without a mistake that the old one had not, but that a run still being walked is not finished; what
//! would not is refused in the reader's own words. Knows no file and no clock. Start at [`apply`].
//!
//! Things of a placed group (tags with `/`) are told in the group: its own lines are changed, and so every
//! placement. What would not mean the same in all of them is refused.

mod along;
mod begin;
mod draft;
mod edit;
mod faces;
mod fixtures;
mod frame;
mod heights;
mod order;
mod page;
mod pipes;
mod plan;
mod pull;
mod runs;
mod seek;
mod sides;
mod tags;
mod text;
mod walls;
mod words;

use serde::Serialize;
use wyeline_job::{Diagnostic, Job, Severity};
use wyeline_network::Network;

use crate::draft::Draft;
use crate::page::Page;
use crate::plan::{Plan, distance};

pub use edit::Edit;

/// A stretch of the old text, and what stands there now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Change {
    /// First byte of the old text.
    pub from: u32,
    /// One past the last.
    pub to: u32,
    /// What stands there now.
    pub text: String,
}

/// An edit made.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Done {
    /// The new text.
    pub text: String,
    /// Where it differs from the old one: ascending, apart from each other.
    pub changes: Vec<Change>,
    /// The words written, one line each.
    pub said: String,
    /// The line of the new text that is chosen afterwards, from 1.
    pub chosen: Option<u32>,
    /// The run that is being walked.
    pub run: Option<String>,
    /// What the pointer snapped to.
    pub snap: Option<Snap>,
}

/// What a pointer snapped to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Snap {
    /// Where, mm.
    pub at: [f64; 3],
    /// Why there: `abreast of WC1.drain`, `into the wall`, `5'-3"`.
    pub why: String,
}

/// An edit that cannot be made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Refusal {
    /// Why.
    pub message: String,
    /// What to do about it.
    pub help: String,
}

impl Refusal {
    fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            help: help.into(),
        }
    }

    /// A name that is not known, with the nearest that is.
    fn unknown<'n>(what: &str, name: &str, known: impl Iterator<Item = &'n str>) -> Self {
        let help = wyeline_job::did_you_mean(name, known);
        let help = help.unwrap_or_else(|| format!("choose a {what} of the job"));
        Self::new(format!("there is no {what} `{name}`"), help)
    }

    fn of(mistake: &Diagnostic) -> Self {
        let help = mistake.help.clone();
        Self::new(
            &mistake.message,
            help.unwrap_or_else(|| mistake.label.clone()),
        )
    }
}

/// A run that is still being walked is not finished, and one that has only begun goes nowhere yet.
const STILL_WALKED: [&str; 2] = ["run-not-finished", "run-without-length"];

/// What an edit came to, before it is checked.
struct Work<'p, 'a> {
    draft: Draft<'p, 'a>,
    run: Option<String>,
    snap: Option<Snap>,
    /// Every node has to stay where it is.
    still: bool,
    /// Mistakes of meaning that refuse it.
    refuses: &'static [&'static str],
}

impl<'p, 'a> Work<'p, 'a> {
    fn new(draft: Draft<'p, 'a>) -> Self {
        Self {
            draft,
            run: None,
            snap: None,
            still: false,
            refuses: &[],
        }
    }
}

/// Returns the text that says what the hand did.
///
/// * `job`, `network`: those of `text`
///
/// # Errors
/// Says why the edit cannot be made, and what to do: where words do not read, in the reader's own words.
pub fn apply(text: &str, job: &Job, network: &Network, edit: &Edit) -> Result<Done, Refusal> {
    if job.text_len != text.len() {
        return Err(Refusal::new(
            "the drawing is not that of this text",
            "try again when it has been drawn anew",
        ));
    }
    on_the_plan(edit)?;
    let plan = Plan {
        page: Page::new(text),
        job,
        network,
    };
    let work = dispatch(&plan, edit)?;
    close(&plan, work)
}

fn dispatch<'p, 'a>(plan: &'p Plan<'a>, edit: &Edit) -> Result<Work<'p, 'a>, Refusal> {
    match edit {
        Edit::Wall { .. } | Edit::Room { .. } | Edit::Opening { .. } => walls::apply(plan, edit),
        Edit::Side { .. } | Edit::Push { .. } => sides::apply(plan, edit),
        Edit::Fixture { .. }
        | Edit::Move { .. }
        | Edit::Turn { .. }
        | Edit::Face { .. }
        | Edit::Copy { .. }
        | Edit::Repeat { .. } => fixtures::apply(plan, edit),
        Edit::Mirror { .. } | Edit::Tag { .. } => tags::apply(plan, edit),
        Edit::Pull {
            run,
            to,
            within,
            typed,
            free,
        } => pull::pull(plan, run, *to, *within, typed.as_deref(), *free),
        Edit::Start { .. }
        | Edit::Meet { .. }
        | Edit::Catch { .. }
        | Edit::Step { .. }
        | Edit::Rise { .. }
        | Edit::Finish { .. } => runs::apply(plan, edit),
        Edit::Split { .. }
        | Edit::Length { .. }
        | Edit::Size { .. }
        | Edit::Slope { .. }
        | Edit::Material { .. }
        | Edit::Device { .. } => pipes::apply(plan, edit),
        Edit::Height { line, words } => heights::height(plan, *line, words),
        Edit::Known { line } => heights::known(plan, *line),
        Edit::Say { line, words } => text::say(plan, *line, words),
        Edit::Add { words, after } => text::add(plan, words, *after),
        Edit::Delete { line } => text::delete(plan, *line),
        Edit::DeleteRun { run } => text::delete_run(plan, run),
    }
}

/// Beyond that from the origin no job reaches, mm: lengths of jobs end at 100 km.
const FARTHEST: f64 = 1e8;

/// Refuses numbers that are no place on a plan.
fn on_the_plan(edit: &Edit) -> Result<(), Refusal> {
    let (points, within): (Vec<[f64; 2]>, f64) = match edit {
        Edit::Wall { points, within, .. } => (points.clone(), *within),
        Edit::Room { a, b, within, .. } => (vec![*a, *b], *within),
        Edit::Push { by, within, .. } => (vec![[*by, 0.0]], *within),
        Edit::Opening { at, within, .. }
        | Edit::Fixture { at, within, .. }
        | Edit::Move { at, within, .. }
        | Edit::Copy { at, within, .. }
        | Edit::Start { at, within, .. }
        | Edit::Meet { at, within, .. } => (vec![*at], *within),
        Edit::Pull { to, within, .. } => (vec![*to], *within),
        Edit::Split { at, z, .. } | Edit::Device { at, z, .. } => {
            (vec![*at, [z.unwrap_or(0.0), 0.0]], 0.0)
        }
        _ => return Ok(()),
    };
    let good = |number: &f64| number.abs() < FARTHEST;
    if points.iter().flatten().all(good) && good(&within) && within >= 0.0 {
        return Ok(());
    }
    Err(Refusal::new(
        "this is no place on the plan",
        "numbers of the plan are millimetres, up to 100 km",
    ))
}

/// Mistakes that were not there before, by what they say.
fn new_mistakes(old: &[Diagnostic], new: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let key = |one: &Diagnostic| (one.code, one.message.clone());
    let mut known: Vec<_> = old.iter().map(key).collect();
    let mistakes = new
        .into_iter()
        .filter(|one| one.severity == Severity::Mistake && !STILL_WALKED.contains(&one.code));
    mistakes
        .filter(|one| {
            let at = known.iter().position(|known| *known == key(one));
            at.map(|at| known.swap_remove(at)).is_none()
        })
        .collect()
}

/// Writes the text, and refuses it where it has mistakes that the old one had not.
fn close(plan: &Plan<'_>, work: Work<'_, '_>) -> Result<Done, Refusal> {
    let written = work.draft.write()?;
    let old = plan.page.text;
    let reading = wyeline_job::read(&written.text);
    if reading
        .diagnostics
        .iter()
        .any(|one| one.severity == Severity::Mistake)
    {
        let before = wyeline_job::read(old).diagnostics;
        if let Some(mistake) = new_mistakes(&before, reading.diagnostics).first() {
            return Err(Refusal::of(mistake));
        }
    }
    if work.still || !work.refuses.is_empty() {
        let built = wyeline_network::build(&reading.job, &written.text);
        let refused = |one: &Diagnostic| work.refuses.contains(&one.code);
        let mut mistakes = built.diagnostics;
        mistakes.retain(refused);
        if !mistakes.is_empty() {
            let before = wyeline_network::build(plan.job, old).diagnostics;
            if let Some(mistake) = new_mistakes(&before, mistakes).first() {
                return Err(Refusal::of(mistake));
            }
        }
        if work.still && !all_stand(plan.network, &built.network) {
            return Err(Refusal::new(
                "the pipe would not stay where it is if it were parted here",
                "part it at one of its ends, or tell its way by moves of their own",
            ));
        }
    }
    let run = work.run.filter(|name| {
        let mut runs = reading.job.runs.iter();
        runs.any(|run| run.name.text == *name && runs::is_open(run))
    });
    Ok(Done {
        text: written.text,
        changes: written.changes,
        said: written.said,
        chosen: written.chosen,
        run,
        snap: work.snap,
    })
}

/// Farther apart than this two places are not the same, mm.
const SAME: f64 = 1e-6;

/// Whether each node of the old network stands in the new one where it did.
fn all_stand(old: &Network, new: &Network) -> bool {
    // Nodes keep their order, but that others come between them.
    let mut from = 0;
    old.nodes.iter().all(|node| {
        let at = node.at.into();
        let same = |k: &usize| distance(at, new.nodes[*k].at.into()) < SAME;
        let count = new.nodes.len();
        let found = (from..count).chain(0..from.min(count)).find(same);
        from = found.unwrap_or(from) + 1;
        found.is_some()
    })
}
