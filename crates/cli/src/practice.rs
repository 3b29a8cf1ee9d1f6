//! `wyeline practice`: exercises as sheets to hand out, with their keys, questions and steps.

use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::time::{SystemTime, UNIX_EPOCH};

use serde_json::{Value, json};
use wyeline_exchange::Frame;
use wyeline_fit::list::{Cell, Column, Kind, List};
use wyeline_lesson::ask::Question;
use wyeline_lesson::mark::Rubric;
use wyeline_lesson::{Code, Exercise, Level, code, handout};
use wyeline_sheet::Sheet;

use crate::args::Practice;
use crate::progress::Progress;
use crate::table::Table;
use crate::{FINE, Failure, MISTAKES, output};

/// Makes exercises and writes their sheets.
pub fn practice(args: &Practice) -> Result<u8, Failure> {
    if args.levels {
        output::print(levels().as_bytes())?;
        return Ok(FINE);
    }
    let mut progress = Progress::new();
    progress.stage("making exercises");
    let (exercises, mistakes) = exercises(args)?;
    fs::create_dir_all(&args.output)
        .map_err(|error| format!("cannot make {}: {error}", args.output.display()))?;
    let mut handouts = Vec::new();
    let mut keys = Vec::new();
    let mut all_questions = Vec::new();
    for exercise in &exercises {
        progress.stage("drawing");
        let made = handout::handout(exercise, Rubric::published(), args.questions)
            .map_err(|error| format!("{}: {error}", exercise.name()))?;
        handouts.extend(made.learner);
        keys.extend(made.keys);
        all_questions.push(made.questions);
        if args.steps {
            steps(&args.output, exercise)?;
        }
    }
    progress.stage("writing");
    write_pdf(&args.output.join("handouts.pdf"), handouts)?;
    write_pdf(&args.output.join("keys.pdf"), keys)?;
    let codes = codes(&exercises);
    let csv = wyeline_exchange::csv(&codes).map_err(|error| error.to_string())?;
    output::write(&args.output.join("codes.csv"), &csv)?;
    progress.clear();
    if args.json {
        let told = exercises
            .iter()
            .zip(&all_questions)
            .map(|(exercise, questions)| told(exercise, questions));
        let text = serde_json::to_string_pretty(&told.collect::<Vec<_>>())
            .map_err(|error| error.to_string())?;
        output::print(format!("{text}\n").as_bytes())?;
    } else {
        let mut text = String::new();
        crate::list_text::write(&codes, &mut text);
        let steps = if args.steps {
            ", the steps of each as pdf and svg"
        } else {
            ""
        };
        let _ = writeln!(
            text,
            "\nIn {}: handouts.pdf to hand out, keys.pdf to keep, codes.csv{steps}.",
            args.output.display()
        );
        output::print(text.trim_start().as_bytes())?;
    }
    Ok(if mistakes { MISTAKES } else { FINE })
}

/// The levels and what is learnt by each.
fn levels() -> String {
    let mut table = Table::new(&["Level>", "Name", "Learnt"]);
    for level in Level::all() {
        let facts = level.facts();
        table.row(vec![
            level.number().to_string(),
            facts.name.clone(),
            facts.learnt.clone(),
        ]);
    }
    let mut text = String::new();
    table.write("", &mut text);
    text
}

/// The exercises asked for, and whether a job among them has mistakes.
fn exercises(args: &Practice) -> Result<(Vec<Exercise>, bool), Failure> {
    if let Some(file) = &args.job {
        return own_job(file, args);
    }
    let codes: Vec<Code> = match (args.find, args.level) {
        (Some(code), _) => vec![code],
        (None, Some(level)) => {
            let seed = args.seed.unwrap_or_else(by_the_clock);
            let one = |member| {
                Code::new(level, &args.code, seed, member)
                    .map_err(|error| Failure::Words(error.to_string()))
            };
            (0..args.class.max(1)).map(one).collect::<Result<_, _>>()?
        }
        (None, None) => {
            return Err("say which: --level N, --find CODE or --job FILE\nhelp: `wyeline practice --levels` lists the levels".to_owned().into());
        }
    };
    let made = codes
        .into_iter()
        .map(Exercise::of)
        .collect::<Result<_, _>>();
    made.map(|exercises| (exercises, false))
        .map_err(|error| Failure::Words(error.to_string()))
}

