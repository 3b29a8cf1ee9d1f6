//! The first steps: axes and grid, then what is there of the building, lightly.

use std::fmt::Write as _;

use glam::DVec3;
use wyeline_draw::Picture;
use wyeline_network::Network;

use super::order::Path;
use super::pipes::begins;
use super::words::Measure;
use super::{Draft, New};

/// Axes and grid; the building behind, where there is one.
pub(super) fn drafts(
    network: &Network,
    picture: &Picture,
    measure: &Measure,
    paths: &[Path],
) -> Vec<Draft> {
    let first = paths.first();
    let ring = first.map(|path| path.nodes[0]);
    let mut sentence = axes(measure);
    if let Some(path) = first {
        let _ = write!(
            sentence,
            " Put a point for {} (ringed) where the drawing will have room, and count everything from there.",
            begins(network, path, 0)
        );
    }
    let mut drafts = vec![Draft {
        title: "Axes and grid".to_owned(),
        sentence,
        new: New {
            axes: true,
            ..New::default()
        },
        ring,
    }];
    if !picture.outlines.is_empty() {
        drafts.push(Draft {
            title: "The building, lightly".to_owned(),
            sentence: "Sketch floors and walls so lightly that they can be rubbed out: they show where the pipes are, \
                       and nobody measures them. All the rest is drawn firmly."
                .to_owned(),
            new: New {
                outlines: (0..picture.outlines.len()).collect(),
                ..New::default()
            },
            ring: None,
        });
    }
    drafts
}

/// Where the axes go, and what a square stands for.
pub(super) fn axes(measure: &Measure) -> String {
    format!(
        "North goes {}, east {}, and height straight up; south, west and down go the other way. Every length is \
         counted along one of these three, {} to a square of the grid.",
        measure.paper(DVec3::Y),
        measure.paper(DVec3::X),
        measure.length(measure.square_mm)
    )
}
