//! Ports of fixtures: by facing, by hand, in walls, and as their lines say.

mod support;

use support::{INCH, near, network};

/// Where a port lies, inches.
fn port(text: &str, tag: &str, name: &str) -> (f64, f64, f64) {
    let n = network(&format!("level main floor 0'\n{text}"));
    let fixture = n.fixtures.iter().find(|f| f.tag == tag).unwrap();
    let at = fixture.ports.iter().find(|p| p.name == name).unwrap().at / INCH;
    // To a millionth: turned fixtures carry rounding of cosines.
    (
        (at.x * 1e6).round() / 1e6,
        (at.y * 1e6).round() / 1e6,
        (at.z * 1e6).round() / 1e6,
    )
}

/// A lavatory in the open, drain 9 out, hot 4 to the user's left, cold 4 to the right. Facing south its user
/// looks north: left is west. Each quarter turn turns all of it.
#[test]
fn hot_is_on_the_users_left() {
    for (faces, hot, cold, drain) in [
        ("south", (-4.0, 0.0), (4.0, 0.0), (0.0, -9.0)),
        ("east", (0.0, -4.0), (0.0, 4.0), (9.0, 0.0)),
        ("north", (4.0, 0.0), (-4.0, 0.0), (0.0, 9.0)),
        ("west", (0.0, 4.0), (0.0, -4.0), (-9.0, 0.0)),
    ] {
        let text = format!("fixture L lavatory main 0',0' faces {faces}\n");
        for (name, (x, y)) in [("hot", hot), ("cold", cold), ("drain", drain)] {
            let got = port(&text, "L", name);
            assert_eq!((got.0 + 0.0, got.1 + 0.0), (x, y), "{name} facing {faces}");
        }
    }
}

/// On a wall, supplies and tee lie in the core's centre; what stands in the room does not move.
#[test]
fn ports_in_the_wall() {
    // Walked east, the thickness lies on the right, to the south; the room is north of the face.
    let text = "wall main 0',0' 10',0' thick 4-1/2\"\nfixture L lavatory main 5',0' faces north\n";
    assert_eq!(port(text, "L", "tee"), (60.0, -2.25, 18.0));
    assert_eq!(port(text, "L", "drain"), (60.0, 9.0, 25.0));
    // The other face of the same wall.
    let text =
        "wall main 0',0' 10',0' thick 4-1/2\"\nfixture L lavatory main 5',-4-1/2\" faces south\n";
    assert_eq!(port(text, "L", "tee"), (60.0, -2.25, 18.0));
}

/// Round a room walked clockwise or counter-clockwise the thickness lies outside.
#[test]
fn closed_walls_are_thick_outside() {
    for line in [
        "0',0' 10',0' 10',8' 0',8' 0',0'",
        "0',0' 0',8' 10',8' 10',0' 0',0'",
    ] {
        let text =
            format!("wall main {line} thick 6\"\nfixture L lavatory main 0',4' faces east\n");
        assert_eq!(port(&text, "L", "tee").0, -3.0);
    }
}

/// `left` turns the thickness over, `centre` puts half on each side of the line.
#[test]
fn walls_thick_on_the_other_side() {
    let text = "wall main 0',0' 10',0' thick 6\" left\nfixture L lavatory main 5',0' faces south\n";
    assert_eq!(port(text, "L", "tee").1, 3.0);
    let text =
        "wall main 0',0' 10',0' thick 6\" centre\nfixture L lavatory main 5',3\" faces north\n";
    assert_eq!(port(text, "L", "tee").1, 0.0);
}

/// A bath 60 long along its wall: drain 14 from the end, so 16 from the middle, on the hand that is said;
/// the valve on the wall at that end, hot on the left of who looks at it. Facing north the viewer looks south: right is west.
#[test]
fn a_bath_has_a_hand() {
    let text = |hand: &str| format!("fixture B bathtub main 0',0' faces north drain {hand}\n");
    assert_eq!(port(&text("right"), "B", "drain"), (-16.0, 15.0, 0.0));
    assert_eq!(port(&text("left"), "B", "drain"), (16.0, 15.0, 0.0));
    // At the west end the user looks west: left is south, toward the wall the bath stands at.
    assert_eq!(port(&text("right"), "B", "hot"), (-30.0, 11.0, 28.0));
    assert_eq!(port(&text("right"), "B", "cold"), (-30.0, 19.0, 28.0));
    // At the east end the user looks east: left is north.
    assert_eq!(port(&text("left"), "B", "hot"), (30.0, 19.0, 28.0));
}

/// Distances that a line says replace those of the table; the rest stays.
#[test]
fn what_the_line_says_of_a_port() {
    let text =
        "fixture W water-closet main 0',0' faces south drain out 10\" cold left 8\" up 6\"\n";
    assert_eq!(port(text, "W", "drain"), (0.0, -10.0, 0.0));
    assert_eq!(port(text, "W", "cold"), (-8.0, 0.0, 6.0));
}

/// A roof drain lies in the roof.
#[test]
fn a_roof_drain_lies_in_the_roof() {
    let text =
        "roof 10' at 0',0' rising north 1 in 12\nfixture R roof-drain main 0',12' faces south\n";
    // 12 ft up the slope of 1 in 12 is 1 ft above the eave at 10 ft.
    near(port(text, "R", "drain").2, 132.0, 1e-6);
}
