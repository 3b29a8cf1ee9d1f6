//! One open job: its file, its history, and saves that lose nothing.
//!
//! A save holds the lock beside the history, takes in what others have done, merges, appends the new text to the
//! history, makes that durable, and only then replaces the file. Cut short in between, it is brought to its end by
//! whoever looks next, known by the state of the file that the history's last line says it replaces.

mod writing;

use std::ffi::OsString;
use std::fs::{self, OpenOptions};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use crate::disk::{self, Stamp, told};
use crate::entry::{Over, Step};
use crate::history::{History, Past};
use crate::ledger::Ledger;
use crate::merge::merged;
use crate::trouble::Trouble;
use writing::Next;

/// The folder of histories, beside the jobs.
const FOLDER: &str = ".wyeline";

/// A job that is open. Several may be open on the same file, in one program or in several: they stay in step by
/// [`look`](Self::look), and no save of one is lost to another.
///
/// `now` is always seconds since 1970: it is noted in the history, and tells whether a file may have changed again within
/// the same tick of its clock.
///
/// What is left to chance: a program that does not take the lock, as none but ours does, and writes in the microseconds
/// between the last look at the file and its replacement, is overwritten; so is one that goes on writing into a file it
/// opened before. Hard links to the file end with the first save, and of what the system may know about a file only the
/// permissions and the owner are kept. A history grows without limit.
///
/// ```
/// # fn main() -> Result<(), Box<dyn std::error::Error>> {
/// # let folder = tempfile::tempdir()?;
/// # let path = folder.path().join("bath.wye");
/// use wyeline_keep::{Done, Keep};
///
/// let mut keep = Keep::create(&path, "room hall\n\npipe waste\n", 1_800_000_000)?;
/// let seen = keep.version();
/// std::fs::write(&path, "room hall\n\npipe vent\n")?; // another program
/// let saved = keep.save(seen, "room bath\n\npipe waste\n", "renamed", 1_800_000_001)?;
/// assert_eq!(saved.done, Done::Merged);
/// assert_eq!(keep.text(), "room bath\n\npipe vent\n");
/// # Ok(())
/// # }
/// ```
pub struct Keep {
    job: PathBuf,
    lock: PathBuf,
    ledger: Ledger,
    history: History,
    version: u64,
    text: String,
    /// The state of the job's file when it was last known to hold `text`, and when that was.
    seen: Option<(Stamp, u64)>,
}

/// A text that is safely on disk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Saved {
    /// Its version. The text is that of [`Keep::text`].
    pub version: u64,
    /// How it came about.
    pub done: Done,
}

/// How a text came to be the job's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Done {
    /// The text was that already; nothing was written.
    Same,
    /// It is the text handed in.
    Saved,
    /// It is the text handed in with the changes of others.
    Merged,
    /// It is an earlier text.
    Undone,
    /// It is a text that had been undone.
    Redone,
    /// It is what others made of it.
    TakenIn,
}

impl Keep {
    /// Opens a job. Without a history, one is begun; a text that is not the last of the history becomes an entry of its
    /// own. A link is followed, and stays.
    ///
    /// # Errors
    /// `InvalidData` for bytes that are not UTF-8, naming the first; what the disk says where the file cannot be read,
    /// or the history not be kept ([`read_text`](crate::read_text) still reads it).
    pub fn open(path: &Path, now: u64) -> io::Result<Self> {
        let job = fs::canonicalize(path).map_err(|error| told(&error, "cannot open", path))?;
        disk::read_text(&job)?;
        let mut keep = Self::at_path(job)?;
        let _lock = disk::lock(&keep.lock)?;
        disk::clear_temporary(&keep.job)?;
        keep.settle(now).map_err(trouble_at_opening)?;
        Ok(keep)
    }

