//! The entries of a history in memory: the text of each version, and the way of undo and redo through them.
//!
//! In: entries in their order, and lines that could not be read. Entries hold what changed, so a text is made from the last
//! full one before it. Knows no files.

use crate::entry::{Body, Entry, Over, Step};

/// A full text at least every so many entries: bounds the work for one text, and what one damaged line can take along.
/// Our own choice.
const FULL_EVERY: usize = 50;

/// One entry as told to the user.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Past<'a> {
    /// The version that it made.
    pub version: u64,
    /// Seconds since 1970, as given when it was made.
    pub time: u64,
    /// What was done, as given when it was made; for undo and redo what was undone or done again.
    pub what: &'a str,
    /// How it came about.
    pub step: Step,
}

struct Held {
    entry: Entry,
    /// Whether its text can be made; one behind a damaged line cannot, up to the next full text.
    known: bool,
}

#[derive(Default)]
pub(crate) struct History {
    /// By version, growing.
    held: Vec<Held>,
    /// Text of the last entry.
    text: Option<String>,
    /// The state the job is in.
    state: Option<u64>,
    /// States that were undone, the next to be done again last.
    undone: Vec<u64>,
    next: u64,
    since_full: usize,
    damaged: Vec<usize>,
}

impl History {
    /// An empty history whose versions go on from those of this one.
    pub(crate) fn emptied(&self) -> Self {
        Self {
            next: self.next,
            ..Self::default()
        }
    }

    /// Takes in the next entry of the file. `false` where it is not newer than the last: no history of ours.
    pub(crate) fn push(&mut self, entry: Entry) -> bool {
        let last = self.version();
        if entry.version <= last {
            return false;
        }
        let before = self.text.take();
        let text = entry
            .body
            .applied(|of| if of == last { before } else { self.at(of) })
            .filter(|text| crc32fast::hash(text.as_bytes()) == entry.text_sum);
        match entry.step {
            Step::Start | Step::Change { .. } => {
                self.undone.clear();
                self.state = Some(entry.version);
            }
            Step::Undo { to } => {
                self.undone.extend(self.state);
                self.state = Some(to);
            }
            Step::Redo { to } => {
                self.undone.pop();
                self.state = Some(to);
            }
        }
        self.since_full = if matches!(entry.body, Body::Full(_)) {
            0
        } else {
            self.since_full + 1
        };
        self.next = self.next.max(entry.version + 1);
        self.held.push(Held {
            entry,
            known: text.is_some(),
        });
        self.text = text;
        true
    }

    /// Notes a line (from 1) that is damaged: whatever it held may have been a version, and a way of redo ended.
    pub(crate) fn push_damaged(&mut self, line: usize) {
        self.damaged.push(line);
        self.skip_version();
        self.undone.clear();
    }

    /// Leaves out a version that may have been given to a text that is lost.
    pub(crate) fn skip_version(&mut self) {
        self.next += 1;
    }

    /// The entry that would bring `text`, with a version of its own. Not taken in before it is [pushed](Self::push).
    pub(crate) fn compose(
        &self,
        time: u64,
        what: &str,
        step: Step,
        text: &str,
        over: Option<Over>,
    ) -> Entry {
        let body = match &self.text {
            Some(before) if self.since_full + 1 < FULL_EVERY => {
                Body::shorter(self.version(), before, text)
            }
            _ => Body::Full(text.to_owned()),
        };
        let text_sum = crc32fast::hash(text.as_bytes());
        Entry {
            version: self.next.max(1),
            time,
            what: what.to_owned(),
            step,
            body,
            text_sum,
            over,
        }
    }

    /// The version of the last entry, 0 for none.
    pub(crate) fn version(&self) -> u64 {
        self.last().map_or(0, |entry| entry.version)
    }

    pub(crate) fn last(&self) -> Option<&Entry> {
        self.held.last().map(|held| &held.entry)
    }

    /// The text of the last entry.
    pub(crate) fn text(&self) -> Option<&str> {
        self.text.as_deref()
    }

    /// The state the job is in.
    pub(crate) fn state(&self) -> Option<u64> {
        self.state
    }

    /// The text of a version.
    pub(crate) fn at(&self, version: u64) -> Option<String> {
        let mut place = self.place(version)?;
        let mut later = Vec::new();
        while let Body::Replace { of, .. } = self.held[place].entry.body {
            later.push(place);
            place = self.place(of).filter(|&earlier| earlier < place)?;
        }
        later.push(place);
        later
            .into_iter()
            .rev()
            .try_fold(String::new(), |text, place| {
                self.held[place].entry.body.applied(|_| Some(text))
            })
    }

    /// The place of an entry whose text can be made.
    fn place(&self, version: u64) -> Option<usize> {
        let place = self
            .held
            .binary_search_by_key(&version, |held| held.entry.version)
            .ok()?;
        self.held[place].known.then_some(place)
    }

    /// The state that undo leads to. Where damage took it, the nearest one before it.
    pub(crate) fn back(&self) -> Option<u64> {
        let state = self.state?;
        let from = match self.entry(state) {
            Some(Entry {
                step: Step::Start, ..
            }) => return None,
            Some(Entry {
                step: Step::Change { from },
                ..
            }) => *from,
            _ => state.checked_sub(1)?,
        };
        self.held
            .iter()
            .rev()
            .find(|held| held.known && held.entry.version <= from && held.entry.version < state)
            .map(|held| held.entry.version)
    }

    /// The state that redo leads to.
    pub(crate) fn forth(&self) -> Option<u64> {
        self.undone
            .last()
            .copied()
            .filter(|&state| self.place(state).is_some())
    }

    /// What was done when a state was made.
    pub(crate) fn what(&self, state: u64) -> &str {
        self.entry(state).map_or("", |entry| &entry.what)
    }

    fn entry(&self, version: u64) -> Option<&Entry> {
        let place = self
            .held
            .binary_search_by_key(&version, |held| held.entry.version)
            .ok()?;
        Some(&self.held[place].entry)
    }

    pub(crate) fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.held.iter().map(|held| &held.entry)
    }

    /// All entries whose text can still be made, the oldest first.
    pub(crate) fn past(&self) -> impl Iterator<Item = Past<'_>> {
        self.held.iter().filter(|held| held.known).map(|held| {
            let Entry {
                version,
                time,
                what,
                step,
                ..
            } = &held.entry;
            Past {
                version: *version,
                time: *time,
                what,
                step: *step,
            }
        })
    }

    /// Lines of the file, from 1, that could not be read.
    pub(crate) fn damaged(&self) -> &[usize] {
        &self.damaged
    }
}
