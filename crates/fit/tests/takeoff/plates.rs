//! Plates over pipe in studs and plates: IPC 305.6, less than 1-1/4 in of wood to the face.

use super::*;

/// Pipe 4 ft along the middle of a wall, or as deep behind its face as told: 48/16 = 3 studs.
fn along(thick: &str, deep: &str, size: &str, material: &str) -> f64 {
    let (_, taken) = house(&format!(
        "wall main 0',0' 10',0' thick {thick}\n\
         vent v\nstart 1',-{deep} main floor +3'\nsize {size}\nmaterial {material}\nslope level\neast 4'\ncap\n"
    ));
    sum(&taken, What::Plate)
}

/// Wood left in a 2 x 4 (3-1/2): 2 in plastic, hole 2-7/8, leaves 5/16 on both faces: 3 studs x 2. In a 2 x 6
/// (5-1/2) it leaves 1-5/16: none. The limit is 1-1/4.
#[test]
fn along_a_wall() {
    near(along("4-1/2\"", "2-1/4\"", "2\"", "pvc"), 6.0);
    near(along("6-1/2\"", "3-1/4\"", "2\"", "pvc"), 0.0);
}

/// The 2 in pipe 2-1/4 in behind the face of a 2 x 6: 1-3/4 of stud before its centre, less 1-7/16: 5/16, on the
/// near face; 5-1/2 - 1-3/4 - 1-7/16 = 2-5/16 on the far one: 3 studs x 1.
#[test]
fn off_the_middle() {
    near(along("6-1/2\"", "2-1/4\"", "2\"", "pvc"), 3.0);
}

/// IPC 305.6 lets cast iron be.
#[test]
fn cast_iron_needs_none() {
    near(along("6-1/2\"", "2-1/4\"", "2\"", "cast-iron"), 0.0);
}

/// 10 in are no stud and two boards.
#[test]
fn none_in_concrete() {
    near(along("10\"", "2-1/4\"", "2\"", "pvc"), 0.0);
}

/// Plumb from below the floor to above the ceiling: sole plate and top plates, both faces: 4. Up to 3 ft only: 2.
#[test]
fn plumb_at_sole_and_top_plates() {
    for (to, expected) in [("9'", 4.0), ("3'", 2.0)] {
        let (_, taken) = take(&format!(
            "job J\nunits ft-in\nlevel main floor 0' ceiling 8' joists 9-1/4\" run east-west\nwall main 0',0' 10',0' thick 4-1/2\"\n\
             vent v\nstart 5',-2-1/4\" main floor -1'\nsize 2\"\nmaterial pvc\nup to main floor +{to}\ncap\n"
        ));
        near(sum(&taken, What::Plate), expected);
    }
}
