//! Everything in black on white, and no line so thin that a copier loses it.

use wyeline_draw::ink::Colour;
use wyeline_sheet::Item;

/// The thinnest line, mm. A copier or fax of 200 dots an inch has dots of 0.127 mm: a line of 0.18 mm (a step of ISO 128, from memory) covers more than half of
/// some dot wherever it falls, so that it outlives a threshold at half grey.
pub(super) const THINNEST: f64 = 0.18;

/// Turns every colour but white to black and widens what is too thin.
pub(super) fn turn(items: &mut [Item]) {
    for item in items {
        match item {
            Item::Stroke(mark) => {
                if let Some(pen) = &mut mark.stroke.pen {
                    pen.colour = black(pen.colour);
                    pen.width = pen.width.max(THINNEST);
                }
                if let Some(fill) = &mut mark.stroke.fill {
                    *fill = black(*fill);
                }
            }
            Item::Text(text) => text.lettering.colour = black(text.lettering.colour),
            Item::Group(group) => turn(&mut group.items),
        }
    }
}

fn black(colour: Colour) -> Colour {
    if colour == Colour::WHITE {
        colour
    } else {
        Colour::BLACK
    }
}
