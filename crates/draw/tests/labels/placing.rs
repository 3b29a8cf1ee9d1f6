//! Where labels stand.

use kurbo::{Point, Vec2};
use proptest::prelude::*;
use wyeline_draw::Picture;
use wyeline_draw::label::{Options, What, check, place, quality};
use wyeline_draw::picture::{About, Label, LabelClass};
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{NodeKind, PipeIx};

use super::bench::{node, picture, pipe, symbol, tangle};

const LEVEL: Options = Options { along: false };

/// One pipe of 12 ft (76 mm on paper at 1/48) going a way from the origin.
fn single(way: (f64, f64, f64), along: bool) -> (Network, Picture) {
    let mut net = Network::default();
    let a = node(&mut net, (0.0, 0.0, 0.0), NodeKind::Turn, System::Waste);
    let b = node(
        &mut net,
        (way.0 * 12.0, way.1 * 12.0, way.2 * 12.0),
        NodeKind::Turn,
        System::Waste,
    );
    pipe(&mut net, a, b, 3);
    let mut made = picture(&net, 48);
    place(&net, &mut made, &Options { along });
    (net, made)
}

fn block(picture: &Picture) -> &Label {
    picture
        .labels
        .iter()
        .find(|l| l.class == LabelClass::Pipe)
        .expect("the pipe is labelled")
}

fn middle(label: &Label) -> Point {
    (label.area.iter().fold(Vec2::ZERO, |v, c| v + c.to_vec2()) / 4.0).to_point()
}

#[test]
fn words_stand_above_a_pipe_going_to_the_right() {
    // East from the south-west corner goes up to the right: y = -x tan 30 on paper.
    let (_, made) = single((1.0, 0.0, 0.0), false);
    let at = middle(block(&made));
    assert!(at.y < -at.x * 30.0_f64.to_radians().tan());
    assert_eq!(block(&made).lines[0].angle, 0.0);
}

#[test]
fn words_stand_left_of_a_vertical() {
    let (_, made) = single((0.0, 0.0, 1.0), false);
    assert!(middle(block(&made)).x < 0.0);
}

#[test]
fn words_keep_half_to_a_whole_text_height_from_their_pipe() {
    for way in [
        (1.0, 0.0, 0.0),
        (0.0, 1.0, 0.0),
        (0.0, 0.0, 1.0),
        (1.0, 1.0, 0.0),
    ] {
        for along in [false, true] {
            let (_, made) = single(way, along);
            let q = quality(&made);
            assert!((0.499..=1.001).contains(&q.mean_distance), "{way:?} {q:?}");
        }
    }
}

#[test]
fn words_along_a_pipe_read_from_below_or_from_the_right() {
    // On paper: 30 degrees up to the right is -30 clockwise; 30 down to the right, +30; a riser
    // is read from the right, its words going up, -90.
    let angles = [
        ((1.0, 0.0, 0.0), -30.0),
        ((0.0, -1.0, 0.0), 30.0),
        ((0.0, 0.0, -1.0), -90.0),
    ];
    for (way, angle) in angles {
        let (_, made) = single(way, true);
        assert!(
            (block(&made).lines[0].angle - angle).abs() < 1e-9,
            "{way:?}"
        );
    }
}

#[test]
fn of_two_pipes_side_by_side_each_has_its_words_nearer_to_itself() {
    let mut net = Network::default();
    for y in [0.0, 3.0] {
        let a = node(&mut net, (0.0, y, 0.0), NodeKind::Turn, System::Cold);
        let b = node(&mut net, (12.0, y, 0.0), NodeKind::Turn, System::Cold);
        pipe(&mut net, a, b, 1);
    }
    let mut made = picture(&net, 48);
    place(&net, &mut made, &LEVEL);
    let distance = |label: &Label, pipe: usize| {
        let mark = &made.pipes[pipe];
        let (a, b) = (mark.pieces[0].0, mark.pieces[mark.pieces.len() - 1].1);
        label
            .area
            .iter()
            .map(|c| ((b - a).cross(*c - a) / (b - a).hypot()).abs())
            .fold(f64::MAX, f64::min)
    };
    for label in made.labels.iter().filter(|l| l.class == LabelClass::Pipe) {
        let About::Pipe(PipeIx(own)) = label.about else {
            panic!("a pipe's block is about a pipe")
        };
        let own = own as usize;
        assert!(distance(label, own) < distance(label, 1 - own));
    }
}

