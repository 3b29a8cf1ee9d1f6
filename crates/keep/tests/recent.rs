//! The list of jobs lately opened.

use std::fs;
use std::path::PathBuf;
use std::thread;

use wyeline_keep::recent::{self, Opened};

fn opened(name: &str, time: u64) -> Opened {
    Opened {
        path: PathBuf::from(name),
        time,
        title: format!("Job {name}"),
    }
}

fn names(jobs: &[Opened]) -> Vec<&str> {
    jobs.iter().map(|job| job.path.to_str().unwrap()).collect()
}

#[test]
fn the_last_one_stands_first_and_each_once() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("not/there/yet.json");
    assert_eq!(recent::list(&file), []);
    for (name, time) in [("a", 1), ("b", 2), ("a", 3)] {
        recent::note(&file, opened(name, time)).unwrap();
    }
    assert_eq!(recent::list(&file), [opened("a", 3), opened("b", 2)]);
}

#[test]
fn thirty_are_remembered() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("recent.json");
    for time in 0..32 {
        recent::note(&file, opened(&time.to_string(), time)).unwrap();
    }
    let jobs = recent::list(&file);
    let expected: Vec<String> = (2..32).rev().map(|time: u32| time.to_string()).collect();
    assert_eq!(names(&jobs), expected);
}

#[test]
fn a_damaged_list_starts_empty() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("recent.json");
    recent::note(&file, opened("a", 1)).unwrap();
    let whole = fs::read(&file).unwrap();
    for end in 0..whole.len() {
        fs::write(&file, &whole[..end]).unwrap();
        assert_eq!(recent::list(&file), []);
    }
    recent::note(&file, opened("b", 2)).unwrap();
    assert_eq!(recent::list(&file), [opened("b", 2)]);
}

#[test]
fn programs_at_once_lose_no_entry() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("recent.json");
    thread::scope(|scope| {
        for time in 0..24 {
            let file = &file;
            scope.spawn(move || recent::note(file, opened(&time.to_string(), time)).unwrap());
        }
    });
    let expected: Vec<String> = (0..24).rev().map(|time: u32| time.to_string()).collect();
    assert_eq!(names(&recent::list(&file)), expected);
}
