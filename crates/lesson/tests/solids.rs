//! Blocks against the outside: a ray followed point by point, Euler's formula, and classes that are alike in difficulty and in nothing else.

use std::collections::BTreeSet;

use proptest::prelude::*;
use wyeline_draw::Corner;
use wyeline_lesson::solid::{self, Edge, Line, Point, Solid};
use wyeline_lesson::{Code, Level};

/// Rows of heights, the northernmost first.
fn of(rows: &[&[i32]]) -> Solid {
    let rows: Vec<Vec<i32>> = rows.iter().map(|row| row.to_vec()).collect();
    Solid::of_rows(&rows).expect("a sound grid")
}

/// The unit edges of a straight line: its lower ends, and the axis.
fn units(edge: Edge) -> (usize, Vec<Point>) {
    let axis = (0..3)
        .find(|i| edge.from[*i] != edge.to[*i])
        .expect("an edge has a length");
    let at = |along| {
        let mut at = edge.from;
        at[axis] = along;
        at
    };
    (axis, (edge.from[axis]..edge.to[axis]).map(at).collect())
}

/// Whether the way from a point to a viewer far off above a corner meets the solid: followed in steps of a fiftieth of a square.
fn blocked(solid: &Solid, from: [f64; 3], corner: Corner) -> bool {
    // Where the viewer stands, seen from the middle: west is -x, south is -y.
    let (east, north) = match corner {
        Corner::Sw => (-1.0, -1.0),
        Corner::Se => (1.0, -1.0),
        Corner::Ne => (1.0, 1.0),
        Corner::Nw => (-1.0, 1.0),
    };
    (0..700).any(|step| {
        let t = 0.007 + f64::from(step) * 0.02;
        let at = [from[0] + east * t, from[1] + north * t, from[2] + t];
        solid.holds(at.map(|c| c.floor() as i32))
    })
}

/// Where a point falls on paper, in pitches: u = (r - l) cos 30, v = (r + l) / 2 + z, by r and l from the corner looked from (ISO 5456-3 as an isometric drawing).
fn on_paper(p: [f64; 3], corner: Corner) -> (f64, f64) {
    let (r, l) = match corner {
        Corner::Sw => (p[0], p[1]),
        Corner::Se => (p[1], -p[0]),
        Corner::Ne => (-p[0], -p[1]),
        Corner::Nw => (-p[1], p[0]),
    };
    (
        (r - l) * 30_f64.to_radians().cos(),
        f64::midpoint(r, l) + p[2],
    )
}

fn middle(axis: usize, from: Point, share: f64) -> [f64; 3] {
    let mut at = from.map(f64::from);
    at[axis] += share;
    at
}

/// Whether the surface is bent at a unit edge: the faces that touch it lie in more than one plane. Found face by face, not by counting cubes.
fn bent(solid: &Solid, axis: usize, from: Point) -> bool {
    let others = [(axis + 1) % 3, (axis + 2) % 3];
    // The four half planes that end at the edge: a face lies in one if just one of the two cubes beside it is held.
    let mut planes = BTreeSet::new();
    let mut faces = 0;
    for across in 0..2 {
        for back in [0, -1] {
            // The half plane lies along `others[1 - across]`, square to `others[across]`.
            let mut near = from;
            near[others[1 - across]] += back;
            let mut far = near;
            far[others[across]] -= 1;
            if solid.holds(near) != solid.holds(far) {
                planes.insert(across);
                faces += 1;
            }
        }
    }
    assert!(faces % 2 == 0, "a surface has no edge of its own");
    planes.len() > 1
}

