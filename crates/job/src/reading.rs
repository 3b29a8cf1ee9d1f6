//! Reads a whole job: line after line, then names, then groups.

use std::collections::{HashMap, HashSet};

use wyeline_units::UnitSystem;

use crate::diagnostic::{Diagnostic, Span};
use crate::groups::{self, Group, Parts};
use crate::line::{Found, Line};
use crate::model::{Job, Name, OpeningKind};
use crate::runs::OpenRun;
use crate::source::{shown, split_remark, without_mark};
use crate::words::{BODIES, STATEMENTS, continues_run, look_up, step_words, system};
use crate::{bytes, design, fitting, names, near, nesting, statements};

/// A job as far as it was understood, and everything that was wrong with its text.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reading {
    /// The job.
    pub job: Job,
    /// Mistakes and warnings, in the order of their places in the text.
    pub diagnostics: Vec<Diagnostic>,
}

/// Longest text read; places in it are held in 32 bits.
const LONGEST: usize = u32::MAX as usize - 1;

/// Reads the text of a job. Never fails: what is not understood is reported and left out.
pub fn read(text: &str) -> Reading {
    if text.len() > LONGEST {
        let mistake = Diagnostic::mistake(
            "text-too-long",
            Span::default(),
            "the text is longer than 4 GB",
        )
        .help("split the job into several files");
        return Reading {
            diagnostics: vec![mistake],
            ..Reading::default()
        };
    }
    let mut found = Found::default();
    let mut reader = Reader {
        units: units_of(text),
        ..Reader::default()
    };
    reader.job.units = reader.units;
    reader.job.text_len = text.len();
    let mut start = 0;
    for raw in text.split_inclusive('\n') {
        let body = without_mark(raw);
        let skip = raw.len() - body.len();
        let (says, _) = split_remark(body);
        if !says.trim().is_empty() {
            let in_group = reader.group.is_some();
            let mut line = Line::new(says, start + skip, reader.units, in_group, &mut found);
            reader.line(&mut line);
        }
        start += raw.len();
    }
    bytes::nul_bytes(text, &mut found.diagnostics);
    reader.finish(found)
}

/// The units the job states, wherever it does: lengths before that line mean the same.
fn units_of(text: &str) -> UnitSystem {
    let stated = text.lines().find_map(|line| {
        let mut words = without_mark(line).split_whitespace();
        (words.next() == Some("units")).then(|| words.next().unwrap_or_default())
    });
    stated
        .and_then(|word| word.parse().ok())
        .unwrap_or_default()
}

/// What has been read so far.
#[derive(Default)]
pub struct Reader {
    job: Job,
    units: UnitSystem,
    parts: Parts,
    groups: Vec<Group>,
    group: Option<Group>,
    /// The `group` line of the open group.
    group_span: Span,
    pub run: Option<OpenRun>,
    /// The last line belonged to a run that is finished.
    pub after_run: bool,
    /// Where statements that stand once have stood.
    said: HashMap<&'static str, Span>,
}

impl Reader {
    fn line(&mut self, line: &mut Line) {
        let (first, span) = line.word();
        if self.run.is_some() && continues_run(first) {
            self.step(line, first, span);
            return;
        }
        if !STATEMENTS.contains(&first) {
            self.unknown(line, first, span);
            return;
        }
        self.close_run(line.found);
        self.after_run = false;
        if let Some(system) = system(first) {
            self.open_run(line, system, span);
        } else {
            self.statement(line, first, span);
        }
    }

    /// A line outside a run that begins no statement.
    fn unknown(&mut self, line: &mut Line, first: &str, span: Span) {
        if step_words().any(|word| word == first) {
            let mistake = if self.after_run {
                Diagnostic::mistake("step-after-end", span, "the run is finished before this line")
                    .expected("expected a statement")
                    .help("a branch is a run of its own, from a named point: `point P1` above, then `start P1`")
            } else {
                Diagnostic::mistake(
                    "step-outside-run",
                    span,
                    format!("`{first}` belongs to a run"),
                )
                .expected("expected a statement")
                .help("a run begins with a line such as `waste house-drain`")
            };
            line.report(mistake);
            return;
        }
        let near = near::nearest(first, STATEMENTS);
        let mut mistake = Diagnostic::mistake(
            "unknown-statement",
            span,
            format!("`{}` begins no statement", shown(first)),
        )
        .expected("expected a statement");
        if let Some(near) = near {
            mistake = mistake.help(format!("did you mean `{near}`?"));
        }
        line.report(mistake);
        self.guess(near, span);
    }

