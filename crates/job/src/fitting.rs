//! Turns statements about material, measured fittings and stock, and the step `fitting`, into plain data.
//!
//! Names of materials and fittings are taken as words: later stages know which there are.

use std::collections::HashMap;

use wyeline_units::{Len, Size, read_number};

use crate::diagnostic::{Diagnostic, Span};
use crate::line::{Line, is_name, looks_like_amount};
use crate::model::{
    Bar, FittingData, Kerf, Leg, Measured, Name, Offcut, Spare, SpareOf, Stock, System,
};
use crate::near;
use crate::source::shown;
use crate::words::{LEGS, look_up, system};

/// Largest size taken for one where a length may stand as well, eighths of an inch and mm: no bar is
/// sold as short as 2 ft (common practice).
const LARGEST: (u16, u16) = (24 * 8, 600);
/// Most offcuts of one length: more is a slip of the pen (our own choice).
const MOST: u32 = 10_000;

/// Reads `material`, `measured`, `stock`, `offcut`, `kerf` or `spare`, whose first word has been taken.
pub fn statement(line: &mut Line, first: &str, fitting: &mut FittingData) {
    match first {
        "material" => {
            let told = material(line).unwrap_or_default();
            fitting.materials.extend(told);
        }
        "measured" => fitting.measured.extend(measured(line)),
        "stock" => fitting.stock.extend(stock(line)),
        "offcut" => fitting.offcuts.extend(offcut(line)),
        "kerf" => fitting.kerfs.extend(kerf(line)),
        _ => fitting.spare.extend(spare(line)),
    }
    line.finish();
}

/// `fitting NAME [NAME…]`, in a run.
pub fn step(line: &mut Line) -> Option<Vec<Name>> {
    let mut names = vec![line.name("a fitting")?];
    while !line.done() {
        names.push(line.name("another fitting")?);
    }
    Some(names)
}

/// `material SYSTEM[, SYSTEM…] NAME`.
fn material(line: &mut Line) -> Option<Vec<(System, Name, Span)>> {
    let mut systems = Vec::new();
    loop {
        let word = line.peek();
        let (text, _) = word.split_once(',').unwrap_or((word, ""));
        let Some(found) = system(text) else {
            not_a_system(line, text);
            return None;
        };
        systems.push((found, line.take(text.len())));
        let rest = line.rest();
        if rest.starts_with(',') {
            line.take(1);
        } else if line.peek().split(',').next().and_then(system).is_some() {
            line.missing("word-missing", "a comma");
        } else {
            break;
        }
    }
    let name = line.name("a material")?;
    let told = systems.into_iter();
    Some(
        told.map(|(system, span)| (system, name.clone(), span))
            .collect(),
    )
}

/// Says that a word is no system; nothing after it can be told.
fn not_a_system(line: &mut Line, text: &str) {
    let words = || System::ALL.into_iter().map(System::word);
    if text.is_empty() {
        line.missing("word-missing", "a system");
    } else {
        let span = line.ahead(text.len());
        let all: Vec<String> = words().map(|word| format!("`{word}`")).collect();
        let help = near::did_you_mean(text, words())
            .unwrap_or_else(|| format!("one of {}, then the material", all.join(", ")));
        let mistake = Diagnostic::mistake(
            "unknown-word",
            span,
            format!("`{}` is not a system", shown(text)),
        )
        .expected("expected a system")
        .help(help);
        line.report(mistake);
    }
    line.remainder();
}

/// `measured MATERIAL SIZE [x SIZE] FITTING [LEG] LENGTH`, `measured MATERIAL SIZE depth LENGTH`.
fn measured(line: &mut Line) -> Option<Measured> {
    let material = line.name("a material");
    let size = line.size();
    let two = line.eat("x");
    let other = if two { line.size() } else { None };
    let sockets = line.eat(Leg::Depth.word());
    let (fitting, leg) = if sockets {
        (None, Some(Leg::Depth))
    } else {
        let legs = LEGS.map(|(word, _)| word);
        let name = line.name_unless("a fitting", &legs);
        let leg = if line.done() || looks_like_amount(line.peek()) {
            None
        } else {
            Some(leg(line, name.as_ref())?)
        };
        (name, leg)
    };
    let length = line.positive("the length that was measured");
    let whole = two == other.is_some() && sockets == fitting.is_none();
    let told = Measured {
        material: material?,
        size: size?,
        other,
        fitting,
        leg,
        length: length?,
        span: line.whole(),
    };
    whole.then_some(told)
}

