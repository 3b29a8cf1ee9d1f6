//! The blank grid, the key on it, and the key from all four corners.

use kurbo::{Point, Rect, Shape, Size, Vec2};
use wyeline_draw::ink::{Lettering, Weight};
use wyeline_draw::iso::{IsoOptions, iso_saying};
use wyeline_draw::picture::LabelClass;
use wyeline_draw::{Corner, Part, Picture, Projection};
use wyeline_network::Network;
use wyeline_sheet::{Group, Item, LEADING, NOTE, Sheet, THIN, line, scale_words, view};
use wyeline_units::Scale;

use crate::exercise::{Exercise, Subject};

use super::lay::{Lay, extent, points};
use super::page::{PAD, Page};
use super::told::told;
use super::{axes, blocks, given};

/// What is drawn from a corner, with the job's origin at (0, 0).
pub(super) struct Drawing {
    group: Group,
    /// The box round it, letters included, mm.
    pub bounds: Rect,
    /// Boxes round its marks and letters.
    boxes: Vec<Rect>,
    /// Labels that are only numbers on it.
    numbered: Vec<(String, String)>,
    /// The farthest that a line was pulled aside, mm.
    pulled: f64,
}

impl Drawing {
    /// Draws an exercise; nothing where it is larger than `room`.
    ///
    /// * `lengths`: pipes carry their lengths, if there is room for all of them
    pub fn new(
        exercise: &Exercise,
        corner: Corner,
        scale: Scale,
        room: Size,
        lengths: bool,
    ) -> Option<Self> {
        let made = match &exercise.subject {
            Subject::Block(block) => {
                let lay = Lay {
                    projection: Projection::new(corner, scale),
                    origin: Vec2::ZERO,
                    anchor: glam::DVec3::ZERO,
                };
                let metric = super::is_metric(exercise);
                Self {
                    group: blocks::drawn(&block.solid, &lay, metric),
                    bounds: extent(&points(&exercise.figure), corner, scale).inflate(1.0, 1.0),
                    boxes: Vec::new(),
                    numbered: Vec::new(),
                    pulled: 0.0,
                }
            }
            Subject::Pipes(built) => {
                let network = told(&built.network);
                let fits = |picture: &Picture| {
                    picture.bounds.width() <= room.width && picture.bounds.height() <= room.height
                };
                // Where there is no room for all words, the lengths are left to the plan.
                let full = lengths
                    .then(|| picture(&network, corner, scale, true))
                    .filter(|picture| picture.overflow.is_empty() && fits(picture));
                let picture = full.unwrap_or_else(|| picture(&network, corner, scale, false));
                Self {
                    bounds: picture.bounds,
                    numbered: picture.overflow.clone(),
                    pulled: picture
                        .shifts
                        .iter()
                        .map(|shift| shift.by.hypot())
                        .fold(0.0, f64::max),
                    group: view(&network, picture, Point::ORIGIN),
                    boxes: Vec::new(),
                }
            }
        };
        let fits = made.bounds.width() <= room.width && made.bounds.height() <= room.height;
        fits.then(|| Self {
            boxes: boxes(&made.group),
            ..made
        })
    }

    /// Its marks, moved.
    fn at(&self, by: Vec2) -> Group {
        let mut group = self.group.clone();
        wyeline_sheet::shift(&mut group, by);
        group
    }

    /// The boxes round its marks, moved.
    fn taken(&self, by: Vec2) -> Vec<Rect> {
        self.boxes.iter().map(|rect| *rect + by).collect()
    }
}

/// Boxes round the marks and letters of a group.
fn boxes(group: &Group) -> Vec<Rect> {
    let mut found = Vec::new();
    for item in &group.items {
        match item {
            Item::Stroke(mark) => found.push(mark.stroke.path.bounding_box().inflate(0.5, 0.5)),
            Item::Text(text) => {
                let l = &text.lettering;
                found.push(Rect::new(
                    l.at.x,
                    l.at.y - l.height * 1.2,
                    l.at.x + l.width,
                    l.at.y + l.height * 0.4,
                ));
            }
            Item::Group(inner) => found.extend(boxes(inner)),
        }
    }
    found
}

