//! What results rest on that nobody has verified, in water, drains and gas.

mod support;

use support::{Sizing, sizing};

const HEAD: &str = "job doubt\nunits ft-in\nslope 1/4 in per ft\nlevel main floor 0' ceiling 9'\nroof 20'\nuse private\n";

fn rests(done: &Sizing, id: &str) -> Vec<String> {
    let on = done.sized.pipe_rests_on(done.ix(id));
    on.map(str::to_owned).collect()
}

fn water(main: &str, supply: &str) -> Sizing {
    sizing(
        "ipc-2021",
        &format!(
            "{HEAD}{supply}cold main\n  start 0',0' main floor +2'\n{main}  east 10'\n  point T\n  east 10'\n  continues \"on\" load 2 wsfu\n\
             cold branch\n  start T\n  north 10'\n  continues \"up\" load 2 wsfu\n"
        ),
    )
}

/// Pressure in a branch follows from the old main that feeds it; the main itself rests on nothing else.
#[test]
fn water_behind_an_unverified_main() {
    let done = water(
        "  existing\n  unverified\n  size 3/4\"\n",
        "supply pressure 60 psi\n",
    );
    assert_eq!(rests(&done, "branch/1"), ["place and heights of main"]);
    assert_eq!(rests(&done, "main/1"), ["place and heights of main"]);
}

/// Verified, nothing is said: existing pipe alone is no doubt.
#[test]
fn existing_and_verified_is_no_doubt() {
    let done = water("  existing\n  size 3/4\"\n", "supply pressure 60 psi\n");
    assert_eq!(done.sized.unverified, []);
}

/// Where the height of the measured pressure is not verified no pressure is.
#[test]
fn the_height_of_a_measured_pressure() {
    let done = water("", "supply pressure 60 psi at main floor -3' unverified\n");
    assert_eq!(
        rests(&done, "branch/1"),
        ["the height at which the pressure was measured"]
    );
}

/// A new drain that takes an unverified old branch in carries what that brings, from there on: drains are told upstream, so
/// that `new/1` is behind the old branch and `new/2` before it.
#[test]
fn drains_rest_on_what_flows_into_them() {
    let done = sizing(
        "ipc-2021",
        &format!(
            "{HEAD}waste new\n  start 0',0' main floor -3'\n  size 3\"\n  north 10'\n  point J\n  north 10'\n  continues \"bath\" load 4 dfu\n\
             waste old\n  start J\n  existing\n  unverified\n  size 3\"\n  west 10'\n  continues \"old bath\" load 4 dfu\n"
        ),
    );
    assert_eq!(rests(&done, "new/1"), ["place and heights of old"]);
    assert_eq!(rests(&done, "new/2"), [] as [&str; 0]);
}

/// A new drain into an unverified sewer: its load is its own, its fall rests on the sewer's heights.
#[test]
fn falls_rest_on_what_they_fall_to() {
    let done = sizing(
        "ipc-2021",
        &format!(
            "{HEAD}waste sewer\n  start 0',0' main floor -3'\n  existing\n  unverified\n  size 4\"\n  east 10'\n  point J\n  east 10'\n  continues \"old\" load 4 dfu\n\
             waste new\n  start J\n  verified\n  size 3\"\n  north 10'\n  continues \"bath\" load 4 dfu\n"
        ),
    );
    let fall: Vec<&str> = done.sized.fall_rests_on(done.ix("new/1")).collect();
    assert_eq!(fall, ["place and heights of sewer"]);
    assert_eq!(rests(&done, "new/1"), [] as [&str; 0]);
}

/// By the longest length an unverified branch may be the longest: every pipe rests on it. By branches, only what feeds it.
#[test]
fn gas_rests_on_lengths() {
    let job = |method: &str| {
        format!(
            "{HEAD}{method}supply gas natural pressure 7 in-wc\ngas g\n  start 0',0' main floor +1'\n  east 10'\n  point T\n  east 10'\n  continues \"a\" load 30000 btu/h\n\
             gas old\n  start T\n  unverified\n  north 20'\n  continues \"b\" load 30000 btu/h\n"
        )
    };
    let long = sizing("ipc-2021", &job(""));
    assert_eq!(rests(&long, "g/2"), ["place and heights of old"]);
    let short = sizing("ipc-2021", &job("method gas branch-length\n"));
    assert_eq!(rests(&short, "g/1"), ["place and heights of old"]);
    assert_eq!(rests(&short, "g/2"), [] as [&str; 0]);
}

/// The load of a fixture that nobody has seen is in every pipe on the way to it.
#[test]
fn a_fixture_that_nobody_has_seen() {
    let done = sizing(
        "ipc-2021",
        &format!(
            "{HEAD}fixture L lavatory main 10',0' faces north unverified\n\
             cold c\n  start 0',-3\" main floor +21\"\n  size 1/2\"\n  east 5'\n  east to abreast L.cold\n  end L\n"
        ),
    );
    assert_eq!(rests(&done, "c/1"), ["place and heights of L"]);
}
