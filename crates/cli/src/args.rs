//! The command line, as types.

mod lists;
mod open;
mod practice;

use std::path::PathBuf;

use clap::{
    Args, Parser, Subcommand, ValueEnum, builder::PossibleValuesParser, builder::TypedValueParser,
};
use wyeline_draw::Corner;
use wyeline_job::model::System;
use wyeline_sheet::Paper;
use wyeline_units::Scale;

pub use lists::{By, Cuts, Lists, Materials, Roughin};
pub use open::Open;
pub use practice::{Mark, Practice};

/// Turns the plan and heights of a job into an isometric a crew can build from.
#[derive(Parser, Debug)]
#[command(
    version,
    propagate_version = true,
    after_help = "\
Exit codes: 0 done, 1 done but the job has mistakes, 2 nothing done.

Examples:
  wyeline example heron-cottage > heron.wye
  wyeline draw heron.wye -o heron.pdf
  wyeline size heron.wye
  wyeline check heron.wye"
)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub verb: Verb,
}

/// The verbs.
#[derive(Subcommand, Debug)]
pub enum Verb {
    /// Open the drafting table in the browser: plan, isometric and words of a job side by side
    Open(Open),
    /// Draw a job: isometric, plan or both, as svg, pdf or png
    Draw(Draw),
    /// Print the network: pipes with lengths, falls and inverts
    Network(Network),
    /// Work out loads, sizes, falls and pressures by the code in force, and say what decided each
    Size(Size),
    /// Say what is wrong with a job, and what of it breaks a rule of the code in force
    Check(Check),
    /// Count pipe, fittings and what goes with them: the list for the counter
    Materials(Materials),
    /// List the pieces to cut, and lay them into bars: the list for the saw
    Cuts(Cuts),
    /// Say where stub-outs, holes, sleeves and bores go: the list for the crew
    Roughin(Roughin),
    /// Make exercises for those who learn to draw and read isometrics, with their keys
    Practice(Practice),
    /// Mark a drawing of an exercise, or a class of them
    Mark(Mark),
    /// Print the page of a rule, or the rules there are
    Explain(Explain),
    /// Lay out a job's text anew: indentation, columns, blank lines
    Tidy(Tidy),
    /// Say from which corner the isometric reads best, and why
    Best(Best),
    /// Print a shipped example, or their names
    #[command(
        after_help = "Examples:\n  wyeline example\n  wyeline example heron-cottage > heron.wye"
    )]
    Example {
        /// Name of the example; without it their names are listed
        name: Option<String>,
    },
    /// Print the completion script for a shell
    #[command(after_help = "Examples:\n  wyeline completions bash > wyeline.bash")]
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
}

/// `wyeline draw`.
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of its own on the command line"
)]
#[derive(Args, Debug)]
#[command(after_help = "\
Exit codes: 0 drawn, 1 drawn but the job has mistakes, 2 nothing drawn.

Examples:
  wyeline draw heron.wye -o heron.pdf
  wyeline draw heron.wye --corner se --system waste --system vent -o waste.svg
  wyeline draw heron.wye --view both --scale 1/4 --paper tabloid -o sheet.png
  wyeline draw heron.wye --sheet 2 -o water.svg
  wyeline draw heron.wye --marks --lists -o heron.pdf
  wyeline draw - --format pdf -o - < heron.wye > heron.pdf")]
