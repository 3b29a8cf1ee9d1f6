//! Takes a job past the network: the code in force with the job's amendments, sizes, findings.

use std::borrow::Cow;

use wyeline_checks::{Checked, Context};
use wyeline_codes::{Amendment, Pack};
use wyeline_job::{Diagnostic, Job, Span, did_you_mean};
use wyeline_sizing::Sized;

use crate::built::Built;

/// What a code says of a job.
pub struct Judged {
    /// The code in force, with the job's amendments.
    pub pack: Cow<'static, Pack>,
    /// Loads and sizes.
    pub sized: Sized,
}

impl Judged {
    /// Sizes a job by the code it names, or by `code` where that is given. What is wrong with its amendments is
    /// added to its mistakes.
    ///
    /// # Errors
    /// Neither names a code that is held.
    pub fn of(built: &mut Built, code: Option<&str>) -> Result<Self, Box<Diagnostic>> {
        let pack = pack(&built.job, code)?;
        let pack = if built.job.design.amendments.is_empty() {
            Cow::Borrowed(pack)
        } else {
            let limits = wyeline_checks::limits::beside(pack);
            let (amended, mistakes) = pack.amended_with(&amendments(&built.job), &[limits]);
            built.add(mistakes);
            Cow::Owned(amended)
        };
        let sized = wyeline_sizing::size(&built.job, &built.network, &pack);
        Ok(Self { pack, sized })
    }

    /// What breaks a rule of the code in force.
    pub fn check(&self, built: &Built) -> Checked {
        let context = Context::new(&built.job, &built.network, &self.sized, &self.pack);
        wyeline_checks::check(&context)
    }
}

/// The code that is given, or that the job names.
fn pack(job: &Job, given: Option<&str>) -> Result<&'static Pack, Box<Diagnostic>> {
    let ids = || Pack::all().iter().map(Pack::id);
    let all = || format!("codes held: {}", ids().collect::<Vec<_>>().join(", "));
    let (name, span) = match (given, &job.code) {
        (Some(given), _) => (given, Span::default()),
        (None, Some(code)) => (code.text.as_str(), code.span),
        (None, None) => {
            let title = job.title.job.as_ref();
            let mistake = Diagnostic::mistake(
                "no-code",
                title.map_or(Span::default(), |name| name.span),
                "the job names no code: nothing is sized or checked by one",
            )
            .help(format!("say `code ipc-2021`, or give --code; {}", all()));
            return Err(Box::new(mistake));
        }
    };
    Pack::named(name).ok_or_else(|| {
        let help = did_you_mean(name, ids()).unwrap_or_else(all);
        let message = format!("there is no code `{name}` here: nothing is sized or checked");
        let mistake = Diagnostic::mistake("unknown-code", span, message);
        Box::new(mistake.expected("expected a code that is held").help(help))
    })
}

/// The job's amendments as the code takes them.
fn amendments(job: &Job) -> Vec<Amendment> {
    let all = job.design.amendments.iter();
    all.map(|told| Amendment {
        table: told.table.text.clone(),
        key: with_inch_marks(&told.key.text),
        value: told.value.clone(),
        unit: match told.unit.as_str() {
            "F" => "°F".to_owned(),
            "C" => "°C".to_owned(),
            unit => unit.to_owned(),
        },
        by: told.by.clone(),
        span: told.span,
    })
    .collect()
}

/// Sizes in a row's words as tables write them: `3 in` is `3"`, for a quote mark cannot stand in quotes.
fn with_inch_marks(key: &str) -> String {
    let mut words: Vec<String> = Vec::new();
    for word in key.split_whitespace() {
        match words.last_mut() {
            Some(number) if word == "in" && number.ends_with(|c: char| c.is_ascii_digit()) => {
                number.push('"');
            }
            _ => words.push(word.to_owned()),
        }
    }
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_in_a_rows_words_are_written_as_tables_write_them() {
        assert_eq!(with_inch_marks("2-1/2 in branch"), "2-1/2\" branch");
        assert_eq!(
            with_inch_marks("water-closet  private"),
            "water-closet private"
        );
        assert_eq!(with_inch_marks("in place"), "in place");
    }
}
