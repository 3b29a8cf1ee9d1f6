//! One text of a job, taken through the stages: what is always wanted at once, the rest when somebody looks.

use std::sync::OnceLock;

use wyeline_checks::Checked;
use wyeline_job::{Diagnostic, Severity};
use wyeline_network::Network;
use wyeline_whole::{Built, Judged, Listed, mark};

/// A text of a job and all that follows from it. Nothing in it changes.
pub struct Work {
    /// The words.
    pub text: String,
    /// The job as far as the network, with its mistakes.
    pub built: Built,
    /// What the code in force gives.
    pub judged: Option<Judged>,
    /// Why no code is in force.
    pub no_code: Option<Diagnostic>,
    /// What breaks a rule.
    pub checked: Option<Checked>,
    drawn: OnceLock<Network>,
    listed: OnceLock<(Listed, Vec<Diagnostic>)>,
}

impl Work {
    /// Takes a text through reading, network, sizes and checks.
    pub fn of(text: String) -> Self {
        let mut built = Built::of(text.as_bytes(), |_| ());
        let (judged, no_code) = match Judged::of(&mut built, None) {
            Ok(judged) => (Some(judged), None),
            Err(mut why) => {
                // It can be drawn all the same.
                why.severity = Severity::Warning;
                (None, Some(*why))
            }
        };
        let checked = judged.as_ref().map(|judged| judged.check(&built));
        Self {
            text,
            built,
            judged,
            no_code,
            checked,
            drawn: OnceLock::new(),
            listed: OnceLock::new(),
        }
    }

    /// The network as it is drawn: sizes that nobody stated worked out, findings flagged.
    pub fn drawn(&self) -> &Network {
        self.drawn.get_or_init(|| {
            let mut network = self.built.network.clone();
            if let Some(judged) = &self.judged {
                mark::sizes(&mut network, judged);
                if let Some(checked) = &self.checked {
                    mark::flags(&mut network, judged, checked);
                }
            }
            network
        })
    }

    /// Fittings, pieces and what is listed of them, and what of it does not go.
    pub fn listed(&self) -> &(Listed, Vec<Diagnostic>) {
        self.listed.get_or_init(|| {
            let mut built = Built {
                diagnostics: Vec::new(),
                ..self.built.clone()
            };
            let listed = Listed::of(&mut built, self.judged.as_ref());
            (listed, built.diagnostics)
        })
    }
}
