//! Keeps a job's file so that nothing typed is ever lost: atomic saves, a history that survives a crash, changes by
//! other programs merged or asked about.
//!
//! In: a path, texts, and the time as the caller knows it. Out: texts and what became of them. Knows nothing of the
//! job language and no clock. Start at [`Keep`]; the form of the history is told in `entry`, how a file is replaced in `disk`.

mod disk;
mod entry;
mod history;
mod keep;
mod ledger;
mod merge;
pub mod practice;
pub mod recent;
mod trouble;

pub use disk::read_text;
pub use entry::Step;
pub use history::Past;
pub use keep::{Done, Keep, Saved};
pub use trouble::Trouble;
