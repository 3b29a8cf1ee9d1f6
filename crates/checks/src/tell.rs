//! Lets one rule look at a job whose sizes and pressures a test sets by hand, or that the network calls mistaken:
//! what the tests of the rules on water, gas and structure share.

use wyeline_codes::Pack;
use wyeline_network::Network;
use wyeline_sizing::Sized;
use wyeline_units::Size;

use crate::context::Context;
use crate::finding::Finding;
use crate::rule::{Said, look};
use crate::rules;

/// What the jobs of these tests begin with: levels 10 ft apart and a flat roof.
pub const HEAD: &str = "job test\nunits ft-in\nslope 1/4 in per ft\n\
    level cellar floor -10' ceiling 8'\nlevel main floor 0' ceiling 8'\nlevel upper floor 10' ceiling 8'\nroof 20'\n";

/// What a rule said.
pub struct Tell {
    /// All of it.
    pub said: Said,
}

impl Tell {
    /// By the IPC, with sizes as sizing finds them and then changed.
    pub fn of(body: &str, rule: &str, change: impl FnOnce(&Network, &mut Sized)) -> Self {
        Self::whole("ipc-2021", &format!("{HEAD}{body}"), rule, change)
    }

    /// By the IPC, with nothing sized: for rules that look at places alone.
    pub fn plain(body: &str, rule: &str) -> Self {
        Self::of(body, rule, |_, _| ())
    }

    /// The same by another code.
    pub fn by(code: &str, body: &str, rule: &str) -> Self {
        Self::whole(code, &format!("{HEAD}{body}"), rule, |_, _| ())
    }

    /// A job told in full.
    pub fn whole(
        code: &str,
        text: &str,
        rule: &str,
        change: impl FnOnce(&Network, &mut Sized),
    ) -> Self {
        let reading = wyeline_job::read(text);
        assert!(
            reading.diagnostics.is_empty(),
            "{text}\n{:#?}",
            reading.diagnostics
        );
        let built = wyeline_network::build(&reading.job, text);
        let astray = built.diagnostics.iter().filter(|mistake| {
            !matches!(
                mistake.code,
                "pipe-through-body" | "unreached-fixture" | "one-port-unreached"
            )
        });
        let astray: Vec<_> = astray.collect();
        assert!(astray.is_empty(), "{text}\n{astray:#?}");
        let pack = Pack::named(code).expect("the code is held");
        let network = &built.network;
        let mut sized = Sized {
            code: code.to_owned(),
            pipes: vec![wyeline_sizing::PipeResult::default(); network.pipes.len()],
            fixtures: vec![wyeline_sizing::FixtureResult::default(); network.fixtures.len()],
            gaps: Vec::new(),
            ..Sized::default()
        };
        change(network, &mut sized);
        let context = Context::new(&reading.job, network, &sized, pack);
        let mut all = rules::ALL.iter();
        let rule = all
            .find(|known| known.name == rule)
            .expect("the rule is listed");
        let said = look(rule, &context).expect("the code has this rule");
        Self { said }
    }

    /// The one finding there is.
    pub fn one(&self) -> &Finding {
        assert_eq!(self.said.findings.len(), 1, "{:#?}", self.said.findings);
        &self.said.findings[0]
    }

    /// It looked somewhere and found nothing.
    pub fn silent(&self) {
        assert!(self.said.findings.is_empty(), "{:#?}", self.said.findings);
        assert!(
            self.said.places > 0,
            "it looked nowhere: {:#?}",
            self.said.unchecked
        );
    }

    /// It found nothing to look at, and nothing that it should have looked at.
    pub fn nowhere(&self) {
        assert!(self.said.findings.is_empty(), "{:#?}", self.said.findings);
        assert!(self.said.unchecked.is_empty(), "{:#?}", self.said.unchecked);
        assert_eq!(self.said.places, 0);
    }

    /// It could not look, for this reason.
    pub fn unknown(&self, why: &str) {
        assert!(self.said.findings.is_empty(), "{:#?}", self.said.findings);
        let mut all = self.said.unchecked.iter();
        assert!(
            all.any(|one| one.why.contains(why)),
            "{:#?}",
            self.said.unchecked
        );
    }
}

/// A size in eighths of an inch.
pub fn inch(eighths: u16) -> Size {
    Size::Inch { eighths }
}
