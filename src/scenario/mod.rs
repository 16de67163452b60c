//! What a person writes: the scenario file, quantities with units, diagnosis of mistakes.

pub mod bounds;
pub mod model;
pub mod procedure;
pub mod quantity;
pub mod section;
pub mod spec;
pub mod units;
