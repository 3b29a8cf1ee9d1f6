//! The codes that are held, looked at from outside.

mod adding;
mod amended;
mod common;
mod demand;
mod en;
mod examples;
mod ipc;
mod ipc_rows;
mod listing;
mod peak;
mod properties;
mod refused;
mod upc;
