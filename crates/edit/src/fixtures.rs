//! Fixtures put, moved, turned, copied and repeated.

use wyeline_job::is_name;
use wyeline_job::model::{Compass, Fixture};

use crate::draft::Draft;
use crate::edit::Edit;
use crate::faces::{Stand, stand};
use crate::frame::Frame;
use crate::order::put;
use crate::plan::{Plan, scope};
use crate::words::{coarse, fine, place, read_compass};
use crate::{Refusal, Snap, Work};

/// The words of a fixture's line that tell its tag, level, place and the way it looks.
pub const TAG: usize = 1;
const LEVEL: usize = 3;
const PLACE: usize = 4;
const FACES: usize = 6;

/// Makes the edits that put fixtures.
pub fn apply<'p, 'a>(plan: &'p Plan<'a>, edit: &Edit) -> Result<Work<'p, 'a>, Refusal> {
    match edit {
        Edit::Fixture {
            kind,
            level,
            at,
            within,
            tag,
        } => new(plan, kind, level, (*at, *within), tag.as_deref()),
        Edit::Move { tag, at, within } => to(plan, tag, *at, *within),
        Edit::Turn { tag } => {
            let faces = plan.fixture(tag)?.faces;
            face(plan, tag, Compass::from_eighth(faces.eighth() + 2))
        }
        Edit::Face { tag, dir } => face(plan, tag, read_compass(dir)?),
        Edit::Copy {
            tag,
            level,
            at,
            within,
        } => copy(plan, tag, level, *at, *within),
        Edit::Repeat { tags, levels } => repeat(plan, tags, levels),
        _ => Err(Refusal::new("this puts no fixture", "choose a fixture")),
    }
}

/// What a stand snapped to.
fn snap(plan: &Plan<'_>, level: usize, stand: &Stand) -> Snap {
    let floor = plan
        .network
        .levels
        .get(level)
        .map_or(0.0, |level| level.floor);
    Snap {
        at: [stand.at[0].mm(), stand.at[1].mm(), floor],
        why: stand.why.clone(),
    }
}

fn new<'p, 'a>(
    plan: &'p Plan<'a>,
    kind: &str,
    level: &str,
    (at, within): ([f64; 2], f64),
    tag: Option<&str>,
) -> Result<Work<'p, 'a>, Refusal> {
    let row = Plan::kind(kind)?;
    let (ix, _) = plan.level(level)?;
    let stand = stand(plan, ix, row, at, within);
    let tag = match tag {
        Some(tag) if is_name(tag) => tag.to_owned(),
        Some(tag) => return Err(no_tag(tag)),
        // A tag begins with a letter: a 3CS is told as CS1.
        None => {
            let letters = row.letters.trim_start_matches(|c: char| !c.is_alphabetic());
            plan.free(letters).next().unwrap_or_default()
        }
    };
    let faces = stand.faces.unwrap_or(Compass::South);
    let words = format!(
        "fixture {tag} {kind} {level} {} faces {}",
        place(stand.at, plan.units()),
        faces.word()
    );
    Ok(stood(plan, words, snap(plan, ix, &stand)))
}

/// A fixture's words put where fixtures stand.
fn stood<'p, 'a>(plan: &'p Plan<'a>, words: String, snap: Snap) -> Work<'p, 'a> {
    let mut draft = Draft::new(&plan.page);
    put(plan, &mut draft, "fixture", &[words], false);
    Work {
        snap: Some(snap),
        ..Work::new(draft)
    }
}

/// The refusal of a word that names nothing.
pub fn no_tag(tag: &str) -> Refusal {
    Refusal::new(
        format!("`{tag}` is not a name"),
        "a name is letters, digits, - and _, and begins with a letter",
    )
}

/// The line of a fixture, whose words have to stand as the language orders them.
pub fn line_of(plan: &Plan<'_>, told: &Fixture) -> Result<u32, Refusal> {
    let line = plan.line(told.span);
    let words = plan.page.words(line);
    let ordered = words.len() > FACES && plan.page.cut(&words[FACES - 1]) == "faces";
    if ordered {
        return Ok(line);
    }
    Err(Refusal::new(
        format!("the line of {} has a mistake", told.tag.text),
        "mend it first",
    ))
}

/// Puts another word in the place of one; the words after it stay in their columns where they can.
fn reword(plan: &Plan<'_>, draft: &mut Draft<'_, '_>, line: u32, word: usize, new: &str) {
    let words = plan.page.words(line);
    let range = words[word].clone();
    let old = plan.page.cut(&range);
    if old == new {
        return;
    }
    match words.get(word + 1) {
        Some(next) => {
            let gap = plan.page.cut(&(range.end..next.start)).chars().count();
            let wide = old.chars().count() + gap;
            let pad = wide.saturating_sub(new.chars().count()).max(1);
            // A single space is no column.
            let pad = if gap == 1 { 1 } else { pad };
            draft.replace(range.start..next.start, format!("{new}{}", " ".repeat(pad)));
        }
        None => draft.replace(range, new),
    }
}

