//! Walls traced, rooms drawn, doors and windows put into walls.

use wyeline_units::Len;

use crate::draft::Draft;
use crate::edit::Edit;
use crate::faces::{faces, slide};
use crate::fixtures::whole;
use crate::order::put;
use crate::plan::{Plan, apart};
use crate::words::{fine, length, place, read_length};
use crate::{Refusal, Snap, Work};

/// Makes the edits that build.
pub fn apply<'p, 'a>(plan: &'p Plan<'a>, edit: &Edit) -> Result<Work<'p, 'a>, Refusal> {
    match edit {
        Edit::Wall {
            level,
            points,
            thick,
            within,
        } => wall(plan, level, points, thick.as_deref(), *within),
        Edit::Room {
            level,
            a,
            b,
            name,
            thick,
            within,
        } => room(
            plan,
            level,
            [*a, *b],
            (name.as_deref(), thick.as_deref()),
            *within,
        ),
        Edit::Opening {
            kind,
            level,
            at,
            wide,
            within,
        } => opening(plan, kind, level, (*at, *within), wide.as_deref()),
        _ => Err(Refusal::new(
            "this builds nothing",
            "choose a wall, a room or an opening",
        )),
    }
}

/// Snaps a point to a corner, then to a face, then to whole inches or centimetres. Why, where not the last.
pub fn snap(plan: &Plan<'_>, level: usize, at: [f64; 2], within: f64) -> ([Len; 2], &'static str) {
    let units = plan.units();
    let told = plan.network.building.walls.iter();
    let here = told.filter(|wall| wall.level.0 as usize == level);
    let ends = here.flat_map(|wall| [wall.from, wall.to]);
    let others = faces(plan, level).flat_map(|face| [face.from, face.to]);
    // The corners of the line as told come before those of the far face.
    let corner = |near: &mut dyn Iterator<Item = [f64; 2]>| {
        near.filter(|corner| apart(*corner, at) <= within)
            .min_by(|a, b| apart(*a, at).total_cmp(&apart(*b, at)))
    };
    let found = corner(&mut ends.map(<[f64; 2]>::from)).or_else(|| corner(&mut others.into_iter()));
    if let Some(found) = found {
        return (found.map(|part| fine(part, units)), "at a corner");
    }
    let near = faces(plan, level)
        .map(|face| (face, face.nearest(at)))
        .filter(|(_, (_, off))| *off <= within)
        .min_by(|(_, (_, a)), (_, (_, b))| a.total_cmp(b));
    match near {
        Some((face, (foot, _))) => (slide(&face, foot, plan), "on a wall's face"),
        None => (whole(plan, at), ""),
    }
}

fn thickness(plan: &Plan<'_>, thick: Option<&str>) -> Result<String, Refusal> {
    let thick = thick
        .map(|thick| read_length(thick, plan.units()))
        .transpose()?;
    Ok(thick.map_or_else(String::new, |thick| {
        format!(" thick {}", length(thick, plan.units()))
    }))
}

fn wall<'p, 'a>(
    plan: &'p Plan<'a>,
    level: &str,
    points: &[[f64; 2]],
    thick: Option<&str>,
    within: f64,
) -> Result<Work<'p, 'a>, Refusal> {
    let (ix, floor) = plan.level(level)?;
    let mut corners: Vec<[Len; 2]> = Vec::with_capacity(points.len());
    let mut why = "";
    for at in points {
        let mut at = *at;
        if corners.len() > 2 && apart(corners[0].map(Len::mm), at) <= within {
            let first = corners[0];
            corners.push(first);
            why = "closed";
            break;
        }
        // A hand that means to go square goes square.
        if let Some(last) = corners.last() {
            for k in [0, 1] {
                if (at[k] - last[k].mm()).abs() <= within {
                    at[k] = last[k].mm();
                }
            }
        }
        let (corner, reason) = snap(plan, ix, at, within);
        if corners.last() != Some(&corner) {
            corners.push(corner);
            why = reason;
        }
    }
    let Some(last) = corners.last().filter(|_| corners.len() > 1) else {
        return Err(Refusal::new(
            "a wall has two corners at the least",
            "trace it farther",
        ));
    };
    let snap = Snap {
        at: [last[0].mm(), last[1].mm(), floor.floor],
        why: if why.is_empty() {
            place(*last, plan.units())
        } else {
            why.to_owned()
        },
    };
    let told: Vec<String> = corners.iter().map(|at| place(*at, plan.units())).collect();
    let words = format!("wall {level} {}{}", told.join(" "), thickness(plan, thick)?);
    let mut draft = Draft::new(&plan.page);
    put(plan, &mut draft, "wall", &[words], false);
    Ok(Work {
        snap: Some(snap),
        ..Work::new(draft)
    })
}

