//! Turns a [`Job`](wyeline_job::Job) into the 3-D [`Network`].
//!
//! In: the Job, every reference still a name. Out: nodes and pipes in space,
//! with direction of flow, falls and inverts, and every mistake of meaning.
//! Knows no code of practice and no paper.

pub mod model;

pub use model::Network;
