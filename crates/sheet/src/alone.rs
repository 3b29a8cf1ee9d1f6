//! One isometric by itself, for a screen: no frame, no notes, the paper as large as the picture.

use kurbo::{Point, Rect};
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

/// A drawing of more pipes than this is worded where it is looked at from near, not as a whole. Our own choice: on a square as large as
/// is seen at once, 400 pipes have 270 mm2 each; a size and a length with the white round them take about 25 mm by 6 mm of it.
const MOST_WORDED: usize = 400;

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
    /// Of a drawing with more words than can be read at once, where on the paper it is looked at from near: millimetres from the job's
    /// origin, and the scale at which they are measured. Nothing where it is seen as a whole.
    pub seen: Option<(Rect, Scale)>,
}

/// An isometric for a screen.
#[derive(Clone, Debug)]
pub struct Screen {
    /// The drawing.
    pub sheet: Sheet,
    /// It holds more words than can be read at once: only those about what is looked at from near stand there.
    pub crowded: bool,
}

/// Returns the isometric of a network on paper of its own size.
pub fn alone(network: &Network, wanted: &Alone) -> Screen {
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
    let systems = |system| part.systems.is_empty() || part.systems.contains(&system);
    let pipes = network.pipes.iter().filter(|pipe| systems(pipe.system));
    // A scale that was asked for is asked for the sake of the words.
    let crowded = wanted.scale.is_none() && pipes.count() > MOST_WORDED;
    let options = IsoOptions {
        corner: wanted.corner,
        scale,
        true_fall: wanted.true_fall,
        part,
        labels_along: false,
        grid: wanted.grid,
    };
    let picture = if crowded {
        let here = wanted.seen.map(|(seen, at)| {
            let by = f64::from(at.0) / f64::from(scale.0);
            Rect::new(seen.x0 * by, seen.y0 * by, seen.x1 * by, seen.y1 * by)
        });
        iso::iso_in_part(network, &options, here)
    } else {
        iso::iso(network, &options)
    };
    let described = described(&picture.title, scale, &picture.overflow);
    Screen {
        sheet: pictured(network, picture, described),
        crowded,
    }
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
            seen: None,
        };
        let sheet = alone(&network, &wanted).sheet;
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

    /// Pipes a metre long, three metres apart, twenty in a row.
    fn many(count: usize) -> Network {
        let pipes: Vec<_> = (0..count)
            .map(|i| {
                let (x, y) = ((i % 20) as f64 * 3000.0, (i / 20) as f64 * 3000.0);
                sample::pipe(System::Cold, [x, y, 0.0], [x + 1000.0, y, 0.0])
            })
            .collect();
        sample::network(&pipes)
    }

    /// Whether the drawing is said to be crowded, and the pipes about which something is said.
    fn said_of(network: &Network, seen: Option<(Rect, Scale)>) -> (bool, Vec<String>) {
        let wanted = Alone {
            corner: Corner::Sw,
            systems: Vec::new(),
            scale: None,
            grid: false,
            true_fall: false,
            seen,
        };
        let screen = alone(network, &wanted);
        let Item::Group(group) = &screen.sheet.items[0] else {
            panic!("a view is a group");
        };
        let labels = group.items.iter().filter_map(|item| match item {
            Item::Text(text) => text.data.iter().find_map(|(key, datum)| match datum {
                Datum::Text(id) if *key == "pipe" => Some(id.clone()),
                _ => None,
            }),
            _ => None,
        });
        (screen.crowded, labels.collect())
    }

    #[test]
    fn a_house_keeps_all_its_words() {
        let (crowded, said) = said_of(&many(MOST_WORDED), None);
        assert!(!crowded);
        assert!(!said.is_empty());
    }

    /// The first pipe lies from (0, 0) to (1000 cos 30, -1000 sin 30) on paper at full size; the last is 19 rows away.
    #[test]
    fn a_drawing_with_very_many_words_says_those_of_the_part_looked_at_from_near() {
        let network = many(MOST_WORDED + 1);
        assert_eq!(said_of(&network, None), (true, Vec::new()));
        let (crowded, said) = said_of(
            &network,
            Some((Rect::new(0.0, -500.0, 866.0, 0.0), Scale(1))),
        );
        assert!(crowded && said.iter().any(|pipe| pipe == "p0"), "{said:?}");
        assert!(said.iter().all(|pipe| pipe != "p400"), "{said:?}");
    }
}
