//! The words, north arrow and scale bar below a view.

use kurbo::{Point, Rect};
use wyeline_draw::ink::{Lettering, Weight};
use wyeline_draw::lettering::width;
use wyeline_draw::{Corner, View};
use wyeline_network::Network;
use wyeline_units::{Scale, UnitSystem};

use crate::bars::{north, scale_bar};
use crate::block::{LEADING, NOTE, wrapped};
use crate::page::{Group, Item};
use crate::scales::scale_words;

/// Height of capitals in a view's title, mm: 3/16 in is the drafting custom.
const TITLE: f64 = 4.5;
/// Room for the north arrow, mm.
const NORTH: f64 = 21.0;
/// Space above a caption, mm.
const GAP: f64 = 3.0;
/// A view gets at least this width, so that its caption can be read, mm.
pub(crate) const LEAST: f64 = 88.0;

/// What a caption says of its view.
pub(crate) struct Words {
    title: Vec<String>,
    below: Vec<String>,
}

/// The caption of a view of `width` mm.
pub(crate) fn words(network: &Network, view: View, part: &str, scale: Scale, width: f64) -> Words {
    let (title, below) = match view {
        View::Iso { corner, true_fall } => {
            let sloped = if true_fall {
                ", falls drawn as they lie"
            } else {
                ""
            };
            (
                format!("Isometric from the {}", corner.name()),
                format!(
                    "isometric drawing, scale {} along the axes only{sloped}",
                    scale_words(scale)
                ),
            )
        }
        View::Plan { level } => {
            let name = network
                .levels
                .get(level.0 as usize)
                .map_or("", |l| l.name.as_str());
            (
                format!("Plan, {name}"),
                format!("scale {}", scale_words(scale)),
            )
        }
    };
    let title = if part.is_empty() {
        title
    } else {
        format!("{title}: {part}")
    };
    let room = width - NORTH;
    Words {
        title: wrapped(&title, room, TITLE, Weight::SemiBold),
        below: wrapped(&below, room, NOTE, Weight::Regular),
    }
}

impl Words {
    /// Height of the caption, space above included, mm.
    pub fn height(&self) -> f64 {
        let text =
            self.title.len() as f64 * TITLE * LEADING + self.below.len() as f64 * NOTE * LEADING;
        GAP + (text + 8.0).max(NORTH + 2.0)
    }

    /// Width of the caption, north arrow included, mm.
    pub fn width(&self, scale: Scale, units: UnitSystem) -> f64 {
        let title = self.title.iter();
        let title = title.map(|line| width(line, TITLE, Weight::SemiBold));
        let below = self.below.iter();
        let below = below.map(|line| width(line, NOTE, Weight::Regular));
        let (_, bar, _) = scale_bar(scale, units);
        NORTH + title.chain(below).fold(bar, f64::max)
    }

    /// The caption set into the foot of `cell`.
    pub fn draw(&self, network: &Network, view: View, scale: Scale, cell: Rect) -> Group {
        let corner: Option<Corner> = match view {
            View::Iso { corner, .. } => Some(corner),
            View::Plan { .. } => None,
        };
        let mut group = Group::new("caption");
        let top = cell.y1 - self.height() + GAP;
        let (mut arrow, bounds) = north(corner);
        let centre = Point::new(cell.x0 + (NORTH - 3.0) / 2.0, top + NORTH / 2.0 + 1.0);
        crate::block::shift(&mut arrow, centre - bounds.center());
        group.items.push(Item::Group(arrow));
        let x = cell.x0 + NORTH;
        let mut y = top + TITLE;
        for line in &self.title {
            group.text(
                "title",
                Lettering::new(line, Point::new(x, y), TITLE, Weight::SemiBold),
            );
            y += TITLE * LEADING;
        }
        y += NOTE - TITLE + 0.5;
        for line in &self.below {
            group.text(
                "",
                Lettering::new(line, Point::new(x, y), NOTE, Weight::Regular),
            );
            y += NOTE * LEADING;
        }
        let (mut bar, ..) = scale_bar(scale, network.units);
        crate::block::shift(&mut bar, (x, y - NOTE + 1.0).into());
        group.items.push(Item::Group(bar));
        group
    }
}
