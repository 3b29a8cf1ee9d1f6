//! Several hands on one job: two keeps, and programs that know nothing of us.

use std::fs;
use std::path::{Path, PathBuf};
use std::thread;

use tempfile::TempDir;
use wyeline_keep::{Done, Keep, Saved, Trouble};

const NOW: u64 = 1_000;
/// Later than any file here can have been written (the year 2128): its time proves its content.
const LATER: u64 = 5_000_000_000;

const ROOM: &str = "room hall\n\nfixture wc\n\npipe waste\n";

fn job(text: &str) -> (TempDir, PathBuf, Keep) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.wye");
    let keep = Keep::create(&path, text, NOW).unwrap();
    (folder, path, keep)
}

fn what_is_last(keep: &Keep) -> String {
    keep.history().last().unwrap().what.to_owned()
}

/// Ours changes the first line, another program the last: both are in the result, and each in the history.
#[test]
fn a_change_by_another_program_is_merged() {
    let (_folder, path, mut keep) = job(ROOM);
    fs::write(&path, ROOM.replace("waste", "vent")).unwrap();
    let saved = keep
        .save(1, &ROOM.replace("hall", "bath"), "renamed", NOW)
        .unwrap();
    assert_eq!(
        saved,
        Saved {
            version: 3,
            done: Done::Merged
        }
    );
    let both = "room bath\n\nfixture wc\n\npipe vent\n";
    assert_eq!(
        (keep.text(), fs::read_to_string(&path).unwrap().as_str()),
        (both, both)
    );
    let past: Vec<_> = keep.history().map(|past| past.what).collect();
    assert_eq!(past, ["begun", "changed by another program", "renamed"]);
}

/// Both change the first line: the file stays as the other program wrote it, and the caller gets all three texts. What
/// settles it is saved on the version told.
#[test]
fn a_conflict_writes_nothing_and_tells_all() {
    let (_folder, path, mut keep) = job(ROOM);
    let (mine, other) = (
        ROOM.replace("hall", "bath"),
        ROOM.replace("hall", "kitchen"),
    );
    fs::write(&path, &other).unwrap();
    match keep.save(1, &mine, "renamed", NOW) {
        Err(Trouble::Conflict {
            base,
            ours,
            theirs,
            version: 2,
        }) => {
            assert_eq!(
                (base.as_str(), ours, theirs),
                (ROOM, mine.clone(), other.clone())
            );
        }
        unexpected => panic!("{unexpected:?}"),
    }
    assert_eq!(fs::read_to_string(&path).unwrap(), other);
    assert_eq!(
        keep.save(2, &mine, "chosen", NOW).unwrap(),
        Saved {
            version: 3,
            done: Done::Saved
        }
    );
    assert_eq!(fs::read_to_string(&path).unwrap(), mine);
    assert_eq!(keep.at(2), Some(other));
}

#[test]
fn look_takes_in_what_another_program_wrote() {
    let (_folder, path, mut keep) = job("one\n");
    assert_eq!(keep.look(LATER).unwrap(), None);
    // The same length, so that only time and number can tell.
    fs::write(&path, "two\n").unwrap();
    assert_eq!(
        keep.look(LATER).unwrap(),
        Some(Saved {
            version: 2,
            done: Done::TakenIn
        })
    );
    assert_eq!(
        (keep.text(), what_is_last(&keep).as_str()),
        ("two\n", "changed by another program")
    );
    assert_eq!(keep.look(LATER).unwrap(), None);
}

/// A file changed back to its old size and time is seen as long as its clock may not have ticked since it was read.
#[test]
fn a_change_within_a_tick_of_the_clock_is_seen() {
    let (_folder, path, mut keep) = job("one\n");
    let time = fs::metadata(&path).unwrap().modified().unwrap();
    let now = time
        .duration_since(std::time::UNIX_EPOCH)
        .unwrap()
        .as_secs();
    assert_eq!(keep.look(now).unwrap(), None);
    fs::write(&path, "two\n").unwrap();
    fs::File::options()
        .write(true)
        .open(&path)
        .unwrap()
        .set_modified(time)
        .unwrap();
    assert!(keep.look(now).unwrap().is_some());
    assert_eq!(keep.text(), "two\n");
}

