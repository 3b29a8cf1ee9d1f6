//! A pipe that lies along none of the axes: the square or box it is the diagonal of, before it is drawn.
//!
//! NAVEDTRA 14265, page 19: the 45 is stepped off on two equal legs along the axes and joined.

use wyeline_draw::Picture;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{Lie, PipeIx};

use super::legs::Leg;
use super::words::{Measure, listed};
use super::{Draft, New};

/// The step that builds the square or box; nothing where the picture has none for the leg.
pub(super) fn frame(
    network: &Network,
    picture: &Picture,
    measure: &Measure,
    leg: &Leg,
) -> Option<Draft> {
    // Pieces of one straight share one square, which may be another path's.
    let own = |pipe: &PipeIx| leg.pipes.contains(pipe);
    let frames: Vec<PipeIx> = picture
        .frames
        .iter()
        .map(|frame| frame.pipe)
        .filter(own)
        .collect();
    if frames.is_empty() {
        return None;
    }
    let parts = Measure::axes(leg.to - leg.from);
    let told: Vec<String> = parts.iter().map(|part| measure.along(*part)).collect();
    let even = parts
        .iter()
        .all(|part| (part.length() - parts[0].length()).abs() < super::words::NO_EXTENT);
    let what = match (leg.lie, even) {
        (Lie::Rolling, _) => "The pipe goes sideways and up at once: it is the diagonal of a box.",
        (_, true) => "A 45 is never measured along its own line: it is the diagonal of a square.",
        _ => {
            "A slanting pipe is never measured along its own line: it is the diagonal of a rectangle."
        }
    };
    let close = if leg.lie == Lie::Rolling {
        "close the box with its other edges along the axes, and hatch it"
    } else {
        "close it with two lines along the axes, and hatch one half"
    };
    let labels = picture.labels.iter().enumerate();
    let labels = labels.filter(|(_, label)| {
        label.class == wyeline_draw::picture::LabelClass::Frame
            && matches!(label.about, wyeline_draw::picture::About::Pipe(pipe) if frames.contains(&pipe))
    });
    Some(Draft {
        title: if leg.lie == Lie::Rolling {
            "The box of a rolling offset".to_owned()
        } else {
            format!("The square of {}", name(network, leg))
        },
        sentence: format!(
            "{what} From the ring step off {}; {close}.",
            told.join(", from there ")
        ),
        new: New {
            labels: labels.map(|(at, _)| at).collect(),
            frames,
            ..New::default()
        },
        ring: Some(leg.first()),
    })
}

/// How the diagonal itself is told, after its box.
pub(super) fn diagonal(measure: &Measure, leg: &Leg) -> String {
    let way = leg.to - leg.from;
    let parts: Vec<String> = Measure::axes(way)
        .iter()
        .map(|part| {
            format!(
                "{} {}",
                measure.length(part.length()),
                super::words::compass(*part)
            )
        })
        .collect();
    format!(
        "the diagonal, {} at once: {} of pipe centre to centre, though the line on paper has another length",
        listed(&parts),
        measure.length(way.length())
    )
}

/// What a skew leg is called in a title.
fn name(network: &Network, leg: &Leg) -> &'static str {
    let system = network.pipe(leg.pipes[0]).system;
    match (leg.lie, system) {
        (Lie::LevelSkew, _) => "the level 45",
        (_, System::Vent) => "the slanting vent",
        _ => "the tilted pipe",
    }
}
