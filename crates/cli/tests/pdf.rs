//! The words of every PDF, read back by poppler, are those of the SVG; its fonts travel with it.

mod common;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use common::{examples, run};

/// What is said to the command besides the job: several sheets where one was enough, turned lettering, plans.
const WAYS: [&[&str]; 4] = [
    &[],
    &["--paper", "letter"],
    &["--labels", "along"],
    &["--view", "both"],
];

/// Whether the tools are there; where CI is set they have to be.
fn tools() -> bool {
    let there = ["pdftotext", "pdffonts"]
        .iter()
        .all(|tool| Command::new(tool).arg("-v").output().is_ok());
    assert!(
        there || std::env::var_os("CI").is_none(),
        "pdftotext and pdffonts are missing"
    );
    if !there {
        eprintln!("skipped: pdftotext and pdffonts are not installed");
    }
    there
}

/// Draws an example; returns the files in the order of their sheets, or the pdf.
fn drawn(folder: &Path, name: &str, way: &[&str], ending: &str) -> Vec<PathBuf> {
    let file = |number: usize| match number {
        1 => folder.join(format!("sheet.{ending}")),
        _ => folder.join(format!("sheet-{number}.{ending}")),
    };
    let (job, first) = (format!("examples/{name}.wye"), file(1));
    let mut arguments = vec!["draw", &job, "-q", "-o", first.to_str().expect("plain")];
    arguments.extend(way);
    let ran = run(&arguments);
    assert_eq!(
        ran.code,
        i32::from(name == "mistakes"),
        "{name} {way:?}: {}",
        ran.err
    );
    (1..1000)
        .map(file)
        .take_while(|file| file.exists())
        .collect()
}

/// What a tool of poppler's says of a file.
fn said(tool: &str, options: &[&str], file: &Path) -> String {
    let mut command = Command::new(tool);
    command.args(options).arg(file);
    if tool == "pdftotext" {
        command.arg("-");
    }
    let done = command.output().expect("it runs");
    assert!(done.status.success(), "{tool} {}", file.display());
    String::from_utf8(done.stdout).expect("text")
}

/// Without blanks: poppler guesses them from distances.
fn solid(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

/// The words of each piece of lettering of an SVG, in order.
fn lettering(svg: &str) -> Vec<String> {
    svg.lines()
        .filter_map(|line| line.strip_prefix("<text")?.strip_suffix("</text>"))
        .map(|rest| rest.split_once('>').expect("a tag").1)
        .map(|words| {
            [
                ("&lt;", "<"),
                ("&gt;", ">"),
                ("&quot;", "\""),
                ("&#39;", "'"),
                ("&amp;", "&"),
            ]
            .iter()
            .fold(words.to_owned(), |text, (code, sign)| {
                text.replace(code, sign)
            })
        })
        .collect()
}

/// Sheet by sheet and piece by piece in the order of drawing: no label is missing, cut, or on another sheet.
#[test]
fn all_lettering_of_a_sheet_is_found_in_its_page() {
    if !tools() {
        return;
    }
    let mut found = 0;
    for name in examples() {
        for way in WAYS {
            let folder = tempfile::tempdir().expect("a folder");
            let pdf = &drawn(folder.path(), &name, way, "pdf")[0];
            let text = said("pdftotext", &["-raw"], pdf);
            // A page ends with a form feed.
            let pages: Vec<String> = text.split_terminator('\u{c}').map(solid).collect();
            let sheets = drawn(folder.path(), &name, way, "svg");
            assert_eq!(pages.len(), sheets.len(), "{name} {way:?}");
            for (page, sheet) in pages.iter().zip(&sheets) {
                let svg = fs::read_to_string(sheet).expect("text");
                let mut rest = page.as_str();
                for words in lettering(&svg) {
                    let wanted = solid(&words);
                    let at = rest.find(&wanted);
                    let at = at.unwrap_or_else(|| panic!("{name} {way:?}: {words:?} in {rest}"));
                    assert_eq!(&rest[..at], "", "{name} {way:?}: before {words:?}");
                    rest = &rest[at + wanted.len()..];
                    found += 1;
                }
                assert_eq!(rest, "", "{name} {way:?}: in no label");
            }
        }
    }
    assert!(found > 5000, "{found}");
}

/// `pdffonts` prints two lines of heading, then a line a font: name, type, encoding, embedded, subset, to Unicode,
/// object number. A type may be of two words, so the columns are counted from the end.
#[test]
fn every_font_of_every_pdf_travels_with_it() {
    if !tools() {
        return;
    }
    for name in examples() {
        let folder = tempfile::tempdir().expect("a folder");
        let pdf = &drawn(folder.path(), &name, &[], "pdf")[0];
        let table = said("pdffonts", &[], pdf);
        let fonts: Vec<Vec<&str>> = table
            .lines()
            .skip(2)
            .map(|line| line.split_whitespace().collect())
            .collect();
        assert!(!fonts.is_empty(), "{name}");
        for font in fonts {
            let [.., embedded, subset, unicode, _, _] = font[..] else {
                panic!("{name}: {table}");
            };
            assert!(font[0].contains("IBMPlexSansCond"), "{name}: {table}");
            assert_eq!(
                (embedded, subset, unicode),
                ("yes", "yes", "yes"),
                "{name}: {table}"
            );
        }
    }
}
