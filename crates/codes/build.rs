//! Lists the data files, so that a code is added by its folder alone: `data/<code>/*.toml`.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

/// What a folder holds, in the order of the names.
fn sorted(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut found = fs::read_dir(folder)?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<io::Result<Vec<_>>>()?;
    found.sort();
    Ok(found)
}

fn name(path: &Path) -> &str {
    path.file_name()
        .and_then(|name| name.to_str())
        .unwrap_or("")
}

fn main() -> io::Result<()> {
    let wanted = |found: Result<String, env::VarError>| found.map_err(io::Error::other);
    let data = Path::new(&wanted(env::var("CARGO_MANIFEST_DIR"))?).join("data");
    println!("cargo::rerun-if-changed={}", data.display());
    let mut list = String::from("&[\n");
    for folder in sorted(&data)?.iter().filter(|path| path.is_dir()) {
        println!("cargo::rerun-if-changed={}", folder.display());
        let _ = writeln!(list, "({:?}, &[", name(folder));
        for file in sorted(folder)? {
            if file
                .extension()
                .is_some_and(|extension| extension == "toml")
            {
                let _ = writeln!(
                    list,
                    "({:?}, include_str!({:?})),",
                    name(&file),
                    file.to_string_lossy()
                );
            }
        }
        list.push_str("] as &[(&str, &str)]),\n");
    }
    list.push(']');
    let out = Path::new(&wanted(env::var("OUT_DIR"))?).join("packs.rs");
    fs::write(out, list)
}