    /// Begins a job with a text. Versions go on from a history that an earlier job of that name has left.
    ///
    /// # Errors
    /// `AlreadyExists` where there is anything of that name; else what the disk says, and there is no file then.
    pub fn create(path: &Path, text: &str, now: u64) -> io::Result<Self> {
        let name = path
            .file_name()
            .ok_or_else(|| io::Error::new(ErrorKind::InvalidInput, "this is no file name"))?;
        let folder = disk::folder(path);
        let folder =
            fs::canonicalize(folder).map_err(|error| told(&error, "cannot open", folder))?;
        let mut keep = Self::at_path(folder.join(name))?;
        let _lock = disk::lock(&keep.lock)?;
        keep.ledger.catch_up(&mut keep.history)?;
        OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&keep.job)
            .map_err(|error| told(&error, "cannot make", &keep.job))?;
        let written = disk::stamp(&keep.job).and_then(|stamp| {
            let over = stamp.map(|stamp| Over {
                stamp,
                text_sum: crc32fast::hash(b""),
            });
            keep.commit(now, "begun", Step::Start, text, over)
        });
        if let Err(error) = written {
            // The empty file only holds the name; the error that led here is the one to tell.
            let _ = fs::remove_file(&keep.job);
            return Err(error);
        }
        Ok(keep)
    }

    fn at_path(job: PathBuf) -> io::Result<Self> {
        let beside = |ending: &str| {
            let mut name = OsString::from(job.file_name().unwrap_or_default());
            name.push(ending);
            disk::folder(&job).join(FOLDER).join(name)
        };
        let (lock, ledger) = (beside(".lock"), Ledger::new(beside(".history")));
        ledger.prepare()?;
        Ok(Self {
            job,
            lock,
            ledger,
            history: History::default(),
            version: 0,
            text: String::new(),
            seen: None,
        })
    }

    /// The job's text, as of the last call.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Its version: grows with each change, by whomever, and is never given twice for that file.
    pub fn version(&self) -> u64 {
        self.version
    }

    /// The job's file, links followed.
    pub fn path(&self) -> &Path {
        &self.job
    }

    /// Saves `new`, which was made from version `base`. What has changed since is merged in, line by line.
    ///
    /// * `what`: what was done, for the history
    ///
    /// # Errors
    /// [`Trouble::Conflict`] where both changed the same lines, [`Trouble::UnknownBase`], [`Trouble::NotText`],
    /// [`Trouble::NotWritten`]. Nothing of `new` is written then.
    pub fn save(&mut self, base: u64, new: &str, what: &str, now: u64) -> Result<Saved, Trouble> {
        // Before anything is read anew: what the caller has seen as that version.
        let shown = (base == self.version).then(|| self.text.clone());
        self.write(now, |keep| {
            let base_text = shown
                .clone()
                .or_else(|| keep.history.at(base))
                .ok_or(Trouble::UnknownBase { base })?;
            let Some(text) = merged(&base_text, new, &keep.text) else {
                let (theirs, version) = (keep.text.clone(), keep.version);
                return Err(Trouble::Conflict {
                    base: base_text,
                    ours: new.to_owned(),
                    theirs,
                    version,
                });
            };
            let from = keep.history.state().unwrap_or(keep.version);
            let done = if text == new {
                Done::Saved
            } else {
                Done::Merged
            };
            Ok(Some(Next {
                text,
                what: what.to_owned(),
                step: Step::Change { from },
                done,
            }))
        })
        .map(|saved| {
            saved.unwrap_or(Saved {
                version: self.version,
                done: Done::Same,
            })
        })
    }

    /// Goes back to the text before the last change that is not undone; `None` at the first text.
    ///
    /// * `base`: the version that the user sees
    ///
    /// # Errors
    /// [`Trouble::Behind`] where the user has not seen the last change, [`Trouble::NotText`], [`Trouble::NotWritten`].
    pub fn undo(&mut self, base: u64, now: u64) -> Result<Option<Saved>, Trouble> {
        self.walk(base, now, |history| {
            let to = history.back()?;
            Some((to, history.state()?, Step::Undo { to }, Done::Undone))
        })
    }

    /// Goes forward to the text that was undone last; `None` where none is. A change after undo ends the way forward;
    /// the history still holds what was there.
    ///
    /// # Errors
    /// As for [`undo`](Self::undo).
    pub fn redo(&mut self, base: u64, now: u64) -> Result<Option<Saved>, Trouble> {
        self.walk(base, now, |history| {
            let to = history.forth()?;
            Some((to, to, Step::Redo { to }, Done::Redone))
        })
    }

    fn walk(
        &mut self,
        base: u64,
        now: u64,
        way: impl Fn(&History) -> Option<(u64, u64, Step, Done)>,
    ) -> Result<Option<Saved>, Trouble> {
        self.write(now, |keep| {
            if keep.version != base {
                return Err(Trouble::Behind {
                    version: keep.version,
                });
            }
            let Some((to, named, step, done)) = way(&keep.history) else {
                return Ok(None);
            };
            let text = keep
                .history
                .at(to)
                .ok_or(Trouble::UnknownBase { base: to })?;
            Ok(Some(Next {
                text,
                what: keep.history.what(named).to_owned(),
                step,
                done,
            }))
        })
    }

    /// Whether there is a change to undo.
    pub fn can_undo(&self) -> bool {
        self.history.back().is_some()
    }

    /// Whether there is an undone change to do again.
    pub fn can_redo(&self) -> bool {
        self.history.forth().is_some()
    }

    /// All versions whose text is known, the oldest first.
    pub fn history(&self) -> impl Iterator<Item = Past<'_>> {
        self.history.past()
    }

    /// The text of a version.
    pub fn at(&self, version: u64) -> Option<String> {
        self.history.at(version)
    }

    /// Lines of the history's file, from 1, that are damaged. What stands before them and from the next full text on is
    /// used all the same.
    pub fn damaged(&self) -> &[usize] {
        self.history.damaged()
    }

    /// Takes in what others have done to the file and the history; `None` where nothing has changed. Cheap enough to be
    /// called several times a second: as long as size, time and number of the files are the same, nothing is read.
    ///
    /// # Errors
    /// [`Trouble::Gone`], [`Trouble::NotText`]; [`Trouble::NotWritten`] where the change cannot be noted in the history.
    pub fn look(&mut self, now: u64) -> Result<Option<Saved>, Trouble> {
        if let Some((stamp, when)) = self.seen
            && stamp.proves(when)
            && disk::stamp(&self.job)? == Some(stamp)
            && self.ledger.in_step()?
        {
            return Ok(None);
        }
        let before = self.version;
        let _lock = disk::lock(&self.lock)?;
        if self.settle(now)?.is_none() {
            return Err(Trouble::Gone);
        }
        Ok((self.version != before).then_some(Saved {
            version: self.version,
            done: Done::TakenIn,
        }))
    }
}

fn trouble_at_opening(trouble: Trouble) -> io::Error {
    match trouble {
        Trouble::NotText(error) | Trouble::NotWritten(error) => error,
        other => io::Error::other(other),
    }
}
