//! Writes files whole or not at all, and prints without minding that a reader goes away.

use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use crate::Failure;

/// Prints bytes on standard output.
pub fn print(bytes: &[u8]) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    out.write_all(bytes)
        .and_then(|()| out.flush())
        .map_err(|error| failed(&error))
}

/// Prints words on standard output, coloured on a terminal only.
pub fn print_coloured(words: &str) -> Result<(), Failure> {
    let mut out = anstream::stdout().lock();
    out.write_all(words.as_bytes())
        .and_then(|()| out.flush())
        .map_err(|error| failed(&error))
}

fn failed(error: &io::Error) -> Failure {
    match error.kind() {
        ErrorKind::BrokenPipe => Failure::BrokenPipe,
        _ => Failure::Words(format!("cannot write to standard output: {error}")),
    }
}

/// Writes a file whole: into a new file in the same folder, which then takes its place.
/// Whoever looks sees the old file or the new one, never half of it.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let failed =
        |error: io::Error| Failure::Words(format!("cannot write {}: {error}", path.display()));
    // A link stays a link: what it leads to is replaced.
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let before = fs::metadata(&target).ok();
    if before.as_ref().is_some_and(|known| !known.is_file()) {
        // A device or a pipe cannot be replaced.
        return fs::write(&target, bytes).map_err(failed);
    }
    let (temporary, mut file) = beside(&target).map_err(failed)?;
    let written = (|| {
        file.write_all(bytes)?;
        if let Some(known) = before {
            file.set_permissions(known.permissions())?;
        }
        file.sync_all()?;
        fs::rename(&temporary, &target)
    })();
    written.map_err(|error| {
        // The half-written file helps nobody; that it may not go away is the lesser trouble.
        let _ = fs::remove_file(&temporary);
        failed(error)
    })
}

/// A new file in the folder of `target`, with a name that nobody else has.
fn beside(target: &Path) -> io::Result<(PathBuf, File)> {
    let name = target
        .file_name()
        .ok_or_else(|| io::Error::new(ErrorKind::InvalidInput, "this is no file name"))?;
    let mut attempt = 0;
    loop {
        let mut hidden = std::ffi::OsString::from(".");
        hidden.push(name);
        hidden.push(format!(".{}-{attempt}.part", std::process::id()));
        let path = target.with_file_name(hidden);
        match OpenOptions::new().write(true).create_new(true).open(&path) {
            Err(error) if error.kind() == ErrorKind::AlreadyExists && attempt < 100 => attempt += 1,
            opened => return Ok((path, opened?)),
        }
    }
}

/// The file for a sheet, counted from 1: the first keeps the name, the others get `-2`, `-3` before the ending.
pub fn numbered(path: &Path, sheet: usize) -> PathBuf {
    if sheet <= 1 {
        return path.to_owned();
    }
    let mut name = path.file_stem().unwrap_or_default().to_owned();
    name.push(format!("-{sheet}"));
    if let Some(ending) = path.extension() {
        name.push(".");
        name.push(ending);
    }
    path.with_file_name(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn later_sheets_are_numbered_before_the_ending() {
        let path = Path::new("out/heron.cottage.svg");
        assert_eq!(numbered(path, 1), path);
        assert_eq!(numbered(path, 2), Path::new("out/heron.cottage-2.svg"));
        assert_eq!(numbered(Path::new("plain"), 3), Path::new("plain-3"));
    }
}
