//! Times of fittings, pieces, take-off and all lists, for a house, a block and a tower, by the IPC.

use divan::{Bencher, black_box};
use wyeline_bench::{BLOCK, Building, HOUSE, TOWER, text};
use wyeline_codes::Pack;
use wyeline_fit::lists::{self, Given};
use wyeline_fit::marks::Marks;
use wyeline_fit::roughin::roughin;
use wyeline_fit::shelf::Shelf;
use wyeline_fit::takeoff::{By, takeoff};
use wyeline_fit::{Fitted, fit};
use wyeline_job::Job;
use wyeline_network::Network;
use wyeline_sizing::Sized;

const BUILDINGS: [&str; 3] = ["house", "block", "tower"];

fn main() {
    divan::main();
}

struct Ready {
    job: Job,
    network: Network,
    pack: &'static Pack,
    sized: Sized,
}

fn ready(name: &str) -> Ready {
    let building: Building = match name {
        "house" => HOUSE,
        "block" => BLOCK,
        _ => TOWER,
    };
    let text = text(building);
    let job = wyeline_job::read(&text).job;
    let network = wyeline_network::build(&job, &text).network;
    let pack = Pack::named("ipc-2021").expect("a code that is held");
    let sized = wyeline_sizing::size(&job, &network, pack);
    let sizes: Vec<_> = sized.pipes.iter().map(|pipe| pipe.size).collect();
    let network = wyeline_network::with_sizes(network, &sizes);
    Ready {
        job,
        network,
        pack,
        sized,
    }
}

impl Ready {
    fn fitted(&self) -> Fitted {
        fit(&self.job, &self.network, Some((self.pack, &self.sized))).0
    }
}

#[divan::bench(args = BUILDINGS)]
fn fittings_and_pieces(bencher: Bencher<'_, '_>, name: &str) {
    let ready = ready(name);
    bencher.bench_local(|| black_box(&ready).fitted());
}

#[divan::bench(args = BUILDINGS)]
fn take_off(bencher: Bencher<'_, '_>, name: &str) {
    let ready = ready(name);
    bencher.bench_local(|| {
        let fitted = black_box(&ready).fitted();
        let (shelf, _) = Shelf::of(&ready.job);
        takeoff(&ready.job, &ready.network, &fitted, &shelf)
    });
}

/// Everything that the three commands list, from a sized network on; the tower's cut plan lays some ten thousand pieces
/// and is measured by itself (`bars`).
#[divan::bench(args = ["house", "block"])]
fn all_lists(bencher: Bencher<'_, '_>, name: &str) {
    let ready = ready(name);
    bencher.bench_local(|| {
        let fitted = black_box(&ready).fitted();
        let (shelf, _) = Shelf::of(&ready.job);
        let counted = takeoff(&ready.job, &ready.network, &fitted, &shelf);
        let rough = roughin(
            &ready.job,
            &ready.network,
            &fitted,
            &counted.crossings,
            Some(ready.pack),
        );
        let marks = Marks::of(&fitted);
        let given = Given {
            job: &ready.job,
            network: &ready.network,
            fitted: &fitted,
            marks: &marks,
        };
        (
            lists::materials(&given, &counted, By::Whole),
            lists::cuts(&given),
            lists::roughin(&given, &rough),
        )
    });
}
