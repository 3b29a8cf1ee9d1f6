//! How a save goes: history, file and memory brought into step, the new text appended to the history, the file replaced.

use std::fs;
use std::io::{self, ErrorKind};

use super::{Done, Keep, Saved};
use crate::disk::{self, Stamp};
use crate::entry::{Over, Step};
use crate::trouble::Trouble;

/// How often a save starts over because another program changes the file in the middle of it.
const ATTEMPTS: u32 = 8;

/// What an entry says that no caller named.
const FOUND: &str = "as it was found";
const BY_ANOTHER: &str = "changed by another program";

/// A text about to be written.
pub(super) struct Next {
    pub(super) text: String,
    pub(super) what: String,
    pub(super) step: Step,
    pub(super) done: Done,
}

impl Keep {
    /// Writes what `next` makes of the state of things; `None` where that is nothing new.
    pub(super) fn write(
        &mut self,
        now: u64,
        next: impl Fn(&Self) -> Result<Option<Next>, Trouble>,
    ) -> Result<Option<Saved>, Trouble> {
        let _lock = disk::lock(&self.lock)?;
        for _ in 0..ATTEMPTS {
            let over = self.settle(now)?;
            let Some(Next {
                text,
                what,
                step,
                done,
            }) = next(self)?
            else {
                return Ok(None);
            };
            let is_same = text == self.text && matches!(step, Step::Change { .. });
            if is_same && over.is_some() {
                return Ok(None);
            }
            match self.commit(now, &what, step, &text, over) {
                // Another program was faster: look again.
                Err(error) if error.kind() == ErrorKind::Interrupted => {}
                Err(error) => return Err(error.into()),
                Ok(()) => {
                    return Ok(Some(Saved {
                        version: self.version,
                        done,
                    }));
                }
            }
        }
        let busy = format!("another program keeps writing {}", self.job.display());
        Err(Trouble::NotWritten(io::Error::new(
            ErrorKind::ResourceBusy,
            busy,
        )))
    }

    /// Brings history, file and memory into step: afterwards all hold the same text. Gives the state of the file, `None`
    /// where there is no file. Only under the lock.
    pub(super) fn settle(&mut self, now: u64) -> Result<Option<Over>, Trouble> {
        self.ledger.catch_up(&mut self.history)?;
        let Some((mut found, mut stamp)) = disk::read_stamped(&self.job)? else {
            self.adopt(None);
            return Ok(None);
        };
        if self.history.text() != Some(&found) {
            if let Some(text) = self.cut_short(&found, stamp) {
                stamp = disk::replace(&self.job, text, Some(stamp))?;
            } else {
                let Some(still) = disk::read_still(&self.job)? else {
                    self.adopt(None);
                    return Ok(None);
                };
                (found, stamp) = still;
                if self.history.text() != Some(&found) {
                    let (what, step) = match self.history.state() {
                        Some(from) => (BY_ANOTHER, Step::Change { from }),
                        None => (FOUND, Step::Start),
                    };
                    let entry = self.history.compose(now, what, step, &found, None);
                    self.ledger.append(&entry)?;
                    self.history.push(entry);
                }
            }
        }
        self.adopt(Some((stamp, now)));
        Ok(Some(Over {
            stamp,
            text_sum: crc32fast::hash(self.text.as_bytes()),
        }))
    }

    /// The text that a save cut short was about to write: the file is still what the last entry says it replaces.
    fn cut_short(&self, found: &str, stamp: Stamp) -> Option<&str> {
        let over = Over {
            stamp,
            text_sum: crc32fast::hash(found.as_bytes()),
        };
        let last = self.history.last()?;
        (last.over == Some(over))
            .then(|| self.history.text())
            .flatten()
    }

    /// Appends a new text to the history and replaces the file by it, or leaves both as they were.
    pub(super) fn commit(
        &mut self,
        now: u64,
        what: &str,
        step: Step,
        text: &str,
        over: Option<Over>,
    ) -> io::Result<()> {
        if fs::metadata(&self.job).is_ok_and(|known| known.permissions().readonly()) {
            let told = format!("{} is marked as read-only", self.job.display());
            return Err(io::Error::new(ErrorKind::PermissionDenied, told));
        }
        let entry = self.history.compose(now, what, step, text, over);
        self.ledger.append(&entry)?;
        match disk::replace(&self.job, text, over.map(|over| over.stamp)) {
            Ok(stamp) => {
                self.history.push(entry);
                self.adopt(Some((stamp, now)));
                Ok(())
            }
            Err(error) => {
                // Should this fail too, the next look finds a save cut short and brings it to its end.
                let _ = self.ledger.take_back(&entry);
                Err(error)
            }
        }
    }

    /// What the history ends with becomes what the caller is told.
    fn adopt(&mut self, seen: Option<(Stamp, u64)>) {
        if let Some(text) = self.history.text() {
            text.clone_into(&mut self.text);
            self.version = self.history.version();
        }
        self.seen = seen;
    }
}
