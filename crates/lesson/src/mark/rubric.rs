//! What a drawing is marked for: headings with their weights, tolerances, and what each fault costs; ours, or an instructor's own.
//!
//! Where the default's weights come from stands in `data/rubric.toml`.

use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

/// A rubric.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rubric {
    /// Where it comes from.
    pub source: String,
    /// Points there are in all: what the weights add up to.
    pub of: f64,
    /// What a free hand may do.
    pub tolerance: Tolerance,
    /// Headings, in the order in which they are printed.
    #[serde(rename = "heading")]
    pub headings: Vec<Weight>,
    /// What each fault costs.
    #[serde(rename = "deduction")]
    pub deductions: Vec<Deduction>,
}

/// A heading and its weight.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Weight {
    /// One of [`HEADINGS`].
    pub name: String,
    /// Points there are under it.
    pub weight: f64,
}

/// What a free hand may do, in pitches of the grid unless said otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tolerance {
    /// Degrees between a line and the one that is right.
    pub angle: f64,
    /// How far a line lies off the one that is right.
    pub distance: f64,
    /// How much longer or shorter it is.
    pub length: f64,
    /// How far a stroke is off the straight.
    pub wobble: f64,
    /// The widest gap between dashes that make a line.
    pub dash: f64,
    /// How far letters stand from what they tell.
    pub letters: f64,
    /// How far a trap is from its place, an arrow from its pipe.
    pub symbol: f64,
    /// Share of the key that has to be found.
    pub unknown: f64,
    /// Lowest height of capitals, mm of paper.
    pub text: f64,
}

impl Tolerance {
    /// The sine of the angle at which a bit of ink still counts as lying along a line: three times that between whole lines, for a short bit wobbles more.
    pub(crate) fn cross(&self) -> f64 {
        (3.0 * self.angle).to_radians().sin()
    }
}

/// What a fault costs.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Deduction {
    /// One of [`FAULTS`].
    pub fault: String,
    /// The heading that loses by it.
    pub heading: String,
    /// Points for every time.
    pub each: f64,
    /// Points for all times together.
    pub most: f64,
    /// What is said to the learner.
    pub words: String,
}

/// Headings that can be judged.
pub const HEADINGS: [&str; 8] = [
    "legibility",
    "orientation",
    "flow",
    "angles",
    "piping",
    "labels",
    "vents",
    "fixtures",
];

/// Faults that can be found.
pub const FAULTS: [&str; 34] = [
    "small-letters",
    "letters-over-lines",
    "mirrored",
    "turned",
    "fixture-misplaced",
    "flow-missing",
    "flow-wrong",
    "level-on-paper",
    "forty-five-at-45",
    "forty-five-as-riser",
    "forty-five-square",
    "slant-measured",
    "off-angle",
    "wrong-way",
    "against-flow",
    "drop-missing",
    "pipe-missing",
    "edge-missing",
    "hidden-missing",
    "hidden-full",
    "wrong-length",
    "line-too-many",
    "trap-missing",
    "letters-missing",
    "letters-wrong",
    "vent-missing",
    "vent-below-rim",
    "vent-length",
    "vent-wrong-way",
    "vent-full",
    "fixture-missing",
    "own-missed",
    "own-rule",
    "own-vent-rule",
];

/// Why a file is no rubric.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RubricError(String);

impl fmt::Display for RubricError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the rubric cannot be used: {}", self.0)
    }
}

impl std::error::Error for RubricError {}

static DEFAULT: LazyLock<Rubric> = LazyLock::new(|| {
    Rubric::read(include_str!("../../data/rubric.toml")).expect("our own file, read by a test")
});