fn to<'p, 'a>(
    plan: &'p Plan<'a>,
    tag: &str,
    at: [f64; 2],
    within: f64,
) -> Result<Work<'p, 'a>, Refusal> {
    let told = plan.fixture(tag)?;
    let line = line_of(plan, told)?;
    let kind = Plan::kind(&told.kind.text)?;
    let (ix, _) = plan.level(&told.level.text)?;
    let frame = Frame::of(plan, scope(tag))?;
    let stand = stand(plan, ix, kind, at, within);
    let mut draft = Draft::new(&plan.page);
    let local = if scope(tag).is_empty() {
        stand.at
    } else {
        let local = frame.point(stand.at.map(wyeline_units::Len::mm));
        local.map(|part| fine(part, plan.units()))
    };
    reword(plan, &mut draft, line, PLACE, &place(local, plan.units()));
    if let Some(faces) = stand.faces.filter(|faces| *faces != told.faces) {
        reword(plan, &mut draft, line, FACES, frame.way(faces).word());
    }
    draft.choose(line);
    let snap = snap(plan, ix, &stand);
    Ok(Work {
        snap: Some(snap),
        ..Work::new(draft)
    })
}

fn face<'p, 'a>(plan: &'p Plan<'a>, tag: &str, faces: Compass) -> Result<Work<'p, 'a>, Refusal> {
    let told = plan.fixture(tag)?;
    let line = line_of(plan, told)?;
    let frame = Frame::of(plan, scope(tag))?;
    let mut draft = Draft::new(&plan.page);
    reword(plan, &mut draft, line, FACES, frame.way(faces).word());
    draft.choose(line);
    Ok(Work::new(draft))
}

/// A fixture's words with others for some of them; those of a group are told there alone.
fn words_with(plan: &Plan<'_>, told: &Fixture, new: &[(usize, String)]) -> Result<String, Refusal> {
    let tag = &told.tag.text;
    if !scope(tag).is_empty() {
        return Err(Refusal::new(
            format!("{tag} belongs to a placed group"),
            "place the group once more, or add a fixture",
        ));
    }
    let line = line_of(plan, told)?;
    let words = plan.page.words(line);
    let one = |(k, range)| {
        let new = new.iter().find(|(word, _)| *word == k);
        new.map_or(plan.page.cut(range), |(_, new)| new.as_str())
    };
    let all: Vec<&str> = words.iter().enumerate().map(one).collect();
    Ok(all.join(" "))
}

/// A tag's letters, without the number behind them.
fn letters(tag: &str) -> &str {
    let letters = tag.trim_end_matches(|c: char| c.is_ascii_digit());
    if letters.is_empty() { tag } else { letters }
}

fn copy<'p, 'a>(
    plan: &'p Plan<'a>,
    tag: &str,
    level: &str,
    at: [f64; 2],
    within: f64,
) -> Result<Work<'p, 'a>, Refusal> {
    let told = plan.fixture(tag)?;
    let (ix, _) = plan.level(level)?;
    let stand = stand(plan, ix, Plan::kind(&told.kind.text)?, at, within);
    let faces = stand.faces.unwrap_or(told.faces);
    let new = plan.free(letters(tag)).next().unwrap_or_default();
    let words = words_with(
        plan,
        told,
        &[
            (TAG, new),
            (LEVEL, level.to_owned()),
            (PLACE, place(stand.at, plan.units())),
            (FACES, faces.word().to_owned()),
        ],
    )?;
    Ok(stood(plan, words, snap(plan, ix, &stand)))
}

fn repeat<'p, 'a>(
    plan: &'p Plan<'a>,
    tags: &[String],
    levels: &[String],
) -> Result<Work<'p, 'a>, Refusal> {
    let mut lines = Vec::new();
    let mut given: Vec<String> = Vec::new();
    for level in levels {
        plan.level(level)?;
        for tag in tags {
            let told = plan.fixture(tag)?;
            let mut free = plan.free(letters(tag));
            let new = free.find(|name| !given.contains(name)).unwrap_or_default();
            given.push(new.clone());
            lines.push(words_with(
                plan,
                told,
                &[(TAG, new), (LEVEL, level.clone())],
            )?);
        }
    }
    if lines.is_empty() {
        return Err(Refusal::new(
            "nothing is chosen to be repeated",
            "choose fixtures and levels",
        ));
    }
    let mut draft = Draft::new(&plan.page);
    put(plan, &mut draft, "fixture", &lines, false);
    Ok(Work::new(draft))
}

/// A point of the plan at whole inches or centimetres.
pub fn whole(plan: &Plan<'_>, at: [f64; 2]) -> [wyeline_units::Len; 2] {
    at.map(|part| coarse(part, plan.units()))
}
