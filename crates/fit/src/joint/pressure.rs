//! Pipes of water and gas at a node: elbows, tees, crosses, reducers, devices.
//!
//! Reducing tees are named run x run x branch, the larger end of the run first: the order of the trade (common practice).

use wyeline_network::model::NodeKind;
use wyeline_sizing::at_least;

use super::End;
use super::build::{Build, larger, sizes};
use super::ends::{PLAY, about, degrees, in_line};
use super::{inline, terminal};
use crate::model::Shape;
use crate::name;
use crate::shelf::LegKind;

/// Two ends: a turn, a device in line, a change of size or material, or nothing.
pub(crate) fn two(build: &mut Build, a: &End, b: &End) {
    let (from, to) = if b.inflow && !a.inflow {
        (b, a)
    } else {
        (a, b)
    };
    let turn = degrees(from.flow(), to.flow());
    let here = build.here();
    if matches!(here.kind, NodeKind::Port | NodeKind::Stub) {
        return terminal::fed(build);
    }
    match (here.device.as_ref().map(|device| device.kind), turn <= PLAY) {
        (Some(kind), true) => inline::device(build, from, to, kind),
        (None, true) => inline::straight(build, from, to),
        (_, false) => elbow(build, from, to, turn),
    }
}

fn elbow(build: &mut Build, from: &End, to: &End, turn: f64) {
    let shape = if about(turn, 90.0) {
        Shape::Elbow90
    } else if about(turn, 45.0) {
        Shape::Elbow45
    } else {
        return build.no_fitting(
            format!("no elbow turns by {turn:.1} degrees"),
            "tell the turn with 45 or 90 degrees, or with two of them rolled",
        );
    };
    if tells_another(build, shape) {
        return;
    }
    if !build.ground.given.shelf.has(to.family, shape) {
        return build.no_fitting(
            format!("no {} elbow of this turn is made", name::family(to.family)),
            "take another material here, or 90 degrees",
        );
    }
    let size = larger(from.size, to.size);
    let ends = sizes(&[size]);
    build.add(shape, to, ends.clone(), None);
    for end in [from, to] {
        let leg = build.dimension(to.family, shape, &ends, LegKind::Each);
        build.take(end, [leg]);
        build.bush(end, size);
        inline::adapt(build, end, to.family);
    }
}

/// Three ends or more.
pub(crate) fn branch(build: &mut Build) {
    let ends = build.ends;
    let pair = (0..ends.len())
        .flat_map(|a| (a + 1..ends.len()).map(move |b| (a, b)))
        .find(|&(a, b)| in_line(&ends[a], &ends[b]));
    let Some((a, b)) = pair else {
        return build.no_fitting(
            "no two of these pipes lie in line, so no tee has a run for them",
            "set the turn before or after the branch: an elbow and a tee",
        );
    };
    let branches: Vec<End> = ends
        .iter()
        .filter(|end| end.leg != ends[a].leg && end.leg != ends[b].leg)
        .copied()
        .collect();
    let square = |branch: &End| about(degrees(branch.away, ends[a].away), 90.0);
    let shape = match &branches[..] {
        [branch] if square(branch) => Shape::Tee,
        [c, d] if square(c) && in_line(c, d) => Shape::Cross,
        [_] => {
            return build.no_fitting(
                "a branch meets the run at an angle that no tee has",
                "lead it off square, with an elbow of 45 degrees after the tee",
            );
        }
        _ => {
            return build.no_fitting(
                format!("{} pipes meet at one point", ends.len()),
                "set the branches one after the other along the run: two tees",
            );
        }
    };
    if !tells_another(build, shape) {
        tee(build, &ends[a], &ends[b], &branches, shape);
    }
}

/// Whether the job tells another fitting than the one that makes this: told as a finding.
fn tells_another(build: &mut Build, makes: Shape) -> bool {
    let told = super::told::shapes(build);
    let other = told.is_some_and(|told| told != [makes]);
    if other {
        build.no_fitting(
            "the fitting told does not make this turn or branch",
            format!("here stands a {}", name::shape(makes)),
        );
    }
    other
}

fn tee(build: &mut Build, a: &End, b: &End, branches: &[End], shape: Shape) {
    let (first, second) = match (a.size, b.size) {
        (Some(one), Some(other)) if !at_least(one, other) => (b, a),
        _ => (a, b),
    };
    let family = first.family;
    let all = [first, second].into_iter().chain(branches);
    let ends = sizes(&all.clone().map(|end| end.size).collect::<Vec<_>>());
    build.add(shape, first, ends.clone(), None);
    for (at, end) in all.enumerate() {
        let kind = match at {
            0 => LegKind::RunInlet,
            1 => LegKind::RunOutlet,
            _ => LegKind::Branch,
        };
        let leg = build.dimension(family, shape, &ends, kind);
        build.take(end, [leg]);
        inline::adapt(build, end, family);
    }
}