impl Rubric {
    /// The one that is used where no other is given.
    pub fn published() -> &'static Self {
        &DEFAULT
    }

    /// Reads a rubric of the form of `data/rubric.toml`.
    ///
    /// # Errors
    /// It is not of that form, its weights do not add up, or it speaks of headings or faults that nobody can find.
    pub fn read(text: &str) -> Result<Self, RubricError> {
        let wrong = |why: String| Err(RubricError(why));
        let rubric: Self = toml::from_str(text).map_err(|why| RubricError(why.to_string()))?;
        let points = |value: f64| value.is_finite() && (0.0..=1e6).contains(&value);
        let sum: f64 = rubric.headings.iter().map(|heading| heading.weight).sum();
        if !points(rubric.of) || rubric.of == 0.0 || (sum - rubric.of).abs() > 1e-9 {
            return wrong(format!("its weights add up to {sum}, not to {}", rubric.of));
        }
        for (ix, heading) in rubric.headings.iter().enumerate() {
            if !HEADINGS.contains(&heading.name.as_str()) {
                return wrong(format!(
                    "there is no heading `{}`; there are {}",
                    heading.name,
                    HEADINGS.join(", ")
                ));
            }
            if !points(heading.weight) {
                return wrong(format!("`{}` has a weight below 0", heading.name));
            }
            if rubric.headings[..ix]
                .iter()
                .any(|other| other.name == heading.name)
            {
                return wrong(format!("`{}` stands twice", heading.name));
            }
        }
        for (ix, deduction) in rubric.deductions.iter().enumerate() {
            let fault = &deduction.fault;
            if !FAULTS.contains(&fault.as_str()) {
                return wrong(format!(
                    "there is no fault `{fault}`; there are {}",
                    FAULTS.join(", ")
                ));
            }
            if rubric.deductions[..ix]
                .iter()
                .any(|other| other.fault == *fault)
            {
                return wrong(format!("`{fault}` stands twice"));
            }
            let Some(heading) = rubric.heading(&deduction.heading) else {
                return wrong(format!("`{fault}` speaks of no heading of the rubric"));
            };
            if !points(deduction.each) || !points(deduction.most) || deduction.most > heading.weight
            {
                return wrong(format!(
                    "`{fault}` takes more than its heading has, or less than nothing"
                ));
            }
        }
        for fault in FAULTS {
            if rubric.deduction(fault).is_none() {
                return wrong(format!(
                    "it does not say what `{fault}` costs (`each = 0` where nothing)"
                ));
            }
        }
        let tolerance = &rubric.tolerance;
        let within = [
            (tolerance.angle, 0.5, 14.0),
            (tolerance.distance, 0.05, 1.0),
            (tolerance.length, 0.05, 2.0),
            (tolerance.wobble, 0.01, 0.5),
            (tolerance.dash, 0.1, 2.0),
            (tolerance.letters, 0.5, 20.0),
            (tolerance.symbol, 0.2, 5.0),
            (tolerance.unknown, 0.05, 0.9),
            (tolerance.text, 0.0, 20.0),
        ];
        if within
            .iter()
            .any(|(value, low, high)| !(*low..=*high).contains(value))
        {
            return wrong("a tolerance is beyond what can be told apart".to_owned());
        }
        Ok(rubric)
    }

    /// A heading by its name.
    pub fn heading(&self, name: &str) -> Option<&Weight> {
        self.headings.iter().find(|heading| heading.name == name)
    }
    /// What a fault costs.
    pub fn deduction(&self, fault: &str) -> Option<&Deduction> {
        self.deductions
            .iter()
            .find(|deduction| deduction.fault == fault)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Florida plumbing contractor examination: legibility 8, orientation 20, flow 12, angles 8, piping 20, labels 4, vents 16, fixtures 12.
    #[test]
    fn the_weights_are_the_published_ones() {
        let told: Vec<_> = Rubric::published()
            .headings
            .iter()
            .map(|heading| (heading.name.as_str(), heading.weight))
            .collect();
        let published = [8.0, 20.0, 12.0, 8.0, 20.0, 4.0, 16.0, 12.0];
        assert_eq!(
            told,
            HEADINGS.into_iter().zip(published).collect::<Vec<_>>()
        );
        assert_eq!(published.iter().sum::<f64>(), 100.0);
    }

    #[test]
    fn an_instructors_own_file_is_held_to_its_word() {
        let ours = include_str!("../../data/rubric.toml");
        for (old, new, said) in [
            ("weight = 16", "weight = 15", "add up to 99"),
            (
                "name = \"flow\"",
                "name = \"colour\"",
                "no heading `colour`",
            ),
            (
                "fault = \"turned\"",
                "fault = \"twisted\"",
                "no fault `twisted`",
            ),
            (
                "each = 20\nmost = 20",
                "each = 20\nmost = 21",
                "more than its heading has",
            ),
            ("angle    = 5.0", "angle    = 45.0", "tolerance"),
            ("fault = \"turned\"", "fault = \"mirrored\"", "stands twice"),
            ("of     = 100", "of     = nan", "add up"),
        ] {
            let text = ours.replace(old, new);
            assert_ne!(text, ours, "{old}");
            let why = Rubric::read(&text).expect_err(new).to_string();
            assert!(why.contains(said), "{why}");
        }
        let softer = ours.replace("each = 10\nmost = 10", "each = 5\nmost = 5");
        assert_eq!(
            Rubric::read(&softer)
                .expect("a rubric")
                .deduction("turned")
                .map(|one| one.each),
            Some(5.0)
        );
    }
}
