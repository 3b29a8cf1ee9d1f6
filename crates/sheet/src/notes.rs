//! The notes of a sheet: how to measure on it, what is drawn otherwise than it lies, and what nobody has verified.

use std::collections::{BTreeMap, BTreeSet};

use wyeline_draw::View;
use wyeline_network::Network;
use wyeline_network::model::{DoubtKind, PipeIx};
use wyeline_units::Len;

use crate::block::{Block, heading, paragraph};
use crate::drawer::Shown;
use crate::scales::scale_words;

/// So many doubtful heights, shifts and the like are printed on a sheet; the rest are counted. Our choice.
const MOST: usize = 12;

/// Notes on reading the pictures of this sheet.
pub(crate) fn reading(network: &Network, pictures: &[Shown], room: f64) -> Vec<Block> {
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
    texts.extend(shifts(pictures));
    let mut blocks = vec![heading("Notes")];
    blocks.extend(texts.iter().flat_map(|t| paragraph("note", "", t, room)));
    blocks
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
pub(crate) fn overflow(pictures: &[Shown], numbered: bool, room: f64) -> Vec<Block> {
    let title = if numbered {
        "Labels by number"
    } else {
        "Labels without a place"
    };
    let mut blocks = Vec::new();
    for (network, picture) in pictures {
        let on_drawing: BTreeSet<&str> = picture
            .labels
            .iter()
            .flat_map(|l| &l.lines)
            .map(|line| line.text.as_str())
            .collect();
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
        blocks.push(heading(&of));
        blocks.extend(
            rows.iter()
                .flat_map(|(tag, words)| paragraph("overflow", tag, words, room)),
        );
    }
    blocks
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
pub(crate) fn of_the_job(network: &Network, room: f64) -> Vec<Block> {
    let mut blocks = Vec::new();
    if !network.notes.is_empty() {
        blocks.push(heading("Notes of the job"));
        blocks.extend(
            network
                .notes
                .iter()
                .flat_map(|n| paragraph("note", "", n, room)),
        );
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
        blocks.push(heading(title));
        let said = merged(&doubts);
        blocks.extend(
            said.iter()
                .take(MOST)
                .flat_map(|d| paragraph("doubt", "", d, room)),
        );
        if said.len() > MOST {
            let more = format!("and {} more, in the list of heights", said.len() - MOST);
            blocks.extend(paragraph("doubt", "", &more, room));
        }
    }
    blocks
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
    use crate::sample::{network, pipe};
    use wyeline_draw::Picture;
    use wyeline_draw::ink::{Lettering, Weight};
    use wyeline_draw::picture::{About, Label, LabelClass, ShiftNote};
    use wyeline_job::model::System;
    use wyeline_units::Scale;

    fn words(blocks: &[Block]) -> String {
        let items = blocks.iter().flat_map(|b| &b.group.items);
        let texts = items.filter_map(|i| match i {
            crate::page::Item::Text(t) => Some(t.lettering.text.as_str()),
            _ => None,
        });
        texts.collect::<Vec<_>>().join(" ")
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
            words(&reading(&network, &[(&network, &picture)], 90.0))
                .contains("scale 1/4 in = 1 ft along the axes only")
        );
    }

    #[test]
    fn an_assumed_slope_is_said_to_be_assumed() {
        let mut network = network(&[pipe(System::Waste, [900.0, 0.0, 0.0], [0.0; 3])]);
        assert!(
            !words(&reading(&network, &[(&network, &picture(&network))], 90.0)).contains("assumed")
        );
        let slope = wyeline_units::Slope::QUARTER_INCH_PER_FOOT;
        network.pipes[0].slope = Some(wyeline_network::model::FallSlope {
            slope,
            assumed: true,
        });
        let said = words(&reading(&network, &[(&network, &picture(&network))], 90.0));
        assert!(said.contains("* slope assumed, 1/4 in per ft"), "{said}");
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
        let said = words(&reading(&network, &[(&network, &picture)], 90.0));
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
            area: [kurbo::Point::ZERO; 4],
            leader: None,
            strokes: Vec::new(),
        });
        let said = |numbered| words(&overflow(&[(&network, &picture)], numbered, 90.0));
        assert!(said(true).contains("four inch") && !said(true).contains("two inch"));
        assert!(said(false).contains("two inch") && !said(false).contains("four inch"));
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
