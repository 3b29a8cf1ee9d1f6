//! Texts of jobs of three sizes, always the same: a house, a block, a tower.
//!
//! In: how many storeys and stacks. Out: the text of a job that tells one bath as a group,
//! places it twice at every stack on every storey (the second mirrored), and tells the
//! stacks and risers that the groups hang on. Knows nothing of the stages that read it.

use std::fmt::Write;

/// How large a building is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Building {
    /// What it is called.
    pub name: &'static str,
    /// Storeys.
    pub storeys: u32,
    /// Rows of stacks, from south to north.
    pub rows: u32,
    /// Stacks in a row, from west to east.
    pub columns: u32,
}

/// Two baths on one floor, about 60 pipes.
pub const HOUSE: Building = Building {
    name: "house",
    storeys: 1,
    rows: 1,
    columns: 1,
};
/// Fifty baths, about 1,500 pipes.
pub const BLOCK: Building = Building {
    name: "block",
    storeys: 5,
    rows: 1,
    columns: 5,
};
/// 1,776 baths, about 50,000 pipes.
pub const TOWER: Building = Building {
    name: "tower",
    storeys: 37,
    rows: 4,
    columns: 6,
};

/// One bath west of the chase, with its branches; the origin is the chase's centre at its south end.
const BATH: &str = r#"
group bath
  wall     here  -7",0'  -7",8'6"  -8'7",8'6"  -8'7",0'  -7",0'  thick 4-1/2"
  fixture  WC   water-closet  here  -7",6'    faces west
  fixture  LAV  lavatory      here  -7",4'    faces west
  fixture  BT   bathtub       here  -3'1",0'  faces north  drain left 1'6"
  waste branch
    start     $STACK
    size      3"
    material  pvc
    west      to abreast WC.drain
    catch     WC
    size      2"
    south     to abreast LAV.tee
    catch     LAV  size 1-1/2"
    south     to abreast BT.drain
    end       BT
  vent dry-vent
    start     LAV.tee
    size      1-1/2"
    material  pvc
    up        to here floor +3'6"
    north     to abreast $TIE
    join      $TIE
  cold cold
    start     $COLD
    size      3/4"
    material  copper
    west      6"
    ball-valve
    south     to abreast WC.cold
    catch     WC   size 1/2"
    south     to abreast LAV.cold
    catch     LAV  size 1/2"
    size      1/2"
    south     to abreast BT.cold
    end       BT
  hot hot
    start     $HOT
    size      3/4"
    material  copper
    west      6"
    ball-valve
    south     to abreast LAV.hot
    catch     LAV  size 1/2"
    size      1/2"
    south     to abreast BT.hot
    end       BT
end-group
"#;

/// East-west and north-south distance between stacks, feet.
const SPACING: (u32, u32) = (24, 30);
/// Floor to floor, feet.
const STOREY: u32 = 10;

/// The text of the job for a building.
pub fn text(building: Building) -> String {
    let mut text = String::new();
    let Building {
        name,
        storeys,
        rows,
        columns,
    } = building;
    let _ = writeln!(
        text,
        "job {name}\nunits ft-in\ncode ipc-2021\nslope 1/4 in per ft\n"
    );
    for storey in 0..storeys {
        let floor = storey * STOREY;
        let _ = writeln!(
            text,
            "level l{storey} floor {floor}' ceiling 8'6\" joists 11-7/8\" run east-west at 16\" from 0' finish 1\""
        );
    }
    let _ = writeln!(text, "roof {}'\n{BATH}", storeys * STOREY + 1);
    for row in 0..rows {
        for column in 0..columns {
            stack(&mut text, building, row, column);
        }
    }
    text
}

/// One stack with its vent stack, its risers, and the baths on both sides of it.
fn stack(text: &mut String, building: Building, row: u32, column: u32) {
    let id = row * building.columns + column;
    let (east, north) = (20 + column * SPACING.0, 10 + row * SPACING.1);
    let storeys = building.storeys;
    for storey in 0..storeys {
        for (side, mirrored) in [("A", ""), ("B", " mirrored east-west")] {
            let _ = writeln!(
                text,
                "place bath as {side}{id}-{storey} at {east}',{north}' on l{storey}{mirrored} \
                 with STACK S{id}-{storey} with TIE T{id}-{storey} with COLD C{id}-{storey} with HOT H{id}-{storey}"
            );
        }
    }
    let stack = north + 6;
    let _ = writeln!(
        text,
        "\nwaste stack-{id}\n  start {east}',{}' l0 floor -4'\n  size 4\"\n  material pvc",
        stack + 4
    );
    let _ = writeln!(text, "  south 4'\n  cleanout\n  up 8\"\n  point F{id}");
    for storey in 0..storeys {
        let _ = writeln!(
            text,
            "  up to l{storey} floor -1'6\"\n  point S{id}-{storey}"
        );
    }
    let last = storeys - 1;
    let _ = writeln!(
        text,
        "  up 4\"\n  point TOP{id}\n  size 3\"\n  north to abreast FD{id}.drain\n  end FD{id}\n"
    );
    let _ = writeln!(
        text,
        "fixture FD{id} floor-drain l{last} {east}',{}' faces south",
        north + 10
    );
    let _ = writeln!(text, "vent stack-vent-{id}\n  start TOP{id}");
    let _ = writeln!(
        text,
        "  size 4\"\n  material pvc\n  up to l{last} floor +5'\n  point U{id}\n  up through roof\n"
    );
    let _ = writeln!(
        text,
        "vent vent-stack-{id}\n  start F{id}\n  size 3\"\n  material pvc\n  up 1' at 45 south"
    );
    for storey in 0..storeys {
        let _ = writeln!(
            text,
            "  up to l{storey} floor +3'6\"\n  point T{id}-{storey}"
        );
    }
    let _ = writeln!(text, "  up to l{last} floor +5'\n  join U{id}\n");
    for (system, letter, north, above) in [
        ("cold", 'C', north + 7, "1'"),
        ("hot", 'H', north + 8, "1'4\""),
    ] {
        let _ = writeln!(
            text,
            "{system} riser-{letter}{id}\n  start {east}',{north}' l0 floor -3'\n  size 2\"\n  material copper"
        );
        for storey in 0..storeys {
            let _ = writeln!(
                text,
                "  up to l{storey} floor +{above}\n  point {letter}{id}-{storey}"
            );
        }
        let _ = writeln!(text, "  up 1'\n  cap\n");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_building_is_always_told_in_the_same_words() {
        assert_eq!(text(BLOCK), text(BLOCK));
    }

    #[test]
    fn every_stack_has_two_baths_on_every_storey() {
        for building in [HOUSE, BLOCK] {
            let places = text(building)
                .lines()
                .filter(|line| line.starts_with("place "))
                .count();
            assert_eq!(
                places as u32,
                2 * building.storeys * building.rows * building.columns
            );
        }
    }
}
