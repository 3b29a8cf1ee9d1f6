//! The plan sheets of a pipe exercise: each storey's plan with lengths and marks, the table of heights, the brief.

use kurbo::{Point, Rect, Vec2};
use wyeline_draw::Corner;
use wyeline_draw::ink::{Lettering, Weight};
use wyeline_draw::plan::viewpoint_mark;
use wyeline_network::Network;
use wyeline_sheet::{
    Group, Item, LEADING, Mark, NOTE, Sheet, north, scale_bar, scale_words, shift, view,
};
use wyeline_units::Scale;

use crate::exercise::Exercise;

use super::axes;
use super::brief::{self, ROW};
use super::heights::heights;
use super::lay::Lay;
use super::page::{PAD, Page};
use super::storey::{Storey, UNDER, plans, start_row, storeys, under};
use super::told::told;

/// Room for the north arrow beside a plan's words, mm.
const NORTH: f64 = 15.0;

/// The plan sheets.
pub(super) fn sheets(exercise: &Exercise, network: &Network, page: &Page, lay: &Lay) -> Vec<Sheet> {
    let told = told(network);
    let heights = heights(&told);
    let mut rows = heights.rows.clone();
    rows.extend(start_row(&told, lay));
    let (words, room) = brief::set(exercise, &rows, page);
    let plans = plans(&told, &heights, lay);
    let allowed = Scale::allowed(page.metric);
    let smallest = allowed[allowed.len() - 1];
    // All storeys on one page where a scale lets every word find its place.
    let mut tried: Vec<(Scale, Vec<Option<Storey>>)> = Vec::new();
    for scale in allowed {
        if *scale != smallest && plans.iter().all(|plan| plan.is_larger(room, *scale)) {
            continue;
        }
        let storeys = storeys(&told, &plans, &heights, lay, *scale, room.width());
        let all_said = storeys.iter().all(|storey| storey.numbered.is_empty());
        let places = beside(&storeys, room).or_else(|| above(&storeys, room));
        if let Some(places) = places.filter(|_| all_said) {
            return vec![sheet(
                exercise,
                page,
                &words,
                storeys.into_iter().zip(places).collect(),
                *scale,
            )];
        }
        tried.push((*scale, storeys.into_iter().map(Some).collect()));
    }
    // Else each on a page of its own, at the largest scale at which every word has its place, or at the largest that fits, or at the smallest.
    let mut own = |i: usize| {
        let fits =
            |storey: &Storey| storey.size().0 <= room.width() && storey.size().1 <= room.height();
        let at = |wanted: &dyn Fn(&Storey) -> bool| {
            tried
                .iter()
                .position(|(_, storeys)| storeys[i].as_ref().is_some_and(wanted))
        };
        let found = at(&|storey| fits(storey) && storey.numbered.is_empty())
            .or_else(|| at(&fits))
            .unwrap_or(tried.len() - 1);
        let (scale, storeys) = &mut tried[found];
        let storey = storeys[i].take().map(|storey| (storey, room));
        sheet(exercise, page, &words, storey.into_iter().collect(), *scale)
    };
    (0..plans.len()).map(&mut own).collect()
}

/// Places side by side, where they fit.
fn beside(storeys: &[Storey], room: Rect) -> Option<Vec<Rect>> {
    let wide: f64 = storeys.iter().map(|s| s.size().0).sum();
    let high = storeys.iter().map(|s| s.size().1).fold(0.0, f64::max);
    let spare = room.width() - wide;
    (spare >= 0.0 && high <= room.height()).then(|| {
        let mut x = room.x0;
        let share = spare / storeys.len().max(1) as f64;
        let place = |s: &Storey| {
            let x0 = x;
            x += s.size().0 + share;
            Rect { x0, x1: x, ..room }
        };
        storeys.iter().map(place).collect()
    })
}

/// Places one above the other, the upper storey higher, where they fit.
fn above(storeys: &[Storey], room: Rect) -> Option<Vec<Rect>> {
    let high: f64 = storeys.iter().map(|s| s.size().1).sum();
    let wide = storeys.iter().map(|s| s.size().0).fold(0.0, f64::max);
    let spare = room.height() - high;
    (spare >= 0.0 && wide <= room.width()).then(|| {
        let mut y = room.y1;
        let share = spare / storeys.len().max(1) as f64;
        let place = |s: &Storey| {
            let y1 = y;
            y -= s.size().1 + share;
            Rect { y0: y, y1, ..room }
        };
        storeys.iter().map(place).collect()
    })
}

/// A sheet with storeys at their places.
fn sheet(
    exercise: &Exercise,
    page: &Page,
    words: &Group,
    storeys: Vec<(Storey, Rect)>,
    scale: Scale,
) -> Sheet {
    let mut items = vec![Item::Group(words.clone())];
    let names: Vec<String> = storeys
        .iter()
        .map(|(storey, _)| storey.name.clone())
        .collect();
    for (storey, place) in storeys {
        items.extend(set(storey, place, exercise.corner, scale));
    }
    page.sheet(
        exercise,
        &format!("Plan: {}", names.join(", ")),
        true,
        items,
    )
}

/// A storey set at its place: plan, eye, name, scale.
fn set(storey: Storey, place: Rect, corner: Corner, scale: Scale) -> Vec<Item> {
    let all = storey.all();
    let under = under(&storey.numbered);
    let room = Rect {
        y1: place.y1 - under,
        ..place
    };
    let by: Vec2 = room.center() - all.center();
    let units = storey.network.units;
    let mut eye = Group::new("viewpoint");
    let strokes = viewpoint_mark(storey.picture.bounds + by, corner);
    eye.items.extend(strokes.into_iter().map(|stroke| {
        Item::Stroke(Mark {
            class: "eye",
            stroke,
        })
    }));
    let mut items = Vec::new();
    if let Some(start) = storey.start {
        items.push(Item::Group(axes::cross(start + by)));
    }
    items.push(Item::Group(view(
        &storey.network,
        storey.picture,
        by.to_point(),
    )));
    items.push(Item::Group(eye));
    let (mut arrow, bounds) = north(None);
    let left = place.x0 + PAD;
    shift(
        &mut arrow,
        Point::new(left, room.y1 + 1.0) - bounds.origin(),
    );
    items.push(Item::Group(arrow));
    let mut words = Group::new("caption");
    let x = left + NORTH;
    let mut y = room.y1 + 4.5;
    words.text(
        "title",
        Lettering::new(
            &format!("Plan, {}", storey.name),
            Point::new(x, y),
            3.0,
            Weight::SemiBold,
        ),
    );
    y += NOTE * LEADING;
    words.text(
        "note",
        Lettering::new(
            &format!("scale {}", scale_words(scale)),
            Point::new(x, y),
            NOTE,
            Weight::Regular,
        ),
    );
    let (mut bar, ..) = scale_bar(scale, units);
    shift(&mut bar, Vec2::new(x, y + 2.0));
    items.push(Item::Group(bar));
    y = room.y1 + UNDER + NOTE;
    for line in &storey.numbered {
        words.text(
            "note",
            Lettering::new(line, Point::new(left, y), NOTE, Weight::Regular),
        );
        y += ROW;
    }
    items.push(Item::Group(words));
    items
}
