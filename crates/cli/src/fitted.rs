//! Takes a job past its sizes: fittings, pieces, take-off and rough-in, and what of it does not go.

use wyeline_fit::list::List;
use wyeline_fit::lists::{self, Given};
use wyeline_fit::marks::Marks;
use wyeline_fit::roughin::RoughIn;
use wyeline_fit::shelf::Shelf;
use wyeline_fit::takeoff::TakeOff;
use wyeline_fit::{Fitted, roughin, takeoff};
use wyeline_job::Diagnostic;
use wyeline_network::Network;

use crate::input::Built;
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
        mistakes.extend(fitted.findings.iter().map(|finding| {
            let tell = if finding.doubtful {
                Diagnostic::warning
            } else {
                Diagnostic::mistake
            };
            let mistake = tell(finding.code, finding.span, finding.message.clone());
            Diagnostic {
                help: finding.help.clone(),
                ..mistake
            }
        }));
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
