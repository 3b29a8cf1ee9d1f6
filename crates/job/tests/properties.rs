//! What holds for every text, job or not.

mod support;

use proptest::prelude::*;
use support::{TOWER, meaning};
use wyeline_job::{line_index, read, read_bytes, tidy};

/// The washroom the language was designed around.
const WASHROOM: &str = include_str!("washroom.wye");

/// A text, changed at a few places: bytes dropped, doubled, swapped with words of the language.
fn mutated() -> impl Strategy<Value = String> {
    let pieces = prop::sample::select(vec![
        "",
        " ",
        "\n",
        "\"",
        "'",
        "#",
        ",",
        "-",
        "+",
        "/",
        ".",
        "$",
        "\t",
        "\u{FEFF}",
        "½",
        "”",
        "\0",
        "\r",
        "here",
        "end",
        "group",
        "end-group",
        "start ",
        "waste w\n",
        "units mm\n",
        "5'3\"",
        "0,0",
        "note ",
        "slope",
        "place bath as X at 0,0 on ground\n",
        "place bath as X at 0,0 on here+1 mirrored east-west with stack $stack with main-vent $main-vent\n",
        "group outer\n",
        "amend \"T\" a 1 dfu by \"x\"\n",
        "supply pressure 55 psi static at main floor -6'\n",
        "method gas longest-length\n",
        " use public flush 1.28gpf draws 5 gpm continuously",
        " set 60 psi loses 5 psi",
        "insulated ",
        "material waste, vent abs\n",
        "measured pvc 3\" x 2\" reducer total 7/8\"\n",
        "stock pvc 3\" 10' coil 60'\n",
        "offcut pvc 3\" 4'7\" x2\n",
        "kerf 1/8\"\nspare 5 % for hot\n",
        "fitting long-sweep reducer\n",
        "99999999999999999999",
        "1/0",
        "up through roof",
    ]);
    let text = prop::sample::select(vec![TOWER, WASHROOM]);
    let changes = prop::collection::vec((any::<prop::sample::Index>(), 0..6_usize, pieces), 0..8);
    (text, changes).prop_map(|(text, changes)| {
        let mut letters: Vec<char> = text.chars().collect();
        for (at, dropped, piece) in changes {
            let at = at.index(letters.len() + 1);
            let end = (at + dropped).min(letters.len());
            letters.splice(at..end, piece.chars());
        }
        letters.into_iter().collect()
    })
}

#[test]
fn the_jobs_that_are_changed_here_begin_without_a_mistake() {
    for text in [TOWER, WASHROOM] {
        assert_eq!(read(text).diagnostics, []);
    }
}

fn places_lie_in_the_text(text: &str) -> Result<(), TestCaseError> {
    let index = line_index(text);
    for diagnostic in read(text).diagnostics {
        let notes = diagnostic.notes.iter().map(|(span, _)| *span);
        for span in notes.chain([diagnostic.span]) {
            let (start, end) = (span.start as usize, span.end as usize);
            prop_assert!(start <= end && end <= text.len(), "{diagnostic:?}");
            prop_assert!(
                text.is_char_boundary(start) && text.is_char_boundary(end),
                "{diagnostic:?}"
            );
            let (from, to) = index.span(span);
            prop_assert!(from <= to && to.line <= index.lines());
        }
        prop_assert!(!diagnostic.message.is_empty());
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn any_bytes_are_read_without_a_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        read_bytes(&bytes);
    }

    #[test]
    fn places_of_mistakes_lie_in_the_text(text in mutated()) {
        places_lie_in_the_text(&text)?;
    }

    #[test]
    fn tidying_changes_no_meaning(text in mutated()) {
        prop_assert_eq!(meaning(&tidy(&text)), meaning(&text));
    }

    #[test]
    fn tidying_twice_is_tidying_once(text in mutated()) {
        let once = tidy(&text);
        prop_assert_eq!(tidy(&once), once);
    }

    #[test]
    fn any_text_is_tidied_alike(text in "(\\PC|[\n \t\"'#,$0-9]){0,120}") {
        let once = tidy(&text);
        prop_assert_eq!(meaning(&once), meaning(&text));
        prop_assert_eq!(tidy(&once), once);
    }
}
