//! Follows a run from its first line to its end, step by step.

use crate::diagnostic::{Diagnostic, Span};
use crate::line::{Found, Line};
use crate::model::{Name, Run, Step, System};
use crate::reading::Reader;
use crate::source::shown;
use crate::words::{STATEMENTS, step_words};
use crate::{near, steps};

/// A run whose steps are being read.
pub struct OpenRun {
    run: Run,
    /// Its first line was not understood; its steps are read for their mistakes only.
    lost: bool,
    started: bool,
    /// That its start is missing has been said.
    start_missed: bool,
    last: Span,
}

impl Reader {
    pub fn open_run(&mut self, line: &mut Line, system: System, span: Span) {
        let name = line.name("a name for the run");
        line.finish();
        let lost = name.is_none();
        let name = name.unwrap_or(Name {
            text: String::new(),
            span,
        });
        self.run = Some(OpenRun::new(system, name, line.whole(), lost));
    }

    pub fn step(&mut self, line: &mut Line, first: &str, span: Span) {
        let Some(open) = &mut self.run else { return };
        open.last = line.whole();
        open.run.span = open.run.span.to(open.last);
        if first == "start" && open.started {
            let mistake = Diagnostic::mistake("start-twice", span, "the run has started already")
                .expected("expected a step")
                .help("a branch is a run of its own");
            line.report(mistake);
            open.run.misread = true;
            return;
        }
        let Some(told) = steps::read(line, first, open.run.system) else {
            self.unknown_step(line, first, span);
            return;
        };
        if first == "start" {
            open.started = true;
        } else if !open.started && !open.start_missed {
            open.start_missed = true;
            if !open.lost {
                let mistake = Diagnostic::mistake(
                    "run-without-start",
                    span,
                    format!("the run `{}` has no start before this", open.run.name.text),
                )
                .expected("expected `start`")
                .help("say where it begins: `start X,Y HEIGHT`, `start TAG.port` or `start POINT`");
                line.report(mistake);
            }
        }
        match told.kind {
            Some(kind) => open.run.steps.push(Step {
                kind,
                span: line.whole(),
            }),
            None => open.run.misread = true,
        }
        if told.ends {
            self.end_run();
        }
    }

    fn unknown_step(&mut self, line: &mut Line, first: &str, span: Span) {
        let near = near::nearest(first, step_words().chain(STATEMENTS));
        let mut mistake = Diagnostic::mistake(
            "unknown-step",
            span,
            format!("`{}` begins no step and no statement", shown(first)),
        )
        .expected("expected a step of the run");
        if let Some(near) = near {
            mistake = mistake.help(format!("did you mean `{near}`?"));
        }
        line.report(mistake);
        let Some(open) = &mut self.run else { return };
        open.run.misread = true;
        match near {
            Some("start") => open.started = true,
            Some("end" | "join" | "cap" | "continues") => self.end_run(),
            Some(near) if !step_words().any(|word| word == near) => {
                self.close_run(line.found);
                self.guess(Some(near), span);
            }
            _ => {}
        }
    }

    /// The open run is finished; it goes where it belongs.
    fn end_run(&mut self) {
        self.after_run = true;
        if let Some(open) = self.run.take()
            && !open.lost
        {
            self.here().runs.push(open.run);
        }
    }

    /// The open run stops without having been finished.
    pub fn close_run(&mut self, found: &mut Found) {
        let Some(open) = &self.run else { return };
        // Whether another run goes on from a point at its end is known only when all are read.
        if !open.lost && open.run.last_point().is_none() {
            let name = &open.run.name.text;
            let mistake = if open.started || !open.run.steps.is_empty() || open.run.misread {
                Diagnostic::mistake("run-not-finished", open.last, format!("the run `{name}` just stops"))
                    .expected("expected an end after this line")
                    .note(open.run.name.span, "the run begins here")
                    .help("finish it with `end TAG`, `join POINT`, `cap`, `continues \"…\"` or `up through roof`, or with a `point` where another run goes on")
            } else {
                Diagnostic::mistake(
                    "run-without-start",
                    open.last,
                    format!("the run `{name}` has no steps"),
                )
                .expected("expected `start` in the next line")
            };
            found.diagnostics.push(mistake);
        }
        self.end_run();
        self.after_run = false;
    }
}

impl OpenRun {
    pub fn new(system: System, name: Name, span: Span, lost: bool) -> Self {
        let run = Run {
            system,
            name,
            steps: Vec::new(),
            misread: false,
            span,
        };
        Self {
            run,
            lost,
            started: false,
            start_missed: false,
            last: span,
        }
    }
}
