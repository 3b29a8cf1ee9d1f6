//! Writes a [`Sheet`](wyeline_sheet::Sheet) as SVG, PDF or PNG, and [`List`](wyeline_fit::list::List)s as CSV or XLSX.
//!
//! In: sheets in paper millimetres, tables. Out: the bytes of a file, the same on every machine.
//! Knows nothing of how the marks were made. Lettering is set by the project's own fonts alone.

pub mod csv;
mod flat;
mod halo;
mod number;
pub mod pdf;
pub mod png;
pub mod steps;
pub mod svg;
pub mod xlsx;

pub use csv::csv;
pub use pdf::pdf;
pub use png::png;
pub use steps::{Frame, svg_steps};
pub use svg::{svg, svg_in_page};
pub use xlsx::xlsx;
