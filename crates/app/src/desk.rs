//! The jobs that are open on one folder: found by their names, opened, begun, listed.
//!
//! In: names as the page has them. Out: open jobs, or why not, in words. It blocks; the server calls it off its own threads.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use wyeline_keep::Keep;
use wyeline_keep::practice::Practice;
use wyeline_keep::recent::{self, Opened};

use crate::open::{Open, held, now};
use crate::refusal::Refusal;

/// Longest text of a job that the page takes, bytes; our own choice, far beyond any building drawn as one job.
pub const LONGEST: usize = 4 << 20;

/// All open jobs, and the folder they lie in.
pub struct Desk {
    /// The folder that is open: no other is looked into.
    pub folder: PathBuf,
    /// The list of jobs lately opened.
    recent: Option<PathBuf>,
    jobs: Mutex<HashMap<String, Arc<Open>>>,
}

impl Desk {
    /// A desk on a folder.
    pub fn new(folder: PathBuf, recent: Option<PathBuf>) -> Self {
        Self {
            folder,
            recent,
            jobs: Mutex::default(),
        }
    }

    /// The open job of that name.
    pub fn job(&self, id: &str) -> Result<Arc<Open>, Refusal> {
        if let Some(open) = held(&self.jobs).get(id) {
            return Ok(open.clone());
        }
        // A page that was open before the program was started anew asks by its name.
        self.open(id)
    }

    /// Opens a job of the folder by its file's name.
    pub fn open(&self, name: &str) -> Result<Arc<Open>, Refusal> {
        let path = self.folder.join(plain(name)?);
        let real = path.canonicalize();
        let inside = real
            .as_ref()
            .is_ok_and(|real| real.parent() == Some(&*self.folder));
        if !inside {
            return Err(Refusal::missing(format!(
                "there is no job {name} in this folder"
            )));
        }
        self.open_path(&path, name)
    }

    /// Opens a job that was opened lately, by its place in that list.
    pub fn open_recent(&self, at: usize) -> Result<Arc<Open>, Refusal> {
        let recent = self.recent();
        let opened = recent
            .get(at)
            .ok_or_else(|| Refusal::missing("that job is no longer in the list".to_owned()))?;
        let name = opened
            .path
            .file_name()
            .and_then(|name| name.to_str())
            .unwrap_or("job.wye");
        if opened.path.parent() == Some(&*self.folder) {
            return self.open_path(&opened.path, name);
        }
        let taken = |id: &str| held(&self.jobs).contains_key(id) || self.folder.join(id).exists();
        self.open_path(&opened.path, &free(name, taken))
    }

    /// Writes a new job into the folder, under that name or the next free one, and opens it.
    pub fn create(&self, name: &str, text: &str) -> Result<Arc<Open>, Refusal> {
        let name = plain(name)?;
        let taken = |id: &str| self.folder.join(id).exists();
        let name = free(name, taken);
        let path = self.folder.join(&name);
        let keep = Keep::create(&path, text, now()).map_err(|error| Refusal::disk(&error))?;
        Ok(self.put(&name, keep))
    }

    fn open_path(&self, path: &Path, id: &str) -> Result<Arc<Open>, Refusal> {
        let size = std::fs::metadata(path)
            .map_err(|error| Refusal::disk(&error))?
            .len();
        if size > LONGEST as u64 {
            return Err(Refusal::too_large());
        }
        let keep = Keep::open(path, now()).map_err(|error| Refusal::disk(&error))?;
        Ok(self.put(id, keep))
    }

    fn put(&self, id: &str, keep: Keep) -> Arc<Open> {
        let open = Arc::new(Open::new(id, keep));
        if let Some(file) = &self.recent {
            let work = open.work().1;
            let title = work.built.network.title.job.as_ref();
            let opened = Opened {
                path: open.file(),
                time: now(),
                title: title.map_or_else(String::new, |name| name.text.clone()),
            };
            // The list only saves looking for a file: a job opens without it.
            let _ = recent::note(file, opened);
        }
        // Whoever was first keeps the job, so that all tabs are told of each other's changes.
        held(&self.jobs)
            .entry(id.to_owned())
            .or_insert(open)
            .clone()
    }

    /// What a learner has done, kept beside the list of jobs lately opened.
    pub fn practice(&self) -> Option<Practice> {
        let folder = self.recent.as_deref()?.parent()?;
        Some(Practice::new(folder.join("practice")))
    }

    /// Jobs lately opened, the last one first.
    pub fn recent(&self) -> Vec<Opened> {
        self.recent.as_deref().map_or_else(Vec::new, recent::list)
    }

    /// The jobs in the folder, by name.
    pub fn files(&self) -> Vec<String> {
        let Ok(entries) = std::fs::read_dir(&self.folder) else {
            return Vec::new();
        };
        let names = entries.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
        let mut names: Vec<String> = names.filter(|name| plain(name).is_ok()).collect();
        names.sort_unstable();
        names
    }

    /// All open jobs.
    pub fn all(&self) -> Vec<Arc<Open>> {
        held(&self.jobs).values().cloned().collect()
    }
}

/// A job's file name: one that ends in `.wye` and leads into no other folder.
fn plain(name: &str) -> Result<&str, Refusal> {
    let odd = |c: char| c.is_control() || matches!(c, '/' | '\\' | ':');
    if name.strip_suffix(".wye").is_some()
        && !name.starts_with('.')
        && !name.contains(odd)
        && name.len() <= 200
    {
        Ok(name)
    } else {
        Err(Refusal::wrong(format!(
            "{name:?} is no name for a job: letters and digits, ending in .wye"
        )))
    }
}

/// The name itself, or with the first number behind it that is not taken.
fn free(name: &str, taken: impl Fn(&str) -> bool) -> String {
    if !taken(name) {
        return name.to_owned();
    }
    let stem = name.strip_suffix(".wye").unwrap_or(name);
    let mut names = (2..).map(|number| format!("{stem}-{number}.wye"));
    names.find(|name| !taken(name)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_job_is_called_by_a_plain_name() {
        for odd in [
            "../x.wye", "a/b.wye", "a\\b.wye", ".x.wye", "x.txt", "c:x.wye", "x\0.wye", "",
        ] {
            assert!(plain(odd).is_err(), "{odd:?}");
        }
        assert!(plain("heron cottage 2.wye").is_ok());
    }

    #[test]
    fn a_name_that_is_taken_gets_the_next_number() {
        assert_eq!(free("a.wye", |_| false), "a.wye");
        assert_eq!(free("a.wye", |name| name != "a-3.wye"), "a-3.wye");
    }
}