#[test]
fn letters_stand_in_a_gap_of_the_line_wide_enough_for_them() {
    let (net, mut made) = {
        let mut net = Network::default();
        let a = node(&mut net, (0.0, 0.0, 0.0), NodeKind::Turn, System::Cold);
        let b = node(&mut net, (12.0, 0.0, 0.0), NodeKind::Turn, System::Cold);
        pipe(&mut net, a, b, 1);
        let made = picture(&net, 48);
        (net, made)
    };
    place(&net, &mut made, &LEVEL);
    let letters: Vec<&Label> = made
        .labels
        .iter()
        .filter(|l| l.class == LabelClass::Letters)
        .collect();
    assert_eq!(letters.len(), 1, "76 mm is between 25 and 120 mm: once");
    assert_eq!(letters[0].lines[0].text, "C");
    let pieces = &made.pipes[0].pieces;
    assert_eq!(pieces.len(), 2);
    let gap = pieces[0].1.midpoint(pieces[1].0);
    assert!(gap.distance(middle(letters[0])) < 1e-6);
    assert!(check(&made).is_empty());
}

#[test]
fn the_same_picture_comes_out_the_same_every_time() {
    let (net, blank) = tangle(7, 12, 8, 20);
    let (mut one, mut two) = (blank.clone(), blank);
    place(&net, &mut one, &LEVEL);
    place(&net, &mut two, &LEVEL);
    assert_eq!(format!("{one:?}"), format!("{two:?}"));
}

#[test]
fn the_count_finds_labels_planted_on_things() {
    let (_, mut made) = single((1.0, 0.0, 0.0), false);
    assert!(check(&made).is_empty());
    let own = made
        .labels
        .iter()
        .position(|l| l.class == LabelClass::Pipe)
        .expect("there is one");
    let planted = |to: Point, made: &mut Picture| {
        let mut label = made.labels[own].clone();
        let by = to - middle(&label);
        label.area = label.area.map(|c| c + by);
        label.lines.iter_mut().for_each(|l| l.at += by);
        made.labels.push(label);
        made.labels.len() - 1
    };
    // On the pipe's middle, on the other label, on a symbol far off.
    let (a, b) = made.pipes[0].pieces[0];
    let on_pipe = planted(a.midpoint(b), &mut made);
    assert!(
        check(&made)
            .iter()
            .any(|t| t.one == What::Label(on_pipe) && t.other == What::Pipe(0))
    );
    made.labels.pop();

    let place = middle(&made.labels[own]) + Vec2::new(1.0, 1.0);
    let on_label = planted(place, &mut made);
    assert!(
        check(&made)
            .iter()
            .any(|t| t.one == What::Label(own) && t.other == What::Label(on_label))
    );
    made.labels.pop();

    let (net, _) = single((1.0, 0.0, 0.0), false);
    symbol(&mut made, &net, wyeline_network::model::NodeIx(1), 2.0);
    let on_symbol = planted(b + Vec2::new(0.0, 1.0), &mut made);
    let found = check(&made);
    assert!(
        found
            .iter()
            .any(|t| t.one == What::Label(on_symbol) && t.other == What::Symbol(0)),
        "{found:?}"
    );
}

#[test]
fn the_count_finds_a_leader_across_a_pipe_and_glyphs_out_of_their_area() {
    let (_, mut made) = single((1.0, 0.0, 0.0), false);
    let own = made
        .labels
        .iter()
        .position(|l| l.class == LabelClass::Pipe)
        .expect("there is one");
    let (a, b) = made.pipes[0].pieces[0];
    let on = a.midpoint(b);
    made.labels[own].leader = Some((on + Vec2::new(0.0, 5.0), on - Vec2::new(0.0, 1.0)));
    assert!(check(&made).iter().any(|t| t.one == What::Leader(own)));
    made.labels[own].leader = None;
    made.labels[own].lines[0].at += Vec2::new(0.0, -1.0);
    assert!(check(&made).iter().any(|t| t.other == What::Glyphs(own)));
}

