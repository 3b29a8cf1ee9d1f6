//! Labels: what they say, that nothing they say is lost, and that nothing touches anything.

#![allow(missing_docs)]

mod bench;
mod examples;
mod leaders;
mod placing;
mod saying;