/// A set that was not asked for before, most likely.
fn by_the_clock() -> u32 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    let seconds = since.map_or(0, |since| since.as_secs());
    (seconds % u64::from(code::SEEDS)) as u32
}

/// A job or a block of the instructor's own.
fn own_job(file: &Path, args: &Practice) -> Result<(Vec<Exercise>, bool), Failure> {
    let source = crate::input::Source::read(file)?;
    let (made, diagnostics) = Exercise::of_text(&source.text, args.corner.corner());
    crate::mistakes::show(&source.name, &source.text, &diagnostics);
    let exercise = made.map_err(|error| format!("no exercise made: {error}"))?;
    let mistakes = wyeline_whole::built::has_mistakes(&diagnostics);
    Ok((vec![exercise], mistakes))
}

/// The key step by step, as sheets and as an animated picture, named by the exercise.
fn steps(folder: &Path, exercise: &Exercise) -> Result<(), Failure> {
    let steps = handout::steps(exercise, exercise.corner);
    let name = exercise.name();
    let frames: Vec<Frame> = steps
        .iter()
        .map(|step| Frame {
            title: &step.title,
            sentence: &step.sentence,
            sheet: &step.sheet,
        })
        .collect();
    output::write(
        &folder.join(format!("{name}-steps.svg")),
        wyeline_exchange::svg_steps(&frames).as_bytes(),
    )?;
    write_pdf(
        &folder.join(format!("{name}-steps.pdf")),
        steps.into_iter().map(|step| step.sheet).collect(),
    )
}

/// Sheets as one file, numbered through.
fn write_pdf(path: &Path, mut sheets: Vec<Sheet>) -> Result<(), Failure> {
    let count = sheets.len() as u32;
    for (number, sheet) in (1..).zip(&mut sheets) {
        (sheet.number, sheet.count) = (number, count);
    }
    let bytes = wyeline_exchange::pdf(&sheets).map_err(|error| error.to_string())?;
    output::write(path, &bytes)
}

/// Which exercise has which code, and how hard it is.
fn codes(exercises: &[Exercise]) -> List {
    let column = |key, head, kind| Column { key, head, kind };
    let mut list = List::new(
        "exercises",
        "Exercises",
        &[
            column("place", "No.", Kind::Count),
            column("code", "Code", Kind::Text),
            column("title", "Title", Kind::Text),
            column("corner", "Seen from", Kind::Text),
            column("scale", "Scale", Kind::Text),
            column("lines", "Lines", Kind::Count),
        ],
    );
    for (place, exercise) in (1..).zip(exercises) {
        list.push(
            "",
            vec![
                Cell::Count(place),
                Cell::Text(exercise.name()),
                Cell::Text(exercise.title.clone()),
                Cell::Text(exercise.corner.name().to_owned()),
                Cell::Text(wyeline_sheet::scale_words(exercise.scale)),
                Cell::Count(exercise.figure.lines.len() as u64),
            ],
        );
    }
    list
}

/// An exercise for programs.
fn told(exercise: &Exercise, questions: &[Question]) -> Value {
    let questions = questions.iter().map(|question| {
        json!({ "words": question.words, "options": question.answer.options(), "key": question.key(), "why": question.why })
    });
    json!({
        "code": exercise.code.map(|code| code.to_string()),
        "title": exercise.title,
        "brief": exercise.brief,
        "corner": exercise.corner.word(),
        "scale": wyeline_sheet::scale_words(exercise.scale),
        "pitch_mm": exercise.pitch_mm,
        "text": exercise.text,
        "questions": questions.collect::<Vec<_>>(),
    })
}
