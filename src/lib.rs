//! Farwheel simulates the flush of a vehicle's brake hydraulics.

pub mod job;
#[cfg(feature = "pictures")]
pub mod plot;
pub mod scenario;
