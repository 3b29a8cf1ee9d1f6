//! Times of fittings, pieces, take-off and all lists, for a house, a block and a tower, and for long rows of lavatories, by the IPC.

use std::fmt::Write;

use divan::{Bencher, black_box};
use wyeline_bench::{BLOCK, Building, HOUSE, TOWER, text};
use wyeline_codes::Pack;
use wyeline_fit::list::List;
use wyeline_fit::lists::{self, Given};
use wyeline_fit::marks::Marks;
use wyeline_fit::roughin::roughin;
use wyeline_fit::shelf::Shelf;
use wyeline_fit::takeoff::{By, TakeOff, takeoff};
use wyeline_fit::{Fitted, fit};
use wyeline_job::Job;
use wyeline_network::Network;
use wyeline_sizing::Sized;

const BUILDINGS: [&str; 3] = ["house", "block", "tower"];
/// Lavatories of a job that is one long row of them.
const ROWS: [usize; 3] = [300, 1_000, 3_000];

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
    of(&text(building))
}

/// A drain with lavatories beside it, each with a vent of its own through the roof.
fn row(lavatories: usize) -> Ready {
    let mut text =
        "job row\nunits ft-in\ncode ipc-2021\nlevel main floor 0' ceiling 8'\nroof 12'\n"
            .to_owned();
    for at in 0..lavatories {
        let _ = writeln!(
            text,
            "fixture L{at} lavatory main {}',10' faces south",
            6 * at
        );
    }
    text.push_str("waste d\n  start -5',0' main floor -3'\n  size 6\"\n");
    for at in 0..lavatories {
        let _ = writeln!(text, "  east to abreast L{at}.tee\n  point P{at}");
    }
    text.push_str("  cap\n");
    for at in 0..lavatories {
        let _ = writeln!(
            text,
            "waste b{at}\n  start P{at}\n  size 2\"\n  north to abreast L{at}.tee\n  end L{at}\n\
             vent v{at}\n  start L{at}.tee\n  size 2\"\n  up through roof"
        );
    }
    of(&text)
}

fn of(text: &str) -> Ready {
    let job = wyeline_job::read(text).job;
    let network = wyeline_network::build(&job, text).network;
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

#[divan::bench(args = ROWS, sample_count = 5, sample_size = 1)]
fn materials_of_a_row(bencher: Bencher<'_, '_>, lavatories: usize) {
    let ready = row(lavatories);
    bencher.bench_local(|| {
        listed(black_box(&ready), |given, counted| {
            vec![lists::materials(given, counted, By::Whole)]
        })
    });
}

#[divan::bench(args = ROWS, sample_count = 5, sample_size = 1)]
fn roughin_of_a_row(bencher: Bencher<'_, '_>, lavatories: usize) {
    let ready = row(lavatories);
    bencher.bench_local(|| {
        listed(black_box(&ready), |given, counted| {
            let pack = Some(ready.pack);
            let rough = roughin(
                given.job,
                given.network,
                given.fitted,
                &counted.crossings,
                pack,
            );
            lists::roughin(given, &rough).into()
        })
    });
}

#[divan::bench(args = ROWS, sample_count = 5, sample_size = 1)]
fn cuts_of_a_row(bencher: Bencher<'_, '_>, lavatories: usize) {
    let ready = row(lavatories);
    bencher.bench_local(|| listed(black_box(&ready), |given, _| lists::cuts(given)));
}

/// Lists of a job, from its sized network on.
fn listed(ready: &Ready, list: impl Fn(&Given, &TakeOff) -> Vec<List>) -> Vec<List> {
    let fitted = ready.fitted();
    let (shelf, _) = Shelf::of(&ready.job);
    let counted = takeoff(&ready.job, &ready.network, &fitted, &shelf);
    let marks = Marks::of(&fitted);
    let given = Given {
        job: &ready.job,
        network: &ready.network,
        fitted: &fitted,
        marks: &marks,
    };
    list(&given, &counted)
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
