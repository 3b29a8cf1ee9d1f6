//! What the options of `wyeline draw` do to the drawing, measured in the SVG against the definition of each.

mod common;

use std::fs;

use common::{attribute, run_in};

/// One level drain: 24 ft east at 1 in per ft, so 2 ft of fall.
const DRAIN: &str = "job Sloped\nunits ft-in\nlevel main floor 0' ceiling 8'\nroof 12'\n\
                     waste drain\n  start 0',0' invert main floor -1'\n  size 3\"\n  slope 1 in per ft\n  east 24'\n  cap\n";
/// A water pipe along each axis in turn: east, north, up.
const AXES: &str = "job Axes\nunits ft-in\nlevel main floor 0' ceiling 8'\nroof 12'\n\
                    cold c\n  start 0',0' main floor +1'\n  size 3/4\"\n  east 20'\n  north 20'\n  up 6'\n  cap\n";
/// 10 ft east.
const TEN_FEET: &str = "job Ten feet\nunits ft-in\nlevel main floor 0' ceiling 8'\nroof 12'\n\
                        cold c\n  start 0',0' main floor +1'\n  size 1/2\"\n  east 10'\n  cap\n";

/// Draws a job from the south-west as SVG.
fn svg(job: &str, options: &[&str]) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let mut arguments = vec![
        "draw", "-", "--corner", "sw", "--format", "svg", "-q", "-o", "-",
    ];
    arguments.extend(options);
    let ran = run_in(folder.path(), &arguments, job.as_bytes());
    assert_eq!(ran.code, 0, "{options:?}: {}", ran.err);
    ran.text().to_owned()
}

fn numbers(text: &str) -> Vec<f64> {
    text.split([' ', '(', ')', 'M', 'L'])
        .filter_map(|word| word.parse().ok())
        .collect()
}

/// The straight lines of a path's shape, across and up the page, mm.
fn lines(shape: &str) -> Vec<[(f64, f64); 2]> {
    numbers(shape)
        .chunks_exact(4)
        .map(|c| [(c[0], -c[1]), (c[2], -c[3])])
        .collect()
}

/// The pieces drawn of all pipes.
fn pieces(svg: &str) -> Vec<[(f64, f64); 2]> {
    svg.lines()
        .filter(|line| line.starts_with("<path class=\"line\""))
        .flat_map(|line| lines(attribute(line, "d").expect("a shape")))
        .collect()
}

/// How far across and up the page a pipe in one direction goes, mm: from its lowest left to its upper right.
fn reach(svg: &str) -> (f64, f64) {
    let points: Vec<(f64, f64)> = pieces(svg).into_iter().flatten().collect();
    let span = |of: fn(&(f64, f64)) -> f64| {
        let values = points.iter().map(of);
        values.clone().fold(f64::MIN, f64::max) - values.fold(f64::MAX, f64::min)
    };
    (span(|p| p.0), span(|p| p.1))
}

/// Half of the rounding of both ends to 0.001 mm, and a little.
const ROUNDED: f64 = 0.002;

#[test]
fn a_sloped_pipe_lies_along_the_axis_unless_its_true_fall_is_asked_for() {
    // 24 ft at 1/4 in = 1 ft are 6 in = 152.4 mm of paper along an axis that rises 30 degrees to the right. Going
    // upstream, east, the drain rises 24 x 1 in = 2 ft, which are 1/2 in = 12.7 mm of paper more.
    let (along, rise) = (152.4_f64, 12.7_f64);
    let (across, up) = (along * 30_f64.to_radians().cos(), along / 2.0);
    let usual = reach(&svg(DRAIN, &["--scale", "1/4"]));
    assert!(
        (usual.0 - across).abs() < ROUNDED && (usual.1 - up).abs() < ROUNDED,
        "{usual:?}"
    );
    let fallen = reach(&svg(DRAIN, &["--scale", "1/4", "--true-fall"]));
    assert!(
        (fallen.0 - across).abs() < ROUNDED && (fallen.1 - (up + rise)).abs() < ROUNDED,
        "{fallen:?}"
    );
}

#[test]
fn a_level_pipe_is_drawn_the_same_with_its_true_fall() {
    assert!(pieces(&svg(AXES, &[])) == pieces(&svg(AXES, &["--true-fall"])));
}

/// The angles of a pipe's labels, degrees clockwise on the page as SVG turns them.
fn angles(svg: &str, pipe: &str) -> Vec<f64> {
    svg.lines()
        .filter(|line| line.starts_with("<text class=\"label\" data-of=\"pipe\""))
        .filter(|line| attribute(line, "data-pipe") == Some(pipe))
        .map(|line| attribute(line, "transform").map_or(0.0, |turn| numbers(turn)[0]))
        .collect()
}

#[test]
fn labels_along_lie_in_the_direction_of_their_pipe() {
    let svg = svg(AXES, &["--labels", "along", "--scale", "1/4"]);
    // From the south-west, east rises to the right at 30 degrees, north to the left, and up is up, read from the right.
    for (pipe, expected) in [("c/1", -30.0), ("c/2", 30.0), ("c/3", -90.0)] {
        let found = angles(&svg, pipe);
        assert!(
            !found.is_empty() && found.iter().all(|angle| *angle == expected),
            "{pipe}: {found:?}"
        );
    }
}

#[test]
fn labels_stand_upright_where_nothing_is_said() {
    let svg = svg(AXES, &["--scale", "1/4"]);
    for pipe in ["c/1", "c/2", "c/3"] {
        let found = angles(&svg, pipe);
        assert!(
            !found.is_empty() && found.iter().all(|angle| *angle == 0.0),
            "{pipe}: {found:?}"
        );
    }
}

