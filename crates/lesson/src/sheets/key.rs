//! The blank grid, the key on it, and the key from all four corners.

use glam::DVec3;
use kurbo::{Point, Rect};
use wyeline_draw::ink::{Lettering, Weight};
use wyeline_draw::iso::{IsoOptions, iso_saying};
use wyeline_draw::picture::LabelClass;
use wyeline_draw::{Corner, Part, Picture, Projection};
use wyeline_network::Network;
use wyeline_sheet::{Group, Item, LEADING, NOTE, Sheet, scale_words, view};
use wyeline_units::Scale;

use crate::exercise::{Exercise, Subject};

use super::lay::{Lay, extent};
use super::page::{PAD, Page};
use super::plan::told;
use super::{axes, blocks, given};

/// How much smaller the drawings from all corners may be than the exercise's: beyond, symbols of fixed size would cover the pipes. Our choice.
const SMALLEST: u32 = 4;

/// The blank grid with axes, and where to begin.
pub(super) fn grid(exercise: &Exercise, page: &Page, lay: &Lay) -> Sheet {
    let area = page.drawing();
    let items = vec![
        Item::Group(axes::behind(lay, area, exercise.pitch_mm)),
        Item::Group(axes::start(lay.at(lay.anchor))),
        Item::Group(axes::axes(exercise.corner, area)),
        Item::Group(page.caption(&given::grid(exercise, page.metric))),
    ];
    page.sheet(
        exercise,
        &format!("Isometric grid, seen from the {}", exercise.corner.name()),
        true,
        items,
    )
}

/// The key on the same grid at the same place.
pub(super) fn key(exercise: &Exercise, page: &Page, lay: &Lay) -> Sheet {
    let area = page.drawing();
    let mut words = given::grid(exercise, page.metric);
    let mut items = vec![Item::Group(axes::behind(lay, area, exercise.pitch_mm))];
    match &exercise.subject {
        Subject::Block(block) => {
            items.push(Item::Group(blocks::drawn(&block.solid, lay, page.metric)))
        }
        Subject::Pipes(built) => {
            let network = told(&built.network);
            let mut picture = drawing(&network, exercise.corner, exercise.scale, true);
            if !picture.overflow.is_empty() {
                // Too many words: the lengths stand on the plan as well.
                picture = drawing(&network, exercise.corner, exercise.scale, false);
            }
            if let Some(most) = picture
                .shifts
                .iter()
                .map(|shift| shift.by.hypot())
                .reduce(f64::max)
            {
                words = format!(
                    "Lines that fall on each other are pulled apart, by {most:.1} mm at most. {words}"
                );
            }
            let numbered = picture.overflow.clone();
            items.push(Item::Group(view(&network, picture, lay.origin.to_point())));
            items.push(Item::Group(list(&numbered, area)));
        }
    }
    items.push(Item::Group(axes::axes(exercise.corner, area)));
    items.push(Item::Group(page.caption(&words)));
    page.sheet(
        exercise,
        &format!("Key, seen from the {}", exercise.corner.name()),
        false,
        items,
    )
}

/// Labels that are only numbers on the drawing, in the upper left corner of a rectangle.
fn list(numbered: &[(String, String)], area: Rect) -> Group {
    let mut group = Group::new("numbered");
    let lines: Vec<Lettering> = numbered
        .iter()
        .enumerate()
        .map(|(i, (number, words))| {
            let at = Point::new(
                area.x0 + PAD,
                area.y0 + PAD + NOTE + NOTE * LEADING * i as f64,
            );
            Lettering::new(&format!("{number}: {words}"), at, NOTE, Weight::Regular)
        })
        .collect();
    let wide = lines.iter().map(|l| l.width).fold(0.0, f64::max);
    if let (Some(first), Some(last)) = (lines.first(), lines.last()) {
        group.items.push(axes::white(Rect::new(
            first.at.x - 1.0,
            first.at.y - NOTE - 1.0,
            first.at.x + wide + 1.0,
            last.at.y + 1.5,
        )));
    }
    for words in lines {
        group.text("note", words);
    }
    group
}

