//! What the tests of packs share.

use std::fs;
use std::path::Path;

use wyeline_codes::{Pack, Table};

/// The files of a folder, from the crate's own, by name.
pub fn folder(path: &str) -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let mut files: Vec<_> = fs::read_dir(folder)
        .expect("the folder")
        .map(|entry| {
            let path = entry.expect("a file").path();
            let name = path.file_name().expect("a name");
            let name = name.to_string_lossy().into_owned();
            (name, fs::read_to_string(&path).expect("its text"))
        })
        .collect();
    files.sort();
    files
}

/// A code that is held.
pub fn pack(id: &str) -> &'static Pack {
    Pack::named(id).expect("a code that is held")
}

/// A table that the code holds.
pub fn table<'a>(pack: &'a Pack, name: &str) -> &'a Table {
    pack.tables()
        .find(|table| table.name() == name)
        .unwrap_or_else(|| panic!("{} holds no {name}", pack.id()))
}

/// A cell as printed with its citation, by the key that an amendment would use.
pub fn cell(pack: &Pack, name: &str, key: &str) -> (String, String) {
    let table = table(pack, name);
    let cells = (0..table.rows.len())
        .flat_map(|row| (0..table.columns.len()).map(move |column| (row, column)));
    let (row, column) = cells
        .into_iter()
        .find(|&(row, column)| table.key(row, column) == key)
        .unwrap_or_else(|| panic!("{name} has no {key}"));
    let cell = &table.rows[row].cells[column];
    (cell.value.to_string(), cell.cite.to_string())
}

/// Checks values against what the source prints: table, key, value, citation.
#[track_caller]
pub fn check_spots(pack: &Pack, spots: &[(&str, &str, &str, &str)]) {
    for (name, key, value, cite) in spots {
        let found = cell(pack, name, key);
        assert_eq!((&*found.0, &*found.1), (*value, *cite), "{name}: {key}");
    }
}

/// Every table that the code holds is looked at by at least two spots.
#[track_caller]
pub fn all_spotted(pack: &Pack, spots: &[(&str, &str, &str, &str)]) {
    for table in pack.tables() {
        let looked = spots.iter().filter(|(name, ..)| *name == table.name());
        assert!(
            looked.count() >= 2.min(table.rows.len()),
            "{} is not looked at",
            table.name()
        );
    }
}
