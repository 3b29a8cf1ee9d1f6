//! Files read and replaced whole. A replacement is written beside its target, made durable and renamed over it, so
//! that a reader, a crash or a power cut meets the old text or the new one, never a part.

use std::ffi::OsString;
use std::fs::{self, File, Metadata, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, UNIX_EPOCH};

use serde::{Deserialize, Serialize};

/// How long to wait for another of our programs that holds the lock: tries, and the pause between them. A save takes
/// some milliseconds; our own choice.
const LOCK_TRIES: u32 = 2500;
const LOCK_PAUSE: Duration = Duration::from_millis(2);

/// How long a changed file has to lie still before it is believed to be written to its end; our own choice.
const STILL: Duration = Duration::from_millis(20);
const STILL_TRIES: u32 = 100;

/// Times of files are only as fine as the file system's clock, 2 s on FAT (Microsoft FAT specification 1.03,
/// "Date and Time Formats"; from memory). A file changed less than that before it was read may change again unseen.
const COARSEST_CLOCK_S: u64 = 2;

/// What tells one state of a file from another without reading it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Stamp {
    /// Bytes.
    pub(crate) len: u64,
    /// Time of the last change, nanoseconds since 1970, 0 where the file system tells none.
    pub(crate) changed: u64,
    /// Number of the file on its file system, 0 where there is none.
    pub(crate) file: u64,
}

impl Stamp {
    pub(crate) fn of(metadata: &Metadata) -> Self {
        let changed = metadata
            .modified()
            .ok()
            .and_then(|time| time.duration_since(UNIX_EPOCH).ok())
            .map_or(0, |since| since.as_nanos() as u64);
        Self {
            len: metadata.len(),
            changed,
            file: file_number(metadata),
        }
    }

    /// Whether a file read at `now` (seconds since 1970) and bearing this stamp still has the content read.
    pub(crate) fn proves(self, now: u64) -> bool {
        self.changed != 0 && now > self.changed / 1_000_000_000 + COARSEST_CLOCK_S
    }
}

#[cfg(unix)]
fn file_number(metadata: &Metadata) -> u64 {
    std::os::unix::fs::MetadataExt::ino(metadata)
}

#[cfg(not(unix))]
fn file_number(_: &Metadata) -> u64 {
    0
}

/// The stamp of a file, `None` where there is none.
pub(crate) fn stamp(path: &Path) -> io::Result<Option<Stamp>> {
    match fs::metadata(path) {
        Ok(metadata) => Ok(Some(Stamp::of(&metadata))),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(told(&error, "cannot look at", path)),
    }
}

/// The text of a file, for looking at where nothing can be kept.
///
/// # Errors
/// `InvalidData` for bytes that are not UTF-8, naming the first; else what the disk says.
pub fn read_text(path: &Path) -> io::Result<String> {
    let bytes = fs::read(path).map_err(|error| told(&error, "cannot read", path))?;
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let byte = error.as_bytes()[at];
        io::Error::new(
            ErrorKind::InvalidData,
            format!(
                "byte {} of {} (hex {byte:02x}) is no UTF-8 text; the file is left as it is",
                at + 1,
                path.display()
            ),
        )
    })
}

/// The text of a file and its stamp, `None` where there is no file. Both belong together: it is read again when it
/// changes while being read.
pub(crate) fn read_stamped(path: &Path) -> io::Result<Option<(String, Stamp)>> {
    let mut before = stamp(path)?;
    for _ in 0..STILL_TRIES {
        let Some(known) = before else { return Ok(None) };
        let text = read_text(path);
        let after = stamp(path)?;
        if after == Some(known) {
            return text.map(|text| Some((text, known)));
        }
        thread::sleep(STILL);
        before = after;
    }
    Err(busy(path))
}

/// As [`read_stamped`], but only once the file has lain still: a program that does not rename writes bit by bit.
pub(crate) fn read_still(path: &Path) -> io::Result<Option<(String, Stamp)>> {
    let mut before = stamp(path)?;
    for _ in 0..STILL_TRIES {
        thread::sleep(STILL);
        let after = stamp(path)?;
        if after == before {
            return read_stamped(path);
        }
        before = after;
    }
    Err(busy(path))
}

fn busy(path: &Path) -> io::Error {
    io::Error::new(
        ErrorKind::ResourceBusy,
        format!("another program keeps writing {}", path.display()),
    )
}

