//! Pressures of a tree of 10,000 pipes, and friction by itself.

use divan::{Bencher, black_box};
use wyeline_hydraulics::Water;
use wyeline_hydraulics::friction::colebrook;
use wyeline_hydraulics::tree::{Branch, Law, SOURCE, gather, pressures};

const PIPES: usize = 10_000;

fn main() {
    divan::main();
}

/// A riser that branches and branches again, three pipes to a junction; every last pipe draws 0.01 l/s.
fn tree() -> (Vec<u32>, Vec<Branch>, Vec<f64>) {
    let parents: Vec<u32> = (0..PIPES as u32)
        .map(|pipe| if pipe == 0 { SOURCE } else { (pipe - 1) / 3 })
        .collect();
    let pipes = (0..PIPES)
        .map(|pipe| Branch {
            bore: 0.02 + 0.2 / (1.0 + pipe as f64).sqrt(),
            length: 3.0,
            roughness: 1.5e-6,
            c: 140.0,
            k: 2.0,
            devices: 0.0,
            rise: 0.1,
        })
        .collect();
    let draws = (0..PIPES)
        .map(|pipe| if pipe * 3 + 1 < PIPES { 0.0 } else { 1e-5 })
        .collect();
    (parents, pipes, draws)
}

/// Flows, losses and pressures from what is drawn.
fn solve(bencher: Bencher<'_, '_>, law: Law) {
    let (parents, pipes, draws) = tree();
    let water = Water::at(10.0);
    bencher.bench_local(|| {
        let mut flows = black_box(&draws).clone();
        gather(&parents, &mut flows).expect("the tree is in order");
        pressures(&parents, black_box(&pipes), &flows, 5e5, water, law)
            .expect("the tree is in order")
    });
}

#[divan::bench]
fn tree_of_10_000_by_hazen_williams(bencher: Bencher<'_, '_>) {
    solve(bencher, Law::HazenWilliams);
}

#[divan::bench]
fn tree_of_10_000_by_darcy_weisbach(bencher: Bencher<'_, '_>) {
    solve(bencher, Law::DarcyWeisbach);
}

#[divan::bench]
fn friction_factor() -> f64 {
    colebrook(black_box(24_652.0), black_box(7.5e-5))
}
