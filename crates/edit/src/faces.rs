//! Finished faces of walls near a point, and how a fixture stands against one.

use wyeline_job::model::Compass;
use wyeline_job::words::COMPASS;
use wyeline_network::kinds::Kind;
use wyeline_units::Len;

use crate::plan::{Plan, apart};
use crate::words::{coarse, fine, way};

/// A finished face of a wall, both its sides in plan, mm.
#[derive(Clone, Copy, Debug)]
pub struct Face {
    /// One end.
    pub from: [f64; 2],
    /// The other end.
    pub to: [f64; 2],
    /// The way it looks, away from the wall.
    pub out: [f64; 2],
}

/// Where something stands, and which way it looks.
#[derive(Clone, Debug)]
pub struct Stand {
    /// Its place.
    pub at: [Len; 2],
    /// Away from the face it stands against; nothing in the open.
    pub faces: Option<Compass>,
    /// What it snapped to.
    pub why: String,
}

impl Face {
    fn length(&self) -> f64 {
        apart(self.from, self.to)
    }

    /// The point of the face nearest to a point, and how far that is.
    pub fn nearest(&self, at: [f64; 2]) -> ([f64; 2], f64) {
        let along = [self.to[0] - self.from[0], self.to[1] - self.from[1]];
        let square = along[0].powi(2) + along[1].powi(2);
        let share = (at[0] - self.from[0]) * along[0] + (at[1] - self.from[1]) * along[1];
        let share = (share / square).clamp(0.0, 1.0);
        let foot = [
            self.from[0] + along[0] * share,
            self.from[1] + along[1] * share,
        ];
        (foot, apart(foot, at))
    }

    /// The compass word of the way it looks, where there is one.
    fn compass(&self) -> Option<Compass> {
        COMPASS.iter().map(|(_, compass)| *compass).find(|compass| {
            let way = way(*compass);
            way[0] * self.out[0] + way[1] * self.out[1] > 1.0 - 1e-9
        })
    }
}

/// Both faces of every wall of a level.
pub fn faces<'p>(plan: &'p Plan<'_>, level: usize) -> impl Iterator<Item = Face> + 'p {
    let walls = plan.network.building.walls.iter();
    let here = walls.filter(move |wall| wall.level.0 as usize == level);
    here.flat_map(|wall| {
        let (from, to): ([f64; 2], [f64; 2]) = (wall.from.into(), wall.to.into());
        let into: [f64; 2] = wall.into.into();
        let far = |at: [f64; 2]| [at[0] + into[0] * wall.thick, at[1] + into[1] * wall.thick];
        let room = Face {
            from,
            to,
            out: [-into[0], -into[1]],
        };
        let other = Face {
            from: far(from),
            to: far(to),
            out: into,
        };
        [room, other]
    })
}

/// How a fixture of a kind stands at a point: against the nearest face within reach, or in the open.
///
/// The hand holds it anywhere on its depth, and may be off by `within` mm.
pub fn stand(plan: &Plan<'_>, level: usize, kind: &Kind, at: [f64; 2], within: f64) -> Stand {
    let units = plan.units();
    let open = |why: &str| Stand {
        at: [coarse(at[0], units), coarse(at[1], units)],
        faces: None,
        why: why.to_owned(),
    };
    if kind.centred {
        return open("at its centre");
    }
    let reach = within + kind.plan_mm().1;
    let near = faces(plan, level)
        .filter_map(|face| Some((face, face.compass()?, face.nearest(at))))
        .filter(|(face, _, (_, off))| *off <= reach && face.length() > 1.0)
        .min_by(|(.., (_, a)), (.., (_, b))| a.total_cmp(b));
    let Some((face, faces, (foot, _))) = near else {
        return open("in the open: no wall within reach");
    };
    Stand {
        at: slide(&face, foot, plan),
        faces: Some(faces),
        why: format!("against the wall, facing {}", faces.word()),
    }
}

/// A point of a face at whole inches or centimetres along it, as far as the face goes.
pub fn slide(face: &Face, foot: [f64; 2], plan: &Plan<'_>) -> [Len; 2] {
    let units = plan.units();
    let axis = |k: usize| {
        let (low, high) = (face.from[k].min(face.to[k]), face.from[k].max(face.to[k]));
        let round = coarse(foot[k], units);
        let exact = fine(foot[k], units);
        if high - low < 1.0 || !(low..=high).contains(&round.mm()) {
            exact
        } else {
            round
        }
    };
    let slanted = face.out.iter().all(|part| part.abs() > 1e-6);
    if slanted {
        return [fine(foot[0], units), fine(foot[1], units)];
    }
    [axis(0), axis(1)]
}
