//! The notes of a sheet: how to measure on it, what is drawn otherwise than it lies, and what nobody has verified.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use kurbo::Point;
use wyeline_draw::ink::Weight;
use wyeline_draw::lettering::width;
use wyeline_draw::picture::{Label, LabelClass};
use wyeline_draw::{Picture, View};
use wyeline_network::Network;
use wyeline_network::model::{DoubtKind, FixtureIx, Flagged, NodeIx, PipeIx};
use wyeline_units::Len;

use crate::block::{Block, NOTE, paragraph};
use crate::drawer::Shown;
use crate::page::{Datum, Group};
use crate::scales::scale_words;
use crate::section::Section;

/// So many doubtful heights, shifts and the like are printed on a sheet; the rest are counted. Our choice.
const MOST: usize = 12;
/// Space between numbered labels set side by side, mm; our choice.
const BETWEEN: f64 = 3.0;

/// Notes on reading the pictures of this sheet.
pub(crate) fn reading(network: &Network, pictures: &[Shown], room: f64) -> Section {
    let mut texts: Vec<String> = Vec::new();
    if let Some((scale, true_fall)) = pictures.iter().find_map(|(_, p)| match p.view {
        View::Iso { true_fall, .. } => Some((p.scale, true_fall)),
        View::Plan { .. } => None,
    }) {
        texts.push(format!(
            "Isometric drawing, scale {} along the axes only.",
            scale_words(scale)
        ));
        if !true_fall {
            texts.push(
                "Sloped runs are drawn level; the fall written beside them governs.".to_owned(),
            );
        }
    }
    texts.push(
        "Lengths are centre to centre. Heights are of pipe centres unless marked INV.".to_owned(),
    );
    if let Some(datum) = network.datum_mm {
        let called = Len::from_mm(datum).show(network.units, 16);
        texts.push(format!(
            "Height 0 is {called} on the benchmark named in the job."
        ));
    }
    let mut slopes = pictures
        .iter()
        .flat_map(|(network, p)| p.pipes.iter().filter_map(|m| network.pipe(m.pipe).slope));
    let assumed = slopes.find(|s| s.assumed);
    if let Some(slope) = assumed {
        let (fall, run) = slope.slope.terms();
        let words = if !network.units.is_metric()
            && run % fall.max(1) == 0
            && 48 % (run / fall.max(1)) == 0
        {
            // fall/run = 1/n is 12/n in per ft; n divides 48, so quarters of an inch are enough.
            let quarters = 48 / (run / fall.max(1));
            if quarters % 4 == 0 {
                format!("{} in per ft", quarters / 4)
            } else {
                format!("{quarters}/4 in per ft")
            }
        } else {
            format!("{fall}:{run}")
        };
        texts.push(format!("* slope assumed, {words}: nobody stated it."));
    }
    let mut drawn = pictures
        .iter()
        .flat_map(|(network, p)| p.pipes.iter().map(|m| network.pipe(m.pipe)));
    if let Some(by) = &network.sized_by
        && drawn.any(|pipe| pipe.worked_out)
    {
        texts.push(format!(
            "\u{2020} size worked out by {by}: nobody stated it."
        ));
    }
    texts.extend(shifts(pictures));
    let blocks = texts.iter().flat_map(|t| paragraph("note", "", t, room));
    Section::new("Notes", blocks.collect())
}

