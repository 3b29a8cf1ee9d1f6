//! The first page: examples, jobs lately opened, and a new job from a few questions.

use std::fmt::Write;

use serde::Deserialize;
use serde_json::{Value, json};
use wyeline_codes::Pack;
use wyeline_sheet::Paper;
use wyeline_whole::{Built, examples};

use crate::desk::Desk;
use crate::plan;
use crate::refusal::Refusal;

/// What a job can be begun from.
pub fn home(desk: &Desk) -> Value {
    let examples = examples::ALL.iter();
    let examples = examples
        .map(|(name, text)| json!({ "name": name, "about": examples::first_sentence(text) }));
    let recent = desk.recent();
    let recent = recent.iter().map(|job| {
        json!({ "title": job.title, "file": job.path.display().to_string(), "time": job.time, "there": job.path.exists() })
    });
    json!({
        "folder": desk.folder.display().to_string(),
        "files": desk.files(),
        "examples": examples.collect::<Vec<_>>(),
        "recent": recent.collect::<Vec<_>>(),
        "codes": codes(),
    })
}

/// The codes that are held.
fn codes() -> Value {
    Pack::all()
        .iter()
        .map(|pack| json!({ "id": pack.id(), "name": pack.name() }))
        .collect()
}

/// What does not depend on a job: kinds of fixtures, papers, codes.
pub fn stock() -> Value {
    let papers = Paper::all().iter().map(|paper| &paper.name);
    json!({ "kinds": plan::offered(), "papers": papers.collect::<Vec<_>>(), "codes": codes() })
}

/// The answers to the questions before a new job.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Questions {
    /// What the job is called.
    pub name: String,
    /// The word of its units.
    pub units: String,
    /// The code; none where empty.
    #[serde(default)]
    pub code: String,
    /// Its levels, the lowest first.
    pub levels: Vec<Storey>,
    /// How deep the sewer lies under the lowest floor, in words; nothing where not known.
    #[serde(default)]
    pub sewer: String,
    /// The pressure at the service, in words; nothing where not known.
    #[serde(default)]
    pub pressure: String,
}

/// A level asked for.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Storey {
    /// Its name.
    pub name: String,
    /// Its finished floor, in words.
    pub floor: String,
    /// Its ceiling above that, in words; nothing where not known.
    #[serde(default)]
    pub ceiling: String,
}

/// The words that open the note in which a new job tells how deep the sewer lies.
pub const SEWER: &str = "Sewer as told, to be verified:";

/// The text of a new job, and a file name for it.
///
/// # Errors
/// An answer is not understood: in the words of the reader of jobs.
pub fn begun(asked: &Questions) -> Result<(String, String), Refusal> {
    let one_line = |words: &str| {
        words
            .chars()
            .filter(|c| !c.is_control())
            .collect::<String>()
            .trim()
            .to_owned()
    };
    let name = one_line(&asked.name).replace('#', "");
    let mut text = String::new();
    let mut say = |words: String| {
        let _ = writeln!(text, "{words}");
    };
    say(format!(
        "job    {}",
        if name.is_empty() { "New job" } else { &name }
    ));
    say(format!("units  {}", one_line(&asked.units)));
    if !asked.code.is_empty() {
        say(format!("code   {}", one_line(&asked.code)));
    }
    say(String::new());
    for level in &asked.levels {
        let mut line = format!(
            "level  {} floor {}",
            one_line(&level.name),
            one_line(&level.floor)
        );
        if !level.ceiling.trim().is_empty() {
            let _ = write!(line, " ceiling {}", one_line(&level.ceiling));
        }
        say(line);
    }
    let lowest = asked
        .levels
        .first()
        .map(|level| one_line(&level.name))
        .unwrap_or_default();
    if !asked.pressure.trim().is_empty() {
        say(String::new());
        say(format!("supply pressure {}", one_line(&asked.pressure)));
    }
    if !asked.sewer.trim().is_empty() {
        say(String::new());
        say(format!(
            "note   \"{SEWER} {lowest} floor -{}\"",
            one_line(&asked.sewer).replace('"', " in")
        ));
    }
    let built = Built::of(text.as_bytes(), |_| ());
    if let Some(mistake) = built.diagnostics.first() {
        let help = mistake.help.as_deref().unwrap_or_default();
        return Err(Refusal::wrong(
            format!("{} {help}", mistake.message).trim().to_owned(),
        ));
    }
    let mut file: String = name
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .take(60)
        .collect();
    while file.contains("--") {
        file = file.replace("--", "-");
    }
    let file = file.trim_matches('-');
    Ok((
        format!("{}.wye", if file.is_empty() { "new-job" } else { file }),
        text,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(floor: &str) -> Questions {
        Questions {
            name: "Otter Row 4, \"rear\"".to_owned(),
            units: "ft-in".to_owned(),
            code: "ipc-2021".to_owned(),
            levels: vec![Storey {
                name: "main".to_owned(),
                floor: floor.to_owned(),
                ceiling: "8'".to_owned(),
            }],
            sewer: "4'6\"".to_owned(),
            pressure: "55 psi".to_owned(),
        }
    }

    #[test]
    fn answers_become_a_job_that_reads() {
        let (file, text) = begun(&asked("0'")).expect("plain answers");
        assert_eq!(file, "otter-row-4-rear.wye");
        assert!(text.contains("level  main floor 0' ceiling 8'\n"), "{text}");
        assert!(text.contains("main floor -4'6 in"), "{text}");
    }

    #[test]
    fn an_answer_that_is_no_length_is_refused_in_words() {
        assert!(begun(&asked("low")).is_err());
    }
}
