//! What one learner did, on this machine and nowhere else: the marks of exercises done, and each drawing as it was left.
//!
//! In: a folder, codes of exercises, texts, the time as the caller knows it. A file that is missing or damaged is nothing done:
//! it holds up no lesson.

use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::disk;

/// So many marks are remembered, the latest; our own choice: some years of an exercise a day.
const MOST: usize = 2000;

/// An exercise done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Marked {
    /// Its code.
    pub code: String,
    /// Its level.
    pub level: u8,
    /// Seconds since 1970.
    pub time: u64,
    /// Points got.
    pub got: f64,
    /// Points there are.
    pub of: f64,
}

/// A learner's folder.
#[derive(Clone, Debug)]
pub struct Practice {
    folder: PathBuf,
}

impl Practice {
    /// What is kept in a folder; it is made when something is to be kept.
    pub fn new(folder: PathBuf) -> Self {
        Self { folder }
    }

    fn marks(&self) -> PathBuf {
        self.folder.join("marks.json")
    }

    /// Where the drawing of an exercise lies: its code's letters, digits and hyphens are all that goes into the name.
    fn place(&self, code: &str) -> io::Result<PathBuf> {
        let plain = |c: char| c.is_ascii_alphanumeric() || c == '-';
        if code.is_empty() || code.len() > 40 || !code.chars().all(plain) {
            return Err(io::Error::new(
                ErrorKind::InvalidInput,
                format!("`{code}` is no exercise's code"),
            ));
        }
        Ok(self
            .folder
            .join(format!("drawing-{}.json", code.to_ascii_uppercase())))
    }

    fn locked(&self) -> io::Result<File> {
        fs::create_dir_all(&self.folder)
            .map_err(|error| disk::told(&error, "cannot make", &self.folder))?;
        let mut lock = OsString::from(self.marks());
        lock.push(".lock");
        disk::lock(Path::new(&lock))
    }

    /// The exercises done, in the order in which they were marked.
    pub fn done(&self) -> Vec<Marked> {
        let bytes = fs::read(self.marks()).ok();
        let marks = bytes.and_then(|bytes| serde_json::from_slice(&bytes).ok());
        marks.unwrap_or_default()
    }

    /// Puts the marks of an exercise down.
    ///
    /// # Errors
    /// What the disk says; the marks are as before then.
    pub fn mark(&self, marked: Marked) -> io::Result<()> {
        let _lock = self.locked()?;
        let file = self.marks();
        let before = disk::stamp(&file)?;
        let mut done = self.done();
        done.push(marked);
        let late = done.len().saturating_sub(MOST);
        done.drain(..late);
        let text = serde_json::to_string(&done)
            .map_err(|error| io::Error::new(ErrorKind::InvalidInput, error))?;
        disk::replace(&file, &text, before).map(drop)
    }

    /// Keeps the drawing of an exercise in place of what was kept before.
    ///
    /// # Errors
    /// `InvalidInput` for what is no code; what the disk says: what was kept before is whole then.
    pub fn keep(&self, code: &str, drawing: &str) -> io::Result<()> {
        let file = self.place(code)?;
        let _lock = self.locked()?;
        let before = disk::stamp(&file)?;
        disk::replace(&file, drawing, before).map(drop)
    }

    /// The drawing kept of an exercise.
    pub fn drawing(&self, code: &str) -> Option<String> {
        fs::read_to_string(self.place(code).ok()?).ok()
    }

    /// Forgets all marks and drawings.
    ///
    /// # Errors
    /// What the disk says.
    pub fn forget(&self) -> io::Result<()> {
        if !self.folder.exists() {
            return Ok(());
        }
        let _lock = self.locked()?;
        for entry in fs::read_dir(&self.folder)? {
            let entry = entry?;
            let name = entry.file_name();
            let name = name.to_string_lossy();
            if name == "marks.json" || (name.starts_with("drawing-") && name.ends_with(".json")) {
                fs::remove_file(entry.path())?;
            }
        }
        Ok(())
    }
}
