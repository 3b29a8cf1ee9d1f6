//! Traps and the arms that lead from them, built where a drain reaches a fixture.
//!
//! A fixture with an arm has its trap under its outlet, the arm falling to the tee; a
//! fixture in the floor has its trap right below, at the height of its branch.

use wyeline_job::model::System;
use wyeline_job::{Diagnostic, Span};

use crate::builder::{Builder, Found};
use crate::kinds::Trap;
use crate::lay::{Leg, Tag};
use crate::model::{FixtureIx, NodeIx, NodeKind};
use crate::remarks::NOTHING;
use crate::walk::{Here, Pen, Walk};

impl<'a> Builder<'a> {
    /// The fixture, where a drain reaches the outlet of one with its trap right below.
    pub fn trap_below(&self, system: System, target: Found) -> Option<u32> {
        let Found::Port(fixture, port) = target else {
            return None;
        };
        let one = &self.placed[fixture as usize];
        let fits = system.drains()
            && one.kind.trap == Trap::Below
            && one.fixture.ports[port].name == "drain";
        fits.then_some(fixture)
    }

    /// Whether the end of a run is a plain point that a trap may take.
    pub fn may_be_trap(&self, node: NodeIx) -> bool {
        let node = self.node(node);
        node.kind == NodeKind::Turn && node.pipes.len() == 1
    }

    pub fn make_trap(&mut self, node: NodeIx, fixture: u32) {
        let node = self.node_mut(node);
        node.kind = NodeKind::Trap;
        node.fixture = Some(FixtureIx(fixture));
        self.arms[fixture as usize] = true;
    }

    /// Trap and arm of a fixture whose tee a drain has reached, once.
    pub fn build_arm(
        &mut self,
        walk: &mut Walk<'a>,
        fixture: u32,
        port: usize,
        pen: &Pen<'a>,
        span: Span,
    ) {
        let one = &self.placed[fixture as usize];
        let tee_reached = one.kind.trap == Trap::Arm && one.fixture.ports[port].name == "tee";
        if !tee_reached
            || !walk.system.drains()
            || std::mem::replace(&mut self.arms[fixture as usize], true)
        {
            return;
        }
        let Some(outlet) = one
            .fixture
            .ports
            .iter()
            .position(|port| port.name == "drain")
        else {
            return;
        };
        let tag = one.fixture.tag.clone();
        let (tee, outlet) = (Found::Port(fixture, port), Found::Port(fixture, outlet));
        let (tee_at, outlet_at) = (self.place_of(tee), self.place_of(outlet));
        let tee = self.node_of(tee);
        let outlet = self.node_of(outlet);
        let mut at = Here {
            node: tee,
            at: tee_at,
            z_drawn: tee_at.z,
            heading: None,
            climbed: 0.0,
            fixed: (tee_at.z, 0.0, 0.0),
        };
        let highest = walk.highest;
        let plan = (outlet_at - tee_at).truncate();
        if plan.length() > NOTHING {
            let arm = Tag {
                pipe: format!("{tag}/arm/1"),
                node: format!("{tag}.trap"),
                span,
                arm: true,
            };
            at = self.lay(walk, &at, Leg::level(plan), pen, None, arm);
            self.make_trap(at.node, fixture);
        }
        let rise = outlet_at.z - at.at.z;
        if rise < -NOTHING {
            let text = format!(
                "the trap of {tag} lies {} above its outlet",
                self.remarks.show(-rise)
            );
            let span = self.placed[fixture as usize].fixture.span;
            self.remarks
                .push(Diagnostic::mistake("tee-above-outlet", span, text).help("lower the tee"));
        }
        if rise.abs() > NOTHING {
            let drop = Tag {
                pipe: format!("{tag}/arm/2"),
                node: String::new(),
                span,
                arm: true,
            };
            self.lay(walk, &at, Leg::vertical(rise), pen, Some(outlet), drop);
        } else {
            self.merge(at.node, outlet);
        }
        // The arm's own fall is no part of what the run climbs.
        walk.highest = highest;
    }
}
