//! Dimensions of fittings by family, shape and size: how far from its node a pipe ends, how deep it stands in the
//! fitting, how far apart it is supported. From `data/dimensions.toml`, `joints.toml` and `hangers.toml`, and from what
//! the job says was measured. A size that is not held is asked for, never interpolated.

mod ask;
mod composite;
mod hanger;
mod measured;
mod table;

use std::collections::HashMap;

use wyeline_job::{Diagnostic, Job};
use wyeline_units::{Size, UnitSystem};

pub use hanger::Spacing;

use crate::material;
use crate::model::{Allowance, Family, Join, Missing, Shape, Trust};
use crate::name;
use ask::{Asked, branches};
use table::{Held, INCH, table};

/// Which length of a fitting is meant.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Deserialize, serde::Serialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum LegKind {
    /// Centre to any end, where all are equal.
    Each,
    /// Centre to the run's upstream end.
    RunInlet,
    /// Centre to the run's downstream end.
    RunOutlet,
    /// Centre to the branch's end.
    Branch,
    /// Between the two pipes of a fitting in line.
    Total,
}

/// Dimensions that the job says were measured, mm: by sizes and leg of a shape, and depths by size.
#[derive(Clone, Debug, Default)]
struct Told {
    legs: HashMap<(Family, Shape, LegKind, Vec<Size>), f64>,
    depths: HashMap<(Family, Size), f64>,
}

/// The tables, and what the job measured.
#[derive(Clone, Debug, Default)]
pub struct Shelf {
    told: Told,
    units: UnitSystem,
}

/// A leg of the fitting by itself, without what its joint adds or takes.
struct Body {
    held: Held,
    /// How it was come by where no row has it, in words.
    by: Option<String>,
    /// It rests on what the job measured: to where the pipe ends, so that no thread is taken off.
    measured: bool,
}

impl From<Held> for Body {
    fn from(held: Held) -> Self {
        Self {
            measured: held.trust == Trust::Measured,
            held,
            by: None,
        }
    }
}

/// Adds a part, or takes it off (`sign` -1), with its doubts.
///
/// A weak figure that is off by no more than the 1/16 in of a cut list does not make the sum an estimate.
fn add(sum: &mut Held, part: &Held, sign: f64, called: &str) {
    let slight = part.error_mm.is_some_and(|error| error <= INCH / 16.0);
    let trust = if slight {
        part.trust.min(Trust::Medium)
    } else {
        part.trust
    };
    sum.mm += sign * part.mm;
    sum.trust = sum.trust.max(trust);
    sum.error_mm = match (sum.error_mm, part.error_mm) {
        (Some(sum), Some(part)) => Some(sum + part),
        (one, other) => one.or(other),
    };
    sum.source = format!("{}; {called}: {}", sum.source, part.source);
}

/// The inch size whose pipe has the same outside diameter as a metric name of it (`DN75` of ABS is 3 in).
fn inch(family: Family, size: Size) -> Size {
    if matches!(size, Size::Inch { .. }) {
        return size;
    }
    let outside = |size| {
        let found = material::diameters(material::of_family(family)?, size);
        found.map(|found| found.outside)
    };
    let inches = (1..=12 * 8).map(|eighths| Size::Inch { eighths });
    let wanted = outside(size);
    let mut same = inches.filter(|&inch| wanted.is_some() && outside(inch) == wanted);
    same.next().unwrap_or(size)
}

impl Shelf {
    /// Returns the shelf of a job, and the mistakes in what it says was measured.
    ///
    /// A measured leg stands in the table's place: from the centre to where the pipe ends once it is joined. Only for
    /// no-hub it is to the end of the fitting, and the gasket's stop (told as `no-hub-coupling`) is added.
    pub fn of(job: &Job) -> (Self, Vec<Diagnostic>) {
        let (told, diagnostics) = measured::read(job);
        let shelf = Self {
            told,
            units: job.units,
        };
        (shelf, diagnostics)
    }

    /// Returns the shelf with nothing measured.
    pub fn plain() -> Self {
        Self::default()
    }

