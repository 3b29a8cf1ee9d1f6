//! Every example from every corner: read, drawn, and measured against a reckoning of its own.
//!
//! The second reckoning uses nothing of the drawing code: points come from `network --json`,
//! the formula from the definition of the isometric drawing, the lines from the SVG text.

mod common;

use std::collections::{BTreeMap, HashMap};

use common::{attribute, examples, run};
use wyeline_draw::iso::{IsoOptions, iso};
use wyeline_draw::{Corner, Part};
use wyeline_units::Scale;

/// These two are there to show what is said of a mistake.
const WITH_MISTAKES: [&str; 2] = ["mistakes", "slab-house-square"];
const CORNERS: [&str; 4] = ["sw", "se", "ne", "nw"];

fn good_examples() -> Vec<String> {
    examples()
        .into_iter()
        .filter(|name| !WITH_MISTAKES.contains(&name.as_str()))
        .collect()
}

fn job(name: &str) -> String {
    format!("examples/{name}.wye")
}

#[test]
fn every_example_is_read_without_a_mistake_or_warning() {
    for name in good_examples() {
        let ran = run(&["check", &job(&name), "--json"]);
        let all: serde_json::Value = serde_json::from_str(ran.text()).expect("JSON");
        let mistakes = all["mistakes"].as_array().expect("a list").iter();
        // One of them is drawn without a code.
        let mistakes: Vec<_> = mistakes.filter(|one| one["code"] != "no-code").collect();
        assert!(mistakes.is_empty(), "{name}: {mistakes:#?}");
    }
}

/// What each broken example says in its first remark that it breaks.
#[test]
fn every_broken_example_is_found_out() {
    for (name, rules) in [
        ("broken-flat-vent", &["vent-rise"][..]),
        ("broken-fourth-closet", &["drain-closet-count"]),
        ("broken-s-trap", &["trap-arm-drop"]),
        (
            "broken-top-floor",
            &["hot-scald-shower", "water-pressure-low"],
        ),
    ] {
        let ran = run(&["check", &job(name)]);
        assert_eq!(ran.code, 1, "{name}");
        for rule in rules {
            assert!(ran.text().contains(&format!("[{rule}]")), "{name}: {rule}");
        }
    }
}

/// Nothing is found in an example that is meant to be built and names a code, and still it is told what was not checked.
#[test]
fn lawful_examples_are_clean() {
    let lawful = |name: &String| !name.starts_with("broken-") && name != "flat-bath";
    for name in good_examples().iter().filter(|name| lawful(name)) {
        let ran = run(&["check", &job(name)]);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{}", ran.text());
        assert!(ran.text().contains("Not checked"), "{name}");
    }
}

/// The drain told square to the walls is 1 in too high under the closet (by hand: 66 ft 6 in at
/// 1/4 in per ft rise 16-5/8 in from -24-5/8 to -8, and it has to lie at -9 or below).
#[test]
fn the_square_drain_of_the_slab_house_is_said_to_miss_by_an_inch() {
    let ran = run(&["check", &job("slab-house-square")]);
    assert!(
        ran.err.contains("1\"") && ran.err.contains("too high"),
        "{}",
        ran.err
    );
}

#[test]
fn every_example_is_tidy() {
    for name in examples() {
        if name != "mistakes" {
            assert_eq!(run(&["tidy", "--check", &job(&name)]).code, 0, "{name}");
        }
    }
}

#[test]
fn every_example_is_drawn_from_every_corner_and_on_plan() {
    for name in examples() {
        let wanted = i32::from(name == "mistakes");
        for corner in CORNERS {
            let ran = run(&[
                "draw",
                &job(&name),
                "--corner",
                corner,
                "--format",
                "pdf",
                "-o",
                "-",
                "-q",
            ]);
            assert_eq!(ran.code, wanted, "{name} {corner}: {}", ran.err);
            assert!(ran.out.starts_with(b"%PDF-"), "{name} {corner}");
        }
        let ran = run(&[
            "draw",
            &job(&name),
            "--view",
            "plan",
            "--format",
            "pdf",
            "-o",
            "-",
            "-q",
        ]);
        assert_eq!(ran.code, wanted, "{name} plan: {}", ran.err);
    }
}

