//! The jobs lately opened, the last one first, in a JSON file that several programs may write at once.
//!
//! In: the path of that file, and what is opened. A file that is missing or damaged is an empty list: it holds nothing
//! that cannot be opened again.

use std::ffi::OsString;
use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::disk;

/// How many jobs are remembered; our own choice.
const MOST: usize = 30;

/// A job and when it was opened last.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Opened {
    /// The job's file.
    pub path: PathBuf,
    /// Seconds since 1970.
    pub time: u64,
    /// What to call it.
    pub title: String,
}

/// The jobs lately opened, the last one first.
pub fn list(file: &Path) -> Vec<Opened> {
    let jobs = fs::read(file)
        .ok()
        .and_then(|bytes| serde_json::from_slice::<Vec<Opened>>(&bytes).ok());
    let mut jobs = jobs.unwrap_or_default();
    jobs.truncate(MOST);
    jobs
}

/// Puts a job at its place in the list by time; the same path stands there once.
///
/// # Errors
/// What the disk says; `InvalidInput` for a path that is no Unicode text. The list is as before then.
pub fn note(file: &Path, opened: Opened) -> io::Result<()> {
    let folder = disk::folder(file);
    fs::create_dir_all(folder).map_err(|error| disk::told(&error, "cannot make", folder))?;
    let mut lock = OsString::from(file);
    lock.push(".lock");
    let _lock = disk::lock(Path::new(&lock))?;
    let before = disk::stamp(file)?;
    let mut jobs = list(file);
    jobs.retain(|job| job.path != opened.path);
    let place = jobs.partition_point(|job| job.time > opened.time);
    jobs.insert(place, opened);
    jobs.truncate(MOST);
    let text = serde_json::to_string_pretty(&jobs)
        .map_err(|error| io::Error::new(ErrorKind::InvalidInput, error))?;
    disk::replace(file, &text, before).map(drop)
}