    /// Returns how far from the node (where the centre lines cross) the pipe at an end of a fitting stops; for
    /// [`LegKind::Total`] how far apart a fitting in line keeps its two pipes.
    ///
    /// * `sizes`: as in [`crate::model::Fitting::sizes`]
    ///
    /// Cemented, soldered: to the stop in the socket. Threaded: to the face, less the length screwed in. No-hub: to the
    /// end of the fitting, and the stop in the gasket. A combination is taken as a wye and an eighth bend, with the
    /// node where the *drawn* centre lines cross square; a reducing branch without a row of its own as the equal one of
    /// its largest size, made smaller. Both are estimates and say so.
    ///
    /// # Errors
    /// What is missing, and the line that would tell it.
    pub fn leg(
        &self,
        family: Family,
        shape: Shape,
        sizes: &[Size],
        leg: LegKind,
    ) -> Result<Allowance, Missing> {
        let asked = Asked::new(family, shape, sizes, leg);
        if sizes.is_empty() {
            return Err(asked.without_size());
        }
        let Body {
            mut held,
            by,
            measured,
        } = self.body(&asked)?;
        for end in asked.ends() {
            match self.join(family) {
                Join::Threaded if !measured => {
                    let (kind, depth) = self.depth(family, end)?;
                    add(&mut held, &depth, -1.0, &kind);
                }
                Join::Clamped if shape != Shape::NoHubCoupling => {
                    add(&mut held, &self.gasket(end)?, 1.0, "gasket's stop");
                }
                _ => {}
            }
        }
        let name = name::sized(family, shape, sizes, self.units);
        let by = by.map_or_else(String::new, |by| format!(": {by}"));
        Ok(Allowance {
            what: format!("{name}, {}{by}", asked.words(self.join(family))),
            mm: held.mm,
            trust: held.trust,
            error_mm: held.error_mm,
            source: held.source,
            tell: asked.line(),
        })
    }

    /// What was measured, else what the tables have of exactly that.
    fn held(&self, asked: &Asked) -> Option<Held> {
        let Asked { family, shape, .. } = *asked;
        let sizes: Vec<Size> = asked.sizes.iter().map(|&one| inch(family, one)).collect();
        let legs = match asked.leg {
            LegKind::Total | LegKind::Each => vec![asked.leg],
            leg => vec![leg, LegKind::Each],
        };
        let told = |leg: &LegKind| self.told.legs.get(&(family, shape, *leg, sizes.clone()));
        if let Some(&mm) = legs.iter().find_map(told) {
            return Some(measured::held(mm));
        }
        let row = |leg: &LegKind| table().dim(family, shape, *leg, &sizes);
        legs.iter().find_map(row).cloned()
    }

    /// A leg of the fitting by itself: held, like another shape's, or estimated.
    fn body(&self, asked: &Asked) -> Result<Body, Missing> {
        if let Some(held) = self.held(asked) {
            return Ok(held.into());
        }
        let Asked { family, shape, .. } = *asked;
        let largest = asked.sizes.iter().copied().max();
        let largest = largest.ok_or_else(|| asked.without_size())?;
        let reduces = asked.sizes.len() > 1;
        let one_end = !reduces || asked.leg != LegKind::Each;
        if let Some(like) = table().like(family, shape).filter(|_| one_end) {
            let other = if shape == Shape::ClosetBend {
                Asked::new(family, like.of, &[asked.end()], LegKind::Each)
            } else {
                Asked::new(family, like.of, &asked.sizes, asked.leg)
            };
            let mut body = self.body(&other)?;
            body.held.trust = body.held.trust.max(like.trust);
            let errors = [body.held.error_mm, like.error_mm].into_iter().flatten();
            body.held.error_mm = errors.reduce(f64::max);
            body.held.source = format!("{}; {}", body.held.source, like.source);
            return Ok(body);
        }
        if shape == Shape::Combination && one_end && self.has(family, shape) {
            return composite::leg(self, asked);
        }
        let equal = Asked::new(family, shape, &[largest], asked.leg);
        if branches(shape) && reduces && one_end {
            return self.reduced(asked, &equal);
        }
        // Threaded reducers have one length for each larger end.
        let by_larger = Some(()).filter(|()| shape == Shape::Reducer && reduces);
        let held = by_larger.and_then(|()| self.held(&equal));
        held.map(Body::from)
            .ok_or_else(|| asked.missing(self.units, self.join(family)))
    }