fn check(solid: &Solid, corner: Corner) {
    let lines = solid::seen(solid, corner);
    let mut drawn: BTreeSet<[i64; 4]> = BTreeSet::new();
    let mut seen: BTreeSet<[i64; 4]> = BTreeSet::new();
    let key = |axis: usize, from: Point| {
        let ends = [0.0, 1.0].map(|share| on_paper(middle(axis, from, share), corner));
        [ends[0].0, ends[0].1, ends[1].0, ends[1].1].map(|c| (c * 1000.0).round() as i64)
    };
    for Line { edge, hidden } in lines {
        let (axis, starts) = units(edge);
        for from in starts {
            for share in [0.23, 0.5, 0.81] {
                let blocked = blocked(solid, middle(axis, from, share), corner);
                assert_eq!(
                    blocked, hidden,
                    "{solid:?} from {corner:?}: axis {axis} at {from:?}, {share}"
                );
            }
            assert!(
                bent(solid, axis, from),
                "{solid:?}: flat at {from:?}, axis {axis}"
            );
            assert!(
                drawn.insert(key(axis, from)),
                "{solid:?} from {corner:?}: drawn twice at {from:?}"
            );
            if !hidden {
                seen.insert(key(axis, from));
            }
        }
    }
    let [wide, deep, high] = solid.size();
    for axis in 0..3 {
        for x in 0..=wide {
            for y in 0..=deep {
                for z in 0..=high {
                    let from = [x, y, z];
                    if from[axis] == solid.size()[axis] || !bent(solid, axis, from) {
                        continue;
                    }
                    let place = key(axis, from);
                    assert!(
                        drawn.contains(&place),
                        "{solid:?} from {corner:?}: missing at {from:?}"
                    );
                    let open = !blocked(solid, middle(axis, from, 0.37), corner);
                    assert!(
                        !open || seen.contains(&place),
                        "{solid:?} from {corner:?}: seen but dashed at {from:?}"
                    );
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// Any grid, from any corner: each edge is drawn once where it falls, dashed where the way to the viewer is blocked.
    #[test]
    fn what_is_hidden_is_what_a_ray_finds_blocked(
        rows in (1_usize..5, 1_usize..5).prop_flat_map(|(wide, deep)| prop::collection::vec(prop::collection::vec(0_i32..4, wide), deep)),
        corner in prop::sample::select(Corner::ALL.to_vec()),
    ) {
        if let Some(solid) = Solid::of_rows(&rows) {
            check(&solid, corner);
        }
    }
}

/// Lines seen and hidden from a corner.
fn count(solid: &Solid, corner: Corner) -> (usize, usize) {
    let lines = solid::seen(solid, corner);
    let hidden = lines.iter().filter(|line| line.hidden).count();
    (lines.len() - hidden, hidden)
}

/// Edges of a solid, and its corners.
fn euler(solid: &Solid) -> (usize, usize) {
    let edges = solid::edges(solid);
    let corners: BTreeSet<Point> = edges.iter().flat_map(|edge| [edge.from, edge.to]).collect();
    (corners.len(), edges.len())
}

#[test]
fn a_box_has_twelve_edges_and_hides_three_of_them() {
    // A box: 8 corners - 12 edges + 6 faces = 2. The corner at the back of the floor is hidden and the three edges that meet there with it.
    let solid = of(&[&[2, 2, 2], &[2, 2, 2]]);
    assert_eq!(euler(&solid), (8, 12));
    for corner in Corner::ALL {
        assert_eq!(count(&solid, corner), (9, 3), "{corner:?}");
    }
}

#[test]
fn prisms_have_three_edges_for_each_corner_of_their_outline() {
    // A prism over an outline of n corners: 2 n corners, 3 n edges, n + 2 faces: 2 n - 3 n + n + 2 = 2.
    // An L has 6 corners, seen from above or from the side; a channel's outline has 8; three steps' too; a T's has 8.
    assert_eq!(euler(&of(&[&[1, 0, 0], &[1, 1, 1]])), (12, 18));
    assert_eq!(euler(&of(&[&[2, 1], &[2, 1]])), (12, 18));
    assert_eq!(euler(&of(&[&[3, 1, 3], &[3, 1, 3]])), (16, 24));
    assert_eq!(euler(&of(&[&[3, 2, 1], &[3, 2, 1]])), (16, 24));
    assert_eq!(euler(&of(&[&[1, 1, 1], &[0, 1, 0]])), (16, 24));
}

#[test]
fn a_notch_in_a_corner_adds_six_corners_and_nine_edges() {
    // Of a box's corner a smaller box is taken: of its 8 corners one goes and the other seven of the smaller box come, 14; of its edges three are shortened
    // and the smaller box's other nine come, 21; the three faces there stay and three come, 9: 14 - 21 + 9 = 2.
    let solid = of(&[&[2, 2, 1], &[2, 2, 2], &[2, 2, 2]]);
    assert_eq!(euler(&solid), (14, 21));
    // From the north-east, where the notch is, all of it is seen; hidden are the three edges that meet at the far corner of the floor.
    assert_eq!(count(&solid, Corner::Ne), (18, 3));
}

#[test]
fn a_step_faces_the_viewer_or_hides_behind_the_block() {
    // Two steps, high in the west: a prism over an outline of six corners that looks south and north, 18 edges. From the south-east are seen: the outline on the
    // south (6); of the edges that join the two outlines all but the one on the floor in the west (5); of the outline on the north the edges of what looks
    // up or east, which are the two tops, the riser and the east end (4). Hidden: that outline's west side and floor, and the floor's west edge.
    assert_eq!(count(&of(&[&[2, 1], &[2, 1]]), Corner::Se), (15, 3));
}

#[test]
fn a_class_is_alike_in_difficulty_and_in_nothing_else() {
    for seed in [0, 1, 7, 4711, 99_999] {
        let mut forms = BTreeSet::new();
        let mut difficulties = BTreeSet::new();
        for (member, made) in (0..).zip(solid::members(seed, 30)) {
            let (lines, hidden) = count(&made.block.solid, made.corner);
            let corners: BTreeSet<[i32; 2]> = solid::seen(&made.block.solid, made.corner)
                .iter()
                .filter(|line| !line.hidden)
                .flat_map(|line| {
                    [line.edge.from, line.edge.to].map(|end| solid::paper(end, made.corner))
                })
                .collect();
            difficulties.insert((lines, hidden, corners.len()));
            assert!(
                forms.insert(made.block.solid.plain_form()),
                "seed {seed}: member {member} is there already"
            );
            assert_eq!(
                solid::read(&made.block.solid.text(&made.block.title)),
                Ok(made.block.clone())
            );
            if member % 10 == 9 {
                let code = Code::new(Level::new(1).expect("a level"), "ipc-2021", seed, member)
                    .expect("a code");
                assert_eq!(solid::make(code), Ok(made));
            }
        }
        assert_eq!(difficulties.len(), 1, "seed {seed}: {difficulties:?}");
    }
}

#[test]
fn pipes_are_no_blocks() {
    let code = Code::new(Level::new(2).expect("a level"), "ipc-2021", 0, 0).expect("a code");
    assert_eq!(solid::make(code), Err(solid::MakeError::Level));
}

#[test]
fn the_figure_of_a_block_is_its_edges_to_size() {
    // A block of 2 by 1 squares, 1 high, of a foot each.
    let figure = of(&[&[1, 1]]).figure(304.8);
    assert_eq!(figure.lines.len(), 12);
    let lengths: f64 = figure
        .lines
        .iter()
        .map(|line| line.from.distance(line.to))
        .sum();
    // Four edges each of 2, 1 and 1 ft.
    assert!((lengths - 16.0 * 304.8).abs() < 1e-6);
}
