//! Jobs for the writers' tests.

use wyeline_sheet::{Layout, Options};

/// The sheets of a job told in words; the job has to be without mistakes.
pub fn layout(text: &str, options: &Options) -> Layout {
    let reading = wyeline_job::read(text);
    assert!(reading.diagnostics.is_empty(), "{:?}", reading.diagnostics);
    let built = wyeline_network::build(&reading.job, text);
    assert!(built.diagnostics.is_empty(), "{:?}", built.diagnostics);
    wyeline_sheet::sheets(&built.network, options).expect("there is something to draw")
}

/// A cold pipe that goes 10 ft east, then 6 ft up, at 1/4 in = 1 ft, seen from the south-west; lines 8 and 9 of its job.
pub fn ten_feet() -> Layout {
    let text = "job Ten feet\nunits ft-in\nlevel main floor 0' ceiling 8'\nroof 12'\n\
                cold c1\n  start 0',0' main floor +1'\n  size 1/2\"\n  east 10'\n  up 6'\n  cap\n";
    layout(text, &quarter_inch())
}

/// 1/4 in = 1 ft from the south-west.
pub fn quarter_inch() -> Options {
    Options {
        scale: Some(wyeline_units::Scale(48)),
        corner: Some(wyeline_draw::Corner::Sw),
        ..Options::default()
    }
}
