//! Three pipes of a drain or vent at a node, or four: the branch fitting, by which of them lie in line and at what
//! angle the branch meets the outlet.
//!
//! Sources: IPC 2021 Table 706.3 and 706.3 on double sanitary tees, UPC 2021 706 and 905.6 (note), by the packs; a
//! trap arm into its vent by a sanitary tee only (UPC 905.6 note seen; IPC by the limit on its fall, from memory).

use super::build::{Build, larger, sizes};
use super::ends::{about, degrees, in_line};
use super::inline::adapt;
use super::{End, Verdict};
use crate::model::Shape;
use crate::name;
use crate::shelf::LegKind;
use wyeline_units::Size;

/// The ends of a branch fitting.
struct Parts {
    inlet: Option<End>,
    outlet: End,
    branches: Vec<End>,
}

/// Three ends or more, all of drains or vents.
pub(crate) fn drain(build: &mut Build) {
    let ends = build.ends;
    if ends.len() > 4 {
        return build.no_fitting(
            format!("{} pipes meet at one point", ends.len()),
            "set the branches one after the other along the drain",
        );
    }
    if ends.iter().all(|end| end.dry) {
        return vents(build);
    }
    let outlets: Vec<End> = ends.iter().filter(|end| !end.inflow).copied().collect();
    let [outlet] = outlets[..] else {
        return build.no_fitting(
            "no single pipe leads on from here",
            "a drain has one way out of each point: turn one of the pipes round",
        );
    };
    let inlet = ends
        .iter()
        .find(|end| end.inflow && in_line(end, &outlet))
        .copied();
    let branches: Vec<End> = ends
        .iter()
        .filter(|end| end.inflow && inlet.is_none_or(|inlet| inlet.leg != end.leg))
        .copied()
        .collect();
    let parts = Parts {
        inlet,
        outlet,
        branches,
    };
    match (&parts.branches[..], parts.inlet) {
        ([_], Some(_)) => one(build, &parts),
        ([a, b], _) if in_line(a, b) => two(build, &parts),
        ([a, b], _)
            if about(degrees(a.flow(), outlet.flow()), 45.0)
                && about(degrees(b.flow(), outlet.flow()), 45.0)
                && about(degrees(a.away, b.away), 90.0) =>
        {
            two(build, &parts);
        }
        (_, None) => no_run(build, &parts),
        _ => build.no_fitting(
            "two branches meet the run at one point, not opposite each other",
            "set one branch before the other along the run: two fittings",
        ),
    }
}

/// A branch into a run.
fn one(build: &mut Build, parts: &Parts) {
    let (branch, outlet) = (&parts.branches[0], &parts.outlet);
    let angle = degrees(branch.flow(), outlet.flow());
    let candidates: Vec<Shape> = if about(angle, 45.0) {
        vec![Shape::Wye]
    } else if about(angle, 90.0) {
        square(build, parts)
    } else {
        return odd(build, angle);
    };
    choose(build, parts, &candidates);
}

/// Shapes for a branch square to the run, the one to try first first.
fn square(build: &Build, parts: &Parts) -> Vec<Shape> {
    let (branch, outlet) = (&parts.branches[0], &parts.outlet);
    let into_vent = parts.inlet.is_some_and(|inlet| inlet.dry);
    match (outlet.vertical(), branch.dry) {
        // The long throat of any other would drop the vent's opening below the weir.
        (true, false) if into_vent && build.ground.is_arm_end(branch.pipe) => {
            vec![Shape::SanitaryTee]
        }
        (true, _) => vec![Shape::SanitaryTee, Shape::Combination],
        (false, _) => vec![Shape::Combination],
    }
}

