//! How far a vent ends from doors and windows.
//!
//! IPC 903.5, UPC 906.2, Canada 2.5.6.5.

use wyeline_network::model::{NodeIx, NodeKind, Opening};

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-terminal-openings",
    title: "A vent ends far from doors and windows, or well above them.",
    page: "The sewer's air must not be drawn into the building.\n\n\
        Measured is the level distance from the open end to the nearest point of each door and window in the job. Nearer than the code allows, the \
        end has to stand so much above the opening's head.\n\n\
        The job does not tell how high a door or window reaches: an end that is high enough above the top of the wall is in order, one that is \
        not even that much above the floor is a finding, and between the two it is not checked. Lot lines and the air intakes of machines are not \
        told either.",
    cite: |pack| keys::cite(pack, "terminal.from-opening"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let number = |key| keys::number(context.pack, key);
    let (Some(far), Some(above)) = (
        number("terminal.from-opening"),
        number("terminal.above-opening"),
    ) else {
        return;
    };
    let building = &context.network.building;
    // By their east coordinate, so that only those near a vent are looked at.
    let mut openings: Vec<&Opening> = building.openings.iter().collect();
    openings.sort_by(|a, b| a.at.0.total_cmp(&b.at.0));
    let widest = openings
        .iter()
        .fold(0.0, |most: f64, one| most.max(one.width));
    for (ix, node) in context.network.nodes.iter().enumerate() {
        if node.kind != NodeKind::RoofEnd {
            continue;
        }
        let at = At::Node(NodeIx(ix as u32));
        said.looked();
        let reach = far + widest / 2.0;
        let first = openings.partition_point(|one| one.at.0 < node.at.x - reach);
        for opening in &openings[first..] {
            if opening.at.0 > node.at.x + reach {
                break;
            }
            let distance = distance(context, opening, (node.at.x, node.at.y));
            if distance >= far - ALIKE {
                continue;
            }
            let Some(wall) = building.walls.get(opening.wall as usize) else {
                continue;
            };
            let (floor, head) = wall.z;
            if node.at.z >= head + above - ALIKE {
                continue;
            }
            if node.at.z >= floor + above - ALIKE {
                said.unknown(
                    at,
                    "a door or window is near, and how high it reaches is not told",
                );
                break;
            }
            let message = format!(
                "the vent ends {} from a door or window and not {} above it; {} is the least distance",
                context.show(distance),
                context.show(above),
                context.show(far)
            );
            let help = format!(
                "end it {} farther away, or {} above the opening",
                context.show(far - distance),
                context.show(above)
            );
            said.breaks(context, at, message, help);
            break;
        }
    }
}

/// Level distance from a point to an opening, mm.
fn distance(context: &Context, opening: &Opening, point: (f64, f64)) -> f64 {
    let walls = &context.network.building.walls;
    let along = walls.get(opening.wall as usize).map_or((1.0, 0.0), |wall| {
        let (dx, dy) = (wall.to.0 - wall.from.0, wall.to.1 - wall.from.1);
        let length = dx.hypot(dy).max(f64::MIN_POSITIVE);
        (dx / length, dy / length)
    });
    let (dx, dy) = (point.0 - opening.at.0, point.1 - opening.at.1);
    let beside = dx * along.0 + dy * along.1;
    let off = dx * along.1 - dy * along.0;
    (beside.abs() - opening.width / 2.0).max(0.0).hypot(off)
}

#[cfg(test)]
mod tests {
    use crate::testing::whole;

    /// A vent over a low roof, so far east of a window 2 ft wide in the upper floor's west wall (floor 10 ft, ceiling 18 ft).
    /// The lavatory stands outside that wall, under a lean-to whose roof is at such a height.
    fn lean_to(east: &str, roof: &str) -> String {
        format!(
            "job t\nunits ft-in\nslope 1/4 in per ft\nlevel main floor 0' ceiling 8'\nlevel upper floor 10' ceiling 8'\nroof {roof}\n\
             wall upper 0',0' 0',20'\nwindow upper 0',10' wide 2'\n\
             fixture LAV lavatory main {east},10' faces south\n\
             waste d\nstart {east},0' main floor -1'\nsize 2\"\nnorth to abreast LAV.tee\nend LAV\n\
             vent v\nstart LAV.tee\nsize 1-1/2\"\nup through roof above 6\"\n"
        )
    }

    fn fires_at(east: &str, roof: &str) -> usize {
        let said = whole("ipc-2021", &lean_to(east, roof), "vent-terminal-openings");
        assert!(said.places > 0);
        said.findings.len()
    }

    /// IPC 903.5: 10 ft. The lean-to's roof at 9 ft is below the window's floor.
    #[test]
    fn ten_feet() {
        assert_eq!(fires_at("9'11\"", "9'"), 1);
        assert_eq!(fires_at("10'", "9'"), 0);
        assert_eq!(fires_at("11'", "9'"), 0);
    }

    /// 3 ft above the top of the wall, at 18 ft: the roof at 20 ft 6 in with the vent 6 in above it is at 21 ft.
    #[test]
    fn three_feet_above() {
        assert_eq!(fires_at("5'", "20'6\""), 0);
        let said = whole("ipc-2021", &lean_to("5'", "20'"), "vent-terminal-openings");
        assert!(
            said.findings.is_empty() && said.unchecked.len() == 1,
            "{said:#?}"
        );
    }
}
