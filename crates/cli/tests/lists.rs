//! The lists of `materials`, `cuts` and `roughin` on every example: one content in every form, and sums that come out.

mod common;

use std::collections::BTreeMap;
use std::io::Cursor;

use calamine::{Data, Reader, Xlsx};
use common::{examples, root, run, run_in};
use serde_json::Value;
use wyeline_codes::Pack;
use wyeline_job::Job;
use wyeline_network::Network;
use wyeline_units::{Len, UnitSystem};

const VERBS: [&str; 3] = ["materials", "cuts", "roughin"];
/// 1/32 in, mm: a cut printed to 1/16 in is off by no more.
const HALF_A_SIXTEENTH: f64 = 25.4 / 32.0;

fn file(example: &str) -> String {
    format!("examples/{example}.wye")
}

/// What a verb says of an example as JSON, and how it ended.
fn json(verb: &str, example: &str) -> Value {
    let ran = run(&[verb, &file(example), "--json"]);
    assert!(ran.code < 2, "{verb} {example}: {}", ran.err);
    let all: Value = serde_json::from_str(ran.text()).expect("JSON");
    let mistakes = all["mistakes"].as_array().expect("a list");
    let wrong = mistakes.iter().any(|one| one["severity"] == "mistake");
    assert_eq!(ran.code, i32::from(wrong), "{verb} {example}: {}", ran.err);
    all
}

fn list<'a>(all: &'a Value, id: &str) -> &'a Value {
    let lists = all["lists"].as_array().expect("lists");
    let found = lists.iter().find(|list| list["id"] == id);
    found.unwrap_or_else(|| panic!("no list {id}"))
}

fn rows<'a>(all: &'a Value, id: &str) -> &'a [Value] {
    list(all, id)["rows"].as_array().expect("rows")
}

/// What a column of a spreadsheet has to say by the JSON: `cut_mm` of `{ "cut": { "mm": … } }`.
fn expected(row: &Value, column: &str) -> Value {
    if let Some(value) = row.get(column) {
        return match value {
            Value::Object(figure) => figure["shown"].clone(),
            value => value.clone(),
        };
    }
    let (key, part) = column.rsplit_once('_').expect("a figure's column");
    row[key].get(part).cloned().unwrap_or(Value::Null)
}

/// A cell of a spreadsheet says the same as the JSON.
#[track_caller]
fn same(cell: &str, value: &Value, at: &str) {
    match value {
        Value::Null => assert_eq!(cell, "", "{at}"),
        Value::String(words) => assert_eq!(cell, words, "{at}"),
        value => {
            let number = value.as_f64().expect("a number");
            let read: f64 = cell.parse().unwrap_or_else(|_| panic!("{at}: {cell}"));
            // Figures are written to a millionth of a millimetre.
            assert!((read - number).abs() <= 1e-6, "{at}: {cell}, {number}");
        }
    }
}

#[test]
fn csv_says_what_json_says() {
    for example in examples() {
        for verb in VERBS {
            let all = json(verb, &example);
            let id = all["lists"][0]["id"].as_str().expect("a name").to_owned();
            let ran = run(&[verb, &file(&example), "--csv", "--list", &id]);
            let mut reader = csv_rows(ran.text()).into_iter();
            let heads = reader.next().expect("a line of names");
            let rows = rows(&all, &id);
            let read: Vec<Vec<String>> = reader.collect();
            assert_eq!(read.len(), rows.len(), "{verb} {example}");
            for (cells, row) in read.iter().zip(rows) {
                for (head, cell) in heads.iter().zip(cells) {
                    same(
                        cell,
                        &expected(row, head),
                        &format!("{verb} {example} {head}"),
                    );
                }
            }
        }
    }
}

/// Reads CSV as RFC 4180 has it: by quotes, written out here so that nothing of the writer is trusted.
fn csv_rows(text: &str) -> Vec<Vec<String>> {
    let (mut rows, mut row, mut cell) = (Vec::new(), Vec::new(), String::new());
    let mut quoted = false;
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        match (letter, quoted) {
            ('"', true) if letters.peek() == Some(&'"') => {
                letters.next();
                cell.push('"');
            }
            ('"', _) => quoted = !quoted,
            (',', false) => row.push(std::mem::take(&mut cell)),
            ('\r', false) => {}
            ('\n', false) => {
                row.push(std::mem::take(&mut cell));
                rows.push(std::mem::take(&mut row));
            }
            (letter, _) => cell.push(letter),
        }
    }
    assert!(
        !quoted && cell.is_empty() && row.is_empty(),
        "the last line ends"
    );
    rows
}

