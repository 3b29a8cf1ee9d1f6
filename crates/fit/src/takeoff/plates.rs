//! Counts steel plates over pipe in framed walls: where a bored stud or plate has less wood than the code wants between
//! hole and face (IPC 305.6, `data/penetrations.toml`).

use std::collections::HashSet;

use wyeline_checks::practice::practice;
use wyeline_network::model::{LevelIx, Lie, Pipe, PipeIx, Wall};

use super::data::{PENETRATIONS, PHASES};
use super::tally::Key;
use super::walls::{Walls, length, own, told_before};
use super::{Amount, Taking, What};
use crate::material;

const SOURCE: &str = "along a wall one a stud, plumb one at the sole plate and one at the top plates, on each face too near";

/// Plates over all new pipe in framed walls. Along a wall a pipe meets a stud in every spacing or part of one; plumb it
/// goes through the sole plate of its wall where it comes up through the floor, and through the top plates where it
/// goes on above.
pub(super) fn plates(taking: &mut Taking) {
    let network = taking.network;
    let walls = Walls::of(&network.building.walls);
    for (pipe, ix) in network.pipes.iter().zip(0..) {
        let ix = PipeIx(ix);
        let stuff = &taking.fitted.stuff[ix.0 as usize];
        if pipe.existing || PENETRATIONS.plate.exempt.contains(&stuff.family) {
            continue;
        }
        let table = || Some(material::diameters(&stuff.material, stuff.size?)?.outside);
        let Some(outside) = pipe.outside_mm.or_else(table) else {
            continue;
        };
        let (hole, _) = PENETRATIONS.hole(outside);
        let count = if pipe.lie == Lie::Vertical {
            plumb(taking, &walls, pipe, hole)
        } else {
            along(taking, &walls, pipe, hole)
        };
        if count == 0 {
            continue;
        }
        let source = format!(
            "{SOURCE}; {}; {}",
            PENETRATIONS.plate.source, PENETRATIONS.stud.source
        );
        let key = Key {
            material: "steel".to_owned(),
            name: "shield plate".to_owned(),
            ..taking.key(What::Plate, pipe.system, taking.middle(pipe))
        };
        let marks = taking.marks(ix);
        taking
            .tally
            .add(key, Amount::Count(count), marks, &source, true);
    }
    if !network.building.walls.is_empty() {
        taking.notes.push(
            "Plates are counted for walls as thick as a stud and a 1/2 in board on each side, from holes bored at the pipe's centre line; notches and joists are looked at by the checks. Cutting structure defers to the local code and a design professional.".to_owned(),
        );
    }
}

/// Faces of a framed wall that a hole, its centre so deep behind the finished face, comes too near to.
fn faces(wall: &Wall, deep: f64, hole: f64) -> u32 {
    let Some(stud) = practice().studs.in_wall(wall.thick) else {
        return 0;
    };
    let board = (wall.thick - stud) / 2.0;
    let clear = PENETRATIONS.plate.clear();
    let wood = [deep - board - hole / 2.0, board + stud - deep - hole / 2.0];
    // A hundredth of a millimetre is nothing a bit can do.
    let near = wood.iter().filter(|wood| **wood < clear - 0.01);
    near.count() as u32
}

/// Plates of a pipe that runs along inside walls.
fn along(taking: &Taking, walls: &Walls, pipe: &Pipe, hole: f64) -> u32 {
    let (a, b) = taking.network.true_ends(pipe);
    let mut before: Vec<(f64, f64)> = Vec::new();
    let mut count = 0;
    for number in walls.around(a, b) {
        let wall = walls.get(number);
        let ((s_a, deep_a), (s_b, deep_b)) = (own(wall, a.truncate()), own(wall, b.truncate()));
        let parallel = (deep_a - deep_b).abs() < 1.0;
        let inside = deep_a > 0.0 && deep_a < wall.thick;
        let (low, high) = (s_a.min(s_b).max(0.0), s_a.max(s_b).min(length(wall)));
        let z = taking.middle(pipe);
        if !parallel || !inside || high - low < 1.0 || z < wall.z.0 || z > wall.z.1 {
            continue;
        }
        let stretch = ((low - s_a).abs(), (high - s_a).abs());
        if told_before(&before, stretch) {
            continue;
        }
        before.push(stretch);
        let studs = ((high - low) / PENETRATIONS.stud.spacing() - 1e-6).ceil() as u32;
        count += studs * faces(wall, deep_a, hole);
    }
    count
}

/// Plates of a plumb pipe at the sole and top plates of the walls that it stands in.
fn plumb(taking: &Taking, walls: &Walls, pipe: &Pipe, hole: f64) -> u32 {
    let (a, b) = taking.network.true_ends(pipe);
    let (low, high) = (a.z.min(b.z), a.z.max(b.z));
    let within = PHASES.underground.within();
    let mut seen: HashSet<(LevelIx, bool)> = HashSet::new();
    let mut count = 0;
    for number in walls.around(a, b) {
        let wall = walls.get(number);
        let (s, deep) = own(wall, a.truncate());
        if !(0.0..=length(wall)).contains(&s) || deep <= 0.0 || deep >= wall.thick {
            continue;
        }
        for (top, z) in [(false, wall.z.0 - within), (true, wall.z.1 + within)] {
            // A wall told from both of its rooms, or met at a corner, has its plates once.
            if low < z && z <= high && seen.insert((wall.level, top)) {
                count += faces(wall, deep, hole);
            }
        }
    }
    count
}
