//! What a phone opens on: whether it fits, by how much, where. From a job's mistakes, the heights it has to arrive at, and what
//! breaks a rule, in the order in which a plumber would mend them.

use serde::Serialize;
use wyeline_checks::At;
use wyeline_job::{LineIndex, Severity, Span, line_index};
use wyeline_network::model::{Fit, RunSummary};
use wyeline_whole::words;

use crate::work::Work;

/// How a job stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stand {
    /// No pipe is told yet.
    Empty,
    /// Something cannot be understood, or cannot be built.
    Mistakes,
    /// A drain does not reach a height it has to.
    DoesNotFit,
    /// A rule is broken.
    Breaks,
    /// Nothing is known to be wrong, but no code is in force.
    NotChecked,
    /// Nothing that was looked at is wrong.
    Fits,
}

/// One thing to mend.
#[derive(Clone, Debug, Serialize)]
pub struct Item {
    /// `mistake`, `miss`, `finding` or `warning`.
    pub kind: &'static str,
    /// What is wrong.
    pub words: String,
    /// By which section.
    pub by: Option<String>,
    /// What would mend it.
    pub help: Option<String>,
    /// The number that stands in its flag on the drawing.
    pub number: Option<usize>,
    /// The rule's name.
    pub rule: Option<&'static str>,
    /// The line of the job, from 1.
    pub line: u32,
    /// Ids of pipes and nodes and tags of fixtures it is about.
    pub about: Vec<String>,
}

/// The answer.
#[derive(Clone, Debug, Serialize)]
pub struct Answer {
    /// How it stands.
    pub stand: Stand,
    /// That in a sentence.
    pub words: String,
    /// What is to be mended.
    pub items: Vec<Item>,
}

/// What is to be said of a job before anything else.
pub fn answer(work: &Work) -> Answer {
    let index = line_index(&work.text);
    let mut items = diagnosed(work, &index, Severity::Mistake, "mistake");
    let mistakes = items.len();
    let misses = misses(work, &index);
    let missed = misses.len();
    items.extend(misses);
    let findings = findings(work, &index);
    let found = findings.len();
    items.extend(findings);
    items.extend(diagnosed(work, &index, Severity::Warning, "warning"));
    let stand = if work.built.network.pipes.is_empty() && mistakes == 0 {
        Stand::Empty
    } else if mistakes > 0 {
        Stand::Mistakes
    } else if missed > 0 {
        Stand::DoesNotFit
    } else if found > 0 {
        Stand::Breaks
    } else if work.checked.is_none() {
        Stand::NotChecked
    } else {
        Stand::Fits
    };
    let words = match stand {
        Stand::Empty => "Nothing is piped yet".to_owned(),
        Stand::Mistakes => match mistakes {
            1 => "1 mistake to mend".to_owned(),
            many => format!("{many} mistakes to mend"),
        },
        Stand::DoesNotFit => format!("Does not fit: {}", items[0].words),
        Stand::Breaks => match found {
            1 => "1 rule is broken".to_owned(),
            many => format!("Rules are broken in {many} places"),
        },
        Stand::NotChecked => format!(
            "{}; no code is in force, so no rule was looked at",
            tightest(work).unwrap_or_else(|| "Can be drawn".to_owned())
        ),
        Stand::Fits => {
            tightest(work).unwrap_or_else(|| "Nothing wrong in what was looked at".to_owned())
        }
    };
    Answer {
        stand,
        words,
        items,
    }
}

fn diagnosed(work: &Work, index: &LineIndex<'_>, of: Severity, kind: &'static str) -> Vec<Item> {
    let more = work.no_code.iter();
    let all = work.built.diagnostics.iter().chain(more);
    all.filter(|one| one.severity == of)
        .map(|one| Item {
            kind,
            words: one.message.clone(),
            by: None,
            help: one.help.clone(),
            number: None,
            rule: None,
            line: line(index, one.span),
            about: Vec::new(),
        })
        .collect()
}

fn line(index: &LineIndex<'_>, span: Span) -> u32 {
    index.line(span.start)
}

