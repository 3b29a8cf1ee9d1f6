//! `wyeline mark`: drawings marked by the rubric, one or a whole class.

use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};
use wyeline_draw::Corner;
use wyeline_fit::list::{Cell, Column, Kind, List};
use wyeline_lesson::mark::{self, Rubric};
use wyeline_lesson::{Drawing, Exercise, Marks};

use crate::args::Mark;
use crate::input::Source;
use crate::table::Table;
use crate::{FINE, Failure, MISTAKES, list_text, mistakes, output};

/// Marks drawings.
pub fn mark(args: &Mark) -> Result<u8, Failure> {
    let read;
    let rubric = match &args.rubric {
        None => Rubric::published(),
        Some(file) => {
            let text = Source::read(file)?.text;
            read = Rubric::read(&text).map_err(|error| format!("{}: {error}", file.display()))?;
            &read
        }
    };
    if args.table {
        output::print(table(rubric).as_bytes())?;
        return Ok(FINE);
    }
    let Some(answer) = &args.answer else {
        return Ok(FINE);
    };
    let given = args.exercise.as_deref().map(exercise).transpose()?;
    let mut all = Vec::new();
    let mut refused = 0;
    for file in drawings(answer)? {
        match one(&file, given.as_ref(), rubric, args.own_route) {
            Ok(marked) => all.push(marked),
            Err(words) => {
                refused += 1;
                mistakes::complain(&format!("{}: {words}", file.display()));
            }
        }
    }
    if all.is_empty() {
        return Err("nothing marked".to_owned().into());
    }
    let text = if args.json {
        let told = all.iter().map(Marked::json).collect::<Vec<Value>>();
        format!(
            "{}\n",
            serde_json::to_string_pretty(&told).map_err(|error| error.to_string())?
        )
    } else if args.csv {
        let csv = wyeline_exchange::csv(&class(&all, rubric)).map_err(|error| error.to_string())?;
        String::from_utf8_lossy(&csv).into_owned()
    } else if let [only] = all.as_slice() {
        only.words()
    } else {
        let mut text = String::new();
        list_text::write(&class(&all, rubric), &mut text);
        text.trim_start().to_owned()
    };
    match args
        .output
        .as_deref()
        .filter(|path| *path != Path::new("-"))
    {
        None => output::print(text.as_bytes())?,
        Some(path) => output::write(path, text.as_bytes())?,
    }
    Ok(if refused == 0 { FINE } else { MISTAKES })
}

/// A drawing and its marks.
struct Marked {
    name: String,
    learner: String,
    exercise: String,
    marks: Marks,
}

impl Marked {
    fn json(&self) -> Value {
        json!({ "file": self.name, "learner": self.learner, "exercise": self.exercise, "marks": self.marks })
    }

    fn words(&self) -> String {
        let mut text = format!(
            "{}: {} of {}",
            self.name,
            points(self.marks.got),
            points(self.marks.of)
        );
        let seen = Corner::ALL
            .into_iter()
            .find(|corner| Some(corner.word()) == self.marks.corner);
        if let Some(corner) = seen {
            let _ = write!(text, ", seen from the {}", corner.name());
        }
        text.push('\n');
        let mut table = Table::new(&["Heading", "Points>", "Of>"]);
        for heading in &self.marks.headings {
            table.row(vec![
                heading.name.clone(),
                points(heading.got),
                points(heading.of),
            ]);
        }
        table.write("  ", &mut text);
        for fault in &self.marks.faults {
            // A heading is used up at some time: what comes after it is told all the same.
            let off = if fault.points > 0.0 {
                format!("-{}", points(fault.points))
            } else {
                "and".to_owned()
            };
            let _ = write!(text, "\n  {off} {}: {}", fault.heading, fault.words);
            if let Some([x, y]) = fault.at {
                let _ = write!(
                    text,
                    " (at {x:.0} mm from the left, {y:.0} mm from the top)"
                );
            }
        }
        for note in &self.marks.notes {
            let _ = write!(text, "\n  {note}");
        }
        text.push('\n');
        text
    }
}

/// Points in words, to a tenth.
fn points(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    format!("{tenths}")
}

