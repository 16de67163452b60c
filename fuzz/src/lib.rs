//! What the fuzz targets share: random scenarios that are meant to be read, and what must hold for each.

pub mod draw;
pub mod parts;
pub mod scenario;
pub mod steps;

#[allow(dead_code)]
#[path = "../../tests/common/held.rs"]
pub mod held;

#[allow(dead_code)]
#[path = "../../tests/common/kinds.rs"]
pub mod kinds;
