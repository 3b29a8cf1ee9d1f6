//! Turns a [`Network`](wyeline_network::Network) into [`Sheet`]s: the pictures on pages with all that a counter and a crew look for.
//!
//! In: the network and what is wanted (views, scale, paper). Out: pages of marks in paper
//! millimetres. Knows no file format. Start at [`sheets`].

mod alone;
mod arrange;
mod bars;
mod block;
mod caption;
mod caution;
mod columns;
mod drawer;
mod frame;
mod key;
mod legend;
mod notes;
pub mod options;
mod pack;
pub mod page;
pub mod paper;
mod place;
#[cfg(test)]
mod sample;
mod scales;
mod schedule;
mod section;
mod series;
mod set;
mod split;
mod subset;
mod title;

pub use alone::{Alone, Screen, alone, pictured};
pub use bars::{check_bar, north, scale_bar};
pub use block::{CAPTION, LEADING, MEDIUM, NOTE, THIN, WIDE, shift, wrapped};
pub use options::{Options, Views};
pub use page::{Datum, Group, Item, Mark, Sheet, Text, line, outline};
pub use paper::{Orientation, Paper};
pub use place::view;
pub use scales::scale_words;
pub use schedule::{Rows, Schedule};
pub use set::{Layout, SheetError, sheets};
