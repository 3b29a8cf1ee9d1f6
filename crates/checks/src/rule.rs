//! What a rule is, and how all of them are run.

use std::borrow::Cow;

use wyeline_codes::{Cite, Pack};

use crate::context::Context;
use crate::finding::{At, Checked, Finding, Unchecked};
use crate::rules;

/// A rule of a code.
pub struct Rule {
    /// Its name (`trap-arm-length`).
    pub name: &'static str,
    /// One line: what it asks.
    pub title: &'static str,
    /// Its page: why it is so, what is measured, exceptions, in plain words.
    pub page: &'static str,
    /// Where a code says it; nothing where that code has no such rule.
    pub cite: fn(&Pack) -> Option<Cite>,
    /// Looks.
    pub look: fn(&Context, &mut Said),
}

/// What a rule says while it looks.
#[derive(Debug)]
pub struct Said {
    /// The rule's name.
    pub rule: &'static str,
    /// Where the code says it.
    pub cite: Cite,
    /// What breaks it.
    pub findings: Vec<Finding>,
    /// Where it could not look.
    pub unchecked: Vec<Unchecked>,
    /// How many places it looked at.
    pub places: u32,
}

impl Said {
    /// Counts a place looked at.
    pub fn looked(&mut self) {
        self.places += 1;
    }

    /// Adds a finding; its place in the job, whether it is existing work and what is not verified
    /// there are filled in.
    pub fn breaks(
        &mut self,
        context: &Context,
        at: At,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> &mut Finding {
        self.findings.push(Finding {
            rule: self.rule,
            at,
            span: context.span(at),
            message: message.into(),
            cite: self.cite.clone(),
            help: help.into(),
            notes: Vec::new(),
            existing: context.existing(at),
            unverified: context.unverified(at),
        });
        let last = self.findings.len() - 1;
        &mut self.findings[last]
    }

    /// Says that a place was not checked, and why.
    pub fn unknown(&mut self, at: At, why: impl Into<Cow<'static, str>>) {
        self.unchecked.push(Unchecked {
            rule: self.rule,
            at,
            why: why.into(),
        });
    }
}

/// Runs one rule; nothing where the code in force does not have it.
pub fn look(rule: &'static Rule, context: &Context) -> Option<Said> {
    let cite = (rule.cite)(context.pack)?;
    let mut said = Said {
        rule: rule.name,
        cite,
        findings: Vec::new(),
        unchecked: Vec::new(),
        places: 0,
    };
    (rule.look)(context, &mut said);
    Some(said)
}

/// Runs all rules.
pub fn check(context: &Context) -> Checked {
    let mut checked = Checked::default();
    for rule in rules::ALL {
        let Some(mut said) = look(rule, context) else {
            checked.not_in_code.push(rule.name);
            continue;
        };
        checked.looked_at.push((rule.name, said.places));
        checked.findings.append(&mut said.findings);
        checked.unchecked.append(&mut said.unchecked);
    }
    checked.findings.sort_by(|a, b| {
        (a.existing, a.span.start, a.rule).cmp(&(b.existing, b.span.start, b.rule))
    });
    checked
}
