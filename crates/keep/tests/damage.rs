//! Histories torn, damaged, removed, and saves cut short at each of their steps, as a power cut leaves them.

use std::fs;
use std::path::{Path, PathBuf};

use tempfile::TempDir;
use wyeline_keep::{Done, Keep};

const NOW: u64 = 1_000;

/// A job in memory where there is such a thing: nothing here hangs on the disk, which is slow.
fn job(text: &str) -> (TempDir, PathBuf, Keep) {
    let folder = tempfile::tempdir_in("/dev/shm")
        .or_else(|_| tempfile::tempdir())
        .unwrap();
    let path = folder.path().join("job.wye");
    let keep = Keep::create(&path, text, NOW).unwrap();
    (folder, path, keep)
}

fn save(keep: &mut Keep, text: &str) {
    keep.save(keep.version(), text, "typed", NOW).unwrap();
}

fn history_of(path: &Path) -> PathBuf {
    path.with_file_name(".wyeline").join("job.wye.history")
}

/// Where the last line of a history begins.
fn last_line(history: &[u8]) -> usize {
    history[..history.len() - 1]
        .iter()
        .rposition(|&byte| byte == b'\n')
        .map_or(0, |end| end + 1)
}

/// A line that is not there to its end is as if it had never been begun; the text, which is in the file, is an entry again.
#[test]
fn a_history_torn_at_any_byte_of_its_last_line() {
    let (_folder, path, mut keep) = job("one é\n");
    save(&mut keep, "two è\n");
    save(&mut keep, "three ½\n");
    drop(keep);
    let whole = fs::read(history_of(&path)).unwrap();
    for end in last_line(&whole)..whole.len() {
        fs::write(history_of(&path), &whole[..end]).unwrap();
        let mut keep = Keep::open(&path, NOW).unwrap();
        assert_eq!(keep.text(), "three ½\n");
        assert!(
            keep.version() >= 3 && keep.damaged().is_empty(),
            "torn at {end}"
        );
        assert_eq!(keep.at(2).as_deref(), Some("two è\n"));
        keep.undo(keep.version(), NOW).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "two è\n");
        // What was torn has gone, and what was written after it can be read.
        let again = Keep::open(&path, NOW).unwrap();
        assert_eq!(
            (again.version(), again.text()),
            (keep.version(), "two è\n"),
            "torn at {end}"
        );
        assert!(again.damaged().is_empty(), "torn at {end}");
        fs::write(&path, "three ½\n").unwrap();
    }
}

/// A power cut before the file was renamed: it is the old one still, by number and time, and the history holds some part of
/// the new line. Opened again, the job is the old one or the new one, whole; the new one only if its line was whole.
#[test]
fn a_save_cut_short_at_any_byte_of_its_line() {
    let (_folder, path, mut keep) = job("one\n");
    let old = path.with_extension("old");
    fs::hard_link(&path, &old).unwrap();
    save(&mut keep, "two\n");
    drop(keep);
    let whole = fs::read(history_of(&path)).unwrap();
    for end in last_line(&whole)..=whole.len() {
        fs::remove_file(&path).unwrap();
        fs::hard_link(&old, &path).unwrap();
        fs::write(history_of(&path), &whole[..end]).unwrap();
        fs::write(path.with_file_name(".job.wye.saving"), "tw").unwrap();
        let keep = Keep::open(&path, NOW).unwrap();
        let expected = if end == whole.len() {
            (2, "two\n")
        } else {
            (1, "one\n")
        };
        assert_eq!((keep.version(), keep.text()), expected, "cut at {end}");
        assert_eq!(fs::read_to_string(&path).unwrap(), expected.1);
        assert!(!path.with_file_name(".job.wye.saving").exists());
    }
}

/// The old text put back by another program is no save cut short: the file has another number or time.
#[test]
fn an_old_text_put_back_is_a_change() {
    let (_folder, path, mut keep) = job("one\n");
    save(&mut keep, "two\n");
    fs::write(&path, "one\n").unwrap();
    assert_eq!(
        keep.look(NOW).unwrap().map(|saved| saved.done),
        Some(Done::TakenIn)
    );
    assert_eq!((keep.version(), keep.text()), (3, "one\n"));
}

/// What a save cut short was about to write is brought to its end by another keep that is open, too.
#[test]
fn a_look_ends_the_save_of_a_program_that_died() {
    let (_folder, path, mut one) = job("one\n");
    let old = path.with_extension("old");
    fs::hard_link(&path, &old).unwrap();
    let mut two = Keep::open(&path, NOW).unwrap();
    save(&mut two, "two\n");
    drop(two);
    fs::rename(&old, &path).unwrap();
    assert!(one.look(NOW).unwrap().is_some());
    assert_eq!((one.version(), one.text()), (2, "two\n"));
    assert_eq!(fs::read_to_string(&path).unwrap(), "two\n");
}

