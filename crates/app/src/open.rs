//! One open job: kept in its file, worked out once a version, changed by one hand at a time.
//!
//! In: gestures, texts, steps back and forth. Out: what is to be shown, or why not, in words. It blocks; the server calls it off its
//! own threads.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{SystemTime, UNIX_EPOCH};

use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use tokio::sync::broadcast;
use wyeline_edit::Edit;
use wyeline_keep::{Keep, Saved, Step, Trouble};

use crate::desk::LONGEST;
use crate::look::{self, Wanted};
use crate::refusal::Refusal;
use crate::said::Said;
use crate::work::Work;

/// Tabs that have not listened for so many changes are told to look anew. Our own choice.
const BEHIND: usize = 64;

/// One open job.
pub struct Open {
    /// Its name on this desk, as it stands in the page's address.
    pub id: String,
    held: Mutex<Held>,
    /// Tells every tab of a new version.
    pub news: broadcast::Sender<News>,
}

struct Held {
    keep: Keep,
    work: Arc<Work>,
}

/// A job has changed.
#[derive(Clone, Debug, Serialize)]
pub struct News {
    /// Its version now.
    pub version: u64,
    /// The tab that changed it; empty for another program.
    pub by: String,
}

/// A change asked for.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    /// The version it was made from.
    pub base: u64,
    /// A gesture.
    pub edit: Option<Edit>,
    /// Or the whole text.
    pub text: Option<String>,
    /// The tab that asks.
    #[serde(default)]
    pub tab: String,
    /// Only to see what it would be.
    #[serde(default)]
    pub trial: bool,
    /// What is to be shown afterwards.
    #[serde(default)]
    pub show: Wanted,
}

/// One step back or forth asked for.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Back {
    /// The version it is asked from.
    pub base: u64,
    /// Forth rather than back.
    #[serde(default)]
    pub redo: bool,
    /// The tab that asks.
    #[serde(default)]
    pub tab: String,
    /// What is to be shown afterwards.
    #[serde(default)]
    pub show: Wanted,
}

/// A lock is only ever poisoned by a panic, which is a fault of ours; what it holds is whole all the same.
pub(crate) fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Seconds since 1970.
pub fn now() -> u64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    since.map_or(0, |since| since.as_secs())
}

impl Open {
    /// A job that is kept, under a name on the desk.
    pub(crate) fn new(id: &str, keep: Keep) -> Self {
        let work = Arc::new(Work::of(keep.text().to_owned()));
        Self {
            id: id.to_owned(),
            held: Mutex::new(Held { keep, work }),
            news: broadcast::channel(BEHIND).0,
        }
    }

    /// What stands on the desk now.
    pub fn work(&self) -> (u64, Arc<Work>) {
        let held = held(&self.held);
        (held.keep.version(), held.work.clone())
    }

    /// The job's file.
    pub fn file(&self) -> PathBuf {
        held(&self.held).keep.path().to_owned()
    }

    /// What is to be shown of the job.
    pub fn look(&self, wanted: &Wanted) -> Said {
        let state = self.state();
        let mut out = look::look(&state.work, wanted);
        state.into_words(&mut out);
        out
    }

    fn state(&self) -> State {
        let held = held(&self.held);
        State {
            version: held.keep.version(),
            undo: held.keep.can_undo(),
            redo: held.keep.can_redo(),
            file: held.keep.path().display().to_string(),
            work: held.work.clone(),
        }
    }

    /// Makes a change, or shows what it would be, and says what is to be shown after it.
    pub fn change(&self, asked: &Asked) -> Result<Said, Refusal> {
        if asked.trial {
            return Ok(self.trial(asked));
        }
        let mut held = held(&self.held);
        let (text, what, told) = Self::wanted_text(&held, asked)?;
        // The disk takes its time; what is to be shown is worked out meanwhile.
        let (saved, ahead) = std::thread::scope(|scope| {
            let ahead = scope.spawn(|| {
                let work = Arc::new(Work::of(text.clone()));
                let shown = look::look(&work, &asked.show);
                (work, shown)
            });
            let saved = held.keep.save(asked.base, &text, &what, now());
            (saved, ahead.join().ok())
        });
        let (work, shown) = ahead.unzip();
        self.kept(held, saved.map(Some), &asked.tab, work.clone())?;
        let state = self.state();
        // Where it was merged with what others did, another text is shown.
        let as_asked = work.is_some_and(|work| Arc::ptr_eq(&work, &state.work));
        let mut out = shown
            .filter(|_| as_asked)
            .unwrap_or_else(|| look::look(&state.work, &asked.show));
        state.into_words(&mut out);
        out.put("told", &told);
        Ok(out)
    }