/// Labels touch no label, no pipe, no symbol: counted by a check that shares no code with the placing.
#[test]
fn no_label_touches_anything() {
    for name in good_examples() {
        let text = std::fs::read_to_string(common::root().join(job(&name))).unwrap();
        let network = wyeline_network::build(&wyeline_job::read(&text).job, &text).network;
        for corner in Corner::ALL {
            let scale = Scale(if network.units.is_metric() { 50 } else { 48 });
            let options = IsoOptions {
                corner,
                scale,
                true_fall: false,
                part: Part::default(),
                labels_along: false,
                grid: false,
            };
            let picture = iso(&network, &options);
            let touches = wyeline_draw::label::check(&picture);
            assert!(
                touches.is_empty(),
                "{name} from {}: {} touches, first {:?}",
                corner.name(),
                touches.len(),
                touches[0]
            );
        }
    }
}

/// The job is one that could be built: no pipe passes through another. Two pipes that meet, or are joined by
/// a piece shorter than both are thick, share a fitting. Outside diameters are the network's own; where none is
/// known 1-1/2 in of pipe and fitting is taken.
#[test]
fn no_pipe_of_an_example_passes_through_another() {
    for name in good_examples() {
        let ran = run(&["network", &job(&name), "--json"]);
        let network: serde_json::Value = serde_json::from_str(ran.text()).expect("JSON");
        let nodes: HashMap<&str, [f64; 3]> = network["nodes"]
            .as_array()
            .expect("nodes")
            .iter()
            .map(|node| {
                (
                    node["id"].as_str().expect("an id"),
                    ["x", "y", "z"].map(|key| node[key].as_f64().expect("a number")),
                )
            })
            .collect();
        let pipes: Vec<_> = network["pipes"]
            .as_array()
            .expect("pipes")
            .iter()
            .map(|pipe| {
                let word = |key: &str| pipe[key].as_str().expect("a word");
                (
                    word("id"),
                    [word("from"), word("to")],
                    pipe["outside"].as_f64().unwrap_or(38.1) / 2.0,
                )
            })
            .collect();
        let joined = |a: [&str; 2], b: [&str; 2], within: f64| {
            let meet = |a: [&str; 2], b: [&str; 2]| a.iter().any(|end| b.contains(end));
            meet(a, b)
                || pipes.iter().any(|(_, c, _)| {
                    meet(a, *c)
                        && meet(b, *c)
                        && between(nodes[c[0]], nodes[c[0]], nodes[c[1]], nodes[c[1]]) < within
                })
        };
        for (at, (id, ends, radius)) in pipes.iter().enumerate() {
            for (other, others, thick) in &pipes[at + 1..] {
                let apart = between(
                    nodes[ends[0]],
                    nodes[ends[1]],
                    nodes[others[0]],
                    nodes[others[1]],
                );
                let needed = radius + thick - 0.5;
                assert!(
                    apart >= needed || joined(*ends, *others, 2.0 * (radius + thick)),
                    "{name}: {id} and {other} are {apart:.1} mm apart, {needed:.1} needed"
                );
            }
        }
    }
}

/// The least distance between two straight lines from `a` to `b` and from `c` to `d`, mm: the distance of a point
/// that runs along one to the other is convex, so nested thirds close in on the least.
fn between(a: [f64; 3], b: [f64; 3], c: [f64; 3], d: [f64; 3]) -> f64 {
    let point = |t: f64| [0, 1, 2].map(|i| a[i] + (b[i] - a[i]) * t);
    let to_line = |p: [f64; 3]| {
        let along = [0, 1, 2].map(|i| d[i] - c[i]);
        let square: f64 = along.iter().map(|x| x * x).sum();
        let dot: f64 = (0..3).map(|i| (p[i] - c[i]) * along[i]).sum();
        let t = if square > 0.0 {
            (dot / square).clamp(0.0, 1.0)
        } else {
            0.0
        };
        (0..3)
            .map(|i| (c[i] + along[i] * t - p[i]).powi(2))
            .sum::<f64>()
            .sqrt()
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let (one, two) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if to_line(point(one)) < to_line(point(two)) {
            high = two;
        } else {
            low = one;
        }
    }
    to_line(point(low))
}

/// A pipe as it stands in the SVG.
struct Drawn {
    id: String,
    shift: (f64, f64),
    pieces: Vec<[(f64, f64); 2]>,
}

/// One isometric view of an SVG sheet.
struct ViewOnPaper {
    origin: (f64, f64),
    scale: f64,
    pipes: Vec<Drawn>,
}

