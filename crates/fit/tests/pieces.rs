//! From centre lines to cut pipe: sums that add up, worked examples, what is too short, what is asked for.
//!
//! Sources beside each check; the trade mathematics is cut = centre to centre less both takeouts.

mod support;

use std::path::Path;

use support::{Fit, fit};
use wyeline_fit::model::{Straight, Trust};

const HEAD: &str = "job Pieces\nunits ft-in\nlevel main floor 0'\n";

fn ipc(runs: &str) -> Fit {
    fit("ipc-2021", &format!("{HEAD}{runs}"))
}

fn straight<'a>(job: &'a Fit, pipe: &str) -> &'a Straight {
    let ix = job.pipe(pipe);
    let all = job.fitted.straights.iter();
    all.clone()
        .find(|one| one.pipes.contains(&ix))
        .unwrap_or_else(|| panic!("no straight of {pipe}"))
}

/// The cut of the piece in a pipe, inches.
fn cut(job: &Fit, pipe: &str) -> Option<f64> {
    let piece = &straight(job, pipe).pieces[0];
    piece.cut_mm.map(|mm| mm / 25.4)
}

#[track_caller]
fn near(got: Option<f64>, expected: f64, within: f64) {
    let got = got.expect("a cut length");
    assert!((got - expected).abs() <= within, "{got} is not {expected}");
}

/// Between two elbows: 60 in between centres.
fn between(material: &str, size: &str, extra: &str) -> Fit {
    ipc(&format!(
        "{extra}cold c\nstart 0',0' main floor +2'\nsize {size}\nmaterial {material}\nup 2'\neast 5'\nup 2'\ncap\n"
    ))
}

/// A public page on galvanized pipe: centres 60 in, 3/4 pipe, 3/4 off for each ell, cut 58-1/2. The page takes 9/16 for the
/// thread, so the job tells that: 1.31 - 0.5625 = 0.7475 each, 60 - 1.495 = 58.505, printed 58-1/2.
#[test]
fn threaded_as_the_page_cuts_it() {
    let job = between(
        "galvanized",
        "3/4\"",
        "measured galvanized 3/4\" depth 9/16\"\n",
    );
    near(cut(&job, "c/2"), 58.505, 1e-9);
}

/// Modern Plumbing 2010 Fig. 20-21: a 3/4 in elbow lays 17/32. 60 - 2 x 0.53125 = 58.9375.
#[test]
fn soldered() {
    let job = between("copper", "3/4\"", "");
    near(cut(&job, "c/2"), 58.9375, 1e-9);
}

/// What the job measured holds instead of the table: 60 - 2 x 5/8 = 58.75, and is no estimate.
#[test]
fn measured_by_the_user() {
    let job = between(
        "copper",
        "3/4\"",
        "measured copper 3/4\" elbow-90 each 5/8\"\n",
    );
    near(cut(&job, "c/2"), 58.75, 1e-9);
    let parts = &straight(&job, "c/2").takeouts[0];
    let wyeline_fit::model::Takeout::Known(parts) = parts else {
        panic!("{parts:?}")
    };
    assert_eq!(parts[0].trust, Trust::Measured);
}

/// A vent elbow has no length at hand: nothing is cut, and the line to type is told.
#[test]
fn missing_is_asked_for() {
    let job = ipc(
        "waste d\nstart 0',0' main floor -3'\nsize 3\"\neast 5'\npoint A\neast 5'\ncap\n\
         vent v\nstart A\nsize 2\"\nup 5'\nfitting vent-elbow\neast 5'\ncap\n",
    );
    assert_eq!(cut(&job, "v/2"), None);
    let asked = &job.fitted.missing;
    assert_eq!(asked.len(), 1, "{asked:#?}");
    let tell = asked[0].tell.as_deref().unwrap();
    assert!(tell.starts_with("measured pvc 2\" vent-elbow"), "{tell}");
    // Both pieces at the elbow wait for it.
    assert_eq!(asked[0].pieces.len(), 2);
}

/// 3 in bends lay 3-1/16 each (memory of ASTM D3311) and take 1-1/2 of pipe in each socket: 9-1/8 between centres at
/// least. 6 in is too little, 9-1/4 enough.
#[test]
fn too_short_between_two_bends() {
    let between = |inches: &str| {
        ipc(&format!(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\nup 3'\neast {inches}\nup 3'\neast 3'\ncap\n"
        ))
    };
    let short = between("6\"");
    let found: Vec<_> = short
        .fitted
        .findings
        .iter()
        .filter(|finding| finding.code == "piece-too-short")
        .collect();
    assert_eq!(found.len(), 1, "{:#?}", short.fitted.findings);
    let enough = between("12\"");
    assert!(
        enough
            .fitted
            .findings
            .iter()
            .all(|finding| finding.code != "piece-too-short"),
        "{:#?}",
        enough.fitted.findings
    );
}

