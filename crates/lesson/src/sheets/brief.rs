//! The brief and the table of heights of a plan sheet: below the plan on an upright page, beside it on one that lies.

use kurbo::{Point, Rect};
use wyeline_draw::ink::{Lettering, Weight};
use wyeline_sheet::{Group, LEADING, NOTE, THIN, line, wrapped};

use crate::exercise::Exercise;

use super::given;
use super::heights::Row;
use super::page::{PAD, Page};

/// Width of the marks in the table of heights, mm.
const MARKS: f64 = 12.0;
/// Base line to base line in the table, mm: closer than notes, for a table is read across.
pub(super) const ROW: f64 = NOTE * 1.5;
/// Between the table's columns, mm.
const GUTTER: f64 = 6.0;
/// Width of the words beside a plan on a page that lies, mm: about as one of two columns on an upright one.
const ASIDE: f64 = 92.0;
/// Height of the heading over the table with the room round it, mm.
const HEADING: f64 = 3.0 * LEADING + 1.5;

/// Sets brief and table; and says what is left of the area for the plan.
pub(super) fn set(exercise: &Exercise, rows: &[Row], page: &Page) -> (Group, Rect) {
    let area = page.area;
    let lies = area.width() > area.height();
    let (columns, wide) = if lies {
        (1, ASIDE)
    } else {
        (2, area.width() - 2.0 * PAD)
    };
    let column = (wide - GUTTER * f64::from(columns - 1)) / f64::from(columns);
    let lines: Vec<String> = given::brief(exercise, page.metric)
        .iter()
        .flat_map(|words| wrapped(words, wide, NOTE, Weight::Regular))
        .collect();
    let rows: Vec<(&Row, Vec<String>)> = rows
        .iter()
        .map(|row| (row, wrapped_whole(&row.words, column - MARKS)))
        .collect();
    let (cut, tallest) = if lies {
        (rows.len(), count(&rows))
    } else {
        halved(&rows)
    };
    let tall = PAD + lines.len() as f64 * NOTE * LEADING + HEADING + tallest as f64 * ROW + PAD;
    let mut group = Group::new("brief");
    let (x, mut y, room) = if lies {
        let left = area.x1 - ASIDE - 2.0 * PAD;
        group.stroke("", line((left, area.y0), (left, area.y1)), THIN);
        (left + PAD, area.y0 + PAD + NOTE, Rect { x1: left, ..area })
    } else {
        let top = area.y1 - tall;
        group.stroke("", line((area.x0, top), (area.x1, top)), THIN);
        (area.x0 + PAD, top + PAD + NOTE, Rect { y1: top, ..area })
    };
    for words in &lines {
        group.text(
            "note",
            Lettering::new(words, Point::new(x, y), NOTE, Weight::Regular),
        );
        y += NOTE * LEADING;
    }
    y += 1.5;
    let heading = "Heights of pipe centres, falls left out";
    group.text(
        "heading",
        Lettering::new(heading, Point::new(x, y), 3.0, Weight::SemiBold),
    );
    y += 3.0 * LEADING;
    for (rows, x) in [(&rows[..cut], x), (&rows[cut..], x + column + GUTTER)] {
        let mut y = y;
        for (row, lines) in rows {
            group.text(
                "mark",
                Lettering::new(&row.mark, Point::new(x, y), NOTE, Weight::SemiBold),
            );
            for words in lines {
                group.text(
                    "height",
                    Lettering::new(words, Point::new(x + MARKS, y), NOTE, Weight::Regular),
                );
                y += ROW;
            }
        }
    }
    (group, room)
}

/// How many lines rows have.
fn count(rows: &[(&Row, Vec<String>)]) -> usize {
    rows.iter().map(|(_, lines)| lines.len()).sum()
}

/// How many rows stand in the left one of two columns, so that it holds half of the lines or just more; and the lines of the taller column.
fn halved(rows: &[(&Row, Vec<String>)]) -> (usize, usize) {
    let all = count(rows);
    let cut = (0..=rows.len())
        .find(|cut| count(&rows[..*cut]) * 2 >= all)
        .unwrap_or(rows.len());
    let left = count(&rows[..cut]);
    (cut, left.max(all - left))
}

/// Words broken into lines, but never between the inches of a length and their fraction.
fn wrapped_whole(words: &str, room: f64) -> Vec<String> {
    // The joint stands for the blank while the lines are broken; it is as wide as a letter, so that no line comes out too long.
    const JOINT: char = '~';
    let letters: Vec<char> = words.chars().collect();
    let joined = letters.iter().enumerate().map(|(i, c)| {
        let before = i
            .checked_sub(1)
            .and_then(|i| letters.get(i))
            .is_some_and(char::is_ascii_digit);
        let after = letters.get(i + 1).is_some_and(char::is_ascii_digit);
        let fraction = letters[i + 1..]
            .iter()
            .take_while(|c| **c != ' ')
            .any(|c| *c == '/');
        if *c == ' ' && before && after && fraction {
            JOINT
        } else {
            *c
        }
    });
    let joined: String = joined.collect();
    wrapped(&joined, room, NOTE, Weight::Regular)
        .into_iter()
        .map(|line| line.replace(JOINT, " "))
        .collect()
}
