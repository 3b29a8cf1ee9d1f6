//! `wyeline open`: the drafting table in the browser.

use std::path::{Path, PathBuf};

use directories::ProjectDirs;
use wyeline_app::{Served, Table, serve};

use crate::args::Open;
use crate::{FINE, Failure, output};

/// Serves the page until it is stopped.
pub fn open(args: &Open) -> Result<u8, Failure> {
    let (folder, job) = match &args.job {
        None => (PathBuf::from("."), None),
        Some(path) => {
            let name = path.file_name().and_then(|name| name.to_str());
            let name = name.ok_or_else(|| format!("{} is no job's file", path.display()))?;
            let folder = path.parent().filter(|folder| *folder != Path::new(""));
            (
                folder.unwrap_or(Path::new(".")).to_owned(),
                Some(name.to_owned()),
            )
        }
    };
    let table = Table {
        folder,
        job,
        port: args.port,
        browser: !args.no_browser,
        share: args.share,
        recent: recent(),
    };
    // Whoever reads the addresses may go away: the page is served all the same.
    serve(table, |served| drop(output::print(told(served).as_bytes())))
        .map_err(|error| Failure::Words(format!("nothing opened: {error}")))?;
    Ok(FINE)
}

/// Where jobs lately opened are listed.
fn recent() -> Option<PathBuf> {
    let folders = ProjectDirs::from("", "", "wyeline")?;
    let folder = folders
        .state_dir()
        .unwrap_or_else(|| folders.data_local_dir());
    Some(folder.join("recent.json"))
}

/// The addresses, and what sharing means.
fn told(served: &Served) -> String {
    let mut words = format!("{}\n", served.address);
    if let Some((address, picture)) = &served.shared {
        words.push_str(
            "\nShared, read-only, with whoever is on this network and has this address. It is not encrypted: on a network that \
             is not yours, others can read along. It ends when this program is stopped.\n",
        );
        words.push_str(address);
        words.push('\n');
        words.push_str(picture);
        words.push('\n');
    }
    words
}
