//! Turns one line of a run into a step.

use wyeline_units::Len;

use crate::diagnostic::{Diagnostic, Span};
use crate::fitting;
use crate::line::{Line, is_name, looks_like_amount};
use crate::model::{
    Bound, Compass, DeviceKind, Direction, Insulation, Meet, Name, PortRef, Reach, Rise, Start,
    StepKind, System,
};
use crate::near;
use crate::words::{BOUNDS, COMPASS, DEVICES, look_up};

/// What a step's line came to.
pub struct Told {
    /// The step, if all of it was understood.
    pub kind: Option<StepKind>,
    /// It ends the run, understood or not.
    pub ends: bool,
}

/// Reads the step that begins with `first`, which has been taken. Nothing if it begins no step.
pub fn read(line: &mut Line, first: &str, system: System) -> Option<Told> {
    let mut ends = matches!(first, "end" | "join" | "cap" | "continues");
    let kind = match first {
        "start" => start(line),
        "up" | "down" => {
            ends = line.peek() == "through";
            vertical(line, first == "up")
        }
        "offset" => offset(line),
        "to" => to(line),
        "point" => line.name("a name for the point").map(StepKind::Point),
        "catch" => catch(line),
        "end" => end(line),
        "join" => line.reference("a point or port").map(StepKind::Join),
        "cap" => Some(StepKind::Cap),
        "continues" => continues(line),
        "size" => size(line),
        "slope" => slope(line, system),
        "material" => line.name("a material").map(StepKind::Material),
        "existing" | "new" => Some(StepKind::Existing(first == "existing")),
        "unverified" | "verified" => Some(StepKind::Unverified(first == "unverified")),
        "insulated" => insulated(line),
        "bare" => Some(StepKind::Insulated(None)),
        "arrives" => arrives(line),
        "fitting" => fitting::step(line).map(StepKind::Fitting),
        "note" => line.quoted("a note").map(StepKind::Note),
        _ => {
            if let Some(way) = look_up(&COMPASS, first) {
                level(line, way)
            } else {
                device(line, look_up(&DEVICES, first)?)
            }
        }
    };
    line.finish();
    Some(Told { kind, ends })
}

fn start(line: &mut Line) -> Option<StepKind> {
    if line.peek().contains(',') || looks_like_amount(line.peek()) {
        let at = line.place();
        let height = line.height();
        return Some(StepKind::Start(Start::At {
            at: at?,
            height: height?,
        }));
    }
    let from = line.reference("a coordinate, a port or a point")?;
    Some(StepKind::Start(Start::From(from)))
}

fn level(line: &mut Line, way: Compass) -> Option<StepKind> {
    let reach = match line.peek() {
        "legs" => {
            let (_, span) = line.word();
            let legs = line.positive("the length of a leg");
            if way.eighth().is_multiple_of(2) {
                let mistake = Diagnostic::mistake(
                    "legs-need-45",
                    span,
                    format!("`{}` has no legs", way.word()),
                )
                .expected("expected a length")
                .help("legs belong to northeast, northwest, southwest and southeast");
                line.report(mistake);
                return None;
            }
            Reach::Legs(legs?)
        }
        "to" => {
            line.word();
            line.expect("abreast");
            if line.peek().contains(',') {
                Reach::AbreastAt(line.place()?)
            } else {
                Reach::Abreast(line.reference("a port, a point or a coordinate")?)
            }
        }
        "into" => {
            line.word();
            line.expect("wall").then_some(Reach::IntoWall)?
        }
        "abreast" => {
            line.missing("word-missing", "`to`");
            line.word();
            if line.peek().contains(',') {
                line.place();
            } else {
                line.reference("a port, a point or a coordinate");
            }
            return None;
        }
        _ => Reach::Travel(distance(line, || {
            Compass::from_eighth(way.eighth() + 4).word()
        })?),
    };
    Some(StepKind::Level { way, reach })
}

/// A length above 0; where it is below, the help names the opposite way.
fn distance(line: &mut Line, opposite: impl Fn() -> &'static str) -> Option<Len> {
    let found = line.found.diagnostics.len();
    let length = line.positive("a length");
    if let Some(mistake) = line.found.diagnostics.get_mut(found)
        && mistake.code == "not-above-zero"
    {
        mistake.help = Some(format!("the other way is `{}`", opposite()));
    }
    length
}