/// What was pulled apart, run by run.
fn shifts(pictures: &[Shown]) -> Option<String> {
    let mut pairs: BTreeMap<(&str, &str), f64> = BTreeMap::new();
    for (network, picture) in pictures {
        let run = |pipe: PipeIx| {
            network
                .runs
                .get(network.pipe(pipe).run.0 as usize)
                .map_or("", |r| r.name.as_str())
        };
        for note in &picture.shifts {
            let by = pairs.entry((run(note.pipe), run(note.from))).or_default();
            *by = by.max(note.by.hypot());
        }
    }
    if pairs.is_empty() {
        return None;
    }
    let said: Vec<String> = pairs
        .iter()
        .take(MOST)
        .map(|((a, b), by)| {
            if a == b {
                format!("{a} by {by:.1} mm")
            } else {
                format!("{a} from {b} by {by:.1} mm")
            }
        })
        .collect();
    let more = pairs.len().saturating_sub(MOST);
    let more = if more > 0 {
        format!("; and {more} more")
    } else {
        String::new()
    };
    Some(format!(
        "Lines that would fall on each other are pulled apart on paper: {}{more}.",
        said.join("; ")
    ))
}

/// Labels that found no room on the picture; numbers begin anew in each picture.
///
/// * `numbered`: those whose number stands on the drawing; otherwise those for which not even that found room
pub(crate) fn overflow(pictures: &[Shown], numbered: bool, room: f64) -> Vec<Section> {
    let title = if numbered {
        "Labels by number"
    } else {
        "Labels without a place"
    };
    let mut sections = Vec::new();
    for (network, picture) in pictures {
        let on_drawing = ringed(picture);
        let rows: Vec<&(String, String)> = picture
            .overflow
            .iter()
            .filter(|(tag, _)| on_drawing.contains(tag.as_str()) == numbered)
            .collect();
        if rows.is_empty() {
            continue;
        }
        let of = if pictures.len() > 1 {
            format!("{title}, {}", view_words(network, picture.view))
        } else {
            title.to_owned()
        };
        sections.push(Section::new(of, table(&rows, room)).own());
    }
    sections
}

/// The numbers that stand in rings on a picture.
pub(crate) fn ringed(picture: &Picture) -> BTreeSet<&str> {
    let tags: BTreeSet<&str> = picture.overflow.iter().map(|(tag, _)| &**tag).collect();
    let ringed = |l: &&Label| !l.strokes.is_empty() && l.class != LabelClass::Flag;
    let rings = picture.labels.iter().filter(ringed);
    rings
        .filter_map(|label| match label.lines.as_slice() {
            [only] => tags.get(only.text.as_str()).copied(),
            _ => None,
        })
        .collect()
}

/// Numbers with their words, short ones side by side.
fn table(rows: &[&(String, String)], room: f64) -> Vec<Block> {
    let wide = |(tag, words): &(String, String)| {
        width(tag, NOTE, Weight::SemiBold)
            + width(" ", NOTE, Weight::Regular)
            + width(words, NOTE, Weight::Regular)
            + BETWEEN
    };
    let thirds = rows.iter().all(|row| wide(row) <= room / 3.0);
    let across: usize = if thirds { 3 } else { 2 };
    let step = room / across as f64;
    let mut blocks = Vec::new();
    let mut rest = rows;
    while let [first, ..] = rest {
        let beside = rest.iter().take(across);
        let short = beside.take_while(|row| wide(row) <= step).count();
        if short == 0 {
            let mut lines = paragraph("overflow", &first.0, &first.1, room);
            for block in &mut lines {
                Rc::make_mut(&mut block.group).data.extend(number(&first.0));
            }
            blocks.append(&mut lines);
            rest = &rest[1..];
            continue;
        }
        let mut row = Group::new("overflow-row");
        let mut height = 0.0_f64;
        for (i, (tag, words)) in rest[..short].iter().enumerate() {
            for mut block in paragraph("overflow", tag, words, room) {
                Rc::make_mut(&mut block.group).data.extend(number(tag));
                height = height.max(block.height);
                row.items.push(block.at(Point::new(step * i as f64, 0.0)));
            }
        }
        blocks.push(Block {
            height,
            keep_with_next: false,
            group: row.into(),
        });
        rest = &rest[short..];
    }
    blocks
}

/// A label's number, told along with its words.
fn number(tag: &str) -> Option<(&'static str, Datum)> {
    Some(("number", Datum::Count(tag.parse().ok()?)))
}

