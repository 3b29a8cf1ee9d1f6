//! Marks of floors and ceilings stand at outlines that are drawn, whole or cut.

use kurbo::{PathEl, Point};
use wyeline_draw::iso::{IsoOptions, iso};
use wyeline_draw::picture::{LabelClass, OutlineKind, Picture};
use wyeline_draw::{Corner, Part};
use wyeline_network::Network;
use wyeline_units::Scale;

/// A room over a basement without walls, a riser through both.
const ROOM: &str = "job Room\nunits ft-in\nlevel basement floor -8' ceiling 7'\nlevel main floor 0' ceiling 8'\n\
    wall main 0',0' 12',0' 12',10' 0',10' 0',0'\n\
    vent v\n  start 1',1' basement floor +2'\n  size 2\"\n  up 13'\n  east 5'\n  cap\n";

const FOOT: f64 = 304.8;

fn drawn(clip: Option<([f64; 3], [f64; 3])>) -> Picture {
    let reading = wyeline_job::read(ROOM);
    assert!(reading.diagnostics.is_empty(), "{:?}", reading.diagnostics);
    let mut network: Network = wyeline_network::build(&reading.job, ROOM).network;
    // Whoever asks for a part hands over walls that end at its box.
    if let Some((_, high)) = clip {
        for wall in &mut network.building.walls {
            wall.z.1 = wall.z.1.min(high[2]);
        }
    }
    iso(
        &network,
        &IsoOptions {
            corner: Corner::Sw,
            scale: Scale(48),
            true_fall: false,
            part: Part {
                clip,
                ..Part::default()
            },
            labels_along: false,
            grid: false,
        },
    )
}

/// The words of level marks, and the end of each mark's leader at the building.
fn marks(picture: &Picture) -> Vec<(String, Point)> {
    let levels = picture
        .labels
        .iter()
        .filter(|l| l.class == LabelClass::Level);
    levels
        .map(|label| {
            let words: Vec<&str> = label.lines.iter().map(|l| l.text.as_str()).collect();
            let (a, b) = label.leader.expect("a mark has a line to its outline");
            let middle = label.lines[0].at;
            // The end farther from the words.
            let far = if a.distance(middle) > b.distance(middle) {
                a
            } else {
                b
            };
            (words.join(" "), far)
        })
        .collect()
}

/// Ends of outlines of a kind.
fn ends(picture: &Picture, of: OutlineKind) -> Vec<Point> {
    let outlines = picture.outlines.iter().filter(|o| o.of == of);
    let elements = outlines
        .flat_map(|o| &o.strokes)
        .flat_map(|s| s.path.elements());
    elements
        .filter_map(|e| match e {
            PathEl::MoveTo(p) | PathEl::LineTo(p) => Some(*p),
            _ => None,
        })
        .collect()
}

fn stand_at_outlines(picture: &Picture) {
    for (words, at) in marks(picture) {
        let of = if words.contains("CEILING") {
            OutlineKind::Ceiling
        } else {
            OutlineKind::Floor
        };
        let nearest = ends(picture, of)
            .iter()
            .map(|p| p.distance(at))
            .fold(f64::INFINITY, f64::min);
        // The line from the words ends up to a millimetre short of what it points at.
        assert!(nearest < 1.0, "{words}: {nearest} mm from an outline");
    }
}

#[test]
fn floors_and_ceilings_are_marked_where_they_are_drawn_with_or_without_walls() {
    let picture = drawn(None);
    let mut said: Vec<String> = marks(&picture).into_iter().map(|m| m.0).collect();
    said.sort();
    // The basement's ceiling is 7 ft over its floor 8 ft down.
    assert_eq!(
        said,
        [
            "BASEMENT CEILING  -1'-0\"",
            "BASEMENT FLOOR  -8'-0\"",
            "MAIN CEILING  +8'-0\"",
            "MAIN FLOOR  +0'-0\""
        ]
    );
    stand_at_outlines(&picture);
}

#[test]
fn a_part_cut_below_the_ceiling_has_neither_its_edge_nor_its_mark() {
    // From half a foot under the main floor to 6 ft over it: the ceiling at 8 ft is on another sheet.
    let clip = (
        [-10.0 * FOOT, -10.0 * FOOT, -0.5 * FOOT],
        [30.0 * FOOT, 30.0 * FOOT, 6.0 * FOOT],
    );
    let picture = drawn(Some(clip));
    stand_at_outlines(&picture);
    let said: Vec<String> = marks(&picture).into_iter().map(|m| m.0).collect();
    assert!(said.iter().any(|w| w.contains("MAIN FLOOR")), "{said:?}");
    assert!(!said.iter().any(|w| w.contains("MAIN CEILING")), "{said:?}");
    // What is left of the walls ends open: an edge at the cut would pass for a ceiling.
    assert_eq!(ends(&picture, OutlineKind::Ceiling), []);
}
