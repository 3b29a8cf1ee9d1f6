//! Takes a job past its sizes: fittings, pieces, take-off and rough-in, and what of it does not go.

use std::collections::HashMap;

use wyeline_fit::list::List;
use wyeline_fit::lists::{self, Given};
use wyeline_fit::marks::Marks;
use wyeline_fit::model::Finding;
use wyeline_fit::roughin::RoughIn;
use wyeline_fit::shelf::Shelf;
use wyeline_fit::takeoff::TakeOff;
use wyeline_fit::{Fitted, roughin, takeoff};
use wyeline_job::{Diagnostic, Span};
use wyeline_network::Network;

use crate::built::Built;
use crate::judge::Judged;
use crate::mark;

/// A job with its fittings, and what is listed of it.
pub struct Listed {
    /// The network with all sizes, those that nobody stated as the code in force gives them.
    pub network: Network,
    /// Fittings and pieces.
    pub fitted: Fitted,
    /// Their marks.
    pub marks: Marks,
    /// What is bought.
    pub takeoff: TakeOff,
    /// Where it goes.
    pub rough: RoughIn,
}

impl Listed {
    /// Fits a job by the code in force, where one is; without one what is stated is fitted all the same. What does not
    /// go is added to the job's mistakes.
    pub fn of(built: &mut Built, judged: Option<&Judged>) -> Self {
        let mut network = built.network.clone();
        if let Some(judged) = judged {
            mark::sizes(&mut network, judged);
        }
        let by = judged.map(|judged| (&*judged.pack, &judged.sized));
        let (fitted, mut mistakes) = wyeline_fit::fit(&built.job, &network, by);
        mistakes.extend(told(&fitted.findings));
        built.add(mistakes);
        // What is wrong with the dimensions told, `fit` has said.
        let (shelf, _) = Shelf::of(&built.job);
        let takeoff = takeoff::takeoff(&built.job, &network, &fitted, &shelf);
        let pack = judged.map(|judged| &*judged.pack);
        let rough = roughin::roughin(&built.job, &network, &fitted, &takeoff.crossings, pack);
        Self {
            marks: Marks::of(&fitted),
            network,
            fitted,
            takeoff,
            rough,
        }
    }

    /// The lists for the counter, the saw and the crew.
    pub fn all(&self, built: &Built) -> Vec<List> {
        let given = self.given(built);
        let materials = lists::materials(&given, &self.takeoff, takeoff::By::Whole);
        let mut all = vec![materials];
        all.extend(lists::cuts(&given));
        all.extend(lists::roughin(&given, &self.rough));
        all
    }

    /// What lists are made from.
    pub fn given<'a>(&'a self, built: &'a Built) -> Given<'a> {
        Given {
            job: &built.job,
            network: &self.network,
            fitted: &self.fitted,
            marks: &self.marks,
        }
    }
}

/// Findings as they are told at their places; the same of a line that a group places many times is told once, with how
/// many there are.
fn told(findings: &[Finding]) -> Vec<Diagnostic> {
    let mut at: HashMap<(&str, Span, &str), usize> = HashMap::new();
    let mut all: Vec<(Diagnostic, u32)> = Vec::new();
    for finding in findings {
        let next = all.len();
        let at = *at
            .entry((finding.code, finding.span, &finding.message))
            .or_insert(next);
        if at == next {
            let tell = if finding.doubtful {
                Diagnostic::warning
            } else {
                Diagnostic::mistake
            };
            let mut one = tell(finding.code, finding.span, finding.message.clone());
            one.help.clone_from(&finding.help);
            all.push((one, 0));
        }
        all[at].1 += 1;
    }
    all.into_iter()
        .map(|(mut one, times)| {
            if times > 1 {
                one.message = format!("{} (in {times} places)", one.message);
            }
            one
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use wyeline_fit::model::Where;
    use wyeline_job::Severity;
    use wyeline_network::model::NodeIx;

    use super::*;

    /// Three storeys of one group have one line that goes wrong three times; another finding stands by itself.
    #[test]
    fn the_same_of_a_line_is_told_once() {
        let finding = |message: &str, doubtful| Finding {
            code: "no-such-fitting",
            at: Where::Node(NodeIx(0)),
            message: message.to_owned(),
            help: None,
            doubtful,
            span: Span::default(),
        };
        let told = told(&[
            finding("a", false),
            finding("b", true),
            finding("a", false),
            finding("a", false),
        ]);
        let said: Vec<_> = told.iter().map(|one| one.message.as_str()).collect();
        assert_eq!(said, ["a (in 3 places)", "b"]);
        assert_eq!(told[1].severity, Severity::Warning);
    }
}
