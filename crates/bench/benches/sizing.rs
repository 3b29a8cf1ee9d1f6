//! Times of sizing, of the checks, of one pipe's derivation and of the falls, for a house, a block and a tower, by each code.

use divan::{Bencher, black_box};
use wyeline_bench::{BLOCK, Building, HOUSE, TOWER, text};
use wyeline_checks::{Context, check};
use wyeline_codes::Pack;
use wyeline_job::Job;
use wyeline_network::Network;
use wyeline_network::model::PipeIx;
use wyeline_sizing::{falls, size, why};

const BUILDINGS: [&str; 3] = ["house", "block", "tower"];

fn main() {
    divan::main();
}

fn built(name: &str) -> (Job, Network) {
    let building: Building = match name {
        "house" => HOUSE,
        "block" => BLOCK,
        _ => TOWER,
    };
    let text = text(building);
    let job = wyeline_job::read(&text).job;
    let network = wyeline_network::build(&job, &text).network;
    (job, network)
}

fn by(bencher: Bencher<'_, '_>, name: &str, code: &str) {
    let (job, network) = built(name);
    let pack = Pack::named(code).expect("a code that is held");
    bencher.bench_local(|| size(black_box(&job), &network, pack));
}

#[divan::bench(args = BUILDINGS)]
fn ipc(bencher: Bencher<'_, '_>, name: &str) {
    by(bencher, name, "ipc-2021");
}

#[divan::bench(args = BUILDINGS)]
fn upc(bencher: Bencher<'_, '_>, name: &str) {
    by(bencher, name, "upc-2021");
}

#[divan::bench(args = BUILDINGS)]
fn en(bencher: Bencher<'_, '_>, name: &str) {
    by(bencher, name, "en-12056");
}

#[divan::bench(args = BUILDINGS)]
fn why_of_one_pipe(bencher: Bencher<'_, '_>, name: &str) {
    let (job, network) = built(name);
    let pack = Pack::named("ipc-2021").expect("a code that is held");
    let sized = size(&job, &network, pack);
    bencher.bench_local(|| why(black_box(&job), &network, pack, &sized, PipeIx(0)));
}

#[divan::bench(args = BUILDINGS)]
fn falls_of_all_drains(bencher: Bencher<'_, '_>, name: &str) {
    let (job, network) = built(name);
    let pack = Pack::named("ipc-2021").expect("a code that is held");
    let sized = size(&job, &network, pack);
    bencher.bench_local(|| falls::falls(black_box(&network), pack, &sized));
}

#[divan::bench(args = BUILDINGS)]
fn checks(bencher: Bencher<'_, '_>, name: &str) {
    let (job, network) = built(name);
    let pack = Pack::named("ipc-2021").expect("a code that is held");
    let sized = size(&job, &network, pack);
    bencher.bench_local(|| check(&Context::new(black_box(&job), &network, &sized, pack)));
}