    /// The text that a change leads to, what to call it, and what the gesture says of itself.
    fn wanted_text(held: &Held, asked: &Asked) -> Result<(String, String, Value), Refusal> {
        match (&asked.edit, &asked.text) {
            (Some(edit), None) => {
                let work = if asked.base == held.keep.version() {
                    held.work.clone()
                } else {
                    let base = held.keep.at(asked.base);
                    Arc::new(Work::of(base.ok_or_else(Refusal::long_gone)?))
                };
                let built = &work.built;
                let done = wyeline_edit::apply(&work.text, &built.job, &built.network, edit)?;
                if done.text.len() > LONGEST {
                    return Err(Refusal::too_large());
                }
                let told = json!({
                    "said": done.said, "chosen": done.chosen, "run": done.run, "snap": done.snap,
                });
                let what = done
                    .said
                    .lines()
                    .next()
                    .unwrap_or("changed")
                    .trim()
                    .to_owned();
                Ok((done.text, what, told))
            }
            (None, Some(text)) if text.len() > LONGEST => Err(Refusal::too_large()),
            (None, Some(text)) => Ok((text.clone(), "words".to_owned(), Value::Null)),
            _ => Err(Refusal::wrong(
                "a change is either a gesture or a text".to_owned(),
            )),
        }
    }

    fn trial(&self, asked: &Asked) -> Said {
        let (wanted, version) = {
            let held = held(&self.held);
            (Self::wanted_text(&held, asked), held.keep.version())
        };
        let (text, _, told) = match wanted {
            Ok(wanted) => wanted,
            // That a gesture would not go is what the trial was to show.
            Err(refusal) => return refusal.into_trial(),
        };
        let work = Work::of(text);
        let mut out = look::look(&work, &asked.show);
        out.put("told", &told);
        out.put("version", &version);
        out.put("trial", &true);
        out
    }

    /// Goes one step back or forth.
    pub fn back(&self, back: &Back) -> Result<Said, Refusal> {
        let mut held = held(&self.held);
        let saved = if back.redo {
            held.keep.redo(back.base, now())
        } else {
            held.keep.undo(back.base, now())
        };
        self.kept(held, saved, &back.tab, None)?;
        Ok(self.look(&back.show))
    }

    /// Takes in what another program has made of the file.
    pub fn look_at_disk(&self) -> Result<(), Trouble> {
        let mut held = held(&self.held);
        let saved = held.keep.look(now());
        self.kept(held, saved, "", None)
    }

    /// What was done to the job, the last first.
    pub fn history(&self) -> Value {
        let held = held(&self.held);
        let past: Vec<_> = held.keep.history().collect();
        let past = past.iter().rev().take(500);
        past.map(|past| {
            let what = match past.step {
                Step::Undo { .. } => format!("undone: {}", past.what),
                Step::Redo { .. } => format!("done again: {}", past.what),
                Step::Start | Step::Change { .. } => past.what.to_owned(),
            };
            json!({ "version": past.version, "time": past.time, "what": what })
        })
        .collect()
    }

    /// The text of an earlier version.
    pub fn text_at(&self, version: u64) -> Option<String> {
        held(&self.held).keep.at(version)
    }

    /// Works out what is kept now and tells the tabs of it. What was refused may have taken in what others did.
    fn kept(
        &self,
        mut held: MutexGuard<'_, Held>,
        saved: Result<Option<Saved>, Trouble>,
        by: &str,
        ahead: Option<Arc<Work>>,
    ) -> Result<(), Trouble> {
        let taken_in = held.take_in(ahead);
        let version = held.keep.version();
        drop(held);
        let by = match &saved {
            Ok(Some(_)) => by,
            _ if taken_in => "",
            _ => return saved.map(drop),
        };
        // Nobody may be listening.
        let _ = self.news.send(News {
            version,
            by: by.to_owned(),
        });
        saved.map(drop)
    }
}

impl Held {
    /// Works out what is kept now, where that is another text and not worked out ahead; whether it is another text.
    fn take_in(&mut self, ahead: Option<Arc<Work>>) -> bool {
        let text = self.keep.text();
        let other = text != self.work.text;
        if other {
            let ahead = ahead.filter(|ahead| ahead.text == text);
            self.work = ahead.unwrap_or_else(|| Arc::new(Work::of(text.to_owned())));
        }
        other
    }
}

struct State {
    version: u64,
    undo: bool,
    redo: bool,
    file: String,
    work: Arc<Work>,
}

impl State {
    fn into_words(self, out: &mut Said) {
        let network = &self.work.built.network;
        let title = network.title.job.as_ref();
        out.put("version", &self.version);
        out.put("undo", &self.undo);
        out.put("redo", &self.redo);
        out.put("file", &self.file);
        out.put("title", &title.map_or("", |name| &name.text));
        out.put("metric", &network.units.is_metric());
        out.put("code", &network.code);
    }
}