#[test]
fn what_was_changed_while_away_is_an_entry_of_its_own() {
    let (_folder, path, keep) = job("one\n");
    drop(keep);
    fs::write(&path, "two\n").unwrap();
    let mut keep = Keep::open(&path, NOW).unwrap();
    assert_eq!((keep.version(), keep.text()), (2, "two\n"));
    keep.undo(2, NOW).unwrap();
    assert_eq!(fs::read_to_string(&path).unwrap(), "one\n");
}

/// Bytes that another program wrote and that are no text are left where they are, and what was typed stays typed.
#[test]
fn no_text_from_another_program_is_left_alone() {
    let (_folder, path, mut keep) = job("one\n");
    fs::write(&path, b"\xc3(").unwrap();
    assert!(matches!(keep.look(NOW), Err(Trouble::NotText(_))));
    assert!(matches!(
        keep.save(1, "two\n", "typed", NOW),
        Err(Trouble::NotText(_))
    ));
    assert_eq!(fs::read(&path).unwrap(), b"\xc3(");
    assert_eq!(keep.text(), "one\n");
}

/// Undo never takes away what its user has not seen.
#[test]
fn undo_stops_at_what_came_in_between() {
    let (_folder, path, mut keep) = job("one\n");
    keep.save(1, "two\n", "typed", NOW).unwrap();
    fs::write(&path, "other\n").unwrap();
    assert!(matches!(
        keep.undo(2, NOW),
        Err(Trouble::Behind { version: 3 })
    ));
    assert_eq!(
        (keep.text(), fs::read_to_string(&path).unwrap().as_str()),
        ("other\n", "other\n")
    );
}

/// Two keeps save from the same version, one after the other: the second is merged, the first takes it in by a look.
#[test]
fn two_keeps_stay_in_step() {
    let (_folder, path, mut one) = job(ROOM);
    let mut two = Keep::open(&path, NOW).unwrap();
    one.save(1, &ROOM.replace("hall", "bath"), "one", NOW)
        .unwrap();
    let saved = two
        .save(1, &ROOM.replace("waste", "vent"), "two", NOW)
        .unwrap();
    assert_eq!(
        saved,
        Saved {
            version: 3,
            done: Done::Merged
        }
    );
    assert_eq!(
        one.look(LATER).unwrap(),
        Some(Saved {
            version: 3,
            done: Done::TakenIn
        })
    );
    assert_eq!(one.text(), "room bath\n\nfixture wc\n\npipe vent\n");
    assert_eq!(one.text(), two.text());
    // Undo of one takes back the last change, whoever made it, once it has been seen.
    one.undo(3, NOW).unwrap();
    assert!(two.look(LATER).unwrap().is_some());
    assert_eq!(two.text(), ROOM.replace("hall", "bath"));
}

/// Four writers at once, each counting up a line of its own: the lines lie apart, so nothing may be lost or doubled.
#[test]
fn writers_at_once_lose_nothing() {
    const WRITERS: usize = 4;
    const SAVES: usize = 15;
    let line = |writer: usize, n: usize| format!("writer {writer} at {n}\n");
    let first: String = (0..WRITERS)
        .map(|writer| line(writer, 0) + "\n\n")
        .collect();
    let (_folder, path, keep) = job(&first);
    thread::scope(|scope| {
        for writer in 0..WRITERS {
            let path: &Path = &path;
            scope.spawn(move || {
                let mut keep = Keep::open(path, NOW).unwrap();
                for n in 0..SAVES {
                    let new = keep.text().replace(&line(writer, n), &line(writer, n + 1));
                    keep.save(keep.version(), &new, "counted", NOW).unwrap();
                }
            });
        }
    });
    drop(keep);
    let keep = Keep::open(&path, NOW).unwrap();
    let last: String = (0..WRITERS)
        .map(|writer| line(writer, SAVES) + "\n\n")
        .collect();
    assert_eq!(keep.text(), last);
    assert_eq!(keep.version(), 1 + (WRITERS * SAVES) as u64);
    assert!(keep.damaged().is_empty());
}
