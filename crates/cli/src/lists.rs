//! `wyeline materials`, `cuts` and `roughin`: lists for the counter, the saw and the crew, as tables, JSON, CSV or a workbook.

use std::fmt::Write;
use std::path::{Path, PathBuf};

use serde_json::json;
use wyeline_fit::list::List;
use wyeline_fit::lists::{self, Given};
use wyeline_fit::{marks, takeoff};
use wyeline_job::{Severity, line_index};
use wyeline_whole::{Built, Judged, Listed, list_json, places, words};

use crate::args::{By, Cuts, Lists, Materials, Roughin};
use crate::input::Source;
use crate::progress::Progress;
use crate::{FINE, Failure, MISTAKES, list_text, mistakes, output};

/// Counts materials.
pub fn materials(args: &Materials) -> Result<u8, Failure> {
    let by = match args.by {
        None => takeoff::By::Whole,
        Some(By::Phase) => takeoff::By::Phase,
        Some(By::System) => takeoff::By::System,
        Some(By::Level) => takeoff::By::Level,
    };
    let mut shop = Shop::of(&args.lists)?;
    shop.by = by;
    let all = shop.materials();
    shop.hand_over(&args.lists, all)
}

/// Lists pieces and lays them into bars.
pub fn cuts(args: &Cuts) -> Result<u8, Failure> {
    let shop = Shop::of(&args.lists)?;
    let mut all = match args.piece {
        Some(piece) => vec![lists::sums(&shop.given(), Some(piece))],
        None => lists::cuts(&shop.given()),
    };
    if let Some(piece) = args.piece.filter(|_| all.iter().all(List::is_empty)) {
        let words = format!(
            "there is no new piece {}: `wyeline cuts` lists them",
            marks::piece(piece)
        );
        return Err(words.into());
    }
    if args.sum {
        all.push(lists::sums(&shop.given(), None));
    }
    shop.hand_over(&args.lists, all)
}

/// Says where things go.
pub fn roughin(args: &Roughin) -> Result<u8, Failure> {
    let shop = Shop::of(&args.lists)?;
    let all = lists::roughin(&shop.given(), &shop.listed.rough).into();
    shop.hand_over(&args.lists, all)
}

/// How lists are written.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Form {
    Text,
    Json,
    Csv,
    Xlsx,
}

/// A job with what is listed of it.
struct Shop {
    source: Source,
    built: Built,
    judged: Option<Judged>,
    listed: Listed,
    by: takeoff::By,
}

impl Shop {
    /// Reads a job and fits it; what is wrong with it is said.
    fn of(args: &Lists) -> Result<Self, Failure> {
        form(args)?;
        let mut progress = Progress::new();
        let source = Source::read(&args.job)?;
        let mut built = source.build(&mut progress);
        progress.stage("sizing");
        let judged = match Judged::of(&mut built, args.code.as_deref()) {
            Ok(judged) => Some(judged),
            Err(mut mistake) => {
                // What is stated can be listed all the same.
                mistake.severity = Severity::Warning;
                built.add(vec![*mistake]);
                None
            }
        };
        progress.stage("fitting");
        let listed = Listed::of(&mut built, judged.as_ref());
        progress.clear();
        mistakes::show(&source.name, &source.text, &built.diagnostics);
        if built.network.pipes.is_empty() {
            return Err("nothing to list: the job has no pipe".to_owned().into());
        }
        Ok(Self {
            source,
            built,
            judged,
            listed,
            by: takeoff::By::Whole,
        })
    }

