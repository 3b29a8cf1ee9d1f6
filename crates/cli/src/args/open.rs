//! `wyeline open`, as types.

use std::path::PathBuf;

use clap::Args;

/// `wyeline open`.
#[derive(Args, Debug)]
#[command(after_help = "\
The page is served on this machine alone; nothing is fetched from elsewhere and nothing is sent. The address that is printed lets
your browser in: keep it to yourself. Ctrl-C stops it; every change is in the file by then.

Exit codes: 0 stopped, 2 nothing opened.

Examples:
  wyeline open
  wyeline open heron.wye
  wyeline open heron.wye --no-browser --port 8012
  wyeline open heron.wye --share")]
pub struct Open {
    /// The job's file; its folder is opened, or this one where no job is given
    pub job: Option<PathBuf>,
    /// The port on this machine; a free one where it is not given
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub port: u16,
    /// Print the address, open no browser
    #[arg(long)]
    pub no_browser: bool,
    /// Show the job, read-only, to phones on the same network: whoever has the code can read it
    #[arg(long, requires = "job")]
    pub share: bool,
}