/// The drawing's file, or those of a folder in the order of their names.
fn drawings(path: &Path) -> Result<Vec<PathBuf>, Failure> {
    if !path.is_dir() {
        return Ok(vec![path.to_owned()]);
    }
    let cannot =
        |error: std::io::Error| Failure::Words(format!("cannot read {}: {error}", path.display()));
    let mut files = Vec::new();
    for entry in fs::read_dir(path).map_err(cannot)? {
        let file = entry.map_err(cannot)?.path();
        let ending = file.extension().unwrap_or_default().to_ascii_lowercase();
        if ending == "json" || ending == "svg" {
            files.push(file);
        }
    }
    files.sort();
    Ok(files)
}

/// The exercise of a code, or of a job's file.
fn exercise(told: &str) -> Result<Exercise, Failure> {
    if let Ok(code) = told.parse() {
        return Exercise::of(code).map_err(|error| Failure::Words(error.to_string()));
    }
    let source = Source::read(Path::new(told))?;
    let (made, diagnostics) = Exercise::of_text(&source.text, None);
    mistakes::show(&source.name, &source.text, &diagnostics);
    made.map_err(|error| Failure::Words(format!("{told} is no exercise: {error}")))
}

fn one(
    file: &Path,
    given: Option<&Exercise>,
    rubric: &Rubric,
    own_route: bool,
) -> Result<Marked, String> {
    let bytes = fs::read(file).map_err(|error| format!("cannot be read: {error}"))?;
    let mut drawing = Drawing::read(&bytes).map_err(|error| error.to_string())?;
    drawing.own_route |= own_route;
    let found;
    let exercise = match given {
        Some(given) => given,
        None if drawing.exercise.is_empty() => {
            return Err(
                "it names no exercise: give its code, or the job's file, after the drawing"
                    .to_owned(),
            );
        }
        None => {
            let code = drawing
                .exercise
                .parse()
                .map_err(|error| format!("{error}"))?;
            found = Exercise::of(code).map_err(|error| error.to_string())?;
            &found
        }
    };
    Ok(Marked {
        name: file
            .file_stem()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned(),
        learner: drawing.learner.clone(),
        exercise: exercise.name(),
        marks: mark::mark_exercise(exercise, &drawing, rubric),
    })
}

/// A class, a line each.
fn class(all: &[Marked], rubric: &Rubric) -> List {
    let column = |key, head, kind| Column { key, head, kind };
    let mut columns = vec![
        column("file", "Drawing", Kind::Text),
        column("learner", "Learner", Kind::Text),
        column("exercise", "Exercise", Kind::Text),
        column("corner", "Seen from", Kind::Text),
        column("points", "Points", Kind::Amount),
        column("of", "Of", Kind::Amount),
    ];
    // A rubric may leave headings out, but has no others.
    let headings: Vec<&'static str> = mark::HEADINGS
        .into_iter()
        .filter(|name| rubric.heading(name).is_some())
        .collect();
    columns.extend(headings.iter().map(|name| column(name, name, Kind::Amount)));
    columns.push(column("faults", "Faults", Kind::Text));
    let amount = |value: f64| Cell::Amount {
        value,
        unit: "count",
        shown: points(value),
    };
    let mut list = List::new("marks", "Marks", &columns);
    for one in all {
        let mut row = vec![
            Cell::Text(one.name.clone()),
            Cell::Text(one.learner.clone()),
            Cell::Text(one.exercise.clone()),
            Cell::Text(one.marks.corner.unwrap_or_default().to_owned()),
            amount(one.marks.got),
            amount(one.marks.of),
        ];
        for name in &headings {
            let heading = one
                .marks
                .headings
                .iter()
                .find(|heading| heading.name == *name);
            row.push(heading.map_or(Cell::Nothing, |heading| amount(heading.got)));
        }
        let faults = one.marks.faults.iter().map(|fault| fault.name.as_str());
        row.push(Cell::Text(faults.collect::<Vec<_>>().join(" ")));
        list.push("", row);
    }
    list
}

/// The rubric: headings, weights and what each fault costs.
fn table(rubric: &Rubric) -> String {
    let mut table = Table::new(&["Heading", "Weight>", "Fault", "Each>", "At most>"]);
    for heading in &rubric.headings {
        table.row(vec![
            heading.name.clone(),
            points(heading.weight),
            String::new(),
            String::new(),
            String::new(),
        ]);
        for deduction in rubric
            .deductions
            .iter()
            .filter(|deduction| deduction.heading == heading.name)
        {
            table.row(vec![
                String::new(),
                String::new(),
                deduction.fault.clone(),
                points(deduction.each),
                points(deduction.most),
            ]);
        }
    }
    let mut text = format!("{} points. {}\n\n", points(rubric.of), rubric.source);
    table.write("", &mut text);
    text
}
