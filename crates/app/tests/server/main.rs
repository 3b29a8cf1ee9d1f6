//! Requests and their answers, without a port: who is let in, what is refused, what is on disk when it has been answered.

mod bench;
mod handed;
mod kept;
mod refused;
mod who;
