//! Where pipe ends: closet flanges, traps, stub-outs, equipment, caps, the end above the roof.

use wyeline_job::model::{DeviceKind, System};
use wyeline_network::model::NodeKind;

use super::End;
use super::build::{Build, on_site, sizes};
use crate::model::{Missing, Shape};
use crate::shelf::LegKind;

/// One end.
pub(crate) fn one(build: &mut Build, end: &End) {
    let here = build.here();
    let ends = sizes(&[end.size]);
    match &here.kind {
        NodeKind::Outlet if here.fixture.is_some() => outlet(build, end),
        NodeKind::Trap => {
            build.add(Shape::PTrap, end, ends.clone(), None);
            let leg = build.dimension(end.family, Shape::PTrap, &ends, LegKind::RunOutlet);
            build.take(end, [leg]);
        }
        NodeKind::Stub | NodeKind::Port => fed(build),
        NodeKind::Cap => {
            build.add(Shape::Cap, end, ends, None);
        }
        NodeKind::RoofEnd => build.add(Shape::RoofFlashing, end, ends, None),
        _ => {}
    }
    match here.device.as_ref().map(|device| device.kind) {
        Some(DeviceKind::Cleanout) => {
            build.add(Shape::CleanoutPlug, end, sizes(&[end.size]), None);
            build.take(end, [Ok(on_site("cleanout at the end of the pipe"))]);
        }
        Some(kind) => {
            build.add(Shape::Device(kind), end, sizes(&[end.size]), None);
            device_length(build, end, end);
        }
        None => {}
    }
}

/// The outlet of a fixture: a closet's flange, else the tail that comes with the trap or the strainer.
fn outlet(build: &mut Build, end: &End) {
    if build.ground.drains_closet(end.pipe) {
        let ends = sizes(&[end.size]);
        build.add(Shape::ClosetFlange, end, ends.clone(), None);
        let leg = build.dimension(end.family, Shape::ClosetFlange, &ends, LegKind::Each);
        build.take(end, [leg]);
    } else {
        build.take(end, [Ok(on_site("tail of the fixture"))]);
    }
}

/// A trap between the fixture's tail and its arm.
pub(crate) fn trap(build: &mut Build, tail: &End, arm: &End) {
    let ends = sizes(&[arm.size]);
    build.add(Shape::PTrap, arm, ends.clone(), None);
    let leg = build.dimension(arm.family, Shape::PTrap, &ends, LegKind::RunOutlet);
    build.take(arm, [leg]);
    build.take(tail, [Ok(on_site("tail into the trap"))]);
}

/// A fixture's or equipment's supply, by one pipe or several.
pub(crate) fn fed(build: &mut Build) {
    let here = build.here();
    let stub = here.kind == NodeKind::Stub;
    let shape = if stub { Shape::StubOut } else { Shape::Union };
    let what = if stub {
        "stub-out at the wall"
    } else {
        "connection of the equipment"
    };
    for end in build.ends {
        let wet_vent = end.system.drains() || end.system == System::Vent;
        if !wet_vent {
            build.add(shape, end, sizes(&[end.size]), None);
        }
        build.take(end, [Ok(on_site(what))]);
    }
}

/// A device takes the length that the job tells from the pipe ahead of it, as the run is told: downstream for water
/// and gas, upstream for drains.
pub(crate) fn device_length(build: &mut Build, from: &End, to: &End) {
    let here = build.here();
    let Some(device) = &here.device else {
        return;
    };
    let ahead = if to.system.drains() { from } else { to };
    let known = device.length_mm.map(|mm| crate::model::Allowance {
        what: "length of the device".to_owned(),
        mm,
        trust: crate::model::Trust::Measured,
        error_mm: None,
        source: "told by the job".to_owned(),
        tell: None,
    });
    let tag = device.tag.clone().unwrap_or_else(|| here.id.clone());
    let part = known.ok_or_else(|| Missing {
        what: format!("how long {tag} is between the ends of its pipes"),
        tell: "after the device: … length LENGTH".to_owned(),
    });
    build.take(ahead, [part]);
}
