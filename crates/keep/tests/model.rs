//! Any order of changes, undo, redo, restarts and looks against the plainest model there is: a list of texts and a place in it.

use proptest::prelude::*;
use wyeline_keep::{Done, Keep};

#[derive(Clone, Debug)]
enum Act {
    /// The bytes from a place on, as parts of the text's length in 256ths, replaced.
    Edit(u8, u8, String),
    Undo,
    Redo,
    Restart,
    /// The other of two keeps takes over.
    Other,
}

fn act() -> impl Strategy<Value = Act> {
    prop_oneof![
        4 => (any::<u8>(), any::<u8>(), "[a-cé½\n]{0,6}").prop_map(|(from, to, put)| Act::Edit(from, to, put)),
        3 => Just(Act::Undo),
        2 => Just(Act::Redo),
        1 => Just(Act::Restart),
        1 => Just(Act::Other),
    ]
}

fn edited(text: &str, from: u8, to: u8, put: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let at = |part: u8| letters.len() * usize::from(part) / 256;
    let (start, end) = (at(from.min(to)), at(from.max(to)));
    letters[..start]
        .iter()
        .copied()
        .chain(put.chars())
        .chain(letters[end..].iter().copied())
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn undo_and_redo_walk_a_list(first in "[a-c\n]{0,9}", acts in prop::collection::vec(act(), 1..90)) {
        // In memory where there is such a thing: nothing here hangs on the disk, which is slow.
        let folder = tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir()).unwrap();
        let path = folder.path().join("job.wye");
        let mut keep = Keep::create(&path, &first, 0).unwrap();
        let mut other = Keep::open(&path, 0).unwrap();
        let (mut texts, mut place) = (vec![first.clone()], 0);
        let mut all = vec![(keep.version(), first)];
        for (now, act) in (1..).zip(acts) {
            let version = keep.version();
            match act {
                Act::Edit(from, to, put) => {
                    let new = edited(keep.text(), from, to, &put);
                    let saved = keep.save(version, &new, "edit", now).unwrap();
                    if new == texts[place] {
                        prop_assert_eq!(saved.done, Done::Same);
                    } else {
                        prop_assert_eq!(saved.done, Done::Saved);
                        texts.truncate(place + 1);
                        texts.push(new);
                        place += 1;
                    }
                }
                Act::Undo => {
                    let undone = keep.undo(version, now).unwrap();
                    prop_assert_eq!(undone.is_some(), place > 0);
                    place = place.saturating_sub(1);
                }
                Act::Redo => {
                    let redone = keep.redo(version, now).unwrap();
                    prop_assert_eq!(redone.is_some(), place + 1 < texts.len());
                    place = (place + 1).min(texts.len() - 1);
                }
                Act::Restart => keep = Keep::open(&path, now).unwrap(),
                Act::Other => {
                    std::mem::swap(&mut keep, &mut other);
                    keep.look(now).unwrap();
                }
            }
            prop_assert_eq!(keep.text(), &texts[place]);
            prop_assert_eq!(&std::fs::read_to_string(&path).unwrap(), &texts[place]);
            prop_assert_eq!((keep.can_undo(), keep.can_redo()), (place > 0, place + 1 < texts.len()));
            if keep.version() != all[all.len() - 1].0 {
                prop_assert!(keep.version() > all[all.len() - 1].0);
                all.push((keep.version(), texts[place].clone()));
            }
        }
        // Nothing that ever was is forgotten.
        let keep = Keep::open(&path, 0).unwrap();
        for (version, text) in &all {
            prop_assert_eq!(keep.at(*version), Some(text.clone()));
        }
        let versions: Vec<u64> = keep.history().map(|past| past.version).collect();
        prop_assert_eq!(versions, all.iter().map(|(version, _)| *version).collect::<Vec<_>>());
    }
}