fn leg(line: &mut Line, fitting: Option<&Name>) -> Option<Leg> {
    let word = line.peek();
    if let Some(leg) = look_up(&LEGS, word) {
        line.word();
        return Some(leg);
    }
    let help = near::did_you_mean(word, LEGS.map(|(word, _)| word)).unwrap_or_else(|| {
        let all = LEGS.map(|(word, _)| format!("`{word}`")).join(", ");
        match fitting {
            Some(fitting) if is_name(word) => {
                let name = shown(&format!("{}-{word}", fitting.text));
                format!("one of {all}; a fitting's name is one word: `{name}`")
            }
            _ => format!("one of {all}"),
        }
    });
    line.wrong("unknown-word", "a leg of a fitting", Some(help));
    // What follows belongs to what was not understood.
    line.remainder();
    None
}

/// `stock MATERIAL [SIZE] LENGTH … [coil LENGTH …]`.
fn stock(line: &mut Line) -> Option<Stock> {
    let material = line.name("a material");
    let sized = sized(line.rest());
    let size = if sized { line.size() } else { None };
    let (mut bars, mut coil, mut whole) = (Vec::new(), false, sized == size.is_some());
    loop {
        if line.eat("coil") {
            coil = true;
        } else if near::nearest(line.peek(), ["coil"]).is_some() {
            let help = "did you mean `coil`?";
            line.wrong("unknown-word", "a length or `coil`", Some(help.to_owned()));
            (coil, whole) = (true, false);
        }
        let before = line.offset();
        match line.positive("a length in which it is bought") {
            Some(length) => bars.push(Bar { length, coil }),
            None => whole = false,
        }
        if line.done() || line.offset() == before {
            break;
        }
    }
    let told = Stock {
        material: material?,
        size,
        bars,
        span: line.whole(),
    };
    whole.then_some(told)
}

/// Whether a text begins with a size rather than the length of a bar.
fn sized(text: &str) -> bool {
    match Size::read(text) {
        Ok((Size::Inch { eighths }, _)) => eighths <= LARGEST.0,
        Ok((Size::Dn(mm), _)) => mm <= LARGEST.1 || text.starts_with(['D', 'd']),
        Err(_) => text.starts_with("DN"),
    }
}

/// `offcut MATERIAL SIZE LENGTH [xN]`.
fn offcut(line: &mut Line) -> Option<Offcut> {
    let material = line.name("a material");
    let size = if sized(line.rest()) || looks_like_amount(line.peek_second()) {
        line.size()
    } else {
        // The only amount is the length.
        line.missing("not-a-size", "a pipe size");
        None
    };
    let length = line.positive("the length of the offcut");
    let count = if line.done() { 1 } else { count(line)? };
    Some(Offcut {
        material: material?,
        size: size?,
        length: length?,
        count,
        span: line.whole(),
    })
}

/// `x2`.
fn count(line: &mut Line) -> Option<u32> {
    let digits = line.peek().strip_prefix('x').unwrap_or_default();
    let plain = digits.bytes().all(|byte| byte.is_ascii_digit());
    let number = digits.parse().ok().filter(|count| plain && *count > 0);
    let told = number.filter(|count| *count <= MOST);
    if told.is_some() {
        line.word();
    } else {
        let help = format!("for example `x2`; at most `x{MOST}`");
        line.wrong("not-a-number", "how many there are", Some(help));
    }
    told
}

