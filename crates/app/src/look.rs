//! What the page shows of a job, part by part as JSON: only the parts that are asked for.

use kurbo::Rect;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};
use wyeline_checks::limits;
use wyeline_draw::{Corner, Part};
use wyeline_fit::list::{Cell, List};
use wyeline_fit::marks;
use wyeline_job::line_index;
use wyeline_job::model::System;
use wyeline_sheet::{Alone, alone};
use wyeline_units::Scale;
use wyeline_whole::{findings, places, sized_json, words};

use crate::answer::answer;
use crate::plan::{Clear, plan};
use crate::said::{Part as Written, Said};
use crate::work::Work;

/// What is asked for.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wanted {
    /// Parts by their names, with commas between: `text`, `plan`, `iso`, `answer`, `doubts`, `mistakes`, `sizes`, `checks`,
    /// `lists`.
    #[serde(default)]
    pub parts: String,
    /// `sw`, `se`, `ne`, `nw`; the best where empty.
    #[serde(default)]
    pub corner: String,
    /// Systems shown, with commas between; all where empty.
    #[serde(default)]
    pub systems: String,
    /// The scale's ratio; the one at which it is seen at once where 0.
    #[serde(default)]
    pub scale: u32,
    /// The grid behind.
    #[serde(default)]
    pub grid: bool,
    /// Falls as they lie.
    #[serde(default)]
    pub true_fall: bool,
    /// Where a drawing with more words than can be read at once is looked at from near: left, top, right and bottom on its paper, mm from
    /// the job's origin, and the ratio of the scale at which they are measured, with commas between; empty where it is seen as a whole.
    #[serde(default)]
    pub seen: String,
    /// The pipe whose size is to be explained.
    #[serde(default)]
    pub pipe: String,
    /// Parts that the page holds, as `part:mark`, with commas between: they are told only where they are others now.
    #[serde(default)]
    pub held: String,
}

/// The corner of that word.
pub fn corner(word: &str) -> Option<Corner> {
    Corner::ALL.into_iter().find(|corner| corner.word() == word)
}

/// The systems named; unknown words name none.
pub fn systems(words: &str) -> Vec<System> {
    let known = |word: &str| System::ALL.into_iter().find(|system| system.word() == word);
    words.split(',').filter_map(known).collect()
}

/// A place on the paper, and the scale at which it is measured.
fn seen(words: &str) -> Option<(Rect, Scale)> {
    let numbers: Option<Vec<f64>> = words.split(',').map(|one| one.parse().ok()).collect();
    match numbers?[..] {
        [x0, y0, x1, y1, scale]
            if [x0, y0, x1, y1].iter().all(|at| at.is_finite()) && (1.0..=1e6).contains(&scale) =>
        {
            Some((Rect::new(x0, y0, x1, y1), Scale(scale as u32)))
        }
        _ => None,
    }
}

/// The parts asked for. The drawing takes about as long as all others: both are worked out side by side.
pub fn look(work: &Work, wanted: &Wanted) -> Said {
    // Both need it.
    work.drawn();
    let parts = || wanted.parts.split(',').filter(|part| !part.is_empty());
    std::thread::scope(|scope| {
        let drawing = parts()
            .any(|part| part == "iso")
            .then(|| scope.spawn(|| Written::new("iso", &iso(work, wanted))));
        let mut out = Said::default();
        let index = line_index(&work.text);
        for name in parts() {
            let part = match name {
                "text" => Written::new(name, &work.text),
                "plan" => {
                    let plan = plan(&work.built.job, work.drawn(), &index, clear(work));
                    Written::new(name, &plan)
                }
                "answer" => Written::new(name, &answer(work)),
                "doubts" => Written::new(name, &doubts(work)),
                "mistakes" => Written::new(name, &places::list(&index, &work.built.diagnostics)),
                "sizes" => Written::new(name, &sizes(work, wanted)),
                "checks" => Written::new(name, &checks(work)),
                "lists" => Written::new(name, &lists(work)),
                _ => continue,
            };
            out.part(part, &wanted.held);
        }
        if let Some(drawing) = drawing {
            // It fails by a fault of ours alone; the rest is shown all the same.
            let drawing = drawing.join().unwrap_or_else(|_| Written::new("iso", &()));
            out.part(drawing, &wanted.held);
        }
        out
    })
}

/// Room that the code in force asks in front of a fixture that is stood or sat at, and to each side of its centre line.
fn clear(work: &Work) -> Option<Clear> {
    let judged = work.judged.as_ref()?;
    let room = |key: &str| limits::limit(&judged.pack, key);
    let front = room("fixture-front");
    Some(Clear {
        by: front.as_ref().map(|front| words::stands(&front.cite)),
        front: front.map(|front| front.value),
        side: room("fixture-side").map(|side| side.value),
    })
}

/// The isometric as the page is told of it.
#[derive(Serialize)]
struct Iso {
    corner: &'static str,
    name: &'static str,
    why: Option<String>,
    /// Width and height of its paper, mm.
    size: (f64, f64),
    words: String,
    /// More words than can be read at once: only those about what is looked at from near stand there.
    crowded: bool,
    svg: String,
}