    /// Goes on after a misspelt first word as if it had been written rightly, as far as lines
    /// that follow depend on it.
    pub fn guess(&mut self, near: Option<&str>, span: Span) {
        if let Some(system) = near.and_then(system) {
            let name = Name {
                text: String::new(),
                span,
            };
            self.run = Some(OpenRun::new(system, name, span, true));
        } else if near == Some("group") && self.group.is_none() {
            self.group_span = span;
            let name = Name {
                text: String::new(),
                span,
            };
            self.group = Some(Group {
                name,
                parts: Parts::default(),
                words: Vec::new(),
            });
        }
    }

    /// Where things go: into the open group, or the job.
    pub fn here(&mut self) -> &mut Parts {
        match &mut self.group {
            Some(group) => &mut group.parts,
            None => &mut self.parts,
        }
    }

    fn statement(&mut self, line: &mut Line, first: &str, span: Span) {
        match first {
            "wall" => {
                let wall = statements::wall(line);
                self.here().walls.extend(wall);
            }
            "room" => {
                let room = statements::room(line);
                self.here().rooms.extend(room);
            }
            "door" | "window" => {
                let kind = if first == "door" {
                    OpeningKind::Door
                } else {
                    OpeningKind::Window
                };
                let opening = statements::opening(line, kind);
                self.here().openings.extend(opening);
            }
            "fixture" => {
                let fixture = statements::fixture(line);
                self.here().fixtures.extend(fixture);
            }
            "place" => {
                let placement = groups::placement(line);
                self.here().placements.extend(placement);
            }
            "note" => {
                let note = line.quoted("a note");
                line.finish();
                self.job.notes.extend(note);
            }
            "group" => self.open_group(line, span),
            "end-group" => {
                line.finish();
                self.close_group(line, span);
            }
            _ => {
                if let Some(kind) = look_up(&BODIES, first) {
                    let body = statements::body(line, kind);
                    self.here().bodies.extend(body);
                    return;
                }
                if self.group.is_some() {
                    let mistake = Diagnostic::mistake(
                        "statement-in-group",
                        span,
                        format!("`{first}` cannot stand in a group"),
                    )
                    .expected(
                        "expected a wall, an opening, a fixture, a body, a run or a placement",
                    )
                    .note(self.group_span, "the group begins here")
                    .help("close the group first with `end-group`");
                    line.report(mistake);
                    return;
                }
                self.about_the_job(line, first, span);
            }
        }
    }

    /// Statements that stand outside groups.
    fn about_the_job(&mut self, line: &mut Line, first: &str, span: Span) {
        match first {
            "level" => self.job.levels.extend(statements::level(line)),
            "roof" => self.job.roofs.extend(statements::roof(line)),
            "amend" | "supply" | "method" => {
                design::statement(line, first, span, &mut self.job.design);
            }
            "material" | "measured" | "stock" | "offcut" | "kerf" | "spare" => {
                fitting::statement(line, first, &mut self.job.fitting);
            }
            _ => self.said_once(line, first, span),
        }
    }