    fn given(&self) -> Given<'_> {
        self.listed.given(&self.built)
    }

    fn materials(&self) -> Vec<List> {
        vec![lists::materials(
            &self.given(),
            &self.listed.takeoff,
            self.by,
        )]
    }

    /// Prints or writes lists as the command line wants them.
    fn hand_over(&self, args: &Lists, mut lists: Vec<List>) -> Result<u8, Failure> {
        let form = form(args)?;
        if form == Form::Xlsx && args.list.is_none() {
            lists = self.workbook(lists);
        }
        if let Some(name) = &args.list {
            lists = one(lists, name)?;
        }
        let file = args
            .output
            .as_deref()
            .filter(|path| *path != Path::new("-"));
        let bytes = match form {
            Form::Csv => return self.csv(file, &lists),
            Form::Text => self.text(&lists).into_bytes(),
            Form::Json => format!("{:#}\n", self.json(&lists)).into_bytes(),
            Form::Xlsx => {
                let title = self.built.network.title.job.as_ref();
                let title = title.map_or(&*self.source.name, |name| &name.text);
                let book = wyeline_exchange::xlsx(title, &lists);
                book.map_err(|error| Failure::Words(format!("no workbook made: {error}")))?
            }
        };
        match file {
            Some(path) => output::write(path, &bytes)?,
            None => output::print(&bytes)?,
        }
        Ok(self.code())
    }

    fn code(&self) -> u8 {
        if self.built.has_mistakes() {
            MISTAKES
        } else {
            FINE
        }
    }

    /// The lists of all verbs, those asked for in place of their like.
    fn workbook(&self, asked: Vec<List>) -> Vec<List> {
        let all = self.listed.all(&self.built).into_iter();
        let more = all.filter(|list| asked.iter().all(|one| one.id != list.id));
        let more: Vec<List> = more.filter(|list| !list.is_empty()).collect();
        asked.into_iter().chain(more).collect()
    }

    /// One list on standard output, or each in a file of its own.
    fn csv(&self, file: Option<&Path>, lists: &[List]) -> Result<u8, Failure> {
        let written = |list: &List| {
            let bytes = wyeline_exchange::csv(list);
            bytes.map_err(|error| Failure::Words(format!("no table made: {error}")))
        };
        let (Some(first), Some(path)) = (lists.first(), file) else {
            if let Some(first) = lists.first() {
                output::print(&written(first)?)?;
            }
            return Ok(self.code());
        };
        output::write(path, &written(first)?)?;
        for list in lists[1..].iter().filter(|list| !list.is_empty()) {
            output::write(&beside(path, list.id), &written(list)?)?;
        }
        Ok(self.code())
    }

    fn text(&self, lists: &[List]) -> String {
        let mut text = format!("{}\n", self.source.name);
        for list in lists {
            list_text::write(list, &mut text);
        }
        text.push('\n');
        if words::has_gas(&self.built.network) {
            let _ = writeln!(text, "{}", words::GAS);
        }
        text.push_str(words::LISTS);
        if let Some(judged) = &self.judged {
            text.push_str(&words::amendments(&judged.pack));
            text.push_str(&words::closing(&judged.pack));
        }
        text
    }

    fn json(&self, lists: &[List]) -> serde_json::Value {
        let index = line_index(&self.source.text);
        let pack = self.judged.as_ref().map(|judged| &judged.pack);
        json!({
            "lists": list_json::all(lists),
            "mistakes": places::list(&index, &self.built.diagnostics),
            "code": pack.map(|pack| pack.id()),
            "caution": words::LISTS,
        })
    }
}

/// The form asked for, or the one that the ending names.
fn form(args: &Lists) -> Result<Form, Failure> {
    if args.json {
        return Ok(Form::Json);
    }
    if args.csv {
        return Ok(Form::Csv);
    }
    let Some(path) = args
        .output
        .as_deref()
        .filter(|path| *path != Path::new("-"))
    else {
        return Ok(Form::Text);
    };
    let ending = path.extension().unwrap_or_default().to_ascii_lowercase();
    match ending.to_str() {
        Some("json") => Ok(Form::Json),
        Some("csv") => Ok(Form::Csv),
        Some("xlsx") => Ok(Form::Xlsx),
        Some("txt") => Ok(Form::Text),
        _ => Err(format!(
            "{} does not end in .csv, .json, .xlsx or .txt",
            path.display()
        )
        .into()),
    }
}

/// The list of that name.
fn one(lists: Vec<List>, name: &str) -> Result<Vec<List>, Failure> {
    let names: Vec<&str> = lists.iter().map(|list| list.id).collect();
    match names.iter().position(|known| *known == name) {
        Some(at) => Ok(lists.into_iter().skip(at).take(1).collect()),
        None => Err(format!("there is no list {name}; there are {}", names.join(", ")).into()),
    }
}

/// The file for a further list: `cuts.csv` has `cuts-bars.csv` beside it.
fn beside(path: &Path, id: &str) -> PathBuf {
    let mut name = path.file_stem().unwrap_or_default().to_owned();
    name.push(format!("-{id}"));
    if let Some(ending) = path.extension() {
        name.push(".");
        name.push(ending);
    }
    path.with_file_name(name)
}