/// The isometric of a network as a key says it: tags, letters and, if wanted, lengths; the building is left out, since its edges would be taken for lines of the grid.
fn picture(network: &Network, corner: Corner, scale: Scale, lengths: bool) -> Picture {
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
    // Without the building the box is smaller than the stage reckoned: round what is left.
    let all = boxes(&view(network, picture.clone(), Point::ORIGIN));
    if let Some(bounds) = all.into_iter().reduce(|a, b| a.union(b)) {
        picture.bounds = bounds.inflate(1.0, 1.0);
    }
    picture
}

/// The blank grid with axes, and where to begin.
pub(super) fn grid(exercise: &Exercise, page: &Page, lay: &Lay, drawing: &Drawing) -> Sheet {
    let area = page.drawing();
    let items = vec![
        Item::Group(axes::behind(lay, area, exercise.pitch_mm)),
        Item::Group(axes::start(lay.at(lay.anchor))),
        Item::Group(axes::axes(
            exercise.corner,
            area,
            &drawing.taken(lay.origin),
        )),
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
pub(super) fn key(exercise: &Exercise, page: &Page, lay: &Lay, drawing: &Drawing) -> Sheet {
    let area = page.drawing();
    let mut words = given::grid(exercise, page.metric);
    if drawing.pulled > 0.05 {
        words = format!(
            "Lines that fall on each other are pulled apart, by {:.1} mm at most. {words}",
            drawing.pulled
        );
    }
    let group = drawing.at(lay.origin);
    let items = vec![
        Item::Group(axes::behind(lay, area, exercise.pitch_mm)),
        Item::Group(axes::cleared(&group)),
        Item::Group(group),
        Item::Group(list(&drawing.numbered, area)),
        Item::Group(axes::axes(
            exercise.corner,
            area,
            &drawing.taken(lay.origin),
        )),
        Item::Group(page.caption(&words)),
    ];
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

/// An exercise's scale and those of scale rules that are smaller, the largest first; then halves of the smallest, for what is found on no rule.
fn smaller(scale: Scale, metric: bool) -> impl Iterator<Item = Scale> {
    let allowed = Scale::allowed(metric);
    let last = allowed.last().map_or(scale.0, |last| last.0.max(scale.0));
    let rule = allowed.iter().copied().filter(move |other| *other > scale);
    std::iter::once(scale)
        .chain(rule)
        .chain([Scale(last * 2), Scale(last * 4)])
}

/// The key from all four corners on one page, smaller where it has to be; nothing where it does not fit.
pub(super) fn all_corners(exercise: &Exercise, page: &Page) -> Option<Sheet> {
    let area = page.area;
    let title = NOTE * LEADING + 2.0 * PAD;
    let cell = |i: usize| {
        let (wide, high) = (area.width() / 2.0, area.height() / 2.0);
        let corner = Point::new(
            area.x0 + wide * (i % 2) as f64,
            area.y0 + high * (i / 2) as f64,
        );
        Rect::from_origin_size(corner, (wide, high))
    };
    // As on the compass: what is seen from the north above what is seen from the south.
    let corners = [Corner::Nw, Corner::Ne, Corner::Sw, Corner::Se];
    let room = Size::new(cell(0).width() - 2.0 * PAD, cell(0).height() - title - PAD);
    let (scale, drawings) = smaller(exercise.scale, page.metric).find_map(|scale| {
        let drawings: Option<Vec<Drawing>> = corners
            .iter()
            .map(|corner| Drawing::new(exercise, *corner, scale, room, false))
            .collect();
        Some((scale, drawings?))
    })?;
    let mut items = Vec::new();
    let mut rules = Group::new("rules");
    let middle = area.center();
    rules.stroke("", line((middle.x, area.y0), (middle.x, area.y1)), THIN);
    rules.stroke("", line((area.x0, middle.y), (area.x1, middle.y)), THIN);
    items.push(Item::Group(rules));
    for (i, (corner, drawing)) in corners.into_iter().zip(drawings).enumerate() {
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
            y0: cell.y0 + title - PAD,
            ..cell
        };
        let by = room.center() - drawing.bounds.center();
        let numbered = list(&drawing.numbered, room);
        let mut taken = drawing.taken(by);
        taken.extend(boxes(&words));
        taken.extend(boxes(&numbered));
        items.push(Item::Group(drawing.at(by)));
        items.push(Item::Group(numbered));
        items.push(Item::Group(axes::axes(corner, cell, &taken)));
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