pub struct Draw {
    /// The job's file; `-` reads standard input
    pub job: PathBuf,
    /// The file to write (svg, pdf or png by its ending); `-` writes to standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: PathBuf,
    /// The format, where the ending does not say it
    #[arg(long, value_enum)]
    pub format: Option<Format>,
    /// Which views
    #[arg(long, value_enum, default_value = "iso")]
    pub view: View,
    /// The corner one looks from
    #[arg(long, value_enum, default_value = "best")]
    pub corner: CornerChoice,
    /// A system to show; may be given several times; all where none is given
    #[arg(long, value_parser = systems())]
    pub system: Vec<System>,
    /// The level of the plan; every level where it is not given
    #[arg(long, value_name = "NAME")]
    pub level: Option<String>,
    /// The scale: inches to the foot (1/4) or a ratio (1:50)
    #[arg(long)]
    pub scale: Option<Scale>,
    /// The paper; where it is not given, tabloid (A3) or the next larger one on which the labels find room
    #[arg(long, value_parser = papers())]
    pub paper: Option<&'static Paper>,
    /// Write this sheet of the set alone
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub sheet: Option<u32>,
    /// Which way up the paper lies
    #[arg(long, value_enum)]
    pub orientation: Option<Orientation>,
    /// Dots per inch of a png
    #[arg(long, value_name = "N", default_value_t = wyeline_exchange::png::USUAL_DPI as u32, value_parser = clap::value_parser!(u32).range(20..=1200))]
    pub dpi: u32,
    /// Draw the isometric grid behind the pipes
    #[arg(long)]
    pub grid: bool,
    /// Draw sloped pipes as they lie, not along the axes
    #[arg(long)]
    pub true_fall: bool,
    /// How labels stand
    #[arg(long, value_enum, default_value = "upright")]
    pub labels: Labels,
    /// The code, instead of the one that the job names
    #[arg(long, value_name = "NAME")]
    pub code: Option<String>,
    /// Sizes that no run states: as the code in force gives them, or none
    #[arg(long, value_enum, default_value = "worked-out")]
    pub sizes: Sizes,
    /// Say beside each pipe what it carries by the code in force
    #[arg(long)]
    pub loads: bool,
    /// Say beside each pipe and at each fitting what the lists call it: P12, F3
    #[arg(long)]
    pub marks: bool,
    /// Add sheets with the lists for the counter, the saw and the crew
    #[arg(long)]
    pub lists: bool,
    /// Numbered flags where a rule of the code in force is broken, and their list
    #[arg(long, value_enum, default_value = "on")]
    pub flags: Flags,
    /// Report mistakes as JSON, on standard error
    #[arg(long)]
    pub json: bool,
    /// Do not say which corner and scale were chosen, and why
    #[arg(short, long)]
    pub quiet: bool,
}

/// `wyeline network`.
#[derive(Args, Debug)]
#[command(
    after_help = "Examples:\n  wyeline network heron.wye\n  wyeline network heron.wye --json > heron.json"
)]
pub struct Network {
    /// The job's file; `-` reads standard input
    pub job: PathBuf,
    /// Print it as JSON: every node with its true height z and its drawn height z_drawn
    #[arg(long)]
    pub json: bool,
}

/// `wyeline size`.
#[derive(Args, Debug)]
#[command(after_help = "\
Exit codes: 0 sized, 1 sized but the job has mistakes, 2 nothing sized.

Examples:
  wyeline size heron.wye
  wyeline size heron.wye --pipe house-drain/1
  wyeline size heron.wye --code upc-2021 --json")]
pub struct Size {
    /// The job's file; `-` reads standard input
    pub job: PathBuf,
    /// The pipe whose whole derivation is told, as `wyeline network` and `wyeline size` name it
    #[arg(long, value_name = "ID")]
    pub pipe: Option<String>,
    /// The code, instead of the one that the job names
    #[arg(long, value_name = "NAME")]
    pub code: Option<String>,
    /// Print it as JSON
    #[arg(long)]
    pub json: bool,
}

/// `wyeline check`.
#[derive(Args, Debug)]
#[command(after_help = "\
Exit codes: 0 nothing found, 1 mistakes in the job or findings, 2 cannot be read.
Whatever is found, what was not checked is listed.

Examples:
  wyeline check heron.wye
  wyeline check heron.wye --code upc-2021
  wyeline check heron.wye --json")]
pub struct Check {
    /// The job's file; `-` reads standard input
    pub job: PathBuf,
    /// The code, instead of the one that the job names
    #[arg(long, value_name = "NAME")]
    pub code: Option<String>,
    /// Print mistakes, findings and what was not checked as JSON, with lines and columns
    #[arg(long)]
    pub json: bool,
}

/// `wyeline explain`.
#[derive(Args, Debug)]
#[command(after_help = "\
Exit codes: 0 explained, 2 there is no such rule.