fn vertical(line: &mut Line, up: bool) -> Option<StepKind> {
    if line.eat("to") {
        return Some(StepKind::Vertical {
            up,
            reach: Rise::To(line.height()?),
        });
    }
    if line.peek() == "through" {
        let (_, span) = line.word();
        let roof = line.expect("roof");
        let above = if line.eat("above") {
            Some(line.positive("a length")?)
        } else {
            None
        };
        if !up {
            let mistake =
                Diagnostic::mistake("down-through-roof", span, "a pipe goes up through a roof")
                    .expected("expected a length or `to`");
            line.report(mistake);
            return None;
        }
        return roof.then_some(StepKind::Vertical {
            up,
            reach: Rise::ThroughRoof(above),
        });
    }
    let rise = distance(line, || if up { "down" } else { "up" });
    if !line.eat("at") {
        return Some(StepKind::Vertical {
            up,
            reach: Rise::By(rise?),
        });
    }
    let angle = line.angle();
    let way = line.compass();
    Some(StepKind::Tilt {
        up,
        rise: rise?,
        angle: angle?,
        way: way?,
    })
}

fn direction(line: &mut Line) -> Option<Direction> {
    let up_down = [("up", Direction::Up), ("down", Direction::Down)];
    let mut table: Vec<(&str, Direction)> = up_down.to_vec();
    table.extend(
        COMPASS
            .iter()
            .map(|(word, way)| (*word, Direction::Level(*way))),
    );
    line.one_of("not-a-compass-word", "a direction", &table)
}

fn square(a: Direction, b: Direction) -> bool {
    match (a, b) {
        (Direction::Level(a), Direction::Level(b)) => (a.eighth() + 8 - b.eighth()) % 4 == 2,
        (Direction::Level(_), _) | (_, Direction::Level(_)) => true,
        _ => false,
    }
}

fn offset(line: &mut Line) -> Option<StepKind> {
    let begin = line.ahead(0).start as usize;
    let first = (direction(line), line.positive("a length"));
    let second = (direction(line), line.positive("a length"));
    let span = Span::new(begin, line.offset());
    let angle = if line.expect("at") {
        line.angle()
    } else {
        None
    };
    let going = if line.eat("going") {
        let ahead = line.peek().len();
        let span = line.ahead(ahead);
        Some((direction(line)?, span))
    } else {
        None
    };
    let (first, second) = ((first.0?, first.1?), (second.0?, second.1?));
    let not_square = |span, message: &str| {
        Diagnostic::mistake("not-square", span, message)
            .expected("expected directions square to each other")
            .help("an offset is told by two displacements, both square to the heading")
    };
    if !square(first.0, second.0) {
        line.report(not_square(
            span,
            "these two displacements are not square to each other",
        ));
        return None;
    }
    if let Some((going, span)) = going
        && !(square(going, first.0) && square(going, second.0))
    {
        line.report(not_square(
            span,
            "the heading is not square to the displacements",
        ));
        return None;
    }
    Some(StepKind::Offset {
        first,
        second,
        angle: angle?,
        going: going.map(|(way, _)| way),
    })
}

fn to(line: &mut Line) -> Option<StepKind> {
    let at = line.place();
    let height = if line.done() {
        None
    } else {
        Some(line.height()?)
    };
    Some(StepKind::To { at: at?, height })
}

fn target(line: &mut Line) -> Option<PortRef> {
    let found = line.reference("a fixture's tag")?;
    Some(PortRef {
        tag: found.name,
        port: found.port,
    })
}

fn catch(line: &mut Line) -> Option<StepKind> {
    let target = target(line);
    let (mut at_45, mut size) = (false, None);
    while let Some(option) = line.option(&["at", "size"]) {
        if option == "at" {
            at_45 = line.peek() == "45";
            if at_45 {
                line.word();
            } else {
                let help = "a catch leaves the run square, or at 45";
                line.wrong("not-an-angle", "`45`", Some(help.to_owned()));
            }
        } else {
            size = line.size();
        }
    }
    Some(StepKind::Catch {
        target: target?,
        at_45,
        size,
    })
}

