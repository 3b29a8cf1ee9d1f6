//! Times of every stage by itself, and of the whole way from text to SVG, for a house and a block.

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
