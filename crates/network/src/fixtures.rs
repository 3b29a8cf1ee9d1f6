//! Fixtures in space: their ports from kind, place, facing, hand and what their lines say.
//!
//! `right` is as seen facing the fixture: a fixture that faces south is looked at
//! northward, and its right is east. Ports in the wall lie at the centre of its core.

use glam::DVec2;
use rustc_hash::FxHashMap;
use wyeline_job::Diagnostic;
use wyeline_job::model::{Coord, Fixture as Told, Hand, Job, PortOverride};
use wyeline_units::Len;

use crate::kinds::{DefaultHand, Kind, PortRow, kinds};
use crate::model::{DoubtKind, Fixture, LevelIx, Port};
use crate::remarks::Remarks;
use crate::site::{Site, Storey, way};

const INCH: f64 = 25.4;

/// A fixture placed, with its row in the rough-in table.
pub(crate) struct Placed {
    pub fixture: Fixture,
    pub kind: &'static Kind,
}

/// Every fixture that could be placed, in the order told.
pub(crate) fn place_all(job: &Job, site: &Site<'_>, remarks: &mut Remarks<'_>) -> Vec<Placed> {
    let mut placed: Vec<Placed> = Vec::with_capacity(job.fixtures.len());
    // Spots taken, to the tenth of a millimetre.
    let mut spots: FxHashMap<(LevelIx, i64, i64), usize> = FxHashMap::default();
    let mut by_table: Vec<(&'static str, Vec<usize>)> = Vec::new();
    for told in &job.fixtures {
        let Some(one) = place(told, site, remarks) else {
            continue;
        };
        let anchor = one.fixture.anchor;
        let spot = (
            one.fixture.level,
            (anchor.x * 10.0).round() as i64,
            (anchor.y * 10.0).round() as i64,
        );
        if let Some(&other) = spots.get(&spot) {
            let other: &Fixture = &placed[other].fixture;
            remarks.push(
                Diagnostic::mistake(
                    "fixtures-on-one-spot",
                    told.span,
                    format!("{} stands on the same spot as {}", told.tag.text, other.tag),
                )
                .note(other.span, format!("{} is here", other.tag))
                .help("move one of them"),
            );
        } else {
            spots.insert(spot, placed.len());
        }
        if one.kind.port.iter().any(|row| {
            !told
                .ports
                .iter()
                .any(|said| said.port.text == row.name && said.up.is_some())
        }) {
            match by_table.iter_mut().find(|(name, _)| *name == one.kind.name) {
                Some((_, who)) => who.push(placed.len()),
                None => by_table.push((&one.kind.name, vec![placed.len()])),
            }
        }
        placed.push(one);
    }
    for (name, who) in by_table {
        let first = &placed[who[0]].fixture;
        let others = if who.len() > 1 {
            format!(" and {} more", who.len() - 1)
        } else {
            String::new()
        };
        let text = format!(
            "{name} {}{others}: port heights from the rough-in table (common practice)",
            first.tag
        );
        remarks.doubt(DoubtKind::Assumed, first.span, text);
    }
    placed
}

fn place(told: &Told, site: &Site<'_>, remarks: &mut Remarks<'_>) -> Option<Placed> {
    let kind = kinds().get(&told.kind.text);
    if kind.is_none() {
        let mistake = remarks.unknown(
            "unknown-kind",
            told.kind.span,
            &told.kind.text,
            "kind of fixture",
            kinds().names(),
        );
        remarks.push(mistake);
    }
    let level = site.level(&told.level);
    let (kind, level) = (kind?, level?);
    let at = site.place(told.at, Storey::Level(level), told.span, remarks)?;
    let floor = site.levels[level.0 as usize].floor;
    let frame = Frame::new(told, at, level, site, kind);
    for said in &told.ports {
        if kind.port(&said.port.text).is_none() {
            let known = kind.port.iter().map(|row| row.name.as_str());
            let what = format!("port of a {}", kind.name);
            let list: Vec<&str> = known.clone().collect();
            let mistake = remarks.unknown(
                "unknown-port",
                said.port.span,
                &said.port.text,
                &what,
                known,
            );
            remarks.push(mistake.expected(format!("expected one of {}", list.join(", "))));
        } else if said.hand.is_some_and(|hand| hand != Hand::Centre)
            && kind
                .port(&said.port.text)
                .is_some_and(|row| row.hand.is_none())
        {
            remarks.push(
                Diagnostic::mistake(
                    "port-without-hand",
                    said.port.span,
                    format!(
                        "the {} of a {} has no usual place on one side",
                        said.port.text, kind.name
                    ),
                )
                .help("say how far, as in `right 4\"`"),
            );
        }
    }
    let mut ports = Vec::with_capacity(kind.port.len());
    for row in &kind.port {
        let said = told.ports.iter().find(|said| said.port.text == row.name);
        let plan = frame.plan(row, said, &told.ports, site);
        let base = if row.roof {
            let roof = site.building.roof_at(plan.x, plan.y);
            if roof.is_none() {
                remarks.push(
                    Diagnostic::mistake(
                        "roof-not-stated",
                        told.span,
                        "the job tells of no roof for this drain to lie in",
                    )
                    .help("say how high it is, as in `roof 12'`"),
                );
            }
            roof.unwrap_or(floor)
        } else {
            floor
        };
        let up = said.and_then(|said| said.up).map_or(row.up * INCH, Len::mm);
        ports.push(Port {
            name: row.name.clone(),
            at: plan.extend(base + up),
            node: None,
        });
    }
    if told.unverified {
        remarks.doubt(
            DoubtKind::Unverified,
            told.span,
            format!("{}: place and heights", told.tag.text),
        );
    }
    let fixture = Fixture {
        tag: told.tag.text.clone(),
        kind: kind.name.clone(),
        letters: kind.letters.clone(),
        level,
        anchor: at.extend(floor),
        faces: told.faces,
        size: kind.plan_mm(),
        centred: kind.centred,
        rim: kind.rim_mm(),
        ports,
        facts: told.facts,
        existing: told.existing,
        unverified: told.unverified,
        span: told.span,
        line: remarks.line(told.span),
    };
    Some(Placed { fixture, kind })
}

/// A fixture's own directions.
struct Frame<'k> {
    at: DVec2,
    out: DVec2,
    right: DVec2,
    level: LevelIx,
    /// From the finished face to the core's centre, where the anchor is on a wall.
    core: Option<f64>,
    kind: &'k Kind,
}

