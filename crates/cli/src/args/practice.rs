//! The command lines of the verbs for learners and those who teach.

use std::path::PathBuf;

use clap::Args;
use wyeline_lesson::{Code, Level};

use super::CornerChoice;

/// `wyeline practice`.
#[derive(Args, Debug)]
#[command(after_help = "\
Writes handouts.pdf (for each learner a plan sheet and a blank grid), keys.pdf (for each the key from the learner's corner, from all four,
and the marking sheet) and codes.csv into a folder. Each sheet bears the code by which its key is found again.

Exit codes: 0 written, 1 written but the job has mistakes, 2 nothing written.

Examples:
  wyeline practice --levels
  wyeline practice --level 3 --seed 7 -o week-4
  wyeline practice --level 5 --seed 7 --class 20 --questions 6 -o week-9
  wyeline practice --find 3B-0007-005 --steps -o stuck
  wyeline practice --job heron.wye --corner se -o own")]
pub struct Practice {
    /// List the levels and what is learnt by each
    #[arg(long, exclusive = true)]
    pub levels: bool,
    /// The level, from blocks (1) to a small shop (9)
    #[arg(long, value_name = "N", value_parser = level)]
    pub level: Option<Level>,
    /// The set: the same number gives the same exercises; one by the clock where it is not given
    #[arg(long, value_name = "N", requires = "level")]
    pub seed: Option<u32>,
    /// So many different but equal exercises
    #[arg(long, value_name = "N", default_value_t = 1, requires = "level")]
    pub class: u16,
    /// The exercise of a code again
    #[arg(long, value_name = "CODE", conflicts_with_all = ["level", "job"])]
    pub find: Option<Code>,
    /// A job of your own, or a block, as an exercise
    #[arg(long, value_name = "FILE", conflicts_with = "level")]
    pub job: Option<PathBuf>,
    /// The code by which layouts are lawful
    #[arg(long, value_name = "NAME", default_value = "ipc-2021", conflicts_with_all = ["find", "job"])]
    pub code: String,
    /// The corner that the learner draws from, for a job of your own
    #[arg(long, value_enum, default_value_t = CornerChoice::Best, requires = "job")]
    pub corner: CornerChoice,
    /// So many questions for reading the isometric, on a sheet of their own
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub questions: usize,
    /// The key step by step: sheets, and an animated picture for each exercise
    #[arg(long)]
    pub steps: bool,
    /// The folder to write into; it is made where it is not there
    #[arg(short, long, value_name = "FOLDER", default_value = ".")]
    pub output: PathBuf,
    /// Print what was made as JSON: codes, titles, difficulty, questions with their answers
    #[arg(long)]
    pub json: bool,
}

/// `wyeline mark`.
#[expect(clippy::struct_excessive_bools, reason = "each is a switch by itself")]
#[derive(Args, Debug)]
#[command(after_help = "\
ANSWER is a drawing saved by the practice page (.json), or an SVG of lines and letters; a folder of them is a class. EXERCISE is the code
of the exercise, or the job's file; it can be left out where the drawings name it.

Exit codes: 0 marked, 1 some could not be marked, 2 nothing marked.

Examples:
  wyeline mark anna.json
  wyeline mark anna.svg 3B-0007-005
  wyeline mark week-4/answers --csv -o marks.csv
  wyeline mark own.svg heron.wye --own-route
  wyeline mark --table")]
pub struct Mark {
    /// The drawing, or a folder of drawings
    #[arg(required_unless_present = "table")]
    pub answer: Option<PathBuf>,
    /// The code of the exercise, or its job's file
    pub exercise: Option<String>,
    /// A rubric of your own, instead of the one held
    #[arg(long, value_name = "FILE")]
    pub rubric: Option<PathBuf>,
    /// Held against the code of practice and whether each fixture is reached, not against the key
    #[arg(long)]
    pub own_route: bool,
    /// Print the rubric: headings, weights and the table of deductions
    #[arg(long)]
    pub table: bool,
    /// As JSON, with every fault and its place
    #[arg(long)]
    pub json: bool,
    /// As CSV: a line for each drawing
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
    /// The file to write; standard output where it is not given, or `-`
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

fn level(text: &str) -> Result<Level, String> {
    let level = text.parse().ok().and_then(Level::new);
    level.ok_or_else(|| format!("there are levels 1 to {}", Level::all().len()))
}