fn end(line: &mut Line) -> Option<StepKind> {
    let target = target(line);
    let size = if line.option(&["size"]).is_some() {
        line.size()
    } else {
        None
    };
    Some(StepKind::End {
        target: target?,
        size,
    })
}

fn continues(line: &mut Line) -> Option<StepKind> {
    let to = line.quoted("words that say where it goes on");
    let (mut load, mut pressure) = (None, None);
    while let Some(option) = line.option(&["load", "needs"]) {
        let amount = amount(line);
        if option == "load" {
            load = amount;
        } else {
            pressure = amount;
        }
    }
    Some(StepKind::Continues {
        to: to?,
        load,
        pressure,
    })
}

/// A number and the word for its unit.
fn amount(line: &mut Line) -> Option<(String, String)> {
    let number = line.peek();
    let points = number.bytes().filter(|byte| *byte == b'.').count();
    let plain = number.starts_with(|c: char| c.is_ascii_digit())
        && number.ends_with(|c: char| c.is_ascii_digit())
        && number
            .bytes()
            .all(|byte| byte.is_ascii_digit() || byte == b'.')
        && points <= 1;
    if !plain {
        line.wrong(
            "not-a-number",
            "a number",
            Some("for example `load 20 dfu` or `needs 40 psi`".to_owned()),
        );
        return None;
    }
    line.word();
    let unit = line.peek();
    if !unit.starts_with(char::is_alphabetic) || matches!(unit, "load" | "needs") {
        line.missing("unit-missing", "the unit of the number");
        return None;
    }
    line.word();
    Some((number.to_owned(), unit.to_owned()))
}

fn arrives(line: &mut Line) -> Option<StepKind> {
    let word = line.peek();
    // A level may be called anything; then its surface follows at once.
    let level = line.at_level();
    let meant = |known: &str| {
        known.strip_prefix("at-or-") == Some(word) || near::nearest(word, [known]).is_some()
    };
    let bound = match BOUNDS.iter().find(|(known, _)| !level && meant(known)) {
        Some(&(known, bound)) => {
            if !line.eat(known) {
                let what = format!("`{known}`");
                line.wrong("unknown-word", &what, Some(format!("did you mean {what}?")));
            }
            bound
        }
        None => Bound::Exactly,
    };
    Some(StepKind::Arrives {
        bound,
        height: line.height()?,
    })
}

fn size(line: &mut Line) -> Option<StepKind> {
    let size = line.size();
    let meet = match line.option(&["crowns", "inverts"]) {
        Some("crowns") => Meet::Crowns,
        Some(_) => Meet::Inverts,
        None => Meet::Centres,
    };
    Some(StepKind::Size { size: size?, meet })
}

fn slope(line: &mut Line, system: System) -> Option<StepKind> {
    let (slope, span) = line.slope(true)?;
    if slope.terms().0 == 0 && system.drains() {
        let mistake = Diagnostic::mistake(
            "drain-told-level",
            span,
            format!("a {} pipe has to fall", system.word()),
        )
        .expected("expected a slope above 0")
        .help("`slope level` is for vents and water");
        line.report(mistake);
        return None;
    }
    Some(StepKind::Slope(slope))
}

fn insulated(line: &mut Line) -> Option<StepKind> {
    let thick = if line.done() {
        None
    } else {
        Some(line.positive("a thickness")?)
    };
    Some(StepKind::Insulated(Some(Insulation { thick })))
}

const DEVICE_OPTIONS: [&str; 3] = ["length", "set", "loses"];

fn device(line: &mut Line, kind: DeviceKind) -> Option<StepKind> {
    let word = line.peek();
    let tag: Option<Name> = if is_name(word) && !DEVICE_OPTIONS.contains(&word) {
        line.name("a tag")
    } else {
        None
    };
    let (mut length, mut setting, mut loses) = (None, None, None);
    while let Some(option) = line.option(&DEVICE_OPTIONS) {
        match option {
            "length" => length = Some(line.positive("a length")?),
            "set" => setting = Some(line.setting(kind)?),
            _ => loses = Some(line.pressure()?),
        }
    }
    Some(StepKind::Device {
        kind,
        tag,
        length,
        setting,
        loses,
    })
}
