//! Turns a level of learning and a number into an exercise, its sheets, key and questions, and marks what a learner draws.
//!
//! In: a [`Code`], or a job of the instructor's own; a [`Drawing`]. Out: an [`Exercise`], [`Sheet`](wyeline_sheet::Sheet)s,
//! steps, questions, [`Marks`]. Knows neither files nor requests. What is taught in which order, and by whom, stands in `data/levels.toml`.

pub mod ask;
pub mod code;
pub mod dice;
pub mod drawing;
pub mod exercise;
pub mod figure;
pub mod handout;
pub mod level;
pub mod make;
pub mod mark;
pub mod marks;
pub mod own;
pub mod sheets;
pub mod solid;
pub mod steps;

pub use code::Code;
pub use drawing::Drawing;
pub use exercise::Exercise;
pub use figure::Figure;
pub use level::Level;
pub use marks::Marks;