/// One workbook holds the lists of all verbs; another reader finds every row in it.
#[test]
fn a_workbook_holds_all_lists() {
    let folder = tempfile::tempdir().unwrap();
    for example in ["heron-cottage", "family-bath-water", "bakery-waste"] {
        let path = folder.path().join("lists.xlsx");
        let path = path.to_str().unwrap();
        run(&["materials", &file(example), "-o", path]);
        let bytes = std::fs::read(path).unwrap();
        let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).expect("a workbook");
        let mut found = 0;
        for verb in VERBS {
            for list in json(verb, example)["lists"].as_array().unwrap() {
                let rows = list["rows"].as_array().unwrap();
                if rows.is_empty() {
                    continue;
                }
                found += 1;
                let title = list["title"].as_str().unwrap();
                let sheet = book.worksheet_range(title).expect("a sheet of that name");
                let mut lines = sheet.rows();
                let heads = lines.next().expect("a line of names").iter();
                let heads: Vec<String> = heads.map(ToString::to_string).collect();
                for row in rows {
                    let cells = lines.next().expect("a line for each row");
                    for (head, cell) in heads.iter().zip(cells) {
                        let value = expected(row, &head.replace(' ', "_"));
                        let at = format!("{example} {title} {head}");
                        assert!(!value.is_number() || matches!(cell, Data::Float(_)), "{at}");
                        same(&cell.to_string(), &value, &at);
                    }
                }
            }
        }
        assert_eq!(book.sheet_names().len(), found, "{example}");
    }
}

/// A job, its network with sizes, and its fittings.
fn fitted(example: &str) -> (Job, Network, wyeline_fit::Fitted) {
    let text = std::fs::read_to_string(root().join(file(example))).unwrap();
    let job = wyeline_job::read(&text).job;
    let mut network = wyeline_network::build(&job, &text).network;
    let pack = job.code.as_ref().and_then(|code| Pack::named(&code.text));
    let sized = pack.map(|pack| wyeline_sizing::size(&job, &network, pack));
    if let Some(sized) = &sized {
        let pipes = sized.pipes.iter();
        let sizes: Vec<_> = pipes
            .map(|pipe| pipe.size.filter(|_| !pipe.stated))
            .collect();
        network = wyeline_network::with_sizes(network, &sizes);
    }
    let (fitted, _) = wyeline_fit::fit(&job, &network, pack.zip(sized.as_ref()));
    (job, network, fitted)
}

/// What is cut and what fittings and couplings take make up each centre line, to a millionth of a millimetre.
#[test]
fn pieces_and_allowances_make_up_the_centre_lines() {
    let mut checked = 0;
    for example in examples() {
        let (_, network, fitted) = fitted(&example);
        for straight in &fitted.straights {
            // Along the pipes themselves, not as the straight tells it.
            let centre: f64 = straight
                .pipes
                .iter()
                .map(|&pipe| {
                    let (a, b) = network.true_ends(network.pipe(pipe));
                    a.distance(b)
                })
                .sum();
            let takeouts = straight
                .takeouts
                .iter()
                .map(wyeline_fit::model::Takeout::mm);
            let taken: Option<f64> = takeouts.sum();
            let cuts: Option<f64> = straight.pieces.iter().map(|piece| piece.cut_mm).sum();
            let (Some(taken), Some(cuts)) = (taken, cuts) else {
                continue;
            };
            let between: f64 = straight.coupling_mm.iter().map(|part| part.mm).sum();
            let sum = cuts + taken + between;
            assert!((sum - centre).abs() < 1e-6, "{example}: {sum}, {centre}");
            checked += 1;
        }
    }
    assert!(checked > 100, "{checked}");
}

/// A length as printed, its sign for an estimate taken off.
#[track_caller]
fn read(shown: &str, units: UnitSystem) -> Len {
    let text = shown.trim_start_matches("~ ");
    let read = Len::read(text, units).unwrap_or_else(|error| panic!("{text}: {error}"));
    assert_eq!(read.bytes, text.len(), "{text}");
    read.len
}

