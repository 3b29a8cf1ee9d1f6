//! Blocks of lettering and small drawings of a known height, to be set one below the other in a column.

use std::rc::Rc;

use kurbo::{Affine, Point, Vec2};
use wyeline_draw::ink::{Colour, Lettering, Pattern, Pen, Weight};
use wyeline_draw::lettering::width;

use crate::page::{Group, Item};

/// Height of capitals in notes, mm: 3/32 in is the drafting custom, 2.5 mm the step of ISO 3098 next above it.
pub const NOTE: f64 = 2.5;
/// Height of capitals in headings over notes, mm: the step of the lettering between notes and titles.
const HEADING: f64 = 3.0;
/// Height of capitals in captions, mm: 2 mm is the least a site handbook allows.
pub const CAPTION: f64 = 2.0;
/// Base line to base line over the height of capitals (ISO 3098: 1.4 or more for letters with marks above and below; from memory).
pub const LEADING: f64 = 1.6;

/// Lines of a paragraph that stay together; our choice.
const CHUNK: usize = 16;

/// A thin black line, mm.
pub const THIN: Pen = Pen {
    width: 0.18,
    pattern: Pattern::Solid,
    colour: Colour::BLACK,
};
/// A medium black line, mm.
pub const MEDIUM: Pen = Pen {
    width: 0.35,
    pattern: Pattern::Solid,
    colour: Colour::BLACK,
};
/// The frame's line, mm (ISO 5457: 0.7; from memory).
pub const WIDE: Pen = Pen {
    width: 0.7,
    pattern: Pattern::Solid,
    colour: Colour::BLACK,
};

/// A piece of a column: everything on it lies between 0 and its height, mm.
#[derive(Clone, Debug)]
pub(crate) struct Block {
    /// How much of the column it takes up, mm.
    pub height: f64,
    /// It must not be the last in a column (a heading).
    pub keep_with_next: bool,
    /// What stands on it, from its upper left corner; shared until it is set, for it is laid out more often than that.
    pub group: Rc<Group>,
}

impl Block {
    /// Its group moved to where it stands on the page.
    pub fn at(self, corner: Point) -> Item {
        let mut group = Rc::unwrap_or_clone(self.group);
        shift(&mut group, corner.to_vec2());
        Item::Group(group)
    }
}

/// Moves everything in a group by `by`, mm.
pub fn shift(group: &mut Group, by: Vec2) {
    for item in &mut group.items {
        match item {
            Item::Stroke(mark) => mark.stroke.path.apply_affine(Affine::translate(by)),
            Item::Text(text) => text.lettering.at += by,
            Item::Group(inner) => shift(inner, by),
        }
    }
}

/// Breaks words into lines no wider than `room` mm; a word wider than that is broken inside.
pub fn wrapped(text: &str, room: f64, height: f64, weight: Weight) -> Vec<String> {
    wrapped_after(text, 0.0, room, height, weight)
}

