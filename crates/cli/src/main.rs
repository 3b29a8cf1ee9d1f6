//! The `wyeline` command: reads a job, draws it, and says what is wrong with it.
//!
//! In: the command line and files. Out: files, tables, mistakes at their place, and an exit code.
//! Knows no geometry: every verb calls the stages and prints what they give.

mod args;
mod best;
mod check;
mod draw;
mod example;
mod explain;
mod falls;
mod findings;

mod input;

mod list_text;
mod lists;

mod mark;
mod mistakes;
mod network;
mod open;
mod output;
mod practice;
mod pressures;
mod progress;
mod size;

mod table;
mod tidy;

use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use args::{Arguments, Verb};

/// Everything asked for was done and nothing was wrong with the job.
const FINE: u8 = 0;
/// It was done, as far as the job could be understood: there are mistakes in it.
const MISTAKES: u8 = 1;
/// Nothing was done: the job cannot be read, or the command line is wrong.
const NOTHING: u8 = 2;

/// Why nothing was done.
#[derive(Debug)]
enum Failure {
    /// Said in words, on standard error.
    Words(String),
    /// Whoever read our output has stopped reading: nothing is said.
    BrokenPipe,
}

impl From<String> for Failure {
    fn from(words: String) -> Self {
        Self::Words(words)
    }
}

fn main() -> ExitCode {
    let done = match Arguments::parse().verb {
        Verb::Open(open) => open::open(&open),
        Verb::Draw(draw) => draw::draw(&draw),
        Verb::Network(network) => network::network(&network),
        Verb::Size(size) => size::size(&size),
        Verb::Check(check) => check::check(&check),
        Verb::Materials(materials) => lists::materials(&materials),
        Verb::Cuts(cuts) => lists::cuts(&cuts),
        Verb::Roughin(roughin) => lists::roughin(&roughin),
        Verb::Practice(asked) => practice::practice(&asked),
        Verb::Mark(asked) => mark::mark(&asked),
        Verb::Explain(explain) => explain::explain(&explain),
        Verb::Tidy(tidy) => tidy::tidy(&tidy),
        Verb::Best(best) => best::best(&best),
        Verb::Example { name } => example::example(name.as_deref()),
        Verb::Completions { shell } => completions(shell),
    };
    ExitCode::from(match done {
        Ok(code) => code,
        Err(Failure::BrokenPipe) => FINE,
        Err(Failure::Words(words)) => {
            mistakes::complain(&words);
            NOTHING
        }
    })
}

/// Prints what a shell needs to complete our verbs and options.
fn completions(shell: clap_complete::Shell) -> Result<u8, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "wyeline", &mut script);
    output::print(&script)?;
    Ok(FINE)
}
