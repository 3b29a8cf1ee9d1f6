//! Prints the text of a job of one of the three sizes: `job house`, `job block`, `job tower`.

use std::process::ExitCode;

use wyeline_bench::{BLOCK, HOUSE, TOWER, text};

fn main() -> ExitCode {
    let asked = std::env::args().nth(1).unwrap_or_default();
    let all = [HOUSE, BLOCK, TOWER];
    let Some(building) = all.into_iter().find(|building| building.name == asked) else {
        eprintln!("job house | block | tower");
        return ExitCode::FAILURE;
    };
    print!("{}", text(building));
    ExitCode::SUCCESS
}
