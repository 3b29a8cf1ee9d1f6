//! Turns a [`Network`](wyeline_network::Network) and a viewpoint into a [`Picture`] in paper millimetres.
//!
//! In: the network, a view and a scale. Out: marks by layer with labels placed.
//! Knows no sheet and no file format. The isometric starts in `iso`, the plan in `plan`.

pub mod ink;
pub mod picture;
pub mod project;
pub mod view;

pub use picture::Picture;
pub use project::Projection;
pub use view::{Corner, Part, View};
