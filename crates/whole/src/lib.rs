//! Takes a job through all stages: text -> [`Built`] -> [`Judged`] -> [`Listed`], and what they give as words and JSON.
//!
//! The command line and the page both call this and nothing before it; it knows neither files nor requests.

pub mod built;
pub mod examples;
pub mod findings;
mod fitted;
mod judge;
pub mod list_json;
pub mod list_paper;
pub mod mark;
pub mod places;
pub mod sized_json;
pub mod words;

pub use built::Built;
pub use fitted::Listed;
pub use judge::Judged;
