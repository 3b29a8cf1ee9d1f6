//! Puts a joint together: its fittings with their ids, and for each pipe how far from the node it stops.

use wyeline_codes::Cite;
use wyeline_job::model::DeviceKind;
use wyeline_network::model::{Node, NodeIx};
use wyeline_units::Size;

use super::{End, Ground, Verdict};
use crate::model::{
    Allowance, Family, Finding, Fitting, Joint, Leg, Missing, Shape, Takeout, Trust, Where,
};
use crate::shelf::LegKind;

/// A dimension from the shelf.
pub(crate) type Dimension = Result<Allowance, Missing>;

/// A joint under way.
pub(crate) struct Build<'b, 'a> {
    pub ground: &'b Ground<'a>,
    pub node: NodeIx,
    pub ends: &'b [End],
    findings: &'b mut Vec<Finding>,
    fittings: Vec<Fitting>,
    takeouts: Vec<Takeout>,
    through: bool,
    /// It was asked whether the job tells a fitting here.
    heard: bool,
}

impl<'b, 'a> Build<'b, 'a> {
    pub fn new(
        ground: &'b Ground<'a>,
        node: NodeIx,
        ends: &'b [End],
        findings: &'b mut Vec<Finding>,
    ) -> Self {
        Self {
            ground,
            node,
            ends,
            findings,
            fittings: Vec::new(),
            takeouts: vec![Takeout::Known(Vec::new()); ends.len()],
            through: false,
            heard: false,
        }
    }