fn room<'p, 'a>(
    plan: &'p Plan<'a>,
    level: &str,
    corners: [[f64; 2]; 2],
    (name, thick): (Option<&str>, Option<&str>),
    within: f64,
) -> Result<Work<'p, 'a>, Refusal> {
    let units = plan.units();
    let (ix, floor) = plan.level(level)?;
    let [(a, _), (b, why)] = corners.map(|at| snap(plan, ix, at, within));
    let low = [a[0].min(b[0]), a[1].min(b[1])];
    let high = [a[0].max(b[0]), a[1].max(b[1])];
    if low[0] == high[0] || low[1] == high[1] {
        return Err(Refusal::new(
            "a room has a width and a depth",
            "draw it larger",
        ));
    }
    let round = [low, [high[0], low[1]], high, [low[0], high[1]], low];
    let told: Vec<String> = round.iter().map(|at| place(*at, units)).collect();
    let wall = format!("wall {level} {}{}", told.join(" "), thickness(plan, thick)?);
    let mut draft = Draft::new(&plan.page);
    match name {
        None => put(plan, &mut draft, "wall", &[wall], false),
        Some(name) if name.contains(['"', '“', '”', '\n', '\r']) => {
            return Err(Refusal::new(
                format!("`{}` cannot stand between quote marks", name.trim()),
                "leave quote marks out of it",
            ));
        }
        Some(name) => {
            let middle = |k: usize| fine(f64::midpoint(low[k].mm(), high[k].mm()), units);
            let room = format!(
                "room \"{name}\" {level} {}",
                place([middle(0), middle(1)], units)
            );
            let rooms = plan.page.statements();
            if rooms.iter().any(|one| one.first == "room" && !one.in_group) {
                put(plan, &mut draft, "room", &[room], false);
                put(plan, &mut draft, "wall", &[wall], false);
            } else {
                put(plan, &mut draft, "wall", &[wall, room], false);
            }
        }
    }
    let why = if why.is_empty() {
        place(b, units)
    } else {
        why.to_owned()
    };
    let at = [b[0].mm(), b[1].mm(), floor.floor];
    Ok(Work {
        snap: Some(Snap { at, why }),
        ..Work::new(draft)
    })
}

/// A door or window of common width where the hand says none; our own choice.
fn usual_width(kind: &str, metric: bool) -> Len {
    match (kind, metric) {
        ("door", false) => Len::inches(32),
        ("door", true) => Len::millimetres(800),
        (_, false) => Len::inches(36),
        (_, true) => Len::millimetres(900),
    }
}

fn opening<'p, 'a>(
    plan: &'p Plan<'a>,
    kind: &str,
    level: &str,
    (at, within): ([f64; 2], f64),
    wide: Option<&str>,
) -> Result<Work<'p, 'a>, Refusal> {
    let units = plan.units();
    if !matches!(kind, "door" | "window") {
        return Err(Refusal::unknown(
            "opening",
            kind,
            ["door", "window"].into_iter(),
        ));
    }
    let (ix, floor) = plan.level(level)?;
    let wide = match wide {
        Some(wide) => read_length(wide, units)?,
        None => usual_width(kind, units.is_metric()),
    };
    // The hand may hold it anywhere in the wall; it is told on the room's face.
    let walls = plan
        .network
        .building
        .walls
        .iter()
        .filter(|wall| wall.level.0 as usize == ix);
    let near = faces(plan, ix)
        .step_by(2)
        .zip(walls)
        .map(|(face, wall)| (face, wall.thick, face.nearest(at)))
        .filter(|(_, thick, (_, off))| *off <= within + thick)
        .min_by(|(.., (_, a)), (.., (_, b))| a.total_cmp(b));
    let Some((face, _, (foot, _))) = near else {
        return Err(Refusal::new(
            format!("no wall of {level} lies here"),
            format!("put the {kind} into a wall"),
        ));
    };
    let at = slide(&face, foot, plan);
    let words = format!(
        "{kind} {level} {} wide {}",
        place(at, units),
        length(wide, units)
    );
    let mut draft = Draft::new(&plan.page);
    put(plan, &mut draft, kind, &[words], false);
    let snap = Snap {
        at: [at[0].mm(), at[1].mm(), floor.floor],
        why: "in the wall".to_owned(),
    };
    Ok(Work {
        snap: Some(snap),
        ..Work::new(draft)
    })
}
