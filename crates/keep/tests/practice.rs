//! What one learner did.

use std::fs;
use std::thread;

use wyeline_keep::practice::{Marked, Practice};

fn marked(code: &str, got: f64) -> Marked {
    Marked {
        code: code.to_owned(),
        level: 3,
        time: 1,
        got,
        of: 100.0,
    }
}

#[test]
fn marks_and_drawings_are_found_again_until_they_are_forgotten() {
    let folder = tempfile::tempdir().unwrap();
    let practice = Practice::new(folder.path().join("not/there/yet"));
    assert_eq!(practice.done(), []);
    practice.mark(marked("3A-0007-00X", 80.0)).unwrap();
    practice.mark(marked("3A-0007-00X", 95.0)).unwrap();
    practice.keep("3A-0007-00X", "{}").unwrap();
    practice.keep("3A-0007-00X", "{\"strokes\":[]}").unwrap();
    let got: Vec<f64> = practice.done().iter().map(|one| one.got).collect();
    assert_eq!(got, [80.0, 95.0]);
    assert_eq!(
        practice.drawing("3a-0007-00x").as_deref(),
        Some("{\"strokes\":[]}")
    );
    practice.forget().unwrap();
    assert_eq!(
        (practice.done(), practice.drawing("3A-0007-00X")),
        (Vec::new(), None)
    );
}

#[test]
fn a_code_names_no_file_elsewhere() {
    let folder = tempfile::tempdir().unwrap();
    let practice = Practice::new(folder.path().join("practice"));
    for code in ["", "../marks", "a/b", "é", ".", &"a".repeat(41)] {
        assert!(practice.keep(code, "{}").is_err(), "{code:?}");
        assert_eq!(practice.drawing(code), None);
    }
}

#[test]
fn damaged_marks_start_anew() {
    let folder = tempfile::tempdir().unwrap();
    let practice = Practice::new(folder.path().to_owned());
    fs::write(folder.path().join("marks.json"), "[{\"code\"").unwrap();
    assert_eq!(practice.done(), []);
    practice.mark(marked("3A-0007-00X", 80.0)).unwrap();
    assert_eq!(practice.done().len(), 1);
}

#[test]
fn tabs_at_once_lose_no_marks() {
    let folder = tempfile::tempdir().unwrap();
    let practice = Practice::new(folder.path().to_owned());
    thread::scope(|scope| {
        for at in 0..8 {
            let practice = &practice;
            scope.spawn(move || practice.mark(marked("3A-0007-00X", f64::from(at))).unwrap());
        }
    });
    let mut got: Vec<f64> = practice.done().iter().map(|one| one.got).collect();
    got.sort_by(f64::total_cmp);
    assert_eq!(got, [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0]);
}
