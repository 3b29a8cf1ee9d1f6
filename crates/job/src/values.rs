//! Reads what stands in many statements: coordinates, levels, heights, references.

use wyeline_units::Len;

use crate::amounts::bad_length;
use crate::diagnostic::{Diagnostic, Span};
use crate::line::{Line, is_name, looks_like_amount};
use crate::model::{Compass, Coord, Height, Name, PipePart, PointRef, Surface};
use crate::near;
use crate::source::shown;
use crate::words::{COMPASS, PORTS, WALL_SIDES, look_up};

/// Makes a surface of a level.
type OfLevel = fn(Name) -> Surface;

const SURFACES: [(&str, OfLevel); 3] = [
    ("floor", Surface::Floor),
    ("ceiling", Surface::Ceiling),
    ("joists", Surface::Joists),
];

impl Line<'_, '_> {
    /// A compass word.
    pub fn compass(&mut self) -> Option<Compass> {
        self.one_of("not-a-compass-word", "a compass word", &COMPASS)
    }

    /// `EAST,NORTH`, each a length or a wall.
    pub fn place(&mut self) -> Option<(Coord, Coord)> {
        let what = "a coordinate EAST,NORTH";
        let word = self.peek();
        let Some((east, north)) = word.split_once(',') else {
            if self.peek_second().starts_with(',') {
                self.word();
                self.wrong(
                    "not-a-coordinate",
                    what,
                    Some("write EAST,NORTH without a space".to_owned()),
                );
            } else if looks_like_amount(word) {
                let help = "both parts are needed, east first: 5'6\",3'";
                self.wrong("not-a-coordinate", what, Some(help.to_owned()));
            } else {
                self.missing("not-a-coordinate", what);
            }
            return None;
        };
        if north.is_empty() && looks_like_amount(self.peek_second()) {
            self.word();
            self.wrong(
                "not-a-coordinate",
                what,
                Some("write EAST,NORTH without a space".to_owned()),
            );
            return None;
        }
        let span = self.take(word.len());
        let comma = span.start as usize + east.len();
        let east_span = Span::new(span.start as usize, comma);
        let north_span = Span::new(comma + 1, span.end as usize);
        let east = self.coord(east, east_span, true);
        let north = self.coord(north, north_span, false);
        Some((east?, north?))
    }

    fn coord(&mut self, text: &str, span: Span, eastward: bool) -> Option<Coord> {
        if let Some(side) = look_up(&WALL_SIDES, text) {
            if matches!(side, Compass::East | Compass::West) == eastward {
                return Some(Coord::Wall(side));
            }
            let (part, walls) = if eastward {
                ("east", "`west-wall` or `east-wall`")
            } else {
                ("north", "`south-wall` or `north-wall`")
            };
            let mistake = Diagnostic::mistake(
                "wall-across",
                span,
                format!("`{text}` does not tell how far {part}"),
            )
            .expected(format!("expected a length, {walls}"))
            .help("a coordinate is EAST,NORTH");
            self.report(mistake);
            return None;
        }
        match Len::read(text, self.units) {
            Ok(reading) if reading.bytes == text.len() => Some(Coord::At(reading.len)),
            Ok(_) => {
                let mistake = Diagnostic::mistake(
                    "not-a-length",
                    span,
                    format!("`{}` is not a length", shown(text)),
                )
                .expected("expected a length");
                self.report(mistake);
                None
            }
            Err(error) => {
                let mut mistake = bad_length(span, text, &error);
                let walls = WALL_SIDES.iter().map(|(word, _)| *word);
                if let Some(help) = near::did_you_mean(text, walls) {
                    mistake = mistake.help(help);
                }
                self.report(mistake);
                None
            }
        }
    }

    /// `EAST,NORTH`, both lengths.
    pub fn spot(&mut self) -> Option<(Len, Len)> {
        let before = self.ahead(0);
        let place = self.place()?;
        if let (Coord::At(east), Coord::At(north)) = place {
            return Some((east, north));
        }
        let span = Span::new(before.start as usize, self.offset());
        let mistake =
            Diagnostic::mistake("wall-not-here", span, "a wall cannot be told from a wall")
                .expected("expected two lengths")
                .help("`west-wall` and the like belong to fixtures and runs");
        self.report(mistake);
        None
    }

    /// A level's name, or `here` in a group.
    pub fn level(&mut self) -> Option<Name> {
        let word = self.peek();
        if is_here(word) {
            let (word, span) = self.word();
            if self.in_group {
                return Some(Name {
                    text: word.to_owned(),
                    span,
                });
            }
            let mistake = Diagnostic::mistake(
                "here-outside-group",
                span,
                format!("`{word}` means a level only inside a group"),
            )
            .expected("expected a level's name");
            self.report(mistake);
            return None;
        }
        let name = self.name("a level")?;
        self.found.levels.push(name.clone());
        Some(name)
    }

    /// `[invert|top] SURFACE [±LENGTH] [unverified]`.
    pub fn height(&mut self) -> Option<Height> {
        let begin = self.ahead(0).start as usize;
        if self.done() {
            self.too_short("a height");
            return None;
        }
        let part = if self.eat("invert") {
            PipePart::Invert
        } else if self.eat("top") {
            PipePart::Top
        } else {
            PipePart::Centre
        };
        let from = self.surface();
        let offset = if from.is_some() {
            self.above()
        } else {
            self.pass_over_length();
            None
        };
        let mut end = self.offset();
        let unverified = self.eat("unverified");
        if unverified {
            end = self.offset();
        }
        Some(Height {
            from: from?,
            offset: offset?,
            part,
            unverified,
            span: Span::new(begin, end),
        })
    }

