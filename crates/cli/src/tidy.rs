//! `wyeline tidy`: a job's text in its usual layout.

use std::path::Path;
use wyeline_whole::built::has_mistakes;

use crate::args::Tidy;
use crate::input::Source;
use crate::{FINE, Failure, MISTAKES, mistakes, output};

/// Prints the tidied text, writes it, or says whether the text is tidy.
pub fn tidy(args: &Tidy) -> Result<u8, Failure> {
    let source = Source::read(&args.job)?;
    let tidied = wyeline_job::tidy(&source.text);
    let found = source.mistakes_of_text();
    mistakes::show(&source.name, &source.text, &found);
    let code = if has_mistakes(&found) { MISTAKES } else { FINE };
    if args.check {
        if tidied == source.text {
            return Ok(code);
        }
        output::print(format!("{}: not tidy\n", source.name).as_bytes())?;
        return Ok(MISTAKES);
    }
    if args.write {
        if args.job == Path::new("-") {
            return Err("standard input cannot be written to: leave out --write"
                .to_owned()
                .into());
        }
        if tidied != source.text {
            output::write(&args.job, tidied.as_bytes())?;
        }
        return Ok(code);
    }
    output::print(tidied.as_bytes())?;
    Ok(code)
}
