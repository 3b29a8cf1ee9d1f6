//! Measures of trap arms, by the pipes from the trap to where its vent is.

use wyeline_network::arms::TrapArm;
use wyeline_network::model::{NodeIx, PipeIx};
use wyeline_sizing::Airs;
use wyeline_units::Size;

use crate::context::{Context, is_level};

/// A trap arm, measured from the trap's weir along its pipes to the point where its vent is.
#[derive(Clone, Copy, Debug, Default)]
pub struct Way {
    /// Its first pipe, which the trap empties into.
    pub first: Option<PipeIx>,
    /// Length along the pipes, mm.
    pub length: f64,
    /// Fall of its level pipes, mm.
    pub fall: f64,
    /// Its first plumb or steep pipe.
    pub drop: Option<PipeIx>,
    /// Changes of direction in the level, added up, degrees.
    pub turns: f64,
    /// A cleanout stands on it.
    pub cleanout: bool,
    /// A slope on it is nobody's word.
    pub assumed: bool,
}

impl Way {
    /// The arm of a vented trap; nothing where no vent is. A combination drain is the vent of what runs into it
    /// (IPC 915.2.5, from memory).
    pub fn to_vent(context: &Context, arm: &TrapArm) -> Option<Self> {
        let airs = |pipe| context.result(pipe).and_then(|result| result.airs);
        let on_combination = context.down(arm.joins).and_then(airs) == Some(Airs::Combination);
        arm.vent.map(|vent| {
            let own = arm.pipes.iter().any(|&pipe| {
                let pipe = context.pipe(pipe);
                pipe.from == vent.at || pipe.to == vent.at
            });
            let end = if on_combination && !own {
                arm.joins
            } else {
                vent.at
            };
            Self::between(context, arm.trap, end)
        })
    }

    /// The drain from a node down to another.
    pub fn between(context: &Context, from: NodeIx, to: NodeIx) -> Self {
        let mut way = Self::default();
        if from == to {
            way.first = context.down(from);
            return way;
        }
        let mut before: Option<PipeIx> = None;
        for ix in context.downstream(from) {
            let pipe = context.pipe(ix);
            way.first = way.first.or(Some(ix));
            way.length += context.length(ix);
            if is_level(pipe) {
                way.fall += pipe.fall_mm;
                way.assumed |= pipe.slope.is_some_and(|slope| slope.assumed);
            } else {
                way.drop = way.drop.or(Some(ix));
            }
            if let Some(before) = before {
                way.turns += turn(context, before, ix);
            }
            way.cleanout |= has_cleanout(context, pipe.from);
            before = Some(ix);
            if pipe.to == to {
                break;
            }
        }
        way
    }

    /// The size of its first pipe.
    pub fn size(&self, context: &Context) -> Option<Size> {
        self.first.and_then(|pipe| context.size(pipe))
    }
}

/// Whether a cleanout sits at a node.
pub fn has_cleanout(context: &Context, node: NodeIx) -> bool {
    let device = context.node(node).device.as_ref();
    device.is_some_and(|device| device.kind == wyeline_job::model::DeviceKind::Cleanout)
}

/// Change of direction from one pipe to the next, as drawn, degrees.
pub fn turn(context: &Context, from: PipeIx, to: PipeIx) -> f64 {
    let way = |ix: PipeIx| {
        let (a, b) = context.network.drawn(context.pipe(ix));
        (b - a).normalize_or_zero()
    };
    way(from).dot(way(to)).clamp(-1.0, 1.0).acos().to_degrees()
}

/// The tailpiece of a fixture: from its outlet down to its trap.
#[derive(Clone, Copy, Debug)]
pub struct Tailpiece {
    /// Height of the outlet above the weir, mm.
    pub drop: f64,
    /// Level distance from the outlet to the trap, mm.
    pub aside: f64,
    /// Height of the weir, mm.
    pub weir: f64,
}

/// The tailpiece of a fixture whose trap is outside it.
///
/// The weir is the lowest point of the bore where the arm begins; where the bore is not known, its centre.
pub fn tailpiece(context: &Context, arm: &TrapArm) -> Option<Tailpiece> {
    let trap = context.node(arm.trap);
    if trap.kind != wyeline_network::model::NodeKind::Trap {
        return None;
    }
    let fixture = context.fixture(arm.fixture);
    let outlet = fixture.ports.iter().find(|port| port.name == "drain")?;
    let first = context.pipe(*arm.pipes.first()?);
    let weir = first
        .invert_from
        .filter(|_| is_level(first))
        .unwrap_or(trap.at.z);
    let aside = (outlet.at - trap.at).truncate().length();
    Some(Tailpiece {
        drop: outlet.at.z - weir,
        aside,
        weir,
    })
}
