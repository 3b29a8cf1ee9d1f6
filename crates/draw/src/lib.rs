//! Turns a [`Network`](wyeline_network::Network) and a viewpoint into a [`Picture`] in paper millimetres.
//!
//! In: the network, a view and a scale. Out: marks by layer with labels placed.
//! Knows no sheet and no file format. The isometric starts in `iso`, the plan in `plan`.

mod arrow;
pub mod best;
mod crossing;
mod doubled;
mod footprint;
mod grid;
mod hatch;
pub mod ink;
pub mod iso;
pub mod label;
pub mod lettering;
mod lines;
mod outline;
mod overlap;
mod part;
pub mod picture;
pub mod plan;
pub mod project;
mod separate;
mod sets;
mod skew;
pub mod style;
pub mod symbol;
pub mod view;

pub use lines::shown;
pub use outline::grid;
pub use picture::Picture;
pub use project::Projection;
pub use view::{Corner, Part, View};

#[cfg(test)]
mod tests;
