//! `wyeline draw`: formats, files, standard streams, exit codes.

mod common;

use std::fs;

use common::{run, run_in};

const GOOD: &str = "examples/heron-cottage.wye";
/// A job of drainage alone, which goes on one sheet.
const ONE_SHEET: &str = "examples/attic-bath.wye";
const BAD: &str = "examples/mistakes.wye";

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder for output")
}

/// The file named by `-o` begins as its format has to: XML, `%PDF`, the PNG signature (ISO/IEC 15948, 5.2).
#[test]
fn the_ending_of_the_file_chooses_the_format() {
    let folder = folder();
    for (ending, begins) in [
        ("svg", &b"<svg"[..]),
        ("pdf", b"%PDF-"),
        ("png", b"\x89PNG\r\n\x1a\n"),
    ] {
        let file = folder.path().join(format!("drawing.{ending}"));
        let ran = run(&["draw", GOOD, "-o", file.to_str().unwrap()]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        let bytes = fs::read(&file).unwrap();
        let bytes = bytes
            .strip_prefix(b"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n")
            .unwrap_or(&bytes);
        assert!(bytes.starts_with(begins), "{ending}");
    }
}

#[test]
fn a_job_with_mistakes_is_drawn_and_says_so() {
    let folder = folder();
    let ran = run(&[
        "draw",
        BAD,
        "-o",
        folder.path().join("bad.svg").to_str().unwrap(),
    ]);
    assert_eq!(ran.code, 1);
    assert!(folder.path().join("bad.svg").exists());
    assert!(ran.err.contains("mistake[unknown-kind]"), "{}", ran.err);
}

#[test]
fn an_empty_job_is_not_drawn() {
    let folder = folder();
    let ran = run_in(
        folder.path(),
        &["draw", "-", "-o", "nothing.svg"],
        b"# nothing here\n",
    );
    assert_eq!(ran.code, 2, "{}", ran.err);
    assert!(!folder.path().join("nothing.svg").exists());
    assert!(ran.err.contains("nothing"), "{}", ran.err);
}

#[test]
fn a_file_that_is_not_there_is_named() {
    let ran = run(&["draw", "no-such.wye", "-o", "out.svg"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("cannot read no-such.wye"), "{}", ran.err);
}

#[test]
fn an_ending_without_a_format_asks_for_one() {
    let ran = run(&["draw", GOOD, "-o", "out.xyz"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("--format"), "{}", ran.err);
}

/// The same job through files and through the standard streams gives the same bytes.
#[test]
fn standard_input_and_output_take_the_place_of_files() {
    let folder = folder();
    let job = fs::read(common::root().join(ONE_SHEET)).unwrap();
    let piped = run_in(
        folder.path(),
        &["draw", "-", "--format", "svg", "-o", "-"],
        &job,
    );
    assert_eq!(piped.code, 0, "{}", piped.err);
    let file = folder.path().join("drawing.svg");
    run(&["draw", ONE_SHEET, "-o", file.to_str().unwrap()]);
    assert!(piped.out == fs::read(file).unwrap());
}

#[test]
fn drawing_twice_gives_the_same_bytes() {
    for format in ["svg", "pdf", "png"] {
        let draw = || {
            run(&[
                "draw", GOOD, "--paper", "arch-c", "--format", format, "-o", "-",
            ])
            .out
        };
        assert!(draw() == draw(), "{format}");
    }
}

/// A stack 34 ft high, about 8-1/2 in at the smallest scale of 1/8 in = 1 ft with its labels outside it, does
/// not go on a letter sheet beside its legend.
#[test]
fn several_sheets_are_numbered_files_or_one_pdf() {
    let folder = folder();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let draw = |name: &str| {
        run(&[
            "draw",
            "examples/three-storeys.wye",
            "--paper",
            "letter",
            "-o",
            &at(name),
        ])
    };
    assert_eq!(draw("sheet.svg").code, 0);
    assert!(folder.path().join("sheet.svg").exists() && folder.path().join("sheet-2.svg").exists());
    assert_eq!(draw("sheet.pdf").code, 0);
    assert!(
        folder.path().join("sheet.pdf").exists() && !folder.path().join("sheet-2.pdf").exists()
    );
    let piped = run(&[
        "draw",
        "examples/three-storeys.wye",
        "--paper",
        "letter",
        "--format",
        "svg",
        "-o",
        "-",
    ]);
    assert_eq!(piped.code, 2, "several sheets do not go into one svg");
    assert!(
        piped.out.is_empty() && piped.err.contains("--format pdf"),
        "{}",
        piped.err
    );
}

/// Nothing but the drawing is left in the folder, and a file that was there is replaced.
#[test]
fn a_file_is_replaced_whole() {
    let folder = folder();
    fs::write(folder.path().join("out.svg"), "what was there before").unwrap();
    let ran = run(&[
        "draw",
        ONE_SHEET,
        "-o",
        folder.path().join("out.svg").to_str().unwrap(),
    ]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let names: Vec<_> = fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    assert_eq!(names, ["out.svg"]);
    assert!(
        fs::read_to_string(folder.path().join("out.svg"))
            .unwrap()
            .contains("<svg")
    );
}

#[test]
fn a_folder_that_is_not_there_is_named() {
    let ran = run(&["draw", GOOD, "-o", "no/such/folder/out.svg"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("cannot write no/such/folder/out.svg"),
        "{}",
        ran.err
    );
}

/// Only the systems asked for appear.
#[test]
fn systems_can_be_chosen() {
    let ran = run(&[
        "draw", GOOD, "--system", "waste", "--system", "vent", "--format", "svg", "-o", "-",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let pipes: Vec<&str> = ran
        .text()
        .split("<g ")
        .filter(|group| group.starts_with("class=\"pipe\""))
        .collect();
    assert!(
        pipes
            .iter()
            .any(|pipe| pipe.contains("data-system=\"waste\""))
    );
    assert!(
        pipes
            .iter()
            .any(|pipe| pipe.contains("data-system=\"vent\""))
    );
    assert!(pipes.iter().all(
        |pipe| !pipe.contains("data-system=\"cold\"") && !pipe.contains("data-system=\"hot\"")
    ));
}

#[test]
fn a_level_that_is_not_there_is_named_with_those_that_are() {
    let ran = run(&[
        "draw", GOOD, "--view", "plan", "--level", "attic", "--format", "svg", "-o", "-",
    ]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err
            .contains("no level attic; this job has cellar, main"),
        "{}",
        ran.err
    );
}

#[test]
fn mistakes_as_json_go_to_standard_error() {
    let ran = run(&["draw", BAD, "--format", "svg", "-o", "-", "--json"]);
    assert_eq!(ran.code, 1);
    assert!(ran.text().contains("<svg"));
    let list: Vec<serde_json::Value> = serde_json::from_str(&ran.err).expect("a JSON list");
    assert!(!list.is_empty());
}

/// A reader that stops reading is no fault: nothing is said.
#[test]
fn a_broken_pipe_is_quiet() {
    use std::process::{Command, Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_wyeline"))
        .args(["draw", ONE_SHEET, "--format", "png", "-q", "-o", "-"])
        .current_dir(common::root())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let done = child.wait_with_output().unwrap();
    assert!(
        done.status.code() == Some(0) && done.stderr.is_empty(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
}

/// Nothing can be drawn of an empty job; one is told where to begin.
#[test]
fn an_empty_job_says_where_to_begin() {
    let folder = folder();
    let drawn = run_in(
        folder.path(),
        &["draw", "-", "--format", "svg", "-o", "-"],
        b"",
    );
    assert_eq!(drawn.code, 2);
    assert!(drawn.out.is_empty());
    assert!(drawn.err.contains("wyeline example"), "{}", drawn.err);
    // It names no code, and 0 would say that it was checked by one.
    let checked = run_in(folder.path(), &["check", "-"], b"");
    assert_eq!(checked.code, 1);
    assert!(
        checked.text().contains("nothing to draw yet"),
        "{}",
        checked.text()
    );
}

/// A set of several sheets goes to standard output one sheet at a time.
#[test]
fn one_sheet_of_a_set_can_be_named() {
    let sheet = |number: &str| {
        run(&[
            "draw", GOOD, "--paper", "letter", "--sheet", number, "--format", "svg", "-o", "-",
        ])
    };
    // Drains and vents, water, notes.
    let (first, second, third) = (sheet("1"), sheet("2"), sheet("4"));
    assert_eq!((first.code, second.code), (0, 0), "{}", second.err);
    assert!(first.text().contains("data-system=\"waste\""));
    assert!(!first.text().contains("data-system=\"cold\""));
    assert!(second.text().contains("data-system=\"cold\""));
    assert_eq!(third.code, 2);
    assert!(third.err.contains("the set has 3"), "{}", third.err);
}
