//! Marking held against drawings whose faults are known.

mod marking {
    pub mod common;
    mod exercises;
    mod figures;
    mod mistakes;
    mod property;
}
