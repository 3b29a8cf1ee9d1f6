//! The history's file: read onward from where it was read last, lines appended and made durable. All of it under the
//! lock, so that a line without an end is one that a crash has torn, never one that is just being written.

use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Read, Seek, SeekFrom, Write};
use std::path::PathBuf;

use crate::disk::{self, Stamp, told};
use crate::entry::Entry;
use crate::history::History;

pub(crate) struct Ledger {
    path: PathBuf,
    /// How many bytes of whole lines have been read or written, and how many lines.
    done: u64,
    lines: usize,
    /// The file's own number when it was read last.
    file: Option<u64>,
}

impl Ledger {
    pub(crate) fn new(path: PathBuf) -> Self {
        Self {
            path,
            done: 0,
            lines: 0,
            file: None,
        }
    }

    /// Whether nobody has written since, as far as can be seen without reading.
    pub(crate) fn in_step(&self) -> io::Result<bool> {
        Ok(disk::stamp(&self.path)?
            .is_some_and(|Stamp { len, file, .. }| len == self.done && self.file == Some(file)))
    }

    /// Takes in what others have written. A history that has been removed is written again; one that has been put in
    /// its place counts from its beginning.
    pub(crate) fn catch_up(&mut self, history: &mut History) -> io::Result<()> {
        let Some(now) = disk::stamp(&self.path)?.filter(|now| now.len > 0) else {
            (self.done, self.lines, self.file) = (0, 0, None);
            let lines: Vec<Vec<u8>> = history
                .entries()
                .map(Entry::line)
                .collect::<Result<_, _>>()?;
            return if lines.is_empty() {
                Ok(())
            } else {
                self.append_lines(&lines)
            };
        };
        if self.file.is_some_and(|file| file != now.file) || now.len < self.done {
            (self.done, self.lines) = (0, 0);
            *history = history.emptied();
        }
        self.file = Some(now.file);
        if now.len == self.done {
            return Ok(());
        }
        let mut bytes = Vec::new();
        let mut file =
            File::open(&self.path).map_err(|error| told(&error, "cannot read", &self.path))?;
        file.seek(SeekFrom::Start(self.done))?;
        file.read_to_end(&mut bytes)
            .map_err(|error| told(&error, "cannot read", &self.path))?;
        for line in bytes.split_inclusive(|&byte| byte == b'\n') {
            let Some(whole) = line.strip_suffix(b"\n") else {
                // Torn: cut off by the next append.
                history.skip_version();
                break;
            };
            self.done += line.len() as u64;
            self.lines += 1;
            if !Entry::of_line(whole).is_some_and(|entry| history.push(entry)) {
                history.push_damaged(self.lines);
            }
        }
        Ok(())
    }

    /// Appends an entry and makes it durable. After an error the file is as before, as far as the disk lets it be.
    pub(crate) fn append(&mut self, entry: &Entry) -> io::Result<()> {
        self.append_lines(&[entry.line()?])
    }

    fn append_lines(&mut self, lines: &[Vec<u8>]) -> io::Result<()> {
        let bytes = lines.concat();
        let before = self.done;
        let written = (|| {
            let is_new = self.file.is_none();
            let mut file = OpenOptions::new()
                .write(true)
                .create(true)
                .truncate(false)
                .open(&self.path)?;
            file.set_len(before)?;
            file.seek(SeekFrom::Start(before))?;
            file.write_all(&bytes)?;
            file.sync_data()?;
            if is_new {
                // Some file systems cannot make a folder durable; the lines are.
                let _ = disk::sync_folder(&self.path);
                let _ = disk::sync_folder(disk::folder(&self.path));
            }
            Ok(Stamp::of(&file.metadata()?))
        })();
        let after = written.map_err(|error: io::Error| {
            // A torn line would be dropped anyway; the error that led here is the one to tell.
            let _ = self.cut(before);
            told(&error, "cannot write the history", &self.path)
        })?;
        self.done += bytes.len() as u64;
        self.lines += lines.len();
        self.file = Some(after.file);
        Ok(())
    }

    /// Takes the last entry back, whose text could not be written into the job's file.
    pub(crate) fn take_back(&mut self, entry: &Entry) -> io::Result<()> {
        let before = self.done - entry.line()?.len() as u64;
        self.cut(before)?;
        self.done = before;
        self.lines -= 1;
        Ok(())
    }

    fn cut(&self, len: u64) -> io::Result<()> {
        match OpenOptions::new().write(true).open(&self.path) {
            Ok(file) => {
                file.set_len(len)?;
                file.sync_data()
            }
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(()),
            Err(error) => Err(error),
        }
    }

    /// The folder of the history made, if it is not there.
    pub(crate) fn prepare(&self) -> io::Result<()> {
        let folder = disk::folder(&self.path);
        fs::create_dir_all(folder).map_err(|error| told(&error, "cannot keep a history in", folder))
    }
}