    /// A reducing branch as the equal one of its largest size; off by at most what the equal one of its
    /// smallest size is shorter, and by what that itself may be off.
    fn reduced(&self, asked: &Asked, equal: &Asked) -> Result<Body, Missing> {
        let Asked { family, shape, .. } = *asked;
        let mut body = self.body(equal)?;
        let smallest = match asked.leg {
            LegKind::Branch => Some(asked.end()),
            _ => asked.sizes.iter().copied().min(),
        };
        let smaller = smallest.and_then(|size| {
            let smaller = self.body(&Asked::new(family, shape, &[size], asked.leg));
            smaller.ok()
        });
        let own = body.held.error_mm.unwrap_or(0.0);
        let error = smaller.map(|smaller| (body.held.mm - smaller.held.mm).abs() + own);
        body.held.error_mm = error.or(body.held.error_mm);
        body.held.trust = Trust::Low;
        let size = name::sizes(&equal.sizes, self.units);
        let bushed = self.has(family, Shape::Bushing) && self.join(family) == Join::Cemented;
        body.by = Some(if bushed {
            format!("taken as the {size} one with a flush bushing")
        } else {
            format!("taken as the {size} one")
        });
        Ok(body)
    }

    /// The stop that a no-hub gasket keeps between two ends.
    fn gasket(&self, size: Size) -> Result<Held, Missing> {
        let shape = Shape::NoHubCoupling;
        let asked = Asked::new(Family::NoHub, shape, &[size], LegKind::Total);
        let held = self.held(&asked);
        held.ok_or_else(|| asked.missing(self.units, Join::Clamped))
    }

    /// What the depth of a pipe in its fitting is called, and how much it is.
    fn depth(&self, family: Family, size: Size) -> Result<(String, Held), Missing> {
        let inches = inch(family, size);
        let row = table().depth(family, inches);
        let kind = row.map_or("depth in the fitting", |(kind, _)| kind);
        let told = self.told.depths.get(&(family, inches));
        let held = told.map(|&mm| measured::held(mm));
        match held.or_else(|| row.map(|(_, held)| held.clone())) {
            Some(held) => Ok((kind.to_owned(), held)),
            None => Err(ask::missing_depth(family, size, self.units)),
        }
    }

    /// Returns how much of the pipe stands inside a fitting: socket or cup depth, thread; 0 for no-hub, and for PEX,
    /// where the fitting goes into the tube.
    ///
    /// # Errors
    /// What is missing, and the line that would tell it.
    pub fn makeup(&self, family: Family, size: Size) -> Result<Allowance, Missing> {
        let (kind, held) = self.depth(family, size)?;
        Ok(Allowance {
            what: format!("{} {kind}", name::size(size, self.units)),
            mm: held.mm,
            trust: held.trust,
            error_mm: held.error_mm,
            source: held.source,
            tell: material::of_family(family)
                .map(|material| format!("measured {material} {size} depth LENGTH")),
        })
    }

    /// Returns how pipe of a family is joined to its fittings: by the definition of the family; metric soil and waste
    /// pipe with ring seals, by common practice. Of other materials nothing is known.
    pub fn join(&self, family: Family) -> Join {
        match family {
            Family::PvcDwv | Family::AbsDwv | Family::Cpvc | Family::PvcPressure => Join::Cemented,
            Family::PvcU | Family::Pp => Join::Pushed,
            Family::NoHub => Join::Clamped,
            Family::Copper | Family::CopperDwv => Join::Soldered,
            Family::Pex => Join::Crimped,
            Family::Steel => Join::Threaded,
            Family::Other => Join::Open,
        }
    }

    /// Returns whether such a fitting is made at all in a family.
    pub fn has(&self, family: Family, shape: Shape) -> bool {
        table().made(family, shape)
    }

    /// Returns how far apart supports may be, where that is held.
    ///
    /// * `plumb`: for pipe that stands rather than lies
    pub fn hanger(&self, family: Family, size: Size, plumb: bool) -> Option<Spacing> {
        hanger::spacing(family, inch(family, size), plumb)
    }
}