/// Entries are full texts each fiftieth time (versions 1, 51, 101) and only what changed in between. Line 10 damaged takes
/// the versions 10 to 50 along, and nothing else; undo steps over the gap.
#[test]
fn damage_in_the_middle_takes_no_more_than_it_must() {
    // Long enough that what changed is the shorter way to write it.
    let text = |n: u64| format!("a job with a long enough name\n{n:03}\n");
    let (_folder, path, mut keep) = job(&text(1));
    (2..=120).for_each(|n| save(&mut keep, &text(n)));
    drop(keep);
    let mut history = fs::read(history_of(&path)).unwrap();
    let tenth = history
        .split_inclusive(|&byte| byte == b'\n')
        .take(9)
        .map(<[u8]>::len)
        .sum::<usize>();
    history[tenth + 40] ^= 1;
    fs::write(history_of(&path), &history).unwrap();

    let mut keep = Keep::open(&path, NOW).unwrap();
    assert_eq!(keep.damaged(), [10]);
    assert_eq!((keep.version(), keep.text()), (120, text(120).as_str()));
    for n in 1..=120 {
        let known = (!(10..=50).contains(&n)).then(|| text(n));
        assert_eq!(keep.at(n), known, "version {n}");
    }
    for n in (51..120).rev().chain((1..10).rev()) {
        keep.undo(keep.version(), NOW).unwrap();
        assert_eq!(keep.text(), text(n));
    }
    assert!(!keep.can_undo());
}

/// With the last line damaged, the file still has the text; its version is not given again.
#[test]
fn a_damaged_last_line_gives_no_version_twice() {
    let (_folder, path, mut keep) = job("one\n");
    save(&mut keep, "two\n");
    drop(keep);
    let mut history = fs::read(history_of(&path)).unwrap();
    let end = history.len();
    history[end - 10] ^= 1;
    fs::write(history_of(&path), &history).unwrap();
    let keep = Keep::open(&path, NOW).unwrap();
    assert_eq!((keep.version(), keep.text()), (3, "two\n"));
    assert_eq!(keep.damaged(), [2]);
}

/// A change is only believed on the text it was made from: a line that says what changed of version 1 of one job, put behind
/// version 1 of another, makes no text.
#[test]
fn a_line_of_another_history_is_not_believed() {
    let (_folder, path, keep) = job("a job with a long enough name\none\n");
    let (_other_folder, other, mut other_keep) = job("b job with a long enough name\none\n");
    save(&mut other_keep, "b job with a long enough name\ntwo\n");
    drop((keep, other_keep));
    let foreign = fs::read(history_of(&other)).unwrap();
    let mixed = [
        fs::read(history_of(&path)).unwrap(),
        foreign[last_line(&foreign)..].to_vec(),
    ]
    .concat();
    fs::write(history_of(&path), mixed).unwrap();
    let keep = Keep::open(&path, NOW).unwrap();
    assert_eq!(keep.at(2), None);
    assert_eq!(
        (keep.version(), keep.text()),
        (3, "a job with a long enough name\none\n")
    );
}

/// Bytes of any kind instead of a history are damage, no more.
#[test]
fn any_bytes_instead_of_a_history() {
    let (_folder, path, keep) = job("one\n");
    drop(keep);
    for rubbish in [
        &b"\0\0\0\0"[..],
        b"\n\n\n",
        b"\xff\xfe\n{}\n",
        b"{\"sum\":\"",
        br#"{"sum":"00000000","entry":{}}"#,
    ] {
        fs::write(history_of(&path), rubbish).unwrap();
        let mut keep = Keep::open(&path, NOW).unwrap();
        assert_eq!(keep.text(), "one\n");
        save(&mut keep, "two\n");
        keep.undo(keep.version(), NOW).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "one\n");
    }
}

/// A history removed while the job is open is written again from memory, whole.
#[test]
fn a_history_removed_is_written_again() {
    let (_folder, path, mut keep) = job("one\n");
    save(&mut keep, "two\n");
    fs::remove_file(history_of(&path)).unwrap();
    save(&mut keep, "three\n");
    drop(keep);
    let keep = Keep::open(&path, NOW).unwrap();
    assert_eq!(
        [1, 2, 3].map(|version| keep.at(version).unwrap()),
        ["one\n", "two\n", "three\n"]
    );
}

/// An older history put in the place of the one in use: versions go on above those already given.
#[test]
fn a_history_put_back_gives_no_version_twice() {
    let (_folder, path, mut keep) = job("one\n");
    let older = fs::read(history_of(&path)).unwrap();
    save(&mut keep, "two\n");
    fs::write(history_of(&path), older).unwrap();
    keep.look(NOW).unwrap();
    assert_eq!((keep.version(), keep.text()), (3, "two\n"));
}
