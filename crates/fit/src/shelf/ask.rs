//! What is asked of the shelf, and how a dimension that is missing is asked for.

use wyeline_units::{Size, UnitSystem};

use super::{LegKind, Missing, table::table};
use crate::material;
use crate::model::{Family, Join, Shape};
use crate::name;

/// A leg of a fitting.
#[derive(Clone, Debug)]
pub(super) struct Asked {
    pub family: Family,
    pub shape: Shape,
    /// Equal ends once; fittings in line with the larger end first.
    pub sizes: Vec<Size>,
    pub leg: LegKind,
}

/// Whether a shape has a branch.
pub(super) fn branches(shape: Shape) -> bool {
    matches!(
        shape,
        Shape::SanitaryTee
            | Shape::Wye
            | Shape::Combination
            | Shape::VentTee
            | Shape::TestTee
            | Shape::DoubleSanitaryTee
            | Shape::DoubleWye
            | Shape::DoubleCombination
            | Shape::DoubleFixtureFitting
            | Shape::Tee
            | Shape::Cross
    )
}

/// Whether a shape has two branches.
pub(super) fn doubles(shape: Shape) -> bool {
    matches!(
        shape,
        Shape::DoubleSanitaryTee
            | Shape::DoubleWye
            | Shape::DoubleCombination
            | Shape::DoubleFixtureFitting
            | Shape::Cross
    )
}

/// Whether a shape stands in line between two pipes, so that it has a total alone.
pub(super) fn in_line(shape: Shape) -> bool {
    matches!(
        shape,
        Shape::Coupling
            | Shape::SlipCoupling
            | Shape::NoHubCoupling
            | Shape::Reducer
            | Shape::Bushing
            | Shape::Adapter
            | Shape::Union
            | Shape::CleanoutPlug
            | Shape::Device(_)
    )
}

/// The word of the job language for a leg.
fn leg_word(leg: LegKind) -> &'static str {
    match leg {
        LegKind::Each => "each",
        LegKind::RunInlet => "run-inlet",
        LegKind::RunOutlet => "run-outlet",
        LegKind::Branch => "branch",
        LegKind::Total => "total",
    }
}

impl Asked {
    pub fn new(family: Family, shape: Shape, sizes: &[Size], leg: LegKind) -> Self {
        let mut sizes = sizes.to_vec();
        if leg == LegKind::Total {
            sizes.sort_unstable_by(|a, b| b.cmp(a));
        }
        if sizes.iter().all(|size| *size == sizes[0]) {
            sizes.truncate(1);
        }
        Self {
            family,
            shape,
            sizes,
            leg,
        }
    }

    /// The size of the end asked for; there is at least one size.
    pub fn end(&self) -> Size {
        let nth = match self.leg {
            LegKind::Each | LegKind::RunInlet | LegKind::Total => 0,
            LegKind::RunOutlet => 1,
            LegKind::Branch => 2,
        };
        self.sizes[nth.min(self.sizes.len() - 1)]
    }

    /// The sizes of the ends at which a pipe stops: both of a fitting in line.
    pub fn ends(&self) -> Vec<Size> {
        match self.leg {
            LegKind::Total => vec![self.sizes[0], self.sizes[self.sizes.len() - 1]],
            _ => vec![self.end()],
        }
    }

    /// From where to where it is, in words.
    pub fn words(&self, join: Join) -> String {
        let end = match join {
            Join::Cemented | Join::Soldered | Join::Pushed => "stop",
            Join::Crimped => "shoulder",
            Join::Threaded | Join::Clamped | Join::Open => "pipe end",
        };
        match self.leg {
            LegKind::Each => format!("centre to {end}"),
            LegKind::RunInlet => format!("centre to {end} at the run's inlet"),
            LegKind::RunOutlet => format!("centre to {end} at the run's outlet"),
            LegKind::Branch => format!("centre to {end} in the branch"),
            LegKind::Total => format!("{end} to {end}"),
        }
    }

    /// Its sizes as `measured` takes them: of a branch the run and the branch.
    fn measured_sizes(&self) -> String {
        let first = self.sizes[0];
        let last = self.sizes[self.sizes.len() - 1];
        if first == last {
            first.to_string()
        } else {
            format!("{first} x {last}")
        }
    }

    /// That its dimension is missing, with the line that would tell it.
    pub fn missing(&self, units: UnitSystem, join: Join) -> Missing {
        let Self { family, shape, .. } = *self;
        let sized = name::sized(family, shape, &self.sizes, units);
        let made_of = name::family(family);
        let what = format!("{sized} of {made_of}, {}", self.words(join));
        let tell = match material::of_family(family) {
            None => "name a material whose fittings are known".to_owned(),
            Some(_) if !table().made(family, shape) => {
                format!("{} is not made of {made_of}: choose another fitting", {
                    name::shape(shape)
                })
            }
            Some(_) => self.line().unwrap_or_default(),
        };
        Missing { what, tell }
    }

    /// The line of the job language that tells what was measured, where its material has a name.
    pub fn line(&self) -> Option<String> {
        let material = material::of_family(self.family)?;
        let sizes = self.measured_sizes();
        let (word, leg) = (name::word(self.shape), leg_word(self.leg));
        Some(format!("measured {material} {sizes} {word} {leg} LENGTH"))
    }

    /// That nobody knows its size.
    pub fn without_size(&self) -> Missing {
        Missing {
            what: format!("{}: its size is not known", name::shape(self.shape)),
            tell: "state the size of its pipes".to_owned(),
        }
    }
}

/// That the depth of pipe in fittings is missing, with the line that would tell it.
pub(super) fn missing_depth(family: Family, size: Size, units: UnitSystem) -> Missing {
    let said = name::size(size, units);
    Missing {
        what: format!("{said} {}, depth in the fitting", name::family(family)),
        tell: match material::of_family(family) {
            Some(material) => format!("measured {material} {size} depth LENGTH"),
            None => "name a material whose fittings are known".to_owned(),
        },
    }
}