/// Replaces `path` by `text`, with the permissions and, where it may, the owner of what was there; gives its stamp.
///
/// `unless_changed`: the stamp under which it was read; another one just before the renaming is `Interrupted`, and
/// nothing is replaced.
pub(crate) fn replace(path: &Path, text: &str, unless_changed: Option<Stamp>) -> io::Result<Stamp> {
    let temporary = temporary(path);
    let written = (|| {
        remove_if_there(&temporary)?;
        let mut file = OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&temporary)?;
        if let Ok(before) = fs::metadata(path) {
            same_owner(&file, &before);
            file.set_permissions(before.permissions())?;
        }
        file.write_all(text.as_bytes())?;
        file.sync_all()?;
        if stamp(path)? != unless_changed {
            return Err(ErrorKind::Interrupted.into());
        }
        // Renaming changes neither the number nor the time of the file.
        let after = Stamp::of(&file.metadata()?);
        fs::rename(&temporary, path)?;
        Ok(after)
    })();
    match written {
        Ok(after) => {
            // Should a power cut undo the renaming, the history holds the text and the next opening writes it again;
            // some file systems cannot make a folder durable at all.
            let _ = sync_folder(path);
            Ok(after)
        }
        Err(error) => {
            // The half-written file helps nobody; that it may not go away is the lesser trouble.
            let _ = fs::remove_file(&temporary);
            Err(told(&error, "cannot write", path))
        }
    }
}

/// Removes what a save that was cut short has left beside `path`.
pub(crate) fn clear_temporary(path: &Path) -> io::Result<()> {
    remove_if_there(&temporary(path))
}

fn remove_if_there(path: &Path) -> io::Result<()> {
    match fs::remove_file(path) {
        Err(error) if error.kind() != ErrorKind::NotFound => Err(error),
        _ => Ok(()),
    }
}

fn temporary(path: &Path) -> PathBuf {
    let mut name = OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(".saving");
    path.with_file_name(name)
}

/// The folder's list of names made durable.
pub(crate) fn sync_folder(path: &Path) -> io::Result<()> {
    File::open(folder(path))?.sync_all()
}

/// The folder a file is in.
pub(crate) fn folder(path: &Path) -> &Path {
    path.parent()
        .filter(|parent| !parent.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

#[cfg(unix)]
fn same_owner(file: &File, before: &Metadata) {
    use std::os::unix::fs::{MetadataExt, fchown};
    let mine = file.metadata().map(|mine| (mine.uid(), mine.gid())).ok();
    if mine != Some((before.uid(), before.gid())) {
        // Only the administrator may give files away; for anybody else the file becomes their own.
        let _ = fchown(file, Some(before.uid()), Some(before.gid()));
    }
}

#[cfg(not(unix))]
fn same_owner(_: &File, _: &Metadata) {}

/// The lock file, locked: held until it is dropped, also by the end of the program.
pub(crate) fn lock(path: &Path) -> io::Result<File> {
    let file = OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(false)
        .open(path)
        .map_err(|error| told(&error, "cannot lock", path))?;
    for _ in 0..LOCK_TRIES {
        match file.try_lock() {
            Ok(()) => return Ok(file),
            Err(TryLockError::WouldBlock) => thread::sleep(LOCK_PAUSE),
            Err(TryLockError::Error(error)) => return Err(told(&error, "cannot lock", path)),
        }
    }
    Err(io::Error::new(
        ErrorKind::WouldBlock,
        format!("another program holds {}", path.display()),
    ))
}

/// The same kind of error with what was tried and on what.
pub(crate) fn told(error: &io::Error, tried: &str, path: &Path) -> io::Error {
    io::Error::new(error.kind(), format!("{tried} {}: {error}", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A file changed after it was read is not replaced, and nothing is left beside it.
    #[test]
    fn a_file_changed_since_it_was_read_is_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.wye");
        fs::write(&path, "one").unwrap();
        let read = stamp(&path).unwrap();
        fs::write(&path, "other").unwrap();
        let error = replace(&path, "mine", read).unwrap_err();
        assert_eq!(error.kind(), ErrorKind::Interrupted);
        assert_eq!(fs::read_to_string(&path).unwrap(), "other");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
        // Nor is a file that has come up where there was none.
        assert!(replace(&path, "mine", None).is_err());
        replace(&path, "mine", stamp(&path).unwrap()).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "mine");
    }

    /// A file proves its content by its time once the coarsest clock, of 2 s, must have gone on: changed in second 10, it
    /// could still change unseen in second 12.
    #[test]
    fn a_time_proves_only_what_is_old_enough() {
        let stamp = Stamp {
            len: 1,
            changed: 10_999_999_999,
            file: 1,
        };
        assert_eq!(
            [9, 12, 13].map(|now| stamp.proves(now)),
            [false, false, true]
        );
    }
}
