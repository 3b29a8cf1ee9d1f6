//! Every mistake of meaning is told at its place, and what is understood is still built.

mod support;

use support::{built, codes, pipe};
use wyeline_job::Severity;

const HOUSE: &str = "level main floor 0'\nfixture WC1 water-closet main 5',3' faces south\nfixture LAV1 lavatory main 9',3' faces south\n";

/// The one mistake of that code, and the words of the text it points at.
#[track_caller]
fn mistake(text: &str, code: &str) -> (wyeline_job::Diagnostic, String) {
    let built = built(text);
    let found: Vec<_> = built
        .diagnostics
        .iter()
        .filter(|d| d.code == code)
        .collect();
    assert_eq!(found.len(), 1, "{code} among {:#?}", built.diagnostics);
    let span = found[0].span;
    (
        found[0].clone(),
        text[span.start as usize..span.end as usize].to_owned(),
    )
}

/// A drain with a reach for the steps, to find one thing wrong in.
fn drain(steps: &str) -> String {
    format!("{HOUSE}waste d\nstart 0',0' main floor -2'\n{steps}")
}

#[test]
fn unknown_names_are_told_with_the_nearest_known() {
    for (steps, code, at, help) in [
        (
            "east 1'\nend WC2\n",
            "unknown-tag",
            "WC2",
            "did you mean `WC1`?",
        ),
        (
            "east to abreast WC3.drain\ncap\n",
            "unknown-tag",
            "WC3",
            "did you mean `WC1`?",
        ),
        (
            "east 1'\npoint STACK\neast 1'\njoin STAKC\n",
            "unknown-point",
            "STAKC",
            "did you mean `STACK`?",
        ),
        (
            "material pcv\neast 1'\ncap\n",
            "unknown-material",
            "pcv",
            "did you mean `pvc`?",
        ),
    ] {
        let (found, words) = mistake(&drain(steps), code);
        assert_eq!(words, at);
        assert_eq!(found.help.as_deref(), Some(help), "{steps}");
        assert_eq!(found.severity, Severity::Mistake);
    }
}

#[test]
fn unknown_kinds_and_ports() {
    let (found, at) = mistake(
        "level main floor 0'\nfixture A lavatry main 0',0' faces south\n",
        "unknown-kind",
    );
    assert_eq!(
        (at.as_str(), found.help.as_deref()),
        ("lavatry", Some("did you mean `lavatory`?"))
    );
    let (found, _) = mistake(&drain("east 1'\nend WC1.gas\n"), "unknown-port");
    assert_eq!(found.label, "expected one of drain, cold");
}

/// What the reader has told already is not told twice.
#[test]
fn unknown_levels_are_told_by_the_reader() {
    let text = "level main floor 0'\nfixture A lavatory mian 0',0' faces south\n";
    let reading = wyeline_job::read(text);
    assert_eq!(
        reading
            .diagnostics
            .iter()
            .map(|d| d.code)
            .collect::<Vec<_>>(),
        ["unknown-level"]
    );
    assert_eq!(codes(&wyeline_network::build(&reading.job, text)), [""; 0]);
}

#[test]
fn the_vent_of_a_fixture_with_an_arm_starts_at_its_tee() {
    let (found, _) = mistake(
        &format!("{HOUSE}vent v\nstart LAV1.vent\nup 3'\ncap\n"),
        "unknown-port",
    );
    assert_eq!(
        found.help.as_deref(),
        Some("the vent of LAV1 starts at its `tee`")
    );
}

#[test]
fn surfaces_that_are_not_told() {
    for (height, code) in [
        ("main ceiling", "ceiling-not-stated"),
        ("main joists", "joists-not-stated"),
        ("roof", "roof-not-stated"),
    ] {
        mistake(
            &format!("level main floor 0'\ncold c\nstart 0',0' {height}\neast 1'\ncap\n"),
            code,
        );
    }
    mistake(
        &format!("{HOUSE}vent v\nstart LAV1.tee\nup through roof\n"),
        "roof-not-stated",
    );
}

