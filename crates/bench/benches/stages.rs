//! Times of every stage by itself, and of the whole way from text to SVG, for a house and a block.

use std::fmt::Write as _;

use divan::{Bencher, black_box};
use wyeline_bench::{BLOCK, Building, HOUSE, text};
use wyeline_draw::iso::{IsoOptions, iso};
use wyeline_draw::plan::{PlanOptions, plan};
use wyeline_draw::{Corner, Part};
use wyeline_network::Network;
use wyeline_network::model::LevelIx;
use wyeline_sheet::{Options, Paper, Sheet, sheets};
use wyeline_units::Scale;

const BUILDINGS: [&str; 2] = ["house", "block"];

fn main() {
    divan::main();
}

fn building(name: &str) -> Building {
    if name == "house" { HOUSE } else { BLOCK }
}

fn sheets_of(network: &Network) -> Vec<Sheet> {
    sheets(network, &options())
        .expect("the building fits")
        .sheets
}

fn network(text: &str) -> Network {
    wyeline_network::build(&wyeline_job::read(text).job, text).network
}

fn options() -> Options {
    Options {
        corner: Some(Corner::Sw),
        paper: Paper::named("arch-d"),
        ..Options::default()
    }
}

#[divan::bench(args = BUILDINGS)]
fn job(bencher: Bencher<'_, '_>, name: &str) {
    let text = text(building(name));
    bencher.bench_local(|| wyeline_job::read(black_box(&text)));
}

#[divan::bench(args = BUILDINGS)]
fn net(bencher: Bencher<'_, '_>, name: &str) {
    let text = text(building(name));
    let job = wyeline_job::read(&text).job;
    bencher.bench_local(|| wyeline_network::build(black_box(&job), &text));
}

#[divan::bench(args = BUILDINGS)]
fn isometric(bencher: Bencher<'_, '_>, name: &str) {
    let network = network(&text(building(name)));
    let options = IsoOptions {
        corner: Corner::Sw,
        scale: Scale(48),
        true_fall: false,
        part: Part::default(),
        labels_along: false,
        grid: false,
    };
    bencher.bench_local(|| iso(black_box(&network), &options));
}

#[divan::bench(args = BUILDINGS)]
fn plan_of_a_level(bencher: Bencher<'_, '_>, name: &str) {
    let network = network(&text(building(name)));
    let options = PlanOptions {
        level: LevelIx(0),
        scale: Scale(48),
        part: Part::default(),
        labels_along: false,
    };
    bencher.bench_local(|| plan(black_box(&network), &options));
}

#[divan::bench(args = BUILDINGS)]
fn best_corner(bencher: Bencher<'_, '_>, name: &str) {
    let network = network(&text(building(name)));
    bencher
        .bench_local(|| wyeline_draw::best::best(black_box(&network), &Part::default(), Scale(48)));
}

/// All four corners of 300 pipes lying anyhow: a fourth of this is more than finding their crossings takes, for
/// a corner is judged by them, by what coincides and by how crowded it is.
#[divan::bench]
fn best_corner_of_300_scattered_pipes(bencher: Bencher<'_, '_>) {
    let network = network(&scattered(300));
    assert_eq!(network.pipes.len(), 300);
    bencher
        .bench_local(|| wyeline_draw::best::best(black_box(&network), &Part::default(), Scale(48)));
}

/// The text of a job with so many pipes of their own in a room of 40 by 40 by 9 ft, the same each time.
fn scattered(pipes: usize) -> String {
    let mut text = "job scattered\nunits ft-in\nlevel l0 floor 0' ceiling 10'\n".to_owned();
    // Numbers without a pattern to the eye: a linear congruential generator, its constants those of C's standard
    // (ISO/IEC 9899, the example under `rand`), from memory.
    let mut state = 1_u32;
    let mut below = |limit: u32| {
        state = state.wrapping_mul(1_103_515_245).wrapping_add(12_345);
        (state >> 16) % limit
    };
    for i in 0..pipes {
        let (east, north, up) = (below(40), below(40), below(9));
        let way = ["east", "west", "north", "south", "up"][below(5) as usize];
        let length = 1 + below(12);
        let _ = writeln!(
            text,
            "cold r{i}\n  start {east}',{north}' l0 floor +{up}'\n  size 3/4\"\n  material copper\n  {way} {length}'\n  cap"
        );
    }
    text
}

#[divan::bench(args = BUILDINGS)]
fn sheet(bencher: Bencher<'_, '_>, name: &str) {
    let network = network(&text(building(name)));
    bencher.bench_local(|| sheets_of(black_box(&network)));
}

#[divan::bench(args = BUILDINGS)]
fn svg(bencher: Bencher<'_, '_>, name: &str) {
    let sheets = sheets_of(&network(&text(building(name))));
    bencher.bench_local(|| {
        black_box(&sheets)
            .iter()
            .map(wyeline_exchange::svg)
            .collect::<Vec<_>>()
    });
}

#[divan::bench(args = BUILDINGS)]
fn pdf(bencher: Bencher<'_, '_>, name: &str) {
    let sheets = sheets_of(&network(&text(building(name))));
    bencher.bench_local(|| wyeline_exchange::pdf(black_box(&sheets)));
}

#[divan::bench(args = BUILDINGS)]
fn text_to_svg(bencher: Bencher<'_, '_>, name: &str) {
    let text = text(building(name));
    bencher.bench_local(|| {
        let network = network(black_box(&text));
        sheets_of(&network)
            .iter()
            .map(wyeline_exchange::svg)
            .collect::<Vec<_>>()
    });
}
