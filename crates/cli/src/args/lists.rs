//! The command lines of the verbs that print lists.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

/// What every verb that prints lists takes.
#[derive(Args, Debug)]
pub struct Lists {
    /// The job's file; `-` reads standard input
    pub job: PathBuf,
    /// The file to write (csv, json, xlsx or txt by its ending); `-` writes to standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// As JSON: all lists with their figures in millimetres, litres and kilograms
    #[arg(long)]
    pub json: bool,
    /// As CSV: a table a file; on standard output the first list, or the one that --list names
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
    /// One of the lists alone, by its name in --json
    #[arg(long, value_name = "NAME")]
    pub list: Option<String>,
    /// The code, instead of the one that the job names
    #[arg(long, value_name = "NAME")]
    pub code: Option<String>,
}

/// `wyeline materials`.
#[derive(Args, Debug)]
#[command(after_help = "\
Exit codes: 0 counted, 1 counted but the job has mistakes or fittings do not go, 2 nothing counted.

Examples:
  wyeline materials heron.wye
  wyeline materials heron.wye --by phase
  wyeline materials heron.wye --csv > materials.csv
  wyeline materials heron.wye -o lists.xlsx   (a workbook with the lists of all three verbs)")]
pub struct Materials {
    #[command(flatten)]
    pub lists: Lists,
    /// Counted apart by phase of the work, system or level
    #[arg(long, value_enum)]
    pub by: Option<By>,
}

/// `wyeline cuts`.
#[derive(Args, Debug)]
#[command(after_help = "\
Exit codes: 0 cut, 1 cut but the job has mistakes or fittings do not go, 2 nothing cut.

Examples:
  wyeline cuts heron.wye
  wyeline cuts heron.wye --sum
  wyeline cuts heron.wye --piece P12
  wyeline cuts heron.wye --csv --list bars > bars.csv")]
pub struct Cuts {
    #[command(flatten)]
    pub lists: Lists,
    /// Show how each piece is worked out: centre to centre, less what fittings take
    #[arg(long)]
    pub sum: bool,
    /// Show how this piece is worked out
    #[arg(long, value_name = "P12", value_parser = piece, conflicts_with_all = ["sum", "list"])]
    pub piece: Option<u32>,
}

/// `wyeline roughin`.
#[derive(Args, Debug)]
#[command(after_help = "\
Exit codes: 0 measured, 1 measured but the job has mistakes or fittings do not go, 2 nothing measured.

Examples:
  wyeline roughin heron.wye
  wyeline roughin heron.wye --list bores
  wyeline roughin heron.wye --json > roughin.json")]
pub struct Roughin {
    #[command(flatten)]
    pub lists: Lists,
}

/// What materials are counted apart by.
#[derive(ValueEnum, Clone, Copy, Debug)]
pub enum By {
    /// Underground, rough, finish
    Phase,
    /// Waste, vent, cold …
    System,
    /// Levels of the job
    Level,
}

/// Reads the mark of a piece: `P12`, or its number alone.
fn piece(text: &str) -> Result<u32, String> {
    let number = text.strip_prefix(['P', 'p']).unwrap_or(text);
    number
        .parse()
        .map_err(|_| "expected a mark such as P12".to_owned())
}
