//! Steps of a run that can be said in more than one way.

mod support;

use support::meaning;
use wyeline_job::model::{Bound, Job, StepKind, Surface};
use wyeline_job::{read, tidy};

/// A job without a mistake.
#[track_caller]
fn job(text: &str) -> Job {
    let reading = read(text);
    assert_eq!(reading.diagnostics, []);
    reading.job
}

fn arrives(says: &str) -> (Bound, Surface) {
    let text = format!(
        "level main floor 0\nlevel at-or-below floor 9\nwaste d\nstart 0,0 datum\neast 5'\narrives {says}\ncap"
    );
    match &job(&text).runs[0].steps[2].kind {
        StepKind::Arrives { bound, height } => (*bound, height.from.clone()),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_height_is_told_exactly_or_as_a_bound() {
    assert_eq!(arrives("datum -3'"), (Bound::Exactly, Surface::Datum));
    assert_eq!(
        arrives("at-or-below invert datum -3'"),
        (Bound::AtOrBelow, Surface::Datum)
    );
    assert_eq!(
        arrives("at-or-above roof -3'"),
        (Bound::AtOrAbove, Surface::Roof)
    );
}

/// A job that read before there were bounds reads the same.
#[test]
fn a_level_may_be_called_as_a_bound_is() {
    let (bound, from) = arrives("at-or-below floor -3'");
    assert_eq!(bound, Bound::Exactly);
    assert!(matches!(from, Surface::Floor(name) if name.text == "at-or-below"));
    let (bound, from) = arrives("at-or-below at-or-below floor -3'");
    assert_eq!(bound, Bound::AtOrBelow);
    assert!(matches!(from, Surface::Floor(name) if name.text == "at-or-below"));
}

/// Whether another run goes on from there is not for the reader to know.
#[test]
fn a_run_may_stop_at_a_named_point() {
    let text =
        "waste s\n  start 0,0 datum\n  up 5'\n  point TOP\nvent v\n  start TOP\n  up 5'\n  cap\n";
    let job = job(text);
    assert_eq!(job.runs.len(), 2);
    let last = |run: usize| job.runs[run].last_point().map(|name| name.text.as_str());
    assert_eq!((last(0), last(1)), (Some("TOP"), None));
    assert_eq!(meaning(&tidy(text)), meaning(text));
}

/// In a group its name gets the placement's, as the one it is referred to by.
#[test]
fn a_placed_run_may_stop_at_a_named_point() {
    let text = "level main floor 0\nroof 12'\ngroup g\nwaste s\nstart 0,0 here floor\nup 5'\npoint TOP\n\
        vent v\nstart TOP\nup 5'\narrives at-or-below here floor +11'\nup through roof\nend-group\nplace g as G at 0,0 on main\n";
    let job = job(text);
    let stops = job.runs.iter().find_map(|run| run.last_point());
    assert_eq!(stops.map(|name| name.text.as_str()), Some("G/TOP"));
}