#[test]
fn water_does_not_go_into_waste() {
    let (found, _) = mistake(
        &format!("{HOUSE}cold c\nstart 0',0' main floor\neast 1'\nend WC1.drain\n"),
        "systems-do-not-meet",
    );
    assert_eq!(found.message, "cold does not go into the drain of WC1");
    let text = format!(
        "{}cold c\nstart P\neast 1'\ncap\n",
        drain("east 1'\npoint P\neast 1'\ncap\n")
    );
    assert_eq!(
        mistake(&text, "systems-do-not-meet").0.message,
        "cold does not go into a waste run"
    );
    let text = "level main floor 0'\ncold c\nstart 0',0' datum\neast 1'\npoint P\neast 1'\ncap\nhot h\nstart P\nnorth 1'\ncap\n";
    mistake(text, "systems-do-not-meet");
}

#[test]
fn hot_water_may_begin_at_a_mixing_valve() {
    let text = "level main floor 0'\ncold c\nstart 0',0' datum\neast 1'\nmixing-valve\npoint P\neast 1'\ncap\nhot h\nstart P\nnorth 1'\ncap\n";
    assert_eq!(codes(&built(text)), [""; 0]);
}

/// Told going upstream, a drain may only rise.
#[test]
fn drains_do_not_run_uphill() {
    let (found, _) = mistake(&drain("east 1'\ndown 3\"\neast 1'\ncap\n"), "drain-uphill");
    assert_eq!(found.message, "going upstream the drain would fall by 3\"");
    mistake(
        &drain("east 1'\ndown 3\" at 45 east\ncap\n"),
        "drain-uphill",
    );
    mistake(
        &drain("east 1'\noffset down 3\" north 4\" at 45\ncap\n"),
        "drain-uphill",
    );
    // -24 and 8 ft at 1/4 in per ft is -22: a riser to -23 would have to go down.
    let (found, _) = mistake(
        &drain("east 8'\nup to main floor -23\"\ncap\n"),
        "drain-uphill",
    );
    assert_eq!(found.message, "going upstream the drain would fall by 1\"");
    // Below where it began: no slope leads there.
    mistake(
        &drain("east 8'\narrives main floor -2'1\"\ncap\n"),
        "drain-uphill",
    );
}

/// From -2 with 8 ft of level run the branch comes to 0, and 3 in further to 1/16 above the floor
/// (15 ft at 1/4 in per ft is 3-3/4; begun at -3 that is 3/4 too high).
#[test]
fn a_drain_that_arrives_above_its_fixture() {
    let text = "level main floor 0'\nfixture FD1 floor-drain main 15',0' faces south\nwaste d\nstart 0',0' main floor -3\"\neast 1'\nend FD1\n";
    let (found, _) = mistake(text, "drain-above-port");
    // Strainer 1/8 below the floor: 3/4 + 1/8.
    assert_eq!(found.message, "the drain arrives 7/8\" above FD1.drain");
    // 2-7/8 over 15 ft.
    assert_eq!(
        found.help.as_deref(),
        Some("a slope of 0.192 in per ft would just reach it; or begin lower")
    );
}

#[test]
fn loops_in_a_drain() {
    let text = format!(
        "{}waste e\nstart P\nnorth 2'\neast 2'\njoin Q\n",
        drain("east 1'\npoint P\neast 2'\npoint Q\neast 1'\ncap\n")
    );
    assert_eq!(
        codes(&built(&text))
            .iter()
            .filter(|c| **c == "drain-loop")
            .count(),
        1
    );
}

#[test]
fn loops_of_water_are_no_mistake() {
    let text = "level main floor 0'\ncold c\nstart 0',0' datum\neast 1'\npoint P\neast 2'\npoint Q\neast 1'\ncap\ncold e\nstart P\nnorth 2'\neast 2'\njoin Q\n";
    assert_eq!(codes(&built(text)), [""; 0]);
}

#[test]
fn runs_that_lead_nowhere() {
    mistake(&drain("cap\n"), "run-without-length");
    mistake(
        "level main floor 0'\ncold c\nstart 0',0' datum\npoint P\neast 1'\nnorth 1'\njoin P\n",
        "run-returns-to-start",
    );
}