/// Every run's points that have to lie at a height.
fn fits(work: &Work) -> impl Iterator<Item = (&RunSummary, &Fit)> {
    let runs = work.built.network.runs.iter();
    runs.flat_map(|run| run.fits.iter().map(move |fit| (run, fit)))
}

/// A sixteenth of an inch is as close as anybody lays a drain; our own choice.
const NOTHING_MM: f64 = 25.4 / 16.0;

fn misses(work: &Work, index: &LineIndex<'_>) -> Vec<Item> {
    let network = &work.built.network;
    let missed = fits(work).filter(|(_, fit)| fit.spare_mm() < -NOTHING_MM);
    missed
        .map(|(run, fit)| Item {
            kind: "miss",
            words: format!(
                "{} misses the height it has to arrive at by {}",
                run.name,
                words::length(-fit.spare_mm(), network.units)
            ),
            by: None,
            help: (fit.available > 0.0).then(|| {
                let slope = words::ratio(fit.available, network.units);
                format!("a slope of {slope} would meet both ends")
            }),
            number: None,
            rule: None,
            line: line(index, fit.span),
            about: vec![network.node(fit.node).id.clone()],
        })
        .collect()
}

/// The least room to spare, in words.
fn tightest(work: &Work) -> Option<String> {
    let least = fits(work).min_by(|a, b| a.1.spare_mm().total_cmp(&b.1.spare_mm()));
    least.map(|(run, fit)| match fit.spare_mm() {
        spare if spare > NOTHING_MM => format!(
            "Fits, with {} to spare at the tightest ({})",
            words::length(spare, work.built.network.units),
            run.name
        ),
        _ => format!("Fits; {} arrives with nothing to spare", run.name),
    })
}

fn findings(work: &Work, index: &LineIndex<'_>) -> Vec<Item> {
    let network = &work.built.network;
    let all = work.checked.iter().flat_map(|checked| &checked.findings);
    all.enumerate()
        .map(|(at, finding)| Item {
            kind: "finding",
            words: finding.message.clone(),
            by: Some(words::stands(&finding.cite)),
            help: Some(finding.help.clone()).filter(|help| !help.is_empty()),
            number: Some(at + 1),
            rule: Some(finding.rule),
            line: line(index, finding.span),
            about: match finding.at {
                At::Node(ix) => vec![network.node(ix).id.clone()],
                At::Job => Vec::new(),
                at => vec![words::place(network, at).to_owned()],
            },
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Answer {
        answer(&Work::of(text.to_owned()))
    }

    #[test]
    fn an_empty_job_says_that_nothing_is_piped_yet() {
        assert_eq!(of("").stand, Stand::Empty);
    }

    #[test]
    fn a_line_that_cannot_be_read_comes_before_everything_else() {
        let answer = of("level main floor 0'\nwhaste drain\n");
        assert_eq!((answer.stand, answer.items[0].line), (Stand::Mistakes, 2));
    }

    /// 20 ft at 1/4 in per ft rise 5 in: from -20 in to -15 in. Asked for -16 in or lower, it is an inch too high.
    #[test]
    fn a_drain_that_arrives_too_high_says_by_how_much() {
        let answer = of(
            "level main floor 0'\nwaste drain\n  start 0',0' main floor -20\"\n  slope 1/4 in per ft\n  east 20'\n  \
             arrives at-or-below main floor -16\"\n  cap\n",
        );
        assert_eq!(answer.stand, Stand::DoesNotFit, "{answer:?}");
        assert!(
            answer
                .words
                .contains("misses the height it has to arrive at by 1\""),
            "{}",
            answer.words
        );
    }

    /// The same asked for -14 in or lower has an inch to spare.
    #[test]
    fn a_drain_that_fits_says_how_much_is_left() {
        let answer = of(
            "level main floor 0'\ncode ipc-2021\nwaste drain\n  start 0',0' main floor -20\"\n  slope 1/4 in per ft\n  size 3\"\n  east 20'\n  \
             arrives at-or-below main floor -14\"\n  note \"future bath\"\n  cap\n",
        );
        assert!(
            answer.words.contains("1\" to spare"),
            "{} {:?}",
            answer.words,
            answer.items
        );
    }
}
