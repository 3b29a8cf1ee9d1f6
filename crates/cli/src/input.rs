//! Reads a job from a file or standard input and takes it through the stages that every verb needs.

use std::fs;
use std::io::{self, Read};
use std::path::Path;

use wyeline_job::Diagnostic;
use wyeline_whole::Built;

use crate::Failure;
use crate::progress::Progress;

/// A job as text, with the name it goes by in messages.
pub struct Source {
    /// The file's name as typed, or `standard input`.
    pub name: String,
    /// What stands in it; bytes that are no text are replaced.
    pub text: String,
    bytes: Vec<u8>,
}

impl Source {
    /// Reads the file, or standard input for `-`.
    pub fn read(path: &Path) -> Result<Self, Failure> {
        let (name, bytes) = if path == Path::new("-") {
            let mut bytes = Vec::new();
            let read = io::stdin().lock().read_to_end(&mut bytes);
            read.map_err(|error| format!("cannot read standard input: {error}"))?;
            ("standard input".to_owned(), bytes)
        } else {
            let name = path.display().to_string();
            let bytes = fs::read(path).map_err(|error| format!("cannot read {name}: {error}"))?;
            (name, bytes)
        };
        let text = wyeline_job::text_of(&bytes).into_owned();
        Ok(Self { name, text, bytes })
    }

    /// What is wrong with the text itself.
    pub fn mistakes_of_text(&self) -> Vec<Diagnostic> {
        wyeline_job::read_bytes(&self.bytes).diagnostics
    }

    /// Takes the job as far as the network.
    pub fn build(&self, progress: &mut Progress) -> Built {
        Built::of(&self.bytes, |stage| progress.stage(stage))
    }
}