#[test]
fn abreast_of_what_lies_behind() {
    let (found, _) = mistake(&drain("west to abreast WC1.drain\ncap\n"), "abreast-behind");
    assert_eq!(found.message, "WC1 lies 5'-0\" behind, the other way");
}

/// Once a run has gone astray, what follows from it is not told again.
#[test]
fn one_mistake_is_told_once() {
    let found = codes(&built(&drain(
        "east to abreast WC9.drain\nwest to abreast WC1.drain\ncatch WC1\nwest 1'\nend LAV1\n",
    )));
    assert_eq!(found, ["unknown-tag"]);
}

#[test]
fn points_that_wait_for_each_other() {
    let text = "level main floor 0'\ncold a\nstart Q\neast 1'\npoint P\neast 1'\ncap\ncold b\nstart P\neast 1'\npoint Q\neast 1'\ncap\n";
    assert!(codes(&built(text)).contains(&"points-in-a-circle"));
    let text = "level main floor 0'\ncold a\nstart 0',0' datum\neast to abreast P\neast 1'\npoint P\ncap\n";
    assert!(codes(&built(text)).contains(&"points-in-a-circle"));
}

#[test]
fn fixtures_on_one_spot() {
    let (found, _) = mistake(
        &format!("{HOUSE}fixture BT1 bathtub main 5',3' faces south\n"),
        "fixtures-on-one-spot",
    );
    assert_eq!(found.message, "BT1 stands on the same spot as WC1");
    assert_eq!(found.notes.len(), 1);
}

/// Only for systems that the job has, and for fixtures that need them.
#[test]
fn fixtures_that_nothing_reaches() {
    let found = built(&drain("east to abreast WC1.drain\nend WC1\n"));
    let told: Vec<_> = found
        .diagnostics
        .iter()
        .map(|d| d.message.as_str())
        .collect();
    assert_eq!(told, ["no waste run reaches LAV1"]);
    assert_eq!(found.diagnostics[0].severity, Severity::Warning);
}

/// A 2 in pipe is 2.375 outside. Its centre 1 above the column's north face is 1.1875 - 1 = 3/16 into it.
#[test]
fn a_pipe_through_a_column() {
    let column = |y: &str| {
        format!(
            "level main floor 0'\ncolumn C1 4',-6\" to 5',0' top main floor +4' deep 8'\ncold c\nstart 0',{y} main floor +1'\nsize 2\"\nmaterial steel\neast 9'\ncap\n"
        )
    };
    let (found, _) = mistake(&column("1\""), "pipe-through-body");
    assert_eq!(found.message, "the pipe goes through column C1 by 3/16\"");
    assert_eq!(
        found.help.as_deref(),
        Some("move the pipe 3/16\" north, or more")
    );
    // 1-1/4 off it passes.
    assert_eq!(codes(&built(&column("1-1/4\""))), [""; 0]);
}

/// A slab is there to be crossed by risers, not to lie in.
#[test]
fn pipe_in_a_slab() {
    let slab = |steps: &str| {
        format!(
            "level main floor 0'\nslab S1 0',0' to 9',9' top main floor deep 6\"\ncold c\nstart 1',1' main floor -2'\n{steps}cap\n"
        )
    };
    assert_eq!(codes(&built(&slab("up 4'\n"))), [""; 0]);
    assert_eq!(
        codes(&built(&slab("up to main floor -3\"\neast 3'\n"))),
        ["pipe-through-body"]
    );
}

