//! Lists made from small jobs, their rows derived by hand.

mod support;

use support::{Fit, fit};
use wyeline_fit::bars::{Bound, Origin};
use wyeline_fit::cutting::{Cutting, cuttings};
use wyeline_fit::lists::{self, Given};
use wyeline_fit::marks::{Marks, at_pipes};
use wyeline_units::Len;

const HEAD: &str = "job Lists\nunits ft-in\nlevel main floor 0' ceiling 8'\nroof 10'\n";

/// A drain of 2 in, `runs` told after its material.
fn drain(told: &str, runs: &str) -> Fit {
    fit(
        "ipc-2021",
        &format!(
            "{HEAD}{told}waste d\nstart 0',0' main floor -3'\nsize 2\"\nslope 1/4 in per ft\nmaterial pvc\n{runs}\ncap\n"
        ),
    )
}

fn only(job: &Fit) -> Cutting {
    let mut all = cuttings(&job.job, &job.fitted);
    assert_eq!(all.len(), 1);
    all.remove(0)
}

/// A straight pipe of 5 ft from its start to a cap is cut 5 ft long (its fall of 1-1/4 in makes it 0.013 in longer, less
/// than half of 1/16 in): an offcut of that length is used whole, without a cut.
#[test]
fn an_offcut_goes_before_a_new_bar() {
    let cutting = only(&drain("offcut pvc 2\" 5'\nstock pvc 10'\n", "east 5'"));
    let [bar] = &cutting.plan.bars[..] else {
        panic!("{:?}", cutting.plan);
    };
    assert_eq!((bar.origin, bar.length), (Origin::Offcut, Len::feet(5)));
    assert_eq!((bar.kerf, bar.rest), (Len::ZERO, Len::ZERO));
    assert_eq!(cutting.plan.bought, Len::ZERO);
}

/// An offcut of another size does not do: one bar of 10 ft, of which 5 ft less the job's kerf of 3/16 in are left.
#[test]
fn the_kerf_is_what_the_job_tells() {
    let told = "offcut pvc 3\" 5'\nstock pvc 10'\nkerf 3/16\"\n";
    let cutting = only(&drain(told, "east 5'"));
    let [bar] = &cutting.plan.bars[..] else {
        panic!("{:?}", cutting.plan);
    };
    let kerf = Len::sixty_fourths(12);
    assert_eq!((bar.origin, bar.kerf), (Origin::Bought, kerf));
    assert_eq!(bar.rest, Len::feet(5) - kerf);
    assert_eq!(cutting.plan.bound, Bound::Proven);
}

/// 23 ft of bars of 10 ft is three pieces with two couplings between; each has its mark, the drawing says all of them once.
#[test]
fn pieces_of_a_long_straight_are_marked_together() {
    let job = drain("stock pvc 10'\n", "east 23'");
    let marks = Marks::of(&job.fitted);
    let said = at_pipes(&job.network, &job.fitted, &marks);
    assert_eq!(said.len(), 1);
    assert_eq!(said[0].1, "P1-P3");
    let given = Given {
        job: &job.job,
        network: &job.network,
        fitted: &job.fitted,
        marks: &marks,
    };
    let [pieces, ..] = &lists::cuts(&given)[..] else {
        panic!("no list of pieces");
    };
    // The cap is F1; the couplings come after what stands at nodes. Drains are told upstream: the cap is upstream.
    let ends: Vec<[String; 2]> = pieces
        .rows()
        .map(|(_, row)| [row[2].shown(), row[3].shown()])
        .collect();
    let coupling = |number: u32| format!("F{number} 2\" coupling");
    assert_eq!(ends[0], ["F1 2\" cap".to_owned(), coupling(2)]);
    assert_eq!(ends[1], [coupling(2), coupling(3)]);
    assert_eq!(ends[2], [coupling(3), "start of the run".to_owned()]);
    // Centre to centre of all three is the whole straight, along its fall of 1 in 48.
    let centres = pieces.rows().map(|(_, row)| match &row[4] {
        wyeline_fit::list::Cell::Length { mm, .. } => *mm,
        other => panic!("{other:?}"),
    });
    let sum: f64 = centres.sum();
    let whole = Len::feet(23).mm() * 1.0_f64.hypot(1.0 / 48.0);
    assert!((sum - whole).abs() < 1e-6, "{sum}, {whole}");
}

/// Two bends 3 in apart leave no room for pipe: the piece is told as too short and goes into no bar.
#[test]
fn what_is_too_short_is_not_laid() {
    let job = drain("", "east 5'\nnorth 3\"\neast 5'");
    let short = job.fitted.findings.iter();
    let short: Vec<_> = short.filter(|one| one.code == "piece-too-short").collect();
    assert_eq!(short.len(), 1);
    let cutting = only(&job);
    assert_eq!(cutting.waiting.len(), 1);
    let laid = cutting.plan.bars.iter().flat_map(|bar| &bar.cuts);
    assert_eq!(laid.count(), 2);
}