/// The same, with the first `indent` mm of the first line taken.
fn wrapped_after(text: &str, indent: f64, room: f64, height: f64, weight: Weight) -> Vec<String> {
    let space = width(" ", height, weight);
    let (mut lines, mut line, mut used) = (Vec::new(), String::new(), indent);
    for word in text.split_whitespace() {
        let mut word = word;
        let mut wide = width(word, height, weight);
        let gap = if line.is_empty() { 0.0 } else { space };
        if used + gap + wide <= room {
            if gap > 0.0 {
                line.push(' ');
            }
            line.push_str(word);
            used += gap + wide;
            continue;
        }
        if !line.is_empty() || indent > 0.0 && lines.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        while wide > room {
            let cut = fitting(word, room, height, weight);
            lines.push(word[..cut].to_owned());
            word = &word[cut..];
            wide = width(word, height, weight);
        }
        line.push_str(word);
        used = wide;
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// How many bytes of `word` fit into `room`; at least one character.
fn fitting(word: &str, room: f64, height: f64, weight: Weight) -> usize {
    let mut used = 0.0;
    let mut buffer = [0; 4];
    for (at, c) in word.char_indices() {
        used += width(c.encode_utf8(&mut buffer), height, weight);
        if used > room && at > 0 {
            return at;
        }
    }
    word.len()
}

/// A heading over what follows, in a column `room` mm wide.
pub(crate) fn heading(words: &str, room: f64) -> Block {
    let mut group = Group::new("heading");
    let (mut y, pitch) = (5.0, HEADING * LEADING);
    for line in wrapped(words, room, HEADING, Weight::SemiBold) {
        group.text(
            "",
            Lettering::new(&line, Point::new(0.0, y), HEADING, Weight::SemiBold),
        );
        y += pitch;
    }
    Block {
        height: y - pitch + 2.0,
        keep_with_next: true,
        group: group.into(),
    }
}

/// A paragraph in a column `room` mm wide, its first words (`lead`) semi-bold; a long one in several blocks.
pub(crate) fn paragraph(class: &'static str, lead: &str, words: &str, room: f64) -> Vec<Block> {
    let pitch = NOTE * LEADING;
    let mut leads = wrapped(lead, room * 0.6, NOTE, Weight::SemiBold);
    let indent = match leads.last() {
        Some(last) => width(last, NOTE, Weight::SemiBold) + width(" ", NOTE, Weight::Regular),
        None => 0.0,
    };
    let last_lead = leads.pop();
    // Each line: words in semi-bold, words in regular after the first so many mm.
    let mut lines: Vec<(String, f64, String)> = leads
        .into_iter()
        .map(|lead| (lead, 0.0, String::new()))
        .collect();
    let mut regular = wrapped_after(words, indent, room, NOTE, Weight::Regular).into_iter();
    lines.push((
        last_lead.unwrap_or_default(),
        indent,
        regular.next().unwrap_or_default(),
    ));
    lines.extend(regular.map(|line| (String::new(), 0.0, line)));
    let chunks = lines.chunks(CHUNK);
    let count = chunks.len();
    chunks
        .enumerate()
        .map(|(k, chunk)| {
            let mut group = Group::new(class);
            for (i, (lead, indent, line)) in chunk.iter().enumerate() {
                let y = pitch * (i as f64 + 0.8);
                if !lead.is_empty() {
                    group.text(
                        "",
                        Lettering::new(lead, Point::new(0.0, y), NOTE, Weight::SemiBold),
                    );
                }
                if !line.is_empty() {
                    group.text(
                        "",
                        Lettering::new(line, Point::new(*indent, y), NOTE, Weight::Regular),
                    );
                }
            }
            let gap = if k + 1 == count { 1.2 } else { 0.0 };
            Block {
                height: pitch * chunk.len() as f64 + gap,
                keep_with_next: false,
                group: group.into(),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_wrapped_line_is_wider_than_its_room() {
        let text = "Verify existing conditions on site, Donaudampfschifffahrtsgesellschaftskapitän included";
        for line in wrapped(text, 30.0, NOTE, Weight::Regular) {
            assert!(width(&line, NOTE, Weight::Regular) <= 30.0 + 1e-9, "{line}");
        }
    }

    #[test]
    fn wrapping_loses_no_letter() {
        let text = "one two threefourfivesixseveneightnineteneleventwelve 13";
        let lines = wrapped(text, 12.0, NOTE, Weight::Regular);
        let letters = |s: &str| s.chars().filter(|c| !c.is_whitespace()).collect::<String>();
        assert_eq!(letters(&lines.concat()), letters(text));
    }

    #[test]
    fn wrapping_ends_even_where_nothing_fits() {
        assert_eq!(wrapped("ab", 0.0, NOTE, Weight::Regular), ["a", "b"]);
    }

    proptest::proptest! {
        #[test]
        fn any_words_can_be_set_in_any_column(text in ".{0,80}", lead in ".{0,20}", room in 0.0_f64..80.0) {
            let blocks = paragraph("note", &lead, &text, room);
            proptest::prop_assert!(!blocks.is_empty() && blocks.iter().all(|b| b.height.is_finite()));
        }
    }
}
