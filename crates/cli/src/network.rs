//! `wyeline network`: the network as a table or as JSON.

use crate::args::Network;
use crate::input::Source;
use crate::progress::Progress;
use crate::{FINE, Failure, MISTAKES, mistakes, output};

/// Prints the network.
pub fn network(args: &Network) -> Result<u8, Failure> {
    let mut progress = Progress::new();
    let source = Source::read(&args.job)?;
    let built = source.build(&mut progress);
    progress.clear();
    mistakes::show(&source.name, &source.text, &built.diagnostics);
    let words = if args.json {
        let json = wyeline_network::to_json(&built.network);
        format!("{json:#}\n")
    } else {
        wyeline_network::report(&built.network)
    };
    output::print(words.as_bytes())?;
    Ok(if built.has_mistakes() { MISTAKES } else { FINE })
}