#[test]
fn moves_that_cannot_be_made() {
    for (steps, code) in [
        (
            "offset up 3\" north 4\" at 45\ncap\n",
            "offset-without-heading",
        ),
        (
            "north 1'\noffset up 3\" north 4\" at 45\ncap\n",
            "offset-not-square",
        ),
        ("east into wall\neast 1'\ncap\n", "no-such-wall"),
        ("up 1'\ndown to main floor -2'\ncap\n", "drain-uphill"),
        ("up 1'\nup to main floor -18\"\ncap\n", "height-behind"),
        ("east 1'\nup 1'\ncatch WC1 at 45\ncap\n", "no-room-for-45"),
        ("cleanout A\ncleanout B\neast 1'\ncap\n", "two-on-one-point"),
        (
            "cleanout A length 1'\ncleanout B\neast 6\"\ncap\n",
            "no-room-for-device",
        ),
        (
            "east 1'\ncleanout A length 1'\ncleanout B\ncap\n",
            "no-room-for-device",
        ),
    ] {
        mistake(&drain(steps), code);
    }
}

/// What the reader refuses is refused here too, for jobs that come from elsewhere than text.
#[test]
fn a_job_not_read_from_text() {
    use wyeline_job::model::{Compass, Reach, StepKind};
    use wyeline_units::{Len, Slope};
    for (kind, code) in [
        (
            StepKind::Tilt {
                up: true,
                rise: Len::inches(6),
                angle: 4400,
                way: Compass::East,
            },
            "angle-without-fitting",
        ),
        (
            StepKind::Level {
                way: Compass::East,
                reach: Reach::Travel(Len::inches(-6)),
            },
            "negative-length",
        ),
        (
            StepKind::Level {
                way: Compass::East,
                reach: Reach::Legs(Len::inches(6)),
            },
            "legs-along-axis",
        ),
        (StepKind::Slope(Slope::LEVEL), "level-drain"),
    ] {
        let text = drain("east 1'\neast 1'\ncap\n");
        let mut job = wyeline_job::read(&text).job;
        job.runs[0].steps[2].kind = kind;
        let built = wyeline_network::build(&job, &text);
        assert!(codes(&built).contains(&code), "{code}: {:?}", codes(&built));
        // The rest of the run stands.
        assert_eq!(built.network.runs[0].pipes.len(), 1);
    }
}

/// A branch at 45 needs as much run before its port as it goes aside.
#[test]
fn no_room_for_a_45() {
    let text = "level main floor 0'\nfixture FD1 floor-drain main 5',3' faces south\nwaste d\nstart 0',0' datum -3'\neast to abreast FD1.drain\ncatch FD1 at 45\neast 1'\ncap\n";
    let (found, _) = mistake(text, "no-room-for-45");
    assert_eq!(found.help.as_deref(), Some("leave the run 3'-0\" earlier"));
}

/// A mistaken step is left out; the steps after it are taken from the last good point.
#[test]
fn what_is_understood_is_built() {
    let built = built(&drain(
        "east 1'\ncatch WC9\neast to abreast WC1.drain\nend WC1\n",
    ));
    assert!(codes(&built).contains(&"unknown-tag"));
    let n = &built.network;
    assert!((n.node(pipe(n, "d/2").from).at.x / 25.4 - 60.0).abs() < 1e-9);
    assert!(n.pipes.iter().any(|p| p.id == "d/WC1/1"));
}

#[test]
fn an_invert_needs_a_size() {
    let found = built("level main floor 0'\nwaste d\nstart 0',0' invert datum\neast 1'\ncap\n");
    assert_eq!(codes(&found), ["height-without-size"]);
}

/// What is doubtful is listed, with the reason.
#[test]
fn doubts_are_listed() {
    use wyeline_network::model::DoubtKind::{Assumed, Unknown, Unverified};
    let n = built("level main floor 0' unverified\nwaste d\nstart 0',0' datum unverified\neast 1'\nsize 3\"\neast 1'\nunverified\nmaterial pp\neast 1'\ncap\n").network;
    let told: Vec<_> = n.doubts.iter().map(|d| (d.why, d.line)).collect();
    assert_eq!(
        told,
        [
            (Unverified, 1), // the level
            (Unverified, 3), // the start
            (Assumed, 4),    // the slope
            (Unknown, 4),    // no size yet
            (Assumed, 6),    // a size, and no material
            (Unknown, 9),    // a material without a table
            (Unverified, 9),
        ]
    );
}