/// The isometric as SVG, where it is seen from and why.
fn iso(work: &Work, wanted: &Wanted) -> Option<Iso> {
    let network = work.drawn();
    if network.pipes.is_empty() && network.fixtures.is_empty() && network.building.walls.is_empty()
    {
        return None;
    }
    let systems = systems(&wanted.systems);
    let part = Part {
        systems: systems.clone(),
        ..Part::default()
    };
    let told = corner(&wanted.corner);
    // The corner of a picture chosen by itself is judged at the usual scale of a house.
    let usual = Scale(if network.units.is_metric() { 50 } else { 48 });
    let (corner, why) = told.map_or_else(
        || {
            let choice = wyeline_draw::best::best(network, &part, usual);
            (choice.corner, Some(choice.reason))
        },
        |corner| (corner, None),
    );
    let screen = alone(
        network,
        &Alone {
            corner,
            systems,
            scale: Some(Scale(wanted.scale)).filter(|scale| (1..=1000).contains(&scale.0)),
            grid: wanted.grid,
            true_fall: wanted.true_fall,
            seen: seen(&wanted.seen),
        },
    );
    let sheet = screen.sheet;
    if sheet.size_mm.0 <= 0.0 || sheet.size_mm.1 <= 0.0 {
        return None;
    }
    Some(Iso {
        corner: corner.word(),
        name: corner.name(),
        why,
        size: sheet.size_mm,
        svg: wyeline_exchange::svg_in_page(&sheet),
        words: sheet.description,
        crowded: screen.crowded,
    })
}

/// Heights that are assumed, unknown or unverified.
fn doubts(work: &Work) -> Value {
    let doubts = work.drawn().doubts.iter();
    let doubts =
        doubts.map(|one| json!({ "text": one.text, "why": one.why.word(), "line": one.line }));
    doubts.collect()
}

fn sizes(work: &Work, wanted: &Wanted) -> Value {
    let Some(judged) = &work.judged else {
        return not_in_force(work);
    };
    match words::pipe_named(&work.built.network, &wanted.pipe) {
        Some(pipe) => sized_json::pipe(&work.built, judged, pipe),
        None => sized_json::all(&work.built, judged),
    }
}

fn checks(work: &Work) -> Value {
    let (Some(judged), Some(checked)) = (&work.judged, &work.checked) else {
        return not_in_force(work);
    };
    let network = &work.built.network;
    let mut all = findings::to_json(&work.text, network, &judged.sized, checked);
    all["summary"] = json!(findings::summary(checked));
    all["looked"] = json!(findings::looked_at(checked));
    all["caution"] = json!(words::closing(&judged.pack));
    if words::has_gas(network) {
        all["gas_caution"] = json!(words::GAS);
    }
    all
}

fn not_in_force(work: &Work) -> Value {
    let why = work.no_code.as_ref();
    json!({
        "none": why.map_or("", |why| &why.message),
        "help": why.and_then(|why| why.help.as_deref()),
    })
}

fn lists(work: &Work) -> Value {
    let (listed, mistakes) = work.listed();
    let index = line_index(&work.text);
    let lists = listed.all(&work.built);
    let lists = lists.iter().filter(|list| !list.is_empty()).map(list);
    let pipes = marks::at_pipes(&listed.network, &listed.fitted, &listed.marks);
    let pipes: Map<String, Value> = pipes
        .into_iter()
        .map(|(pipe, mark)| (listed.network.pipe(pipe).id.clone(), json!(mark)))
        .collect();
    json!({
        "lists": lists.collect::<Vec<_>>(),
        "marks": pipes,
        "mistakes": places::list(&index, mistakes),
        "caution": words::LISTS,
        "gas_caution": words::has_gas(&work.built.network).then_some(words::GAS),
    })
}

/// A list as it is printed.
fn list(list: &List) -> Value {
    let shown = |rows: &[Vec<Cell>]| -> Value {
        let row = |row: &Vec<Cell>| row.iter().map(Cell::shown).collect::<Vec<_>>();
        rows.iter().map(row).collect()
    };
    let groups = list.groups.iter().map(|group| {
        json!({ "name": group.name, "rows": shown(&group.rows), "totals": shown(&group.totals) })
    });
    let columns = list.columns.iter();
    let columns = columns
        .map(|column| json!({ "key": column.key, "head": column.head, "right": column.right() }));
    json!({
        "id": list.id, "title": list.title,
        "columns": columns.collect::<Vec<_>>(), "groups": groups.collect::<Vec<_>>(),
        "notes": list.notes,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_five_numbers_or_none() {
        assert_eq!(
            seen("-1,2,3.5,4,96"),
            Some((Rect::new(-1.0, 2.0, 3.5, 4.0), Scale(96)))
        );
        for odd in [
            "",
            "1,2,3,4",
            "1,2,3,4,0",
            "1,2,nan,4,96",
            "1,2,inf,4,96",
            "a,b,c,d,e",
        ] {
            assert_eq!(seen(odd), None, "{odd:?}");
        }
    }
}