/// A cut is printed to 1/16 in or 1 mm, so that it is off by half of that at most; sums are those of
/// what is not rounded, without pieces that are too short to be set.
#[test]
fn what_is_printed_is_near_what_was_worked_out() {
    for example in examples() {
        let units = fitted(&example).0.units;
        let all = json("cuts", &example);
        let mut sums: BTreeMap<&str, f64> = BTreeMap::new();
        for row in rows(&all, "pieces") {
            let Some(mm) = row["cut"]["mm"].as_f64() else {
                assert_eq!(row["cut"], "?", "{example}");
                continue;
            };
            let shown = row["cut"]["shown"].as_str().unwrap();
            let off = (read(shown, units).mm() - mm).abs();
            let most = if units.is_metric() {
                0.5
            } else {
                HALF_A_SIXTEENTH
            };
            assert!(off <= most + 1e-4, "{example}: {shown}, {mm}");
            let remark = row["remark"].as_str();
            if remark.is_some_and(|said| said.contains("TOO SHORT")) {
                continue;
            }
            *sums.entry(row["group"].as_str().unwrap()).or_default() += mm;
        }
        for total in list(&all, "pieces")["totals"].as_array().unwrap() {
            let sum = sums[total["group"].as_str().unwrap()];
            let shown = read(total["cut"]["shown"].as_str().unwrap(), units).mm();
            assert!((shown - sum).abs() <= 2.0 * HALF_A_SIXTEENTH, "{example}");
        }
    }
}

/// Each bar is its pieces, what cuts and trimming take, and what is left, exactly; each piece is laid once, as long as
/// it is printed, or said not to be laid.
#[test]
fn bars_come_out_exactly() {
    let mut laid = 0;
    for example in examples() {
        let units = fitted(&example).0.units;
        let all = json("cuts", &example);
        let printed = rows(&all, "pieces").iter().map(|row| {
            let cut = row["cut"].get("shown").and_then(Value::as_str);
            (
                row["piece"].as_str().unwrap(),
                cut.map(|cut| read(cut, units)),
            )
        });
        let mut printed: BTreeMap<&str, Option<Len>> = printed.collect();
        let length = |row: &Value, key: &str| Len::from_mm(row[key]["mm"].as_f64().unwrap());
        for bar in rows(&all, "bars") {
            let mut sum = length(bar, "kerf") + length(bar, "trim") + length(bar, "left");
            for piece in bar["pieces"].as_str().unwrap().split(", ") {
                let (mark, cut) = piece.split_once(' ').expect("a mark and a length");
                let cut = read(cut, units);
                assert_eq!(printed.remove(mark), Some(Some(cut)), "{example} {mark}");
                sum += cut;
                laid += 1;
            }
            assert_eq!(sum, length(bar, "stock"), "{example} {bar}");
        }
        let notes = list(&all, "bars")["notes"].to_string();
        let told = marks('P', &notes);
        for mark in printed.into_keys() {
            let number: u32 = mark[1..].parse().unwrap();
            assert!(told.contains(&number), "{example}: {mark}: {notes}");
        }
    }
    assert!(laid > 100, "{laid}");
}

/// Every mark that the list for the counter leads back to is on the list for the saw or stands at a fitting.
#[test]
fn materials_lead_back_to_pieces() {
    let cuts = json("cuts", "heron-cottage");
    let pieces: Vec<&str> = rows(&cuts, "pieces")
        .iter()
        .map(|row| row["piece"].as_str().unwrap())
        .collect();
    let materials = json("materials", "heron-cottage");
    let pipe = rows(&materials, "materials")
        .iter()
        .filter(|row| row["group"] == "Pipe");
    let mut found = 0;
    for row in pipe {
        for marks in row["marks"].as_str().unwrap().split(", ") {
            let (first, last) = marks.split_once('-').unwrap_or((marks, marks));
            let number = |mark: &str| mark[1..].parse::<u32>().unwrap();
            for at in number(first)..=number(last) {
                assert!(pieces.contains(&format!("P{at}").as_str()), "P{at}");
                found += 1;
            }
        }
    }
    assert!(found > 0);
}

/// A length of 2 ft between two sanitary tees of 3 in leaves something to cut; of 3 in it does not.
#[test]
fn what_does_not_go_is_told_at_its_place() {
    let job = "job Short\nunits ft-in\ncode ipc-2021\nlevel main floor 0' ceiling 8'\n\
               waste d\n  start 0',0' main floor -3'\n  size 3\"\n  material pvc\n  east 5'\n  north 3\"\n  east 5'\n  cap\n";
    let ran = run_in(&root(), &["cuts", "-"], job.as_bytes());
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(ran.err.contains("piece-too-short"), "{}", ran.err);
    // The step `north 3"` is line 10.
    assert!(ran.err.contains("standard input:10:"), "{}", ran.err);
    let longer = job.replace("north 3\"", "north 2'");
    let ran = run_in(&root(), &["cuts", "-"], longer.as_bytes());
    assert_eq!(ran.code, 0, "{}", ran.err);
}

