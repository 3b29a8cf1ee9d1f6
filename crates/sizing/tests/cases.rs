//! Worked examples from outside, one file each in `cases`: what is given, what is expected, within what, and who says so.
//!
//! A case reads as a plumber would write it down. `given CODE` holds a job; under `expect` each line is
//! `PIPE WHAT VALUE [UNIT] [within TOLERANCE]`. A line under `known miss` is checked not to hold: it is a disagreement kept
//! in sight, with its reason in the case's words, and must be moved once it is mended.

mod support;

use std::fs;
use std::path::Path;

use support::{Sizing, sizing};
use wyeline_sizing::{Governs, Role};

/// A case as it stands in its file.
struct Case {
    name: String,
    code: String,
    job: String,
    expect: Vec<String>,
    known_miss: Vec<String>,
}

fn read(path: &Path) -> Case {
    let text = fs::read_to_string(path).expect("a case");
    let name = path.file_stem().expect("a name").to_string_lossy().into();
    let mut case = Case {
        name,
        code: String::new(),
        job: String::new(),
        expect: Vec::new(),
        known_miss: Vec::new(),
    };
    let mut section = "";
    let mut source = false;
    for line in text.lines() {
        source |= line.starts_with("source:");
        if let Some(code) = line.strip_prefix("given ") {
            section = "given";
            code.trim().clone_into(&mut case.code);
        } else if line == "expect" || line == "known miss" {
            section = if line == "expect" { "expect" } else { "miss" };
        } else if let Some(body) = line.strip_prefix("  ") {
            let list = match section {
                "given" => {
                    case.job.push_str(body);
                    case.job.push('\n');
                    continue;
                }
                "expect" => &mut case.expect,
                "miss" => &mut case.known_miss,
                _ => continue,
            };
            list.push(body.trim().to_owned());
        }
    }
    assert!(source, "{}: a case names its source", case.name);
    assert!(
        !case.expect.is_empty(),
        "{}: nothing is expected",
        case.name
    );
    case
}

/// The word for a role in the cases.
fn role_word(role: Role) -> String {
    let mut words = String::new();
    for letter in format!("{role:?}").chars() {
        if letter.is_uppercase() && !words.is_empty() {
            words.push('-');
        }
        words.extend(letter.to_lowercase());
    }
    words
}

/// Compares one line with what was worked out; the words of what differs otherwise.
fn check(sizing: &Sizing, line: &str) -> Result<(), String> {
    let (line, within) = line.split_once(" within ").unwrap_or((line, "0"));
    let within: f64 = within.trim().parse().expect("a tolerance");
    let mut words = line.split_whitespace();
    let (pipe, what) = (
        words.next().expect("a pipe"),
        words.next().expect("what of it"),
    );
    let value = words.next().expect("its value");
    let number = || -> f64 { value.replace(',', "").parse().expect("a number") };
    let near = |got: Option<f64>| match got {
        Some(got) if (got - number()).abs() <= within + 1e-9 => Ok(()),
        got => Err(format!("{line}: got {got:?}")),
    };
    let same = |got: Option<String>| match got {
        Some(got) if got == value => Ok(()),
        got => Err(format!("{line}: got {got:?}")),
    };
    if pipe == "roof" {
        let vents = sizing.sized.roof_vents.as_ref();
        let square_inches = |mm2: f64| mm2 / (25.4 * 25.4);
        return match what {
            "have" => near(vents.map(|vents| square_inches(vents.have_mm2))),
            "needs" => near(vents.map(|vents| square_inches(vents.needed_mm2))),
            what => panic!("{what}: not known of roofs"),
        };
    }
    let result = sizing.pipe(pipe);
    match what {
        "needs" => same(result.needed.map(|size| size.to_string())),
        "size" => same(result.size.map(|size| size.to_string())),
        "role" => same(Some(role_word(result.role))),
        "load" => near(Some(result.load.drain)),
        "flow" => near(result.load.flow_lps),
        "developed" => near(result.developed_mm.map(|mm| mm / 304.8)),
        "falls" => near(Some(sizing.told(pipe).fall_mm / 25.4)),
        "percent" => {
            let told = sizing.told(pipe);
            let (from, to) = sizing.network.true_ends(told);
            let run = (from - to).truncate().length();
            near(Some(told.fall_mm / run * 100.0))
        }
        "allows" | "carries" => match &result.governs {
            Governs::Table {
                allows, carries, ..
            } => near(Some(if what == "allows" { *allows } else { *carries })),
            other => Err(format!("{line}: decided by {other:?}")),
        },
        what => panic!("{what}: not known of pipes"),
    }
}

#[test]
fn worked_examples_come_out_as_published() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let mut files: Vec<_> = fs::read_dir(folder)
        .expect("the folder of cases")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|end| end == "txt"))
        .collect();
    files.sort();
    assert!(files.len() >= 8, "the cases are there");
    let mut wrong = Vec::new();
    for file in files {
        let case = read(&file);
        let sizing = sizing(&case.code, &case.job);
        for line in &case.expect {
            if let Err(words) = check(&sizing, line) {
                wrong.push(format!("{}: {words}", case.name));
            }
        }
        for line in &case.known_miss {
            if check(&sizing, line).is_ok() {
                wrong.push(format!("{}: no longer a miss: {line}", case.name));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}
