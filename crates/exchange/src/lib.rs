//! Writes a [`Sheet`](wyeline_sheet::Sheet) as SVG, PDF or PNG.
//!
//! In: sheets in paper millimetres. Out: the bytes of a file, the same on every machine.
//! Knows nothing of how the marks were made. Lettering is set by the project's own fonts alone.

mod halo;
mod number;
pub mod pdf;
pub mod png;
pub mod svg;

pub use pdf::pdf;
pub use png::png;
pub use svg::svg;
