//! `wyeline draw`: a job as sheets in a file format.

use std::path::Path;

use wyeline_job::Severity;
use wyeline_network::Network;
use wyeline_network::model::LevelIx;
use wyeline_sheet::{Layout, Options, Orientation, Schedule, Sheet, SheetError, Views};
use wyeline_whole::{Built, Judged, Listed, list_paper, mark};

use crate::args::{self, Draw, Flags, Format, Labels, Sizes, View};
use crate::input::Source;
use crate::progress::Progress;
use crate::{FINE, Failure, MISTAKES, mistakes, output};

/// Draws the job and writes the sheets.
pub fn draw(args: &Draw) -> Result<u8, Failure> {
    let format = format(args)?;
    let mut progress = Progress::new();
    let source = Source::read(&args.job)?;
    let mut built = source.build(&mut progress);
    let Added { told, schedules } = worked_out(args, &mut built, &mut progress);
    let drawn = layout(args, &built.network, schedules, &mut progress).and_then(|layout| {
        let sheets = chosen(&layout.sheets, args.sheet)?;
        let mut remarks = layout.remarks;
        remarks.extend(told);
        remarks.extend(write(
            &args.output,
            (format, args.dpi),
            sheets,
            &mut progress,
        )?);
        Ok(remarks)
    });
    progress.clear();
    if args.json {
        eprint!("{}", mistakes::to_json(&source.text, &built.diagnostics));
    } else {
        mistakes::show(&source.name, &source.text, &built.diagnostics);
    }
    let remarks = drawn?;
    if !args.json && !args.quiet {
        mistakes::remark(&source.name, &remarks);
    }
    Ok(if built.has_mistakes() { MISTAKES } else { FINE })
}

/// What is added to the drawing.
struct Added {
    /// What was found, in words.
    told: Option<String>,
    /// Lists for sheets of their own.
    schedules: Vec<Schedule>,
}

/// Works out what the drawing is to show besides what the job tells: sizes, loads, flags, marks and lists.
fn worked_out(args: &Draw, built: &mut Built, progress: &mut Progress) -> Added {
    let fit = args.marks || args.lists;
    let wanted = args.sizes == Sizes::WorkedOut || args.loads || args.flags == Flags::On || fit;
    let judged = if wanted && (args.code.is_some() || built.job.code.is_some()) {
        progress.stage("sizing");
        judged(args, built)
    } else {
        None
    };
    let listed = fit.then(|| {
        progress.stage("fitting");
        Listed::of(built, judged.as_ref())
    });
    let told = judged.and_then(|judged| by_code(args, built, &judged, progress));
    let mut schedules = Vec::new();
    if let Some(listed) = listed {
        if args.marks {
            mark::marks(&mut built.network, &listed);
        }
        if args.lists {
            schedules = list_paper::all(&listed.all(built));
        }
    }
    Added { told, schedules }
}

fn judged(args: &Draw, built: &mut Built) -> Option<Judged> {
    match Judged::of(built, args.code.as_deref()) {
        Ok(judged) => Some(judged),
        Err(mut mistake) => {
            // It can be drawn all the same.
            mistake.severity = Severity::Warning;
            built.add(vec![*mistake]);
            None
        }
    }
}

/// Puts into the network what the code in force gives: sizes, loads, flags. What was found, in words.
fn by_code(
    args: &Draw,
    built: &mut Built,
    judged: &Judged,
    progress: &mut Progress,
) -> Option<String> {
    // Checks look at the sizes that are told; what is worked out is put in after them.
    let checked = (args.flags == Flags::On).then(|| {
        progress.stage("checking");
        judged.check(built)
    });
    if args.sizes == Sizes::WorkedOut {
        mark::sizes(&mut built.network, judged);
    }
    if args.loads {
        mark::loads(&mut built.network, judged);
    }
    let checked = checked?;
    mark::flags(&mut built.network, judged, &checked);
    if checked.findings.is_empty() {
        return None;
    }
    let summary = wyeline_whole::findings::summary(&checked);
    Some(format!(
        "{summary} flagged; `wyeline check` tells of each, and of what was not checked"
    ))
}