impl<'k> Frame<'k> {
    fn new(told: &Told, at: DVec2, level: LevelIx, site: &Site<'_>, kind: &'k Kind) -> Self {
        let out = way(told.faces);
        // Told as `west-wall` the anchor lies in the core already.
        let in_core = matches!(told.at, (Coord::Wall(_), _) | (_, Coord::Wall(_)));
        let core = if kind.centred || in_core {
            None
        } else {
            site.core_behind(level, at, out)
        };
        Self {
            at,
            out,
            right: out.perp(),
            level,
            core,
            kind,
        }
    }

    /// +1 where a port's side is the right, -1 for the left, 0 in the middle; nothing where no side is known.
    fn side(row: &PortRow, said: Option<&PortOverride>) -> Option<f64> {
        if let Some(said) = said {
            match (said.hand, said.right) {
                (Some(Hand::Left), _) => return Some(-1.0),
                (Some(Hand::Right), _) => return Some(1.0),
                (Some(Hand::Centre), _) => return Some(0.0),
                (None, Some(right)) if right != Len::ZERO => return Some(right.mm().signum()),
                (None, _) => {}
            }
        }
        match row.default {
            Some(DefaultHand::Left) => Some(-1.0),
            Some(DefaultHand::Right) => Some(1.0),
            None => None,
        }
    }

    fn plan(
        &self,
        row: &PortRow,
        said: Option<&PortOverride>,
        all: &[PortOverride],
        site: &Site<'_>,
    ) -> DVec2 {
        let leader = row.follows.as_deref().and_then(|name| self.kind.port(name));
        let leader_said =
            leader.and_then(|leader| all.iter().find(|said| said.port.text == leader.name));
        let side = Self::side(row, said)
            .or_else(|| leader.and_then(|leader| Self::side(leader, leader_said)));
        let said_out = said.and_then(|said| said.out).map(Len::mm);
        let said_right = said.and_then(|said| said.right).map(Len::mm);
        let told_beside = leader_said.and_then(|said| said.right).map(Len::mm);
        if row.end && said_out.is_none() && said_right.is_none() {
            // On the wall at the fixture's end; a drain in the middle leaves it at the usual end.
            let usual = leader
                .and_then(|leader| Self::side(leader, None))
                .unwrap_or(1.0);
            let side = side.filter(|side| *side != 0.0).unwrap_or(usual);
            let inward = self.right * -side;
            let face = self.at
                + self.out * ((row.out + row.along * side) * INCH)
                + self.right * (side * row.hand.unwrap_or(0.0) * INCH);
            let core = site.core_behind(self.level, face, inward).unwrap_or(0.0);
            return face - inward * core;
        }
        let usual_right = match (side, row.hand) {
            (Some(side), Some(hand)) => side * hand * INCH,
            _ => row.right * INCH,
        };
        let beside = told_beside.filter(|_| !row.end);
        let right = said_right.or(beside).unwrap_or(usual_right);
        let in_wall = row.wall.then_some(self.core).flatten().map(|core| -core);
        let out = said_out.or(in_wall).unwrap_or(row.out * INCH);
        self.at + self.out * out + self.right * right
    }
}
