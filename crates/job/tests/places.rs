//! Lines and columns of places in the text.

use wyeline_job::{Position, Span, line_index};

const fn at(line: u32, column: u32) -> Position {
    Position { line, column }
}

#[test]
fn lines_and_columns_count_from_one() {
    let index = line_index("ab\ncd\n");
    assert_eq!(index.position(0), at(1, 1));
    assert_eq!(index.position(2), at(1, 3)); // the line break itself
    assert_eq!(index.position(3), at(2, 1));
    assert_eq!(index.position(6), at(3, 1)); // one past the text
}

#[test]
fn columns_count_characters_not_bytes() {
    // ½ takes two bytes, ″ three.
    let index = line_index("5½″ x");
    assert_eq!(index.position(7), at(1, 5));
    assert_eq!(index.span(Span::new(1, 6)), (at(1, 2), at(1, 4)));
}

#[test]
fn a_line_is_found_by_its_number() {
    let index = line_index("one\r\ntwo");
    assert_eq!(
        (index.text(1), index.text(2), index.text(3), index.text(0)),
        ("one", "two", "", "")
    );
    assert_eq!(index.lines(), 2);
}

#[test]
fn places_beyond_the_text_are_its_end() {
    assert_eq!(line_index("ab").position(99), at(1, 3));
    assert_eq!(line_index("").position(0), at(1, 1));
}