/// The flags of a sheet: what breaks a rule at the places shown, by number.
///
/// * `first`: this sheet is the first of its set, which tells of the job as a whole too
pub(crate) fn flags(network: &Network, pictures: &[Shown], first: bool, room: f64) -> Section {
    let mut told: BTreeMap<u32, &str> = BTreeMap::new();
    for (part, picture) in pictures.iter().filter(|(part, _)| !part.flags.is_empty()) {
        let pipes: BTreeSet<PipeIx> = picture.pipes.iter().map(|mark| mark.pipe).collect();
        let ends = pipes.iter().map(|&ix| part.pipe(ix));
        let nodes: BTreeSet<NodeIx> = ends.flat_map(|pipe| [pipe.from, pipe.to]).collect();
        let reached = |ix: FixtureIx| {
            let ports = part.fixtures.get(ix.0 as usize).map(|f| f.ports.iter());
            let mut ports = ports.into_iter().flatten().filter_map(|port| port.node);
            ports.any(|node| nodes.contains(&node))
        };
        for flag in &part.flags {
            let shown = match flag.at {
                Flagged::Job => false,
                Flagged::Pipe(ix) => pipes.contains(&ix),
                Flagged::Node(ix) => nodes.contains(&ix),
                Flagged::Fixture(ix) => {
                    reached(ix) || picture.symbols.iter().any(|s| s.fixture == Some(ix))
                }
            };
            if shown {
                told.insert(flag.number, &flag.text);
            }
        }
    }
    let of_the_job = network.flags.iter().filter(|flag| flag.at == Flagged::Job);
    told.extend(
        of_the_job
            .filter(|_| first)
            .map(|flag| (flag.number, &*flag.text)),
    );
    let blocks = told
        .iter()
        .flat_map(|(number, text)| paragraph("flag", &number.to_string(), text, room));
    Section::new("Flags: what breaks a rule, by number", blocks.collect())
}

/// A view in words, without a capital.
pub(crate) fn view_words(network: &Network, view: View) -> String {
    match view {
        View::Iso { corner, .. } => format!("isometric from the {}", corner.name()),
        View::Plan { level } => format!(
            "plan, {}",
            network
                .levels
                .get(level.0 as usize)
                .map_or("", |l| l.name.as_str())
        ),
    }
}

/// The job's own notes and the heights nobody is sure of: once in a set.
pub(crate) fn of_the_job(network: &Network, room: f64) -> Vec<Section> {
    let mut sections = Vec::new();
    if !network.notes.is_empty() {
        let notes = network.notes.iter();
        let blocks = notes.flat_map(|n| paragraph("note", "", n, room));
        sections.push(Section::new("Notes of the job", blocks.collect()));
    }
    for (why, title) in [
        (DoubtKind::Unverified, "Heights not verified"),
        (DoubtKind::Assumed, "Heights assumed"),
        (DoubtKind::Unknown, "Heights not known"),
    ] {
        let doubts: Vec<&str> = network
            .doubts
            .iter()
            .filter(|d| d.why == why)
            .map(|d| d.text.as_str())
            .collect();
        if doubts.is_empty() {
            continue;
        }
        let said = merged(&doubts);
        let mut blocks: Vec<Block> = said
            .iter()
            .take(MOST)
            .flat_map(|d| paragraph("doubt", "", d, room))
            .collect();
        if said.len() > MOST {
            let more = format!("and {} more, in the list of heights", said.len() - MOST);
            blocks.extend(paragraph("doubt", "", &more, room));
        }
        sections.push(Section::new(title, blocks));
    }
    sections
}

