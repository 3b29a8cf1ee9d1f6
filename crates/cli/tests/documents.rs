//! Every command that the documents show is run, with the exit code that they claim.
//!
//! Fenced blocks marked `sh` are run line by line in a copy of the examples; lines that do not
//! begin with `wyeline` or `cargo run --release -- ` are left alone. `# exit 1` at the end of a
//! line says which exit code is meant; otherwise it is 0.

mod common;

use std::fs;
use std::path::{Path, PathBuf};

use common::{root, run_in};

fn documents() -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = ["README.md", "CONTRIBUTING.md", "ARCHITECTURE.md"]
        .map(|name| root().join(name))
        .into();
    found.extend(
        fs::read_dir(root().join("docs"))
            .unwrap()
            .map(|entry| entry.unwrap().path()),
    );
    found.retain(|path| path.extension().is_some_and(|ending| ending == "md") && path.exists());
    found.sort();
    found
}

/// Lines of the blocks marked `sh`.
fn commands(text: &str) -> Vec<String> {
    let mut inside = false;
    let mut found = Vec::new();
    for line in text.lines() {
        if let Some(mark) = line.trim().strip_prefix("```") {
            inside = !inside && mark.trim() == "sh";
        } else if inside {
            found.push(line.trim().to_owned());
        }
    }
    found
}

/// Runs one line: words, `<` and `>`; no other shell grammar is used in the documents.
fn run_line(folder: &Path, line: &str) -> Option<(i32, i32, String)> {
    let (command, remark) = line.split_once(" # ").unwrap_or((line, ""));
    let meant = remark
        .strip_prefix("exit ")
        .map_or(0, |code| code.trim().parse().expect("an exit code"));
    let words = command
        .strip_prefix("wyeline ")
        .or_else(|| command.strip_prefix("cargo run --release -- "))?;
    let (mut arguments, mut input, mut output) = (Vec::new(), Vec::new(), None);
    let mut words = words.split_whitespace();
    while let Some(word) = words.next() {
        match word {
            "<" => {
                input = fs::read(folder.join(words.next().expect("a file after <")))
                    .expect("the file read");
            }
            ">" => output = words.next(),
            _ => arguments.push(word),
        }
    }
    let ran = run_in(folder, &arguments, &input);
    if let Some(output) = output {
        fs::write(folder.join(output), &ran.out).unwrap();
    }
    Some((meant, ran.code, ran.err))
}

#[test]
fn every_command_in_the_documents_does_what_they_say() {
    let mut count = 0;
    for document in documents() {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir_all(folder.path().join("docs/pictures")).unwrap();
        fs::create_dir(folder.path().join("examples")).unwrap();
        for name in common::examples() {
            let file = format!("examples/{name}.wye");
            fs::copy(root().join(&file), folder.path().join(&file)).unwrap();
        }
        for line in commands(&fs::read_to_string(&document).unwrap()) {
            if let Some((meant, code, err)) = run_line(folder.path(), &line) {
                assert_eq!(code, meant, "{}: {line}\n{err}", document.display());
                count += 1;
            }
        }
    }
    assert!(count >= 5, "the documents show commands");
}

/// Every crate that the table in ARCHITECTURE.md names is there.
#[test]
fn the_architecture_names_crates_that_exist() {
    let text = fs::read_to_string(root().join("ARCHITECTURE.md")).unwrap();
    let named: Vec<&str> = text
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.split('`').next())
        .collect();
    assert!(named.len() >= 7, "{named:?}");
    for name in named {
        assert!(root().join("crates").join(name).is_dir(), "{name}");
    }
}
