//! Turns a statement about the building into the thing it tells.

use wyeline_units::{Len, Slope};

use crate::design;
use crate::diagnostic::Diagnostic;
use crate::line::Line;
use crate::model::{
    Body, BodyKind, BodyShape, Datum, Facts, Fixture, Hand, Joists, Level, Opening, OpeningKind,
    Pitch, PortOverride, RoofPlane, RoomName, Wall, WallSide,
};
use crate::words::PORTS;

const AXES: [(&str, bool); 2] = [("east-west", true), ("north-south", false)];

/// Names that would be mistaken for a surface.
const NOT_LEVELS: [&str; 6] = ["roof", "datum", "here", "invert", "top", "unverified"];

/// `datum main floor is 0`.
pub fn datum(line: &mut Line) -> Option<Datum> {
    let level = line.level();
    line.expect("floor");
    line.expect("is");
    let is = line.length("a height");
    line.finish();
    Some(Datum {
        level: level?,
        is: is?,
        span: line.whole(),
    })
}

/// `level NAME floor HEIGHT …`.
pub fn level(line: &mut Line) -> Option<Level> {
    let name = line.name_unless("a name for the level", &["floor"]);
    if let Some(name) = &name
        && NOT_LEVELS.contains(&name.text.as_str())
    {
        let mistake = Diagnostic::mistake(
            "reserved-name",
            name.span,
            format!("`{}` cannot name a level", name.text),
        )
        .expected("expected another name")
        .help("the word has a meaning of its own where heights are told");
        line.report(mistake);
    }
    line.expect("floor");
    let floor = line.length("the height of the floor");
    let (mut ceiling, mut joists, mut slab, mut finish, mut unverified) =
        (None, None, None, None, false);
    while let Some(option) = line.option(&["ceiling", "joists", "slab", "finish", "unverified"]) {
        match option {
            "ceiling" => ceiling = line.positive("a height above the floor"),
            "joists" => joists = self::joists(line),
            "slab" => slab = line.positive("a thickness"),
            "finish" => finish = line.positive("a thickness"),
            _ => unverified = true,
        }
    }
    Some(Level {
        name: name?,
        floor: floor?,
        ceiling,
        joists,
        slab,
        finish,
        unverified,
        span: line.whole(),
    })
}

fn joists(line: &mut Line) -> Option<Joists> {
    let depth = line.positive("the depth of the joists");
    let engineered = line.eat("engineered");
    line.expect("run");
    let east_west = line.one_of("word-missing", "`east-west` or `north-south`", &AXES);
    let spacing = if line.eat("at") {
        line.positive("a spacing")
    } else {
        None
    };
    let from = if line.eat("from") {
        line.length("where a joist is")
    } else {
        None
    };
    Some(Joists {
        depth: depth?,
        east_west: east_west?,
        spacing,
        from,
        engineered,
    })
}

/// `roof L [at X,Y rising DIR 6 in 12]`.
pub fn roof(line: &mut Line) -> Option<RoofPlane> {
    let height = line.length("the height of the roof");
    let pitch = if line.done() {
        None
    } else {
        line.expect("at");
        let eave = line.spot();
        line.expect("rising");
        let rising = line.compass();
        let rise = pitch(line);
        line.finish();
        Some(Pitch {
            eave: eave?,
            rising: rising?,
            rise: rise?,
        })
    };
    Some(RoofPlane {
        height: height?,
        pitch,
        span: line.whole(),
    })
}

/// `6 in 12`.
fn pitch(line: &mut Line) -> Option<Slope> {
    let rise = whole(line);
    line.expect("in");
    let begin = line.ahead(0);
    let run = whole(line);
    if run == Some(0) {
        let mistake = Diagnostic::mistake("not-a-number", begin, "a roof cannot rise in no run")
            .expected("expected a number above 0");
        line.report(mistake);
    }
    Slope::new(rise?, run?)
}

fn whole(line: &mut Line) -> Option<u32> {
    let number = line
        .peek()
        .parse()
        .ok()
        .filter(|number| *number <= 1_000_000_u32);
    if number.is_some() {
        line.word();
    } else {
        line.wrong(
            "not-a-number",
            "a whole number",
            Some("for example `6 in 12`".to_owned()),
        );
    }
    number
}

/// `wall LEVEL X,Y X,Y … [thick L] [left|centre]`.
pub fn wall(line: &mut Line) -> Option<Wall> {
    const OPTIONS: [&str; 3] = ["thick", "left", "centre"];
    let level = line.level();
    let mut points = Vec::new();
    let mut whole = true;
    while !line.done() && !OPTIONS.contains(&line.peek()) && line.peek().contains(',') {
        match line.spot() {
            Some(point) => points.push(point),
            None => whole = false,
        }
    }
    if points.len() < 2 && whole {
        line.missing("wall-too-short", "another corner of the wall");
        whole = false;
    }
    let (mut thick, mut lies) = (None, WallSide::Away);
    while let Some(option) = line.option(&OPTIONS) {
        match option {
            "thick" => thick = line.positive("a thickness"),
            "left" => lies = WallSide::Left,
            _ => lies = WallSide::Centre,
        }
    }
    let level = level?;
    whole.then(|| Wall {
        level,
        points,
        thick,
        lies,
        span: line.whole(),
    })
}

