//! `wyeline check`: what is wrong with a job, without drawing it.

use crate::args::Check;
use crate::input::Source;
use crate::progress::Progress;
use crate::{FINE, Failure, MISTAKES, mistakes, output};

/// Reads the job and prints its mistakes.
pub fn check(args: &Check) -> Result<u8, Failure> {
    let mut progress = Progress::new();
    let source = Source::read(&args.job)?;
    let built = source.build(&mut progress);
    progress.clear();
    if args.json {
        output::print(mistakes::to_json(&source.text, &built.diagnostics).as_bytes())?;
    } else {
        mistakes::show(&source.name, &source.text, &built.diagnostics);
        if built.diagnostics.is_empty() {
            let network = &built.network;
            let bare = network.pipes.is_empty()
                && network.fixtures.is_empty()
                && network.building.walls.is_empty();
            let yet = if bare {
                ", and nothing to draw yet"
            } else {
                ""
            };
            let words = mistakes::summary(0, 0);
            output::print(format!("{}: {words}{yet}\n", source.name).as_bytes())?;
        }
    }
    Ok(if built.has_mistakes() { MISTAKES } else { FINE })
}