/// The isometric grid: three families of parallel lines, at 30, 90 and 150 degrees, a quarter of an inch apart as
/// measured along the axes.
#[test]
fn the_grid_has_a_quarter_of_an_inch_along_each_axis() {
    let svg = svg(AXES, &["--grid"]);
    let grid = svg
        .split("<g class=\"outline\" data-of=\"grid\">")
        .nth(1)
        .and_then(|rest| rest.split("</g>").next())
        .expect("a grid");
    let all: Vec<_> = grid
        .lines()
        .filter_map(|line| attribute(line, "d"))
        .flat_map(lines)
        .collect();
    for direction in [30.0_f64, 90.0, 150.0] {
        let (sin, cos) = direction.to_radians().sin_cos();
        // The distance of each line of the family from the corner of the paper, square to the line.
        let mut beside: Vec<f64> = all
            .iter()
            .filter(|[a, b]| {
                let (x, y) = (b.0 - a.0, b.1 - a.1);
                ((x * sin - y * cos) / x.hypot(y)).abs() < 0.001
            })
            .map(|[a, _]| a.0 * sin - a.1 * cos)
            .collect();
        beside.sort_by(f64::total_cmp);
        assert!(beside.len() > 10, "{direction}: {} lines", beside.len());
        // Axes meet at 60 degrees: 6.35 mm along one are 6.35 sin 60 square to the other.
        let apart = 6.35 * 60_f64.to_radians().sin();
        for pair in beside.windows(2) {
            assert!(
                (pair[1] - pair[0] - apart).abs() < ROUNDED,
                "{direction}: {pair:?}"
            );
        }
    }
    assert!(
        all.iter().all(|[a, b]| {
            let angle = (b.1 - a.1).atan2(b.0 - a.0).to_degrees().rem_euclid(180.0);
            [30.0, 90.0, 150.0]
                .iter()
                .any(|axis| (angle - axis).abs() < 0.1)
        }),
        "the grid has no other lines"
    );
}

#[test]
fn there_is_no_grid_unless_asked_for() {
    assert!(!svg(AXES, &[]).contains("data-of=\"grid\""));
}

#[test]
fn ten_feet_are_as_long_as_the_scale_says() {
    // 10 ft = 3048 mm; a scale of 1/4 in to the foot is 1:48, since a foot has 12 in.
    for (said, ratio) in [
        ("1/8", 96.0),
        ("3/16", 64.0),
        ("1/4", 48.0),
        ("3/8", 32.0),
        ("1/2", 24.0),
        ("1:50", 50.0),
        ("1:100", 100.0),
    ] {
        let (across, up) = reach(&svg(TEN_FEET, &["--scale", said, "--paper", "tabloid"]));
        assert!(
            (across.hypot(up) - 3048.0 / ratio).abs() < ROUNDED,
            "{said}: {across} and {up}"
        );
    }
}

/// Long and short edge, mm. A series: ISO 216; letter and tabloid: ANSI/ASME Y14.1, 8-1/2 x 11 in and 11 x 17 in;
/// architectural C and D, 18 x 24 in and 24 x 36 in: common practice.
#[test]
fn a_sheet_is_as_large_as_the_paper_asked_for_and_lies_that_way_up() {
    let inch = |long: f64, short: f64| (long * 25.4, short * 25.4);
    for (paper, (long, short)) in [
        ("letter", inch(11.0, 8.5)),
        ("tabloid", inch(17.0, 11.0)),
        ("arch-c", inch(24.0, 18.0)),
        ("arch-d", inch(36.0, 24.0)),
        ("a4", (297.0, 210.0)),
        ("a3", (420.0, 297.0)),
        ("a2", (594.0, 420.0)),
    ] {
        for (way, width, height) in [("landscape", long, short), ("portrait", short, long)] {
            let svg = svg(
                TEN_FEET,
                &["--paper", paper, "--orientation", way, "--sheet", "1"],
            );
            let edge = |name| -> f64 {
                let value = attribute(svg.lines().next().expect("a tag"), name).expect("an edge");
                let value = value.strip_suffix("mm").expect("millimetres");
                value.parse().expect("a number")
            };
            assert!(
                (edge("width") - width).abs() < ROUNDED
                    && (edge("height") - height).abs() < ROUNDED,
                "{paper} {way}"
            );
        }
    }
}

#[test]
fn each_system_alone_is_drawn_alone() {
    let job = format!(
        "{AXES}hot h\n  start 0',5' main floor +1'\n  size 1/2\"\n  east 10'\n  cap\n\
         waste w\n  start 0',9' main floor -1'\n  size 2\"\n  east 10'\n  cap\n"
    );
    for system in ["cold", "hot", "waste"] {
        let svg = svg(&job, &["--system", system]);
        let drawn: Vec<_> = svg
            .lines()
            .filter(|line| line.starts_with("<g class=\"pipe\""))
            .map(|line| attribute(line, "data-system").expect("a system"))
            .collect();
        assert!(
            !drawn.is_empty() && drawn.iter().all(|found| *found == system),
            "{system}: {drawn:?}"
        );
    }
}

/// The same job by standard streams and by files gives the same bytes, whatever the format.
#[test]
fn every_format_goes_through_the_standard_streams() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("job.wye"), TEN_FEET).expect("written");
    for format in ["svg", "pdf", "png"] {
        let file = format!("sheet.{format}");
        let filed = run_in(folder.path(), &["draw", "job.wye", "-o", &file], b"");
        let piped = run_in(
            folder.path(),
            &["draw", "-", "--format", format, "-o", "-"],
            TEN_FEET.as_bytes(),
        );
        assert_eq!((filed.code, piped.code), (0, 0), "{}", piped.err);
        let file = fs::read(folder.path().join(file)).expect("written");
        assert!(!file.is_empty() && piped.out == file, "{format}");
    }
}