impl ViewOnPaper {
    /// Where lines were pulled apart a short jog may join one to its neighbour: it goes as far aside as the line
    /// was pulled, and no more than twice so far along a line that meets it at 30 degrees. 0 where nothing was pulled.
    fn jog(&self) -> f64 {
        2.0 * self
            .pipes
            .iter()
            .map(|pipe| pipe.shift.0.hypot(pipe.shift.1))
            .fold(0.0, f64::max)
    }
}

fn pair(text: &str) -> (f64, f64) {
    let mut numbers = text
        .split_whitespace()
        .map(|number| number.parse::<f64>().expect("a number"));
    (numbers.next().expect("x"), numbers.next().expect("y"))
}

/// The isometric views of all sheets of an example from a corner.
fn drawn(name: &str, corner: &str) -> Vec<ViewOnPaper> {
    let folder = tempfile::tempdir().expect("a folder for the sheets");
    let file = folder.path().join("sheet.svg");
    let ran = run(&[
        "draw",
        &job(name),
        "--corner",
        corner,
        "-q",
        "-o",
        file.to_str().expect("a plain name"),
    ]);
    assert_eq!(ran.code, 0, "{name} {corner}: {}", ran.err);
    let sheets = std::fs::read_dir(folder.path()).expect("the folder");
    sheets
        .flat_map(|sheet| {
            views(&std::fs::read_to_string(sheet.expect("a sheet").path()).expect("text"))
        })
        .collect()
}

/// Reads the isometric views of an SVG: it is written one tag a line.
fn views(svg: &str) -> Vec<ViewOnPaper> {
    let mut views: Vec<ViewOnPaper> = Vec::new();
    let mut in_pipe = false;
    for line in svg.lines() {
        if line.starts_with("<g class=\"view iso\"") {
            let scale = attribute(line, "data-scale")
                .expect("a scale")
                .parse()
                .expect("a number");
            views.push(ViewOnPaper {
                origin: pair(attribute(line, "data-origin").expect("an origin")),
                scale,
                pipes: Vec::new(),
            });
        } else if line.starts_with("<g class=\"pipe\"") {
            if let Some(view) = views.last_mut() {
                view.pipes.push(Drawn {
                    id: attribute(line, "data-pipe")
                        .expect("an id")
                        .replace("&quot;", "\""),
                    shift: attribute(line, "data-shift").map_or((0.0, 0.0), pair),
                    pieces: Vec::new(),
                });
                in_pipe = true;
            }
        } else if line.starts_with("</g>") {
            in_pipe = false;
        } else if in_pipe && line.starts_with("<path class=\"line\"") {
            let path = attribute(line, "d")
                .expect("a path")
                .replace(['M', 'L'], " ");
            let numbers: Vec<f64> = path
                .split_whitespace()
                .map(|number| number.parse().expect("a number"))
                .collect();
            let pipe = views
                .last_mut()
                .and_then(|view| view.pipes.last_mut())
                .expect("a pipe is open");
            pipe.pieces
                .push([(numbers[0], numbers[1]), (numbers[2], numbers[3])]);
        }
    }
    views
}

/// Where a point falls on paper, mm: u = (r - l) cos 30, v = (r + l) / 2 + z, upwards; r and l are the
/// distances away to the right and to the left. From the south-west, east goes away to the right and
/// north to the left; each further corner turns the building by a quarter.
fn on_paper(corner: &str, scale: f64, (x, y, z): (f64, f64, f64)) -> (f64, f64) {
    let (r, l) = match corner {
        "sw" => (x, y),
        "se" => (y, -x),
        "ne" => (-x, -y),
        _ => (-y, x),
    };
    let cos_30 = 3.0_f64.sqrt() / 2.0;
    ((r - l) * cos_30 / scale, -(r / 2.0 + l / 2.0 + z) / scale)
}

type Ends = HashMap<String, (String, [(f64, f64, f64); 2])>;

/// Every pipe's lie and its two ends with their drawn heights, from the network's JSON.
fn pipes_in_space(name: &str) -> Ends {
    let ran = run(&["network", &job(name), "--json"]);
    let network: serde_json::Value = serde_json::from_str(ran.text()).expect("JSON");
    let number = |node: &serde_json::Value, key: &str| node[key].as_f64().expect("a number");
    let nodes: BTreeMap<&str, (f64, f64, f64)> = network["nodes"]
        .as_array()
        .expect("nodes")
        .iter()
        .map(|node| {
            (
                node["id"].as_str().expect("an id"),
                (
                    number(node, "x"),
                    number(node, "y"),
                    number(node, "z_drawn"),
                ),
            )
        })
        .collect();
    let pipes = network["pipes"].as_array().expect("pipes").iter();
    pipes
        .map(|pipe| {
            let word = |key: &str| pipe[key].as_str().expect("a word").to_owned();
            (
                word("id"),
                (
                    word("lie"),
                    [nodes[word("from").as_str()], nodes[word("to").as_str()]],
                ),
            )
        })
        .collect()
}