/// Doubts with the same reason (`subject: reason`) in one, in the order in which reasons are met.
fn merged(doubts: &[&str]) -> Vec<String> {
    let mut order: Vec<&str> = Vec::new();
    let mut subjects: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for doubt in doubts {
        let (subject, reason) = doubt.split_once(": ").unwrap_or(("", doubt));
        let known = subjects.entry(reason).or_default();
        if known.is_empty() {
            order.push(reason);
        }
        known.push(subject);
    }
    let said = |reason: &&str| {
        let of: Vec<&str> = subjects[reason]
            .iter()
            .copied()
            .filter(|s| !s.is_empty())
            .collect();
        let more = of.len().saturating_sub(MOST);
        let mut names = of[..of.len() - more].join("; ");
        if more > 0 {
            names = format!("{names}; and {more} more");
        }
        if names.is_empty() {
            (*reason).to_owned()
        } else {
            format!("{names}: {reason}")
        }
    };
    order.iter().map(said).collect()
}

/// The line at the foot of every sheet.
pub(crate) fn foot() -> &'static str {
    "For use by licensed persons. The authority having jurisdiction governs. Verify existing conditions and dimensions on site."
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::page::Item;
    use crate::sample::{network, pipe};
    use wyeline_draw::ink::{Lettering, Stroke};
    use wyeline_draw::picture::{About, ShiftNote};
    use wyeline_job::model::System;
    use wyeline_units::Scale;

    fn words(sections: &[Section]) -> String {
        fn add(group: &Group, said: &mut Vec<String>) {
            for item in &group.items {
                match item {
                    Item::Text(t) => said.push(t.lettering.text.clone()),
                    Item::Group(inner) => add(inner, said),
                    Item::Stroke(_) => {}
                }
            }
        }
        let mut said = Vec::new();
        for block in sections.iter().flat_map(|s| &s.blocks) {
            add(&block.group, &mut said);
        }
        said.join(" ")
    }

    fn picture(network: &Network) -> Picture {
        let view = View::Iso {
            corner: wyeline_draw::Corner::Sw,
            true_fall: false,
        };
        let mut picture = Picture::new(view, String::new(), Scale(48));
        for i in 0..network.pipes.len() as u32 {
            picture.pipes.push(wyeline_draw::picture::PipeMark {
                pipe: PipeIx(i),
                system: network.pipes[i as usize].system,
                pen: crate::block::THIN,
                pieces: Vec::new(),
                shift: kurbo::Vec2::ZERO,
                arrows: Vec::new(),
            });
        }
        picture
    }

    #[test]
    fn an_isometric_says_along_what_it_may_be_measured() {
        let network = network(&[pipe(System::Vent, [0.0; 3], [0.0, 0.0, 900.0])]);
        let picture = picture(&network);
        assert!(
            words(&[reading(&network, &[(&network, &picture)], 90.0)])
                .contains("scale 1/4 in = 1 ft along the axes only")
        );
    }

    #[test]
    fn an_assumed_slope_is_said_to_be_assumed() {
        let mut network = network(&[pipe(System::Waste, [900.0, 0.0, 0.0], [0.0; 3])]);
        assert!(
            !words(&[reading(&network, &[(&network, &picture(&network))], 90.0,)])
                .contains("assumed")
        );
        let slope = wyeline_units::Slope::QUARTER_INCH_PER_FOOT;
        network.pipes[0].slope = Some(wyeline_network::model::FallSlope {
            slope,
            assumed: true,
        });
        let said = words(&[reading(&network, &[(&network, &picture(&network))], 90.0)]);
        assert!(said.contains("* slope assumed, 1/4 in per ft"), "{said}");
    }

    #[test]
    fn a_size_that_was_worked_out_is_said_to_be_so() {
        let mut network = network(&[pipe(System::Waste, [900.0, 0.0, 0.0], [0.0; 3])]);
        network.sized_by = Some("IPC 2021".to_owned());
        let said =
            |network: &Network| words(&[reading(network, &[(network, &picture(network))], 90.0)]);
        assert!(!said(&network).contains("worked out"));
        network.pipes[0].worked_out = true;
        assert!(said(&network).contains("size worked out by IPC 2021: nobody stated it."));
    }

    #[test]
    fn flags_are_listed_where_they_stand_and_those_of_the_job_on_the_first_sheet() {
        let mut network = network(&[pipe(System::Waste, [900.0, 0.0, 0.0], [0.0; 3])]);
        let flag = |number, at, text: &str| wyeline_network::model::Flag {
            number,
            at,
            text: text.to_owned(),
        };
        network.flags = vec![
            flag(1, Flagged::Pipe(PipeIx(0)), "too flat"),
            flag(2, Flagged::Job, "no cleanout"),
        ];
        let picture = picture(&network);
        let said = |first| words(&[flags(&network, &[(&network, &picture)], first, 90.0)]);
        assert_eq!(said(true), "1 too flat 2 no cleanout");
        assert_eq!(said(false), "1 too flat");
    }

    #[test]
    fn lines_pulled_apart_are_named_with_the_distance() {
        let network = network(&[
            pipe(System::Cold, [0.0; 3], [900.0, 0.0, 0.0]),
            pipe(System::Hot, [0.0; 3], [900.0, 0.0, 0.0]),
        ]);
        let mut picture = picture(&network);
        // 3 mm across and 4 mm down is 5 mm.
        picture.shifts.push(ShiftNote {
            pipe: PipeIx(1),
            from: PipeIx(0),
            by: kurbo::Vec2::new(3.0, 4.0),
        });
        let said = words(&[reading(&network, &[(&network, &picture)], 90.0)]);
        assert!(
            said.contains("pulled apart") && said.contains("run1 from run0 by 5.0 mm"),
            "{said}"
        );
    }

    #[test]
    fn a_label_whose_number_is_on_the_drawing_is_listed_apart_from_one_without_a_place() {
        let network = network(&[pipe(System::Vent, [0.0; 3], [900.0, 0.0, 0.0])]);
        let mut picture = picture(&network);
        picture.overflow = vec![
            ("1".to_owned(), "two inch".to_owned()),
            ("2".to_owned(), "four inch".to_owned()),
        ];
        let ring = Lettering::new("2", kurbo::Point::ZERO, 2.5, Weight::SemiBold);
        picture.labels.push(Label {
            about: About::Building,
            class: LabelClass::Note,
            lines: vec![ring],
            area: [Point::ZERO; 4],
            leader: None,
            strokes: vec![Stroke {
                path: kurbo::Shape::to_path(&kurbo::Circle::new(Point::ZERO, 3.0), 0.1),
                pen: Some(crate::block::THIN),
                fill: None,
            }],
        });
        let said = |numbered| words(&overflow(&[(&network, &picture)], numbered, 90.0));
        assert!(said(true).contains("four inch") && !said(true).contains("two inch"));
        assert!(said(false).contains("two inch") && !said(false).contains("four inch"));
    }

    #[test]
    fn short_labels_stand_three_to_a_row_and_a_long_one_on_its_own() {
        // At 2.5 mm a letter is some 1.3 mm wide: `1 2" 3'-0"` takes less than a third of 90 mm, sixty letters more than half.
        let short = |n: u32| (n.to_string(), "2\" 3'-0\"".to_owned());
        let long = ("4".to_owned(), "words ".repeat(10));
        let rows = |rows: &[(String, String)]| table(&rows.iter().collect::<Vec<_>>(), 90.0).len();
        assert_eq!(rows(&[short(1), short(2), short(3)]), 1);
        assert_eq!(rows(&[short(1), short(2), long, short(5)]), 3);
    }

    #[test]
    fn doubts_with_one_reason_are_told_together() {
        let said = merged(&[
            "closet WC1: from the table",
            "pipe p: not measured",
            "sink KS1: from the table",
        ]);
        assert_eq!(
            said,
            [
                "closet WC1; sink KS1: from the table",
                "pipe p: not measured"
            ]
        );
    }
}