    /// Statements that stand once in a job.
    fn said_once(&mut self, line: &mut Line, first: &str, span: Span) {
        let word = STATEMENTS
            .into_iter()
            .find(|word| *word == first)
            .unwrap_or_default();
        if let Some(before) = self.said.get(word) {
            let mistake = Diagnostic::mistake(
                "said-twice",
                span,
                format!("`{first}` has been said already"),
            )
            .expected("expected this once in a job")
            .note(*before, "said here first");
            line.report(mistake);
            return;
        }
        self.said.insert(word, span);
        let title = &mut self.job.title;
        match first {
            "job" => {
                if line.done() {
                    line.too_short("the job's name");
                } else {
                    let (text, span) = line.remainder();
                    title.job = Some(Name {
                        text: text.to_owned(),
                        span,
                    });
                }
            }
            "address" => title.address = line.quoted("the address"),
            "drawn-by" => title.drawn_by = line.quoted("a name"),
            "licence" => title.licence = line.quoted("the licence"),
            "issue" => title.issue = line.quoted("the issue"),
            "date" => {
                if line.peek().starts_with(|c: char| c.is_ascii_digit()) {
                    title.date = Some(line.word().0.to_owned());
                } else {
                    title.date = line.quoted("a date");
                }
            }
            "units" => {
                let systems = ["ft-in", "in", "mm", "m"].map(|word| (word, ()));
                line.one_of("unknown-units", "`ft-in`, `in`, `mm` or `m`", &systems);
            }
            "code" => self.job.code = line.name("a code"),
            "datum" => self.job.datum = statements::datum(line),
            "use" => {
                let usage = line.usage();
                self.job.design.usage = usage.map(|usage| (usage, line.whole()));
            }
            "heater" => self.job.design.heater = design::heater(line),
            "winter" => self.job.design.winter = design::winter(line),
            "grade" => self.job.design.grade = line.height(),
            "frost-depth" => {
                let depth = line.positive("a depth below the ground");
                self.job.design.frost_depth = depth.map(|depth| (depth, line.whole()));
            }
            _ => self.job.slope = line.slope(false),
        }
        line.finish();
    }

    fn open_group(&mut self, line: &mut Line, span: Span) {
        let name = line.name("a name for the group");
        line.finish();
        if self.group.is_some() {
            let mistake =
                Diagnostic::mistake("group-in-group", span, "a group cannot stand in a group")
                    .expected("expected `end-group` first")
                    .note(self.group_span, "this group is still open")
                    .help("write it outside; `place` puts it into this one");
            line.report(mistake);
            self.store_group(line.found);
        }
        self.group_span = line.whole();
        let name = name.unwrap_or(Name {
            text: String::new(),
            span,
        });
        self.group = Some(Group {
            name,
            parts: Parts::default(),
            words: Vec::new(),
        });
    }

    fn close_group(&mut self, line: &mut Line, span: Span) {
        if self.group.is_some() {
            self.store_group(line.found);
        } else {
            let mistake = Diagnostic::mistake("end-without-group", span, "no group is open here")
                .expected("expected `group` in a line before");
            line.report(mistake);
        }
    }

    fn store_group(&mut self, found: &mut Found) {
        if let Some(mut group) = self.group.take() {
            let mut seen = HashSet::new();
            group.words = std::mem::take(&mut found.words);
            group.words.retain(|word| seen.insert(word.text.clone()));
            self.groups.push(group);
        }
    }

    fn finish(mut self, mut found: Found) -> Reading {
        self.close_run(&mut found);
        if self.group.is_some() {
            let mistake = Diagnostic::mistake(
                "group-not-closed",
                self.group_span,
                "this group is never closed",
            )
            .expected("expected `end-group` after its last line");
            found.diagnostics.push(mistake);
            self.store_group(&mut found);
        }
        let Self {
            mut job,
            mut parts,
            groups,
            ..
        } = self;
        let mut diagnostics = found.diagnostics;
        names::levels(&job.levels, &found.levels, &mut diagnostics);
        nesting::place_all(&groups, &job.levels, &mut parts, &mut diagnostics);
        names::unique(&parts, &mut diagnostics);
        fitting::unique(&job.fitting, &mut diagnostics);
        job.walls = parts.walls;
        job.openings = parts.openings;
        job.rooms = parts.rooms;
        job.bodies = parts.bodies;
        job.fixtures = parts.fixtures;
        job.runs = parts.runs;
        names::in_order(&mut diagnostics);
        Reading { job, diagnostics }
    }
}