/// Takes the first candidate that the shelf has and the code allows, or what the job tells.
fn choose(build: &mut Build, parts: &Parts, candidates: &[Shape]) {
    let family = parts.outlet.family;
    let wet = parts.branches.iter().find(|branch| !branch.dry);
    let from = *wet.unwrap_or(&parts.branches[0]);
    let outlet = parts.outlet;
    if let Some(told) = super::told::shapes(build) {
        let verdict = build.ground.law.says(told[0], &from, &outlet);
        if !verdict.yes() {
            build.unlawful(
                name::shape(told[0]),
                &verdict,
                format!("{} may", name::shape(candidates[0])),
            );
        }
        if !fits(told[0], parts) {
            return build.no_fitting(
                format!(
                    "the branch does not meet the run as that of {} does",
                    name::shape(told[0])
                ),
                format!("here stands {}", name::shape(candidates[0])),
            );
        }
        return place(build, parts, told[0], &verdict);
    }
    let shelf = build.ground.given.shelf;
    let found = candidates
        .iter()
        .filter(|shape| shelf.has(family, **shape))
        .map(|&shape| (shape, build.ground.law.says(shape, &from, &outlet)))
        .find(|(_, verdict)| verdict.yes());
    match found {
        Some((shape, verdict)) => place(build, parts, shape, &verdict),
        None => build.no_fitting(
            format!("no {} is made for this branch", name::family(family)),
            "take another material here, or lead the branch in at 45 degrees",
        ),
    }
}

/// A shape told by the job makes this junction.
fn fits(shape: Shape, parts: &Parts) -> bool {
    let angle = degrees(parts.branches[0].flow(), parts.outlet.flow());
    match (shape, parts.branches.len()) {
        (Shape::Wye, 1) | (Shape::DoubleWye, 2) => about(angle, 45.0),
        (Shape::SanitaryTee | Shape::Combination | Shape::VentTee, 1)
        | (Shape::DoubleSanitaryTee | Shape::DoubleCombination | Shape::DoubleFixtureFitting, 2) => {
            about(angle, 90.0)
        }
        _ => false,
    }
}

/// A branch at an angle that no stock fitting has.
fn odd(build: &mut Build, angle: f64) {
    let rest = angle - 45.0;
    let (message, help) = if angle > 90.0 + super::ends::PLAY {
        (
            format!("the branch meets the flow at {angle:.0} degrees, against it"),
            "turn the branch so that it enters with the flow: at 45 degrees or square".to_owned(),
        )
    } else {
        let bend = super::bend::BENDS
            .iter()
            .find(|(_, turn)| about(rest.abs(), *turn))
            .map(|&(shape, _)| shape);
        let help = match bend {
            Some(bend) => format!(
                "a wye with a {} makes it: tell the branch in at 45 degrees and a turn after",
                name::shape(bend)
            ),
            None => "lead the branch in at 45 degrees and turn it after".to_owned(),
        };
        (
            format!("no fitting has a branch at {angle:.1} degrees"),
            help,
        )
    };
    build.no_fitting(message, help);
}

/// Two branches opposite each other, with a run through or without.
fn two(build: &mut Build, parts: &Parts) {
    let outlet = &parts.outlet;
    let angle = degrees(parts.branches[0].flow(), outlet.flow());
    let closets = parts
        .branches
        .iter()
        .all(|branch| build.ground.drains_closet(branch.pipe));
    let arms = parts
        .branches
        .iter()
        .all(|branch| build.ground.is_arm_end(branch.pipe));
    let candidates: &[Shape] = if about(angle, 45.0) {
        &[Shape::DoubleWye]
    } else if !about(angle, 90.0) {
        return odd(build, angle);
    } else if !outlet.vertical() || closets {
        &[Shape::DoubleCombination]
    } else if arms && build.ground.law.wants_double_fixture_fitting() {
        &[Shape::DoubleFixtureFitting]
    } else {
        &[Shape::DoubleSanitaryTee, Shape::DoubleFixtureFitting]
    };
    choose(build, parts, candidates);
}

/// No pipe comes in opposite the outlet.
fn no_run(build: &mut Build, parts: &Parts) {
    let plumb = parts.branches.iter().find(|branch| branch.vertical());
    let side = parts.branches.iter().find(|branch| !branch.vertical());
    let (message, help) = match (plumb, side, parts.outlet.vertical()) {
        (Some(_), Some(_), false) => (
            "a pipe from above and one from the side meet where the drain begins",
            "set the one from the side a little downstream: a wye with 1/8 bend there, a sweep or a wye with 1/8 bend under the other",
        ),
        _ => (
            "no two of these pipes lie in line, so no branch fitting has a run for them",
            "set the turn before or after the branch: a bend and a branch fitting",
        ),
    };
    build.no_fitting(message, help);
}