/// `kerf [MATERIAL] LENGTH`.
fn kerf(line: &mut Line) -> Option<Kerf> {
    let of_all = looks_like_amount(line.peek()) || line.done();
    let material = if of_all {
        None
    } else {
        line.name("a material or a length")
    };
    let before = line.ahead(0);
    let length = line.length("what a cut takes")?;
    if length < Len::ZERO {
        let span = Span::new(before.start as usize, line.offset());
        let mistake =
            Diagnostic::mistake("below-zero", span, "a cut cannot take less than nothing")
                .expected("expected a length of 0 or more");
        line.report(mistake);
        return None;
    }
    let told = Kerf {
        material,
        length,
        span: line.whole(),
    };
    (of_all == told.material.is_none()).then_some(told)
}

/// `spare PERCENT [for SYSTEM|MATERIAL]`.
fn spare(line: &mut Line) -> Option<Spare> {
    let percent = percent(line);
    let mut of = SpareOf::All;
    if line.option(&["for"]).is_some() {
        let name = line.name("a system or a material")?;
        of = system(&name.text).map_or(SpareOf::Material(name), SpareOf::System);
    }
    Some(Spare {
        percent: percent?,
        of,
        span: line.whole(),
    })
}

/// `5 %`, from 0 to 100.
fn percent(line: &mut Line) -> Option<f64> {
    const WHAT: &str = "a percentage";
    let help = "for example `5 %`, from 0 to 100";
    let rest = line.rest();
    let Some((value, bytes)) = read_number(rest) else {
        line.wrong("not-a-percentage", WHAT, Some(help.to_owned()));
        line.eat("%");
        return None;
    };
    let begin = line.take(bytes);
    let marked = line.peek() == "%";
    let more = !line.done() && line.peek() != "for";
    let span = if more { begin.to(line.word().1) } else { begin };
    if marked && value <= 100.0 {
        return Some(value);
    }
    let text = &rest[..(span.end - span.start) as usize];
    let message = format!("`{}` is not {WHAT}", shown(text));
    let mistake = Diagnostic::mistake("not-a-percentage", span, message);
    line.report(mistake.expected(format!("expected {WHAT}")).help(help));
    None
}

/// What may be told once only.
#[derive(PartialEq, Eq, Hash)]
enum Once<'a> {
    Material(System),
    Measured(&'a str, Size, Option<Size>, Option<&'a str>, Option<Leg>),
    Kerf(Option<&'a str>),
    Spare,
    SpareOfSystem(System),
    SpareOfMaterial(&'a str),
}

/// Says what is told twice, the material of a system for example.
pub fn unique<'a>(fitting: &'a FittingData, found: &mut Vec<Diagnostic>) {
    let text = |name: &'a Name| name.text.as_str();
    let materials = fitting.materials.iter();
    let measured = fitting.measured.iter().map(|one| {
        let name = one.fitting.as_ref().map(text);
        let key = (one.material.text.as_str(), one.size, one.other);
        (
            Once::Measured(key.0, key.1, key.2, name, one.leg),
            "this dimension",
            one.span,
        )
    });
    let kerfs = fitting.kerfs.iter().map(|one| {
        let key = Once::Kerf(one.material.as_ref().map(text));
        (key, "this kerf", one.span)
    });
    let spare = fitting.spare.iter().map(|one| {
        let key = match &one.of {
            SpareOf::All => Once::Spare,
            SpareOf::System(system) => Once::SpareOfSystem(*system),
            SpareOf::Material(name) => Once::SpareOfMaterial(&name.text),
        };
        (key, "this spare", one.span)
    });
    let all = materials
        .map(|(system, _, span)| {
            (
                Once::Material(*system),
                "the material of this system",
                *span,
            )
        })
        .chain(measured)
        .chain(kerfs)
        .chain(spare);
    let mut said: HashMap<Once, Span> = HashMap::new();
    for (key, what, span) in all {
        if let Some(first) = said.get(&key) {
            let mistake =
                Diagnostic::mistake("said-twice", span, format!("{what} has been said already"))
                    .expected("expected this once in a job")
                    .note(*first, "said here first");
            found.push(mistake);
        } else {
            said.insert(key, span);
        }
    }
}
