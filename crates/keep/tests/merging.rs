//! Merging as a save does it, against texts of which it is plain what both together must be.

use proptest::prelude::*;
use wyeline_keep::{Keep, Trouble};

/// Saves two texts made from the same one, one after the other; the text that comes of it, or a conflict.
fn both(base: &str, first: &str, second: &str) -> Result<String, Trouble> {
    let folder = tempfile::tempdir().unwrap();
    let mut keep = Keep::create(&folder.path().join("job.wye"), base, 0).unwrap();
    keep.save(1, first, "first", 0)?;
    keep.save(1, second, "second", 0)?;
    Ok(keep.text().to_owned())
}

#[test]
fn the_same_change_twice_is_one() {
    assert_eq!(
        both("a\nb\nc\n", "a\nx\nc\n", "a\nx\nc\n").unwrap(),
        "a\nx\nc\n"
    );
}

#[test]
fn a_line_changed_here_and_removed_there_is_asked_about() {
    assert!(matches!(
        both("a\nb\nc\n", "a\nx\nc\n", "a\nc\n"),
        Err(Trouble::Conflict { .. })
    ));
}

#[test]
fn two_lines_put_at_the_same_place_are_asked_about() {
    assert!(matches!(
        both("a\nc\n", "a\nx\nc\n", "a\ny\nc\n"),
        Err(Trouble::Conflict { .. })
    ));
}

#[test]
fn line_ends_stay_as_they_are() {
    let merged = both("a\r\nb\r\nc\r\nd", "x\r\nb\r\nc\r\nd", "a\r\nb\r\nc\r\ny").unwrap();
    assert_eq!(merged, "x\r\nb\r\nc\r\ny");
}

/// A block of lines replaced, removed or put in.
type Edit = (bool, Vec<u8>);

fn edited(lines: usize, edits: &[(usize, &Edit)]) -> String {
    let mut text = Vec::new();
    for line in 0..lines {
        let edit = edits.iter().find(|(at, _)| *at == line);
        if edit.is_none_or(|(_, (keeps, _))| *keeps) {
            text.push(format!("line {line}\n"));
        }
        text.extend(
            edit.iter()
                .flat_map(|(_, (_, put))| put)
                .map(|n| format!("put {n}\n")),
        );
    }
    text.concat()
}

fn edit() -> impl Strategy<Value = Edit> {
    (any::<bool>(), prop::collection::vec(0..4_u8, 0..3))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// Lines 3 and 6 of ten that are all different, with two untouched lines between: what both did is done.
    #[test]
    fn changes_apart_are_both_done(one in edit(), two in edit()) {
        let merged = both(&edited(10, &[]), &edited(10, &[(3, &one)]), &edited(10, &[(6, &two)]));
        prop_assert_eq!(merged.unwrap(), edited(10, &[(3, &one), (6, &two)]));
    }

    /// Whatever the texts, with lines that repeat: no panic, and what only one side changed is that side's text.
    #[test]
    fn any_texts(base in "([ab]?\n){0,6}[ab]?", one in "([abc]?\n){0,6}[ab]?", two in "([abc]?\n){0,6}[ab]?") {
        if let Ok(merged) = both(&base, &one, &two) {
            if one == base {
                prop_assert_eq!(&merged, &two);
            }
            if two == base {
                prop_assert_eq!(&merged, &one);
            }
        }
    }
}
