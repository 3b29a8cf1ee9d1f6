//! Blocks that found no room: a ringed number beside the pipe, and the words in a table.

use wyeline_network::Network;

use super::block::{Item, Layout};
use super::candidate::Candidate;
use super::field::{Field, Thing};
use super::search::Search;
use super::shape::Oblong;
use super::solve::HOPELESS;
use super::want::Want;
use super::{set, words};
use crate::picture::{About, Picture};
use crate::style;

/// Places kept for each half of a block.
const KEPT: usize = 20;

/// Numbers the blocks left over and sets their tags; `field` holds the fixed obstacles.
pub(super) fn tag(net: &Network, picture: &mut Picture, left: Vec<Want>, mut field: Field) {
    for label in &picture.labels {
        let [a, b, _, d] = label.area;
        let side = (d - a) / 2.0;
        let area = Oblong::of_stroke(a + side, b + side, side.hypot());
        field.add(area, Thing::Label(0));
        if let Some((p, q)) = label.leader {
            field.add(
                Oblong::of_stroke(p, q, super::candidate::LEADER_HALF),
                Thing::Label(0),
            );
        }
    }
    let mut search = Search::default();
    let left = if left.len() <= HOPELESS {
        apart(left, &mut search, &mut field, picture)
    } else {
        left
    };
    for want in left {
        let number = (picture.overflow.len() + 1).to_string();
        let height = style::sizes().lettering_notes;
        let items = vec![Item::ringed(number.clone(), height)];
        let tag = Want {
            about: want.about,
            class: want.class,
            layouts: vec![Layout::new(&items, &[], false)],
            items,
            breaks: Vec::new(),
            spot: want.spot,
            along: false,
        };
        let found = search.number(&tag, &field);
        let mut text = want.text();
        if let Some(c) = found {
            field.add(c.area, Thing::Label(0));
            if let Some(leader) = c.leader_shape() {
                field.add(leader, Thing::Label(0));
            }
            picture.labels.push(set(&tag, &c));
        } else {
            // Not even a number fits: the table says where it belongs.
            text = format!("{text} ({})", whereabouts(net, want.about));
        }
        picture.overflow.push((number, text));
    }
}

/// Sets a block that is too wide as two beside the same pipe, size and length apart from fall and
/// marks, where both find room; gives back the rest.
fn apart(
    left: Vec<Want>,
    search: &mut Search,
    field: &mut Field,
    picture: &mut Picture,
) -> Vec<Want> {
    let mut rest = Vec::new();
    for want in left {
        let parts = halves(&want);
        let mut found: Vec<Candidate> = Vec::new();
        for part in &parts {
            let places = search.beside(part, field, KEPT).iter();
            let free = |c: &&Candidate| !found.iter().any(|f| f.clashes(c));
            let Some(c) = places.copied().find(|c| free(&c)) else {
                break;
            };
            found.push(c);
        }
        if parts.is_empty() || found.len() < parts.len() {
            rest.push(want);
            continue;
        }
        for (part, c) in parts.iter().zip(found) {
            field.add(c.area, Thing::Label(0));
            picture.labels.push(set(part, &c));
        }
    }
    rest
}

/// A block's items in two blocks, broken where its rows would be; nothing where it has but one.
fn halves(want: &Want) -> Vec<Want> {
    let Some(&at) = want.breaks.last() else {
        return Vec::new();
    };
    let half = |items: &[Item]| Want {
        layouts: vec![Layout::new(items, &[], want.along)],
        items: items.to_vec(),
        breaks: Vec::new(),
        ..want.clone()
    };
    vec![half(&want.items[..at]), half(&want.items[at..])]
}

/// Where something is, in words: east, north and height.
fn whereabouts(net: &Network, about: About) -> String {
    let place = |at: glam::DVec3| {
        let length = |mm| words::length(mm, net.units);
        format!(
            "{} east, {} north, CL {}",
            length(at.x),
            length(at.y),
            words::height(at.z, net.units)
        )
    };
    match about {
        About::Pipe(ix) => {
            let (a, b) = net.true_ends(net.pipe(ix));
            format!("pipe with its middle at {}", place((a + b) / 2.0))
        }
        About::Node(ix) => place(net.node(ix).at),
        About::Fixture(ix) => net.fixtures[ix.0 as usize].tag.clone(),
        About::Building => "building".to_owned(),
    }
}
