//! What a job's file, its history and the callers see: opening, saving, undoing, and a disk that will not.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use tempfile::TempDir;
use wyeline_keep::{Done, Keep, Saved, Step, Trouble};

const NOW: u64 = 1_000;

fn job(text: &str) -> (TempDir, PathBuf, Keep) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.wye");
    let keep = Keep::create(&path, text, NOW).unwrap();
    (folder, path, keep)
}

fn save(keep: &mut Keep, text: &str) -> Saved {
    keep.save(keep.version(), text, "typed", NOW).unwrap()
}

fn history_of(path: &Path) -> PathBuf {
    path.with_file_name(".wyeline").join("job.wye.history")
}

#[test]
fn a_job_is_begun_saved_and_opened_again() {
    let (_folder, path, mut keep) = job("one\n");
    assert_eq!((keep.version(), keep.text()), (1, "one\n"));
    assert_eq!(
        save(&mut keep, "two\n"),
        Saved {
            version: 2,
            done: Done::Saved
        }
    );
    assert_eq!(fs::read_to_string(&path).unwrap(), "two\n");
    let keep = Keep::open(&path, NOW).unwrap();
    assert_eq!((keep.version(), keep.text()), (2, "two\n"));
    let past: Vec<_> = keep
        .history()
        .map(|past| (past.version, past.time, past.what, past.step))
        .collect();
    assert_eq!(
        past,
        [
            (1, NOW, "begun", Step::Start),
            (2, NOW, "typed", Step::Change { from: 1 })
        ]
    );
}

#[test]
fn a_new_job_replaces_nothing() {
    let (_folder, path, _keep) = job("one\n");
    assert_eq!(
        Keep::create(&path, "two\n", NOW).err().unwrap().kind(),
        ErrorKind::AlreadyExists
    );
    assert_eq!(fs::read_to_string(&path).unwrap(), "one\n");
}

/// A job of the same name after the first was thrown away goes on counting, and undo does not lead into the old one.
#[test]
fn a_name_used_again_gives_no_version_twice() {
    let (_folder, path, mut keep) = job("one\n");
    save(&mut keep, "two\n");
    fs::remove_file(&path).unwrap();
    let keep = Keep::create(&path, "new\n", NOW).unwrap();
    assert_eq!(
        (keep.version(), keep.text(), keep.can_undo()),
        (3, "new\n", false)
    );
    assert_eq!(keep.at(2).as_deref(), Some("two\n"));
}

#[test]
fn a_file_from_elsewhere_begins_a_history() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.wye");
    fs::write(&path, "found\n").unwrap();
    let keep = Keep::open(&path, NOW).unwrap();
    assert_eq!(
        (keep.version(), keep.text(), keep.can_undo()),
        (1, "found\n", false)
    );
}

#[test]
fn saving_what_is_there_writes_nothing() {
    let (_folder, path, mut keep) = job("one\n");
    let before = fs::read(history_of(&path)).unwrap();
    assert_eq!(
        save(&mut keep, "one\n"),
        Saved {
            version: 1,
            done: Done::Same
        }
    );
    assert_eq!(fs::read(history_of(&path)).unwrap(), before);
}

/// `ok ` is bytes 1 to 3, `ff` is byte 4. Neither the file nor its folder is touched.
#[test]
fn bytes_that_are_no_text_are_refused_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.wye");
    fs::write(&path, b"ok \xff\n").unwrap();
    let error = Keep::open(&path, NOW).err().unwrap();
    assert_eq!(error.kind(), ErrorKind::InvalidData);
    assert!(error.to_string().starts_with("byte 4 of "), "{error}");
    assert_eq!(fs::read(&path).unwrap(), b"ok \xff\n");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn undo_leads_past_restarts_to_the_first_text() {
    let (_folder, path, mut keep) = job("0");
    // More than two full texts of the history apart.
    for n in 1..=120 {
        save(&mut keep, &n.to_string());
        if n % 40 == 0 {
            keep = Keep::open(&path, NOW).unwrap();
        }
    }
    for n in (0..120).rev() {
        assert_eq!(
            keep.undo(keep.version(), NOW)
                .unwrap()
                .map(|saved| saved.done),
            Some(Done::Undone)
        );
        assert_eq!(fs::read_to_string(&path).unwrap(), n.to_string());
        if n % 30 == 0 {
            keep = Keep::open(&path, NOW).unwrap();
        }
    }
    assert_eq!(keep.undo(keep.version(), NOW).unwrap(), None);
    for n in 1..=120 {
        assert!(keep.redo(keep.version(), NOW).unwrap().is_some());
        assert_eq!(keep.text(), n.to_string());
    }
    assert!(!keep.can_redo());
}