/// The format asked for, or the one the ending names.
fn format(args: &Draw) -> Result<Format, Failure> {
    if let Some(format) = args.format {
        return Ok(format);
    }
    let ending = args
        .output
        .extension()
        .unwrap_or_default()
        .to_ascii_lowercase();
    match ending.to_str() {
        Some("svg") => Ok(Format::Svg),
        Some("pdf") => Ok(Format::Pdf),
        Some("png") => Ok(Format::Png),
        _ if args.output == Path::new("-") => {
            Err("standard output needs a format: --format svg, pdf or png"
                .to_owned()
                .into())
        }
        _ => Err(format!(
            "{} does not end in .svg, .pdf or .png: name the format with --format",
            args.output.display()
        )
        .into()),
    }
}

/// The sheets that were asked for.
fn layout(
    args: &Draw,
    network: &Network,
    schedules: Vec<Schedule>,
    progress: &mut Progress,
) -> Result<Layout, Failure> {
    let options = Options {
        views: match args.view {
            View::Iso => Views::Iso,
            View::Plan => Views::Plan,
            View::Both => Views::Both,
        },
        corner: args.corner.corner(),
        systems: args.system.clone(),
        scale: args.scale,
        paper: args.paper,
        orientation: args.orientation.map(|way| match way {
            args::Orientation::Landscape => Orientation::Landscape,
            args::Orientation::Portrait => Orientation::Portrait,
        }),
        grid: args.grid,
        true_fall: args.true_fall,
        labels_along: args.labels == Labels::Along,
        level: args
            .level
            .as_deref()
            .map(|name| level(network, name))
            .transpose()?,
        schedules,
    };
    progress.stage("drawing");
    wyeline_sheet::sheets(network, &options).map_err(|error| {
        let help = match error {
            SheetError::Nothing => {
                "\nhelp: `wyeline example heron-cottage` prints a job to begin from"
            }
            SheetError::TooLarge(_) => "\nhelp: try a smaller --scale or a larger --paper",
            SheetError::NoLevel | SheetError::NoScale => "",
        };
        Failure::Words(format!("nothing drawn: {error}{help}"))
    })
}

/// The level of that name.
fn level(network: &Network, name: &str) -> Result<LevelIx, Failure> {
    let names = || network.levels.iter().map(|level| level.name.as_str());
    let found = names().position(|level| level == name);
    found.map(|at| LevelIx(at as u32)).ok_or_else(|| {
        let all: Vec<&str> = names().collect();
        Failure::Words(format!(
            "there is no level {name}; this job has {}",
            all.join(", ")
        ))
    })
}

/// All sheets of the set, or the one asked for.
fn chosen(sheets: &[Sheet], number: Option<u32>) -> Result<&[Sheet], Failure> {
    let Some(number) = number else {
        return Ok(sheets);
    };
    let one = sheets.iter().position(|sheet| sheet.number == number);
    one.map(|at| &sheets[at..=at]).ok_or_else(|| {
        Failure::Words(format!(
            "there is no sheet {number}: the set has {}",
            sheets.len()
        ))
    })
}

/// Writes the sheets, a png with so many dots per inch: a pdf holds them all, of the others each has its own file.
/// Returns what was written, in words; nothing on standard output.
fn write(
    path: &Path,
    (format, dpi): (Format, u32),
    sheets: &[Sheet],
    progress: &mut Progress,
) -> Result<Option<String>, Failure> {
    let standard_output = path == Path::new("-");
    let mut files: Vec<Vec<u8>> = Vec::new();
    progress.stage("writing");
    match format {
        Format::Pdf => files.push(
            wyeline_exchange::pdf(sheets).map_err(|error| Failure::Words(error.to_string()))?,
        ),
        Format::Svg => files.extend(
            sheets
                .iter()
                .map(|sheet| wyeline_exchange::svg(sheet).into_bytes()),
        ),
        Format::Png => {
            for sheet in sheets {
                let file = wyeline_exchange::png(sheet, f64::from(dpi));
                files.push(file.map_err(|error| Failure::Words(error.to_string()))?);
            }
        }
    }
    if standard_output {
        if files.len() > 1 {
            return Err(format!(
                "{} sheets do not go into one such file: name one with --sheet, write to a file, or use --format pdf",
                files.len()
            )
            .into());
        }
        for file in &files {
            progress.clear();
            output::print(file)?;
        }
        return Ok(None);
    }
    for (at, file) in files.iter().enumerate() {
        output::write(&output::numbered(path, at + 1), file)?;
    }
    let count = match sheets.len() {
        1 => "1 sheet".to_owned(),
        count => format!("{count} sheets"),
    };
    let last = output::numbered(path, files.len());
    Ok(Some(if files.len() > 1 {
        format!("{count} written to {} … {}", path.display(), last.display())
    } else {
        format!("{count} written to {}", path.display())
    }))
}