/// The isometric of a network as a key says it: tags, letters and, if wanted, lengths; the building is left out, since its edges would be taken for lines of the grid.
fn drawing(network: &Network, corner: Corner, scale: Scale, lengths: bool) -> Picture {
    let options = IsoOptions {
        corner,
        scale,
        true_fall: false,
        part: Part::default(),
        labels_along: false,
        grid: false,
    };
    let mut picture = iso_saying(network, &options, |class| match class {
        LabelClass::Tag | LabelClass::Letters | LabelClass::Note => true,
        LabelClass::Pipe => lengths,
        LabelClass::Frame | LabelClass::Height | LabelClass::Level | LabelClass::Flag => false,
    });
    picture.outlines.clear();
    picture
}

/// The key from all four corners on one page, smaller where it has to be; nothing where it does not fit.
pub(super) fn all_corners(exercise: &Exercise, page: &Page, points: &[DVec3]) -> Option<Sheet> {
    let area = page.area;
    let cell = |i: usize| {
        let (wide, high) = (area.width() / 2.0, area.height() / 2.0);
        let corner = Point::new(
            area.x0 + wide * (i % 2) as f64,
            area.y0 + high * (i / 2) as f64,
        );
        Rect::from_origin_size(corner, (wide, high))
    };
    let title = NOTE * LEADING + PAD;
    let fits = |scale: &Scale| {
        Corner::ALL.iter().all(|corner| {
            let extent = extent(points, *corner, *scale);
            extent.width() + 20.0 <= cell(0).width()
                && extent.height() + 18.0 + title <= cell(0).height()
        })
    };
    let scale = (1..=SMALLEST)
        .map(|times| Scale(exercise.scale.0 * times))
        .find(fits)?;
    let mut items = Vec::new();
    let mut rules = Group::new("rules");
    let middle = area.center();
    rules.stroke(
        "",
        wyeline_sheet::line((middle.x, area.y0), (middle.x, area.y1)),
        wyeline_sheet::THIN,
    );
    rules.stroke(
        "",
        wyeline_sheet::line((area.x0, middle.y), (area.x1, middle.y)),
        wyeline_sheet::THIN,
    );
    items.push(Item::Group(rules));
    // As on the compass: what is seen from the north above what is seen from the south.
    for (i, corner) in [Corner::Nw, Corner::Ne, Corner::Sw, Corner::Se]
        .into_iter()
        .enumerate()
    {
        let cell = cell(i);
        let mut words = Group::new("caption");
        let at = Point::new(cell.x0 + PAD, cell.y0 + PAD + NOTE);
        words.text(
            "note",
            Lettering::new(
                &format!("From the {}", corner.name()),
                at,
                3.0,
                Weight::SemiBold,
            ),
        );
        let room = Rect {
            y0: cell.y0 + title,
            ..cell
        };
        let lay = Lay {
            projection: Projection::new(corner, scale),
            origin: room.center() - extent(points, corner, scale).center(),
            anchor: DVec3::ZERO,
        };
        match &exercise.subject {
            Subject::Block(block) => {
                items.push(Item::Group(blocks::drawn(&block.solid, &lay, page.metric)))
            }
            Subject::Pipes(built) => {
                let network = told(&built.network);
                let picture = drawing(&network, corner, scale, false);
                let numbered = picture.overflow.clone();
                items.push(Item::Group(view(&network, picture, lay.origin.to_point())));
                items.push(Item::Group(list(&numbered, room)));
            }
        }
        items.push(Item::Group(axes::axes(corner, cell)));
        items.push(Item::Group(words));
    }
    let at = match exercise.subject {
        Subject::Pipes(_) => format!(", at {} along the axes", scale_words(scale)),
        Subject::Block(_) => String::new(),
    };
    Some(page.sheet(
        exercise,
        &format!("Key from all four corners{at}"),
        false,
        items,
    ))
}