#[test]
fn a_label_beside_a_slanting_pipe_whose_bounds_it_shares_does_not_count() {
    // The pipe's bounds are 66 x 38 mm; its upper left half is free.
    let (_, mut made) = single((1.0, 0.0, 0.0), false);
    let own = made
        .labels
        .iter()
        .position(|l| l.class == LabelClass::Pipe)
        .expect("there is one");
    let by = Point::new(15.0, -30.0) - middle(&made.labels[own]);
    made.labels[own].area = made.labels[own].area.map(|c| c + by);
    made.labels[own].lines.iter_mut().for_each(|l| l.at += by);
    assert!(check(&made).is_empty());
}

/// Blocks planned for a tangle, and blocks found again as labels or rows of the table.
fn accounted(net: &Network, made: &Picture) -> Result<(), TestCaseError> {
    for (i, pipe) in net.pipes.iter().enumerate() {
        let about = About::Pipe(PipeIx(i as u32));
        let labels = made
            .labels
            .iter()
            .filter(|l| l.about == about && l.class == LabelClass::Pipe);
        let mut words: Vec<&str> = labels
            .flat_map(|l| &l.lines)
            .map(|l| l.text.as_str())
            .collect();
        // A number stands for its row in the table.
        let rows: Vec<&str> = made
            .overflow
            .iter()
            .filter(|(tag, text)| words.contains(&tag.as_str()) || text.contains("pipe with"))
            .map(|(_, text)| text.as_str())
            .collect();
        words.extend(rows);
        let size = pipe.size.map(|s| s.to_string()).unwrap_or_default();
        prop_assert!(
            words.iter().any(|w| w.contains(&size)),
            "{} of pipe {} is lost: {:?}",
            size,
            i,
            words
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn nothing_touches_and_nothing_is_lost(
        seed in any::<u64>(), runs in 1_u64..20, legs in 1_u64..10, feet in 4_u64..40, along in any::<bool>()
    ) {
        let (net, mut made) = tangle(seed, runs, legs, feet);
        place(&net, &mut made, &Options { along });
        let touches = check(&made);
        prop_assert!(touches.is_empty(), "{:?}", touches);
        accounted(&net, &made)?;
    }

    #[test]
    fn lines_are_cut_only_where_letters_stand(seed in any::<u64>()) {
        // What is missing of each line is the gaps: one fewer than pieces, each with its letters.
        let (net, blank) = tangle(seed, 6, 6, 30);
        let mut made = blank.clone();
        place(&net, &mut made, &LEVEL);
        for (before, after) in blank.pipes.iter().zip(&made.pipes) {
            let letters = made.labels.iter().filter(|l| {
                l.class == LabelClass::Letters && l.about == About::Pipe(after.pipe)
            });
            prop_assert_eq!(after.pieces.len(), before.pieces.len() + letters.count());
            prop_assert_eq!(after.pieces[0].0, before.pieces[0].0);
            prop_assert_eq!(after.pieces[after.pieces.len() - 1].1, before.pieces[0].1);
        }
    }
}

/// Prints how long a sheet of about so many labels takes, and what it looks like in numbers.
fn measure(runs: u64, feet: u64, least: usize) {
    let (net, blank) = tangle(1, runs, 5, feet);
    let mut made = blank.clone();
    place(&net, &mut made, &LEVEL);
    let mut best = f64::INFINITY;
    for _ in 0..5 {
        let mut again = blank.clone();
        let start = std::time::Instant::now();
        place(&net, &mut again, &LEVEL);
        best = best.min(start.elapsed().as_secs_f64());
    }
    println!(
        "{} labels in {:.2} ms: {:?}",
        made.labels.len(),
        best * 1e3,
        quality(&made)
    );
    assert!(made.labels.len() >= least);
    assert!(check(&made).is_empty());
}

#[test]
fn a_sheet_of_200_labels_is_clean() {
    measure(27, 120, 200);
}

#[test]
fn a_sheet_of_1000_labels_is_clean() {
    measure(125, 280, 1000);
}
