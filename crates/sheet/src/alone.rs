//! One isometric by itself, for a screen: no frame, no notes, the paper as large as the picture.

use kurbo::Point;
use wyeline_draw::iso::{self, IsoOptions};
use wyeline_draw::{Corner, Part, Picture};
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_units::Scale;

use crate::page::{Item, Sheet};
use crate::{place, scales};

/// On a screen a drawing is read in one piece up to this width or height of paper, mm; the scale is chosen by it. Our own choice: about what a
/// tablet shows at full size.
const AT_ONCE_MM: f64 = 330.0;

/// What is wanted.
#[derive(Clone, Debug)]
pub struct Alone {
    /// The corner looked from.
    pub corner: Corner,
    /// The systems shown; all where empty.
    pub systems: Vec<System>,
    /// The scale; the largest standard one at which the picture is seen at once, where not said.
    pub scale: Option<Scale>,
    /// The isometric grid behind the drawing.
    pub grid: bool,
    /// Sloped runs drawn as they lie.
    pub true_fall: bool,
}

/// Returns the isometric of a network on paper of its own size.
pub fn alone(network: &Network, wanted: &Alone) -> Sheet {
    let part = Part {
        systems: wanted.systems.clone(),
        ..Part::default()
    };
    let scale = wanted.scale.unwrap_or_else(|| {
        let extent = iso::extent(network, wanted.corner, &part);
        let longest = extent.width().max(extent.height());
        let mut all = scales::standard(network.units);
        let seen = |scale: &Scale| scale.paper(longest) <= AT_ONCE_MM;
        all.find(seen)
            .or_else(|| scales::standard(network.units).last())
            .unwrap_or(scales::enough(network.units))
    });
    let picture = iso::iso(
        network,
        &IsoOptions {
            corner: wanted.corner,
            scale,
            true_fall: wanted.true_fall,
            part,
            labels_along: false,
            grid: wanted.grid,
        },
    );
    let described = described(&picture.title, scale, &picture.overflow);
    pictured(network, picture, described)
}

/// Returns a picture, which may be another's with some of its marks left out, on paper of the size of its bounds.
///
/// * `description`: what it shows, for those who cannot see it
pub fn pictured(network: &Network, picture: Picture, description: String) -> Sheet {
    let bounds = picture.bounds;
    let title = picture.title.clone();
    let group = place::view(network, picture, Point::ORIGIN - bounds.origin().to_vec2());
    Sheet {
        size_mm: (bounds.width(), bounds.height()),
        number: 1,
        count: 1,
        description,
        title,
        items: vec![Item::Group(group)],
    }
}

/// What it shows, with the words of labels that are only numbers on the drawing.
fn described(title: &str, scale: Scale, numbered: &[(String, String)]) -> String {
    let mut words = format!("{title}, at {}", scales::scale_words(scale));
    for (number, text) in numbered {
        words.push_str("; ");
        words.push_str(number);
        words.push_str(": ");
        words.push_str(text);
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Datum, sample};

    /// Five metres east are 5000 * cos 30 = 4330 mm across: 361 mm of paper at 1:12, 271 mm at 1:16 (3/4 in = 1 ft).
    #[test]
    fn the_scale_is_the_largest_that_is_seen_at_once() {
        let mut network = sample::network(&[sample::pipe(
            System::Cold,
            [0.0, 0.0, 0.0],
            [5000.0, 0.0, 0.0],
        )]);
        // Nothing but the pipe: a level would be drawn round it.
        network.levels.clear();
        let wanted = Alone {
            corner: Corner::Sw,
            systems: Vec::new(),
            scale: None,
            grid: false,
            true_fall: false,
        };
        let sheet = alone(&network, &wanted);
        let Item::Group(group) = &sheet.items[0] else {
            panic!("a view is a group");
        };
        assert_eq!((sheet.items.len(), group.class), (1, "view iso"));
        assert!(
            group.data.contains(&("scale", Datum::Count(16))),
            "{:?}",
            group.data
        );
    }
}
