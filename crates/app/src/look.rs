//! What the page shows of a job, put together as one JSON object: only the parts that are asked for.

use serde::Deserialize;
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
use crate::plan::plan;
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
    /// The pipe whose size is to be explained.
    #[serde(default)]
    pub pipe: String,
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

/// The parts asked for. The drawing takes about as long as all others: both are worked out side by side.
pub fn look(work: &Work, wanted: &Wanted) -> Map<String, Value> {
    // Both need it.
    work.drawn();
    let parts = || wanted.parts.split(',').filter(|part| !part.is_empty());
    std::thread::scope(|scope| {
        let drawing = parts()
            .any(|part| part == "iso")
            .then(|| scope.spawn(|| iso(work, wanted)));
        let mut out = Map::new();
        for part in parts() {
            let value = match part {
                "text" => json!(work.text),
                "plan" => {
                    let index = line_index(&work.text);
                    let mut plan = plan(&work.built.job, work.drawn(), &index);
                    plan["clear"] = clear(work);
                    plan
                }
                "answer" => json!(answer(work)),
                "doubts" => doubts(work),
                "mistakes" => {
                    let index = line_index(&work.text);
                    json!(places::list(&index, &work.built.diagnostics))
                }
                "sizes" => sizes(work, wanted),
                "checks" => checks(work),
                "lists" => lists(work),
                _ => continue,
            };
            out.insert(part.to_owned(), value);
        }
        if let Some(drawing) = drawing {
            // It fails by a fault of ours alone; the rest is shown all the same.
            out.insert("iso".to_owned(), drawing.join().unwrap_or(Value::Null));
        }
        out
    })
}

/// Room that the code in force asks in front of a fixture that is stood or sat at, and to each side of its centre line.
fn clear(work: &Work) -> Value {
    let Some(judged) = &work.judged else {
        return Value::Null;
    };
    let room = |key: &str| limits::limit(&judged.pack, key);
    let by = room("fixture-front").map(|front| words::stands(&front.cite));
    json!({
        "front": room("fixture-front").map(|front| front.value),
        "side": room("fixture-side").map(|side| side.value),
        "by": by,
    })
}

/// The isometric as SVG, where it is seen from and why.
fn iso(work: &Work, wanted: &Wanted) -> Value {
    let network = work.drawn();
    if network.pipes.is_empty() && network.fixtures.is_empty() && network.building.walls.is_empty()
    {
        return Value::Null;
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
    let sheet = alone(
        network,
        &Alone {
            corner,
            systems,
            scale: Some(Scale(wanted.scale)).filter(|scale| (1..=1000).contains(&scale.0)),
            grid: wanted.grid,
            true_fall: wanted.true_fall,
        },
    );
    if sheet.size_mm.0 <= 0.0 || sheet.size_mm.1 <= 0.0 {
        return Value::Null;
    }
    json!({
        "corner": corner.word(), "name": corner.name(), "why": why,
        "size": [sheet.size_mm.0, sheet.size_mm.1],
        "words": sheet.description,
        "svg": wyeline_exchange::svg_in_page(&sheet),
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
