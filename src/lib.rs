//! Farwheel simulates the flush of a vehicle's brake hydraulics.

#[cfg(all(feature = "program", feature = "pictures"))]
pub mod commands;
pub mod job;
#[cfg(feature = "pictures")]
pub mod plot;
#[cfg(feature = "program")]
pub mod report;
pub mod scenario;