#[test]
fn what_cannot_be_listed_ends_with_2() {
    let heron = file("heron-cottage");
    for arguments in [
        &["cuts", "no-such-file.wye"][..],
        &["cuts", &heron, "--list", "nonsense"],
        &["cuts", &heron, "--piece", "P9999"],
        &["cuts", &heron, "-o", "cuts.doc"],
        &["materials", &heron, "--json", "--csv"],
    ] {
        let ran = run(arguments);
        assert_eq!(ran.code, 2, "{arguments:?}: {}", ran.err);
        assert!(!ran.err.is_empty(), "{arguments:?}");
    }
}

/// By phase the same amounts are counted as whole.
#[test]
fn phases_add_up_to_the_whole() {
    let pipe = |arguments: &[&str]| {
        let ran = run(arguments);
        let all: Value = serde_json::from_str(ran.text()).unwrap();
        let rows = rows(&all, "materials").iter();
        let pipe = rows.filter(|row| row["group"].as_str().unwrap().ends_with("Pipe"));
        pipe.map(|row| row["amount"]["value"].as_f64().unwrap())
            .sum::<f64>()
    };
    let heron = file("heron-cottage");
    let whole = pipe(&["materials", &heron, "--json"]);
    assert!(whole > 0.0);
    for by in ["phase", "system", "level"] {
        let parts = pipe(&["materials", &heron, "--json", "--by", by]);
        assert!((parts - whole).abs() < 1e-6, "{by}: {parts}, {whole}");
    }
}

/// All lettering of a drawing.
fn lettering(svg: &str) -> String {
    let texts = svg.split("<text ").skip(1);
    let words = texts.filter_map(|text| text.split(['>', '<']).nth(1));
    words.collect::<Vec<_>>().join(" ")
}

/// Numbers of the marks of a letter in a text: `P12` is one, `P3-P5` are three.
fn marks(letter: char, text: &str) -> Vec<u32> {
    let words = text.split(|c: char| !c.is_ascii_alphanumeric() && c != '-');
    let number = |mark: &str| mark.strip_prefix(letter)?.parse::<u32>().ok();
    let read = |word: &str| {
        let (first, last) = word.split_once('-').unwrap_or((word, word));
        Some(number(first)?..=number(last)?)
    };
    words.filter_map(read).flatten().collect()
}

/// The lists stand on sheets after the drawings, and every piece and fitting on them is marked in the drawings.
#[test]
fn lists_and_marks_are_drawn() {
    let folder = tempfile::tempdir().unwrap();
    let heron = file("heron-cottage");
    let sheets = |name: &str, more: &[&str]| {
        let path = folder.path().join(format!("{name}.svg"));
        let out = path.to_str().unwrap();
        let ran = run(&[&["draw", &heron, "-q", "-o", out], more].concat());
        assert!(ran.code < 2, "{}", ran.err);
        let mut all = vec![std::fs::read_to_string(&path).unwrap()];
        while let Ok(next) =
            std::fs::read_to_string(folder.path().join(format!("{name}-{}.svg", all.len() + 1)))
        {
            all.push(next);
        }
        all
    };
    let is_list = |sheet: &String| sheet.contains("class=\"schedule\"");
    let (lists, drawings): (Vec<_>, Vec<_>) = sheets("marked", &["--marks", "--lists"])
        .into_iter()
        .partition(is_list);
    let (lists, drawings) = (lettering(&lists.concat()), lettering(&drawings.concat()));
    let cuts = json("cuts", "heron-cottage");
    let [drawn, listed] = [&drawings, &lists].map(|text| marks('P', text));
    for row in rows(&cuts, "pieces") {
        let mark: u32 = row["piece"].as_str().unwrap()[1..].parse().unwrap();
        assert!(drawn.contains(&mark), "P{mark} in the drawings");
        assert!(listed.contains(&mark), "P{mark} on the lists");
    }
    let drawn = marks('F', &drawings);
    let materials = json("materials", "heron-cottage");
    let fittings = rows(&materials, "materials").iter();
    let mut found = 0;
    for row in fittings.filter(|row| row["group"] == "Fittings") {
        let numbers = marks('F', row["marks"].as_str().unwrap());
        // As many as are counted, each to be found.
        assert_eq!(
            row["amount"]["value"].as_f64(),
            Some(numbers.len() as f64),
            "{row}"
        );
        assert!(numbers.iter().all(|mark| drawn.contains(mark)), "{row}");
        found += numbers.len();
    }
    assert!(found > 20, "{found}");
    let plain = sheets("plain", &[]);
    assert!(!plain.iter().any(is_list));
    assert!(marks('F', &lettering(&plain.concat())).is_empty());
}
