//! The class: all different, equally hard.

use std::collections::HashSet;

use glam::DVec3;
use wyeline_lesson::make::{self, Layout};

use crate::{level, one, seeds};

/// A job's text without what names it, and where its pipes lie.
pub fn what_is_drawn(layout: &Layout) -> (String, Vec<[i64; 6]>) {
    let text = layout.text.lines().filter(|line| !line.starts_with("job"));
    let network = &layout.built.network;
    let mut pipes: Vec<[i64; 6]> = network
        .pipes
        .iter()
        .map(|pipe| {
            let [a, b] = [pipe.from, pipe.to].map(|node| network.node(node).drawn().to_array());
            [a[0], a[1], a[2], b[0], b[1], b[2]].map(|mm| mm.round() as i64)
        })
        .collect();
    pipes.sort_unstable();
    (text.collect::<Vec<_>>().join("\n"), pipes)
}

/// Pipes between turns and junctions, turns, crossings: counted again from the network alone.
fn hard(layout: &Layout) -> f64 {
    let network = &layout.built.network;
    let at = |node| network.node(node).drawn();
    let long: Vec<_> = network
        .pipes
        .iter()
        .filter(|pipe| at(pipe.from).distance(at(pipe.to)) > 1.0)
        .collect();
    let (mut pipes, mut turns) = (long.len(), 0);
    for node in &network.nodes {
        let ways: Vec<DVec3> = long
            .iter()
            .flat_map(|pipe| [(pipe.from, pipe.to), (pipe.to, pipe.from)])
            .filter(|(here, _)| network.node(*here).id == node.id)
            .map(|(here, there)| (at(there) - at(here)).normalize())
            .collect();
        if let [a, b] = ways[..] {
            if (a + b).length() < 0.01 {
                pipes -= 1;
            } else {
                turns += 1;
            }
        }
    }
    (pipes + turns + layout.difficulty.crossings as usize) as f64
}

fn class_holds(number: u8) {
    for seed in 0..seeds() / 30 {
        let practice = ["ipc-2021", "upc-2021"][seed as usize % 2];
        let class = make::class(level(number), practice, seed, 30).expect("a class");
        let drawn: Vec<_> = class.iter().map(what_is_drawn).collect();
        let texts: HashSet<_> = drawn.iter().map(|one| &one.0).collect();
        let pipes: HashSet<_> = drawn.iter().map(|one| &one.1).collect();
        assert_eq!(
            (texts.len(), pipes.len()),
            (30, 30),
            "level {number}, seed {seed}"
        );

        let totals: Vec<f64> = class.iter().map(hard).collect();
        for (total, layout) in totals.iter().zip(&class) {
            assert_eq!(
                *total,
                f64::from(layout.difficulty.total()),
                "{}",
                layout.code
            );
        }
        let most = totals.iter().copied().fold(0.0, f64::max);
        let least = totals.iter().copied().fold(f64::INFINITY, f64::min);
        let mean = totals.iter().sum::<f64>() / totals.len() as f64;
        assert!(
            (most - least) / mean <= 0.1,
            "level {number}, seed {seed}: {least} to {most}"
        );

        let alone = one(number, practice, seed, 17);
        assert_eq!(
            (&alone.text, &alone.beside),
            (&class[17].text, &class[17].beside)
        );
        assert_eq!(
            (alone.corner, alone.scale),
            (class[17].corner, class[17].scale)
        );
    }
}

#[test]
fn classes_of_easy_levels_are_equal_and_all_different() {
    for number in 2..=5 {
        class_holds(number);
    }
}
#[test]
fn classes_of_hard_levels_are_equal_and_all_different() {
    for number in 6..=9 {
        class_holds(number);
    }
}
