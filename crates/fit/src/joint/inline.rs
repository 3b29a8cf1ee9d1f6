//! Two pipes at a node of a drain or vent: a turn, a trap, a device in line, a change of size or material, or
//! nothing at all.

use wyeline_job::model::DeviceKind;
use wyeline_network::model::NodeKind;

use super::End;
use super::bend;
use super::build::{Build, larger, sizes};
use super::ends::{PLAY, degrees};
use super::terminal;
use crate::model::{Family, Shape};
use crate::shelf::LegKind;

/// Two ends of drains or vents.
pub(crate) fn drain(build: &mut Build, a: &End, b: &End) {
    let (from, to) = if b.inflow && !a.inflow {
        (b, a)
    } else {
        (a, b)
    };
    let turn = degrees(from.flow(), to.flow());
    let here = build.here();
    if here.kind == NodeKind::Trap {
        return terminal::trap(build, from, to);
    }
    match (here.device.as_ref().map(|device| device.kind), turn <= PLAY) {
        (Some(DeviceKind::Cleanout), straight) => cleanout(build, from, to, straight),
        (_, false) => bend::bend(build, from, to),
        (Some(kind), true) => device(build, from, to, kind),
        (None, true) => straight(build, from, to),
    }
}

/// In line: a reducer, an adapter, a coupling where new pipe meets old, or nothing.
pub(crate) fn straight(build: &mut Build, from: &End, to: &End) {
    let told = super::told::shapes(build);
    if let Some(told) = told {
        told_in_line(build, from, to, &told);
    } else if from.family != to.family {
        adapter(build, from, to);
    } else if from.size != to.size && from.size.is_some() && to.size.is_some() {
        reducer(build, from, to);
    } else if from.existing != to.existing {
        join(build, from, to, Shape::SlipCoupling);
    } else {
        build.through();
    }
}

/// What the job says stands in a straight pipe.
fn told_in_line(build: &mut Build, from: &End, to: &End, told: &[Shape]) {
    let same = from.family == to.family && from.size == to.size;
    match told {
        [Shape::TestTee] if same && to.system.drains() => {
            let ends = sizes(&[to.size]);
            build.add(Shape::TestTee, to, ends.clone(), None);
            for (end, leg) in [(from, LegKind::RunInlet), (to, LegKind::RunOutlet)] {
                let leg = build.dimension(to.family, Shape::TestTee, &ends, leg);
                build.take(end, [leg]);
            }
        }
        [shape @ (Shape::Coupling | Shape::SlipCoupling | Shape::NoHubCoupling | Shape::Union)]
            if same =>
        {
            let ends = sizes(&[to.size]);
            halves(build, from, to, *shape, &ends);
            build.add(*shape, to, ends, None);
        }
        [Shape::Reducer] if from.family == to.family && from.size != to.size => {
            reducer(build, from, to);
        }
        [Shape::Adapter] if from.family != to.family => adapter(build, from, to),
        _ => build.no_fitting(
            "the fitting told does not stand in a straight pipe as this one",
            "in line stand couplings, unions, test tees, reducers and adapters",
        ),
    }
}

/// A fitting in line whose length lies half on each side of the node.
fn join(build: &mut Build, from: &End, to: &End, shape: Shape) {
    let shape = if build.ground.given.shelf.has(to.family, shape) {
        shape
    } else {
        Shape::Coupling
    };
    let ends = sizes(&[to.size]);
    halves(build, from, to, shape, &ends);
    build.add(shape, to, ends, None);
}

fn reducer(build: &mut Build, from: &End, to: &End) {
    let large = larger(from.size, to.size);
    let small = if large == from.size {
        to.size
    } else {
        from.size
    };
    let ends = sizes(&[large, small]);
    halves(build, from, to, Shape::Reducer, &ends);
    build.add(Shape::Reducer, to, ends, None);
}

fn halves(build: &mut Build, from: &End, to: &End, shape: Shape, ends: &[wyeline_units::Size]) {
    let total = build.dimension(to.family, shape, ends, LegKind::Total);
    let half = total.map(|mut total| {
        total.mm /= 2.0;
        total.error_mm = total.error_mm.map(|error| error / 2.0);
        total.what = format!("half of {}", total.what);
        total
    });
    build.take(from, [half.clone()]);
    build.take(to, [half]);
}

/// Two materials in line.
fn adapter(build: &mut Build, from: &End, to: &End) {
    let ends = sizes(&[larger(from.size, to.size)]);
    halves(build, from, to, Shape::Adapter, &ends);
    build.add(Shape::Adapter, from, ends, None);
    build.joins_to(to.family);
}

/// A pipe of another family at a leg of a fitting: an adapter between.
pub(crate) fn adapt(build: &mut Build, end: &End, family: Family) {
    if end.family == family {
        return;
    }
    let ends = sizes(&[end.size]);
    let total = build.dimension(end.family, Shape::Adapter, &ends, LegKind::Total);
    build.add(Shape::Adapter, end, ends, None);
    build.joins_to(family);
    build.take(end, [total]);
}

/// A cleanout in the pipe: in line of a plumb pipe a tee with a plug, else a wye with an eighth bend and a plug, whose
/// straight end carries the plug where the pipe turns.
fn cleanout(build: &mut Build, from: &End, to: &End, straight: bool) {
    let size = larger(from.size, to.size);
    let ends = sizes(&[size]);
    let family = to.family;
    let legs = match (straight, to.vertical()) {
        (true, true) => {
            build.add(Shape::TestTee, to, ends.clone(), None);
            [
                build.dimension(family, Shape::TestTee, &ends, LegKind::RunInlet),
                build.dimension(family, Shape::TestTee, &ends, LegKind::RunOutlet),
            ]
        }
        (true, false) => {
            build.add(Shape::Wye, to, ends.clone(), None);
            build.add(Shape::EighthBend, to, ends.clone(), None);
            [
                build.dimension(family, Shape::Wye, &ends, LegKind::RunInlet),
                build.dimension(family, Shape::Wye, &ends, LegKind::RunOutlet),
            ]
        }
        (false, _) => {
            let verdict = build.ground.law.says(Shape::Combination, from, to);
            for shape in [Shape::Wye, Shape::EighthBend] {
                build.add(shape, to, ends.clone(), verdict.cite().cloned());
            }
            build.street();
            [
                build.dimension(family, Shape::Combination, &ends, LegKind::Branch),
                build.dimension(family, Shape::Combination, &ends, LegKind::RunOutlet),
            ]
        }
    };
    for (end, leg) in [from, to].into_iter().zip(legs) {
        build.take(end, [leg]);
        build.bush(end, size);
        adapt(build, end, family);
    }
    build.add(Shape::CleanoutPlug, to, ends, None);
}

/// Anything else that sits in the pipe: its length is what the job says.
pub(crate) fn device(build: &mut Build, from: &End, to: &End, kind: DeviceKind) {
    build.add(
        Shape::Device(kind),
        to,
        sizes(&[larger(from.size, to.size)]),
        None,
    );
    terminal::device_length(build, from, to);
}
