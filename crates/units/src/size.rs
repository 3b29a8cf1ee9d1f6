//! Nominal pipe sizes: a name, not a measure. The bore comes from a pipe standard's table.

/// A nominal pipe size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Size {
    /// Nominal inches, in eighths (1-1/2 in is 12).
    Inch {
        /// Eighths of an inch.
        eighths: u16,
    },
    /// Nominal millimetres (DN).
    Dn(u16),
}