/// A change after undo ends the way forward, but what lay there is still in the history.
#[test]
fn a_change_after_undo_forgets_only_the_way() {
    let (_folder, path, mut keep) = job("one");
    save(&mut keep, "two");
    keep.undo(keep.version(), NOW).unwrap();
    save(&mut keep, "three");
    assert!(!keep.can_redo());
    let mut keep = Keep::open(&path, NOW).unwrap();
    assert_eq!(keep.at(2).as_deref(), Some("two"));
    keep.undo(keep.version(), NOW).unwrap();
    assert_eq!(keep.text(), "one");
}

#[cfg(unix)]
#[test]
fn permissions_are_kept() {
    use std::os::unix::fs::PermissionsExt;
    let (_folder, path, mut keep) = job("one");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    save(&mut keep, "two");
    assert_eq!(
        fs::metadata(&path).unwrap().permissions().mode() & 0o7777,
        0o640
    );
}

/// A job reached by a link is written where it lies, and has one history by whichever way it is opened.
#[cfg(unix)]
#[test]
fn a_link_stays_a_link() {
    let (folder, path, keep) = job("one");
    drop(keep);
    let elsewhere = folder.path().join("elsewhere");
    fs::create_dir(&elsewhere).unwrap();
    let link = elsewhere.join("link.wye");
    std::os::unix::fs::symlink("../job.wye", &link).unwrap();
    let mut keep = Keep::open(&link, NOW).unwrap();
    save(&mut keep, "two");
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(fs::read_to_string(&path).unwrap(), "two");
    assert_eq!(Keep::open(&path, NOW).unwrap().version(), 2);
    assert_eq!(fs::read_dir(&elsewhere).unwrap().count(), 1);
}

#[test]
fn a_file_marked_read_only_is_not_written() {
    let (_folder, path, mut keep) = job("one");
    let before = fs::read(history_of(&path)).unwrap();
    let mut permissions = fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).unwrap();
    let trouble = keep.save(1, "two", "typed", NOW).unwrap_err();
    assert!(
        trouble.to_string().ends_with("is marked as read-only"),
        "{trouble}"
    );
    assert_eq!(fs::read_to_string(&path).unwrap(), "one");
    assert_eq!(fs::read(history_of(&path)).unwrap(), before);
}

/// Whatever stops the writing of the file, history and file are as before, and the same call succeeds once it is gone. A
/// folder in the place of the file that is written first stops it for everybody, the administrator too.
#[test]
fn a_save_that_failed_can_be_tried_again() {
    let (folder, path, mut keep) = job("one");
    let before = fs::read(history_of(&path)).unwrap();
    let in_the_way = folder.path().join(".job.wye.saving");
    fs::create_dir(&in_the_way).unwrap();
    assert!(matches!(
        keep.save(1, "two", "typed", NOW),
        Err(Trouble::NotWritten(_))
    ));
    assert_eq!((keep.version(), keep.text()), (1, "one"));
    assert_eq!(fs::read_to_string(&path).unwrap(), "one");
    assert_eq!(fs::read(history_of(&path)).unwrap(), before);
    fs::remove_dir(&in_the_way).unwrap();
    assert_eq!(
        keep.save(1, "two", "typed", NOW).unwrap(),
        Saved {
            version: 2,
            done: Done::Saved
        }
    );
    assert_eq!(fs::read_to_string(&path).unwrap(), "two");
}

#[test]
fn a_file_removed_is_told_and_written_again_by_the_next_save() {
    let (_folder, path, mut keep) = job("one");
    fs::remove_file(&path).unwrap();
    assert!(matches!(keep.look(NOW), Err(Trouble::Gone)));
    save(&mut keep, "two");
    assert_eq!(fs::read_to_string(&path).unwrap(), "two");
}

#[test]
fn a_base_that_never_was_is_told() {
    let (_folder, _path, mut keep) = job("one");
    assert!(matches!(
        keep.save(99, "two", "typed", NOW),
        Err(Trouble::UnknownBase { base: 99 })
    ));
    assert_eq!(keep.text(), "one");
}