/// `room "NAME" LEVEL X,Y`.
pub fn room(line: &mut Line) -> Option<RoomName> {
    let text = line.quoted("the room's name");
    let level = line.level();
    let at = line.spot();
    line.finish();
    Some(RoomName {
        text: text?,
        level: level?,
        at: at?,
    })
}

/// `door LEVEL X,Y wide L`, `window …`.
pub fn opening(line: &mut Line, kind: OpeningKind) -> Option<Opening> {
    let level = line.level();
    let at = line.spot();
    line.expect("wide");
    let width = line.positive("a width");
    line.finish();
    Some(Opening {
        kind,
        level: level?,
        at: at?,
        width: width?,
        span: line.whole(),
    })
}

/// `beam TAG X,Y to X,Y [wide L] top HEIGHT deep L`, and other bodies.
pub fn body(line: &mut Line, kind: BodyKind) -> Option<Body> {
    let tag = line.name("a tag");
    let from = line.spot();
    line.expect("to");
    let to = line.spot();
    let wide = if line.eat("wide") {
        Some(line.positive("a width"))
    } else {
        None
    };
    line.expect("top");
    let top = line.height();
    line.expect("deep");
    let deep = line.positive("a depth");
    line.finish();
    let (from, to) = (from?, to?);
    let shape = match wide {
        Some(wide) => BodyShape::Along {
            from,
            to,
            wide: wide?,
        },
        None => BodyShape::Between { from, to },
    };
    Some(Body {
        kind,
        tag: tag?,
        shape,
        top: top?,
        deep: deep?,
        span: line.whole(),
    })
}

const FIXTURE_OPTIONS: [&str; 19] = [
    "drain",
    "tee",
    "cold",
    "hot",
    "vent",
    "gas",
    "return",
    "relief",
    "existing",
    "unverified",
    "use",
    "flushometer",
    "flush",
    "flow",
    "draws",
    "input",
    "loses",
    "limit",
    "protected",
];

/// `fixture TAG KIND LEVEL X,Y faces DIR [PORT …]… [FACT …]… [existing] [unverified]`.
pub fn fixture(line: &mut Line) -> Option<Fixture> {
    let tag = line.name("a tag");
    let kind = line.name_unless("a kind of fixture", &["faces"]);
    let level = if line.peek() == "faces" {
        line.missing("not-a-name", "a level");
        None
    } else {
        line.level()
    };
    let at = line.place();
    line.expect("faces");
    let faces = line.compass();
    let mut ports: Vec<PortOverride> = Vec::new();
    let (mut existing, mut unverified) = (false, false);
    let mut facts = Facts::default();
    while let Some(option) = line.option(&FIXTURE_OPTIONS) {
        match option {
            "existing" => existing = true,
            "unverified" => unverified = true,
            fact if !PORTS.contains(&fact) => design::fact(line, fact, &mut facts),
            port => {
                let end = line.offset();
                let span = crate::Span::new(end - port.len(), end);
                let told = self::port(
                    line,
                    crate::model::Name {
                        text: port.to_owned(),
                        span,
                    },
                );
                if let Some(first) = ports.iter().find(|known| known.port.text == port) {
                    let mistake = Diagnostic::mistake(
                        "port-twice",
                        span,
                        format!("the port `{port}` is told twice"),
                    )
                    .expected("expected each port once")
                    .note(first.port.span, "told here first");
                    line.report(mistake);
                } else {
                    ports.extend(told);
                }
            }
        }
    }
    Some(Fixture {
        tag: tag?,
        kind: kind?,
        level: level?,
        at: at?,
        faces: faces?,
        ports,
        existing,
        unverified,
        mirrored: false,
        raised: Len::ZERO,
        facts,
        span: line.whole(),
    })
}

/// What follows a port's name: hands and distances.
fn port(line: &mut Line, port: crate::model::Name) -> Option<PortOverride> {
    let mut told = PortOverride {
        port,
        hand: None,
        out: None,
        right: None,
        up: None,
    };
    let found = line.found.diagnostics.len();
    let mut any = false;
    loop {
        let word = line.peek();
        match word {
            "left" | "right" => {
                line.word();
                if crate::line::looks_like_amount(line.peek()) {
                    let aside = line.length("a length");
                    told.right = if word == "left" {
                        aside.map(|aside| -aside)
                    } else {
                        aside
                    };
                } else {
                    told.hand = Some(if word == "left" {
                        Hand::Left
                    } else {
                        Hand::Right
                    });
                }
            }
            "centre" => {
                line.word();
                told.hand = Some(Hand::Centre);
            }
            "out" => {
                line.word();
                told.out = line.length("a length");
            }
            "up" => {
                line.word();
                told.up = line.length("a length");
            }
            _ => break,
        }
        any = true;
    }
    if !any {
        let help = "`left`, `right`, `centre`, `out L`, `left L`, `right L` or `up L`".to_owned();
        if line.done() {
            line.too_short("where the port is");
        } else if FIXTURE_OPTIONS.contains(&line.peek()) {
            line.missing("word-missing", "where the port is");
        } else {
            let near =
                crate::near::did_you_mean(line.peek(), ["left", "right", "centre", "out", "up"]);
            line.wrong(
                "unknown-word",
                "where the port is",
                Some(near.unwrap_or(help)),
            );
        }
    }
    (line.found.diagnostics.len() == found).then_some(told)
}
