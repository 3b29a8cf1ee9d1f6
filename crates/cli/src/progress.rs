//! Says on the terminal which stage a long job has come to; silent everywhere else.

use std::io::{self, IsTerminal, Write};
use std::time::{Duration, Instant};

/// A job that is done sooner needs no telling.
const PATIENCE: Duration = Duration::from_millis(400);

/// The line on the terminal.
pub struct Progress {
    began: Instant,
    terminal: bool,
    shown: bool,
}

impl Progress {
    /// Begins to count the time.
    pub fn new() -> Self {
        Self {
            began: Instant::now(),
            terminal: io::stderr().is_terminal(),
            shown: false,
        }
    }

    /// A stage begins.
    pub fn stage(&mut self, what: &str) {
        if self.terminal && self.began.elapsed() > PATIENCE {
            self.shown = true;
            // Nothing is lost if the terminal cannot be written to.
            let _ = write!(io::stderr(), "\r\x1b[K{what} …");
        }
    }

    /// Takes the line away, before anything else is written.
    pub fn clear(&mut self) {
        if std::mem::take(&mut self.shown) {
            let _ = write!(io::stderr(), "\r\x1b[K");
        }
    }
}