/// A sheet's numbers are rounded to 0.001 mm.
const ROUNDED: f64 = 0.001;

#[test]
fn every_axis_pipe_is_drawn_at_30_90_or_150_degrees() {
    for name in good_examples() {
        let space = pipes_in_space(&name);
        for corner in CORNERS {
            let mut measured = 0;
            let views = drawn(&name, corner);
            for (pipe, jog) in views
                .iter()
                .flat_map(|view| view.pipes.iter().map(|pipe| (pipe, view.jog())))
            {
                let (lie, _) = &space[&pipe.id];
                if lie != "axis" && lie != "vertical" {
                    continue;
                }
                for [(x0, y0), (x1, y1)] in &pipe.pieces {
                    let (u, v) = (x1 - x0, y0 - y1);
                    let length = u.hypot(v);
                    if length <= jog {
                        continue;
                    }
                    let angle = v.atan2(u).to_degrees().rem_euclid(180.0);
                    let off = [30.0, 90.0, 150.0].map(|axis: f64| (angle - axis).abs());
                    let off = off.into_iter().fold(f64::MAX, f64::min);
                    // 0.01 degree, and what rounding both ends to 0.001 mm can turn a short line by.
                    let allowed = 0.01 + (ROUNDED / length.max(ROUNDED)).atan().to_degrees();
                    assert!(
                        off <= allowed,
                        "{name} {corner} {}: {angle:.4} degrees over {length:.3} mm",
                        pipe.id
                    );
                    measured += 1;
                }
            }
            assert!(
                measured > 10,
                "{name} {corner}: only {measured} lines were found"
            );
        }
    }
}

/// Symbols and rounded bends take up to so much of a pipe's end, mm; a crossing close to it may take more.
const CUT: f64 = 5.0;

/// Every line drawn lies on the line of its pipe, and where nothing in the view was pulled aside it begins
/// and ends within the pipe's own ends; nine of ten ends reach as far as symbols let them.
#[test]
fn every_pipe_lies_where_a_second_reckoning_puts_it() {
    for name in good_examples() {
        let space = pipes_in_space(&name);
        for corner in CORNERS {
            let (mut ends_seen, mut reached) = (0, 0);
            for view in drawn(&name, corner) {
                let jog = view.jog();
                for pipe in &view.pipes {
                    let ends = space[&pipe.id].1.map(|end| {
                        let (u, v) = on_paper(corner, view.scale, end);
                        (
                            view.origin.0 + u + pipe.shift.0,
                            view.origin.1 + v + pipe.shift.1,
                        )
                    });
                    let way = (ends[1].0 - ends[0].0, ends[1].1 - ends[0].1);
                    let length = way.0.hypot(way.1);
                    let (mut first, mut last) = (f64::MAX, f64::MIN);
                    let long = |piece: &&[(f64, f64); 2]| {
                        (piece[1].0 - piece[0].0).hypot(piece[1].1 - piece[0].1) > jog
                    };
                    for point in pipe.pieces.iter().filter(long).flatten() {
                        let (x, y) = (point.0 - ends[0].0, point.1 - ends[0].1);
                        let beside = (x * way.1 - y * way.0) / length;
                        assert!(
                            beside.abs() < 0.01,
                            "{name} {corner} {}: {beside:.4} mm beside its line",
                            pipe.id
                        );
                        let along = (x * way.0 + y * way.1) / length;
                        (first, last) = (first.min(along), last.max(along));
                    }
                    if jog == 0.0 && !pipe.pieces.is_empty() {
                        let range = format!(
                            "{name} {corner} {}: {first:.3} to {last:.3} of {length:.3} mm",
                            pipe.id
                        );
                        assert!(first > -0.01 && last < length + 0.01, "{range}");
                        ends_seen += 2;
                        reached += i32::from(first < CUT) + i32::from(last > length - CUT);
                    }
                }
            }
            assert!(
                reached * 10 >= ends_seen * 9,
                "{name} {corner}: {reached} of {ends_seen} ends are reached"
            );
        }
    }
}
