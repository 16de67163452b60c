//! Every bounded quantity of a scenario, defined once: name, dimension, range.
//! Reading, messages, the JSON Schema and the generators of the tests all use these.

use super::units::Dimension;

/// A quantity's name, dimension and the closed range a scenario may give it (SI units).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// What messages call it, for instance `bore`.
    pub name: &'static str,
    /// Its dimension, which fixes the units that are understood.
    pub dimension: Dimension,
    /// Smallest value accepted, SI.
    pub min: f64,
    /// Largest value accepted, SI.
    pub max: f64,
}
