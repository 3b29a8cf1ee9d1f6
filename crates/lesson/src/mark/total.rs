//! Counts faults into points: weights of headings that an exercise has nothing for go to the others, deductions with them.

use wyeline_draw::Corner;
use wyeline_job::model::System;

use super::fault::Found;
use super::pose::Pose;
use super::rubric::Rubric;
use crate::figure::{Figure, What};
use crate::marks::{Fault, Heading, Marks};

/// A rubric held against what an exercise has.
pub(crate) struct Total<'a> {
    rubric: &'a Rubric,
    /// For each heading whether there is something to judge.
    asked: Vec<bool>,
    /// What a point of the rubric counts in this exercise.
    factor: f64,
}

impl<'a> Total<'a> {
    /// The headings that count for a figure.
    pub fn of(figure: &Figure, rubric: &'a Rubric) -> Self {
        let spot = |what: fn(&What) -> bool| figure.spots.iter().any(|spot| what(&spot.what));
        let fixtures = spot(|what| matches!(what, What::Fixture { .. }));
        let labels = spot(|what| matches!(what, What::Letters { .. }));
        let asked: Vec<bool> = rubric
            .headings
            .iter()
            .map(|heading| match heading.name.as_str() {
                "legibility" => fixtures || labels,
                "flow" => spot(|what| matches!(what, What::Flow { .. })),
                "labels" => labels,
                "vents" => figure
                    .lines
                    .iter()
                    .any(|line| line.role.system() == Some(System::Vent)),
                "fixtures" => fixtures,
                _ => true,
            })
            .collect();
        let kept: f64 = rubric
            .headings
            .iter()
            .zip(&asked)
            .filter(|(_, asked)| **asked)
            .map(|(heading, _)| heading.weight)
            .sum();
        Self {
            rubric,
            asked,
            factor: if kept > 0.0 { rubric.of / kept } else { 0.0 },
        }
    }

    fn headings(&self) -> Vec<Heading> {
        let all = self.rubric.headings.iter().zip(&self.asked);
        all.map(|(heading, asked)| {
            let of = if *asked {
                heading.weight * self.factor
            } else {
                0.0
            };
            Heading {
                name: heading.name.clone(),
                got: of,
                of,
            }
        })
        .collect()
    }

    fn notes(&self) -> Vec<String> {
        let all = self.rubric.headings.iter().zip(&self.asked);
        let idle: Vec<&str> = all
            .filter(|(_, asked)| !**asked)
            .map(|(heading, _)| heading.name.as_str())
            .collect();
        if idle.is_empty() {
            return Vec::new();
        }
        vec![format!(
            "This exercise has nothing to mark for {}: the weight goes to the other headings, each in proportion.",
            idle.join(", ")
        )]
    }

    /// No marks at all, and why.
    pub fn nothing(&self, why: &str) -> Marks {
        let mut headings = self.headings();
        for heading in &mut headings {
            heading.got = 0.0;
        }
        let mut notes = vec![why.to_owned()];
        notes.extend(self.notes());
        Marks {
            headings,
            of: self.rubric.of,
            notes,
            ..Marks::default()
        }
    }

    /// The marks for what was found wrong.
    pub fn marks(&self, corner: Corner, found: &[Found], pose: Pose, notes: Vec<String>) -> Marks {
        let mut headings = self.headings();
        let mut faults: Vec<Fault> = Vec::new();
        for deduction in &self.rubric.deductions {
            let heading = headings
                .iter_mut()
                .find(|heading| heading.name == deduction.heading);
            let mut left = deduction.most * self.factor;
            let Some(heading) = heading else { continue };
            for fault in found.iter().filter(|found| found.fault == deduction.fault) {
                let points = (deduction.each * self.factor).min(left).min(heading.got);
                left -= points;
                heading.got -= points;
                let at = fault.at.map(|at| pose.to_paper(at));
                faults.push(Fault {
                    name: deduction.fault.clone(),
                    heading: deduction.heading.clone(),
                    points,
                    at: at.map(|at| [at.x, at.y]),
                    words: deduction
                        .words
                        .replace("{what}", &fault.what)
                        .replace("{way}", &fault.way)
                        .replace("{got}", &fault.got),
                });
            }
        }
        faults.sort_by(|one, other| other.points.total_cmp(&one.points));
        let got = rounded(headings.iter().map(|heading| heading.got).sum());
        for heading in &mut headings {
            heading.got = rounded(heading.got);
            heading.of = rounded(heading.of);
        }
        for fault in &mut faults {
            fault.points = rounded(fault.points);
        }
        let mut all = notes;
        all.extend(self.notes());
        Marks {
            corner: Some(corner.word()),
            headings,
            faults,
            got,
            of: self.rubric.of,
            notes: all,
        }
    }
}

/// Points to a millionth: sums of shares come out whole where they ought to.
fn rounded(points: f64) -> f64 {
    (points * 1e6).round() / 1e6
}