/// A riser from a level drain to a bend: the wye with its eighth bend lays (4-1/4 + 1-3/4) cos 45 + 1-3/4 = 5.99, working
/// estimates off by 9/16 together; the bend 3-1/16; 3 in stand in sockets: 12.06 in all. 11-3/4 lacks 5/16, less than the estimate may
/// be off; 11 lacks 1-1/16.
#[test]
fn as_short_as_an_estimate_may_be_off() {
    let riser = |inches: &str| {
        let job = ipc(&format!(
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\neast 5'\npoint X\neast 5'\ncap\n\
             waste b\nstart X\nsize 3\"\nup {inches}\neast 3'\ncap\n"
        ));
        let found = job.fitted.findings.iter();
        found
            .map(|one| (one.code, one.doubtful))
            .collect::<Vec<_>>()
    };
    assert_eq!(riser("11-3/4\""), [("piece-may-be-short", true)]);
    assert_eq!(riser("11\""), [("piece-too-short", false)]);
    assert_eq!(riser("12-1/4\""), []);
}

/// 45 ft of 3 in plastic from bars of 20 ft at most: ceil(45 / 20) - 1 = 2 couplings, three pieces.
#[test]
fn longer_than_a_bar() {
    let job = ipc("waste d\nstart 0',0' main floor -3'\nsize 3\"\nmaterial pvc\neast 45'\ncap\n");
    let one = straight(&job, "d/1");
    assert_eq!(one.pieces.len(), 3);
    assert_eq!(one.couplings.len(), 2);
    adds_up(one);
}

/// Under a closet: the flange lays 1-1/2 from its face (working estimate), the closet bend as a quarter bend 3-1/16; nothing
/// is missing. The drain lies 1 ft below the floor and falls from the bend: the riser is 12 less what 5 ft less 12 in fall.
#[test]
fn riser_of_a_closet() {
    let job = ipc(
        "wall main 0',0' 10',0' 10',10' 0',10' 0',0'\nfixture WC1 water-closet main 5',10' faces south\n\
         waste d\nstart 5',0' main floor -1'\nsize 3\"\nslope 1/4 in per ft\nnorth to abreast WC1.drain\nend WC1\n",
    );
    assert!(job.fitted.missing.is_empty(), "{:#?}", job.fitted.missing);
    // 9 ft to the flange, 12 in from the wall: 2-1/4 of fall.
    near(cut(&job, "d/WC1/1"), 12.0 - 2.25 - 1.5 - 3.0625, 1e-9);
}

#[track_caller]
fn adds_up(one: &Straight) {
    let (Some(a), Some(b)) = (one.takeouts[0].mm(), one.takeouts[1].mm()) else {
        assert!(one.pieces.iter().all(|piece| piece.cut_mm.is_none()));
        return;
    };
    let cuts: f64 = one.pieces.iter().filter_map(|piece| piece.cut_mm).sum();
    let stops: f64 = one.coupling_mm.iter().map(|part| part.mm).sum();
    let sum = a + cuts + stops + b;
    assert!(
        (sum - one.centre_mm).abs() < 1e-6,
        "{sum} of {}",
        one.centre_mm
    );
}

/// Pieces and allowances of every example add up to its centre lines, recomputed here from the nodes; and every pipe is
/// in one straight.
#[test]
fn every_example_adds_up() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let mut seen = 0;
    for file in std::fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "wye") || path.ends_with("mistakes.wye") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let code = text
            .lines()
            .find_map(|line| line.strip_prefix("code"))
            .map_or("ipc-2021", str::trim);
        let job = fit(code, &text);
        let mut used = vec![0; job.network.pipes.len()];
        for one in &job.fitted.straights {
            let length: f64 = one
                .pipes
                .iter()
                .map(|pipe| {
                    used[pipe.0 as usize] += 1;
                    let pipe = job.network.pipe(*pipe);
                    let a = job.network.node(pipe.from).at;
                    let b = job.network.node(pipe.to).at;
                    ((a.x - b.x).powi(2) + (a.y - b.y).powi(2) + (a.z - b.z).powi(2)).sqrt()
                })
                .sum();
            assert!((length - one.centre_mm).abs() < 1e-6);
            adds_up(one);
            seen += 1;
        }
        assert!(used.iter().all(|times| *times == 1), "{}", path.display());
    }
    assert!(seen > 300, "{seen} straights in all examples");
}
