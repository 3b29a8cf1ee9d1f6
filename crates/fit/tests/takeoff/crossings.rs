//! Floors, walls and roof that pipe goes through.

use super::*;

fn found(taken: &TakeOff, through: Through) -> Vec<&Crossing> {
    let all = taken.crossings.iter();
    all.filter(|crossing| crossing.through == through).collect()
}

/// A 3 in stack from 2 ft under the slab to 1 ft above the upper floor: through the slab in a sleeve of two sizes
/// more (4, 5 in: 5.563 in outside, ASME B36.10), through the joisted floor in a hole of 3-1/2 + 1/2 in.
#[test]
fn a_stack_through_slab_and_joists() {
    let (_, taken) = house(
        "waste s\nstart 0',0' main floor -2'\nsize 3\"\nmaterial pvc\neast 5'\nup to upper floor +1'\ncap\n",
    );
    assert_eq!(taken.crossings.len(), 2, "{:#?}", taken.crossings);
    let slab = found(&taken, Through::Floor(LevelIx(0)))[0];
    assert_eq!((slab.made, slab.firestop), (Made::Concrete, false));
    assert_eq!(slab.sleeve, Some("5\"".parse().unwrap()));
    near(slab.hole_mm.unwrap(), 5.563 * INCH);
    near(slab.at.z, 0.0);
    let joists = found(&taken, Through::Floor(LevelIx(1)))[0];
    assert_eq!(
        (joists.made, joists.firestop, joists.sleeve),
        (Made::Framed, true, None)
    );
    near(joists.hole_mm.unwrap(), 4.0 * INCH);
    near(joists.at.z, 9.0 * FOOT);
    near(joists.at.x, 5.0 * FOOT);
    // The sleeve is set before the slab is cast; the firestop is only where that floor is rated.
    let sleeve = of(&taken, What::Sleeve);
    assert_eq!((sleeve.len(), sleeve[0].amount), (1, Amount::Count(1)));
    assert_eq!(
        (sleeve[0].phase, sleeve[0].estimated),
        (Phase::Underground, false)
    );
    assert_eq!(sum(&taken, What::Firestop), 1.0);
    assert!(of(&taken, What::Firestop)[0].estimated);
}

/// A floor of which nothing is told has a sleeve counted, and says so.
#[test]
fn a_floor_of_unknown_make() {
    let (_, taken) = take(
        "job J\nunits ft-in\nlevel cellar floor -8'\n\
         waste s\nstart 0',0' cellar floor -2'\nsize 3\"\nmaterial pvc\neast 5'\nup 6'\ncap\n",
    );
    assert_eq!(taken.crossings[0].made, Made::NotTold);
    assert!(taken.crossings[0].doubt.is_some());
    assert!(of(&taken, What::Sleeve)[0].estimated);
    assert!(
        taken
            .notes
            .iter()
            .any(|note| note.starts_with("What some floors or walls are made of"))
    );
}

/// The yard lies 6 in below the floor: under the walls of the house only the floor is crossed, beside them the yard.
#[test]
fn half_storeys_are_told_apart_by_walls() {
    let at = |x: &str| {
        let (_, taken) = take(&format!(
            "job J\nunits ft-in\nlevel yard floor -6\"\nlevel main floor 0' ceiling 8' slab 4\"\n\
             wall yard 40',0' 50',0'\nwall main 0',0' 10',0' 10',10' 0',10' 0',0'\n\
             waste s\nstart {x},5' main floor -2'\nsize 3\"\nmaterial pvc\neast 1'\nup 6'\ncap\n"
        ));
        taken
            .crossings
            .iter()
            .map(|crossing| crossing.through)
            .collect::<Vec<_>>()
    };
    assert_eq!(at("4'"), [Through::Floor(LevelIx(1))]);
}

/// The wall lies south of its line, 4-1/2 in thick. 1/2 in copper is 5/8 in outside: a hole of 7/8 in.
#[test]
fn through_a_wall() {
    let (_, taken) = house(
        "wall main 0',0' 10',0' thick 4-1/2\"\n\
         cold c\nstart 5',2' main floor +1'\nsize 1/2\"\nmaterial copper\nsouth 4'\ncap\n",
    );
    assert_eq!(taken.crossings.len(), 1);
    let wall = found(&taken, Through::Wall(0))[0];
    near(wall.hole_mm.unwrap(), 0.875 * INCH);
    near(wall.at.x, 5.0 * FOOT);
    near(wall.at.y, 0.0);
    near(wall.at.z, FOOT);
    assert!(wall.firestop);
}

/// A tee in the middle of the wall makes no second place, nor does the same wall told from the other room.
#[test]
fn one_wall_is_crossed_once() {
    let (_, taken) = house(
        "wall main 0',0' 10',0' thick 4-1/2\"\nwall main 10',-4-1/2\" 0',-4-1/2\" thick 4-1/2\"\n\
         cold c\nstart 5',2' main floor +1'\nsize 1/2\"\nmaterial copper\nsouth 2'2-1/4\"\npoint T\nsouth 2'\ncap\n\
         cold d\nstart T\nsize 1/2\"\nmaterial copper\nup 2'\ncap\n",
    );
    assert_eq!(taken.crossings.len(), 1, "{:#?}", taken.crossings);
}

/// What turns up in the wall does not come out of it.
#[test]
fn into_a_wall_is_not_through_it() {
    let (_, taken) = house(
        "wall main 0',0' 10',0' thick 4-1/2\"\n\
         cold c\nstart 5',2' main floor +1'\nsize 1/2\"\nmaterial copper\nsouth 2'2-1/4\"\nup 2'\ncap\n",
    );
    assert_eq!(taken.crossings, []);
}

/// A vent through the roof at 20 ft: a place there, and its flashing.
#[test]
fn through_the_roof() {
    let (_, taken) =
        house("vent v\nstart 5',5' upper floor +1'\nsize 2\"\nmaterial pvc\nup through roof\n");
    let roof = found(&taken, Through::Roof);
    assert_eq!(roof.len(), 1);
    near(roof[0].at.z, 20.0 * FOOT);
    assert_eq!(sum(&taken, What::Flashing), 1.0);
}