    /// Whether the next words tell of a level's surface: `main floor`.
    pub fn at_level(&mut self) -> bool {
        look_up(&SURFACES, self.peek_second()).is_some()
    }

    fn surface(&mut self) -> Option<Surface> {
        let word = self.peek();
        if word == "roof" && !self.peek_second().starts_with("floor") {
            self.word();
            return Some(Surface::Roof);
        }
        if word == "datum" {
            self.word();
            return Some(Surface::Datum);
        }
        if looks_like_amount(word) {
            self.missing(
                "surface-missing",
                "a surface (`main floor`, `roof`, `datum` …)",
            );
            return None;
        }
        let level = self.level();
        let found = self.peek();
        if let Some(surface) = look_up(&SURFACES, found) {
            self.word();
            return level.map(surface);
        }
        let what = "`floor`, `ceiling` or `joists`";
        match near::did_you_mean(found, SURFACES.iter().map(|(word, _)| *word)) {
            Some(help) => self.wrong("surface-missing", what, Some(help)),
            None => self.missing("surface-missing", what),
        }
        None
    }

    /// Leaves out a length whose surface could not be read.
    fn pass_over_length(&mut self) {
        let rest = self.rest();
        if let Ok(reading) = Len::read(rest, self.units)
            && !self.peek().contains(',')
        {
            self.take(reading.bytes);
        }
    }

    /// `±LENGTH` from a surface; 0 where nothing is said.
    fn above(&mut self) -> Option<Len> {
        let word = self.peek();
        if word.starts_with(['+', '-', '\u{2212}']) {
            return self.length("a length");
        }
        if !looks_like_amount(word) || word.contains(',') {
            return Some(Len::ZERO);
        }
        let begin = self.ahead(0).start as usize;
        if self.length("a length").is_some() {
            let mistake = Diagnostic::mistake(
                "sign-missing",
                Span::new(begin, self.offset()),
                "above or below the surface is not said",
            )
            .expected("expected + or - before the length")
            .help(format!("write +{0} for above, -{0} for below", shown(word)));
            self.report(mistake);
        }
        None
    }

    /// `POINT`, `TAG` or `TAG.port`, with a placement's name before a slash.
    pub fn reference(&mut self, what: &str) -> Option<PointRef> {
        let word = self.peek();
        if word.is_empty() || looks_like_amount(word) {
            self.missing("not-a-name", what);
            return None;
        }
        let (text, port) = match word.split_once('.') {
            Some((text, port)) => (text, Some(port)),
            None => (word, None),
        };
        if !text
            .split('/')
            .all(|part| is_name(part.strip_prefix('$').unwrap_or(part)))
        {
            let help = "a name is letters, digits, - and _, and begins with a letter";
            self.wrong("not-a-name", what, Some(help.to_owned()));
            return None;
        }
        let span = self.take(word.len());
        let split = span.start as usize + text.len();
        let name = Name {
            text: text.to_owned(),
            span: Span::new(span.start as usize, split),
        };
        let known = self.dollar(&name);
        let port = match port {
            Some(port) => Some(self.port(port, Span::new(split + 1, span.end as usize))?),
            None => None,
        };
        known.then_some(PointRef { name, port })
    }

    /// Keeps account of a `$WORD`; false where it cannot stand.
    fn dollar(&mut self, name: &Name) -> bool {
        let Some(word) = name.text.strip_prefix('$') else {
            if name.text.contains('$') {
                let mistake = Diagnostic::mistake(
                    "not-a-name",
                    name.span,
                    format!("`{}` is not a name", shown(&name.text)),
                )
                .expected("expected `$` only before the whole name");
                self.report(mistake);
                return false;
            }
            return true;
        };
        if word.contains('/') {
            let mistake = Diagnostic::mistake(
                "not-a-name",
                name.span,
                format!("`{}` is not a name", shown(&name.text)),
            )
            .expected("expected a single word after `$`")
            .help("give the whole name, with its slash, after `with` where the group is placed");
            self.report(mistake);
            return false;
        }
        if !self.in_group {
            let mistake = Diagnostic::mistake(
                "word-outside-group",
                name.span,
                format!("`{}` means something only inside a group", name.text),
            )
            .expected("expected a name");
            self.report(mistake);
            return false;
        }
        self.found.words.push(Name {
            text: word.to_owned(),
            span: name.span,
        });
        true
    }

    fn port(&mut self, port: &str, span: Span) -> Option<Name> {
        if PORTS.contains(&port) {
            return Some(Name {
                text: port.to_owned(),
                span,
            });
        }
        let mistake = Diagnostic::mistake(
            "unknown-port",
            span,
            format!("`{}` is not a port", shown(port)),
        )
        .expected("expected a port's name");
        let help = near::did_you_mean(port, PORTS)
            .unwrap_or_else(|| format!("ports are {}", PORTS.join(", ")));
        self.report(mistake.help(help));
        None
    }
}

/// `here`, `here+1`, `here-2` …
pub fn is_here(word: &str) -> bool {
    here_shift(word).is_some()
}

/// How many levels above (or below) the placement's own `here…` means.
pub fn here_shift(word: &str) -> Option<i32> {
    let rest = word.strip_prefix("here")?;
    if rest.is_empty() {
        return Some(0);
    }
    let digits = rest.strip_prefix(['+', '-'])?;
    let small = (1..=3).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
    if small { rest.parse().ok() } else { None }
}
