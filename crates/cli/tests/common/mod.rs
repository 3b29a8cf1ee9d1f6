//! Runs the built command, as a shell would.

#![allow(dead_code)]

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// What a run of the command came to.
pub struct Ran {
    /// Its exit code.
    pub code: i32,
    /// Standard output.
    pub out: Vec<u8>,
    /// Standard error, as text.
    pub err: String,
}

impl Ran {
    /// Standard output as text.
    pub fn text(&self) -> &str {
        std::str::from_utf8(&self.out).expect("text on standard output")
    }
}

/// The root of the workspace.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .canonicalize()
        .expect("the workspace")
}

/// Runs `wyeline` in a folder with arguments and standard input.
pub fn run_in(folder: &Path, arguments: &[&str], input: &[u8]) -> Ran {
    let mut child = Command::new(env!("CARGO_BIN_EXE_wyeline"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("CLICOLOR_FORCE")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command starts");
    // A command that does not read its input may be gone already.
    let _ = child.stdin.take().expect("piped").write_all(input);
    let done = child.wait_with_output().expect("the command ends");
    Ran {
        code: done.status.code().expect("an exit code, not a signal"),
        out: done.stdout,
        err: String::from_utf8(done.stderr).expect("text on standard error"),
    }
}

/// Runs `wyeline` in the workspace's root without input.
pub fn run(arguments: &[&str]) -> Ran {
    run_in(&root(), arguments, b"")
}

/// Names of the shipped examples, from their folder.
pub fn examples() -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(root().join("examples"))
        .expect("the folder of examples")
        .filter_map(|entry| entry.expect("an entry").file_name().into_string().ok())
        .filter_map(|name| name.strip_suffix(".wye").map(str::to_owned))
        .collect();
    names.sort();
    assert!(
        names.len() >= 10,
        "the examples are where they are looked for"
    );
    names
}

/// The value of an attribute in a tag of an SVG.
pub fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let from = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    tag[from..].split('"').next()
}
