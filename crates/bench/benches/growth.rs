//! How the time of every stage grows from house to block to tower, with the exponent fitted to it,
//! and the most memory that the tower takes.
//!
//! The exponent is the slope of the least-squares line through log time over log number of pipes.

use std::hint::black_box;
use std::time::{Duration, Instant};

use wyeline_bench::{BLOCK, HOUSE, TOWER, text};
use wyeline_draw::iso::{IsoOptions, iso};
use wyeline_draw::{Corner, Part};
use wyeline_network::Network;
use wyeline_sheet::{Options, Paper, Sheet, sheets};
use wyeline_units::Scale;

/// A stage is repeated until it has run so long in all.
const LONG_ENOUGH: Duration = Duration::from_millis(400);

const STAGES: [&str; 6] = [
    "job",
    "network",
    "isometric",
    "sheets",
    "svg",
    "text to svg",
];

/// Times of the stages for one building.
struct Times {
    name: &'static str,
    pipes: usize,
    stages: [Duration; STAGES.len()],
}

fn main() {
    // Test runs of all targets call benches too; there is nothing to test here.
    if std::env::args().any(|argument| argument == "--test") {
        return;
    }
    // Before anything else is held: the way from text to SVG, and what it leaves, alone.
    let tower = drawn(&text(TOWER));
    let memory = peak_memory();
    drop(tower);
    let times = [HOUSE, BLOCK, TOWER].map(measure);
    print!("{:<12}", "stage");
    for time in &times {
        print!("{:>23}", format!("{}, {} pipes", time.name, time.pipes));
    }
    println!("{:>10}", "exponent");
    for (stage, name) in STAGES.iter().enumerate() {
        print!("{name:<12}");
        for time in &times {
            print!(
                "{:>23}",
                format!("{:.3} ms", time.stages[stage].as_secs_f64() * 1e3)
            );
        }
        let points = times.each_ref().map(|time| {
            (
                (time.pipes as f64).ln(),
                time.stages[stage].as_secs_f64().ln(),
            )
        });
        println!("{:>10.3}", slope(&points));
    }
    match memory {
        Some(memory) => println!("most memory taken from text to svg, tower: {memory}"),
        None => println!("most memory taken from text to svg: not known on this system"),
    }
}

/// The least time of several runs: what the work itself takes, without what else the machine does.
fn least<T>(work: impl Fn() -> T) -> Duration {
    let began = Instant::now();
    let mut least = Duration::MAX;
    while least == Duration::MAX || began.elapsed() < LONG_ENOUGH {
        let start = Instant::now();
        black_box(work());
        least = least.min(start.elapsed());
    }
    least
}

fn sheets_of(network: &Network, options: &Options) -> Vec<Sheet> {
    sheets(network, options).expect("the building fits").sheets
}

fn options() -> Options {
    Options {
        corner: Some(Corner::Sw),
        paper: Paper::named("arch-d"),
        ..Options::default()
    }
}

/// The whole way from text to SVG.
fn drawn(text: &str) -> Vec<String> {
    let job = wyeline_job::read(text).job;
    let network = wyeline_network::build(&job, text).network;
    let sheets = sheets_of(&network, &options());
    sheets.iter().map(wyeline_exchange::svg).collect()
}

fn measure(building: wyeline_bench::Building) -> Times {
    let text = text(building);
    let options = options();
    let reading = wyeline_job::read(&text);
    let built = wyeline_network::build(&reading.job, &text);
    assert!(
        reading.diagnostics.is_empty(),
        "{:?}",
        reading.diagnostics.first()
    );
    assert!(
        built.diagnostics.is_empty(),
        "{:?}",
        built.diagnostics.first()
    );
    let network = built.network;
    let looking = IsoOptions {
        corner: Corner::Sw,
        scale: Scale(48),
        true_fall: false,
        part: Part::default(),
        labels_along: false,
        grid: false,
    };
    let laid_out = sheets_of(&network, &options);
    let stages = [
        least(|| wyeline_job::read(&text)),
        least(|| wyeline_network::build(&reading.job, &text)),
        least(|| iso(&network, &looking)),
        least(|| sheets_of(&network, &options)),
        least(|| {
            let sheets = laid_out.iter();
            sheets.map(wyeline_exchange::svg).collect::<Vec<_>>()
        }),
        least(|| drawn(&text)),
    ];
    Times {
        name: building.name,
        pipes: network.pipes.len(),
        stages,
    }
}

/// Slope of the least-squares line through the points.
fn slope(points: &[(f64, f64)]) -> f64 {
    let count = points.len() as f64;
    let (mean_x, mean_y) = points.iter().fold((0.0, 0.0), |(x, y), point| {
        (x + point.0 / count, y + point.1 / count)
    });
    let (over, under) = points.iter().fold((0.0, 0.0), |(over, under), (x, y)| {
        (
            over + (x - mean_x) * (y - mean_y),
            under + (x - mean_x).powi(2),
        )
    });
    over / under
}

/// The most memory this program held at once, as the system counts it (VmHWM of proc(5)).
fn peak_memory() -> Option<String> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: f64 = line.trim().strip_suffix("kB")?.trim().parse().ok()?;
    Some(format!("{:.0} MB", kilobytes / 1024.0))
}