/// Counts the fitting: a combination is a wye with an eighth bend in each branch, unless the job tells it as one piece.
fn add(build: &mut Build, parts: &Parts, shape: Shape, ends: &[Size], verdict: &Verdict) {
    let outlet = &parts.outlet;
    let cite = || verdict.cite().cloned();
    let wye = match shape {
        Shape::Combination => Shape::Wye,
        Shape::DoubleCombination => Shape::DoubleWye,
        shape => return build.add(shape, outlet, ends.to_vec(), cite()),
    };
    if super::told::shapes(build).is_some() {
        return build.add(shape, outlet, ends.to_vec(), cite());
    }
    build.add(wye, outlet, ends.to_vec(), cite());
    for branch in &parts.branches {
        build.add(Shape::EighthBend, branch, sizes(&[branch.size]), cite());
        build.street();
    }
}

/// Sets the fitting: its run as large as its larger end, branches as they are.
fn place(build: &mut Build, parts: &Parts, shape: Shape, verdict: &Verdict) {
    let outlet = parts.outlet;
    let mut run: Option<Size> = outlet.size;
    if let Some(inlet) = parts.inlet {
        run = larger(run, inlet.size);
    }
    // A branch larger than the run has no fitting: the run is made as large.
    for branch in &parts.branches {
        run = larger(run, branch.size);
    }
    let mut ends = vec![run, run];
    ends.extend(parts.branches.iter().map(|branch| branch.size));
    let ends = sizes(&ends);
    let family = outlet.family;
    add(build, parts, shape, &ends, verdict);
    let leg = |build: &Build, leg| build.dimension(family, shape, &ends, leg);
    let out = leg(build, LegKind::RunOutlet);
    build.take(&outlet, [out]);
    build.bush(&outlet, run);
    match parts.inlet {
        Some(inlet) => {
            let through = leg(build, LegKind::RunInlet);
            build.take(&inlet, [through]);
            build.bush(&inlet, run);
            adapt(build, &inlet, family);
        }
        // The run's inlet is open: a plug, to clean through.
        None => build.add(Shape::CleanoutPlug, &outlet, sizes(&[run]), None),
    }
    for branch in &parts.branches {
        let side = leg(build, LegKind::Branch);
        build.take(branch, [side]);
        adapt(build, branch, family);
    }
}

/// Dry vents only: the two in line are the run.
fn vents(build: &mut Build) {
    let ends = build.ends;
    let pair = (0..ends.len())
        .flat_map(|a| (a + 1..ends.len()).map(move |b| (a, b)))
        .find(|&(a, b)| in_line(&ends[a], &ends[b]));
    let Some((a, b)) = pair else {
        return build.no_fitting(
            "no two of these vents lie in line",
            "set the turn before or after the branch: a bend and a tee",
        );
    };
    // Condensate leaves by the lower end, else by the one that leads to its drain.
    let (outlet, inlet) = if ends[a].away.z < ends[b].away.z - 0.1 || !ends[a].inflow {
        (ends[a], ends[b])
    } else {
        (ends[b], ends[a])
    };
    let branches: Vec<End> = ends
        .iter()
        .filter(|end| end.leg != outlet.leg && end.leg != inlet.leg)
        .copied()
        .collect();
    let angle = degrees(branches[0].away, outlet.away);
    let slant = about(angle, 45.0) || about(angle, 135.0);
    let candidates: &[Shape] = match (branches.len(), slant) {
        (1, true) => &[Shape::Wye],
        // A vent tee is shorter, but no standard's length of one is at hand: it stands where the job tells it.
        (1, false) if about(angle, 90.0) => &[Shape::SanitaryTee, Shape::VentTee],
        (2, false) if about(angle, 90.0) && in_line(&branches[0], &branches[1]) => {
            &[Shape::DoubleSanitaryTee]
        }
        _ => {
            return build.no_fitting(
                format!("no fitting of vents has a branch at {angle:.0} degrees"),
                "lead the branch in square or at 45 degrees",
            );
        }
    };
    let parts = Parts {
        inlet: Some(inlet),
        outlet,
        branches,
    };
    choose(build, &parts, candidates);
}