Examples:
  wyeline explain
  wyeline explain trap-arm-length
  wyeline explain trap-arm-length --json")]
pub struct Explain {
    /// The rule's name, as `wyeline check` prints it; without it the rules are listed
    pub rule: Option<String>,
    /// Print it as JSON
    #[arg(long)]
    pub json: bool,
}

/// `wyeline tidy`.
#[derive(Args, Debug)]
#[command(after_help = "\
Exit codes: 0 tidy, 1 not tidy (--check) or mistakes, 2 cannot be read or written.

Examples:
  wyeline tidy heron.wye
  wyeline tidy -w heron.wye
  wyeline tidy --check heron.wye")]
pub struct Tidy {
    /// The job's file; `-` reads standard input
    pub job: PathBuf,
    /// Write the file itself
    #[arg(short, long, conflicts_with = "check")]
    pub write: bool,
    /// Only say whether it is tidy
    #[arg(long)]
    pub check: bool,
}

/// `wyeline best`.
#[derive(Args, Debug)]
#[command(
    after_help = "Examples:\n  wyeline best heron.wye\n  wyeline best heron.wye --scale 1/4 --system waste --system vent"
)]
pub struct Best {
    /// The job's file; `-` reads standard input
    pub job: PathBuf,
    /// A system to show; may be given several times; all where none is given
    #[arg(long, value_parser = systems())]
    pub system: Vec<System>,
    /// The scale: inches to the foot (1/4) or a ratio (1:50)
    #[arg(long)]
    pub scale: Option<Scale>,
}

/// File formats.
#[derive(ValueEnum, Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// Scalable vector graphics, one sheet a file
    Svg,
    /// All sheets in one file
    Pdf,
    /// A picture of dots, one sheet a file
    Png,
}

/// Views.
#[derive(ValueEnum, Clone, Copy, Debug)]
pub enum View {
    /// The isometric
    Iso,
    /// Plans
    Plan,
    /// Both
    Both,
}

/// Corners, and `best`.
#[derive(ValueEnum, Clone, Copy, Debug)]
pub enum CornerChoice {
    /// South-west
    Sw,
    /// South-east
    Se,
    /// North-east
    Ne,
    /// North-west
    Nw,
    /// The one that reads best
    Best,
}

/// Where sizes that no run states come from.
#[derive(ValueEnum, Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sizes {
    /// The least that the code allows, marked
    WorkedOut,
    /// Only what is stated is shown
    Stated,
}

/// Whether flags are drawn.
#[derive(ValueEnum, Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flags {
    /// Wherever something was found
    On,
    /// Nowhere
    Off,
}

/// How labels stand.
#[derive(ValueEnum, Clone, Copy, Debug, PartialEq, Eq)]
pub enum Labels {
    /// Upright, read from below
    Upright,
    /// Along their pipes
    Along,
}

/// Which way up the paper lies.
#[derive(ValueEnum, Clone, Copy, Debug)]
pub enum Orientation {
    /// Long edge level
    Landscape,
    /// Short edge level
    Portrait,
}

impl CornerChoice {
    /// The corner; nothing for the best one.
    pub fn corner(self) -> Option<Corner> {
        match self {
            Self::Sw => Some(Corner::Sw),
            Self::Se => Some(Corner::Se),
            Self::Ne => Some(Corner::Ne),
            Self::Nw => Some(Corner::Nw),
            Self::Best => None,
        }
    }
}

/// Reads a system by the word the job language uses.
fn systems() -> impl TypedValueParser<Value = System> {
    PossibleValuesParser::new(System::ALL.map(System::word)).try_map(|word| {
        System::ALL
            .into_iter()
            .find(|system| system.word() == word)
            .ok_or("no such system")
    })
}

/// Reads a paper by its name.
fn papers() -> impl TypedValueParser<Value = &'static Paper> {
    let names: Vec<&'static str> = Paper::all()
        .iter()
        .map(|paper| paper.name.as_str())
        .collect();
    PossibleValuesParser::new(names).try_map(|name| Paper::named(&name).ok_or("no such paper"))
}