    pub fn here(&self) -> &'a Node {
        self.ground.given.network.node(self.node)
    }

    /// Whoever names what stands here heeds what the job tells of it.
    pub fn hear(&mut self) {
        self.heard = true;
    }

    /// The pipe goes through uncut.
    pub fn through(&mut self) {
        self.through = true;
    }

    /// Adds a fitting of the family and system of an end.
    pub fn add(&mut self, shape: Shape, of: &End, sizes: Vec<Size>, cite: Option<Cite>) {
        let here = self.here();
        self.fittings.push(Fitting {
            node: self.node,
            id: String::new(),
            family: of.family,
            other: None,
            shape,
            sizes,
            system: of.system,
            street: false,
            existing: self.ends.iter().all(|end| end.existing),
            cite,
            span: here.span,
        });
    }

    /// The last fitting joins its family to another.
    pub fn joins_to(&mut self, other: Family) {
        if let Some(last) = self.fittings.last_mut() {
            last.other = Some(other);
        }
    }

    /// The last fitting stands with its spigot in the socket of its neighbour.
    pub fn street(&mut self) {
        if let Some(last) = self.fittings.last_mut() {
            last.street = true;
        }
    }

    /// What is taken off the pipe of an end, on top of what is taken off already.
    pub fn take(&mut self, end: &End, parts: impl IntoIterator<Item = Dimension>) {
        let takeout = &mut self.takeouts[end.leg];
        for part in parts {
            match (&mut *takeout, part) {
                (Takeout::Known(known), Ok(part)) => known.push(part),
                (Takeout::Known(_), Err(missing)) => {
                    *takeout = Takeout::Missing(missing);
                }
                (Takeout::Missing(_), _) => {}
            }
        }
    }

    /// A leg of a fitting from the shelf; where a size is not known, that is what is missing.
    pub fn dimension(
        &self,
        family: Family,
        shape: Shape,
        sizes: &[Size],
        leg: LegKind,
    ) -> Dimension {
        if sizes.is_empty() {
            return Err(Missing {
                what: format!("the size at {} is not known", self.here().id),
                tell: "state the size of its pipes, or name a code to size them by".to_owned(),
            });
        }
        self.ground.given.shelf.leg(family, shape, sizes, leg)
    }

    /// A socket larger than the pipe in it: a bushing, with what it takes.
    pub fn bush(&mut self, end: &End, socket: Option<Size>) {
        let (Some(pipe), Some(socket)) = (end.size, socket) else {
            return;
        };
        if pipe == socket {
            return;
        }
        let sizes = vec![socket, pipe];
        let total = self.dimension(end.family, Shape::Bushing, &sizes, LegKind::Total);
        self.add(Shape::Bushing, end, sizes, None);
        self.take(end, [total]);
    }

    pub fn find(
        &mut self,
        code: &'static str,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        let (at, span) = (Where::Node(self.node), self.here().span);
        self.findings.push(Finding {
            code,
            at,
            message: message.into(),
            help: Some(help.into()),
            doubtful: false,
            span,
        });
    }

    /// No stock fitting makes this: told as a finding, and nothing is cut to it.
    pub fn no_fitting(&mut self, message: impl Into<String>, help: impl Into<String>) {
        let (message, help) = (message.into(), help.into());
        for end in self.ends {
            self.takeouts[end.leg] = Takeout::Missing(Missing {
                what: format!("no fitting is named: {message}"),
                tell: help.clone(),
            });
        }
        self.find("no-such-fitting", message, help);
    }

    /// A fitting that the code does not let stand here.
    pub fn unlawful(&mut self, what: &str, verdict: &Verdict, help: impl Into<String>) {
        let by = verdict
            .cite()
            .map_or(String::new(), |cite| format!(": {cite}"));
        self.find(
            "fitting-not-allowed",
            format!("{what} may not stand here{by}"),
            help,
        );
    }

    /// A device that no fitting here has room for, where the pipe turns or branches: counted, and told as a finding.
    fn left_over(&mut self) {
        let (Some(device), [end, ..]) = (&self.here().device, self.ends) else {
            return;
        };
        let shape = match device.kind {
            DeviceKind::Cleanout => Shape::CleanoutPlug,
            kind => Shape::Device(kind),
        };
        if self.fittings.iter().any(|fitting| fitting.shape == shape) {
            return;
        }
        let alone = self.fittings.is_empty();
        self.add(shape, end, sizes(&[end.size]), None);
        if !alone {
            self.no_fitting(
                "a device is told where the pipe turns or branches, and no fitting there has room for it",
                "tell it a little before or after",
            );
        }
    }

    /// The joint as it stands.
    pub fn done(mut self) -> Joint {
        self.left_over();
        if !self.heard && !self.here().fitting.is_empty() {
            self.find(
                "fitting-not-used",
                "a fitting is told where none is chosen: at an end, a trap or a device",
                "tell it where the pipe turns or branches, or in a straight pipe",
            );
        }
        let ground = self.ground;
        let mut fittings = self.fittings;
        let several = fittings.len() > 1;
        let id = &ground.given.network.node(self.node).id;
        for (at, fitting) in fittings.iter_mut().enumerate() {
            fitting.id = match (several, u8::try_from(at)) {
                (true, Ok(at)) if at < 26 => format!("{id}/{}", char::from(b'a' + at)),
                (true, _) => format!("{id}/{at}"),
                (false, _) => id.clone(),
            };
        }
        let shelf = ground.given.shelf;
        let legs = self.ends.iter().zip(self.takeouts);
        let open = fittings.is_empty();
        let legs = legs
            .map(|(end, takeout)| Leg {
                pipe: end.pipe,
                takeout,
                join: if open {
                    crate::model::Join::Open
                } else {
                    shelf.join(end.family)
                },
                makeup_mm: if open {
                    Some(0.0)
                } else {
                    end.size
                        .and_then(|size| shelf.makeup(end.family, size).ok())
                        .map(|makeup| makeup.mm)
                },
            })
            .collect();
        Joint {
            fittings,
            legs,
            through: self.through,
        }
    }
}

/// The sizes of a fitting as the trade names them: each end, or one where all are equal; none where one is not known.
pub(crate) fn sizes(ends: &[Option<Size>]) -> Vec<Size> {
    let all: Option<Vec<Size>> = ends.iter().copied().collect();
    match all {
        Some(all) if all.iter().all(|size| *size == all[0]) => all[..1].to_vec(),
        Some(all) => all,
        None => Vec::new(),
    }
}

/// The larger of two sizes; nothing where one is not known.
pub(crate) fn larger(a: Option<Size>, b: Option<Size>) -> Option<Size> {
    let (a, b) = (a?, b?);
    Some(if wyeline_sizing::at_least(a, b) { a } else { b })
}

/// An end that is fitted on site: nothing is taken off, and the piece says that it is not sure.
pub(crate) fn on_site(what: &str) -> Allowance {
    Allowance {
        what: what.to_owned(),
        mm: 0.0,
        trust: Trust::Low,
        error_mm: None,
        source: "fitted on site".to_owned(),
        tell: None,
    }
}
